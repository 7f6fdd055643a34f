"""After the shop with rations in energy, rules on nutrients and supplements: a receipt tells of food alone.

**Source:** arithmetic; sums stand beside the numbers. All dogs, prices and receipts are invented.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.auditing.checks import audit
from raworder.reading.rations import least_day_g
from raworder.replanning import NUTRIENT_RULES_DROPPED, REPLANNED, SUPPLEMENTS_AT_HOME, ReplanResult, replan_batch
from raworder.solving.solver import Settings
from raworder.trade.dogs import EnergyRation
from raworder.trade.nutrients import NutrientLimit, Per, Supplement
from raworder.trade.plan import NoPlan, Plan
from raworder.trade.purchase import Receipt, Received, drop_nutrient_rules, fix_planned_amounts, planned_amounts
from raworder.trade.scenario import Scenario, SupplementOffer
from raworder.workflow import plan_batch
from tests import builders as b
from tests.nourishing.fed import a_food
from tests.supplemented import an_analysis

# 1 kcal a gram each; 20 mg of zinc in 1000 kcal of trim, 40 of heart, 10 of tripe
TRIM = a_food("trim", {"energy": 100, "zinc": 2})
HEART = a_food("heart", {"energy": 100, "zinc": 4}, kind="heart")
TRIPE = a_food("tripe", {"energy": 100, "zinc": 1}, kind="tripe")
TABLET = Supplement("zinc tablets", "tablet", Fraction(1), an_analysis({"zinc": 5}), 2, on_hand_steps=4)
CORNER = "Corner Store"


def by_energy(zinc: int) -> Scenario:
    """Maple, of 500 kcal a day for 14 days, with at least so much zinc."""
    energy = EnergyRation((Fraction(500),) * 14)
    limits = (NutrientLimit("zinc", Per.MCAL, Fraction(zinc)),)
    dog = replace(b.a_dog(), energy=energy, nutrient_limits=limits)
    day_g = least_day_g(dog, energy, (TRIM, HEART))
    scenario = b.a_scenario(
        dogs=[replace(dog, day_g=day_g, batch_g=sum(day_g))],
        cuts=(HEART, TRIM, TRIPE),
        offers=[
            b.an_offer("trim", key="trim", price=3),
            b.an_offer("heart", key="heart", price=9),
            b.an_offer("tripe", key="tripe", price=8),
        ],
        suppliers=(b.a_supplier(b.HOLLOW_LANE), b.a_supplier(CORNER, delivery=1)),
    )
    tablets = SupplementOffer("tablets", CORNER, TABLET.name, TABLET.name, 20, b.euros(2))
    return replace(scenario, supplements=(TABLET,), supplement_offers=(tablets,))


# 7 kg of trim, 21.00; 10 mg of zinc a day of 12.5: a tablet a day, 14 of 4 at home and a pack of 20, 3.00 with delivery
SCENARIO = by_energy(25)


def planned(scenario: Scenario = SCENARIO) -> Plan:
    """The plan before the shop."""
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    return plan


def line(cut: str, packs: int, paid: str) -> Received:
    """Packs of a kilogram."""
    return Received(cut, b.HOLLOW_LANE, cut, packs, packs * 1_000, Decimal(paid))


def replanned(*lines: Received, scenario: Scenario = SCENARIO, as_it_is: bool = False) -> tuple[ReplanResult, Plan]:
    """What comes of a receipt, a plan that breaks no rule."""
    found = replan_batch(scenario, Receipt(lines), Settings(), as_it_is=as_it_is)
    assert isinstance(found.answer, Plan), found.answer
    assert audit(found.scenario, found.answer) == ()
    return found, found.answer


def test_the_scenario_is_planned_as_worked_out_by_hand() -> None:
    plan = planned()
    assert (plan.total, plan.eaten_g("Maple", "trim")) == (Decimal("24.00"), 7_000)
    assert [(one.supplement, one.steps_a_day) for one in plan.doses] == [("zinc tablets", 1)]
    assert [(one.offer, one.units) for one in plan.supplement_lines] == [("tablets", 1)]


def test_food_bought_as_planned_leaves_the_plan_with_its_supplements_as_it_was() -> None:
    found, plan = replanned(line("trim", 7, "21.00"))
    assert plan == planned()
    assert (found.after, found.scenario) == (None, SCENARIO)


def test_other_food_is_fed_in_the_planned_grams_and_the_supplements_are_at_home() -> None:
    """A kilogram of heart in place of one of trim: 12 and 4 mg in 7 kg, and a tablet a day still makes enough."""
    found, plan = replanned(line("trim", 6, "18.00"), line("heart", 1, "9.00"))
    assert found.after is not None
    assert (found.after.enough, found.after.paid) == (True, Decimal("27.00"))
    assert {one.cut: one.batch_g for one in plan.portions} == {"heart": 1_000, "trim": 6_000}
    assert plan.remarks[:2] == (SUPPLEMENTS_AT_HOME, REPLANNED)
    # what was bought and was at home: 20 + 4
    assert [one.on_hand_steps for one in found.scenario.supplements] == [24]
    assert plan.supplement_lines == ()
    assert {bill.supplier for bill in plan.bills} == {b.HOLLOW_LANE}


def test_more_of_a_supplement_is_given_from_what_is_at_home_if_the_food_needs_it() -> None:
    """Of four kilograms of tripe and three of trim 100 of 175 mg, so 75, and a tablet a day gives 70 in 14 days: two.

    24 are there, and two a day would be 28. With three of tripe it is 110, so 65: a tablet a day is enough.
    """
    _, plan = replanned(line("trim", 4, "12.00"), line("tripe", 3, "24.00"))
    assert {one.cut: one.batch_g for one in plan.portions} == {"tripe": 3_000, "trim": 4_000}
    assert [one.steps_a_day for one in plan.doses] == [1]
    scenario = replace(SCENARIO, supplements=(replace(TABLET, on_hand_steps=28),))
    _, plan = replanned(line("trim", 3, "9.00"), line("tripe", 4, "32.00"), scenario=scenario)
    assert [one.steps_a_day for one in plan.doses] == [2]


@pytest.mark.slow
def test_where_the_food_cannot_meet_the_rule_nothing_is_asked_of_nutrients_and_that_is_told() -> None:
    """Five kilograms of tripe: 40 + 50 of 175 mg, 85 in 14 days are seven a day, and only 24 tablets are there."""
    found, plan = replanned(line("trim", 2, "6.00"), line("tripe", 5, "40.00"), as_it_is=True)
    assert NUTRIENT_RULES_DROPPED in plan.remarks
    assert [dog.nutrient_limits for dog in found.scenario.dogs] == [()]
    assert plan.doses == ()
    assert {one.cut: one.batch_g for one in plan.portions} == {"trim": 2_000, "tripe": 5_000}


def test_what_is_missing_is_fetched_in_the_planned_grams() -> None:
    """Two kilograms of trim were not there: 5.00 x 3.00 were paid and 6.00 are to be fetched."""
    found, plan = replanned(line("trim", 5, "15.00"))
    assert found.after is not None
    assert (found.after.paid, found.after.to_fetch) == (Decimal("15.00"), Decimal("6.00"))
    assert plan.eaten_g("Maple", "trim") == 7_000


def test_as_it_is_a_dog_by_energy_gets_what_there_is() -> None:
    """5000 of 7000 g are 357 whole grams of 500 a day, 4998 in 14 days."""
    found, plan = replanned(line("trim", 5, "15.00"), as_it_is=True)
    assert found.after is not None
    assert (found.after.short_g, plan.eaten_g("Maple", "trim")) == (2_002, 4_998)


def test_a_receipt_where_there_was_no_plan_is_planned_from_without_the_lists_of_supplements() -> None:
    """70 mg in 1000 kcal are in nothing; the food is fed all the same, and who sells tablets is not on the receipt."""
    scenario = by_energy(70)
    assert isinstance(plan_batch(scenario, Settings()), NoPlan)
    found = replan_batch(scenario, Receipt((line("trim", 7, "21.00"),)), Settings())
    assert isinstance(found.answer, Plan), found.answer
    assert audit(found.scenario, found.answer) == ()
    assert NUTRIENT_RULES_DROPPED in found.answer.remarks


def test_the_planned_scenario_has_grams_and_supplements_at_home_and_asks_for_the_same() -> None:
    made = fix_planned_amounts(SCENARIO, planned_amounts(planned()))
    (dog,) = made.dogs
    assert (dog.energy, dog.batch_g, sum(dog.day_g)) == (None, 7_000, 7_000)
    assert dog.nutrient_limits == SCENARIO.dogs[0].nutrient_limits
    assert ([one.on_hand_steps for one in made.supplements], made.supplement_offers) == ([24], ())
    assert [one.nutrient_limits for one in drop_nutrient_rules(made).dogs] == [()]
