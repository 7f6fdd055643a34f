"""What a slug tells: how much it matters, a paragraph about it, a wrong and a right example."""

from dataclasses import dataclass

from raworder.trade.findings import Severity


@dataclass(frozen=True, slots=True)
class Slug:
    """The name of something bad; the examples are pieces of a scenario or a price list."""

    name: str
    severity: Severity
    says: str
    wrong: str
    right: str


def error(name: str, says: str, wrong: str, right: str) -> Slug:
    """A slug that refuses the input."""
    return Slug(name, Severity.ERROR, says, wrong, right)


def warning(name: str, says: str, wrong: str, right: str) -> Slug:
    """A slug that does not."""
    return Slug(name, Severity.WARNING, says, wrong, right)
