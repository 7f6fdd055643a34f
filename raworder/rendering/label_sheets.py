"""Labels on sheets at their true size, all in the same letters, the largest that fit whatever typeface a browser has.

No script runs in the page, so the size is computed from the widths of letters and not measured.
"""

import re
from bisect import bisect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import chain
from math import floor

from raworder.rendering.clean import one_line
from raworder.rendering.letter_widths import OTHER_WIDTH, letter_width, text_width
from raworder.rendering.templated import as_it_is, environment, policy, template_text
from raworder.trade.document import Label, Labels
from raworder.trade.labels import MM_PER_INCH, LabelSheet
from raworder.trade.rounding import half_up
from raworder.trade.units import MONTHS, WEEKDAYS

LARGEST, SMALLEST = 22, 14
"""The largest and smallest size of the small print, in half points: 11 and 7 points. **Source:** our own choice."""

CRITICAL_TIMES = Fraction(11, 7)
"""How much larger than the small print is what must be seen first: dog, day, kind, and what the bag must not touch.

It is 11 points where the small print is 7. **Source:** US Pharmacopeia, general chapter 17, as summed up by Wisconsin
Health Literacy: what is critical first and largest, at least 12 point Times or 11 point Arial.
"""

CRITICAL_LEAST = (22, 20, 18, 16, 14)
"""Sizes of what is critical beside the smallest print, in half points; below 22 only where a label has no room."""

NUMBER_TIMES, NOTE_TIMES = Fraction(7, 4), Fraction(9, 11)
"""How much larger than dog and day the number is, and how much smaller the other notes. **Source:** our own choice."""

HEAD_LINES = 2
"""Lines of dog and day beside the number, which is as high as both."""

LINE_HEIGHT = Fraction(5, 4)
"""The height of a line, in sizes of its letters. **Source:** the same chapter: 25 to 30 % of the size between lines."""

GAP = 600
"""The least space beside number and kind, in thousandths of the small print."""

FRAME, PADDING = Fraction(1, 10), Fraction(3, 10)
"""The line of a frame and the space beside its text, in sizes of the letters inside; `labels.css` draws them so."""

BELOW = Fraction(1, 5)
"""The space below the head and below the boxed line, in sizes of what is critical."""

MOST_HEAD_LINES, MOST_LINES = 2, 99
"""Lines of dog and of day that are kept on a label that is cut, and more lines than any label has."""

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
class Sizes:
    """The sizes of letters in half points, the same on all labels of a document."""

    small: int
    critical: int

    @property
    def number(self) -> int:
        """The size of the bag's number."""
        return floor(self.critical * NUMBER_TIMES)

    @property
    def note(self) -> int:
        """The size of what else only this bag asks for."""
        return max(self.small, floor(self.critical * NOTE_TIMES))


@dataclass(frozen=True, slots=True)
class FittedPart:
    """A part of a label; `kept` is how many of its lines are shown, 0 for all."""

    words: Line
    kept: int = 0


@dataclass(frozen=True, slots=True)
class FittedLabel:
    """A label's text as it is printed; `is_cut` says that something of it does not fit."""

    number: str
    kind: str
    dog: FittedPart
    day: FittedPart
    apart: FittedPart
    note: FittedPart
    small: tuple[FittedPart, ...]
    is_cut: bool = False


def fit_labels(labels: Sequence[Label], width: Fraction, height: Fraction) -> tuple[Sizes, tuple[FittedLabel, ...]]:
    """The labels in the largest letters in which all of them fit into a width and height in points.

    Where the fullest does not fit in the smallest print, its lines are run together and its contents shortened; then
    the letters of what is critical shrink on all labels; and what still does not fit is cut off at the end.
    """
    texts = [_Text(label, width, height) for label in labels]
    sizes = _common_sizes(texts)
    return sizes, tuple(text.fitted(sizes) for text in texts)


def _common_sizes(texts: Sequence["_Text"]) -> Sizes:
    """The largest sizes in which every label fits, but for those that fit in none."""
    usual = [Sizes(small, floor(small * CRITICAL_TIMES)) for small in range(SMALLEST, LARGEST + 1)]
    # What fits in a size fits in all smaller ones, so a search by halves finds the largest.
    fitting = bisect(usual, False, key=lambda sizes: not all(text.fits_whole(sizes) for text in texts))
    if fitting:
        return usual[fitting - 1]
    smallest = [Sizes(SMALLEST, critical) for critical in CRITICAL_LEAST]
    fits = [[text.is_shown(sizes) for text in texts] for sizes in smallest]
    return next(sizes for sizes, shown in zip(smallest, fits, strict=True) if shown == fits[-1])


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


class _Text:
    """The words of a label with their widths, computed once for all sizes, and the room for them."""

    def __init__(self, label: Label, width: Fraction, height: Fraction) -> None:
        self._width, self._height = 2 * width, 2 * height  # in half points, as the sizes are
        self._number, self._kind = one_line(label.number), one_line(label.kind)
        self._dog, self._day = split_words(label.dog), split_words(label.day)
        self._apart, self._note = split_words(label.apart), split_words(label.note)
        self._shapes = [(shape, [_widths(line) for line in shape]) for shape in _shapes(label)]

    def fits_whole(self, sizes: Sizes) -> bool:
        """Whether all of it fits in those sizes as it is."""
        return self._small_height(self._shapes[0][1], sizes) <= self._left(sizes)

    def shape(self, sizes: Sizes) -> tuple[Line, ...] | None:
        """The fullest small print that fits in those sizes; None where none does."""
        left = self._left(sizes)
        return next((shape for shape, widths in self._shapes if self._small_height(widths, sizes) <= left), None)

    def is_shown(self, sizes: Sizes) -> tuple[bool, bool]:
        """Whether all of it fits in those sizes in some shape, and whether what is critical and a line below it do."""
        return self.shape(sizes) is not None, self._left(sizes) >= sizes.small * LINE_HEIGHT

    def fitted(self, sizes: Sizes) -> FittedLabel:
        """The label in those sizes."""
        small = self.shape(sizes)
        if small is None:
            return self._cut(sizes)
        dog, day, apart, note = map(FittedPart, (self._dog, self._day, self._apart, self._note))
        return FittedLabel(self._number, self._kind, dog, day, apart, note, tuple(map(FittedPart, small)))

    def _cut(self, sizes: Sizes) -> FittedLabel:
        """The label where it does not fit: each part has what room those before it leave."""
        frame = 2 * FRAME if self._apart or self._note else 0
        left, parts = self._height - (2 * BELOW + frame) * sizes.critical, []
        for words, needed, size in (
            (self._dog, min(self._dog_lines(sizes), MOST_HEAD_LINES), sizes.critical),
            (self._day, min(self._day_lines(sizes), MOST_HEAD_LINES), sizes.critical),
            (self._apart, self._apart_lines(sizes), sizes.critical),
            (self._note, self._note_lines(sizes), sizes.note),
            (self._shapes[-1][0][-1], MOST_LINES, sizes.small),
        ):
            kept = min(needed, max(0, floor(left / (size * LINE_HEIGHT))))
            left -= kept * size * LINE_HEIGHT
            parts.append(FittedPart(words if kept else (), kept))
        dog, day, apart, note, small = parts
        return FittedLabel(self._number, self._kind, dog, day, apart, note, (small,), is_cut=True)

    def _left(self, sizes: Sizes) -> Fraction:
        """The height that is left for small print."""
        head_lines = max(self._dog_lines(sizes) + self._day_lines(sizes), HEAD_LINES)
        boxed = self._apart_lines(sizes) * sizes.critical + self._note_lines(sizes) * sizes.note
        frame = (2 * FRAME + BELOW) * sizes.critical if boxed else 0
        return self._height - (head_lines * LINE_HEIGHT + BELOW) * sizes.critical - boxed * LINE_HEIGHT - frame

    def _small_height(self, widths: Sequence[Sequence[int]], sizes: Sizes) -> Fraction:
        """The height of lines of small print."""
        room = floor(1000 * self._width / sizes.small)
        return sum(lines_needed(line, room) for line in widths) * sizes.small * LINE_HEIGHT

    def _beside_number(self, sizes: Sizes) -> Fraction:
        """The width beside the number."""
        return self._width - Fraction(text_width(self._number, bold=True) * sizes.number + GAP * sizes.small, 1000)

    def _dog_lines(self, sizes: Sizes) -> int:
        """How many lines the dog takes, between number and kind."""
        framed = text_width(self._kind, bold=True) + 2000 * (FRAME + PADDING) if self._kind else 0
        width = self._beside_number(sizes) - Fraction(framed * sizes.critical + GAP * sizes.small, 1000)
        return _bold_lines(self._dog, width, sizes.critical)

    def _day_lines(self, sizes: Sizes) -> int:
        """How many lines the day takes, beside the number."""
        return _bold_lines(self._day, self._beside_number(sizes), sizes.critical)

    def _apart_lines(self, sizes: Sizes) -> int:
        """How many lines it takes to say what the bag must not touch; none where that is nothing."""
        return _bold_lines(self._apart, self._boxed_width(sizes), sizes.critical)

    def _note_lines(self, sizes: Sizes) -> int:
        """How many lines the other notes take."""
        return _bold_lines(self._note, self._boxed_width(sizes), sizes.note)

    def _boxed_width(self, sizes: Sizes) -> Fraction:
        """The width inside the frame."""
        return self._width - 2 * (FRAME + PADDING) * sizes.critical


def _bold_lines(words: Line, width: Fraction, size: int) -> int:
    """How many lines some words take in a width, both in half points; no label has so many if a whole one is wider."""
    most, widths = max(1, floor(1000 * width / size)), _widths(words, bold=True)
    if any(word.is_whole and wide > most for word, wide in zip(words, widths, strict=True)):
        return MOST_LINES
    return lines_needed(widths, most) if words else 0


def _shapes(label: Label) -> Iterator[tuple[Line, ...]]:
    """The small print from full to short: with all contents line by line and run together, then with shorter ones."""
    for contents in label.contents or ("",):
        lines = tuple(filter(None, map(split_words, (*label.lines, contents))))
        yield lines
        yield (split_words("; ".join(map(line_text, lines))),)


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


POINTS_PER_MM = 72 / MM_PER_INCH
"""Points in a millimetre. **Source:** a point is a 72nd of an inch in CSS Values, from memory, not looked up."""

INSET_MM, NOT_PRINTED_MM = Fraction(2), Fraction(9, 2)
"""The blank border inside a label, and the edge of the paper on which many printers cannot print.

**Source:** common practice, no source.
"""


@dataclass(frozen=True, slots=True)
class LaidOut:
    """Labels laid out on sheets: their sizes, and the label at each place of a sheet, None for an empty place."""

    labels: Labels
    sizes: Sizes
    sheets: tuple[tuple[FittedLabel | None, ...], ...]


def lay_out_labels(labels: Labels) -> LaidOut:
    """The labels laid out on sheets; the places of a used sheet before the first label stay empty."""
    sizes, fitted = fit_labels(labels.labels, *_inside_pt(labels.sheet))
    per_sheet = labels.sheet.places
    filled = [*[None] * (labels.first - 1), *fitted]
    filled += [None] * (-len(filled) % per_sheet)
    return LaidOut(labels, sizes, tuple(tuple(filled[at : at + per_sheet]) for at in range(0, len(filled), per_sheet)))


def cut_labels(labels: Labels) -> tuple[str, ...]:
    """Dog and bag of each label whose text does not all fit, in order."""
    laid_out = lay_out_labels(labels)
    cut = (label for label in chain.from_iterable(laid_out.sheets) if label is not None and label.is_cut)
    return tuple(line_text(label.dog.words) + (f", bag {label.number}" if label.number else "") for label in cut)


def label_rules(laid_out: LaidOut, name: str) -> str:
    """The style rules for these labels on paper, under a name that nothing else on the page has."""
    sheet = laid_out.labels.sheet
    rules = (*_sheet_rules(laid_out.labels, name), *_text_rules(laid_out, name), *_place_rules(sheet, name))
    page = f"@page {name} {{ size: {' '.join(map(_mm, sheet.paper_mm))}; margin: 0 }}"
    return "\n".join((page, "@media print {", *rules, "}\n"))


def label_cards() -> str:
    """The style rules that all labels share, and those that show them as cards on a screen."""
    return template_text("labels.css")


ALONE = """
h1 { font: bold 1.25rem Arial, Helvetica, sans-serif }
@media print { body { margin: 0 } h1 { display: none } }
"""
"""Rules for a page that holds labels and nothing else: its heading is for the screen."""


def label_page(labels: Labels) -> str:
    """The labels as a page of HTML with nothing else on it."""
    name, laid_out = "labels-1", lay_out_labels(labels)
    rules = f"{ALONE}{label_cards()}{label_rules(laid_out, name)}"
    page = environment().get_template("label_page.html.j2")
    head = {"title": f"Labels: {labels.sheet.name}", "style": as_it_is(rules), "policy": policy(rules)}
    return page.render(**head, laid_out=laid_out, name=name)


def _sheet_rules(labels: Labels, name: str) -> Iterator[str]:
    """The paper, with no margin of its own, and a box of its size for each sheet."""
    sheet = labels.sheet
    wide, high = (_mm(number) for number in sheet.paper_mm)
    inset = " ".join(_mm(number) for number in reversed(_inset_mm(sheet)))
    border = " outline: 0.2mm solid #000; outline-offset: -0.1mm;" if labels.frames else ""
    yield f"section.{name} {{ page: {name} }}"
    yield f".{name} .sheet {{ position: relative; width: {wide}; height: {high}; overflow: hidden }}"
    yield f".{name} .sheet + .sheet {{ break-before: page }}"
    yield (
        f".{name} .place {{ position: absolute; box-sizing: border-box; overflow: hidden;{border}"
        f" width: {_mm(sheet.label_mm[0])}; height: {_mm(sheet.label_mm[1])}; padding: {inset} }}"
    )


def _text_rules(laid_out: LaidOut, name: str) -> Iterator[str]:
    """The sizes of letters, and how many lines of a part that is cut are shown."""
    sizes = laid_out.sizes
    for parts, size in (
        (".place", sizes.small),
        (":is(.head, .boxed)", sizes.critical),
        (".asks", sizes.note),
        (".number", sizes.number),
    ):
        yield f".{name} {parts} {{ font-size: {_decimal(Fraction(size, 2))}pt }}"
    yield f".{name} .head {{ column-gap: {_decimal(Fraction(GAP * sizes.small, 2000))}pt }}"
    yield f".{name} .number {{ line-height: {_decimal(HEAD_LINES * LINE_HEIGHT * sizes.critical / 2)}pt }}"
    yield f".{name} :is(.head, .boxed) {{ margin-bottom: {_decimal(BELOW * sizes.critical / 2)}pt }}"
    most = max((part.kept for part in _parts(laid_out)), default=0)
    for kept in range(1, most + 1):
        yield f".{name} .keep-{kept} {{ -webkit-line-clamp: {kept} }}"


def _parts(laid_out: LaidOut) -> Iterator[FittedPart]:
    """Every part of every label."""
    for label in chain.from_iterable(laid_out.sheets):
        yield from () if label is None else (label.dog, label.day, label.apart, label.note, *label.small)


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
