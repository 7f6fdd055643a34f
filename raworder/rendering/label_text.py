"""The text of a label in letters as large as fit, reckoned with the widest of its typefaces: any narrower one fits.

Widths are whole thousandths of the size of a letter, sizes are half points.
"""

import re
from bisect import bisect
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor

from raworder.document import Label
from raworder.rendering.clean import one_line
from raworder.rendering.letter_widths import OTHER_WIDTH, letter_width, text_width
from raworder.units import WEEKDAYS

LARGEST, SMALLEST = 22, 10
"""The largest and the smallest size of the small print, in half points: 11 and 5 points."""

HEADING_TIMES, FIRST_TIMES = Fraction(2), Fraction(3, 2)
"""How much larger than the small print the heading is, and the first line and the corner."""

HEADING_LINES = 2
"""So many lines of small print have room in place of the heading."""

LINE_HEIGHT = Fraction(6, 5)
"""From line to line, in sizes of the letters."""

GAP = 600
"""What is free between heading and corner."""

SPACE_WIDTH = letter_width(" ", bold=True)
"""What is between two words, at the most."""

WORDS = re.compile(
    r"(?<!\S)(?P<whole>\(?("
    rf"(({'|'.join(WEEKDAYS)}) )?\d{{4}}-\d\d-\d\d"  # a day
    r"|\d[\d.]{0,8} (%|kg|g|lb|oz)"  # an amount
    r"|\d{6}-[0-9A-F]{4}(?:-R[0-9A-F]{4})?"  # a batch
    r")[),;]{0,4})(?!\S)|\S+"
)
"""The words of a line. What is whole stays on one line, and is short enough for any label."""


@dataclass(frozen=True, slots=True)
class Word:
    """What is between two places where a line may break; where it is not whole, it may be broken if it is too long."""

    text: str
    is_whole: bool = False


Line = tuple[Word, ...]
"""A line in words."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """A label's text with its sizes in half points; `kept` is how many lines `rest` keeps, 0 for all.

    A heading that does not fit on one line is as small as the small print and `heading_kept` is 2, else 0. `is_cut`
    says that something does not fit even so.
    """

    heading: Line
    corner: str
    first: Line
    mind: tuple[Line, ...]
    rest: tuple[Line, ...]
    size: int
    heading_size: int
    heading_kept: int = 0
    kept: int = 0
    is_cut: bool = False

    @property
    def first_size(self) -> int:
        """The size of the first line and of the corner."""
        return int(self.size * FIRST_TIMES)


def fitted(label: Label, width: Fraction, height: Fraction) -> Fitted:
    """The label in the largest letters in which all of it fits into so many points; else with the end cut off.

    Where it does not fit, lines are run together first, and then the last loses its end.
    """
    text = _Text(label, width, height)
    if size := text.largest(text.fits_whole) or text.largest(text.fits_but_heading):
        return text.at(size)
    return text.run_together()


def lines_needed(words: Sequence[int], most: int) -> int:
    """Lines of at most such a width that words of these widths take; a word wider than a line is broken anywhere."""
    lines, used = 1, 0
    for word in words:
        if used and used + SPACE_WIDTH + word > most:
            lines, used = lines + 1, 0
        if word > most:
            lines += -(-word // max(most - OTHER_WIDTH, 1)) - 1  # the end of each line may stay free
            used = most
        else:
            used += word + (SPACE_WIDTH if used else 0)
    return lines


def rows_for(size: int, height: Fraction) -> Fraction:
    """Lines of small print for which there is room below the heading."""
    heading = size * HEADING_TIMES * LINE_HEIGHT
    return (2 * height - heading) / (size * LINE_HEIGHT)


class _Text:
    """The words of a label with their widths, measured once for all sizes, and the room there is."""

    def __init__(self, label: Label, width: Fraction, height: Fraction) -> None:
        first, *rest = [words_of(line) for line in label.lines] or [()]
        self._width, self._height = width, height
        self._heading, self._corner = words_of(label.heading), one_line(label.corner)
        self._first, self._rest = first, tuple(filter(None, rest))
        self._mind = tuple(filter(None, map(words_of, label.mind)))
        self._heading_widths = _widths(self._heading, bold=True)
        self._corner_width = text_width(self._corner, bold=True) * FIRST_TIMES + GAP
        self._first_widths = _widths(first, bold=True)
        self._mind_widths = [_widths(line, bold=True) for line in self._mind]
        self._rest_widths = [_widths(line) for line in self._rest]

    def largest(self, fits: Callable[[int], bool]) -> int:
        """The largest size in which it fits, 0 where it does in none."""
        sizes = range(SMALLEST, LARGEST + 1)
        found = bisect(sizes, False, key=lambda size: not fits(size))
        return sizes[found - 1] if found else 0

    def fits_whole(self, size: int) -> bool:
        """Whether all of it fits in that size."""
        return self._heading_fits(size) and self.fits_but_heading(size)

    def fits_but_heading(self, size: int) -> bool:
        """Whether all below the heading fits in that size."""
        rows = self._first_rows(size) + _lines([*self._mind_widths, *self._rest_widths], self._room(size))
        return rows <= rows_for(size, self._height)

    def at(self, size: int) -> Fitted:
        """All of it in that size, with the largest heading that fits beside the corner."""
        needed = max(sum(self._heading_widths) + SPACE_WIDTH * len(self._heading), 1)
        largest = floor((2000 * self._width - self._corner_width * size) / needed)
        heading_size = max(size, min(int(size * HEADING_TIMES), largest))
        return Fitted(
            self._heading,
            self._corner,
            self._first,
            self._mind,
            self._rest,
            size,
            heading_size,
            heading_kept=HEADING_LINES if largest < size else 0,
            is_cut=not self._heading_fits(size),
        )

    def run_together(self) -> Fitted:
        """In the smallest letters with the rest as one text, or with what to mind in it where that needs more room."""
        size = SMALLEST
        kept = floor(rows_for(size, self._height) - self._first_rows(size))
        mind, rest = self._mind, self._rest
        if (left := kept - _lines(self._mind_widths, self._room(size))) > 0:
            kept = left
        else:
            mind, rest = (), (*mind, *rest)
        text = words_of("; ".join(plain(line) for line in rest))
        found = self.at(size)
        is_cut = found.is_cut or lines_needed(_widths(text), self._room(size)) > kept
        return replace(found, mind=mind, rest=(text,), kept=max(1, kept), is_cut=is_cut)

    def _heading_fits(self, size: int) -> bool:
        """Whether the heading fits, on the lines of small print that have room in its place if need be."""
        return lines_needed(self._heading_widths, floor(self._room(size) - self._corner_width)) <= HEADING_LINES

    def _first_rows(self, size: int) -> Fraction:
        """What the first line takes, in lines of small print."""
        return lines_needed(self._first_widths, floor(self._room(size) / FIRST_TIMES)) * FIRST_TIMES

    def _room(self, size: int) -> int:
        """The width in thousandths of a size in half points."""
        return floor(2000 * self._width / size)


def words_of(text: str) -> Line:
    """The words of a line, cleaned; a number with its unit is one, and so is a day.

    >>> [word.text for word in words_of("feed by Sat 2027-02-06, 550 g")]
    ['feed', 'by', 'Sat 2027-02-06,', '550 g']
    """
    return tuple(Word(found[0], found["whole"] is not None) for found in WORDS.finditer(one_line(text)))


def plain(line: Line) -> str:
    """The text of a line."""
    return " ".join(word.text for word in line)


def _widths(words: Line, *, bold: bool = False) -> list[int]:
    """The widths of words."""
    return [text_width(word.text, bold=bold) for word in words]


def _lines(widths: Sequence[Sequence[int]], room: int) -> int:
    """The lines that several lines of words take."""
    return sum(lines_needed(words, room) for words in widths)
