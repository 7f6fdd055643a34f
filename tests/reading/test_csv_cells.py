"""CSV cells with places, against the standard library's reader."""

import csv
import io
from contextlib import suppress

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.reading import cell_tables as tables
from raworder.reading.cell_tables import BrokenCsvError, read_records
from raworder.reading.notes import Notes

CELLS = st.text(alphabet=st.sampled_from('ab1,;"\n é'), max_size=6)


@pytest.mark.slow
@given(st.lists(st.lists(CELLS, min_size=2, max_size=4), min_size=1, max_size=5), st.sampled_from([",", ";", "\t"]))
def test_cells_are_those_the_standard_library_writes(rows: list[list[str]], separator: str) -> None:
    # Source: RFC 4180 by way of Python's csv module.
    written = io.StringIO()
    csv.writer(written, delimiter=separator, lineterminator="\n").writerows(rows)
    found = list(read_records(written.getvalue(), "a.csv", separator, Notes()))
    assert [[cell.value for cell in record.cells] for record in found] == rows


@pytest.mark.slow
@given(st.lists(st.lists(CELLS, min_size=2, max_size=4), min_size=1, max_size=5))
def test_a_cell_stands_where_its_place_says(rows: list[list[str]]) -> None:
    written = io.StringIO()
    csv.writer(written, lineterminator="\n", quoting=csv.QUOTE_ALL).writerows(rows)
    lines = written.getvalue().split("\n")
    for record in read_records(written.getvalue(), "a.csv", ",", Notes()):
        for cell in record.cells:
            assert lines[cell.place.line - 1][cell.place.column - 1] == '"'


def test_a_last_empty_cell_is_a_cell() -> None:
    (record,) = read_records("a,b,", "a.csv", ",", Notes())
    assert [cell.value for cell in record.cells] == ["a", "b", ""]


@pytest.mark.slow
@given(st.lists(st.lists(CELLS, min_size=3, max_size=3), min_size=1, max_size=5))
def test_pandas_reads_the_same_cells(rows: list[list[str]]) -> None:
    written = io.StringIO()
    csv.writer(written, delimiter=";", lineterminator="\n").writerows(rows)
    found = list(read_records(written.getvalue(), "a.csv", ";", Notes()))
    text = io.StringIO("\n".join(record.raw for record in found))
    as_it_is = {"header": None, "dtype": str, "na_filter": False, "skip_blank_lines": False}
    frame = pd.read_csv(text, sep=";", engine="python", **as_it_is)
    assert [tuple(row) for row in frame.to_numpy()] == [tuple(cell.value for cell in one.cells) for one in found]


@pytest.mark.parametrize(("text", "found"), [("a,b\nc,d\n", []), ("a,b\nc,d\ne\n", ["too-large"])])
def test_a_list_holds_as_many_cells_as_is_said_and_no_more(
    monkeypatch: pytest.MonkeyPatch, text: str, found: list[str]
) -> None:
    monkeypatch.setattr(tables, "MOST_CELLS", 4)
    notes = Notes()
    with suppress(BrokenCsvError):
        assert len(list(read_records(text, "a.csv", ",", notes))) == 2
    assert [one.slug for one in notes.all()] == found
