"""Why it cannot be done: hand-made scenarios of every kind, and what is proposed comes true.

**Source:** arithmetic, beside the numbers of each scenario; the properties are the study's own promises.
"""

from dataclasses import replace
from functools import cache

import pytest

from raworder.giving_way import smallest_change
from raworder.giving_way.family import apply_changes
from raworder.giving_way.remedies import remedy_text
from raworder.solving.solver import Settings, SolverName
from raworder.studies.asking import Ask
from raworder.studies.reasons import Asking, Why, explain_no_plan, reasons, reasons_paper
from raworder.trade.plan import NoPlan, Plan, Unsolved
from raworder.workflow import plan_batch
from tests import builders as b
from tests.studies.giving_way import STEPS, a_step_less, has_order, looked_into, only
from tests.studies.impossible import BLOCKED, fed
from tests.studies.telling import told


@cache
def found(name: str) -> Why:
    """What the study finds about a scenario made by hand."""
    return looked_into(BLOCKED[name].scenario)


@pytest.mark.slow
@pytest.mark.parametrize("name", BLOCKED)
def test_every_single_change_that_opens_a_plan_is_told_by_its_least_amount(name: str) -> None:
    scenario, why = BLOCKED[name].scenario, found(name)
    told = [remedy_text(scenario, one.opened.changes[0]) for one in why.menu if one.opened]
    assert sorted(told) == sorted(BLOCKED[name].alone)


@pytest.mark.slow
@pytest.mark.parametrize("name", BLOCKED)
def test_where_no_single_change_is_enough_the_fewest_are_told_together(name: str) -> None:
    scenario, together = BLOCKED[name].scenario, found(name).together
    changes = together.opened.changes if together and together.opened else ()
    assert sorted(remedy_text(scenario, change) for change in changes) == sorted(BLOCKED[name].together)


@pytest.mark.slow
@pytest.mark.parametrize("name", BLOCKED)
def test_the_rules_that_clash_are_named(name: str) -> None:
    assert sorted(demand.rule for demand in found(name).clash) == sorted(BLOCKED[name].clash)


@pytest.mark.parametrize("name", [name for name, blocked in BLOCKED.items() if blocked.says])
def test_what_arithmetic_shows_is_told(name: str) -> None:
    paper = reasons_paper(BLOCKED[name].scenario, found(name))
    assert BLOCKED[name].says in told(paper)


@pytest.mark.parametrize("name", BLOCKED)
def test_what_is_proposed_gives_a_plan_at_the_cost_that_is_told(name: str) -> None:
    scenario, why = BLOCKED[name].scenario, found(name)
    for one in (*why.menu, why.together):
        if one and one.opened:
            plan = plan_batch(apply_changes(scenario, one.opened.changes), Settings())
            assert isinstance(plan, Plan)
            assert (plan.total, plan.proof.proved) == (one.opened.total, one.opened.proved)


@pytest.mark.slow
@pytest.mark.parametrize("name", BLOCKED)
def test_the_rules_that_clash_can_be_met_without_any_one_of_them_and_not_together(name: str) -> None:
    scenario, clashing = BLOCKED[name].scenario, found(name).clash
    if clashing:
        assert isinstance(plan_batch(only(scenario, clashing), Settings()), NoPlan)
    for demand in clashing:
        assert has_order(only(scenario, [one for one in clashing if one is not demand]))


@pytest.mark.parametrize("name", BLOCKED)
def test_a_step_less_than_what_is_proposed_gives_no_plan(name: str) -> None:
    scenario = BLOCKED[name].scenario
    for one in found(name).menu:
        if one.opened and one.demands[0].rule in STEPS:
            less = a_step_less(one.opened.changes[0])
            assert isinstance(plan_batch(apply_changes(scenario, [less]), Settings()), NoPlan)


def test_the_scenarios_are_many_and_of_different_kinds() -> None:
    assert len(BLOCKED) >= 25
    rules = {rule for blocked in BLOCKED.values() for rule in blocked.clash}
    assert rules == {
        "budget", "room", "supplier_count", "minimum_order", "pack_count", "variety", "part_share", "cap",
        "whole_pieces", "day_most", "least_portion", "cut_count", "least_purchase", "resting_energy", "hold",
    }  # fmt: skip


def test_a_budget_missed_only_by_rounding_is_told_by_what_is_printed() -> None:
    """Half-cents round up: two lines of 1.005 are 2.01 before rounding and 2.02 on the bill."""
    offers = [
        b.an_offer_by_weight(cut, price_per_kg="0.335", unit_g=100, available_g=3_000)
        for cut in ("beef trim", "beef heart")
    ]
    dog = b.a_dog(batch_g=6_000, daily_g="6000/14")
    scenario = fed(dog, cuts=(b.TRIM, b.HEART), offers=offers, budget="2.01")
    answer = plan_batch(scenario, Settings())
    assert answer == NoPlan()
    (row,) = [one.opened for one in looked_into(scenario).menu if one.opened and one.demands[0].rule == "budget"]
    assert remedy_text(scenario, row.changes[0]) == "budget: 2.02"


def test_a_scenario_with_a_plan_is_told_to_have_nothing_in_the_way() -> None:
    paper = reasons(b.a_scenario(), Ask())
    assert paper.key == "no_plan"
    assert "There is a plan. The cheapest order costs 16.80 EUR, proved." in told(paper)


def test_one_rule_is_told_once_for_all_the_dogs_that_it_binds() -> None:
    dogs = [b.a_dog(name, targets=[b.a_target()]) for name in ("Maple", "Juniper", "Bramble", "Fern", "Thistle")]
    scenario = fed(*dogs)
    (demand,) = looked_into(scenario).clash
    assert demand.text(scenario) == "bone at least 8 % for 5 dogs"


@pytest.mark.slow
@pytest.mark.parametrize("avoiding", [("Maple",), ("Maple", "Fern"), ("Juniper", "Fern"), ("Maple", "Juniper", "Fern")])
def test_no_clash_blames_a_dog_that_is_not_concerned(avoiding: tuple[str, ...]) -> None:
    """Each dog that is blamed has no order by itself, and every other has one, though all are fed by the same rule."""
    dogs = {
        name: b.a_dog(name, targets=[b.a_target()], avoid=[b.a_subject()] if name in avoiding else [])
        for name in ("Maple", "Juniper", "Fern")
    }
    scenario = fed(*dogs.values(), cuts=(b.NECK, b.TRIM))
    why = looked_into(scenario)
    blamed = {name for demand in why.clash for name in demand.dogs}
    assert blamed == {name for name, dog in dogs.items() if not has_order(replace(scenario, dogs=(dog,)))}
    said = told(reasons_paper(scenario, why))
    assert all(name not in said for name in set(dogs) - set(avoiding))


def test_a_rule_gives_way_only_for_the_dogs_that_cannot_be_fed_by_it() -> None:
    """Maple must not eat the only cut with bone; Juniper may."""
    dogs = [
        b.a_dog("Maple", targets=[b.a_target()], avoid=[b.a_subject()]),
        b.a_dog("Juniper", targets=[b.a_target()]),
    ]
    scenario = fed(*dogs, cuts=(b.NECK, b.TRIM))
    why = looked_into(scenario)
    (opened,) = [one.opened for one in why.menu if one.opened]
    assert opened.changes[0].demand.dogs == ("Maple",)
    assert why.clash[0].dogs == ("Maple",)
    paper = told(reasons_paper(scenario, why))
    assert "bone at least 0 % for Maple (8 percentage points less, up to 560 g over the batch)" in paper


@pytest.mark.slow
@pytest.mark.parametrize("name", ["a freezer too small", "too little liver", "bone to the gram from whole necks"])
def test_the_other_solver_proposes_the_same(name: str) -> None:
    scenario = BLOCKED[name].scenario
    why = explain_no_plan(scenario, NoPlan(), Asking(Ask(Settings(SolverName.CBC)), scenario))
    told = [remedy_text(scenario, one.opened.changes[0]) for one in why.menu if one.opened]
    assert sorted(told) == sorted(BLOCKED[name].alone)
    assert sorted(demand.rule for demand in why.clash) == sorted(BLOCKED[name].clash)


def test_the_paper_is_the_same_whether_the_workflow_was_asked_before_or_not() -> None:
    scenario = fed(budget=16)
    answer = plan_batch(scenario, Settings())
    assert isinstance(answer, NoPlan)
    before, after = (told(reasons(scenario, Ask(), known)) for known in (answer, None))
    assert before.replace("questions", "")[:-60] == after.replace("questions", "")[:-60]


def test_after_an_interrupt_what_is_there_is_told_as_partial() -> None:
    ask = Ask(interrupted=True)
    assert "Time ran out before everything was tried" in told(reasons(fed(budget=16), ask, NoPlan()))
    assert "Time ran out before everything was tried" in told(reasons(fed(budget=16), ask))


def test_where_time_is_up_before_a_plan_is_made_no_number_is_proposed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(smallest_change, "plan_batch", lambda *_: Unsolved("the time limit came first"))
    paper = told(reasons(fed(budget=16), Ask(), NoPlan()))
    assert "no plan was made in time" in paper
    assert "the order costs at most 16.00 EUR" in paper
    assert "budget: " not in paper.replace("budget: the order", "").replace("budget: The order", "")


def test_a_time_limit_too_short_for_anything_is_told_and_proposes_nothing() -> None:
    scenario = replace(fed(budget=16), room_g=6_500)
    paper = told(reasons(scenario, Ask(Settings(time_limit_s=1e-9)), NoPlan()))
    assert "No plan" in paper
