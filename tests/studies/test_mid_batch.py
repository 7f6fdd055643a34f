"""In the middle of a batch: no bag is fed twice, none from before, none to a dog that avoids what is in it.

A small judge of its own looks at invented bags and dogs. **Source:** the sentences of `replan --help`, as arithmetic.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from random import Random

import pytest

from raworder.studies.mid_batch import Changed, Shared, daily_need, mid_batch, share_bags
from raworder.trade.cuts import Measure
from raworder.trade.document import Points, Verbatim
from raworder.trade.kept import NewBag
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.drawn import drawn, seeds

CUTS = (b.a_cut("chicken neck", species="chicken", kcal=180), b.a_cut("beef trim", kcal=200), b.a_cut("market mix"))
CHICKEN, BEEF = b.a_subject(Measure.SPECIES, "chicken"), b.a_subject(Measure.SPECIES, "beef")


def a_bag(label: int, dog: str, day: int, contents: dict[str, int] | None = None) -> NewBag:
    """A bag of 500 g of beef for a day of the batch, from 0."""
    food = contents or {"beef trim": 500}
    return NewBag(label, dog, "", b.STARTS + timedelta(day), 1, tuple(food.items()))


def a_kitchen(*dogs: str) -> Scenario:
    return b.a_scenario(dogs=[b.a_dog(name) for name in dogs], cuts=CUTS)


def two_weeks(*dogs: str, food: str = "beef trim") -> list[NewBag]:
    """A bag a day for each dog."""
    return [a_bag(place * 14 + day + 1, dog, day, {food: 500}) for place, dog in enumerate(dogs) for day in range(14)]


def on(day: int) -> date:
    return b.STARTS + timedelta(day)


def judge(bags: Sequence[NewBag], scenario: Scenario, changed: Changed, shared: Shared) -> None:
    """Hold what becomes of the bags against what was said, by plain counting."""
    cuts = {cut.name: cut for cut in scenario.cuts}
    joins = {dog.name: dog for dog in changed.joins}
    fates = [given.bag for given in shared.regiven] + list(shared.later + shared.kept + shared.left)
    assert len(fates) == len({bag.label for bag in fates})
    assert all(bag.feed_on >= changed.day for bag in fates)
    assert all(bag.dog in changed.ill for bag in shared.kept)
    assert not any(bag.dog in changed.ill for bag in fates if bag not in shared.kept)
    for given in shared.regiven:
        assert given.bag.dog in changed.gone or changed.is_away(given.bag)
        assert not any(joins[given.dog].avoids(cuts[cut]) for cut, _ in given.bag.contents)
        assert given.days
        assert len(given.days) <= 2
    for dog in changed.joins:
        mine = [given for given in shared.regiven if given.dog == dog.name]
        days = sorted({day for given in mine for day in given.days})
        until = shared.until[dog.name]
        assert (days[-1] if days else None) == until
        assert days == [changed.day + timedelta(number) for number in range(len(days))]
        eaten_g = sum(grams for given in mine for _, grams in given.bag.contents)
        heaviest_g = max((sum(grams for _, grams in given.bag.contents) for given in mine), default=0)
        assert -daily_need(dog) / 4 <= eaten_g - daily_need(dog) * len(days) <= heaviest_g
    accounted = {bag.label for bag in fates}
    for bag in bags:
        stays = bag.dog not in changed.gone | changed.ill and not changed.is_away(bag)
        assert (bag.label in accounted) == (bag.feed_on >= changed.day and not stays)


def test_no_day_has_two_whole_bags_where_bags_are_a_little_small() -> None:
    bags = [a_bag(day + 1, "Maple", day, {"beef trim": 540}) for day in range(14)]
    changed = Changed(on(0), gone=frozenset({"Maple"}), joins=(b.a_dog("Neo", daily_g=600),))
    shared = share_bags(bags, a_kitchen("Maple"), changed)
    judge(bags, a_kitchen("Maple"), changed, shared)
    eaten_g = {day: Fraction(0) for given in shared.regiven for day in given.days}
    for given in shared.regiven:
        for day in given.days:
            eaten_g[day] += Fraction(540, len(given.days))
    *days, last = sorted(eaten_g)
    assert all(500 <= eaten_g[day] <= 810 for day in days)
    assert eaten_g[last] == 1_080  # there is no day after it to halve a bag for
    assert len(eaten_g) == 12


def test_a_dog_that_joins_eats_the_bags_of_one_that_left() -> None:
    bags, changed = two_weeks("Maple", "Juniper"), Changed(on(6), gone=frozenset({"Maple"}), joins=(b.a_dog("Sorrel"),))
    shared = share_bags(bags, a_kitchen("Maple", "Juniper"), changed)
    assert shared.until == {"Juniper": on(13), "Sorrel": on(13)}
    assert [(given.bag.label, given.days) for given in shared.regiven] == [
        (day + 1, (on(day),)) for day in range(6, 14)
    ]
    judge(bags, a_kitchen("Maple", "Juniper"), changed, shared)


def test_two_that_join_run_out_on_the_same_day_and_get_what_the_other_may_not_eat() -> None:
    bags = two_weeks("Maple") + two_weeks("Juniper", food="chicken neck")
    bags = [replace(bag, label=place) for place, bag in enumerate(bags)]
    joins = (b.a_dog("Sorrel"), b.a_dog("Clover", avoid=[CHICKEN]))
    changed = Changed(on(4), gone=frozenset({"Maple", "Juniper"}), joins=joins)
    shared = share_bags(bags, a_kitchen("Maple", "Juniper"), changed)
    assert shared.until == {"Sorrel": on(13), "Clover": on(13)}
    assert {given.bag.dog for given in shared.regiven if given.dog == "Clover"} == {"Maple"}
    judge(bags, a_kitchen("Maple", "Juniper"), changed, shared)


def test_bags_of_the_days_away_are_eaten_at_the_end_where_nobody_joins() -> None:
    changed = Changed(on(3), away=(("Maple", on(5), on(7)),))
    shared = share_bags(two_weeks("Maple"), a_kitchen("Maple"), changed)
    assert shared.until == {"Maple": on(16)}
    assert [bag.label for bag in shared.later] == [6, 7, 8]


def test_a_dog_that_is_away_to_the_end_eats_its_bags_when_it_is_back() -> None:
    shared = share_bags(two_weeks("Maple"), a_kitchen("Maple"), Changed(on(10), away=(("Maple", on(10), on(20)),)))
    assert shared.until == {"Maple": on(24)}


def test_the_bags_of_an_ill_dog_are_kept_and_given_to_nobody() -> None:
    changed = Changed(on(3), ill=frozenset({"Maple"}), joins=(b.a_dog("Sorrel"),))
    shared = share_bags(two_weeks("Maple"), a_kitchen("Maple"), changed)
    assert shared.until == {"Sorrel": None}
    assert len(shared.kept) == 11
    (enough, kept) = (
        block
        for block in mid_batch(a_kitchen("Maple"), two_weeks("Maple"), changed, "x").blocks
        if isinstance(block, Points)
    )
    assert enough.title == "There is nothing for Sorrel: buy food now"
    assert "ask the veterinarian" in kept.items[0]
    (needs,) = enough.items
    assert needs.startswith("Sorrel needs ")
    days = (a_kitchen("Maple").batch.ends - on(3)).days + 1
    (following,) = (
        block.text
        for block in mid_batch(a_kitchen("Maple"), two_weeks("Maple"), changed, "x").blocks
        if isinstance(block, Verbatim)
    )
    assert f"raworder start joining.yaml --currency EUR --starts {on(3)} --days {days}\n" in following


def test_a_bag_too_large_for_two_days_is_left_over() -> None:
    changed = Changed(on(0), gone=frozenset({"Maple"}), joins=(b.a_dog("Sorrel", daily_g=200),))
    shared = share_bags(two_weeks("Maple"), a_kitchen("Maple"), changed)
    assert shared.until == {"Sorrel": None}
    assert len(shared.left) == 14


def test_a_ration_in_energy_counts_energy_and_goes_without_food_of_unknown_energy() -> None:
    from raworder.trade.dogs import EnergyRation

    hungry = replace(b.a_dog("Sorrel"), energy=EnergyRation((b.Fraction(500),) * 14))
    changed = Changed(on(0), gone=frozenset({"Maple"}), joins=(hungry,))
    assert share_bags(two_weeks("Maple"), a_kitchen("Maple"), changed).until == {
        "Sorrel": on(27)
    }  # 14 bags of 1000 kcal
    assert share_bags(two_weeks("Maple", food="market mix"), a_kitchen("Maple"), changed).until == {"Sorrel": None}


@drawn()
def test_the_judge_has_nothing_against_any_invented_change(block: int) -> None:
    for random in map(Random, seeds(block, 100)):
        names = ["Maple", "Juniper", "Bramble", "Thistle"][: random.randrange(1, 5)]
        bags = [
            a_bag(place * 14 + day, name, day, {random.choice(CUTS).name: random.randrange(50, 900)})
            for place, name in enumerate(names)
            for day in range(14)
        ]
        joins = tuple(
            b.a_dog(name, daily_g=random.randrange(100, 900), avoid=random.choice(([], [CHICKEN], [BEEF])))
            for name in ("Sorrel", "Clover", "Wren")[: random.randrange(0, 4)]
        )
        day = random.randrange(0, 14)
        changed = Changed(
            on(day),
            frozenset(random.sample(names, random.randrange(0, len(names) + 1))),
            frozenset(random.sample(names, random.randrange(0, 2))),
            tuple((name, on(day), on(day + 3)) for name in names[:1]),
            joins,
        )
        judge(bags, a_kitchen(*names), changed, share_bags(bags, a_kitchen(*names), changed))


def test_the_answer_comes_first_and_says_by_when_to_order() -> None:
    changed = Changed(on(6), gone=frozenset({"Maple"}), joins=(b.a_dog("Sorrel"),))
    document = mid_batch(a_kitchen("Maple", "Juniper"), two_weeks("Maple", "Juniper"), changed, "dogs.yaml")
    first = document.blocks[0]
    assert isinstance(first, Points)
    assert first.title == "Enough for all until Fri 19 Feb"
    says = " ".join(block.text for block in document.blocks if hasattr(block, "text"))
    assert "Order by Tue 16 Feb, so that bags are there on Sat 20 Feb." in says
    assert "raworder next dogs.yaml --starts 2027-02-20" in says
    assert "Keep this page for the case of a recall" in says


@pytest.mark.parametrize("day", [0, 13])
def test_nothing_changes_for_dogs_of_which_nothing_is_said(day: int) -> None:
    changed = Changed(on(day), gone=frozenset({"Maple"}))
    assert share_bags(two_weeks("Maple", "Juniper"), a_kitchen("Maple", "Juniper"), changed).until == {
        "Juniper": on(13)
    }
