"""The decimal mark of a price list: stated, or told by its numbers where no other reading is possible."""

import re
from collections.abc import Iterable

from raworder.reading.csv_cells import Cell
from raworder.reading.notes import Notes

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
