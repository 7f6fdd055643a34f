"""Owners' own freezers: the fullest evening, what does not fit, and two trips that really carry all of it.

All dogs and weights are invented. **Source:** arithmetic; trips are held against every day by themselves.
"""

from dataclasses import replace
from datetime import date, timedelta
from random import Random

import pytest

from raworder.reporting.doubts import OWN_FREEZER, doubts
from raworder.reporting.own_freezer import AtHome, at_home, fetching_sentences, late_bags, own_freezer_text
from raworder.reporting.reminders import reminders
from raworder.trade.batch_facts import BagWay, Journey
from raworder.trade.document import Agenda
from raworder.trade.plan import LotUse
from raworder.trade.scenario import FedScenario, Owner
from tests import builders as b
from tests.drawn import drawn, seeds
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN
from tests.worked_out import bag_book

FILLED = b.STARTS - timedelta(1)
EACH = 300


def a_journey(number: int, moves_on: date | None, grams: int = 500) -> Journey:
    """A bag fed the day after it moves to the refrigerator; of None on the first day, fresh."""
    day = b.STARTS if moves_on is None else moves_on + timedelta(1)
    bag = replace(b.a_bag([b.a_filling(grams=grams)]), day=day)
    way = BagWay.REFRIGERATOR if moves_on is None else BagWay.FREEZER
    return Journey(number, bag, way, FILLED, 1, 1, (), moves_on)


def a_home(room_g: int | None = None, *, fetched_on: date = FILLED, left_g: int = 0, days: int = 7) -> AtHome:
    """Seven bags of 500 g, one a day, of which the first stays fresh."""
    bags = (a_journey(1, None), *(a_journey(n, b.STARTS + timedelta(n - 2)) for n in range(2, days + 1)))
    return AtHome(Owner("Ines", room_g), fetched_on, bags, left_g)


def test_the_fullest_evening_is_that_of_fetching_and_each_day_a_bag_leaves() -> None:
    home = a_home(left_g=100)
    assert home.fullest == (FILLED, 3_100)  # six bags and what is left over
    assert [grams for _, grams in home.evenings] == [3_100, 2_600, 2_100, 1_600, 1_100, 600, 100, 100]
    assert home.over_g == 0  # no room is stated


def test_bags_fetched_later_are_fewer_and_some_are_late() -> None:
    home = a_home(fetched_on=b.STARTS + timedelta(1))
    assert home.fullest == (b.STARTS + timedelta(1), 2_000)
    assert late_bags(home) == {2: b.STARTS}  # bag 1 is fed before
    assert late_bags(a_home()) == {}


def test_what_does_not_fit_is_fetched_on_a_second_trip() -> None:
    home = a_home(1_600)
    assert home.over_g == 1_400
    trip = home.second_trip
    # three bags fit at first, 2 to 4; three more fit once three have left, on the 8th, before bag 5 must move
    assert trip is not None
    assert (trip.numbers, trip.first, trip.last) == ((5, 6, 7), date(2027, 2, 8), date(2027, 2, 9))
    assert own_freezer_text(b.a_scenario(), home) == (
        "Ines's freezer is too small by 1.4 kg on Fri 5 Feb.",
        "Make two trips: fetch bags 5-7 on any day from Mon 8 to Tue 9 Feb.",
    )


def test_where_two_trips_are_not_enough_it_says_so() -> None:
    home = a_home(600)
    assert home.second_trip is None
    assert (own_freezer_text(b.a_scenario(), home) or ("", ""))[1].startswith("Two trips are not enough")
    assert own_freezer_text(b.a_scenario(), a_home(3_000)) is None


@drawn()
def test_a_second_trip_never_overfills_the_freezer_and_is_never_too_late(block: int) -> None:
    """Both trips made on any of the days that are named: no evening holds more than the room."""
    trips = 0
    for seed in seeds(block, EACH):
        random = Random(seed)
        bags = tuple(
            a_journey(n, b.STARTS + timedelta(random.randint(0, 13)), random.randint(100, 1_500))
            for n in range(1, random.randint(3, 20))
        )
        home = AtHome(Owner("Ines", random.randint(500, 9_000)), FILLED, bags, random.choice((0, 0, 300)))
        trip, room_g = home.second_trip, home.owner.room_g or 0
        if trip is None:
            continue
        trips += 1
        for second in (trip.first, trip.last):
            for day, _ in home.evenings:
                there = [bag for bag in home.frozen(day) if bag.number not in trip.numbers or day >= second]
                assert home.left_g + sum(bag.bag.grams for bag in there) <= room_g, seed
            assert all(bag.moves_on and second <= bag.moves_on for bag in bags if bag.number in trip.numbers), seed
    assert trips > EACH // 20


@pytest.fixture
def home() -> AtHome:
    """Ada's bags of the house, with a lot of her own of which some is left over."""
    lots = (b.on_hand("beef trim", 900, owner="Ada"), b.on_hand("beef trim", 900))
    owned = tuple(replace(dog, owner="Ada" if dog.name == "Maple" else "Bo") for dog in HOUSE.dogs)
    scenario = replace(HOUSE, dogs=owned, on_hand=lots, owners=(Owner("Ada", 20_000),))
    plan = replace(HOUSE_PLAN, lots_used=(LotUse(0, 700), LotUse(1, 100)))
    book = bag_book(scenario, plan)
    return at_home(FedScenario(book.scenario), book.plan, "Ada")


def test_an_owner_keeps_the_own_bags_and_what_is_left_of_the_own_lots(home: AtHome) -> None:
    assert {journey.bag.dog for journey in home.journeys} == {"Maple"}
    assert home.left_g == 200
    assert home.fetched_on == HOUSE.portioned_on
    said = " ".join(fetching_sentences(HOUSE, home))
    assert f"Fetch {len(home.journeys)} bags" in said
    assert "200 g of it left over of your own; it holds 20 kg" in said


def test_an_owner_s_calendar_has_events_of_its_own(home: AtHome) -> None:
    book = bag_book(HOUSE, HOUSE_PLAN)
    [own] = [one for one in reminders(book.of_dogs(["Maple"]), home).blocks if isinstance(one, Agenda)]
    [every] = [one for one in reminders(book).blocks if isinstance(one, Agenda)]
    other = replace(home, owner=Owner("Bo"))
    [others] = [one for one in reminders(book.of_dogs(["Maple"]), other).blocks if isinstance(one, Agenda)]
    uids = [event.uid for one in (own, every, others) for event in one.events]
    assert len(set(uids)) == len(uids)
    assert own.events[0].to_do == "Fetch the bags"
    assert {event.kind for event in own.events} == {"fetching", "feeding", "ordering"}
    juniper = {journey.number for journey in book.journeys if journey.bag.dog != "Maple"}
    assert "Juniper" not in "".join(event.details for event in own.events)
    assert juniper


def test_an_owner_s_calendar_begins_on_the_day_of_fetching(home: AtHome) -> None:
    later = replace(home, fetched_on=b.STARTS + timedelta(3))
    [own] = [one for one in reminders(bag_book(HOUSE, HOUSE_PLAN).of_dogs(["Maple"]), later).blocks
             if isinstance(one, Agenda)]  # fmt: skip
    assert own.events[0].to_do == "Fetch the bags"
    assert min(event.day for event in own.events) == b.STARTS + timedelta(3)


@pytest.mark.parametrize(("room_g", "is_doubtful"), [(100, True), (20_000, False), (None, False)])
def test_a_freezer_that_is_too_small_is_one_doubt_about_the_plan(room_g: int | None, is_doubtful: bool) -> None:
    dogs = tuple(replace(dog, owner="Ada") for dog in HOUSE.dogs)
    book = bag_book(replace(HOUSE, dogs=dogs, owners=(Owner("Ada", room_g),)), HOUSE_PLAN)
    found = [doubt for doubt in doubts(FedScenario(book.scenario), book.plan) if doubt.key == OWN_FREEZER]
    assert len(found) == is_doubtful
    assert all(doubt.says.startswith("Ada's freezer is too small by ") for doubt in found)
