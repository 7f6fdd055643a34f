"""The notebook in which one reading gathers its findings."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from raworder.reading.help_pages import read_slugs
from raworder.trade.findings import Finding, Place, errors_first, sorted_findings

MOST_SOUGHT = 100
"""The most findings with a suggestion of what was meant: each takes some milliseconds, and nobody reads on."""


@dataclass(frozen=True, slots=True)
class SearchedRemedy:
    """A remedy that takes time to find; `otherwise` is the one where it is not sought."""

    find: Callable[[], str]
    otherwise: str


class Notes:
    """Findings gathered so far, and the lines of the files read; a slug decides for itself whether it refuses."""

    def __init__(self) -> None:
        self._found: dict[Finding, Callable[[], str] | None] = {}
        self._lines: dict[str, list[str]] = {}
        self._refuses = False

    def remember(self, file: str, text: str) -> None:
        """Keep a file's lines, to be shown beside its findings."""
        self._lines[file] = text.split("\n")

    def add(self, slug: str, message: str, place: Place, help: str | SearchedRemedy, note: str = "") -> None:  # noqa: A002 - the field's name
        """Gather one finding; one in a workbook names its cell, as there is no line to be shown."""
        message = f"{message} (cell {place.cell})" if place.cell else message
        remedy, find = (help, None) if isinstance(help, str) else (help.otherwise, help.find)
        finding = Finding(read_slugs()[slug].severity, slug, message, place, remedy, note)
        self._found.setdefault(finding, find)
        self._refuses = self._refuses or finding.refuses

    def all(self) -> tuple[Finding, ...]:
        """What has been gathered, by place, each with its line of the file."""
        first = [finding for finding in errors_first(self._found) if self._found[finding]][:MOST_SOUGHT]
        meant = {finding: find() for finding in first if (find := self._found[finding])}
        return sorted_findings(
            replace(finding, help=meant.get(finding, finding.help), source_line=self._line(finding.place))
            for finding in self._found
        )

    def _line(self, place: Place) -> str:
        lines = self._lines.get(place.file, [])
        return lines[place.line - 1] if place.line <= len(lines) else ""

    @property
    def refuse(self) -> bool:
        """Whether anything gathered so far refuses the input."""
        return self._refuses
