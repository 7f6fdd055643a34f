"""What instead: for every line of the order, what to buy if they have none of it, to be carried into the shop."""

from collections.abc import Mapping

from raworder.document import Document
from raworder.plan import OrderLine, Plan
from raworder.studies.asking import Ask, Task
from raworder.studies.repairs import Repair, repair
from raworder.studies.substitutes_paper import Choices, what_instead
from raworder.trade import Scenario


def substitutes(scenario: Scenario, base: Plan, ask: Ask) -> Document:
    """The card: a first and a second choice for every line, or what is missed without it.

    Two rounds of questions: a repaired order for every line, and for what buys something instead, one without that too.
    """
    lines = _lines(scenario, base)
    first = ask([_task(scenario, base, line, (), ask) for line in lines])
    second = ask([_task(scenario, base, line, _keys(first[line.offer]), ask) for line in lines if _buys(first, line)])
    choices = tuple(Choices(line, first.get(line.offer), second.get(line.offer)) for line in lines)
    return what_instead(scenario, base, choices)


def _lines(scenario: Scenario, base: Plan) -> tuple[OrderLine, ...]:
    """The lines that are still to be bought."""
    offers = {offer.key: offer for offer in scenario.offers}
    return tuple(line for line in base.lines if offers[line.offer].bought is None)


def _task(scenario: Scenario, base: Plan, line: OrderLine, gone: tuple[str, ...], ask: Ask) -> Task[Repair]:
    """The question what to buy without a line, and without more of what is gone as well."""
    planned = tuple((one.offer, one.units) for one in base.lines if one != line)
    return Task(line.offer, repair, (scenario, planned, (line.offer, *gone), ask.settings))


def _keys(first: Repair) -> tuple[str, ...]:
    """What the first choice buys."""
    return tuple(key for key, _ in first.instead)


def _buys(first: Mapping[str, Repair], line: OrderLine) -> bool:
    """Whether the first choice is known and buys something that might not be to be had either."""
    found = first.get(line.offer)
    return found is not None and bool(found.instead)
