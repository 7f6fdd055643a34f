"""The rules on nutrients that a scenario sets, line by line beside what is fed."""

from collections.abc import Iterator

from raworder.document import Cell, Column, Holds
from raworder.nourishment import ENOUGH_KNOWN, Nourished, RuleLine, Standing
from raworder.reporting.bound_words import DESTROYED, bound_text, stands_text

RULE_COLUMNS = (
    Column("rule", "Rule"),
    Column("fed", "Fed", Holds.AMOUNT),
    Column("of_rule", "Of it", Holds.SHARE),
    Column("known", "Known", Holds.SHARE),
    Column("stands", "Stands"),
    Column("dog", "Dog", shown=False),
)


def rule_rows(one: Nourished) -> Iterator[tuple[Cell, ...]]:
    """Every rule of a dog with what is fed for what it is for; of what is destroyed only that it is not known."""
    for line in one.rules:
        beside = line.beside
        sure = beside is not None and not line.destroyed_by
        yield (
            bound_text(line.bound),
            beside.given if beside else None,
            beside.of_bound if beside and sure else None,
            None if line.destroyed_by else line.coverage,
            _stands(line),
            one.dog,
        )


def _stands(line: RuleLine) -> str:
    """Where a rule stands, in a word."""
    if line.beside is None:
        return DESTROYED if line.destroyed_by else Standing.UNKNOWN.value
    spans = line.spans and line.coverage >= ENOUGH_KNOWN
    return stands_text((line.beside,), spans=spans, destroyed=bool(line.destroyed_by))
