"""Orders of more dogs than are proved to the cent: near their bound, the same on every run, and honest about it.

**Source:** arithmetic, and the exact search, which proves the same scenario to the cent.
"""

from collections.abc import Collection
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from raworder.commands.desk import Exit, exit_code
from raworder.reporting.summary import proof_text
from raworder.solving import many_dogs
from raworder.solving.bag_room import limits_on_pieces
from raworder.solving.cheapest import cheapest
from raworder.solving.many_dogs import (
    Around,
    find_near,
    fit_every_dog,
    order_without_pieces,
    search_around,
    share_order,
)
from raworder.solving.search import (
    CHEAPEST_HANDIEST,
    COST,
    Impossible,
    SearchGoal,
    Solved,
    scraps_of,
    units_by_offer,
)
from raworder.solving.solver import Ending, Outcome, Settings, Stop
from raworder.trade.plan import NEAR_ENOUGH, Allocation, Plan, Proof
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch
from tests import builders as b
from tests.outside.test_many_dogs_by_enumeration import fourteen_dogs


def twelve_of(scenario: Scenario) -> Scenario:
    return replace(scenario, dogs=scenario.dogs[:12])


def near(scenario: Scenario, wanted: SearchGoal = CHEAPEST_HANDIEST) -> Solved:
    found = find_near(scenario, Settings(), wanted)
    assert isinstance(found, Solved)
    return found


def allocated(scenario: Scenario, settings: Settings) -> Allocation:
    found = cheapest(scenario, settings)
    assert isinstance(found, Allocation)
    return found


@pytest.mark.parametrize("seed", range(4))
def test_an_order_of_many_dogs_is_near_the_cheapest_and_its_bound_is_no_higher(seed: int) -> None:
    scenario = fourteen_dogs(seed)
    found, proved = near(scenario), allocated(scenario, Settings(prove=True)).proof
    assert proved.proved
    assert not proved.near_is_enough
    least, cost = float(proved.bound), found.cost.value or 0.0
    assert (found.cost.bound or 0.0) <= least + 0.01
    assert least - 0.01 <= cost <= (found.cost.bound or 0.0) * float(1 + NEAR_ENOUGH)


def test_up_to_twelve_dogs_are_proved_to_the_cent_unasked() -> None:
    many = fourteen_dogs(0)
    assert not many.proved_to_the_cent
    assert allocated(many, Settings()).proof.near_is_enough
    few = twelve_of(many)
    assert few.proved_to_the_cent
    proof = allocated(few, Settings()).proof
    assert proof.proved
    assert not proof.near_is_enough


def test_the_same_scenario_gives_the_same_order_again() -> None:
    scenario = fourteen_dogs(3)
    assert allocated(scenario, Settings()) == allocated(scenario, Settings())


def test_dogs_whose_bags_cannot_be_filled_are_fed_as_a_group_of_their_own() -> None:
    def unfilled(allocation: Allocation) -> Collection[str]:
        return (
            {"Dog 01", "Dog 02"}
            if any("Dog 01" in names and "Dog 04" in names for names in allocation.fed_alike)
            else ()
        )

    scenario = fourteen_dogs(1)
    alike = [{dog.name for dog in group.dogs} for group in near(scenario).problem.groups]
    assert any({"Dog 01", "Dog 02", "Dog 04"} <= names for names in alike)
    parted = near(scenario, replace(CHEAPEST_HANDIEST, unfilled=unfilled))
    assert {"Dog 01", "Dog 02"} in [{dog.name for dog in group.dogs} for group in parted.problem.groups]


def test_where_no_bags_ever_fit_the_search_for_another_order_ends() -> None:
    tried = []

    def unfilled(allocation: Allocation) -> Collection[str]:
        tried.append(allocation)
        return {f"Dog {len(tried):02}"}

    assert near(fourteen_dogs(1), replace(CHEAPEST_HANDIEST, unfilled=unfilled))
    assert len(tried) == many_dogs.MOST_PARTINGS


@pytest.mark.parametrize("area", [Around(0, True, 50), Around(2, False, 50), Around(None, False, 50)])
def test_an_area_limits_what_is_bought_and_leaves_the_problem_as_it_was(area: Around) -> None:
    divided = order_without_pieces(fourteen_dogs(4), Settings(), CHEAPEST_HANDIEST)
    assert isinstance(divided, Solved)
    problem = divided.problem
    before = {unknown.name: (unknown.lowBound, unknown.upBound, unknown.cat) for unknown in problem.lp.variables()}
    found = search_around(divided, Settings(), (area,))
    if isinstance(found, Solved) and area.packs is not None:
        apart = [abs(found.found[buy.name] - divided.found[buy.name]) for buy in problem.buy.values()]
        assert max(apart) <= area.packs + 1e-6
    after = {unknown.name: (unknown.lowBound, unknown.upBound, unknown.cat) for unknown in problem.lp.variables()}
    assert {name: after[name] for name in before} == before


def test_no_order_is_said_only_where_there_is_none() -> None:
    scenario = fourteen_dogs(2)
    liverless = replace(scenario, offers=tuple(offer for offer in scenario.offers if offer.cut != "lamb liver"))
    assert isinstance(cheapest(liverless, Settings()), Impossible)


def test_a_plan_says_how_far_above_the_cheapest_it_can_be_and_that_is_a_plan() -> None:
    plan = plan_batch(fourteen_dogs(1), Settings())
    assert isinstance(plan, Plan)
    assert exit_code(plan) is Exit.PLAN
    far = replace(plan, proof=Proof(False, plan.counted / Decimal("1.003"), "by hand", near_is_enough=True))
    assert exit_code(far) is Exit.NOT_PROVED
    close = replace(plan, proof=Proof(False, plan.counted / Decimal("1.001"), "by hand", near_is_enough=True))
    assert exit_code(close) is Exit.PLAN
    assert exit_code(replace(close, proof=replace(close.proof, near_is_enough=False))) is Exit.NOT_PROVED
    assert "(0.10 %) above the cheapest" in proof_text(b.a_scenario(), close)
    assert "(0.30 %) above the cheapest" in proof_text(b.a_scenario(), far)


def test_the_share_above_the_bound_is_never_below_nothing() -> None:
    proof = Proof(False, Decimal(100), "by hand")
    assert proof.share_above(Decimal("100.20")) == Fraction(2, 1000)
    assert proof.share_above(Decimal(99)) == 0
    assert Proof(False, Decimal(0), "by hand").share_above(Decimal(1)) == 0


def test_a_search_that_is_stopped_ends_with_the_best_order_shared_out(monkeypatch: pytest.MonkeyPatch) -> None:
    stop, real = Stop(), many_dogs.minimise

    def stopped_after(*given: Any, **more: Any) -> Outcome:
        outcome = real(*given, **more)
        stop.asked = True  # as by Ctrl-C while the first search runs
        return outcome

    monkeypatch.setattr(many_dogs, "minimise", stopped_after)
    found = find_near(fourteen_dogs(0), Settings(stop=stop), CHEAPEST_HANDIEST)
    assert isinstance(found, Solved)
    assert found.problem.pieces
    assert Settings(stop=stop).left_since(0.0).time_is_up


def test_within_a_time_limit_the_best_found_is_kept() -> None:
    found = find_near(fourteen_dogs(0), Settings(time_limit_s=5), CHEAPEST_HANDIEST)
    assert isinstance(found, Solved)
    assert (found.cost.bound or 0.0) <= (found.cost.value or 0.0)


def divided_order(seed: int) -> Solved:
    divided = order_without_pieces(fourteen_dogs(seed), Settings(), CHEAPEST_HANDIEST)
    assert isinstance(divided, Solved)
    return divided


def test_near_enough_is_a_fifth_of_a_percent_less_what_rounding_can_add() -> None:
    problem = divided_order(0).problem
    assert many_dogs._near_enough(problem, 1000.0) == pytest.approx(1002 - problem.most_rounded_off)


def test_a_search_of_all_orders_raises_the_bound_only_where_nothing_is_beyond_the_rules(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Whole necks cost 155.94 here, and divided ones 154.16."""
    real, anywhere = many_dogs._minimise_cost, (Around(None, False, 500),)
    monkeypatch.setattr(many_dogs, "_minimise_cost", lambda *given: replace(real(*given), bound=155.0))
    bounds = []
    for raises in (True, False):
        found = search_around(divided_order(4), Settings(), anywhere, bounds=raises)
        assert isinstance(found, Solved)
        bounds.append(found.cost.bound)
    assert bounds == [155.0, divided_order(4).cost.bound]


def test_a_scrap_of_the_order_that_is_kept_is_forbidden(monkeypatch: pytest.MonkeyPatch) -> None:
    divided = divided_order(4)
    pair = (divided.problem.groups[0].name, "lamb liver")
    monkeypatch.setattr(many_dogs, "scraps_of", lambda _: frozenset({pair}))  # as if its liver were a scrap
    found = search_around(divided, Settings())
    assert isinstance(found, Solved)
    assert pair in found.problem.taken
    assert found.found[found.problem.taken[pair].name] == pytest.approx(1)


def test_the_cheapest_of_some_orders_is_not_taken_for_the_cheapest_of_all() -> None:
    divided = divided_order(4)
    far_below = replace(divided.cost, bound=(divided.cost.bound or 0.0) - 5)
    found = search_around(replace(divided, outcomes={COST.key: far_below}), Settings(), (Around(None, False, 2000),))
    assert isinstance(found, Solved)
    assert found.cost.bound == far_below.bound
    assert found.cost.ending is Ending.FEASIBLE


def test_the_same_purchase_is_fed_without_scraps_and_the_problem_forbids_no_more_than_before() -> None:
    found = search_around(divided_order(0), Settings())
    assert isinstance(found, Solved)
    problem, most = found.problem, (found.cost.value or 0.0) + 0.01
    forbidden = many_dogs._forbidden_scraps(problem)
    fed = many_dogs._feed_without_scraps(found, most, Settings())
    assert fed is not None
    assert not scraps_of(fed)
    assert dict(units_by_offer(fed)) == dict(units_by_offer(found))
    assert many_dogs._forbidden_scraps(problem) == forbidden
    assert len(problem.taken) > len(forbidden)


def test_where_leaving_out_scraps_leads_far_away_another_way_is_tried_from_the_same_order(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    order = search_around(divided_order(4), Settings())
    assert isinstance(order, Solved)
    value, pair, forbidden = order.cost.value or 0.0, (order.problem.groups[0].name, "lamb liver"), []

    def forbid(order: Solved, beside: Around, *_: Any) -> Solved:
        forbidden.append(pair in many_dogs._forbidden_scraps(order.problem))
        many_dogs._forbid_scraps(order.problem, {pair})
        dearer = value * (1.1 if beside is many_dogs.BESIDE else 1.001)
        return replace(order, outcomes={COST.key: replace(order.cost, value=dearer)})

    monkeypatch.setattr(many_dogs, "_new_scraps", lambda _: {pair})
    monkeypatch.setattr(many_dogs, "_feed_without_scraps", lambda *_: None)
    monkeypatch.setattr(many_dogs, "_forbid_one_by_one", forbid)
    assert many_dogs._without_scraps(order, value, Settings()).cost.value == value * 1.001
    assert forbidden == [False, False]


def test_an_order_with_scraps_is_not_kept_where_a_dearer_one_has_none(monkeypatch: pytest.MonkeyPatch) -> None:
    order = search_around(divided_order(4), Settings())
    assert isinstance(order, Solved)
    value = order.cost.value or 0.0
    scrappy = replace(order, outcomes={COST.key: replace(order.cost, value=value)})
    clean = replace(order, outcomes={COST.key: replace(order.cost, value=value + 1)})
    monkeypatch.setattr(many_dogs, "_feed_without_scraps", lambda *_: None)
    monkeypatch.setattr(
        many_dogs, "_forbid_one_by_one", lambda _, area, *__: scrappy if area is many_dogs.BESIDE else clean
    )
    pair = (order.problem.groups[0].name, "lamb liver")
    monkeypatch.setattr(many_dogs, "scraps_of", lambda found: frozenset() if found is clean else frozenset({pair}))
    assert many_dogs._without_scraps(order, value, Settings()) is clean


def test_an_order_whose_pieces_would_miss_too_much_is_not_shared_out(monkeypatch: pytest.MonkeyPatch) -> None:
    scenario, divided = fourteen_dogs(1), divided_order(1)
    assert share_order(scenario, divided, Settings()) is not None
    monkeypatch.setattr(many_dogs, "misses_by_pieces_only", lambda *_: False)
    assert share_order(scenario, divided, Settings()) is None


def test_the_pieces_of_a_group_of_its_own_fit_the_smallest_of_its_dogs() -> None:
    problem = divided_order(1).problem
    group = problem.groups[0]
    rows = dict(fit_every_dog(problem, problem.groups, frozenset(dog.name for dog in group.dogs)))
    assert rows
    for dog in group.dogs:
        for limit in limits_on_pieces(dog, problem.scenario):
            counted = {problem.pieces[group.name, cut].name: float(times) for cut, times in limit.times.items()}
            most = [-row.constant for row in rows.values() if {one.name: each for one, each in row.items()} == counted]
            assert len(most) == 1
            assert most[0] <= float(limit.most / group.part_of(dog)) + 1e-9
