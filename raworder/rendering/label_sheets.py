"""Labels on sheets at their true size, each text in the largest letters that fit whatever typeface a browser has.

No script runs in the page, so the size is computed from the widths of letters and not measured.
"""

import re
import unicodedata
from bisect import bisect
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import floor
from types import MappingProxyType

from raworder.rendering.clean import one_line
from raworder.rendering.templated import as_it_is, environment, policy
from raworder.trade.document import Label, Labels
from raworder.trade.labels import MM_PER_INCH, LabelSheet
from raworder.trade.rounding import half_up
from raworder.trade.units import MONTHS, WEEKDAYS

_REGULAR: Mapping[int, str] = MappingProxyType(
    {
        275: "'", 278: 'ijl', 295: 'I', 318: ' ,.', 337: '/:;\\|', 353: 'f', 361: '-', 391: '()[]',
        393: 't', 401: '!', 412: 'r', 460: '"', 500: '*J`', 521: 's', 525: 'z', 550: 'c', 557: '?_',
        558: 'L', 580: 'k', 592: 'vxy', 611: 'FT', 612: 'o', 613: 'a', 616: 'e', 634: 'hnu', 635:
        'bdgpq', 637: '$0123456789{}', 667: 'EKPSY', 685: 'AV', 686: 'XZ', 687: 'B', 723: 'CR', 732:
        'U', 749: 'N', 752: 'H', 771: 'D', 778: 'G', 780: '&', 788: 'OQ', 818: 'w', 838: '#+<=>^~',
        863: 'M', 951: '%', 975: 'm', 989: 'W', 1016: '@',
    }
)  # fmt: skip
_BOLD: Mapping[int, str] = MappingProxyType(
    {
        307: "'", 343: 'ijl', 349: ' ', 366: '/\\|', 373: 'I', 380: ',.', 400: ':;', 416: '-', 436:
        'f', 457: '!', 458: '()[]', 479: 't', 494: 'r', 500: '`', 521: '"', 523: '*', 557: 'J_',
        583: 'z', 593: 'c', 596: 's', 611: '?', 638: 'L', 646: 'x', 652: 'vy', 666: 'k', 675: 'a',
        679: 'e', 683: 'T', 684: 'EF', 688: 'o', 696: '$0123456789', 712: 'hnu{}', 716: 'bdgpq',
        721: 'S', 725: 'Y', 726: 'Z', 733: 'P', 734: 'C', 763: 'B', 771: 'RX', 774: 'AV', 775: 'K',
        813: 'U', 821: 'G', 831: 'D', 837: 'HN', 838: '#+<=>^~', 851: 'OQ', 873: '&', 924: 'w', 996:
        'M', 1000: '@', 1002: '%', 1042: 'm', 1104: 'W',
    }
)  # fmt: skip
"""The letters of ASCII by their width, in thousandths of the size of the letters.

**Source:** the files of Liberation Sans 1.07 and DejaVu Sans 2.37, regular and bold, table `hmtx`, the wider of the
two, rounded up; a test reads the files where they are installed.
"""

WIDTHS: Mapping[bool, Mapping[str, int]] = MappingProxyType(
    {
        bold: MappingProxyType({letter: width for width, letters in table.items() for letter in letters})
        for bold, table in ((False, _REGULAR), (True, _BOLD))
    }
)
"""The width of each letter of ASCII; under `True` that of bold letters."""

OTHER_WIDTH, BROAD_WIDTH = 1420, 2000
"""The width of any other bold letter, and of those in `BROAD`.

**Source:** no letter of the same files that is typed in Latin, Greek, Cyrillic, Hebrew or Arabic
takes more. Of other scripts and of emoji: what browsers were seen to draw.
"""

OTHER_REGULAR_WIDTH = 1240
"""The width of any other regular letter. **Source:** the same; emoji are as wide as bold letters."""

BESIDE, BESIDE_MARK = frozenset("\u010f\u013e\u0165\u1e37\u1e39"), "\N{COMBINING HORN}"
"""Letters that an accent beside them makes wider, and the one combining accent that does so to any letter."""

BROAD = frozenset("\u01c4\u01c5\u01c6\u01f1\u01f2\u01f3\u2030\u2031\u20a7\u20af")
"""Very wide characters: digraphs in one letter, per mille and the like."""

JOINED = frozenset({"Mn", "Me", "Cf"})
"""Unicode categories of characters without a width of their own: accents, enclosing marks, format characters."""


def letter_width(letter: str, *, bold: bool = False) -> int:
    """The width of a letter in the wider typeface; an accent adds nothing.

    >>> letter_width("J"), letter_width("J", bold=True), letter_width("\u00e9") == letter_width("e")
    (500, 557, True)
    """
    known = WIDTHS[bold]
    if letter in known:
        return known[letter]
    parts = unicodedata.normalize("NFD", letter)
    if parts[0] in known and letter not in BESIDE and BESIDE_MARK not in parts:
        return known[parts[0]]
    kind = unicodedata.category(letter)
    if kind in JOINED:
        return 0
    if letter in BROAD:
        return BROAD_WIDTH
    return OTHER_WIDTH if bold or kind in {"So", "Sk"} else OTHER_REGULAR_WIDTH


def text_width(text: str, *, bold: bool = False) -> int:
    """The width of a text on one line."""
    return sum(letter_width(letter, bold=bold) for letter in text)


LARGEST, SMALLEST = 22, 10
"""The largest and smallest size of the small print, in half points: 11 and 5 points."""

HEADING_TIMES, FIRST_TIMES = Fraction(2), Fraction(3, 2)
"""How much larger than the small print the heading is, and the first line and the corner."""

HEADING_LINES = 2
"""Lines of small print that fit in place of the heading."""

LINE_HEIGHT = Fraction(6, 5)
"""The height of a line, in sizes of its letters."""

GAP = 600
"""The least space between heading and corner, in thousandths of a size."""

SPACE_WIDTH = letter_width(" ", bold=True)
"""The widest space between two words."""

WORDS = re.compile(
    r"(?<!\S)(?P<whole>\(?("
    rf"({'|'.join(WEEKDAYS)}) \d{{1,2}} ({'|'.join(MONTHS)})"  # a day
    r"|\d[\d.]{0,8} (%|kg|g|lb|oz)"  # an amount
    r"|\d{6}-[0-9A-F]{4}(?:-R[0-9A-F]{4})?"  # a batch
    r")[),;]{0,4})(?!\S)|\S+"
)
"""The words of a line. A `whole` one is never broken; it is short enough for any label."""


@dataclass(frozen=True, slots=True)
class Word:
    """The text between two places where a line may break; a whole word is never broken, any other if it is too long."""

    text: str
    is_whole: bool = False


Line = tuple[Word, ...]
"""A line in words."""


@dataclass(frozen=True, slots=True)
class FittedLabel:
    """A label's text and the sizes of its letters in half points.

    `kept` is how many lines of `rest` are shown, 0 for all. A heading too long for one line is as small as the small
    print, on `heading_kept` lines (2, else 0). `is_cut` says that even so something does not fit.
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


def fit_label(label: Label, width: Fraction, height: Fraction) -> FittedLabel:
    """The label in the largest letters in which all of it fits into a width and height in points.

    Where it fits in no size, its lines are run together, and what still does not fit is cut off at the end.
    """
    text = _Text(label, width, height)
    if size := text.largest(text.fits_whole) or text.largest(text.fits_but_heading):
        return text.at(size)
    return text.run_together()


def lines_needed(words: Sequence[int], most: int) -> int:
    """The lines, `most` wide, that words of these widths need; a word wider than a line may break anywhere."""
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
    """How many lines of small print fit below the heading."""
    heading = size * HEADING_TIMES * LINE_HEIGHT
    return (2 * height - heading) / (size * LINE_HEIGHT)


class _Text:
    """The words of a label with their widths, computed once for all sizes, and the room for them."""

    def __init__(self, label: Label, width: Fraction, height: Fraction) -> None:
        first, *rest = [split_words(line) for line in label.lines] or [()]
        self._width, self._height = width, height
        self._heading, self._corner = split_words(label.heading), one_line(label.corner)
        self._first, self._rest = first, tuple(filter(None, rest))
        self._mind = tuple(filter(None, map(split_words, label.mind)))
        self._heading_widths = _widths(self._heading, bold=True)
        self._corner_width = text_width(self._corner, bold=True) * FIRST_TIMES + GAP
        self._first_widths = _widths(first, bold=True)
        self._mind_widths = [_widths(line, bold=True) for line in self._mind]
        self._rest_widths = [_widths(line) for line in self._rest]

    def largest(self, fits: Callable[[int], bool]) -> int:
        """The largest size in which `fits` holds, 0 if there is none."""
        sizes = range(SMALLEST, LARGEST + 1)
        # What fits in a size fits in all smaller ones, so a search by halves finds the largest.
        fitting = bisect(sizes, False, key=lambda size: not fits(size))
        return sizes[fitting - 1] if fitting else 0

    def fits_whole(self, size: int) -> bool:
        """Whether all of it fits in that size."""
        return self._heading_fits(size) and self.fits_but_heading(size)

    def fits_but_heading(self, size: int) -> bool:
        """Whether all below the heading fits in that size."""
        rows = self._first_rows(size) + _lines([*self._mind_widths, *self._rest_widths], self._room(size))
        return rows <= rows_for(size, self._height)

    def at(self, size: int) -> FittedLabel:
        """The label in that size, with the largest heading that fits beside the corner."""
        needed = max(sum(self._heading_widths) + SPACE_WIDTH * len(self._heading), 1)
        largest = floor((2000 * self._width - self._corner_width * size) / needed)
        heading_size = max(size, min(int(size * HEADING_TIMES), largest))
        return FittedLabel(
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

    def run_together(self) -> FittedLabel:
        """The label in the smallest letters with the rest as one text; cautions join it where they leave it no line."""
        size = SMALLEST
        kept = floor(rows_for(size, self._height) - self._first_rows(size))
        mind, rest = self._mind, self._rest
        if (lines_left := kept - _lines(self._mind_widths, self._room(size))) > 0:
            kept = lines_left
        else:
            mind, rest = (), (*mind, *rest)
        text = split_words("; ".join(line_text(line) for line in rest))
        fitted = self.at(size)
        is_cut = fitted.is_cut or lines_needed(_widths(text), self._room(size)) > kept
        return replace(fitted, mind=mind, rest=(text,), kept=max(1, kept), is_cut=is_cut)

    def _heading_fits(self, size: int) -> bool:
        """Whether the heading fits, if need be on the lines of small print that fit in its place."""
        return lines_needed(self._heading_widths, floor(self._room(size) - self._corner_width)) <= HEADING_LINES

    def _first_rows(self, size: int) -> Fraction:
        """The height of the first line, in lines of small print."""
        return lines_needed(self._first_widths, floor(self._room(size) / FIRST_TIMES)) * FIRST_TIMES

    def _room(self, size: int) -> int:
        """The width of the label in thousandths of that size."""
        return floor(2000 * self._width / size)


def split_words(text: str) -> Line:
    """The words of a line, cleaned; a number with its unit is one word, and so is a day.

    >>> [word.text for word in split_words("feed by Sat 6 Feb, 550 g")]
    ['feed', 'by', 'Sat 6 Feb,', '550 g']
    """
    return tuple(Word(match[0], match["whole"] is not None) for match in WORDS.finditer(one_line(text)))


def line_text(line: Line) -> str:
    """The text of a line."""
    return " ".join(word.text for word in line)


def _widths(words: Line, *, bold: bool = False) -> list[int]:
    """The widths of words."""
    return [text_width(word.text, bold=bold) for word in words]


def _lines(widths: Sequence[Sequence[int]], room: int) -> int:
    """How many lines the words of several lines need."""
    return sum(lines_needed(words, room) for words in widths)


POINTS_PER_MM = 72 / MM_PER_INCH
"""Points in a millimetre. **Source:** a point is a 72nd of an inch in CSS Values, from memory, not looked up."""

INSET_MM, NOT_PRINTED_MM = Fraction(2), Fraction(9, 2)
"""The blank border inside a label, and the edge of the paper on which many printers cannot print.

**Source:** common practice, no source.
"""

Places = tuple[FittedLabel | None, ...]
"""The labels at the places of one sheet, row by row; None for an empty place."""


def lay_out_sheets(labels: Labels) -> tuple[Places, ...]:
    """The labels laid out on sheets; the places of a used sheet before the first label stay empty."""
    width, height = _inside_pt(labels.sheet)
    filled: list[FittedLabel | None] = [None] * (labels.first - 1)
    filled += [fit_label(label, width, height) for label in labels.labels]
    per_sheet = labels.sheet.places
    filled += [None] * (-len(filled) % per_sheet)
    return tuple(tuple(filled[start : start + per_sheet]) for start in range(0, len(filled), per_sheet))


def cut_labels(labels: Labels) -> tuple[str, ...]:
    """Heading and corner of each label whose text does not all fit, in order."""
    cut = (fitted for sheet in lay_out_sheets(labels) for fitted in sheet if fitted is not None and fitted.is_cut)
    return tuple(", ".join(filter(None, (line_text(fitted.heading), fitted.corner))) for fitted in cut)


def label_rules(labels: Labels, name: str) -> str:
    """The style rules for these labels, under a name that nothing else on the page has."""
    return (
        "\n".join((*_sheet_rules(labels, name), *_text_rules(labels, name), *_place_rules(labels.sheet, name))) + "\n"
    )


def label_page(labels: Labels) -> str:
    """The labels as a page of HTML with nothing else on it."""
    name = "labels"
    rules = f"body {{ margin: 0 }}\n{label_rules(labels, name)}"
    page = environment().get_template("label_page.html.j2")
    head = {"title": labels.sheet.name, "style": as_it_is(rules), "policy": policy(rules)}
    return page.render(**head, sheets=lay_out_sheets(labels), name=name)


def _sheet_rules(labels: Labels, name: str) -> Iterator[str]:
    """The paper, with no margin of its own, and a box of its size for each sheet."""
    sheet = labels.sheet
    wide, high = (_mm(number) for number in sheet.paper_mm)
    inset = " ".join(_mm(number) for number in reversed(_inset_mm(sheet)))
    border = " border: 0.2mm solid #000;" if labels.frames else ""
    yield f"@page {name} {{ size: {wide} {high}; margin: 0 }}"
    yield f"section.{name} {{ page: {name} }}"
    yield f".{name} .sheet {{ position: relative; width: {wide}; height: {high}; overflow: hidden }}"
    yield f".{name} .sheet + .sheet {{ break-before: page }}"
    yield (
        f".{name} .place {{ position: absolute; box-sizing: border-box; overflow: hidden;{border}"
        f" width: {_mm(sheet.label_mm[0])}; height: {_mm(sheet.label_mm[1])}; padding: {inset} }}"
    )


def _text_rules(labels: Labels, name: str) -> Iterator[str]:
    """Letters and lines, in every size that can occur."""
    height = _decimal(LINE_HEIGHT)
    yield (
        f".{name} p {{ margin: 0; font-family: Arial, Helvetica, sans-serif; font-weight: normal; color: #000;"
        f" line-height: {height}; overflow: hidden; overflow-wrap: anywhere }}"
    )
    yield f".{name} .head {{ overflow: hidden }}"
    yield f".{name} .heading, .{name} .corner {{ font-weight: bold }}"
    yield f".{name} .corner {{ float: right; white-space: nowrap; margin-left: 0.4em }}"
    yield f".{name} .first, .{name} .mind {{ font-weight: bold }}"
    yield f".{name} span {{ white-space: nowrap }}"
    yield f".{name} .kept {{ display: -webkit-box; -webkit-box-orient: vertical }}"
    for size in range(SMALLEST, int(LARGEST * HEADING_TIMES) + 1):
        yield f".{name} .s-{size} {{ font-size: {_decimal(Fraction(size, 2))}pt }}"
    for kept in range(1, floor(rows_for(SMALLEST, _inside_pt(labels.sheet)[1])) + 1):
        yield f".{name} .keep-{kept} {{ -webkit-line-clamp: {kept} }}"


def _place_rules(sheet: LabelSheet, name: str) -> Iterator[str]:
    """Where each label of a sheet is."""
    for place in range(sheet.places):
        left, top = (_mm(number) for number in sheet.corner_mm(place))
        yield f".{name} .at-{place + 1} {{ left: {left}; top: {top} }}"


def _inside_pt(sheet: LabelSheet) -> tuple[Fraction, Fraction]:
    """Width and height for the text of a label, in points."""
    across, down = _inset_mm(sheet)
    return (sheet.label_mm[0] - 2 * across) * POINTS_PER_MM, (sheet.label_mm[1] - 2 * down) * POINTS_PER_MM


def _inset_mm(sheet: LabelSheet) -> tuple[Fraction, Fraction]:
    """The blank border beside and above the text; wider where labels reach the unprinted edge of the paper."""
    ends = [
        min(sheet.left_mm, sheet.paper_mm[0] - sheet.end_mm[0]),
        min(sheet.top_mm, sheet.paper_mm[1] - sheet.end_mm[1]),
    ]
    across, down = (max(INSET_MM, NOT_PRINTED_MM - end) for end in ends)
    return across, down


def _mm(length: Fraction) -> str:
    """A length to the ten-thousandth of a millimetre."""
    return f"{_decimal(length)}mm"


def _decimal(number: Fraction) -> str:
    text = f"{Decimal(half_up(number * 10_000)).scaleb(-4):f}"
    return text.rstrip("0").rstrip(".")
