"""Findings: what is wrong or doubtful in the input, with its place and one remedy."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding matters: an error refuses the input, a warning does not."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where something stands: file, line and column from 1, and how many characters it takes.

    In a workbook the line is the row, and `cell` is the spreadsheet's name for the place: `C5`.
    """

    file: str
    line: int
    column: int
    length: int = 1
    cell: str = ""

    @property
    def told(self) -> str:
        """The place in words, for a note on a finding elsewhere."""
        return f"{self.file}, cell {self.cell}" if self.cell else f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing wrong or doubtful: `slug` names it, `note` says what it clashes with, and `help` is the one remedy."""

    severity: Severity
    slug: str
    message: str
    place: Place
    help: str
    note: str = ""
    source_line: str = ""

    @property
    def refuses(self) -> bool:
        """Whether the input is refused because of it."""
        return self.severity is Severity.ERROR


def sorted_findings(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings in order of place, each once."""
    return tuple(sorted(set(findings), key=_by_place))


def errors_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings, errors first, then in order of place."""
    return tuple(sorted(findings, key=lambda finding: (not finding.refuses, *_by_place(finding))))


def _by_place(finding: Finding) -> tuple[str, int, int, int, str, str, str]:
    """The sort key of findings, as plain values: comparing `Place` objects takes three times as long."""
    place = finding.place
    return place.file, place.line, place.column, place.length, place.cell, finding.slug, finding.message
