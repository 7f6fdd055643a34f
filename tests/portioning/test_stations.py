"""Stations: every filling has its turn, what tops a bag up comes last, and no bag meets what its dog avoids.

**Source:** the order is common practice, no source; bags are filled by hand or by lot, all of them invented.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from random import Random

import pytest

from raworder.portioning.bag_filling import stations_of
from raworder.trade.bags import Bag, Mix, Portioning, Station, Tub
from raworder.trade.cuts import Cut, Measure, Part
from raworder.trade.dogs import Dog
from raworder.trade.scenario import Scenario
from tests import builders as b

KALE = b.a_cut("kale", species="plant", kind="leafy vegetable", parts={Part.VEGETABLES: 1}, fat="1/100")
LAMB = b.a_cut("lamb breast", species="lamb", kind="breast", fat="1/4")
GRIND = b.a_cut(
    "ready grind",
    species={"beef": "3/5", "chicken": "2/5"},
    kind="grind",
    parts={Part.MUSCLE: "4/5", Part.BONE: "1/10", Part.LIVER: "1/20", Part.OTHER_ORGAN: "1/20"},
)
CUTS = (b.LIVER, b.NECK, b.KIDNEY, LAMB, b.HEART, KALE, b.TRIM, b.MINCE, GRIND)
NO_CHICKEN, NO_BEEF, NO_LAMB = (b.a_subject(word=word) for word in ("chicken", "beef", "lamb"))


def a_counter(*dogs: Dog, cuts: Sequence[Cut] = CUTS, portioning: Portioning | None = None) -> Scenario:
    return b.a_scenario(dogs=dogs or (b.a_dog(),), cuts=cuts, portioning=portioning)


def a_bag_of(*cuts: str, dog: str = "Maple", topped_up: str = "") -> Bag:
    return b.a_bag([b.a_filling(cut, 50) for cut in cuts], dog=dog, topped_up=topped_up)


def a_mix_of(*cuts: str, name: str = "mix 1", dogs: Sequence[str] = ("Maple",)) -> Mix:
    contents = tuple(b.a_filling(cut, 900) for cut in cuts)
    return Mix(name, tuple(dogs), contents, (Tub(1, contents),))


def worked(stations: Sequence[Station]) -> list[tuple[int, str]]:
    return [(one.phase, one.cut) for one in stations]


def test_plants_come_first_then_whole_pieces_then_each_species_with_its_organs_and_the_top_up_last() -> None:
    bag = a_bag_of(*(cut.name for cut in CUTS if cut != GRIND), topped_up="beef trim")
    assert worked(stations_of(a_counter(), [bag], ())) == [
        (1, "kale"),
        (1, "chicken neck"),
        (1, "beef heart"),
        (1, "beef kidney"),
        (1, "farm mince"),
        (1, "lamb breast"),
        (1, "lamb liver"),
        (1, "beef trim"),
    ]


def test_a_cut_with_bone_that_is_divided_is_other_meat() -> None:
    bags = [a_bag_of("chicken neck", "beef heart")]
    whole, divided = (a_counter(portioning=Portioning(divided=frozenset(names))) for names in ((), ("chicken neck",)))
    assert worked(stations_of(whole, bags, ())) == [(1, "chicken neck"), (1, "beef heart")]
    assert worked(stations_of(divided, bags, ())) == [(1, "beef heart"), (1, "chicken neck")]


def test_a_product_of_several_species_comes_after_what_is_of_the_first_alone() -> None:
    scenario = a_counter(portioning=Portioning(divided=frozenset({"ready grind"})))
    bag = a_bag_of("ready grind", "beef kidney", "lamb breast", "beef trim")
    cuts = [cut for _, cut in worked(stations_of(scenario, [bag], ()))]
    assert cuts == ["beef trim", "beef kidney", "ready grind", "lamb breast"]


def test_meat_with_some_organ_in_it_is_no_organ() -> None:
    ground = b.a_cut("beef grind", parts={Part.MUSCLE: "9/10", Part.LIVER: "1/10"})
    bag = a_bag_of("beef kidney", "beef trim", "beef grind")
    cuts = [cut for _, cut in worked(stations_of(a_counter(cuts=(*CUTS, ground)), [bag], ()))]
    assert cuts == ["beef grind", "beef trim", "beef kidney"]


def test_a_cut_that_tops_some_bags_up_and_not_others_has_two_stations() -> None:
    bags = [
        a_bag_of("beef heart", "beef trim", topped_up="beef trim"),
        a_bag_of("beef heart", "beef trim", topped_up="beef heart"),
        a_bag_of("beef trim", "lamb liver", topped_up="beef trim"),
    ]
    assert stations_of(a_counter(), bags, ()) == (
        Station(1, "beef heart", (0,)),
        Station(1, "beef trim", (1,)),
        Station(1, "lamb liver", (2,)),
        Station(1, "beef heart", (1,)),
        Station(1, "beef trim", (0, 2)),
    )


def test_a_mix_comes_after_every_cut_and_as_top_up_after_cuts_that_top_up() -> None:
    bags = [
        a_bag_of("lamb liver", "mix 1", topped_up="mix 1"),
        a_bag_of("mix 1", "beef heart", topped_up="beef heart"),
    ]
    stations = stations_of(a_counter(), bags, [a_mix_of("beef trim")])
    assert worked(stations) == [(1, "lamb liver"), (1, "mix 1"), (1, "beef heart"), (1, "mix 1")]


def test_dogs_with_most_to_avoid_come_first_and_those_alike_share_a_phase() -> None:
    """Of what is fed, Juniper avoids two, Sorrel and Bramble one, Maple nothing."""
    dogs = (
        b.a_dog("Maple"),
        b.a_dog("Sorrel", avoid=[NO_CHICKEN]),
        b.a_dog("Juniper", avoid=[NO_CHICKEN, NO_LAMB]),
        b.a_dog("Bramble", avoid=[b.a_subject(Measure.CUT, "chicken neck")]),
    )
    bags = [
        a_bag_of("chicken neck", dog="Maple"),
        a_bag_of("lamb breast", dog="Sorrel"),
        a_bag_of("beef trim", dog="Juniper"),
        a_bag_of("lamb breast", dog="Bramble"),
    ]
    assert stations_of(a_counter(*dogs), bags, ()) == (
        Station(1, "beef trim", (2,)),
        Station(2, "lamb breast", (1, 3)),
        Station(3, "chicken neck", (0,)),
    )


def test_what_is_avoided_but_not_fed_needs_no_phase() -> None:
    dogs = (b.a_dog("Maple"), b.a_dog("Juniper", avoid=[NO_CHICKEN]))
    bags = [a_bag_of("beef trim", dog="Maple"), a_bag_of("beef trim", dog="Juniper")]
    assert stations_of(a_counter(*dogs), bags, ()) == (Station(1, "beef trim", (0, 1)),)


def test_a_dog_without_bags_needs_no_phase() -> None:
    dogs = (b.a_dog("Maple"), b.a_dog("Juniper", avoid=[NO_CHICKEN]))
    assert worked(stations_of(a_counter(*dogs), [a_bag_of("chicken neck")], ())) == [(1, "chicken neck")]


def test_a_mix_is_avoided_for_what_is_in_it() -> None:
    dogs = (b.a_dog("Maple"), b.a_dog("Juniper", avoid=[NO_LAMB]))
    bags = [a_bag_of("mix 1", topped_up="mix 1"), a_bag_of("beef heart", dog="Juniper", topped_up="beef heart")]
    with_lamb, without = (a_mix_of("beef trim", cut) for cut in ("lamb liver", "beef kidney"))
    assert worked(stations_of(a_counter(*dogs), bags, [with_lamb])) == [(1, "beef heart"), (2, "mix 1")]
    assert worked(stations_of(a_counter(*dogs), bags, [without])) == [(1, "beef heart"), (1, "mix 1")]


def test_sets_of_one_size_go_by_the_names_of_what_is_avoided() -> None:
    cuts = ("beef heart", "beef kidney", "beef trim", "chicken neck", "kale", "lamb breast", "lamb liver")
    dogs = [b.a_dog(f"kept from {cut}", avoid=[b.a_subject(Measure.CUT, cut)]) for cut in cuts]
    bags = [a_bag_of(*(cut for cut in cuts if cut not in dog.name), dog=dog.name) for dog in reversed(dogs)]
    stations = stations_of(a_counter(*dogs), bags, ())
    for phase, avoided in enumerate(cuts, start=1):
        assert {one.cut for one in stations if one.phase == phase} == {*cuts} - {avoided}


def test_no_bags_need_no_stations() -> None:
    assert stations_of(a_counter(), (), ()) == ()


@dataclass(frozen=True)
class Day:
    """A day at the counter: what is asked, the bags to be filled, and the mixes."""

    scenario: Scenario
    bags: tuple[Bag, ...]
    mixes: tuple[Mix, ...]

    def stations(self) -> tuple[Station, ...]:
        return stations_of(self.scenario, self.bags, self.mixes)

    def dog(self, bag: int) -> Dog:
        return next(dog for dog in self.scenario.dogs if dog.name == self.bags[bag].dog)

    def cuts_in(self, name: str) -> list[Cut]:
        mixed = [one.cut for mix in self.mixes if mix.name == name for one in mix.contents]
        return [self.scenario.cut(cut) for cut in mixed or [name]]

    def avoids(self, dog: Dog, name: str) -> bool:
        return any(dog.avoids(cut) for cut in self.cuts_in(name))

    def fed(self) -> list[str]:
        return sorted({one.cut for bag in self.bags for one in bag.fillings})


def a_random_day(random: Random) -> Day:
    """Up to six dogs that avoid this and that; bags hold only what their dogs may eat, with a top-up or with none."""
    subjects = [NO_CHICKEN, NO_BEEF, NO_LAMB, b.a_subject(Measure.KIND, "heart"), b.a_subject(Measure.RICH, "")]
    dogs = [
        b.a_dog(f"dog {number}", avoid=random.sample(subjects, random.choice((0, 0, 1, 1, 2))))
        for number in range(random.randint(1, 6))
    ]
    mixes = (a_mix_of("beef trim", "beef kidney"), a_mix_of("lamb breast", "kale", name="mix 2"))
    day = Day(a_counter(*dogs), (), mixes)
    bags = []
    for _ in range(random.randint(1, 40)):
        dog = random.choice(dogs)
        eaten = [name for name in (*(cut.name for cut in CUTS), "mix 1", "mix 2") if not day.avoids(dog, name)]
        held = random.sample(eaten, random.randint(1, min(5, len(eaten))))
        bags.append(a_bag_of(*held, dog=dog.name, topped_up=random.choice((*held, ""))))
    return replace(day, bags=tuple(bags))


DAYS = 300


@pytest.mark.slow
def test_every_filling_has_one_turn() -> None:
    for seed in range(DAYS):
        day = a_random_day(Random(seed))
        turns = sorted((place, one.cut) for one in day.stations() for place in one.bags)
        assert turns == sorted((place, one.cut) for place, bag in enumerate(day.bags) for one in bag.fillings), seed
        assert all(list(one.bags) == sorted(one.bags) and one.bags for one in day.stations())


@pytest.mark.slow
def test_what_tops_a_bag_up_comes_after_all_else_in_it() -> None:
    topped_up = 0
    for seed in range(DAYS):
        day = a_random_day(Random(seed))
        stations = day.stations()
        for place, bag in enumerate(day.bags):
            turns = [one.cut for one in stations if place in one.bags]
            assert not bag.topped_up or turns[-1] == bag.topped_up, seed
            topped_up += bool(bag.topped_up) and len(turns) > 1
    assert topped_up > DAYS


@pytest.mark.slow
def test_a_bag_is_filled_in_one_phase_and_phases_follow_one_another() -> None:
    for seed in range(DAYS):
        day = a_random_day(Random(seed))
        stations = day.stations()
        phase_of: dict[int, set[int]] = {}
        for one in stations:
            for place in one.bags:
                phase_of.setdefault(place, set()).add(one.phase)
        assert all(len(phases) == 1 for phases in phase_of.values()), seed
        assert stations[0].phase == 1
        assert all(later.phase - one.phase in {0, 1} for one, later in pairwise(stations)), seed


@pytest.mark.slow
def test_no_bag_meets_what_its_dog_avoids() -> None:
    """Between two cleanings nothing is worked that a dog avoids whose bags stand there."""
    met = 0
    for seed in range(DAYS):
        day = a_random_day(Random(seed))
        stations = day.stations()
        for one in stations:
            dogs = {day.dog(place).name: day.dog(place) for place in one.bags}.values()
            beside = [other.cut for other in stations if other.phase == one.phase]
            assert not any(day.avoids(dog, cut) for dog in dogs for cut in beside), seed
            met += any(day.avoids(dog, cut) for dog in dogs for cut in day.fed())
    assert met > DAYS


@pytest.mark.slow
def test_a_dog_that_avoids_less_than_those_before_it_meets_nothing_that_they_left() -> None:
    """Most to avoid comes first; where all that a later phase avoids was avoided before, it was not touched before."""
    nested = 0
    for seed in range(DAYS):
        day = a_random_day(Random(seed))
        stations = day.stations()
        avoided = {one.phase: avoided_by(day, one) for one in stations}
        sizes = [len(avoided[phase]) for phase in sorted(avoided)]
        assert sizes == sorted(sizes, reverse=True), seed
        assert len(set(avoided.values())) == len(avoided), seed
        for one in stations:
            for later in stations:
                if later.phase > one.phase and avoided[later.phase] < avoided[one.phase]:
                    assert one.cut not in avoided[later.phase], seed
                    nested += 1
    assert nested > DAYS


def avoided_by(day: Day, station: Station) -> frozenset[str]:
    dog = day.dog(station.bags[0])
    return frozenset(name for name in day.fed() if day.avoids(dog, name))


@pytest.mark.parametrize("seed", range(20))
def test_the_order_of_dogs_cuts_and_mixes_does_not_matter(seed: int) -> None:
    day = a_random_day(Random(seed))
    turned = replace(
        day,
        scenario=replace(day.scenario, dogs=day.scenario.dogs[::-1], cuts=day.scenario.cuts[::-1]),
        mixes=day.mixes[::-1],
    )
    assert turned.stations() == day.stations()


@pytest.mark.slow
def test_the_order_of_bags_changes_nothing_but_their_places() -> None:
    for seed in range(100):
        day = a_random_day(Random(seed))
        last = len(day.bags) - 1
        turned = replace(day, bags=day.bags[::-1]).stations()
        back = tuple(replace(one, bags=tuple(sorted(last - place for place in one.bags))) for one in turned)
        assert back == day.stations(), seed
