"""The text of a label in letters as large as fit, reckoned with the widths of a wide typeface: any narrower one fits.

Widths are whole thousandths of the size of a letter, sizes are half points.
"""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor

from raworder.document import Label
from raworder.rendering.clean import one_line
from raworder.units import WEEKDAYS

LARGEST, SMALLEST = 22, 10
"""The largest and the smallest size of the small print, in half points: 11 and 5 points."""

HEADING_TIMES, FIRST_TIMES = Fraction(2), Fraction(3, 2)
"""How much larger than the small print the heading is, and the first line and the corner."""

LINE_HEIGHT = Fraction(6, 5)
"""From line to line, in sizes of the letters."""

BOLD_TIMES = Fraction(9, 8)
"""How much wider a bold letter is."""

GAP = 600
"""What is free between heading and corner."""

NARROW, SLIM, BROAD = "ijlI.,:;'!| ", 'frtJ()[]{}-/"', "mwMW@%&"
NARROW_WIDTH, SLIM_WIDTH, USUAL_WIDTH, CAPITAL_WIDTH, BROAD_WIDTH, EMOJI_WIDTH = 345, 425, 645, 790, 1000, 1400
"""What a letter takes. **Source:** the advance widths of DejaVu Sans, rounded up, from memory, not looked up; tests
measure them in a browser."""

TOGETHER = re.compile(rf"(?<=\d) (?=(?:%|kg|g|lb|oz)(?!\w))|(?<={'|'.join(WEEKDAYS)}) (?=\d{{4}}-)")
"""The spaces of a number and its unit, and of a day: what they join stays on one line."""

GLUE = "\x00"
"""Stands for such a space until lines are split; no clean text has it."""

JOINED = frozenset({"Mn", "Me", "Cf"})
"""Characters that stand on, around or between others."""


Line = tuple[str, ...]
"""A line in words; a word is never broken if it fits on a line."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """A label's text with its sizes in half points; `kept` is how many lines `rest` keeps, 0 for all.

    `is_cut` says that something of it does not fit in the smallest letters.
    """

    heading: str
    corner: str
    first: Line
    mind: tuple[Line, ...]
    rest: tuple[Line, ...]
    size: int
    heading_size: int
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
    text = _Text(label)
    for size in range(LARGEST, SMALLEST - 1, -1):
        if text.rows(size, width) <= _rows_for(size, height):
            return text.at(size, width)
    return text.run_together(SMALLEST, width, _rows_for(SMALLEST, height))


def letter_width(letter: str) -> int:
    """What a letter takes at the most; one with an accent takes what it takes without."""
    if not letter.isascii():
        letter = unicodedata.normalize("NFD", letter)[0]
    if letter in NARROW:
        return NARROW_WIDTH
    if letter in SLIM:
        return SLIM_WIDTH
    if letter.isascii() and letter not in BROAD:
        return CAPITAL_WIDTH if letter.isupper() else USUAL_WIDTH
    kind = unicodedata.category(letter)
    return 0 if kind in JOINED else EMOJI_WIDTH if kind in {"So", "Sk"} else BROAD_WIDTH


def text_width(text: str) -> int:
    """What a text takes on one line."""
    return sum(map(letter_width, text))


def lines_needed(words: Sequence[int], most: Fraction) -> int:
    """Lines of at most such a width that words of these widths take; a word wider than a line is broken anywhere."""
    lines, used = 1, 0
    for word in words:
        if used and used + NARROW_WIDTH + word > most:
            lines, used = lines + 1, 0
        if word > most:
            lines += ceil(word / max(most - BROAD_WIDTH, Fraction(1))) - 1  # the end of each line may stay free
            used = floor(most)
        else:
            used += word + (NARROW_WIDTH if used else 0)
    return lines


def _rows_for(size: int, height: Fraction) -> Fraction:
    """Lines of small print for which there is room below heading and first line, each line of the latter counting."""
    heading = size * HEADING_TIMES * LINE_HEIGHT
    return (2 * height - heading) / (size * LINE_HEIGHT)


class _Text:
    """The words of a label with their widths, measured once for all sizes."""

    def __init__(self, label: Label) -> None:
        first, *rest = [words_of(line) for line in label.lines] or [()]
        self._heading, self._corner = one_line(label.heading), one_line(label.corner)
        self._first, self._rest = first, tuple(filter(None, rest))
        self._mind = tuple(filter(None, map(words_of, label.mind)))
        self._first_widths = _widths(first, BOLD_TIMES)
        self._mind_widths = [_widths(line, BOLD_TIMES) for line in self._mind]
        self._rest_widths = [_widths(line) for line in self._rest]

    def rows(self, size: int, width: Fraction) -> Fraction:
        """What everything below the heading takes, in lines of small print."""
        return self._rows_before(size, width) + _lines(self._rest_widths, _room(size, width))

    def at(self, size: int, width: Fraction) -> Fitted:
        """All of it in that size."""
        return self._fitted(size, width, self._rest, 0)

    def run_together(self, size: int, width: Fraction, rows: Fraction) -> Fitted:
        """In that size with the rest as one text, of which so many rows are kept as there is room for."""
        text = words_of("; ".join(" ".join(line) for line in self._rest))
        kept = max(1, floor(rows - self._rows_before(size, width)))
        found = self._fitted(size, width, (text,), kept)
        return replace(found, is_cut=found.is_cut or lines_needed(_widths(text), _room(size, width)) > kept)

    def _fitted(self, size: int, width: Fraction, rest: tuple[Line, ...], kept: int) -> Fitted:
        """With the largest heading that fits beside the corner; in small print it is cut where it does not."""
        corner = text_width(self._corner) * BOLD_TIMES * FIRST_TIMES * size
        free = 2000 * width - corner - GAP * size
        largest = floor(free / max(text_width(self._heading) * BOLD_TIMES, Fraction(1)))
        heading_size = max(size, min(int(size * HEADING_TIMES), largest))
        is_cut = largest < heading_size
        return Fitted(self._heading, self._corner, self._first, self._mind, rest, size, heading_size, kept, is_cut)

    def _rows_before(self, size: int, width: Fraction) -> Fraction:
        """What first line and what to mind take, in lines of small print."""
        room = _room(size, width)
        first = lines_needed(self._first_widths, room / FIRST_TIMES) * FIRST_TIMES
        return first + _lines(self._mind_widths, room)


def words_of(text: str) -> Line:
    """The words of a line, cleaned; a number with its unit is one, and so is a day.

    >>> words_of("feed by Sat 2027-02-06, 550 g")
    ('feed', 'by', 'Sat 2027-02-06,', '550 g')
    """
    glued = TOGETHER.sub(GLUE, one_line(text))
    return tuple(word.replace(GLUE, " ") for word in glued.split(" ") if word)


def _room(size: int, width: Fraction) -> Fraction:
    """A width in points, in thousandths of a size in half points."""
    return 2000 * width / size


def _widths(words: Line, times: Fraction = Fraction(1)) -> list[int]:
    """The widths of words."""
    return [ceil(text_width(word) * times) for word in words]


def _lines(widths: Sequence[Sequence[int]], room: Fraction) -> int:
    """The lines that several lines of words take."""
    return sum(lines_needed(words, room) for words in widths)
