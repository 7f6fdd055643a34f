"""What if: each change by itself, and all of them together, against the cheapest order as things stand."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from raworder.document import Block, Column, Document, Paragraph, Table
from raworder.plan import Plan
from raworder.reporting.words import paper
from raworder.studies.asking import Ask
from raworder.studies.change import Change, Pattern
from raworder.studies.change_words import ChangeError, read_change
from raworder.studies.differences import (
    bought_units,
    cost_cells,
    cost_columns,
    moved,
    moved_columns,
    moved_row,
    supplement_rows,
)
from raworder.studies.found import PIECES_ASIDE, Found, comparable, found_for
from raworder.studies.orders import start_of
from raworder.trade import Offer, Scenario

__all__ = ("ChangeError", "changes_of", "still_cheapest", "what_if")

AS_IT_IS = "as it is"
TOGETHER = "all together"
ONE_AT_A_TIME = "Every change holds by itself, the rest being as it is; savings and extra costs do not add up."
NOT_TOGETHER = "Some of the changes are about the same thing, or leave no dog, so they are not put together."
SLOWLY = (
    "Another pattern is another diet: change over slowly, and ask a veterinarian first where a dog is young, old or "
    "has been ill. Source: common practice, no source."
)


@dataclass(frozen=True, slots=True)
class _Answered:
    """A change in words, the scenario with it, and what was found for it."""

    says: str
    scenario: Scenario
    found: Found


def changes_of(scenario: Scenario, words: Iterable[str]) -> tuple[Change, ...]:
    """The changes that people typed; ChangeError for the first that cannot be read."""
    return tuple(read_change(one, scenario) for one in words)


def what_if(scenario: Scenario, base: Plan, ask: Ask, *, changes: Sequence[Change]) -> Document:
    """Cost before and after each change and all together, and what changes in the order."""
    base = comparable(scenario, base, ask)
    changed = {change.says: change.applied(scenario) for change in changes}
    together = _together(scenario, changes)
    if together is not None:
        changed[TOGETHER] = together
    decided = {says: Found(base) for says, one in changed.items() if still_cheapest(scenario, base, one)}
    asked = {says: one for says, one in changed.items() if says not in decided}
    found = found_for(asked, ask, start=start_of(base)) | decided
    answered = [_Answered(says, one, found[says]) for says, one in changed.items() if says in found]
    return paper(scenario, "what_if", "What if", _blocks(scenario, base, changes, changed, answered))


def still_cheapest(scenario: Scenario, base: Plan, changed: Scenario) -> bool:
    """Whether the cheapest order is plainly the cheapest of the changed scenario too, whatever the budget.

    So it is where only room became less than it was but holds the order, and where only prices rose of what is not
    bought; but not at a supplier with a minimum order or free delivery from an amount, which dearer goods can reach.
    """
    if replace(changed, offers=scenario.offers, room_g=scenario.room_g, budget=scenario.budget) != scenario:
        return False
    limits = {one.name for one in scenario.suppliers if one.minimum_order or one.free_delivery_from is not None}
    bought = bought_units(base)
    return _still_fits(scenario, base, changed.room_g) and all(
        before == after or (before.key not in bought and before.supplier not in limits and _is_dearer(before, after))
        for before, after in zip(scenario.offers, changed.offers, strict=True)
    )


def _still_fits(scenario: Scenario, base: Plan, room_g: int | None) -> bool:
    """Whether the room is what it was, or less and still enough."""
    if room_g == scenario.room_g:
        return True
    offers = {one.key: one for one in scenario.offers}
    stored_g = sum(lot.grams for lot in scenario.on_hand)
    stored_g += sum(offers[key].grams(units) for key, units in bought_units(base).items())
    return room_g is not None and stored_g <= room_g and (scenario.room_g is None or room_g <= scenario.room_g)


def _is_dearer(before: Offer, after: Offer) -> bool:
    """Whether nothing but the prices changed, and none fell."""
    same = replace(after, steps=before.steps) == before
    return same and all(
        one.unit_price <= other.unit_price for one, other in zip(before.steps, after.steps, strict=True)
    )


def _together(scenario: Scenario, changes: Sequence[Change]) -> Scenario | None:
    """All changes one after the other; None for one alone, and where two exclude one another or no dog is left."""
    about = [what for change in changes for what in change.about]
    if len(changes) < 2 or len(about) != len(set(about)):
        return None
    for change in changes:
        scenario = change.applied(scenario)
    return scenario if scenario.dogs else None


def _blocks(
    scenario: Scenario,
    base: Plan,
    changes: Sequence[Change],
    changed: Mapping[str, Scenario],
    answered: Sequence[_Answered],
) -> Iterator[Block]:
    """The costs side by side, then what changes in the order, a table for each change."""
    yield Paragraph(" ".join(_about(scenario, base, changes, changed)))
    yield _costs(scenario, base, answered)
    for one in answered:
        yield from _moves(scenario, base, one)


def _about(scenario: Scenario, base: Plan, changes: Sequence[Change], changed: Mapping[str, Scenario]) -> Iterator[str]:
    """What is to be known before the figures."""
    yield ONE_AT_A_TIME
    if len(changes) > 1 and TOGETHER not in changed:
        yield NOT_TOGETHER
    if any(isinstance(change, Pattern) for change in changes):
        yield SLOWLY
    if scenario.many_dogs:
        yield PIECES_ASIDE
    yield from base.remarks


def _costs(scenario: Scenario, base: Plan, answered: Sequence[_Answered]) -> Table:
    """What each change costs, below what the order costs as things stand."""
    before = (AS_IT_IS, *cost_cells(scenario, base, Found(base)))
    rows = ((one.says, *cost_cells(one.scenario, base, one.found)) for one in answered)
    return Table("costs", "What it costs", (Column("change", "Change"), *cost_columns(scenario)), (before, *rows))


def _moves(scenario: Scenario, base: Plan, one: _Answered) -> Iterator[Block]:
    """What changes in the order; that nothing does, or nothing where there is no order."""
    order = one.found.order
    if not isinstance(order, Plan):
        return
    offers = {offer.key: offer for offer in scenario.offers}
    lines = moved(offers, bought_units(base), bought_units(order))
    rows = (
        *(moved_row(one.says, line, scenario.weight_unit) for line in lines),
        *supplement_rows(one.says, (scenario, base), (scenario, order)),
    )
    if not rows:
        yield Paragraph(f"{_capital(one.says)}: the order stays the same.")
        return
    yield Table("changes", _capital(one.says), moved_columns("change"), rows)


def _capital(says: str) -> str:
    return says[:1].upper() + says[1:]
