"""Why there is no plan: each kind of rule that alone stands in the way is named, with its number.

**Source:** arithmetic; sums stand beside the numbers.
"""

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.bags import Portioning
from raworder.cuts import Measure, Part
from raworder.plan import NoPlan, Plan, Reason
from raworder.solving.solver import Settings, SolverName
from raworder.solving.why import why_not
from raworder.trade import Scenario, Variety
from raworder.workflow import plan_batch
from tests import builders as b

BOTH_HALF = (b.a_cap(most="1/2"), b.a_cap(Measure.CUT, "beef trim", "1/2"))


def seven_kg(**asked: object) -> Scenario:
    """7 kg of trim at 2.40 per kg: 16.80."""
    return b.a_scenario(**asked)  # type: ignore[arg-type]  # tests pass what the builder takes


def two_suppliers() -> Scenario:
    """Half trim from one, half heart from the other."""
    offers = [b.an_offer("beef trim", pack_g=500), b.an_offer("beef heart", supplier=b.FENWICK, pack_g=500)]
    return b.a_scenario(dogs=[b.a_dog(caps=BOTH_HALF)], cuts=(b.TRIM, b.HEART), offers=offers, most_suppliers=1)


BLOCKED = {
    "budget": (seven_kg(budget=16), "16.00 EUR", "16.80 EUR"),
    "room": (seven_kg(room_g=6_500), "6.5 kg", "7 kg"),
    "supplier_count": (two_suppliers(), "at most 1", "2 suppliers"),
    "minimum_order": (
        seven_kg(suppliers=[b.a_supplier(minimum_order=40)], room_g=9_000),
        f"{b.HOLLOW_LANE} gets an order of at least 40.00 EUR",
        "16.80 EUR",
    ),
    "pack_count": (seven_kg(offers=[b.an_offer(available=6)]), "than the suppliers have", "beef trim"),
    "variety": (seven_kg(variety=Variety(2, Fraction(1, 5), Fraction(1))), "at least 2 species of 20.0 %", "16.80 EUR"),
    "cap": (
        seven_kg(dogs=[b.a_dog(caps=[b.a_cap(Measure.FAT, "", "1/10")])]),
        "fat at most 10.0 % for Maple",
        "12.5 %",
    ),
    "part_share": (seven_kg(dogs=[b.a_dog(targets=[b.a_target()])]), "bone at least 8.0 % for Maple", "0.0 %"),
}


@pytest.mark.parametrize("rule", BLOCKED)
@pytest.mark.parametrize("solver", SolverName)
def test_a_rule_that_alone_stands_in_the_way_is_named_with_its_number(rule: str, solver: SolverName) -> None:
    scenario, demand, without_it = BLOCKED[rule]
    answer = plan_batch(scenario, Settings(solver))
    assert isinstance(answer, NoPlan)
    found = {reason.rule: reason for reason in answer.reasons}
    assert rule in found
    assert demand in found[rule].demand
    assert without_it in found[rule].without_it


@pytest.mark.parametrize("rule", ["budget", "supplier_count", "pack_count", "variety", "cap", "part_share"])
def test_a_rule_that_is_not_in_the_way_is_not_named(rule: str) -> None:
    answer = why_not(BLOCKED[rule][0], Settings())
    rules = {reason.rule for reason in answer.reasons}
    assert rules <= {rule} | ({"cap"} if rule == "supplier_count" else set())


def test_the_high_end_of_a_range_is_named_when_it_is_in_the_way() -> None:
    """Neck alone is 40 % bone."""
    dog = b.a_dog(targets=[b.a_target(), b.a_target(Part.MUSCLE, "0", "1")])
    divided = Portioning(divided=frozenset({"chicken neck"}))
    answer = why_not(b.a_scenario(dogs=[dog], cuts=[b.NECK], portioning=divided), Settings())
    assert [reason.rule for reason in answer.reasons] == ["part_share"]
    assert answer.reasons[0].demand == "bone at most 12.0 % for Maple"
    assert "40.0 %" in answer.reasons[0].without_it


def test_several_rules_together_give_no_single_reason() -> None:
    """16.80 is above the budget of 16.00, and 7 kg are above the room of 6.5 kg."""
    assert why_not(seven_kg(budget=16, room_g=6_500), Settings()).reasons == ()


def test_what_a_dog_must_not_eat_is_never_left_out() -> None:
    """Nothing but beef on the list, and no beef for the dog."""
    dog = b.a_dog(avoid=[b.a_subject(Measure.SPECIES, "beef")])
    assert why_not(seven_kg(dogs=[dog]), Settings()).reasons == ()


def test_a_part_that_nothing_contains_is_told_by_plain_arithmetic() -> None:
    answer = why_not(seven_kg(dogs=[b.a_dog(targets=[b.a_target()])]), Settings())
    assert any("bone" in fact and "Maple" in fact for fact in answer.facts)


def test_what_an_order_would_cost_is_not_told_as_within_the_budget_that_it_exceeds() -> None:
    """Three packs at 3.35 and 7 % tax are 10.7535 before rounding: more than 10.75, and it must not read `10.75`."""
    scenario = b.a_scenario(
        dogs=[b.a_dog(daily_g=200)],
        offers=[b.an_offer(price="3.35")],
        suppliers=[b.a_supplier(sales_tax="7/100")],
        budget="10.75",
    )
    answer = plan_batch(scenario, Settings())
    if isinstance(answer, NoPlan):
        assert _cost_told(answer.reasons[0]) > Decimal("10.75")


def _cost_told(reason: Reason) -> Decimal:
    (cost,) = re.findall(r"costs ([0-9.]+) EUR", reason.without_it)
    return Decimal(cost)


@pytest.mark.parametrize(
    ("rule", "field"), [("budget", "budget"), ("room", "room_g"), ("supplier_count", "most_suppliers")]
)
def test_what_a_reason_promises_comes_true(rule: str, field: str) -> None:
    scenario = BLOCKED[rule][0]
    (reason,) = [one for one in why_not(scenario, Settings()).reasons if one.rule == rule]
    plan = plan_batch(replace(scenario, **{field: None}), Settings())
    assert not isinstance(plan, NoPlan)
    assert _cost_told(reason) == plan.total  # type: ignore[union-attr]  # it is a plan


def test_whole_pieces_that_stand_in_the_way_are_named_with_what_cutting_them_up_costs() -> None:
    """10 % bone of 7 kg are 700 g, 24 g in a neck: no whole number. 1.75 kg of neck and 5.25 kg of trim are 8 packs."""
    dog = b.a_dog(targets=[b.a_target(low="1/10", high="1/10")])
    scenario = b.a_scenario(dogs=[dog], cuts=(b.NECK, b.TRIM))
    found = {reason.rule: reason for reason in why_not(scenario, Settings()).reasons}
    assert "`divided: [chicken neck]`" in found["whole_pieces"].without_it
    assert _cost_told(found["whole_pieces"]) == Decimal("19.20")
    divided = replace(scenario, portioning=Portioning(divided=frozenset({"chicken neck"})))
    plan = plan_batch(divided, Settings())
    assert isinstance(plan, Plan)
    assert plan.total == Decimal("19.20")
