"""What is in bags, mixes and tubs: whole pieces, least portions, sums, scale steps, and what must not be eaten."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Any

import pytest

from raworder.auditing.checks import audit
from raworder.trade.bags import Bag, Filling, Mix, Portioning, Station, Tub, Working
from raworder.trade.cuts import Measure
from raworder.trade.dogs import Care, VetAmount
from raworder.trade.plan import Plan, Portion
from raworder.trade.scenario import Scenario
from tests.auditing.bagged import (
    DAYS,
    FORTNIGHT,
    FORTNIGHT_PLAN,
    MAPLE,
    TUBS,
    TUBS_PLAN,
    a_fortnight,
    a_ration,
    blamed,
    fed_from_stock,
    fed_from_tubs,
    of_dog,
    portioned,
    with_bag,
    with_grams,
)
from tests.builders import STARTS, a_bag, a_dog, a_dog_in_care, a_filling, a_subject

NOON = datetime(2027, 2, 6, 12)  # noqa: DTZ001 - a day that is none, on purpose
NOT_PORTIONED = replace(FORTNIGHT_PLAN, bags=(), stations=())
MIX = TUBS_PLAN.mixes[0]


def with_mix(plan: Plan = TUBS_PLAN, **changes: Any) -> Plan:
    """The plan fed from tubs with its mix changed."""
    return replace(plan, mixes=(replace(plan.mixes[0], **changes),))


def with_tub(place: int, plan: Plan = TUBS_PLAN, **changes: Any) -> Plan:
    """The plan fed from tubs with one tub changed."""
    tubs = list(plan.mixes[0].tubs)
    tubs[place] = replace(tubs[place], **changes)
    return with_mix(plan, tubs=tuple(tubs))


def with_station(place: int, plan: Plan = FORTNIGHT_PLAN, **changes: Any) -> Plan:
    """The plan with one station changed."""
    stations = list(plan.stations)
    stations[place] = replace(stations[place], **changes)
    return replace(plan, stations=tuple(stations))


def in_care(weighed_g: int = 3) -> tuple[Scenario, Plan]:
    """A dog under care whose bags break every rule but sums and exclusions; its veterinarian gave just that a day."""
    meals = ((a_filling("beef trim", 97), a_filling("chicken neck", weighed_g)), (a_filling("lamb liver", 500),))
    bags = [
        a_bag(fillings, day=day, meal=meal, kind="", topped_up="")
        for day in DAYS
        for meal, fillings in enumerate(meals, start=1)
    ]
    given_g = {"beef trim": 97 * 14, "chicken neck": weighed_g * 14, "lamb liver": 500 * 14}
    patient = replace(a_dog_in_care("Maple", given_g), meals=2)
    return fed_from_stock(bags, dogs=(patient,), portioning=Portioning(scale_step_g=50))


@pytest.mark.parametrize("key", ["whole_pieces", "least_portion", "scale_step", "bag_weight", "week_share", "day_most"])
def test_what_a_veterinarian_gave_is_bagged_as_it_was_given(key: str) -> None:
    scenario, plan = in_care()
    assert audit(scenario, plan) == ()
    healthy = replace(scenario.dogs[0], care=None, vet_amounts=(), targets=MAPLE.targets, caps=MAPLE.caps)
    assert key in blamed(replace(scenario, dogs=(healthy,)), plan)


def test_bags_of_a_dog_under_care_add_up_and_hold_nothing_that_it_must_not_eat() -> None:
    scenario, plan = in_care()
    assert blamed(scenario, with_grams(plan, {(0, "beef trim"): 1})) == {"bag_sum"}
    assert blamed(of_dog(scenario, avoid=(a_subject(),)), plan) == {"avoid"}


def test_an_order_alone_is_not_judged_by_the_rules_of_bags() -> None:
    assert audit(FORTNIGHT, NOT_PORTIONED) == ()
    assert audit(portioned(FORTNIGHT, least_portion_g=9_000), NOT_PORTIONED) == ()
    # 1679 g are no whole number of necks
    scenario, plan = fed_from_stock((), dogs=(MAPLE,), eaten_g={"Maple": {"chicken neck": 1_679, "beef trim": 5_321}})
    assert blamed(of_dog(scenario, targets=()), plan) == set()


@pytest.mark.parametrize("named", [{"stations": FORTNIGHT_PLAN.stations}, {"mixes": TUBS_PLAN.mixes}])
def test_stations_or_mixes_without_any_bags_do_not_add_up(named: dict[str, Any]) -> None:
    assert "bag_sum" in blamed(FORTNIGHT, replace(NOT_PORTIONED, **named))


def test_portions_of_what_stays_whole_are_whole_pieces_where_there_are_bags() -> None:
    # 1 g of neck more in one bag, and less trim: neither the bag nor the batch is whole pieces then
    bags = list(a_fortnight())
    bags[0] = replace(
        bags[0], fillings=(Filling("chicken neck", 121, 2), a_filling("lamb liver", 50), a_filling("beef trim", 329))
    )
    scenario, plan = fed_from_stock(bags, dogs=(MAPLE,))
    found = [breach for breach in audit(scenario, plan) if breach.rule == "whole_pieces"]
    assert [breach.says for breach in found] == [
        "eats 1681 g of chicken neck, which is no whole number of pieces of 60 g",
        f"121 g of chicken neck are in the bag of {STARTS}, meal 1 as 2 pieces; a piece weighs 60 g",
    ]


@pytest.mark.parametrize(
    ("pieces", "portioning", "broken"),
    [
        (2, Portioning(), set()),
        (0, Portioning(), {"whole_pieces"}),
        (0, Portioning(divided=frozenset({"chicken neck"})), set()),
        (2, Portioning(divided=frozenset({"chicken neck"})), {"whole_pieces"}),
    ],
)
def test_what_stays_whole_is_counted_and_all_else_is_weighed(
    pieces: int, portioning: Portioning, broken: set[str]
) -> None:
    fillings = (Filling("chicken neck", 120, pieces), a_filling("lamb liver", 25), a_filling("beef trim", 355))
    bags = [a_bag(fillings, day=day) for day in DAYS]
    assert blamed(*fed_from_stock(bags, dogs=(MAPLE,), portioning=portioning)) == broken


def test_a_mix_and_what_is_in_it_are_weighed() -> None:
    neck, mixed = TUBS_PLAN.bags[0].fillings
    assert blamed(TUBS, with_bag(TUBS_PLAN, 0, fillings=(neck, replace(mixed, pieces=1)))) == {"whole_pieces"}
    counted = (replace(MIX.contents[0], pieces=1), *MIX.contents[1:])
    assert blamed(TUBS, with_mix(contents=counted)) == {"whole_pieces"}


@pytest.mark.parametrize(("least_g", "broken"), [(50, set()), (51, {"least_portion"})])
def test_a_bag_holds_the_least_portion_or_nothing(least_g: int, broken: set[str]) -> None:
    assert blamed(portioned(FORTNIGHT, least_portion_g=least_g), FORTNIGHT_PLAN) == broken


@pytest.mark.parametrize(("least_g", "broken"), [(120, set()), (121, {"least_portion"})])
def test_whole_pieces_and_what_tops_up_have_their_least_portion(least_g: int, broken: set[str]) -> None:
    # six necks and 140 g of trim, or a neck and 440 g: a neck may weigh less than the least portion
    bags = [a_ration(day, {}, necks=necks, kind=str(necks), ration_g=480) for day, necks in enumerate([6, 1] * 7)]
    dog = a_dog(daily_g=480)
    assert (
        blamed(*fed_from_stock(bags, dogs=(dog,), portioning=Portioning(least_portion_g=least_g, most_a_day=())))
        == broken
    )


@pytest.mark.parametrize(("least_g", "broken"), [(175, set()), (176, {"least_portion"})])
def test_a_portion_from_a_mix_is_the_least_portion_at_least(least_g: int, broken: set[str]) -> None:
    # Juniper eats 175 g of liver over the batch; its bags of the mix weigh 65 g, so only portions are looked at
    found = audit(portioned(TUBS, least_portion_g=least_g), TUBS_PLAN)
    told = {breach.rule for breach in found if "over the batch" in breach.says}
    assert told == broken


def _twice(contents: tuple[Filling, ...]) -> tuple[Filling, ...]:
    """As much of each, with heart in two fillings."""
    trim, heart, liver = contents
    return (trim, replace(heart, grams=heart.grams - 1), replace(heart, grams=1), liver)


AMISS: dict[str, tuple[Scenario, Plan]] = {
    "a bag is missing": (
        FORTNIGHT,
        replace(FORTNIGHT_PLAN, bags=FORTNIGHT_PLAN.bags[:-1]),
    ),
    "a bag comes twice": (FORTNIGHT, replace(FORTNIGHT_PLAN, bags=(*FORTNIGHT_PLAN.bags, FORTNIGHT_PLAN.bags[0]))),
    "a bag is for nobody": (FORTNIGHT, with_bag(FORTNIGHT_PLAN, 0, dog="Nobody")),
    "a bag is for the day before the batch": (FORTNIGHT, with_bag(FORTNIGHT_PLAN, 0, day=STARTS - timedelta(days=1))),
    "a bag is for the day after the batch": (FORTNIGHT, with_bag(FORTNIGHT_PLAN, 13, day=STARTS + timedelta(days=14))),
    "a bag is for a second meal": (FORTNIGHT, with_bag(FORTNIGHT_PLAN, 0, meal=2)),
    "a bag is for meal 0": (FORTNIGHT, with_bag(FORTNIGHT_PLAN, 0, meal=0)),
    "a bag is for an away day": (of_dog(FORTNIGHT, day_g=(0, *(500,) * 13)), FORTNIGHT_PLAN),
    "a bag holds a gram more": (FORTNIGHT, with_grams(FORTNIGHT_PLAN, {(0, "beef trim"): 1})),
    "a bag holds a gram less": (FORTNIGHT, with_grams(FORTNIGHT_PLAN, {(0, "beef trim"): -1})),
    "two cuts change places": (FORTNIGHT, with_grams(FORTNIGHT_PLAN, {(0, "beef trim"): 1, (0, "lamb liver"): -1})),
    "a filling is of nothing": (
        FORTNIGHT,
        with_bag(FORTNIGHT_PLAN, 0, fillings=(*FORTNIGHT_PLAN.bags[0].fillings, a_filling("beef heart", 0))),
    ),
    "a cut comes twice in a bag": (
        FORTNIGHT,
        with_bag(
            FORTNIGHT_PLAN,
            0,
            fillings=(*FORTNIGHT_PLAN.bags[0].fillings[:2], a_filling(grams=300), a_filling(grams=30)),
        ),
    ),
    "a bag holds what is no cut": (
        FORTNIGHT,
        with_bag(FORTNIGHT_PLAN, 0, fillings=(*FORTNIGHT_PLAN.bags[0].fillings[:2], a_filling("moon cheese", 330))),
    ),
    "a station leaves out a bag": (FORTNIGHT, with_station(1, bags=FORTNIGHT_PLAN.stations[1].bags[1:])),
    "a station takes a bag twice": (FORTNIGHT, with_station(1, bags=(*FORTNIGHT_PLAN.stations[1].bags, 0))),
    "a station takes a bag that does not hold it": (
        FORTNIGHT,
        with_station(1, bags=(*FORTNIGHT_PLAN.stations[1].bags, 1)),
    ),
    "a station takes a bag that is none": (FORTNIGHT, with_station(0, bags=(*FORTNIGHT_PLAN.stations[0].bags, 14))),
    "a station fills what is no cut": (
        FORTNIGHT,
        replace(FORTNIGHT_PLAN, stations=(*FORTNIGHT_PLAN.stations, Station(1, "moon cheese", (0,)))),
    ),
    "there are no stations": (FORTNIGHT, replace(FORTNIGHT_PLAN, stations=())),
    "phases are worked from 2 on": (
        FORTNIGHT,
        replace(FORTNIGHT_PLAN, stations=tuple(replace(one, phase=2) for one in FORTNIGHT_PLAN.stations)),
    ),
    "phases are worked backwards": (FORTNIGHT, with_station(0, phase=2)),
    "a phase is left out": (FORTNIGHT, with_station(3, phase=3)),
    "a mix holds a cut twice": (TUBS, with_mix(contents=_twice(MIX.contents))),
    "a mix holds nothing of a cut": (TUBS, with_mix(contents=(*MIX.contents, a_filling("moon cheese", 0)))),
    "a tub holds a cut twice": (TUBS, with_tub(0, contents=_twice(MIX.tubs[0].contents))),
    "a tub holds nothing of a cut": (
        TUBS,
        with_tub(0, contents=(*MIX.tubs[0].contents, a_filling("moon cheese", 0))),
    ),
    "a mix is called like a cut": (
        replace(TUBS, cuts=(*TUBS.cuts, replace(TUBS.cuts[1], name="mix 1"))),
        TUBS_PLAN,
    ),
    "a mix is told twice": (TUBS, replace(TUBS_PLAN, mixes=(MIX, MIX))),
    "a mix is for nobody": (TUBS, with_mix(dogs=(*MIX.dogs, "Nobody"))),
    "a mix names a dog twice": (TUBS, with_mix(dogs=(*MIX.dogs, "Maple"))),
    "a mix leaves out a dog": (TUBS, with_mix(dogs=("Maple",))),
    "a mix is missing": (TUBS, replace(TUBS_PLAN, mixes=())),
    "a mix holds a gram more": (
        TUBS,
        with_mix(contents=(replace(MIX.contents[0], grams=6_406), *MIX.contents[1:])),
    ),
    "a mix holds what it does not need": (TUBS, with_mix(contents=(*MIX.contents, a_filling("chicken neck", 60, 1)))),
    "a mix and a tub hold what nobody eats": (
        TUBS,
        with_tub(
            0,
            with_mix(contents=(*MIX.contents, a_filling("moon cheese", 1))),
            contents=(*MIX.tubs[0].contents, a_filling("moon cheese", 1)),
        ),
    ),
    "a tub holds a gram more": (
        TUBS,
        with_tub(0, contents=(replace(MIX.tubs[0].contents[0], grams=3_203), *MIX.tubs[0].contents[1:])),
    ),
    "tubs differ by more than a scale step": (
        TUBS,
        with_tub(
            1,
            with_tub(0, contents=(MIX.tubs[0].contents[0], Filling("beef heart", 522), MIX.tubs[0].contents[2])),
            contents=(MIX.tubs[1].contents[0], Filling("beef heart", 528), MIX.tubs[1].contents[2]),
        ),
    ),
    "tubs are numbered from 0": (TUBS, with_mix(tubs=tuple(replace(tub, number=tub.number - 1) for tub in MIX.tubs))),
    "a tub is missing": (TUBS, with_mix(tubs=MIX.tubs[:1])),
    "a tub comes twice": (TUBS, with_mix(tubs=(*MIX.tubs, MIX.tubs[1]))),
    "a tub is too small": (portioned(TUBS, tub_g=3_990), TUBS_PLAN),
    "a scale is too weak": (portioned(TUBS, scale_g=3_990), TUBS_PLAN),
}
UNEVEN = frozenset({"least_portion", "bag_weight", "week_share", "scale_step", "whole_pieces"})
"""What a bag that is lost, or filled otherwise, may break besides."""


SAID: dict[str, tuple[str, ...]] = {
    "a bag is missing": (
        "has 0 bags for 2027-02-19, meal 1",
        "its bags hold 4110 g of beef trim, its portions come to 4410 g",
        "the bag at place 13 does not hold it; stations that fill it in there: 1",
    ),
    "a bag comes twice": (
        "has 2 bags for 2027-02-06, meal 1",
        "its bags hold 400 g of lamb liver, its portions come to 350 g",
        "the bag at place 14 holds it; stations that fill it in there: 0",
    ),
    "a bag is for nobody": (
        "has 0 bags for 2027-02-06, meal 1",
        "has a bag for 2027-02-06, meal 1, when it is not fed",
        "its bags hold 300 g of lamb liver, its portions come to 350 g",
    ),
    "a bag is for the day before the batch": ("has a bag for 2027-02-05, meal 1, when it is not fed",),
    "a bag is for the day after the batch": ("has a bag for 2027-02-20, meal 1, when it is not fed",),
    "a bag is for a second meal": ("has a bag for 2027-02-06, meal 2, when it is not fed",),
    "a bag is for meal 0": ("has a bag for 2027-02-06, meal 0, when it is not fed",),
    "a bag is for an away day": ("has a bag for 2027-02-06, meal 1, when it is not fed",),
    "a bag holds a gram more": ("its bags hold 4411 g of beef trim, its portions come to 4410 g",),
    "a bag holds a gram less": ("its bags hold 4409 g of beef trim, its portions come to 4410 g",),
    "two cuts change places": (
        "its bags hold 349 g of lamb liver, its portions come to 350 g",
        "its bags hold 4411 g of beef trim, its portions come to 4410 g",
    ),
    "a filling is of nothing": ("0 g of beef heart are in the bag of 2027-02-06, meal 1",),
    "a cut comes twice in a bag": ("beef trim is in the bag of 2027-02-06, meal 1 more than once",),
    "a bag holds what is no cut": ("its bags hold 330 g of moon cheese, its portions come to 0 g",),
    "a station leaves out a bag": ("the bag at place 0 holds it; stations that fill it in there: 0",),
    "a station takes a bag twice": ("the bag at place 0 holds it; stations that fill it in there: 2",),
    "a station takes a bag that does not hold it": (
        "the bag at place 1 does not hold it; stations that fill it in there: 1",
    ),
    "a station takes a bag that is none": ("the bag at place 14 does not hold it; stations that fill it in there: 1",),
    "a station fills what is no cut": ("the bag at place 0 does not hold it; stations that fill it in there: 1",),
    "there are no stations": ("the bag at place 1 holds it; stations that fill it in there: 0",),
    "phases are worked from 2 on": ("its phases are worked as 2, 2, 2, 2",),
    "phases are worked backwards": ("its phases are worked as 2, 1, 1, 1",),
    "a phase is left out": ("its phases are worked as 1, 1, 1, 3",),
    "a mix is called like a cut": ("is the name of a cut and of a mix",),
    "a mix is told twice": ("is the name of more than one mix", "is fed from a mix more than once"),
    "a mix is for nobody": ("is fed from a mix but is no dog of the scenario",),
    "a mix names a dog twice": ("is fed from a mix more than once",),
    "a mix leaves out a dog": (
        "its bags hold 0 g of beef heart, its portions come to 350 g",
        "its bags hold 2660 g of mix 1, its portions come to 0 g",
        "the mix holds 6405 g of beef trim, its dogs' portions come to 4270 g",
    ),
    "a mix is missing": ("its bags hold 5320 g of mix 1, its portions come to 0 g",),
    "a mix holds a gram more": (
        "the mix holds 6406 g of beef trim, its dogs' portions come to 6405 g",
        "its tubs hold 6405 g of beef trim, the mix holds 6406 g",
    ),
    "a mix holds what it does not need": (
        "the mix holds 60 g of chicken neck, its dogs' portions come to 0 g",
        "gets 40 g of chicken neck with mix 1, its portion is 0 g",
        "gets 4238 g of beef trim with mix 1, its portion is 4270 g",
    ),
    "a mix and a tub hold what nobody eats": ("the mix holds 1 g of moon cheese, its dogs' portions come to 0 g",),
    "a mix holds a cut twice": ("beef heart is in the mix more than once",),
    "a mix holds nothing of a cut": ("0 g of moon cheese are in the mix",),
    "a tub holds a cut twice": ("beef heart is in tub 1 more than once",),
    "a tub holds nothing of a cut": ("0 g of moon cheese are in tub 1",),
    "a tub holds a gram more": ("its tubs hold 6406 g of beef trim, the mix holds 6405 g",),
    "tubs differ by more than a scale step": ("its tubs differ by more than a scale step of beef heart",),
    "tubs are numbered from 0": ("its tubs are not numbered from 1 on",),
    "a tub is missing": ("its tubs hold 3202 g of beef trim, the mix holds 6405 g",),
    "a tub comes twice": (
        "its tubs are not numbered from 1 on",
        "its tubs hold 9608 g of beef trim, the mix holds 6405 g",
    ),
    "a tub is too small": ("tub 2 holds 3991 g where 3990 g are the most",),
    "a scale is too weak": ("tub 2 holds 3991 g where 3990 g are the most",),
}
"""What must be told of each, among other things that follow from it."""


@pytest.mark.parametrize("what", AMISS)
def test_what_does_not_add_up_is_blamed_on_the_sum(what: str) -> None:
    found = audit(*AMISS[what])
    assert {breach.rule for breach in found} - {"bag_sum"} <= UNEVEN
    assert set(SAID[what]) <= {breach.says for breach in found if breach.rule == "bag_sum"}


@pytest.mark.parametrize(("last_g", "broken"), [(1, set()), (2, {"bag_sum"})])
def test_a_bag_may_be_empty_only_where_there_is_no_gram_for_each(last_g: int, broken: set[str]) -> None:
    """Fourteen bags of a gram, but for the first, which is empty: 13 g do not reach for all, 14 g do."""
    fillings = [(a_filling("beef trim", grams),) if grams else () for grams in (0, *[1] * 12, last_g)]
    bags = [a_bag(one, day=day, kind="", topped_up="") for day, one in zip(DAYS, fillings, strict=True)]
    patient = replace(a_dog_in_care("Maple", {"beef trim": 12 + last_g}), day_g=(1,) * 14)
    assert blamed(*fed_from_stock(bags, dogs=(patient,))) == broken


def test_bags_with_nothing_in_them_are_told_one_by_one_and_weighed_as_nothing() -> None:
    empty = replace(FORTNIGHT_PLAN, bags=tuple(replace(bag, fillings=()) for bag in FORTNIGHT_PLAN.bags), stations=())
    says = [breach.says for breach in audit(FORTNIGHT, empty)]
    assert f"its bag of {STARTS}, meal 1, is empty" in says
    assert f"its bag of {STARTS}, meal 1, weighs 0 g where 500 g are due" in says
    assert f"from {STARTS} on, seven days' bags weigh 0 g where 3500 g are due; 5 g more or less are allowed" in says


def test_a_bag_on_another_day_is_told_for_both_days() -> None:
    found = audit(FORTNIGHT, with_bag(FORTNIGHT_PLAN, 0, day=STARTS + timedelta(days=2)))
    assert [breach.says for breach in found if breach.rule == "bag_sum"] == [
        "has 0 bags for 2027-02-06, meal 1",
        "has 2 bags for 2027-02-08, meal 1",
    ]


def test_a_cut_twice_in_a_bag_is_told_of_the_bag_and_not_of_the_station() -> None:
    found = audit(*AMISS["a cut comes twice in a bag"])
    assert [breach.says for breach in found if breach.rule == "bag_sum"] == [
        "beef trim is in the bag of 2027-02-06, meal 1 more than once"
    ]


def test_a_bag_at_the_wrong_station_is_told_by_its_place() -> None:
    (breach,) = audit(*AMISS["a station takes a bag that does not hold it"])
    assert breach.subject == "lamb liver"
    assert breach.says == "the bag at place 1 does not hold it; stations that fill it in there: 1"


def test_no_piece_at_all_is_no_whole_piece() -> None:
    nothing = with_bag(FORTNIGHT_PLAN, 0, fillings=(a_filling("chicken neck", 0), *FORTNIGHT_PLAN.bags[0].fillings[1:]))
    assert {"whole_pieces", "bag_sum"} <= blamed(FORTNIGHT, nothing)


@pytest.mark.parametrize("least_g", [10, 100])
def test_a_single_piece_in_the_batch_needs_not_be_a_least_portion(least_g: int) -> None:
    bags = [a_ration(day, {}, necks=int(day == 0), kind=str(day == 0)) for day in DAYS]
    assert blamed(*fed_from_stock(bags, dogs=(a_dog(),), portioning=Portioning(least_portion_g=least_g))) == set()


def test_tubs_as_large_as_what_is_in_them_are_large_enough() -> None:
    # 3203 + 525 + 263 g
    assert blamed(portioned(TUBS, tub_g=3_991, scale_g=3_991), TUBS_PLAN) == set()


def test_tubs_may_differ_by_a_scale_step() -> None:
    # 6405 g of trim as 3205 and 3200 g, in steps of 5 g
    plan = TUBS_PLAN
    for place, trim_g in enumerate((3_205, 3_200)):
        plan = with_tub(place, plan, contents=(a_filling("beef trim", trim_g), *MIX.tubs[place].contents[1:]))
    assert audit(TUBS, plan) == ()


def test_a_mix_that_lacks_the_only_gram_of_a_cut_is_told() -> None:
    scenario, plan = fed_from_tubs()
    short = replace(plan, portions=(*plan.portions, Portion("Juniper", "beef kidney", 1)))
    told = [breach.says for breach in audit(scenario, short) if breach.subject == "mix 1"]
    assert "the mix holds 0 g of beef kidney, its dogs' portions come to 1 g" in told


def test_a_dog_fed_from_a_mix_gets_nothing_weighed_beside_it() -> None:
    # 10 g of trim apart: what is in the bags is right cut by cut, but the mix is for all that is weighed
    neck, mixed = TUBS_PLAN.bags[0].fillings
    plan = with_bag(TUBS_PLAN, 0, fillings=(neck, replace(mixed, grams=370), a_filling("beef trim", 10)))
    assert "bag_sum" in blamed(TUBS, plan)


def test_what_differs_in_a_bag_but_the_top_up_is_blamed_on_the_scale_step() -> None:
    # 5 g of liver from one bag of kind A to another, neither of them the last
    plan = with_grams(
        FORTNIGHT_PLAN, {(0, "lamb liver"): 5, (0, "beef trim"): -5, (2, "lamb liver"): -5, (2, "beef trim"): 5}
    )
    assert blamed(FORTNIGHT, plan) == {"scale_step"}


def test_necks_that_differ_within_a_kind_are_blamed_on_the_scale_step() -> None:
    bags = [a_ration(day, {"lamb liver": 25}, necks=[1, 3, 2][min(day, 2)]) for day in DAYS]
    assert blamed(*fed_from_stock(bags, dogs=(MAPLE,))) == {"scale_step"}
    bags = [replace(bag, kind=str(min(place, 2))) for place, bag in enumerate(bags)]
    assert blamed(*fed_from_stock(bags, dogs=(MAPLE,))) == set()


@pytest.mark.parametrize(
    ("last_g", "broken"), [(36, {"scale_step"}), (35, set()), (22, set()), (15, set()), (14, {"scale_step"})]
)
def test_the_last_bag_of_a_kind_takes_what_is_left_within_two_steps(last_g: int, broken: set[str]) -> None:
    # 25 g in all but the last, in steps of 5 g; 14 and 36 g are more than two steps away
    bags = [a_ration(day, {"lamb liver": last_g if day == 13 else 25}, necks=2) for day in DAYS]
    assert blamed(*fed_from_stock(bags, dogs=(MAPLE,))) == broken


def test_the_last_bag_is_the_last_by_day_and_meal_whatever_its_place_in_the_plan() -> None:
    dog = replace(MAPLE, meals=2)
    bags = [
        a_ration(day, {"lamb liver": 18 if (day, meal) == (13, 2) else 10}, necks=1, meal=meal, ration_g=250)
        for day in DAYS
        for meal in (1, 2)
    ]
    assert blamed(*fed_from_stock(bags, dogs=(dog,))) == set()
    assert blamed(*fed_from_stock(bags[::-1], dogs=(dog,))) == set()
    swapped = [replace(bag, meal=3 - bag.meal) for bag in bags]
    assert blamed(*fed_from_stock(swapped, dogs=(dog,))) == {"scale_step"}


@pytest.mark.parametrize(
    "last",
    [
        a_ration(13, {"lamb liver": 25, "beef heart": 10}, necks=2),
        a_ration(13, {}, necks=2),
        a_ration(13, {"lamb liver": 25}, necks=3),
    ],
    ids=["one cut more", "one cut less", "a neck more"],
)
def test_the_last_bag_of_a_kind_has_the_cuts_and_pieces_of_the_others(last: Bag) -> None:
    bags = [*(a_ration(day, {"lamb liver": 25}, necks=2) for day in range(13)), last]
    assert blamed(*fed_from_stock(bags, dogs=(MAPLE,))) == {"scale_step"}


def test_a_single_bag_of_its_kind_is_filled_to_the_gram() -> None:
    bags = [a_ration(day, {"lamb liver": 23 + day % 5}, necks=2, kind=str(day)) for day in DAYS]
    assert blamed(*fed_from_stock(bags, dogs=(MAPLE,))) == set()


@pytest.mark.parametrize("topped_up", ["", "lamb liver"])
def test_all_bags_of_a_dog_are_topped_up_with_the_same(topped_up: str) -> None:
    assert "scale_step" in blamed(FORTNIGHT, with_bag(FORTNIGHT_PLAN, 5, topped_up=topped_up))


@pytest.mark.parametrize(
    ("scenario", "plan", "broken"),
    [
        # a portion, a bag and a mix each tell of it
        (of_dog(FORTNIGHT, avoid=(a_subject(Measure.SPECIES, "lamb"),)), FORTNIGHT_PLAN, {"avoid"}),
        (of_dog(TUBS, avoid=(a_subject(Measure.SPECIES, "lamb"),)), TUBS_PLAN, {"avoid"}),
        (of_dog(TUBS, avoid=(a_subject(Measure.SPECIES, "pork"),)), TUBS_PLAN, set()),
    ],
)
def test_what_a_dog_must_not_eat_is_in_none_of_its_bags_and_mixes(
    scenario: Scenario, plan: Plan, broken: set[str]
) -> None:
    assert blamed(scenario, plan) == broken


def _other_liver() -> Iterator[tuple[str, Plan]]:
    """Plans where lamb liver has got into a bag or a mix of a dog that has no portion of it."""
    without = tuple(one for one in FORTNIGHT_PLAN.portions if one.cut != "lamb liver")
    yield "a bag", replace(FORTNIGHT_PLAN, portions=without)
    mix = Mix("mix 1", ("Maple",), (a_filling("lamb liver", 50),), ())
    unbagged = replace(FORTNIGHT_PLAN, portions=without, bags=())
    yield "the mix mix 1", replace(unbagged, mixes=(mix,))
    yield "the mix mix 1", replace(unbagged, mixes=(replace(mix, contents=(), tubs=(Tub(1, mix.contents),)),))
    of_others = replace(mix, dogs=("Juniper",))
    yield "the mix mix 1", replace(unbagged, mixes=(of_others,), bags=(a_bag((a_filling("mix 1"),)),))


@pytest.mark.parametrize(("where", "plan"), tuple(_other_liver()))
def test_what_a_dog_must_not_eat_is_found_without_any_portion_of_it(where: str, plan: Plan) -> None:
    scenario = of_dog(FORTNIGHT, avoid=(a_subject(Measure.CUT, "lamb liver"),))
    told = [breach.says for breach in audit(scenario, plan) if breach.rule == "avoid"]
    assert told == [f"has lamb liver in {where}, which it must not eat"]


UNSOUND: tuple[tuple[str, Plan], ...] = (
    ("bag_sum", with_bag(FORTNIGHT_PLAN, 0, fillings=(a_filling(grams=500.0),))),  # type: ignore[arg-type] # on purpose
    ("bag_sum", with_bag(FORTNIGHT_PLAN, 0, fillings=(a_filling(grams=True),))),
    ("bag_sum", with_bag(FORTNIGHT_PLAN, 0, fillings=(a_filling(grams=-1),))),
    ("whole_pieces", with_bag(FORTNIGHT_PLAN, 0, fillings=(a_filling(pieces=-1),))),
    ("whole_pieces", with_bag(FORTNIGHT_PLAN, 0, fillings=(a_filling(pieces=Fraction(1)),))),  # type: ignore[arg-type] # on purpose
    ("bag_sum", with_bag(FORTNIGHT_PLAN, 0, meal=True)),
    ("bag_sum", with_bag(FORTNIGHT_PLAN, 0, meal=-1)),
    ("bag_sum", with_bag(FORTNIGHT_PLAN, 0, day="2027-02-06")),
    ("bag_sum", with_bag(FORTNIGHT_PLAN, 0, day=NOON)),
    ("bag_sum", with_station(0, phase=None)),
    ("bag_sum", with_station(0, phase=-1)),
    ("bag_sum", with_station(0, bags=(False,))),
    ("bag_sum", with_station(0, bags=(-1,))),
    ("bag_sum", with_mix(contents=(a_filling(grams=-1),))),
    ("whole_pieces", with_mix(contents=(a_filling(pieces=None),))),  # type: ignore[arg-type] # on purpose
    ("bag_sum", with_tub(0, number=1.0)),
    ("bag_sum", with_tub(0, contents=(a_filling(grams=1.5),))),  # type: ignore[arg-type] # on purpose
)


@pytest.mark.parametrize(("rule", "plan"), UNSOUND)
def test_a_number_in_bags_that_cannot_be_reckoned_with_is_told_and_not_summed(rule: str, plan: Plan) -> None:
    assert [breach.rule for breach in audit(TUBS if plan.mixes else FORTNIGHT, plan)] == [rule]


def _stepped(fillings: tuple[Filling, ...]) -> Iterator[tuple[Filling, ...]]:
    """The fillings with one number changed, one filling left out or one told twice."""
    for place, filling in enumerate(fillings):
        before, after = fillings[:place], fillings[place + 1 :]
        for step in (-1, 1):
            yield (*before, replace(filling, grams=filling.grams + step), *after)
            yield (*before, replace(filling, pieces=filling.pieces + step), *after)
        yield (*before, *after)
        yield (*before, filling, filling, *after)


def _changed(plan: Plan) -> Iterator[Plan]:
    """The plan with a single number, name or entry of every fifth bag changed, or of a station."""
    for place in range(0, len(plan.bags), 5):
        bag = plan.bags[place]
        yield from (with_bag(plan, place, fillings=fillings) for fillings in _stepped(bag.fillings))
        yield from (with_bag(plan, place, meal=bag.meal + step) for step in (-1, 1))
        yield from (with_bag(plan, place, day=bag.day + timedelta(days=step)) for step in (-1, 1))
        yield with_bag(plan, place, topped_up="beef heart")
        yield replace(plan, bags=(*plan.bags[:place], *plan.bags[place + 1 :]))
        yield replace(plan, bags=(*plan.bags, bag))
    for place, station in enumerate(plan.stations):
        yield from (with_station(place, plan, bags=(*station.bags[:at], *station.bags[at + 1 :])) for at in range(7))
        yield from (with_station(place, plan, bags=(*station.bags, more)) for more in (0, 1, len(plan.bags)))
        yield replace(plan, stations=(*plan.stations[:place], *plan.stations[place + 1 :]))


def _changed_mix(plan: Plan) -> Iterator[Plan]:
    """The plan fed from tubs with a single number or entry of its mix changed."""
    yield from (with_mix(plan, contents=contents) for contents in _stepped(MIX.contents))
    for place, tub in enumerate(MIX.tubs):
        yield from (with_tub(place, plan, contents=contents) for contents in _stepped(tub.contents))
        yield from (with_tub(place, plan, number=tub.number + step) for step in (-1, 1))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("scenario", "plan", "changed"),
    [(FORTNIGHT, FORTNIGHT_PLAN, _changed), (TUBS, TUBS_PLAN, _changed), (TUBS, TUBS_PLAN, _changed_mix)],
    ids=["bags", "bags from tubs", "tubs"],
)
def test_a_change_in_bags_is_never_passed_silently(
    scenario: Scenario, plan: Plan, changed: Callable[[Plan], Iterator[Plan]]
) -> None:
    for one in changed(plan):
        assert audit(scenario, one)


def test_a_dog_under_care_may_be_fed_from_a_mix_of_its_own_amounts() -> None:
    patient = replace(
        TUBS.dogs[1],
        care=Care.ILL,
        targets=(),
        caps=(),
        vet_amounts=tuple(VetAmount(one.cut, one.batch_g) for one in TUBS_PLAN.portions if one.dog == "Juniper"),
    )
    assert blamed(replace(TUBS, dogs=(TUBS.dogs[0], patient)), TUBS_PLAN) == set()


def test_bags_of_two_meals_and_of_a_mix_are_as_they_should_be() -> None:
    assert audit(*fed_from_tubs()) == ()
    # fed from a mix without being worked in tubs: nothing that is in the bags is judged by how they are worked
    assert audit(*fed_from_tubs(Portioning(working=Working.EACH_CUT))) == ()


@pytest.mark.parametrize(("off_g", "is_told"), [(2, False), (3, True)])
def test_a_dog_may_get_other_parts_of_a_mix_by_what_whole_grams_can_change(off_g: int, is_told: bool) -> None:
    # half of a mix for two dogs: a gram of its own, and half of a gram for each of the two
    eaten_g = {
        "Maple": {"beef trim": 1_000 + off_g, "beef heart": 500 - off_g},
        "Juniper": {"beef trim": 1_000 - off_g, "beef heart": 500 + off_g},
    }
    mix = Mix("mix 1", tuple(eaten_g), (a_filling("beef trim", 2_000), a_filling("beef heart", 1_000)), ())
    scenario, plan = fed_from_stock((a_bag(),), dogs=(MAPLE, replace(MAPLE, name="Juniper")), eaten_g=eaten_g)
    told = [breach.subject for breach in audit(scenario, replace(plan, mixes=(mix,))) if "with mix 1" in breach.says]
    assert told == ["Maple", "Maple", "Juniper", "Juniper"] * is_told
