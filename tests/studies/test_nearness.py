"""Questions about more dogs than are proved to the cent: near, honest about how near, and no difference that is none.

**Source:** arithmetic beside the numbers; the exact search, which proves the same orders to the cent.
"""

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from time import sleep
from typing import Any

import pytest

from raworder.giving_way.family import one_step_looser
from raworder.solving import compared
from raworder.solving.asked_price import AskedPrice, LeastCost, PriceQuestion, asked_price, least_cost
from raworder.solving.compared import COMPARED_NODES, COMPARED_WITHIN, WISH_NODES, is_best_by, order_to_compare
from raworder.solving.nicer import NICER_GOALS
from raworder.solving.search import CHEAPEST_HANDIEST, COST, SearchGoal, Solved, search
from raworder.solving.solver import Ending, Outcome, Settings
from raworder.studies import asking
from raworder.studies.asking import Ask, Task
from raworder.studies.differences import cost_cells, costs_more
from raworder.studies.orders import FoundOrder, comparable_base, nearness, order_before_sharing
from raworder.studies.prices_to_ask import NOT_BOUGHT, prices_to_ask
from raworder.studies.same_money import same_money
from raworder.studies.suppliers import suppliers
from raworder.studies.worth_of_one_more import OrderCost, _savings, _worth, worth_of_one_more
from raworder.trade.plan import Plan, Proof
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch
from tests import builders as b
from tests.outside.test_many_dogs_by_enumeration import fourteen_dogs
from tests.studies.telling import told

CENT = Decimal("0.01")


def solved(scenario: Scenario, wanted: SearchGoal = CHEAPEST_HANDIEST) -> Solved:
    found = order_to_compare(scenario, Settings(), wanted)
    assert isinstance(found, Solved)
    return found


def near_plan(counted: str, bound: str) -> Plan:
    """An order that costs so much, where none costs less than the bound."""
    proof = Proof(proved=False, bound=Decimal(bound), solver="highs", near_is_enough=True)
    return b.a_plan(bills=(b.a_bill(goods=counted),), proof=proof)


@pytest.mark.parametrize("seed", range(3))
def test_an_order_that_is_compared_is_within_its_gap_of_what_is_proved(seed: int) -> None:
    scenario = fourteen_dogs(seed)
    proved = search(scenario, Settings(), SearchGoal((COST,)), whole=False)
    assert isinstance(proved, Solved)
    least, found = proved.cost.value or 0.0, solved(scenario).cost
    value, bound = found.value or 0.0, found.bound or 0.0
    assert bound <= least + 1e-4
    assert least - 1e-4 <= value <= bound / (1 - COMPARED_WITHIN) + 1e-4


def test_an_order_that_is_compared_takes_one_search_to_a_gap(monkeypatch: pytest.MonkeyPatch) -> None:
    asked, real = [], compared.minimise

    def note(*given: Any, **named: Any) -> Outcome:
        asked.append((given[2].most_nodes, named["gap_share"]))
        return real(*given, **named)

    monkeypatch.setattr(compared, "minimise", note)
    order_before_sharing(fourteen_dogs(0), Settings())
    assert asked == [(COMPARED_NODES, COMPARED_WITHIN)]
    order_before_sharing(fourteen_dogs(0), Settings(prove=True))
    twelve = replace(fourteen_dogs(0), dogs=fourteen_dogs(0).dogs[:12])
    order_before_sharing(twelve, Settings())
    assert len(asked) == 1


def test_what_is_proved_is_not_called_near() -> None:
    proved = order_before_sharing(fourteen_dogs(1), Settings(prove=True))
    near = order_before_sharing(fourteen_dogs(1), Settings())
    assert isinstance(near, Plan)
    assert isinstance(proved, Plan)
    assert proved.proof.proved
    assert not list(nearness(fourteen_dogs(1), [proved]))
    assert near.proof.is_enough(near.counted)
    off = near.proof.most_off(near.counted)
    assert off == 0 if near.proof.proved else 0 < off <= near.counted * Decimal("0.0003") + CENT
    assert bool(list(nearness(fourteen_dogs(1), [near]))) is (off > 0)


def test_a_wish_is_granted_as_well_as_can_be_and_then_cheaply() -> None:
    """Two suppliers sell what fourteen dogs need; how few stops will do is known by the exact search."""
    scenario = replace(fourteen_dogs(2), budget=Decimal(400))
    goal = NICER_GOALS["stops"]
    exact = search(scenario, Settings(), replace(goal, aims=(goal.aims[0], COST)), whole=False)
    assert isinstance(exact, Solved)
    near = solved(scenario, goal)
    used = [sum(order.found[use.name] for use in order.problem.use.values()) for order in (exact, near)]
    assert round(used[0]) == round(used[1])
    assert is_best_by(near, goal.aims[0])
    assert (near.cost.value or 0.0) <= (exact.cost.value or 0.0) / (1 - COMPARED_WITHIN) + 0.01


def test_a_wish_ends_after_so_many_branches_and_begins_without_a_start(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[int, object]] = []

    def note(*given: Any, **named: Any) -> Outcome:
        asked.append((given[2].most_nodes, dict(named["start"])))
        return NOTHING_FOUND

    monkeypatch.setattr(compared, "minimise", note)
    start = tuple((line.offer, line.units) for line in base_of(fourteen_dogs(0)).lines)
    order_to_compare(fourteen_dogs(0), Settings(), replace(NICER_GOALS["packs_and_lines"], start=start))
    assert asked == [(WISH_NODES, {})]


NOTHING_FOUND = Outcome(Ending.NOTHING, None, None, "")


@pytest.mark.parametrize(
    ("counted", "bound", "saves"),
    [
        ("99.95", "99.85", "0"),  # the base may cost 99.90 itself
        ("99.80", "99.75", "0.20"),  # 0.10 below the least that the base may cost
    ],
)
def test_a_saving_smaller_than_the_gap_is_not_claimed(counted: str, bound: str, saves: str) -> None:
    scenario = b.a_scenario(offers=[b.an_offer(key="scarce", price=1, available=3), b.an_offer(key="plenty")])
    base = near_plan("100.00", "99.90")
    ordered = order_batch(scenario, Settings())
    assert isinstance(ordered, Plan)
    looser = next(iter(one_step_looser(scenario, ordered)))
    worth = _worth(scenario, base, looser, OrderCost(Decimal(counted), Decimal(bound), True, Decimal("0.10")))
    assert worth.saves == Decimal(saves)
    assert worth.proved
    paper = told(replace(suppliers_paper_of(scenario), blocks=tuple(_savings(scenario, base, [worth]))))
    assert ("One step of these would save nothing, or at most 0.15 EUR" in paper) is (not worth.saves)


def suppliers_paper_of(scenario: Scenario) -> Any:
    """Any paper, to put blocks into."""
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    return suppliers(scenario, base, Ask())


def test_what_may_cost_the_same_has_no_figure_beside_it() -> None:
    scenario = b.a_scenario()
    base, like, dearer = near_plan("100.00", "99.90"), near_plan("100.05", "99.95"), near_plan("101.00", "100.90")
    assert costs_more(scenario, base, like) == 0
    assert cost_cells(scenario, base, FoundOrder(like))[2] is None
    assert cost_cells(scenario, base, FoundOrder(dearer))[2] == Decimal("1.00")
    assert cost_cells(scenario, base, FoundOrder(base))[2] == 0
    assert "at most 0.10 EUR more than the cheapest" in " ".join(nearness(scenario, [base, like, dearer]))


@pytest.mark.parametrize("seed", range(3))
def test_a_near_price_to_ask_for_is_surely_low_enough_and_nearly_the_highest(seed: int) -> None:
    scenario = fourteen_dogs(seed)
    exact, near = (least_cost(scenario, Fraction(CENT), settings) for settings in (Settings(prove=True), Settings()))
    assert isinstance(exact, LeastCost)
    assert isinstance(near, LeastCost)
    assert exact.off == 0
    assert near.cost - near.off <= exact.cost + Fraction(1, 1000) <= near.cost + Fraction(2, 1000)
    for offer in scenario.offers:
        guess = offer.steps[0].unit_price / 2
        ask = PriceQuestion(offer.key, near.cost - near.off, guess, Fraction(CENT), start=near.start)
        found = asked_price(scenario, ask, Settings())
        proved = asked_price(scenario, replace(ask, limit=exact.cost), Settings(prove=True))
        assert isinstance(found, AskedPrice)
        assert isinstance(proved, AskedPrice)
        assert found.unit_price <= proved.unit_price + Fraction(1, 1000)
        assert float(found.off) <= 2.1 * COMPARED_WITHIN * float(near.cost)
        # an order buys one at the least, so a price cannot be off by more than what orders may be
        assert proved.unit_price <= found.unit_price + found.off + near.off + Fraction(1, 100)


def base_of(scenario: Scenario) -> Plan:
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    return base


class _Interrupted(Ask):
    """Answers so many tasks in all, then is interrupted."""

    left = 2

    def __call__(self, tasks: Sequence[Task[Any]]) -> dict[str, Any]:
        some = tasks[: self.left]
        self.left -= len(some)
        found = super().__call__(some)
        self.interrupted = self.left == 0
        return found


def test_interrupted_prices_of_many_dogs_tell_first_of_what_is_bought() -> None:
    bought = {line.offer for line in base_of(fourteen_dogs(4)).lines}
    assert 1 <= len(bought) < 4
    last = sorted(fourteen_dogs(4).offers, key=lambda offer: offer.key in bought)
    scenario = replace(fourteen_dogs(4), offers=tuple(last))
    paper = told(prices_to_ask(scenario, base_of(scenario), _Interrupted()))
    assert "This is not all: 3 offers could not be answered in time." in paper
    assert NOT_BOUGHT not in paper


@pytest.mark.parametrize("study", [worth_of_one_more, suppliers, same_money])
def test_a_question_about_many_dogs_compares_like_with_like(study: Any) -> None:
    """The order with whole pieces may be dearer than one without: no saving comes from that."""
    scenario = fourteen_dogs(0)
    base = base_of(scenario)
    dearer = replace(base, bills=(replace(base.bills[0], goods=base.bills[0].goods + 5), *base.bills[1:]))
    assert told(study(scenario, dearer, Ask())) == told(study(scenario, base, Ask()))
    assert comparable_base(scenario, dearer, Ask()).counted < dearer.counted


def test_progress_is_told_before_the_first_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(asking, "FIRST_WORD_S", 0.0)
    monkeypatch.setattr(asking, "LOOK_EVERY_S", 0.05)
    heard: list[tuple[int, int, float | None]] = []
    with ThreadPoolExecutor(1) as engine:
        Ask(engine=engine, progress=lambda *how: heard.append(how))([Task("slow", sleep, (0.2,))])
    assert heard[0] == (0, 1, None)


def test_a_wish_that_is_granted_proves_no_cost(monkeypatch: pytest.MonkeyPatch) -> None:
    """A cost that is far from its bound is not proved, however surely no order has fewer stops; the audit holds it."""
    monkeypatch.setattr(compared, "COMPARED_WITHIN", 0.5)
    scenario = fourteen_dogs(0)
    start = tuple((line.offer, line.units + 3) for line in base_of(scenario).lines)
    found = order_before_sharing(scenario, Settings(), replace(NICER_GOALS["stops"], start=start))
    assert isinstance(found, Plan)
    assert found.proof.proved is (found.counted - found.proof.bound <= CENT)
    assert not found.proof.why
