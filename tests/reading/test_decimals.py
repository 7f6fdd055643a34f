"""The decimal mark of a price list."""

import pytest

from raworder.reading.cell_tables import Cell, decimal_mark, use_decimal_point
from raworder.reading.notes import Notes
from raworder.trade.findings import Place


def cells(*values: str) -> list[Cell]:
    return [Cell(value, Place("a.csv", line, 1)) for line, value in enumerate(values, 2)]


@pytest.mark.parametrize(
    ("values", "mark"),
    [
        (("2,40", "1 kg"), ","),
        (("2.40", "1 kg"), "."),
        (("3", "10 kg"), "."),
        (("0,250 kg",), ","),
        (("1234,567",), ","),
        (("1,234", "2.40"), "."),
        (("1.234", "2,4"), ","),
        (("1.234",), None),
        (("1,234", "7"), None),
        (("2,40", "2.40"), None),
    ],
)
def test_the_mark_is_told_where_no_other_reading_is_possible(values: tuple[str, ...], mark: str | None) -> None:
    notes = Notes()
    assert decimal_mark(cells(*values), notes) == mark
    assert bool(notes.all()) == (mark is None)


def test_commas_become_points_in_every_number_of_a_cell() -> None:
    assert use_decimal_point(cells("5: 2,20; 10: 2,00")[0], ",", Notes()) == "5: 2.20; 10: 2.00"


def test_an_undecided_number_shows_both_readings() -> None:
    notes = Notes()
    decimal_mark(cells("1.234"), notes)
    assert notes.all()[0].message == "`1.234` can be read as 1.234 or as 1234"
