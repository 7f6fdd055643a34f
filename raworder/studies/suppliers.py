"""Suppliers side by side: each alone, the best few, and each missing, compared with the cheapest order."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from raworder.reading.sense import OLD_LIST_DAYS
from raworder.reporting.words import count_text, join_names, paper
from raworder.studies.asking import Ask
from raworder.studies.differences import cost_cells, cost_columns, costs_more, per_dog_day
from raworder.studies.orders import PIECES_ASIDE, FoundOrder, comparable_base, find_orders, nearness
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.plan import NoPlan, Plan, Unsolved
from raworder.trade.scenario import Scenario

MEANS = (
    "Each row is the cheapest order that can be placed that way, with what is on hand used first. `More` is what it "
    "costs above the cheapest order of all."
)
TOO_FEW = "no plan with so few, whichever they are"
TRIPS_COUNTED = "`More` counts what the trips cost you too."
LEAST = "Where there is no plan, the remark says by how much the dog that is worst off would miss a range, at least."


@dataclass(frozen=True, slots=True)
class SupplierComparison:
    """The orders from each supplier alone, from the best few, and without each; `whole` if none is missing."""

    alone: tuple[tuple[str, FoundOrder], ...]
    stops: tuple[tuple[int, FoundOrder], ...]
    missing: tuple[tuple[str, FoundOrder], ...]
    whole: bool = True


def suppliers_paper(scenario: Scenario, base: Plan, compared: SupplierComparison) -> Document:
    """The paper with the three tables and how to read them."""
    return paper(scenario, "suppliers", "Suppliers side by side", _blocks(scenario, base, compared))


def old_lists(scenario: Scenario) -> tuple[str, ...]:
    """A sentence for each price list that is too old when the batch begins."""
    dated = ((supplier, supplier.list_date) for supplier in scenario.suppliers if supplier.list_date is not None)
    return tuple(
        f"The price list of {supplier.name} is {age_days} days old when the batch begins, more than {OLD_LIST_DAYS}: "
        "ask for a new one before you rely on its prices."
        for supplier, listed_on in dated
        if (age_days := (scenario.batch.starts - listed_on).days) > OLD_LIST_DAYS
    )


def _blocks(scenario: Scenario, base: Plan, compared: SupplierComparison) -> Iterator[Block]:
    """What is compared, the three tables, and lists that are old."""
    yield Paragraph(_introduction(scenario, base, compared))
    yield Paragraph(MEANS)
    yield _alone(scenario, base, compared)
    yield _stops(scenario, base, compared)
    yield _missing(scenario, base, compared)
    if any(lack.off_g for _, found in (*compared.alone, *compared.missing) for lack in found.lacks):
        yield Paragraph(LEAST)
    old = old_lists(scenario)
    if old:
        yield Points("old_lists", "Old price lists", old)


def _introduction(scenario: Scenario, base: Plan, compared: SupplierComparison) -> str:
    """The cheapest order, and which limits of the scenario the tables do not apply."""
    money = scenario.currency
    sellers = join_names([bill.supplier for bill in base.bills]) or "nobody, as all is on hand"
    proved = "" if base.proof.is_enough(base.counted) else " (not proved)"
    cost, a_dog_day = money.text(base.total), money.text(per_dog_day(scenario, base))
    sentences = [f"The cheapest order costs {cost}{proved} from {sellers}: {a_dog_day} a dog and day."]
    if scenario.budget is not None:
        sentences.append(f"Rows over your budget of {money.text(scenario.budget)} are marked.")
    if scenario.most_suppliers is not None:
        allowed = count_text(scenario.most_suppliers, "supplier")
        sentences.append(f"You allow at most {allowed}; the table of stops shows more.")
    if scenario.has_trips:
        sentences.append(TRIPS_COUNTED)
    if scenario.solved_by_groups:
        sentences.append(PIECES_ASIDE)
    rows = (*compared.alone, *compared.stops, *compared.missing)
    sentences.extend(nearness(scenario, (base, *(found.order for _, found in rows))))
    return " ".join((*sentences, *base.remarks))


def _alone(scenario: Scenario, base: Plan, compared: SupplierComparison) -> Table:
    """Each supplier as the only one."""
    listed_on = {supplier.name: supplier.list_date for supplier in scenario.suppliers}
    rows = tuple(
        (
            name,
            _offers(scenario, name),
            listed_on[name],
            *cost_cells(scenario, base, found, with_trips=scenario.has_trips),
        )
        for name, found in compared.alone
    )
    columns = (
        Column("supplier", "Supplier"),
        Column("offers", "Offers", Holds.COUNT),
        Column("list_date", "Price list", Holds.DATE, shown=any(isinstance(row[2], date) for row in rows)),
        *cost_columns(scenario, rows),
    )
    return Table("alone", "Each supplier alone", columns, rows)


def _offers(scenario: Scenario, supplier: str) -> int:
    return sum(offer.supplier == supplier for offer in scenario.offers)


def _stops(scenario: Scenario, base: Plan, compared: SupplierComparison) -> Table:
    """The best few suppliers."""
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (most, _sellers(found), *_stop_cells(scenario, base, found)) for most, found in compared.stops
    )
    columns = (
        Column("most_stops", "Stops at most", Holds.COUNT),
        Column("suppliers", "Cheapest from"),
        *cost_columns(scenario, rows),
    )
    note = "More stops save nothing." if compared.whole else ""
    return Table("stops", "The best few stops", columns, rows, note=note)


def _stop_cells(scenario: Scenario, base: Plan, found: FoundOrder) -> tuple[Cell, ...]:
    """The cost cells; where there is no plan, that there is none with so few suppliers."""
    cells = cost_cells(scenario, base, found, with_trips=scenario.has_trips)
    return (*cells[:-1], TOO_FEW) if isinstance(found.order, NoPlan) else cells


def _sellers(found: FoundOrder) -> str:
    """The suppliers of an order."""
    return ", ".join(bill.supplier for bill in found.order.bills) if isinstance(found.order, Plan) else ""


def _missing(scenario: Scenario, base: Plan, compared: SupplierComparison) -> Table:
    """Each supplier missing."""
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (name, _sellers(found), *cost_cells(scenario, base, found, with_trips=scenario.has_trips))
        for name, found in compared.missing
    )
    columns = (Column("without", "Without"), Column("suppliers", "Then from"), *cost_columns(scenario, rows))
    return Table("missing", "Without one supplier", columns, rows)


ANY = "any number"


@dataclass(frozen=True, slots=True)
class _Stops:
    """How many suppliers the cheapest order uses, and how many it was allowed."""

    used: int
    allowed: int


def suppliers(scenario: Scenario, base: Plan, ask: Ask) -> Document:
    """The cost from each supplier alone, from the best one, two, three, and without each, or what is lacking.

    The budget limits no row, nor does `most_suppliers` the best few; the paper says both.
    """
    base = comparable_base(scenario, base, ask)
    names = tuple(supplier.name for supplier in scenario.suppliers)
    used = frozenset(bill.supplier for bill in base.bills)
    most = len(names) if scenario.most_suppliers is None else min(scenario.most_suppliers, len(names))
    stops = _Stops(len(used), most)
    questions = _questions(scenario, used, stops)
    found = find_orders(questions, ask, handy=False)
    more = _questions_beyond(scenario, stops, found.get(ANY))
    found |= find_orders(more, ask, handy=False)
    compared = SupplierComparison(
        alone=_by_supplier(names, {name: FoundOrder(base) for name in names if used <= {name}}, found, "alone"),
        stops=_best_few(scenario, base, stops, found),
        missing=_by_supplier(names, {name: FoundOrder(base) for name in names if name not in used}, found, "without"),
        whole=len(found) == len(questions) + len(more),
    )
    return suppliers_paper(scenario, base, compared)


def keep_suppliers(scenario: Scenario, names: Iterable[str]) -> Scenario:
    """The scenario in which only these suppliers sell."""
    kept = frozenset(names)
    return replace(
        scenario,
        suppliers=tuple(supplier for supplier in scenario.suppliers if supplier.name in kept),
        offers=tuple(offer for offer in scenario.offers if offer.supplier in kept),
        supplement_offers=tuple(offer for offer in scenario.supplement_offers if offer.supplier in kept),
    )


def _questions(scenario: Scenario, used: frozenset[str], stops: _Stops) -> dict[str, Scenario]:
    """The scenarios to solve, by key: those that the cheapest order does not answer already."""
    names = {supplier.name for supplier in scenario.suppliers}
    questions = {
        _key("alone", name): replace(keep_suppliers(scenario, {name}), most_suppliers=None)
        for name in sorted(names)
        if not used <= {name}
    }
    questions |= {_key("without", name): keep_suppliers(scenario, names - {name}) for name in sorted(used)}
    last = stops.used - 1 if _one_fewer_is_one_missing(scenario, stops) else stops.used
    questions |= {_key("most", str(most)): replace(scenario, most_suppliers=most) for most in range(2, last)}
    if stops.allowed < len(names):
        questions[ANY] = replace(scenario, most_suppliers=None)
    return questions


def _one_fewer_is_one_missing(scenario: Scenario, stops: _Stops) -> bool:
    """Whether the best order with one supplier fewer is just the best of those with one missing."""
    return stops.used == stops.allowed == len(scenario.suppliers)


def _questions_beyond(scenario: Scenario, stops: _Stops, free: FoundOrder | None) -> dict[str, Scenario]:
    """The scenarios with more suppliers than are allowed, but fewer than the cheapest order uses without that limit."""
    if free is None or not isinstance(free.order, Plan):
        return {}
    counts = range(stops.allowed + 1, len(free.order.bills))
    return {_key("most", str(most)): replace(scenario, most_suppliers=most) for most in counts}


def _best_few(
    scenario: Scenario, base: Plan, stops: _Stops, found: Mapping[str, FoundOrder]
) -> tuple[tuple[int, FoundOrder], ...]:
    """The best order of at most one, two, three suppliers and so on, until more do not help."""
    free = found.get(ANY, FoundOrder(base))
    last = len(free.order.bills) if isinstance(free.order, Plan) else stops.allowed
    rows: list[tuple[int, FoundOrder]] = []
    for most in range(1, max(last, 1) + 1):
        best = free if most >= last else _best_of(scenario, base, most, stops, found)
        if best is not None:
            rows.append((most, best))
        if best and _costs_the_same(scenario, best, free):
            break
    return tuple(rows)


def _best_of(
    scenario: Scenario, base: Plan, most: int, stops: _Stops, found: Mapping[str, FoundOrder]
) -> FoundOrder | None:
    """The best order of at most `most` suppliers; None where an interrupt came first."""
    if stops.used <= most <= stops.allowed:
        return FoundOrder(base)
    if most == 1:
        return _cheapest(_all_of(scenario, "alone", found))
    if most == len(scenario.suppliers) - 1 and _one_fewer_is_one_missing(scenario, stops):
        return _cheapest(_all_of(scenario, "without", found))
    return found.get(_key("most", str(most)))


def _all_of(scenario: Scenario, kind: str, found: Mapping[str, FoundOrder]) -> Sequence[FoundOrder]:
    """The orders of one kind for every supplier; empty where any is missing."""
    keys = [_key(kind, supplier.name) for supplier in scenario.suppliers]
    return [found[key] for key in keys] if all(key in found for key in keys) else []


def _cheapest(found: Sequence[FoundOrder]) -> FoundOrder | None:
    """The cheapest of these orders; proved only where all are, and no plan only where none can have one."""
    orders = [answer.order for answer in found if isinstance(answer.order, Plan)]
    unsolved = [answer for answer in found if isinstance(answer.order, Unsolved)]
    if not orders:
        return unsolved[0] if unsolved else FoundOrder(NoPlan()) if found else None
    best = min(orders, key=lambda order: (order.counted, order.proof.bound))
    proved = not unsolved and all(order.proof.proved for order in orders)
    if not any(order.proof.near_is_enough for order in orders):
        return FoundOrder(replace(best, proof=replace(best.proof, proved=proved)))
    bound, is_near = min(order.proof.bound for order in orders), best.proof.near_is_enough and not unsolved
    return FoundOrder(replace(best, proof=replace(best.proof, proved=proved, bound=bound, near_is_enough=is_near)))


def _costs_the_same(scenario: Scenario, first: FoundOrder, second: FoundOrder) -> bool:
    """Whether both are orders of the same cost."""
    if not isinstance(first.order, Plan) or not isinstance(second.order, Plan):
        return False
    return costs_more(scenario, second.order, first.order) == 0


def _by_supplier(
    names: Sequence[str], known: Mapping[str, FoundOrder], found: Mapping[str, FoundOrder], kind: str
) -> tuple[tuple[str, FoundOrder], ...]:
    """The order known or found for each supplier, in their order."""
    orders = {name: known.get(name) or found.get(_key(kind, name)) for name in names}
    return tuple((name, order) for name, order in orders.items() if order is not None)


def _key(kind: str, what: str) -> str:
    """The key of a question."""
    return f"{kind} {what}"
