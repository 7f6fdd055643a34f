"""Suppliers side by side: each alone, the best few, and each missing, against the cheapest order of all.

What an order already shows is not solved again: without a supplier that sells nothing, or with no other one than that
it uses, the cheapest order is the same.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from raworder.document import Document
from raworder.plan import NoPlan, Plan, Unsolved
from raworder.studies.asking import Ask
from raworder.studies.differences import costs_more
from raworder.studies.found import Found, comparable, found_for
from raworder.studies.suppliers_paper import Compared, suppliers_paper
from raworder.trade import Scenario

ANY = "any number"


@dataclass(frozen=True, slots=True)
class _Stops:
    """How many suppliers the cheapest order uses, and up to how many were allowed when it was found."""

    used: int
    allowed: int


def suppliers(scenario: Scenario, base: Plan, ask: Ask) -> Document:
    """Each supplier alone, the best one, two, three, and each missing: money, dog-days and what cannot be provided.

    The budget limits none of them, and the most suppliers of the scenario not the best few; both are told.
    """
    base = comparable(scenario, base, ask)
    names = tuple(one.name for one in scenario.suppliers)
    used = frozenset(bill.supplier for bill in base.bills)
    most = len(names) if scenario.most_suppliers is None else min(scenario.most_suppliers, len(names))
    stops = _Stops(len(used), most)
    questions = _questions(scenario, used, stops)
    found = found_for(questions, ask, handy=False)
    more = _questions_beyond(scenario, stops, found.get(ANY))
    found |= found_for(more, ask, handy=False)
    compared = Compared(
        alone=_told(names, {name: Found(base) for name in names if used <= {name}}, found, "alone"),
        stops=_best_few(scenario, base, stops, found),
        missing=_told(names, {name: Found(base) for name in names if name not in used}, found, "without"),
        whole=len(found) == len(questions) + len(more),
    )
    return suppliers_paper(scenario, base, compared)


def only_from(scenario: Scenario, names: Iterable[str]) -> Scenario:
    """The scenario in which only these suppliers sell."""
    kept = frozenset(names)
    return replace(
        scenario,
        suppliers=tuple(one for one in scenario.suppliers if one.name in kept),
        offers=tuple(one for one in scenario.offers if one.supplier in kept),
        supplement_offers=tuple(one for one in scenario.supplement_offers if one.supplier in kept),
    )


def _questions(scenario: Scenario, used: frozenset[str], stops: _Stops) -> dict[str, Scenario]:
    """The scenarios that the cheapest order does not decide, by key."""
    names = {one.name for one in scenario.suppliers}
    asked = {
        _key("alone", name): replace(only_from(scenario, {name}), most_suppliers=None)
        for name in sorted(names)
        if not used <= {name}
    }
    asked |= {_key("without", name): only_from(scenario, names - {name}) for name in sorted(used)}
    last = stops.used - 1 if _decides_one_fewer(scenario, stops) else stops.used
    asked |= {_key("most", str(most)): replace(scenario, most_suppliers=most) for most in range(2, last)}
    if stops.allowed < len(names):
        asked[ANY] = replace(scenario, most_suppliers=None)
    return asked


def _decides_one_fewer(scenario: Scenario, stops: _Stops) -> bool:
    """Whether one supplier fewer than all is the best of those with one missing."""
    return stops.used == stops.allowed == len(scenario.suppliers)


def _questions_beyond(scenario: Scenario, stops: _Stops, free: Found | None) -> dict[str, Scenario]:
    """More suppliers than the scenario allows, but fewer than the cheapest order would use without that limit."""
    if free is None or not isinstance(free.order, Plan):
        return {}
    counts = range(stops.allowed + 1, len(free.order.bills))
    return {_key("most", str(most)): replace(scenario, most_suppliers=most) for most in counts}


def _best_few(
    scenario: Scenario, base: Plan, stops: _Stops, found: Mapping[str, Found]
) -> tuple[tuple[int, Found], ...]:
    """The best order of at most one, two, three suppliers, until more do not help."""
    free = found.get(ANY, Found(base))
    last = len(free.order.bills) if isinstance(free.order, Plan) else stops.allowed
    rows: list[tuple[int, Found]] = []
    for most in range(1, max(last, 1) + 1):
        best = free if most >= last else _best_of(scenario, base, most, stops, found)
        if best is not None:
            rows.append((most, best))
        if best and _costs_the_same(scenario, best, free):
            break
    return tuple(rows)


def _best_of(scenario: Scenario, base: Plan, most: int, stops: _Stops, found: Mapping[str, Found]) -> Found | None:
    """The best order of at most so many suppliers; None where an interrupt came first."""
    if stops.used <= most <= stops.allowed:
        return Found(base)
    if most == 1:
        return _cheapest(_all_of(scenario, "alone", found))
    if most == len(scenario.suppliers) - 1 and _decides_one_fewer(scenario, stops):
        return _cheapest(_all_of(scenario, "without", found))
    return found.get(_key("most", str(most)))


def _all_of(scenario: Scenario, kind: str, found: Mapping[str, Found]) -> Sequence[Found]:
    """What was found for every supplier; nothing where some is missing."""
    keys = [_key(kind, one.name) for one in scenario.suppliers]
    return [found[key] for key in keys] if all(key in found for key in keys) else []


def _cheapest(found: Sequence[Found]) -> Found | None:
    """The cheapest of what was found; proved only where all are, and no plan only where none can have one."""
    orders = [one.order for one in found if isinstance(one.order, Plan)]
    unsolved = [one for one in found if isinstance(one.order, Unsolved)]
    if not orders:
        return unsolved[0] if unsolved else Found(NoPlan()) if found else None
    best = min(orders, key=lambda order: (order.total, order.proof.bound))
    proved = not unsolved and all(order.proof.proved for order in orders)
    return Found(replace(best, proof=replace(best.proof, proved=proved)))


def _costs_the_same(scenario: Scenario, one: Found, other: Found) -> bool:
    """Whether both are orders of the same cost."""
    if not isinstance(one.order, Plan) or not isinstance(other.order, Plan):
        return False
    return costs_more(scenario, other.order, one.order) == 0


def _told(
    names: Sequence[str], known: Mapping[str, Found], found: Mapping[str, Found], kind: str
) -> tuple[tuple[str, Found], ...]:
    """What is known or found for every supplier, in their order."""
    all_of = {name: known.get(name) or found.get(_key(kind, name)) for name in names}
    return tuple((name, one) for name, one in all_of.items() if one is not None)


def _key(kind: str, what: str) -> str:
    """The key of a question."""
    return f"{kind} {what}"
