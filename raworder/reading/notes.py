"""The notebook in which one reading gathers its findings."""

from dataclasses import replace

from raworder.findings import Finding, Place, sorted_findings
from raworder.reading.slugs import SLUGS


class Notes:
    """Findings gathered so far, and the lines of the files read; a slug decides for itself whether it refuses."""

    def __init__(self) -> None:
        self._found: list[Finding] = []
        self._lines: dict[str, list[str]] = {}

    def remember(self, file: str, text: str) -> None:
        """Keep a file's lines, to be shown beside its findings."""
        self._lines[file] = text.split("\n")

    def add(self, slug: str, message: str, place: Place, help: str, note: str = "") -> None:  # noqa: A002 - the field's name
        """Gather one finding; one in a workbook names its cell, as there is no line to be shown."""
        message = f"{message} (cell {place.cell})" if place.cell else message
        self._found.append(Finding(SLUGS[slug].severity, slug, message, place, help, note))

    def all(self) -> tuple[Finding, ...]:
        """What has been gathered, by place, each with its line of the file."""
        return sorted_findings(replace(finding, source_line=self._line(finding.place)) for finding in self._found)

    def _line(self, place: Place) -> str:
        lines = self._lines.get(place.file, [])
        return lines[place.line - 1] if place.line <= len(lines) else ""

    @property
    def refuse(self) -> bool:
        """Whether anything gathered so far refuses the input."""
        return any(finding.refuses for finding in self._found)
