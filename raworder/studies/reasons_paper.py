"""The paper of why there is no plan: plain facts, changes that open one, what must give way together, what clashes."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from raworder.giving_way.demand import Demand, Loosening
from raworder.giving_way.family import instead_text
from raworder.giving_way.remedies import place_text, remedies, remedy_text
from raworder.giving_way.smallest_change import Opened, Tried
from raworder.reporting.words import listed, paper
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.plan import Plan, Unfilled
from raworder.trade.rulebook import rule_of
from raworder.trade.scenario import Scenario

NEVER = (
    "What a dog must not eat and the amount of food are never changed here, and a range or a cap by no more than "
    "10 percentage points: beyond that it is another diet."
)
ASK = (
    "That tells what clashes, not what is good to feed: ask a veterinarian before you widen a range, raise a cap or "
    "cut up what has bone in it."
)
ALONE = (
    "Any one of these changes is enough. Each is the least of its kind that was found, and was tried by making the "
    "whole plan with it, audited. Each holds by itself; two of them together may cost less."
)
TOGETHER = (
    "No single rule is enough. These are the fewest that must give way together, each by as little as is needed beside "
    "the others; the whole plan was made with all of them, audited."
)
TOGETHER_FOR_BAGS = (
    "No single rule is enough. These give way together, and none of them can be kept while the others give way; the "
    "whole plan was made with all of them, audited."
)
NOT_THE_LEAST = (
    "No single rule is enough. These give way together; whether fewer rules or lesser changes would be enough was not "
    "tried to the end. The whole plan was made with all of them, audited."
)
INSTEAD = (
    "For dogs that must not have whole bone these are ways too: minced bone, or less bone and calcium beside it. Any "
    "one is enough; each was tried by making the whole plan with it, audited."
)
WRITE = "What is to be written is all that is to stand under its key, in place of what stands there."
CLASH = (
    "These rules cannot be met together, whatever else gives way. Without any one of them the others can be, but rules "
    "that are not in the list may clash again, and other rules may clash too."
)
CLASH_ALONE = "This rule alone cannot be met, whatever else gives way."
CLASH_OF_BAGS = (
    "While the rules of the order stand as they are, these rules of bags cannot be met together. Without any one of "
    "them the others can be."
)
CLASH_OF_BAGS_ALONE = "While all other rules stand as they are, this rule of bags cannot be met."
HOPELESS = (
    "Even if every rule gave way that may, there would be no plan: what is for sale or on hand cannot feed the dogs "
    "what they must get without what they must not eat. Offer more cuts. "
)
NOTHING_FOUND = "No change of rules that was tried opens a plan. Offer more cuts, or ask less of several at once. "
PARTIAL = "Not everything could be tried before the end of the time, or before the interrupt; there may be more."


@dataclass(frozen=True, slots=True)
class Why:
    """What was found out: facts of plain arithmetic, every demand tried alone, the fewest together, those that clash.

    `plan` is set where there is one; `unfilled` where there is an order but no bags; `hopeless` where no change helps.
    `instead` is what was tried for dogs that must not have whole bone. `is_whole` is false where something could not be
    tried.
    """

    facts: tuple[str, ...] = ()
    menu: tuple[Tried, ...] = ()
    together: Tried | None = None
    clash: tuple[Demand, ...] = ()
    instead: tuple[Tried, ...] = ()
    plan: Plan | None = None
    unfilled: Unfilled | None = None
    hopeless: bool = False
    is_whole: bool = True


def reasons_paper(scenario: Scenario, why: Why) -> Document:
    """Why nothing can be ordered, or that nothing is in the way."""
    if why.plan is not None:
        blocks = (Paragraph(_nothing_in_the_way(scenario, why.plan)),)
        return paper(scenario, "no_plan", f"Nothing in the way: {scenario.title}", blocks)
    return paper(scenario, "no_plan", f"No plan: {scenario.title}", _blocks(scenario, why))


def _nothing_in_the_way(scenario: Scenario, plan: Plan) -> str:
    proved = ", proved" if plan.proof.proved else "; that it is the cheapest is not proved"
    return f"All the rules can be met together. The cheapest order costs {scenario.currency.text(plan.total)}{proved}."


def _blocks(scenario: Scenario, why: Why) -> Iterator[Block]:
    """Facts first, then changes, then what clashes."""
    opened = [trial.opened for trial in why.menu if trial.opened]
    yield Paragraph(_head(why, opened))
    if not why.is_whole:
        yield Paragraph(PARTIAL)
    if why.facts:
        yield Points("facts", "What plain arithmetic shows", why.facts)
    if opened:
        yield _menu(scenario, opened)
    elif why.together and why.together.opened:
        claim = TOGETHER_FOR_BAGS if why.unfilled else TOGETHER
        yield _together(scenario, why.together.opened, claim if why.together.is_least else NOT_THE_LEAST)
    instead = [trial.opened for trial in why.instead if trial.opened]
    if instead:
        yield _instead(scenario, instead)
    late = tuple(trial.demands[0].text(scenario) for trial in why.menu if not trial.in_time)
    if late:
        yield Points("not_in_time", "An order is possible without each of these, but no plan was made in time", late)
    if why.clash:
        yield Points("clash", "The rules that clash", tuple(_clashing(scenario, why.clash)))
        several, alone = (CLASH_OF_BAGS, CLASH_OF_BAGS_ALONE) if why.unfilled else (CLASH, CLASH_ALONE)
        yield Paragraph(several if len(why.clash) > 1 else alone)
    yield from _rules_named(why)


def _head(why: Why, opened: Sequence[Opened]) -> str:
    """What is the matter, in a sentence or two."""
    says = "No order meets all the rules together."
    if why.unfilled:
        dogs = listed(why.unfilled.dogs)
        says = f"The food can be bought, but not packed: whatever is ordered, no way fills the bags of {dogs}."
    if why.hopeless:
        return f"{says} {HOPELESS}{NEVER}"
    if not opened and not (why.together and why.together.opened):
        return f"{says} {NOTHING_FOUND}{NEVER}" if why.is_whole else f"{says} {NEVER}"
    return f"{says} {ASK} {NEVER}"


def _menu(scenario: Scenario, opened: Iterable[Opened]) -> Table:
    """Single changes side by side, with what the order then costs."""
    columns = (*_columns(), Column("cost", f"Order then ({scenario.currency.code})", Holds.MONEY))
    rows = tuple(row for number, book in enumerate(opened, start=1) for row in _alternative(scenario, number, book))
    loose = [book for book in opened if not book.proved]
    note = f"{ALONE} {WRITE} {_not_proved(scenario, loose)}".rstrip()
    return Table("changes", "Any one of these opens a plan", columns, rows, note=note)


def _alternative(scenario: Scenario, number: int, book: Opened) -> Iterator[tuple[Cell, ...]]:
    """The rows of one change, with the cost at the first; more where dogs have other targets or caps to be written."""
    first, *more = _rows(scenario, number, book.changes, minded=not book.given)
    yield (*first, book.total)
    yield from ((change, rule, f"and with it: {asks}", *told, None) for change, rule, asks, *told in more)


def _together(scenario: Scenario, opened: Opened, says: str) -> Table:
    """What gives way together, with what the order then costs."""
    rows = tuple(_rows(scenario, 1, opened.changes))
    proved = "" if opened.proved else ", not proved to be the least"
    note = f"{says} The order then costs {scenario.currency.text(opened.total)}{proved}. {WRITE}"
    return Table("together", "These together open a plan", _columns(), rows, note=note)


def _instead(scenario: Scenario, opened: Iterable[Opened]) -> Table:
    """What helps dogs that must not have whole bone, side by side, with what the order then costs."""
    columns = (*_columns(), Column("cost", f"Order then ({scenario.currency.code})", Holds.MONEY))
    rows = tuple(row for number, book in enumerate(opened, start=1) for row in _alternative(scenario, number, book))
    given = [says for book in opened for says in book.given]
    note = " ".join([INSTEAD, WRITE, *(f"{says}." for says in dict.fromkeys(given))])
    return Table("instead_of_bone", "Instead of whole bone", columns, rows, note=note)


def _not_proved(scenario: Scenario, loose: Sequence[Opened]) -> str:
    """Which costs are not proved to be the least."""
    if not loose:
        return ""
    told = listed([remedy_text(scenario, book.changes[0]) for book in loose])
    return f"The cost is not proved to be the least with {told}."


def _columns() -> tuple[Column, ...]:
    return (
        Column("change", "Change", Holds.COUNT, shown=False),
        Column("rule", "Rule", shown=False),
        Column("demand", "Asks now"),
        Column("least_change", "Least change"),
        Column("write", "Write"),
        Column("where", "Where"),
    )


def _rows(
    scenario: Scenario, number: int, changes: Sequence[Loosening], *, minded: bool = True
) -> Iterator[tuple[Cell, ...]]:
    """A row for everything that is to be written for changes that belong together, under their number."""
    for remedy in remedies(scenario, changes):
        rules = ", ".join(dict.fromkeys(loosening.demand.rule for loosening in remedy.changes))
        asks = "; ".join(dict.fromkeys(loosening.demand.text(scenario) for loosening in remedy.changes))
        yield number, rules, asks, instead_text(scenario, remedy.changes, minded=minded), remedy.text, remedy.where


def _clashing(scenario: Scenario, demands: Iterable[Demand]) -> Iterator[str]:
    """Each rule with its number and where it is set."""
    for demand in demands:
        place = place_text(scenario, demand)
        yield f"{demand.rule}: {demand.text(scenario)}" + (f" ({place})" if place else "")


def _rules_named(why: Why) -> Iterator[Block]:
    """The rules in the paper, once each, as the rulebook has them."""
    opened = [trial.opened for trial in (*why.menu, why.together, *why.instead) if trial and trial.opened]
    changes = [change.demand.rule for book in opened for change in book.changes]
    keys = dict.fromkeys([*changes, *(demand.rule for demand in why.clash)])
    if keys:
        yield Points("rules", "The rules named", tuple(f"{key}: {rule_of(key).says}" for key in keys))
