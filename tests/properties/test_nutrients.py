"""What must hold of the least cost with rations in energy, rules on nutrients and supplements, whatever the scenario.

**Source:** the mathematics of a least cost: more choice cannot cost more, and what is asked of everything k times is
bought k times where it is sold by weight.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from fractions import Fraction
from random import Random
from typing import TypeVar

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from raworder.reading.rations import least_day_g
from raworder.solving.cheapest import cheapest
from raworder.solving.search import ANY_CHEAPEST, COST, HANDINESS, SearchGoal
from raworder.solving.solver import Settings
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import Dog, EnergyRation
from raworder.trade.nutrients import NutrientLimit, Per, RatioLimit, Supplement
from raworder.trade.plan import MILLION, Allocation, Plan
from raworder.trade.scenario import Scenario, SupplementOffer, Supplier
from raworder.workflow import order_batch
from tests import builders as b
from tests.drawn import examples
from tests.nourishing.fed import a_food
from tests.outside.invented_nutrients import with_nutrients
from tests.properties.strategies import SEEDS, at_most, cost_of
from tests.supplemented import an_analysis

Thing = TypeVar("Thing")
Change = Callable[[Scenario], Scenario]
CUT_UP = Portioning(least_portion_g=0)


def nourishing_scenarios() -> st.SearchStrategy[Scenario]:
    """Scenarios in which something is asked of nutrients, some rations are in energy, and supplements are offered."""
    return st.one_of(*(SEEDS.map(Random).map(make) for make in (with_nutrients, pinched)))


def pinched(random: Random) -> Scenario:
    """A dog by energy and one by grams whose food alone hardly meets what is asked, and supplements that do."""
    cuts = [
        a_food(
            f"cut {number}",
            {
                "energy": random.randint(100, 250),
                "zinc": random.randint(2, 6),
                "calcium": random.randint(5, 60),
                "phosphorus": random.randint(100, 220),
            },
        )
        for number in range(3)
    ]
    offers = [b.an_offer_by_weight(cuts[0].name, price_per_kg=random.randint(3, 15))]
    offers += [b.an_offer(cut.name, pack_g=500, price=random.randint(2, 8)) for cut in cuts[1:]]
    dogs = (_asking(random, b.a_dog("Maple")), _asking(random, by_energy(b.a_dog("Juniper"), 400, cuts)))
    scenario = b.a_scenario(dogs=dogs, cuts=cuts, offers=offers)
    holds = {"zinc": {"zinc": random.randint(2, 12)}, "shell": {"calcium": 380, "phosphorus": 3}}
    supplements = tuple(
        Supplement(name, "tablet", Fraction(1), an_analysis(values), random.randint(1, 4), random.choice((0, 0, 20)))
        for name, values in holds.items()
    )
    packs = tuple(
        SupplementOffer(
            f"{one.name} of {steps}", b.HOLLOW_LANE, one.name, one.name, steps, b.euros(random.randint(1, 9)), available
        )
        for one in supplements
        for steps, available in ((20, random.choice((None, 1))), (60, random.choice((None, 1))))
    )
    return replace(scenario, supplements=supplements, supplement_offers=packs)


def _asking(random: Random, dog: Dog) -> Dog:
    """The dog with rules that food alone meets dearly or not at all."""
    least = random.randint(22, 45)
    zinc = NutrientLimit("zinc", Per.MCAL, Fraction(least), Fraction(least + random.randint(2, 30)))
    calcium = RatioLimit("calcium", "phosphorus", Fraction(random.randint(2, 10), 10), Fraction(2))
    return replace(dog, nutrient_limits=(zinc,), ratio_limits=(calcium,) if random.random() < 0.7 else ())


def by_energy(dog: Dog, kcal: int, cuts: Iterable[Cut]) -> Dog:
    """The dog with a ration of so many kcal a day; its grams are the least that can hold them."""
    energy = EnergyRation((Fraction(kcal),) * 14)
    day_g = least_day_g(dog, energy, cuts)
    return replace(dog, energy=energy, day_g=day_g, batch_g=sum(day_g))


def _dogs_changed(scenario: Scenario, change: Callable[[Dog], Dog]) -> Scenario:
    return replace(scenario, dogs=tuple(map(change, scenario.dogs)))


def _limits_changed(scenario: Scenario, low: Fraction, high: Fraction) -> Scenario:
    """Every end of every limit times so much."""

    def nutrient(one: NutrientLimit) -> NutrientLimit:
        return replace(
            one, low=None if one.low is None else one.low * low, high=None if one.high is None else one.high * high
        )

    def ratio(one: RatioLimit) -> RatioLimit:
        return replace(
            one, low=None if one.low is None else one.low * low, high=None if one.high is None else one.high * high
        )

    return _dogs_changed(
        scenario,
        lambda dog: replace(
            dog,
            nutrient_limits=tuple(map(nutrient, dog.nutrient_limits)),
            ratio_limits=tuple(map(ratio, dog.ratio_limits)),
        ),
    )


def lower_leasts(scenario: Scenario) -> Scenario:
    return _limits_changed(scenario, Fraction(4, 5), Fraction(1))


def higher_mosts(scenario: Scenario) -> Scenario:
    return _limits_changed(scenario, Fraction(1), Fraction(5, 4))


def no_ratios(scenario: Scenario) -> Scenario:
    return _dogs_changed(scenario, lambda dog: replace(dog, ratio_limits=()))


def more_steps_a_day(scenario: Scenario) -> Scenario:
    supplements = (replace(one, most_steps=one.most_steps + 2) for one in scenario.supplements)
    return replace(scenario, supplements=tuple(supplements))


def more_at_home(scenario: Scenario) -> Scenario:
    supplements = (replace(one, on_hand_steps=one.on_hand_steps + 30) for one in scenario.supplements)
    return replace(scenario, supplements=tuple(supplements))


def more_packs_in_stock(scenario: Scenario) -> Scenario:
    return replace(
        scenario, supplement_offers=tuple(replace(one, available=None) for one in scenario.supplement_offers)
    )


def cheaper_supplements(scenario: Scenario) -> Scenario:
    """At half their price; where goods must reach an amount, that could cost more."""
    return replace(
        scenario, supplement_offers=tuple(replace(one, price=one.price / 2) for one in scenario.supplement_offers)
    )


def without_thresholds(scenario: Scenario) -> Scenario:
    def plain(one: Supplier) -> Supplier:
        return replace(one, minimum_order=b.euros(0), free_delivery_from=None)

    return replace(scenario, suppliers=tuple(map(plain, scenario.suppliers)))


LOOSENED: tuple[Change, ...] = (
    lower_leasts, higher_mosts, no_ratios, more_steps_a_day, more_at_home, more_packs_in_stock,
)  # fmt: skip


@pytest.mark.parametrize("loosen", LOOSENED)
@examples(4)
@given(nourishing_scenarios())
def test_the_cost_never_rises_when_a_rule_on_nutrients_or_supplements_is_loosened(
    loosen: Change, scenario: Scenario
) -> None:
    assert at_most(cost_of(loosen(scenario)), cost_of(scenario))


@examples(4)
@given(nourishing_scenarios())
def test_the_cost_never_rises_when_supplements_are_cheaper(scenario: Scenario) -> None:
    plain = without_thresholds(scenario)
    assert at_most(cost_of(cheaper_supplements(plain)), cost_of(plain))


@examples(6)
@given(nourishing_scenarios(), st.data())
def test_the_cost_never_rises_when_an_offer_of_a_supplement_is_added(scenario: Scenario, data: st.DataObject) -> None:
    assume(scenario.supplement_offers)
    gone = data.draw(st.sampled_from(scenario.supplement_offers))
    fewer = tuple(one for one in scenario.supplement_offers if one != gone)
    assert at_most(cost_of(scenario), cost_of(replace(scenario, supplement_offers=fewer)))


def cut_up(scenario: Scenario) -> Scenario:
    """The scenario without whole pieces, whose size depends on grams, and with grams given, none in energy."""
    portioning = replace(CUT_UP, divided=frozenset(cut.name for cut in scenario.cuts))
    plain = _dogs_changed(scenario, lambda dog: replace(dog, energy=None))
    return replace(plain, portioning=portioning)


def in_energy(scenario: Scenario, found: Allocation) -> Scenario:
    """Every ration as just the energy that the food of a plan in grams holds, day by day as the grams went."""
    kcal_per_g = {cut.name: cut.kcal_per_g or Fraction(0) for cut in scenario.cuts}

    def changed(dog: Dog) -> Dog:
        if dog.care:
            return dog
        eaten = ((cut, ug) for (name, cut), ug in found.eaten_ug.items() if name == dog.name)
        held = sum((ug * kcal_per_g[cut] for cut, ug in eaten), Fraction(0)) / MILLION
        energy = EnergyRation(tuple(held * grams / dog.batch_g for grams in dog.day_g))
        day_g = least_day_g(dog, energy, scenario.cuts)
        return replace(dog, energy=energy, day_g=day_g, batch_g=sum(day_g))

    return _dogs_changed(scenario, changed)


@examples(8)
@given(nourishing_scenarios())
def test_a_ration_of_the_energy_that_a_plan_in_grams_holds_costs_at_most_as_much(scenario: Scenario) -> None:
    by_grams = replace(cut_up(scenario), room_g=None)
    found = cheapest(by_grams, Settings(), ANY_CHEAPEST)
    assume(isinstance(found, Allocation))
    assert isinstance(found, Allocation)
    assert float(cost_of(in_energy(by_grams, found))) <= float(found.proof.bound) * (1 + 1e-4) + 0.02


@examples(5)
@given(nourishing_scenarios(), st.randoms(use_true_random=False))
def test_the_order_of_everything_in_the_file_changes_no_amount(scenario: Scenario, random: Random) -> None:
    def mixed(things: tuple[Thing, ...]) -> tuple[Thing, ...]:
        return tuple(random.sample(things, len(things)))

    other = replace(
        scenario,
        dogs=mixed(scenario.dogs),
        cuts=mixed(scenario.cuts),
        offers=mixed(scenario.offers),
        suppliers=mixed(scenario.suppliers),
        supplements=mixed(scenario.supplements),
        supplement_offers=mixed(scenario.supplement_offers),
    )
    one, two = order_batch(scenario, Settings()), order_batch(other, Settings())
    assert type(one) is type(two)
    if isinstance(one, Plan) and isinstance(two, Plan):
        for name in ("lines", "bills", "portions", "supplement_lines", "doses"):
            assert set(getattr(one, name)) == set(getattr(two, name)), name


def by_weight(random: Random, times: int) -> Scenario:
    """A dog of so many times 300 kcal a day, and three cuts to the gram at prices of their own."""
    cuts = [
        a_food(
            f"cut {number}",
            {"energy": random.randint(80, 300), "zinc": random.randint(1, 9)},
            parts={Part.MUSCLE: Fraction(random.randint(5, 10), 10), Part.LIVER: Fraction(random.randint(0, 4), 10)},
        )
        for number in range(3)
    ]
    offers = [b.an_offer_by_weight(cut.name, price_per_kg=random.randint(200, 1500)) for cut in cuts]
    limits = (NutrientLimit("zinc", Per.MCAL, low=Fraction(random.randint(15, 25))),)
    dog = replace(b.a_dog(targets=[b.a_target(Part.LIVER, "2/100", "20/100")]), nutrient_limits=limits)
    return b.a_scenario(dogs=[by_energy(dog, 300 * times, cuts)], cuts=cuts, offers=offers)


@examples(8)
@given(SEEDS, st.integers(2, 9))
def test_so_many_times_the_energy_is_so_many_times_the_grams(seed: int, times: int) -> None:
    # in exact money: the printed bill may be a cent less with some grams more of this and less of that
    exact = SearchGoal((COST, HANDINESS))
    once, more = (order_batch(by_weight(Random(seed), count), Settings(), exact) for count in (1, times))
    assert type(once) is type(more)
    if isinstance(once, Plan) and isinstance(more, Plan):
        before, after = ({one.cut: one.batch_g for one in plan.portions} for plan in (once, more))
        assert float(more.proof.bound) == pytest.approx(float(once.proof.bound) * times, rel=1e-4)
        for cut in before.keys() | after.keys():
            assert after.get(cut, 0) == pytest.approx(before.get(cut, 0) * times, abs=2 * times + 2)
