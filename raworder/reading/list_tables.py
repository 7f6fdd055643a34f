"""Tables of suppliers' lists: the headings among titles, heads of two rows, groups, notes, and the list's own day."""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from fractions import Fraction

from raworder.reading.cell_tables import SEPARATORS, Cell, Record, open_table, rows_of_csv
from raworder.reading.characters import note_forbidden
from raworder.reading.currencies import MoneySigns, money_signs
from raworder.reading.files import NamedFile, file_text
from raworder.reading.list_words import (
    COUNT_HEADINGS,
    EACH_HEADINGS,
    UNIT_WORDS,
    heading_key,
    likely_field,
    plain_words,
    proposed_field,
)
from raworder.reading.located import text_at
from raworder.reading.names import fold_name
from raworder.reading.notes import Notes
from raworder.reading.price_words import heading_basis
from raworder.reading.workbooks import (
    Sheet,
    SheetCell,
    format_text,
    is_workbook,
    sheet_cell_text,
    sheet_names,
)
from raworder.trade.findings import Finding, Place
from raworder.trade.rounding import half_up
from raworder.trade.supplier_list import ListLayout
from raworder.trade.units import decimal_text

MOST_HEAD_ROWS = 3
"""How many rows the headings may take."""

LAST_HEAD = 60
"""How many rows from the top the headings are looked for (own choice)."""

_DAY = re.compile(
    r"\b(?:(?P<iso>[0-9]{4}-[0-9]{2}-[0-9]{2})|(?P<day>[0-9]{1,2})\.\s?(?P<month>[0-9]{1,2})\.(?P<year>[0-9]{4})"
    r"|(?P<day2>[0-9]{1,2})(?:\.|st|nd|rd|th|er)?\s(?:de\s)?(?P<word>[^\W\d_]{3,10})\.?,?\s(?:de\s)?(?P<year2>[0-9]{4})"
    r"|(?P<word3>[^\W\d_]{3,10})\.?\s(?P<day3>[0-9]{1,2})(?:st|nd|rd|th)?,?\s(?P<year3>[0-9]{4}))\b"
)
_DECIMALS = re.compile(r"0\.(0{2,})(?![0#?E])")
_UNIT_SHOWN = re.compile(r"((?:/\s?[^\W\d_]+|\b(?:kg|g|lbs?|oz)))[\s_)]*$")
_LIKE_A_PACK = re.compile(r"(?i)^[^@€$]{0,20}[0-9]\s?(?:kg|g|lbs?|oz|#)\b[^/@€$]{0,20}$|[0-9]\s?#")
_UNTIL = re.compile(r"\b(?:bis|until|through|thru|jusqu'au|hasta|tot|expires|ends)\s*(?:the\s+|zum\s+)?$")
_MONTHS = (
    "jan ene", "feb fév fev", "mar mär maa mrt", "apr avr abr", "may mai mei", "jun juin", "jul juil", "aug aoû ago",
    "sep", "oct okt", "nov", "dec dez déc dic",
)  # fmt: skip
"""How the names of the months begin in the languages of lists."""

_FROM = re.compile(r"(?:\b(?:ab|from|vom|stand|since|effective|of|du|desde|vanaf)\b|:)\s*(?:the\s+)?$")


@dataclass(frozen=True, slots=True)
class ForeignList:
    """The headings of a list and the rows below them; rows with another number of cells are in `odd`.

    `groups` has the group that each row stands in, and `day` the day that the list says it is of.
    """

    file: str
    headings: tuple[str, ...]
    rows: tuple[Record, ...]
    odd: tuple[Record, ...] = ()
    unread: tuple[Finding, ...] = ()
    """The findings about cells that lie too far out to be read."""
    groups: tuple[str, ...] = ()
    day: date | None = None

    def column(self, heading: str) -> int | None:
        """The place of the only column with that heading, in upper or lower case; None if there is none or several."""
        places = [place for place, name in enumerate(self.headings) if fold_name(name) == fold_name(heading)]
        return places[0] if len(places) == 1 else None

    def example(self, column: int) -> str:
        """The text of the first filled cell of a column."""
        return next((row.cells[column].value.strip() for row in self.rows if row.cells[column].value.strip()), "")

    def cells(self, column: int) -> tuple[Cell, ...]:
        """All cells of a column."""
        return tuple(row.cells[column] for row in self.rows)

    def proposed_columns(self) -> Mapping[str, int]:
        """The columns whose headings seem to be for our fields, the first for each; a person is to confirm them."""
        found: dict[str, int] = {}
        for place, heading in enumerate(self.headings):
            field = "price" if heading_basis(heading) else likely_field(heading)
            if field == "price" and field in found:
                field = "second_price"
            if field and (field not in found or (field == "pack" and not self._holds_packs(found[field]))):
                found[field] = place
        found = self._with_item_as_name(found)
        free = [place for place in range(len(self.headings)) if place not in found.values()]
        if "pack" not in found and (packs := [place for place in free if self._holds_packs(place)]):
            found["pack"] = packs[0]
        return found | dict(zip(("count", "pack"), self.count_columns(), strict=False))

    def _with_item_as_name(self, found: dict[str, int]) -> dict[str, int]:
        """`Item` heads codes where the names have a heading of their own, else the names."""
        item = next((place for place, heading in enumerate(self.headings) if heading_key(heading) == "item"), None)
        if item is None or "cut" in found:
            return found
        codes = (place for place, heading in enumerate(self.headings) if proposed_field(heading) == "code")
        code = next((place for place in codes if place != item), None)
        kept = {name: place for name, place in found.items() if name != "code"}
        return {**kept, "cut": item, **({} if code is None else {"code": code})}

    def _holds_packs(self, column: int) -> bool:
        """Whether most cells of a column look like packs."""
        texts = [cell.value for cell in self.cells(column) if cell.value.strip()]
        return 2 * sum(bool(_LIKE_A_PACK.search(text)) for text in texts) > len(texts)

    def count_columns(self) -> tuple[int, ...]:
        """The columns for how many packs a case has and for what each weighs; none where one of them is not there."""
        keys = list(map(heading_key, self.headings))
        counts, each = ([at for at, key in enumerate(keys) if key in some] for some in (COUNT_HEADINGS, EACH_HEADINGS))
        if len(counts) != 1 or len(each) != 1:
            return ()
        texts = [cell.value.strip() for cell in self.cells(counts[0]) if cell.value.strip()]
        return (counts[0], each[0]) if texts and all(re.fullmatch("[0-9]+", text) for text in texts) else ()


def read_foreign_list(file: NamedFile, notes: Notes, layout: ListLayout | None = None) -> ForeignList | None:
    """The table in a file; None with the reasons noted, those about the file itself where it is named.

    The headings are the row that holds those of the layout, else the one with most words that head columns, else the
    first with several filled cells.
    """
    layout = _with_sheet(file, layout or ListLayout())
    top = Place(file.path.as_posix(), 1, 1)
    rows = _rows(file, notes, layout)
    if rows is None:
        return None
    head = _find_head(rows, frozenset(fold_name(name) for name in layout.columns.values() if name))
    if head is None or not rows[head.below :]:
        notes.add("no-rows", "the list has no row below a row of headings", top, "check what separates its cells")
        return None
    written = frozenset(tuple(map(_heading, row.cells)) for row in rows[head.top : head.below])
    below = _Below(replace(head, written=written))
    for row in rows[head.below :]:
        below.take(row)
    unread = tuple(finding for finding in notes.all() if finding.slug == "cells-not-read")
    said = [*(cell.value for row in rows[: head.top] for cell in row.cells), *below.notes]
    return ForeignList(
        file.path.as_posix(),
        head.headings,
        tuple(below.rows),
        tuple(below.odd),
        unread,
        tuple(below.groups),
        _own_day(said),
    )


def _with_sheet(file: NamedFile, layout: ListLayout) -> ListLayout:
    """The layout with the one sheet that has all its columns, where the workbook has none of the name it gives."""
    if file.sheet or not layout.sheet or not layout.columns or not is_workbook(file.written):
        return layout
    names = sheet_names(file)
    if fold_name(layout.sheet) in map(fold_name, names):
        return layout
    others = [replace(layout, sheet=name) for name in names]
    fitting = [other for other in others if _has_columns(file, other)]
    return fitting[0] if len(fitting) == 1 else layout


def _has_columns(file: NamedFile, layout: ListLayout) -> bool:
    """Whether a table has all columns of the layout."""
    table = read_foreign_list(file, Notes(), layout)
    return table is not None and all(table.column(heading) is not None for heading in layout.columns.values())


def _rows(file: NamedFile, notes: Notes, layout: ListLayout) -> list[Record] | None:
    """The rows of the file that are not blank; None with the reason noted."""
    sheet = file.sheet or (text_at(layout.sheet, file.place) if layout.sheet else None)
    content = open_table(replace(file, sheet=sheet, encoding=_encoding(file, layout)), notes)
    name = file.path.as_posix()
    if isinstance(content, Sheet):
        return _sheet_rows(content)
    if content is None or note_forbidden(content, name, notes):
        return None
    delimiter = layout.separator.replace("tab", "\t") or _guess_separator(content)
    if not delimiter:
        message = "what separates the columns cannot be told"
        notes.add("separator-in-doubt", message, Place(name, 1, 1), "state it with `--separator`")
        return None
    return rows_of_csv(content, name, delimiter, notes)


def _encoding(file: NamedFile, layout: ListLayout) -> str:
    """The encoding that somebody named, but none for a text that is UTF-8 or UTF-16 after all, as the next list may be.

    Text in one of the old encodings is never UTF-8 by chance, but for a few signs in a row that no word has.
    """
    named = file.encoding or layout.encoding
    if not named or is_workbook(file.written):
        return ""
    return named if file_text(file.path, file.place, Notes()) is None else ""


def _sheet_rows(sheet: Sheet) -> list[Record]:
    """The rows of a workbook's sheet, all as wide as the widest."""
    width = max((max(row) for row in sheet.rows.values()), default=0)
    signs = money_signs()
    return [_sheet_row(sheet, number, width, signs) for number in sorted(sheet.rows)]


def _sheet_row(sheet: Sheet, number: int, width: int, signs: MoneySigns) -> Record:
    """One row of a sheet with its cells as text."""
    cells = tuple(
        _sheet_cell(sheet.rows[number].get(column), sheet.place(number, column), signs)
        for column in range(1, width + 1)
    )
    return Record(cells, "; ".join(cell.value for cell in cells))


def _sheet_cell(cell: SheetCell | None, place: Place, signs: MoneySigns) -> Cell:
    """A cell as text, a number as its format shows it; one that cannot be read says why."""
    if cell is None:
        return Cell("", place)
    if isinstance(cell.value, bool):
        return Cell("yes" if cell.value else "no", place)
    if isinstance(cell.value, date):
        day = cell.value.date() if isinstance(cell.value, datetime) else cell.value
        return Cell(day.isoformat(), place)
    notes = Notes()
    text = sheet_cell_text(cell, place, notes)
    if text is None:
        return Cell("", place, unread=notes.all()[0].message)
    is_number = not isinstance(cell.value, str)
    return Cell(_as_shown(text, cell.shown_as.partition(";")[0], signs) if is_number else text, place, number=is_number)


def _as_shown(digits: str, shown_as: str, signs: MoneySigns) -> str:
    """A number as its format shows it: with noughts before it, to the cent or finer, with money and unit."""
    if re.fullmatch("0{2,}", shown_as) and digits.isdigit():
        return digits.zfill(len(shown_as))
    if (decimals := _DECIMALS.search(shown_as)) and "%" not in digits:
        parts = 10 ** len(decimals[1])
        digits = decimal_text(Fraction(half_up(Fraction(digits) * parts), parts))
    words = format_text(shown_as)
    unit = _UNIT_SHOWN.search(words.casefold())
    return " ".join(filter(None, (digits, signs.money_in(words), unit[1] if unit else "")))


@dataclass(frozen=True, slots=True)
class _Head:
    """The headings of a list: the row they begin in, that below them, and the texts, joined where they are two rows."""

    top: int
    below: int
    headings: tuple[str, ...]
    written: frozenset[tuple[str, ...]] = frozenset()
    """The rows of the head as they stand there, as they may stand again on the next page."""


def _find_head(rows: Sequence[Record], named: frozenset[str]) -> _Head | None:
    """The headings: those that are named, else the likeliest."""
    several = [place for place, row in enumerate(rows[:LAST_HEAD]) if _count_filled(row) > 1]
    heads = [_joined_head(rows, place) for place in several]
    if named and (found := [head for head in heads if named <= set(map(fold_name, head.headings))]):
        return found[0]
    scores = [sum(bool(proposed_field(cell.value)) for cell in rows[place].cells) for place in several]
    best = max(scores, default=0)
    if not several:
        return None
    return heads[scores.index(best) if best > 1 else 0]


def _joined_head(rows: Sequence[Record], place: int) -> _Head:
    """The headings that begin in a row, with those of rows below or above it that split a column."""
    texts = [_heading(cell) for cell in rows[place].cells]
    below = place + 1
    while below < min(len(rows), place + MOST_HEAD_ROWS):
        lower = [_heading(cell) for cell in rows[below].cells]
        if not _is_second_head(texts, lower):
            break
        texts, below = list(_join_heads(texts, lower)), below + 1
    if below > place + 1:
        return _Head(place, below, tuple(texts))
    upper = [_heading(cell) for cell in rows[place - 1].cells] if place else []
    if any(upper) and all(not text or proposed_field(text) == "price" for text in upper):
        bases = [text if heading_basis(text) else "" for text in texts]
        joined = [
            two if basis else text for text, basis, two in zip(texts, bases, _join_heads(upper, bases), strict=False)
        ]
        return _Head(place - 1, place + 1, tuple(joined) if len(joined) == len(texts) else tuple(texts))
    return _Head(place, place + 1, tuple(texts))


def _is_second_head(upper: Sequence[str], lower: Sequence[str]) -> bool:
    """Whether a row goes on with the headings of the row above it: it says units or what prices are for, no numbers."""
    filled = [text for text in lower if text]
    if not filled or len(lower) > len(upper) or any(re.search("[0-9]", text.replace("100 g", "")) for text in filled):
        return False
    return any(heading_basis(text) or plain_words(text).strip("[]()") in UNIT_WORDS for text in filled)


def _join_heads(upper: Sequence[str], lower: Sequence[str]) -> Iterator[str]:
    """Each heading with what stands below it; one that spans several columns is said of each."""
    last = ""
    for place, text in enumerate(upper):
        below = lower[place] if place < len(lower) else ""
        last = text or last
        yield " ".join(filter(None, (text or (last if below else ""), below)))


def _heading(cell: Cell) -> str:
    return " ".join(cell.value.split())


class _Below:
    """Sorts the rows below the headings into offers, groups and notes."""

    def __init__(self, head: _Head) -> None:
        self.head, self.width = head, len(head.headings)
        self.rows: list[Record] = []
        self.groups: list[str] = []
        self.odd: list[Record] = []
        self.notes: list[str] = []
        self.group = self.said = ""

    def take(self, row: Record) -> None:
        """Put a row where it belongs: with one filled cell it is a group, if rows follow, or a note."""
        if _count_filled(row) == 1:
            self.said = next(_heading(cell) for cell in row.cells if cell.value.strip())
            self.notes.append(self.said)
            return
        fitted = _fit(row, self.width)
        if fitted is None:
            self.odd.append(row)
        elif tuple(map(_heading, row.cells)) not in self.head.written:
            self.group, self.said = self.said or self.group, ""
            self.rows.append(fitted)
            self.groups.append(self.group)


def _fit(row: Record, width: int) -> Record | None:
    """The row with as many cells as there are headings; None where there are more that say something."""
    if any(cell.value.strip() for cell in row.cells[width:]):
        return None
    blank = Cell("", row.cells[-1].place)
    return Record((*row.cells[:width], *([blank] * (width - len(row.cells)))), row.raw)


def _count_filled(record: Record) -> int:
    return sum(bool(cell.value.strip()) or bool(cell.unread) for cell in record.cells)


def _own_day(texts: Sequence[str]) -> date | None:
    """The day that titles and notes give the list, where only one can be meant; days with strokes are left alone."""
    found: dict[date, bool] = {}
    for text in map(plain_words, texts):
        for match in _DAY.finditer(text):
            day = _day(match)
            if day and not _UNTIL.search(text[: match.start()]):
                found[day] = found.get(day, False) or bool(_FROM.search(text[: match.start()]))
    begins = [day for day, is_begin in found.items() if is_begin] or list(found)
    return begins[0] if len(begins) == 1 else None


def _day(match: re.Match[str]) -> date | None:
    """The day that was found; None where there is no such day."""
    if match["iso"]:
        year, month, day = match["iso"].split("-")
    else:
        word = match["word"] or match["word3"] or ""
        year, day = (match[name] or match[f"{name}2"] or match[f"{name}3"] for name in ("year", "day"))
        month = match["month"] or _month_number(word)
    try:
        return date(int(year), int(month), int(day))
    except ValueError:
        return None


def _month_number(word: str) -> str:
    """The number of a month by its name; 0 for any other word."""
    places = [place for place, begins in enumerate(_MONTHS, 1) if any(map(word.startswith, begins.split()))]
    return str(places[-1]) if places else "0"


def _guess_separator(text: str) -> str:
    """The separator that cuts most lines into the same number of cells, outside quotes; empty where two do equally."""
    lines = [re.sub(r'"[^"]*"', "", line) for line in text.split("\n") if line.strip()]
    even = {separator: _most_even(lines, separator) for separator in SEPARATORS}
    most = [separator for separator in SEPARATORS if even[separator] == max(even.values()) > (0, 0)]
    return most[0] if len(most) == 1 else ""


def _most_even(lines: Sequence[str], separator: str) -> tuple[int, int]:
    """The largest number of lines in which the separator occurs equally often, and how often it does."""
    counts = Counter(line.count(separator) for line in lines if separator in line)
    return max(((how_many, often) for often, how_many in counts.items()), default=(0, 0))
