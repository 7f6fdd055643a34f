"""What the papers promise beside the rules' first words: bags of a patient, phases, fewest kinds, dogs on one mix.

All dogs and amounts are invented. **Source:** the sums stand beside the numbers; no outside source.
"""

from collections.abc import Callable
from dataclasses import replace
from itertools import product
from random import Random

import pytest

from raworder.auditing.checks import audit
from raworder.auditing.filled_bags import _can_be_dealt
from raworder.portioning.bag_needs import counts_of
from raworder.portioning.fewest_kinds import _is_sum_of_counts
from raworder.trade.cuts import Measure
from raworder.trade.plan import Plan
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
    with_grams,
)
from tests.builders import a_bag, a_dog, a_dog_in_care, a_filling, a_subject


def a_patient() -> tuple[Scenario, Plan]:
    """A dog under care that is given 100 g of trim and 20 g of liver a day, in two meals."""
    fillings = (a_filling("beef trim", 50), a_filling("lamb liver", 10))
    bags = [a_bag(fillings, day=day, meal=meal, topped_up="") for day in DAYS for meal in (1, 2)]
    patient = a_dog_in_care("Maple", {"beef trim": 1_400, "lamb liver": 280})
    return fed_from_stock(bags, dogs=(replace(patient, meals=2),))


@pytest.mark.parametrize(("grams", "rules"), [(1, set()), (2, {"vet_amount"}), (-2, {"vet_amount"})])
def test_a_patient_gets_every_day_what_was_given_for_it(grams: int, rules: set[str]) -> None:
    scenario, plan = a_patient()
    assert blamed(scenario, plan) == set()
    # from the first bag of one day into the first bag of another: the batch is what it was
    assert blamed(scenario, with_grams(plan, {(0, "lamb liver"): -grams, (8, "lamb liver"): grams})) == rules


def test_an_uneven_day_of_a_patient_is_told_with_both_amounts() -> None:
    scenario, plan = a_patient()
    found = audit(scenario, with_grams(plan, {(0, "lamb liver"): -5, (8, "lamb liver"): 5}))
    assert [one.says for one in found] == [
        "its bags of 2027-02-06 hold 15 g of lamb liver; every day alike, 20 g are due"
    ]


def test_a_patients_bag_is_not_empty_where_there_is_a_gram_for_each() -> None:
    scenario, plan = a_patient()
    more = {(1, cut): grams for cut, grams in (("beef trim", 50), ("lamb liver", 10))}
    bags = with_grams(plan, more).bags
    # all that is due on the first day is in its second bag
    stations = tuple(replace(one, bags=tuple(place for place in one.bags if place)) for one in plan.stations)
    emptied = replace(plan, bags=(replace(bags[0], fillings=()), *bags[1:]), stations=stations)
    assert [(one.rule, one.says) for one in audit(scenario, emptied)] == [
        ("bag_sum", "its bag of 2027-02-06, meal 1, is empty")
    ]


def test_less_than_a_gram_for_each_bag_leaves_some_of_them_empty() -> None:
    gram = (a_filling("beef trim", 1),)
    bags = [a_bag(gram if meal == 1 else (), day=day, meal=meal, topped_up="") for day in DAYS for meal in (1, 2)]
    patient = replace(a_dog_in_care("Maple", {"beef trim": 14}), meals=2)
    assert blamed(*fed_from_stock(bags, dogs=(patient,))) == set()


# ---- phases


def beside_another(avoided: str) -> tuple[Scenario, Plan]:
    """Maple, and Juniper, who eats nothing but trim and must not eat something; all in one phase."""
    other = a_dog("Juniper", avoid=(a_subject(Measure.SPECIES, avoided),))
    bags = (*a_fortnight(), *(a_ration(day, {}, dog="Juniper") for day in DAYS))
    return fed_from_stock(bags, dogs=(MAPLE, other))


def in_phases(plan: Plan, phase_of: Callable[[str], int]) -> Plan:
    """The plan with a phase for each dog."""
    parts = [
        replace(one, phase=phase_of(dog), bags=tuple(place for place in one.bags if plan.bags[place].dog == dog))
        for one in plan.stations
        for dog in ("Maple", "Juniper")
    ]
    return replace(plan, stations=tuple(sorted((one for one in parts if one.bags), key=lambda one: one.phase)))


def test_nothing_that_a_dog_must_not_eat_is_handled_in_its_phase() -> None:
    scenario, plan = beside_another("lamb")
    (told,) = audit(scenario, plan)
    assert (told.rule, told.subject) == ("avoid", "Juniper")
    assert told.says == "its bags are filled in phase 1 beside lamb liver, which it must not eat"
    assert blamed(scenario, in_phases(plan, {"Maple": 2, "Juniper": 1}.__getitem__)) == set()
    assert blamed(*beside_another("pork")) == set()


def test_phases_are_worked_one_after_the_other_from_the_first_on() -> None:
    scenario, plan = beside_another("lamb")
    for phases in ({"Maple": 3, "Juniper": 1}, {"Maple": 2, "Juniper": 0}):
        assert blamed(scenario, in_phases(plan, phases.__getitem__)) == {"bag_sum"}
    stations = in_phases(plan, {"Maple": 2, "Juniper": 1}.__getitem__).stations
    (told,) = audit(scenario, replace(plan, stations=stations[::-1]))
    assert told.says == "its phases are worked as 2, 2, 2, 2, 1"


# ---- fewest kinds


@pytest.mark.parametrize(
    ("least", "says"),
    [
        # two necks in each of 14 bags: one kind could hold them
        (1, []),
        (2, ["could have fewer kinds of bag than 2, said to be the fewest"]),
        (3, ["has fewer kinds of bag than 3, said to be the fewest"]),
    ],
)
def test_the_fewest_kinds_that_are_told_are_the_fewest(least: int, says: list[str]) -> None:
    plan = replace(FORTNIGHT_PLAN, least_kinds=(("Maple", least),))
    assert [(one.rule, one.says) for one in audit(FORTNIGHT, plan)] == [("scale_step", one) for one in says]


def test_what_pieces_can_be_dealt_to_is_what_counting_all_ways_says() -> None:
    chance, seen = Random(7), {True: 0, False: 0}
    for _ in range(150):
        bags, kinds = chance.randint(3, 16), chance.randint(1, 3)
        pieces = {chance.randint(0, 20) for _ in range(chance.randint(1, 3))}
        # so many bags of each kind, so many pieces in each of them: written out, with no sum of parts
        ways = [some for some in product(range(1, bags + 1), repeat=kinds) if sum(some) == bags]
        counted = any(
            all(
                any(
                    sum(a * b for a, b in zip(some, each, strict=True)) == number
                    for each in product(range(21), repeat=kinds)
                )
                for number in pieces
            )
            for some in ways
        )
        assert _can_be_dealt(pieces, bags, kinds) == counted, (pieces, bags, kinds)
        model = any(all(_is_sum_of_counts(number, set(some)) for number in pieces) for some in counts_of(bags, kinds))
        assert model == counted, (pieces, bags, kinds)
        seen[counted] += 1
    assert min(seen.values()) >= 20, seen


# ---- dogs on one mix


def with_portions(more_g: dict[tuple[str, str], int]) -> Plan:
    """The plan fed from tubs with so much more, or less, in a dog's portion; bags and mix stay as they are."""
    portions = (replace(one, batch_g=one.batch_g + more_g.get((one.dog, one.cut), 0)) for one in TUBS_PLAN.portions)
    return replace(TUBS_PLAN, portions=tuple(portions))


@pytest.mark.parametrize(("grams", "rules"), [(1, set()), (2, {"bag_sum"}), (20, {"bag_sum"})])
def test_dogs_on_one_mix_eat_of_each_cut_what_the_mix_holds(grams: int, rules: set[str]) -> None:
    # Juniper, who gets a third of the mix, may be off by 1 + 2 x 1/3 g, which is less than 2
    changed = {
        ("Maple", "lamb liver"): grams, ("Maple", "beef trim"): -grams,
        ("Juniper", "lamb liver"): -grams, ("Juniper", "beef trim"): grams,
    }  # fmt: skip
    found = audit(TUBS, with_portions(changed))
    assert {one.rule for one in found} == rules
    if grams == 20:
        assert "gets 350 g of lamb liver with mix 1, its portion is 370 g" in [one.says for one in found]
