"""Findings as text: what is wrong, where, the line itself with carets under the place, and the remedy."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from raworder.rendering.clean import escape, escaped
from raworder.trade.findings import Finding, Severity, errors_first, sorted_findings

MOST_CELLS = 100
"""A source line wider than this is cut around the place."""

BEFORE_CELLS = 40
"""So much of a cut line is kept before the place."""

LOOKED_AT = 1000
"""The characters before and after the place that are looked at, however long the line is."""

TAB = "    "
CUT = "..."
RED, YELLOW, BLUE, BOLD, PLAIN = "\x1b[1;31m", "\x1b[1;33m", "\x1b[1;34m", "\x1b[1m", "\x1b[0m"


def findings_text(findings: Sequence[Finding], *, color: bool, most: int | None = None) -> str:
    """The findings one after the other with a free line between; escape codes only with `color`.

    Beyond `most` of them the rest is counted by kind. What refuses the input is shown before what does not.
    """
    shown = findings if most is None else sorted_findings(errors_first(findings)[:most])
    texts = ["".join(f"{line}\n" for line in _FindingLines(finding, color=color).lines()) for finding in shown]
    rest = Counter(finding.slug for finding in findings) - Counter(finding.slug for finding in shown)
    return "\n".join([*texts, f"{_counted(rest)}\n"] if rest else texts)


def _counted(rest: Counter[str]) -> str:
    """How many more there are of each kind, the most first.

    >>> _counted(Counter({"unknown-cut": 31000, "bad-value": 950}))
    'and 31,950 more: 31,000 of `unknown-cut`, 950 of `bad-value`; --all-findings shows them all'
    """
    kinds = sorted(rest.items(), key=lambda pair: (-pair[1], pair[0]))
    listed = ", ".join(f"{count:,} of `{slug}`" for slug, count in kinds)
    return f"and {rest.total():,} more: {listed}; --all-findings shows them all"


@dataclass(frozen=True, slots=True)
class Excerpt:
    """A source line ready to print, and the cells from where to where the carets stand."""

    line: str
    start_cell: int
    cells: int


def excerpt(source_line: str, column: int, length: int) -> Excerpt:
    """The part of a line around a place; `column` counts characters from 1, carets count cells of the screen."""
    start = min(max(column - 1, 0), len(source_line))
    begins = max(start - LOOKED_AT, 0)
    looked_at = source_line[begins : start + LOOKED_AT]
    start -= begins
    shown = [_shown(character) for character in looked_at]
    first, last = _window(shown, start)
    lead = CUT if first or begins else ""
    tail = CUT if last < len(shown) or begins + len(looked_at) < len(source_line) else ""
    end = min(start + max(length, 1), last)
    line = lead + "".join(shown[first:last]) + tail
    return Excerpt(line, _cells(lead + "".join(shown[first:start])), max(_cells("".join(shown[start:end])), 1))


def _window(shown: Sequence[str], start: int) -> tuple[int, int]:
    """The characters of a line to show: all when they fit, else some before the place and what follows."""
    if _cells("".join(shown)) <= MOST_CELLS:
        return 0, len(shown)
    first = start
    while first > 0 and _cells("".join(shown[first - 1 : start])) <= BEFORE_CELLS:
        first -= 1
    last = first
    while last < len(shown) and _cells("".join(shown[first : last + 1])) <= MOST_CELLS:
        last += 1
    return first, last


def _shown(character: str) -> str:
    """One character as it is printed."""
    return TAB if character == "\t" else escape(character)


def _cells(text: str) -> int:
    """How many cells of the screen a text takes; wide characters take two."""
    from rich.cells import cell_len

    return cell_len(text)


class _FindingLines:
    """One finding, line by line."""

    def __init__(self, finding: Finding, *, color: bool) -> None:
        self._finding = finding
        self._color = color
        self._gutter = " " * len(str(finding.place.line))

    def lines(self) -> Iterator[str]:
        """Head, place, excerpt and remedy."""
        finding, place = self._finding, self._finding.place
        head = self._in_colour(f"{finding.severity.value}[{finding.slug}]", self._alarm)
        yield f"{head}{self._in_colour(f': {escaped(finding.message)}', BOLD)}"
        yield f"{self._gutter}{self._in_colour('-->', BLUE)} {escaped(place.file)}:{place.line}:{place.column}"
        if finding.source_line.strip():
            yield from self._excerpt()
        elif finding.note:
            yield f"{self._gutter} {self._in_colour('= note:', BLUE)} {escaped(finding.note)}"
        yield f"{self._gutter} {self._in_colour('= help:', BLUE)} {escaped(finding.help)}"

    def _excerpt(self) -> Iterator[str]:
        """The source line between bars, carets under the place, the note beside them."""
        place = self._finding.place
        part = excerpt(self._finding.source_line.rstrip("\r\n"), place.column, place.length)
        bar = self._in_colour("|", BLUE)
        carets = self._in_colour("^" * part.cells, self._alarm)
        note = f" {self._in_colour(escaped(self._finding.note), self._alarm)}" if self._finding.note else ""
        yield f"{self._gutter} {bar}"
        yield f"{self._in_colour(str(place.line), BLUE)} {bar} {part.line}"
        yield f"{self._gutter} {bar} {' ' * part.start_cell}{carets}{note}"
        yield f"{self._gutter} {bar}"

    @property
    def _alarm(self) -> str:
        """The colour of the severity."""
        return RED if self._finding.severity is Severity.ERROR else YELLOW

    def _in_colour(self, text: str, color: str) -> str:
        """The text in a colour, if there are any."""
        return f"{color}{text}{PLAIN}" if self._color else text
