"""What a dog-day of the next batch costs beside the last, and why: lists, then dogs and days, then what is on hand."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType

from raworder.reporting.words import capitalised, count_text, join_names, next_commands, paper
from raworder.studies.asking import Ask
from raworder.studies.differences import compare_offers, prices_text, replace_lists
from raworder.studies.orders import PIECES_ASIDE, FoundOrder, find_orders, lacks_text, nearness
from raworder.studies.roll_on import RolledOn
from raworder.trade.after_a_batch import variance, variance_text
from raworder.trade.document import Block, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.kept import BatchAccount
from raworder.trade.plan import Plan
from raworder.trade.scenario import OnHand, Scenario
from raworder.trade.units import grams_text

ORDERS = MappingProxyType(
    {"last": "last batch", "lists": "with the new lists", "dogs": "with the new dogs too", "stock": "next batch"}
)
"""The orders that lie between the last batch and the next, as programs read them."""

DOG_DAY = Column("cost_per_dog_day", "A dog-day", Holds.MONEY)
CARRIED_TITLE = "Evened out after the last batch, within the ranges asked for (`--plain` leaves this out)"

MOST_TOLD = 3
"""Changes of one kind that are named in a line; the rest are counted."""


@dataclass(frozen=True, slots=True)
class NextBatch:
    """The last scenario and the following one, what was rolled on between them, and how the last one went, if known."""

    before: Scenario
    after: Scenario
    rolled: RolledOn
    account: BatchAccount | None = None


def next_batch(batch: NextBatch, ask: Ask, commands: tuple[tuple[str, str], ...] = ()) -> tuple[Document, bool]:
    """The paper on the next batch, and whether there is a plan for it; `commands` are what to do next.

    Three orders lie between the last batch and the next: one thing after the other is taken from the next, in the order
    of lists, dogs with their days, and stock. So the parts of the difference add up to it.
    """
    found = find_orders(_one_change_after_another(batch), ask)
    last = found.get("stock")
    is_planned = last is not None and isinstance(last.order, Plan)
    return paper(batch.after, "next_batch", "The next batch", _blocks(batch, found, commands)), is_planned


def _one_change_after_another(batch: NextBatch) -> dict[str, Scenario]:
    """The last batch, with the new lists, with the new dogs and days too, and with the new stock: the next batch."""
    before, after = batch.before, batch.after
    cuts = {cut.name: cut for cut in (*before.cuts, *after.cuts)}
    new_dogs = replace(after, on_hand=before.on_hand, cuts=tuple(cuts[name] for name in sorted(cuts)))
    return {"last": before, "lists": replace_lists(before, after), "dogs": new_dogs, "stock": after}


def _blocks(
    batch: NextBatch, found: Mapping[str, FoundOrder], commands: tuple[tuple[str, str], ...]
) -> Iterator[Block]:
    """What differs and why, what to do, and the figures for programs."""
    a_day = _dog_day_costs(batch, found)
    yield Points("differences", "", tuple(_lines(batch, found, a_day)))
    aside = [PIECES_ASIDE] if batch.after.solved_by_groups else []
    aside += nearness(batch.after, (answer.order for answer in found.values()))
    if aside:
        yield Paragraph(" ".join(aside))
    rows = tuple((ORDERS[key], cost) for key, cost in a_day.items())
    yield Table("dog_days", "", (Column("order", "Order"), DOG_DAY), rows, shown=False)
    if batch.rolled.carried:
        yield Points("carried", CARRIED_TITLE, batch.rolled.carried)
    if batch.rolled.to_do:
        yield Points("to_do", "Before you order", batch.rolled.to_do)
    if commands:
        yield next_commands(commands)


def _dog_day_costs(batch: NextBatch, found: Mapping[str, FoundOrder]) -> dict[str, Decimal]:
    """What a dog-day costs in each order, as far as there is one."""
    scenarios = _one_change_after_another(batch)
    return {
        key: batch.after.currency.rounded(Fraction(answer.order.counted) / scenarios[key].dog_days)
        for key, answer in found.items()
        if isinstance(answer.order, Plan)
    }


def _lines(batch: NextBatch, found: Mapping[str, FoundOrder], a_day: Mapping[str, Decimal]) -> Iterator[str]:
    """At most five lines: what a dog-day costs, a line for each cause, and what was paid for the last batch."""
    money = batch.after.currency
    if "stock" not in a_day:
        lacks = found["stock"].lacks if "stock" in found else ()
        yield f"No plan for the next batch yet: {lacks_text(batch.after, lacks)}."
    elif "last" not in a_day:
        yield f"A dog-day costs {money.text(a_day['stock'])}; for the last batch there is no plan to compare it with."
    else:
        yield f"A dog-day costs {money.text(a_day['stock'])}, {_more(batch, a_day['stock'] - a_day['last'])} last time."
    causes = {"lists": _list_changes(batch), "dogs": _dog_changes(batch), "stock": _stock_changes(batch)}
    parts = {
        after: a_day[after] - a_day[before]
        for before, after in pairwise(("last", "lists", "dogs", "stock"))
        if before in a_day and after in a_day
    }
    for key, name in (("lists", "Lists"), ("dogs", "Dogs and days"), ("stock", "On hand")):
        part = f"{parts[key]:+f}" if parts.get(key) else "no difference" if key in parts else "not known"
        yield f"{name}: {part}. {capitalised(causes[key])}."
    if batch.account and (paid := variance(batch.account, money)):
        yield variance_text(paid, money)


def _more(batch: NextBatch, difference: Decimal) -> str:
    """How much more or less that is, in words before `last time`."""
    if not difference:
        return "as much as"
    return f"{batch.after.currency.text(abs(difference))} {'more' if difference > 0 else 'less'} than"


def _list_changes(batch: NextBatch) -> str:
    """Which prices changed, those first that the last batch bought."""
    changes = [change for change in compare_offers(batch.before, batch.after) if change.says]
    unit = batch.after.weight_unit
    said = [
        f"{change.offer.cut} {prices_text(change.before, unit)}, now {prices_text(change.after, unit)}"
        if change.before and change.after
        else f"{change.offer.cut} is {change.says}"
        for change in changes
    ]
    return _some(said) or "The same prices"


def _dog_changes(batch: NextBatch) -> str:
    """What changed about dogs, days and ranges."""
    said = list(batch.rolled.dogs)
    if batch.before.batch.days != batch.after.batch.days:
        said.append(count_text(batch.after.batch.days, "day"))
    if batch.rolled.carried:
        dogs = [line.partition(":")[0] for line in batch.rolled.carried]
        said.append(
            f"bone and organs evened out for {join_names(dogs) if len(dogs) <= MOST_TOLD else 'all grown dogs'}"
        )
    return _some(said) or "The same dogs"


def _stock_changes(batch: NextBatch) -> str:
    """How much is on hand beside the last time, and what may be fed now that had to wait."""
    before, after = (
        grams_text(grams, scenario.weight_unit) if (grams := sum(lot.grams for lot in scenario.on_hand)) else "nothing"
        for scenario in (batch.before, batch.after)
    )
    freed = list(dict.fromkeys(lot.cut for lot in batch.after.on_hand if _had_to_wait(batch, lot)))
    said = [f"{after} on hand, {before} last time", *([f"{_some(freed)} may be fed now"] if freed else [])]
    return "; ".join(said)


def _had_to_wait(batch: NextBatch, lot: OnHand) -> bool:
    """Whether a lot has been frozen for long enough now, and was not when the last bags were filled."""
    if batch.after.waits(lot) or lot.frozen_on is None:
        return False
    held_days = batch.after.held_days(batch.after.cut(lot.cut))
    return (batch.before.portioned_on - lot.frozen_on).days < held_days


def _some(said: list[str]) -> str:
    """The first few, and how many more there are."""
    more = len(said) - MOST_TOLD
    shown = "; ".join(said[:MOST_TOLD])
    return f"{shown}; and {more} more" if more > 0 else shown
