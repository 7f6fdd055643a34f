"""CSV text as cells with places, strictly by RFC 4180; which decimal mark and which money its numbers speak of."""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from raworder.reading.notes import Notes
from raworder.reading.reference import read_currencies
from raworder.trade.findings import Place

QUOTED = re.compile(r'"((?:[^"]|"")*+)"')

MOST_CELLS = 150_000
"""How many cells a list may hold: 12,000 rows of twelve. Each takes about 5 us and 300 bytes, whatever it says."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell's place and length in the file, and what it says."""

    value: str
    place: Place


@dataclass(frozen=True, slots=True)
class Record:
    """One record: its cells, and its text without the line end."""

    cells: tuple[Cell, ...]
    raw: str

    @property
    def blank(self) -> bool:
        """Whether no cell says anything."""
        return not any(cell.value.strip() for cell in self.cells)


class BrokenCsvError(Exception):
    """The text is no CSV; why has been noted."""


def records(text: str, file: str, separator: str, notes: Notes) -> Iterator[Record]:
    """The records of the text; a quote in the wrong place is noted and raises `BrokenCsvError`."""
    bare = re.compile(rf"[^{re.escape(separator)}\n\"]*")
    scan = _Scan(text, file, notes)
    while scan.at < len(text):
        start, cells = scan.at, [scan.cell(bare)]
        while scan.skip(separator):
            cells.append(scan.cell(bare))
        raw = text[start : scan.at]
        if not scan.skip("\n") and scan.at < len(text):
            scan.refuse(
                "stray-quote", "a quote stands inside a cell", 'put the whole cell in quotes and double it: `""`'
            )
        yield Record(tuple(cells), raw)


class _Scan:
    """A position in the text that knows its line and column."""

    def __init__(self, text: str, file: str, notes: Notes) -> None:
        self.text, self.file, self.notes = text, file, notes
        self.at, self.line, self.line_start, self.cells = 0, 1, 0, 0

    def cell(self, bare: re.Pattern[str]) -> Cell:
        """The cell that begins here."""
        place, start = self.place(), self.at
        quoted = self.text.startswith('"', start)
        found = QUOTED.match(self.text, start) if quoted else bare.match(self.text, start)
        self.cells += 1
        if self.cells > MOST_CELLS:
            self.refuse("too-large", f"the list has more than {MOST_CELLS} cells", "split it, or take columns out")
        if found is None:
            self.refuse("unclosed-quote", "this quote is never closed", 'close it with `"`')
            raise AssertionError
        self.move(found.end())
        value = found[1].replace('""', '"') if quoted else found[0]
        width = len(found[0].partition("\n")[0])
        return Cell(value, Place(place.file, place.line, place.column, max(width, 1)))

    def skip(self, character: str) -> bool:
        """Whether that character stands here; it is passed."""
        if not self.text.startswith(character, self.at):
            return False
        self.move(self.at + 1)
        return True

    def move(self, to: int) -> None:
        """Go on, counting lines."""
        breaks = self.text.count("\n", self.at, to)
        if breaks:
            self.line += breaks
            self.line_start = self.text.rfind("\n", self.at, to) + 1
        self.at = to

    def place(self) -> Place:
        """Here."""
        return Place(self.file, self.line, self.at - self.line_start + 1)

    def refuse(self, slug: str, message: str, remedy: str) -> None:
        """Note what is wrong here, and stop."""
        self.notes.add(slug, message, self.place(), remedy)
        raise BrokenCsvError


_SIGN = "[$¢-¥֏؋߾߿৲৳৻૱௹฿៛₠-⃀꠸﷼﹩\uff04￠￡￥￦]"
"""A character of Unicode's category Sc."""

_MONEY = re.compile(rf"[A-Z]{{0,3}}{_SIGN}|[^\W\d_]+(?:\.(?!\d))?")
"""A sign with the letters of its country, or a word with the point of a short form."""


@dataclass(frozen=True, slots=True)
class MoneySigns:
    """The signs and short words for each currency by its code, with the code itself; `every` holds them all."""

    by_code: Mapping[str, frozenset[str]]
    every: frozenset[str]

    def other_money(self, text: str, code: str) -> str:
        """The first sign or code in the text that is of another currency; nothing where there is none.

        >>> signs = money_signs()
        >>> [signs.other_money(*each) for each in (("2.40 $", "EUR"), ("EUR 2.40", "EUR"), ("2.40 kr.", "SEK"))]
        ['$', '', '']
        """
        found = (match[0] for match in _MONEY.finditer(text))
        return next((name for name in found if self._is_money(name) and not self._is_of(name, code)), "")

    def money_in(self, text: str) -> str:
        """The signs and codes of money in the text.

        >>> money_signs().money_in("#,##0.00 USD"), money_signs().money_in("General")
        ('USD', '')
        """
        return " ".join(dict.fromkeys(match[0] for match in _MONEY.finditer(text) if self._is_money(match[0])))

    def without_own_money(self, text: str, code: str) -> str:
        """The text without the signs and the code of that currency.

        >>> money_signs().without_own_money("2.40 €", "EUR").strip(), money_signs().without_own_money("$2.40", "EUR")
        ('2.40', '$2.40')
        """
        return _MONEY.sub(lambda match: "" if self._is_of(match[0], code) else match[0], text)

    def _is_money(self, word: str) -> bool:
        return re.search(_SIGN, word) is not None or _plain(word) in self.every

    def _is_of(self, word: str, code: str) -> bool:
        return _plain(word) in self.by_code.get(code, ())


def money_signs() -> MoneySigns:
    """The signs of the table of currencies, those that were withdrawn among them."""
    by_code = {code: frozenset({code, *map(_plain, listed.signs)}) for code, listed in read_currencies().items()}
    return MoneySigns(MappingProxyType(by_code), frozenset().union(*by_code.values()))


def _plain(word: str) -> str:
    """The word without the point of a short form, wide signs being narrow ones."""
    return unicodedata.normalize("NFKC", word).removesuffix(".")


NUMBER = re.compile(r"[0-9][0-9.,]*")
_DECIMAL = re.compile(r"(?:0|[0-9]{4,})([.,])[0-9]+|[0-9]+([.,])(?:[0-9]{1,2}|[0-9]{4,})")
_EITHER = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")


def decimal_mark(cells: Iterable[Cell], notes: Notes) -> str | None:
    """The mark that the list's numbers must mean; a point where they say nothing; None, and noted, where in doubt."""
    numbers = [(number, cell) for cell in cells for number in NUMBER.findall(cell.value)]
    clear: dict[str, list[Cell]] = {".": [], ",": []}
    for number, cell in numbers:
        if found := _DECIMAL.fullmatch(number):
            clear[found[1] or found[2]].append(cell)
    if clear["."] and clear[","]:
        _note_mixed(clear, notes)
        return None
    undecided = [(number, cell) for number, cell in numbers if _EITHER.fullmatch(number)]
    if undecided and not clear["."] and not clear[","]:
        for number, cell in undecided:
            _note_undecided(number, cell, notes)
        return None
    return "," if clear[","] else "."


def with_point(cell: Cell, mark: str, notes: Notes) -> str | None:
    """The cell's text with points for decimal marks; None, and noted, where it has a point of another meaning."""
    if mark == ".":
        return cell.value
    if any("." in number for number in NUMBER.findall(cell.value)):
        message = f"`{cell.value.strip()}` has a point, but this list's decimal mark is a comma"
        notes.add("other-decimal-mark", message, cell.place, "write it with a comma, and large numbers without points")
        return None
    return re.sub(r"(?<=[0-9]),(?=[0-9])", ".", cell.value)


def _note_mixed(clear: dict[str, list[Cell]], notes: Notes) -> None:
    fewer = "." if len(clear["."]) < len(clear[","]) else ","
    cell = clear[fewer][0]
    message = f"`{cell.value.strip()}` has another decimal mark than the rest of the list"
    notes.add("mixed-decimal-marks", message, cell.place, "use one decimal mark throughout the list")


def _note_undecided(number: str, cell: Cell, notes: Notes) -> None:
    large, small = re.sub("[.,]", "", number), number.replace(",", ".")
    message = f"`{number}` can be read as {small} or as {large}"
    help_ = 'state the list\'s decimal mark: `price_list: {file: ..., decimal: "."}`'
    notes.add("undecided-number", message, cell.place, help_)
