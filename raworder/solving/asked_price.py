"""The price to ask for an offer: the highest flat price at which an order with it stays within a limit."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil
from time import monotonic

import pulp

from raworder.solving.compared import COMPARED_NODES, COMPARED_WITHIN, is_near_enough
from raworder.solving.objective import cost
from raworder.solving.problem import GRAMS_PER_KG, Problem, row_name, total, units_per_buy
from raworder.solving.search import (
    COST,
    Impossible,
    Scraps,
    Solved,
    Start,
    add_named_row,
    allocation_of,
    build,
    scraps_of,
    start_of,
)
from raworder.solving.solver import Ending, Outcome, Settings, minimise, values_of
from raworder.trade.plan import MILLION, Allocation, Proof, Unsolved
from raworder.trade.scenario import Offer, OnHand, Scenario, SupplementOffer, Supplier

LITTLE_G = 20
"""Grams of every cut that are assumed to be on hand, so that no purchase sits exactly at its bound."""


def guess_worth(scenario: Scenario, settings: Settings) -> Mapping[str, Fraction]:
    """A guess of the price per unit before sales tax of every offer, by key; empty where none can be made.

    It is what a kilogram more of the cut would save if packs, pieces and suppliers could be divided.
    """
    problem = build(_add_a_little(scenario), whole=False)
    for variable in problem.lp.variables():
        variable.cat = pulp.LpContinuous
    if not minimise(problem.lp, cost(problem), settings).solved:
        return {}
    worth = {}
    for offer in problem.offers:
        names = [f"supply {offer.cut}", f"supply {offer.cut} pieces"]
        names += [f"own_stock {offer.cut}", f"own_stock {offer.cut} ready"]
        rows = (problem.lp.get_constraint_by_name(row_name(name)) for name in names)
        per_kg = sum(row.pi or 0.0 for row in rows if row is not None)
        taxed = 1 + scenario.supplier(offer.supplier).sales_tax
        worth[offer.key] = Fraction(round(abs(per_kg) * MILLION), MILLION) * offer.unit_g / GRAMS_PER_KG / taxed
    return worth


def _add_a_little(scenario: Scenario) -> Scenario:
    """The scenario with a little of every cut on hand, so that neither bounds on purchases nor room bind."""
    little = tuple(OnHand(cut.name, LITTLE_G) for cut in scenario.cuts)
    room_g = None if scenario.room_g is None else scenario.room_g + LITTLE_G * len(little)
    return replace(scenario, on_hand=(*scenario.on_hand, *little), room_g=room_g)


FINE = Fraction(1, 100)
"""How near the search comes to a price, in parts of the smallest difference that matters."""

COARSE, FEW_NODES = Fraction(1, 20), 300
"""The gap, in parts of the offer's own price, and the branches after which a search ends that only has to find which
price to try next."""

CONTINUOUS = 10**9
"""Amounts sold to the gram are read as fractions with this denominator."""


@dataclass(frozen=True, slots=True)
class LeastCost:
    """The exact cost of the cheapest order before rounding, whether it is proved, and the order.

    With many dogs its pieces are not shared out, and it may be `off` the cheapest by so much at most. The proof inside
    `allocation` is empty.
    """

    cost: Fraction
    allocation: Allocation
    proved: bool
    off: Fraction = Fraction(0)

    @property
    def start(self) -> Start:
        """What the order buys, to start from."""
        return tuple((key, ceil(amount / MILLION)) for key, amount in self.allocation.bought_millionths.items())


@dataclass(frozen=True, slots=True)
class PriceQuestion:
    """An offer by its key, and what an order that holds it may cost at most.

    `first_try` is the price per unit that is tried first; the nearer, the fewer solves. Where an order `bears` it, it
    is only to be proved that none bears more. `fineness` is the smallest difference of it that matters. `start` is an
    order to start from.
    """

    key: str
    limit: Fraction
    first_try: Fraction
    fineness: Fraction
    bears: bool = False
    start: Start = ()


@dataclass(frozen=True, slots=True)
class AskedPrice:
    """The dearest price per unit, before sales tax, at which an order that holds the offer costs at most the limit.

    It is below nothing where even a gift would cost more. `allocation` is that order and holds so many `units`; its
    proof vouches for nothing. `proved` tells that no dearer price would do; with many dogs, that at this price no order
    with the offer costs less than the limit by more than it may be `off`.
    """

    unit_price: Fraction
    units: Fraction
    allocation: Allocation
    proved: bool
    off: Fraction = Fraction(0)


def least_cost(
    scenario: Scenario, fineness: Fraction, settings: Settings, start: Start = ()
) -> LeastCost | Impossible | Unsolved:
    """The least cost, proved as exactly as prices of this fineness per unit need; with many dogs, nearly."""
    model = _Model(scenario, settings, start=start)
    solved = model.least(cost, float(fineness * FINE))
    if not isinstance(solved, Solved):
        return solved
    exact, proved = cost_of(solved.problem, solved.found), solved.cost.ending is Ending.OPTIMAL
    return LeastCost(exact, model.allocation(solved), proved, model.most_off(solved, exact))


def asked_price(scenario: Scenario, question: PriceQuestion, settings: Settings) -> AskedPrice | Impossible | Unsolved:
    """The asked price of an offer; Impossible where no order can hold a unit of it.

    The budget is left out, as an order that costs no more than the limit is within it.
    """
    model = _Model(replace(scenario, budget=None), settings, question.key, question.start)
    if model.is_near:
        return _nearly_asked_price(model, question)
    near, price = question.fineness * FINE, max(question.first_try, Fraction(0))
    roughly = is_guess = not question.bears
    while True:
        gap = float(max(question.first_try * COARSE, near) if roughly else near)
        solved = model.least(_FlatCost(question.key, price), gap, roughly=roughly)
        if not isinstance(solved, Solved):
            return solved
        borne = price_borne(solved.problem, solved.found, question.key, question.limit)
        if not roughly and (abs(borne - price) <= near or borne <= price == 0):
            return _make_answer(solved, question.key, borne, model)
        roughly = roughly and (is_guess or borne > price + near)
        price, is_guess = max(borne, Fraction(0)), False


def _nearly_asked_price(model: "_Model", question: PriceQuestion) -> AskedPrice | Impossible | Unsolved:
    """The price that an order bears, where no other was found that bears more by what makes a difference."""
    price, limit = max(question.first_try, Fraction(0)), float(question.limit)
    while True:
        solved = model.least(_FlatCost(question.key, price), 0.0)
        if not isinstance(solved, Solved):
            return solved
        borne = price_borne(solved.problem, solved.found, question.key, question.limit)
        value = solved.cost.value or 0.0
        # at a price that no order bears the next is tried; from then on prices rise, as every order bears its own
        if borne <= price == 0 or (borne >= price and value >= limit * (1 - COMPARED_WITHIN)):
            answer = _make_answer(solved, question.key, borne, model)
            return replace(answer, off=model.most_off(solved, question.limit))
        price = max(borne, Fraction(0))


def cost_of(problem: Problem, found: Mapping[str, float]) -> Fraction:
    """The exact cost of an order; only lines on which a threshold depends are rounded."""
    return sum((_supplier_pay(problem, supplier, found) for supplier in problem.suppliers), Fraction(0))


def price_borne(problem: Problem, found: Mapping[str, float], key: str, limit: Fraction) -> Fraction:
    """The price per unit at which this order, which holds the offer, costs exactly the limit."""
    offer = problem.scenario.offer(key)
    taxed = 1 + problem.scenario.supplier(offer.supplier).sales_tax
    other = cost_of(problem, found) - taxed * _billed_goods(problem, offer, found)
    return (limit - other) / (taxed * units_of(problem, offer, found))


def units_of(problem: Problem, offer: Offer, found: Mapping[str, float]) -> Fraction:
    """Units bought of an offer: whole, unless it is sold to the gram."""
    return sum(
        (_exact_units(offer, found.get(bought.name, 0.0)) for _, _, bought in problem.bought(offer)), Fraction(0)
    )


@dataclass(frozen=True, slots=True)
class _FlatCost:
    """The cost of an order if the offer had one price per unit for any amount."""

    key: str
    unit_price: Fraction

    def __call__(self, problem: Problem) -> pulp.LpAffineExpression:
        """The cost, with the offer's listed prices replaced by the flat price."""
        offer = problem.scenario.offer(self.key)
        taxed = 1 + problem.scenario.supplier(offer.supplier).sales_tax
        flat = float(self.unit_price * taxed * units_per_buy(offer))
        listed = (
            [(problem.billed[offer.key], float(problem.scenario.currency.minor))]
            if offer.key in problem.billed
            else problem.goods_of(offer)
        )
        less = [(variable, -each * float(taxed)) for variable, each in listed]
        return cost(problem) + total(less) + total((bought, flat) for _, _, bought in problem.bought(offer))


class _Model:
    """A scenario's model, kept over many objectives; it grows where somebody would get a scrap.

    Pieces are whole where dogs are few. With `holding`, only orders that hold a unit of that offer count.
    """

    def __init__(self, scenario: Scenario, settings: Settings, holding: str = "", start: Start = ()) -> None:
        self._scenario, self._settings, self._holding = scenario, settings, holding
        self._start = start if holding in dict(start) else (*start, (holding, self._least_units())) if start else ()
        self._whole, self.is_near = not scenario.solved_by_groups, is_near_enough(scenario, settings)
        self._scraps: Scraps = frozenset()
        self._problem: Problem | None = None
        self._is_solved = False
        self._began = monotonic()

    def _least_units(self) -> int:
        """The fewest units that an order can hold of the offer; 0 without one."""
        return self._scenario.offer(self._holding).least_units if self._holding else 0

    def least(
        self, objective: Callable[[Problem], pulp.LpAffineExpression], gap: float, *, roughly: bool = False
    ) -> Solved | Impossible | Unsolved:
        """The solution of least objective, proved to within the gap; solved roughly, somebody may get a scrap."""
        while True:
            problem = self._problem = self._problem or self._build()
            most_nodes = FEW_NODES if roughly else COMPARED_NODES if self.is_near else None
            outcome = self._minimise(problem, objective(problem), gap, most_nodes)
            if outcome.ending is Ending.INFEASIBLE:
                return Impossible()
            if not outcome.solved:
                return Unsolved(f"{self._settings.solver} stopped without a plan: {outcome.why.lower()}")
            solved, self._is_solved = Solved(problem, values_of(problem.lp), {COST.key: outcome}), True
            more = scraps_of(solved) - self._scraps if self._whole and not roughly else frozenset()
            if not more:
                return solved
            self._scraps |= more
            self._problem, self._is_solved = None, False

    def _minimise(
        self, problem: Problem, objective: pulp.LpAffineExpression, gap: float, most_nodes: int | None
    ) -> Outcome:
        """The outcome, started from the last solution; if few branches find nothing, all are searched."""
        start = values_of(problem.lp) if self._is_solved else start_of(problem, self._start)
        settings = replace(self._settings.left_since(self._began), most_nodes=most_nodes)
        within = COMPARED_WITHIN if self.is_near else 0.0
        outcome = minimise(problem.lp, objective, settings, gap=gap, gap_share=within, start=start)
        if most_nodes is not None and outcome.ending is Ending.NOTHING:
            return self._minimise(problem, objective, gap, None)
        return outcome

    def most_off(self, solved: Solved, value: Fraction) -> Fraction:
        """How far the solution's bound is below a value, where solutions need only be near theirs."""
        return max(value - Fraction(solved.cost.bound or 0.0), Fraction(0)) if self.is_near else Fraction(0)

    def allocation(self, solved: Solved) -> Allocation:
        """The solution in millionths, with an empty proof."""
        proof = Proof(proved=False, bound=Decimal(0), solver=str(self._settings.solver))
        return replace(allocation_of(solved, self._settings), proof=proof)

    def _build(self) -> Problem:
        """The model under every rule; with `holding`, at least one unit of that offer is bought."""
        problem = build(self._scenario, whole=self._whole, scraps=self._scraps)
        if self._holding:
            offer = self._scenario.offer(self._holding)
            held = total((bought, units_per_buy(offer)) for _, _, bought in problem.bought(offer))
            add_named_row(problem.lp, "holding", held >= 1)
        return problem


def _make_answer(solved: Solved, key: str, borne: Fraction, model: _Model) -> AskedPrice:
    """The price found, with the order that bears it."""
    units = units_of(solved.problem, solved.problem.scenario.offer(key), solved.found)
    return AskedPrice(borne, units, model.allocation(solved), solved.cost.ending is Ending.OPTIMAL)


def _supplier_pay(problem: Problem, supplier: Supplier, found: Mapping[str, float]) -> Fraction:
    """What a supplier is paid, supplements included, and the trip to it."""
    goods = sum((_billed_goods(problem, offer, found) for offer in problem.offers_of(supplier)), Fraction(0))
    beside = [offer for offer in problem.scenario.supplement_offers if offer.supplier == supplier.name]
    goods += sum((Fraction(offer.price) * _packs_bought(problem, offer, found) for offer in beside), Fraction(0))
    used = delivered = round(found.get(problem.use[supplier.name].name, 0.0))
    if supplier.name in problem.free:
        delivered -= round(found.get(problem.free[supplier.name].name, 0.0))
    return goods * (1 + supplier.sales_tax) + Fraction(supplier.delivery) * delivered + Fraction(supplier.trip) * used


def _billed_goods(problem: Problem, offer: Offer, found: Mapping[str, float]) -> Fraction:
    """The goods of an offer at list prices; rounded where the model has to round them."""
    goods = sum(
        (
            step.unit_price * _exact_units(offer, found.get(bought.name, 0.0))
            for _, step, bought in problem.bought(offer)
        ),
        Fraction(0),
    )
    return Fraction(problem.scenario.currency.rounded(goods)) if offer.key in problem.billed else goods


def _packs_bought(problem: Problem, offer: SupplementOffer, found: Mapping[str, float]) -> int:
    """Packs bought of a supplement; none where nobody may be given it."""
    return round(found.get(problem.packs[offer.key].name, 0.0)) if offer.key in problem.packs else 0


def _exact_units(offer: Offer, amount: float) -> Fraction:
    """An amount of the model in units; whole, unless the offer is sold to the gram."""
    return (
        Fraction(round(amount * CONTINUOUS), CONTINUOUS) * GRAMS_PER_KG
        if offer.to_the_gram
        else Fraction(round(amount))
    )
