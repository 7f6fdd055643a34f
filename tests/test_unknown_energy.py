"""Cuts of unknown energy: a dog that is fed by energy goes without, all others may have them, and one note tells so.

**Source:** worked out by hand; every name, price and amount is invented. No outside source.
"""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.auditing.checks import audit
from raworder.solving.solver import Settings
from raworder.studies.gaps import gaps_of, order_that_meets
from raworder.studies.orders import start_of
from raworder.studies.plain_facts import plain_facts
from raworder.trade.bags import Filling
from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import Dog, EnergyRation
from raworder.trade.nutrients import NutrientLimit, Per, Standing
from raworder.trade.plan import NoPlan, Plan, PlanWithheldError
from raworder.workflow import order_batch, plan_batch, with_nourishment
from tests.builders import a_bag, a_cut, a_dog, a_plan, a_portion, a_scenario, an_offer_by_weight, prey_model
from tests.nourishing.fed import TRIM, UNKNOWN, fed_with, least
from tests.reading.written import a_text, reading_of, scenario_of, slugs

# moor mince costs a tenth of the round, and nobody knows its energy
CUTS = "  - {cut: beef round, price: 6.00 per kg}\n  - {cut: moor mince, price: 0.60 per kg}"
OWN = "own_cuts: [{cut: moor mince, species: beef, bone: 0 %, fat: 5 %}]"
MUSCLE = "weight: 20 kg, targets: {muscle: 100 %}"


def text_of(*dogs: str, cuts: str = CUTS, own: str = OWN) -> str:
    """Dogs that eat meat alone."""
    entries = "\n".join(f"  - {{name: {dog}, {MUSCLE}}}" for dog in dogs)
    return a_text(dogs=entries, cuts=cuts, more=own)


def planned(folder: Path, text: str) -> dict[str, set[str]]:
    """The cuts in every dog's portions and bags, from a plan that passed the audit."""
    plan = plan_batch(scenario_of(folder, text), Settings())
    assert isinstance(plan, Plan)
    eaten = {one.dog: {each.cut for each in plan.portions if each.dog == one.dog} for one in plan.portions}
    bagged = {
        one.dog: {each.cut for bag in plan.bags if bag.dog == one.dog for each in bag.fillings} for one in plan.bags
    }
    assert eaten == bagged
    return eaten


def test_dogs_by_energy_go_without_and_others_get_the_cheap_cut(tmp_path: Path) -> None:
    text = text_of(
        "Maple, ration: 700 kcal",
        "Pip, ration: 4 %",
        "Kay, ration: 4 %, nutrients: {zinc: at least 1 mg per 1000 kcal}",
    )
    assert planned(tmp_path, text) == {"Maple": {"beef round"}, "Pip": {"moor mince"}, "Kay": {"beef round"}}


def test_a_model_that_forgets_it_is_caught_by_the_judge(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    scenario = scenario_of(tmp_path, text_of("Kay, ration: 4 %, nutrients: {calcium: at least 0 mg per 1000 kcal}"))
    monkeypatch.setattr(Dog, "goes_without", Dog.avoids)
    with pytest.raises(PlanWithheldError) as withheld:
        order_batch(scenario, Settings())
    assert "avoid" in {one.rule for one in withheld.value.breaches}


def test_where_its_energy_is_stated_it_is_fed(tmp_path: Path) -> None:
    own = OWN.replace("fat: 5 %", "fat: 5 %, analysis: {energy: 140 kcal}")
    assert planned(tmp_path, text_of("Maple, ration: 700 kcal", own=own)) == {"Maple": {"moor mince"}}


def test_one_warning_names_all_such_cuts_and_all_such_dogs(tmp_path: Path) -> None:
    cuts = f"{CUTS}\n  - {{cut: fen mince, price: 0.60 per kg}}"
    own = OWN.replace("]", ", {cut: fen mince, species: pork, bone: 0 %, fat: 5 %}]")
    dogs = (
        "Maple, ration: 700 kcal",
        "Pip, ration: 4 %",
        "Moss, ration: 500 kcal",
        "Vera, ration: 500 kcal, avoid: [pork]",
    )
    (found,) = reading_of(tmp_path, text_of(*dogs, cuts=cuts, own=own)).findings
    assert (found.slug, str(found.severity)) == ("energy-not-known", "warning")
    assert "`fen mince` and `moor mince`; `Maple`, `Moss` and `Vera`" in found.message
    assert "analysis: {energy: ... kcal}" in found.help


@pytest.mark.parametrize("dog", ["Pip, ration: 4 %", "Pip, ration: 500 kcal, avoid: [moor mince]"])
def test_nothing_is_noted_where_no_dog_is_concerned(tmp_path: Path, dog: str) -> None:
    assert slugs(reading_of(tmp_path, text_of(dog))) == []


def test_a_dog_to_which_nothing_else_is_left_is_an_error(tmp_path: Path) -> None:
    reading = reading_of(tmp_path, text_of("Maple, ration: 700 kcal, avoid: [beef round]"))
    assert slugs(reading) == ["no-energy-known"]
    assert reading.scenario is None


def by_energy(**changes: object) -> Dog:
    """Maple eats 1000 kcal a day: 500 g of trim."""
    dog = replace(a_dog(), energy=EnergyRation((Fraction(1_000),) * 14, settled=True))
    return replace(dog, **changes)  # type: ignore[arg-type] # what a dog takes


RULE = NutrientLimit("zinc", Per.MCAL, low=Fraction(1))


@pytest.mark.parametrize(
    ("dog", "blamed"),
    [
        (a_dog(), False),
        (by_energy(), True),
        (replace(a_dog(), nutrient_limits=(RULE,)), True),
        (replace(a_dog(), nutrient_limits=(replace(RULE, per=Per.DAY),)), False),
    ],
    ids=["by weight", "by energy", "rule per 1000 kcal", "rule a day"],
)
def test_a_judge_sees_to_it_in_portions_and_in_bags(dog: Dog, *, blamed: bool) -> None:
    scenario = a_scenario(dogs=[dog], cuts=(TRIM, UNKNOWN))
    portions = (a_portion("Maple", "trim", 6_999), a_portion("Maple", "mystery mince", 1))
    in_bag = a_bag((Filling("mystery mince", 1),))
    for plan in (a_plan(portions=portions), a_plan(portions=portions[:1], bags=(in_bag,))):
        told = [one for one in audit(scenario, plan) if one.rule == "avoid"]
        assert bool(told) is blamed
        assert all("mystery mince" in one.says and "energy" in one.says for one in told)


def test_a_gap_for_1000_kcal_is_not_filled_with_food_of_unknown_energy() -> None:
    # trim has 25 mg of zinc in 1000 kcal; what nobody knows the energy of would bring zinc and no energy
    rich = replace(UNKNOWN, analysis=replace(UNKNOWN.analysis, values=(("zinc", Fraction(50)),)))
    scenario = fed_with(least("zinc", 26), cuts=(TRIM, rich))
    offers = tuple(an_offer_by_weight(cut.name, price_per_kg=price) for cut, price in ((TRIM, 5), (rich, 6)))
    scenario = replace(scenario, offers=offers, dogs=tuple(replace(dog, targets=()) for dog in scenario.dogs))
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    (gap,) = gaps_of(with_nourishment(scenario, base).nourished, (Standing.BELOW,))
    assert isinstance(order_that_meets(scenario, (gap,), start_of(base), Settings()), NoPlan)


def a_bone(name: str, **more: object) -> Cut:
    """A cut of which two fifths are bone, and nobody knows its energy."""
    return a_cut(name, parts={Part.MUSCLE: "3/5", Part.BONE: "2/5"}, **more)  # type: ignore[arg-type] # what the builder takes


def test_why_there_is_no_plan_names_the_cuts_of_unknown_energy() -> None:
    scenario = a_scenario(
        dogs=[by_energy(energy=EnergyRation((Fraction(1_000),) * 14), targets=prey_model())],
        cuts=(TRIM, a_bone("frame")),
    )
    (told,) = [fact for fact in plain_facts(scenario) if "energy" in fact]
    assert told.startswith("Maple must get bone, but nobody knows the energy of the cuts that contain it")
    assert "(frame)" in told
