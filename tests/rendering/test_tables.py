"""CSV files are read back as they were written, and run nothing."""

import csv
from datetime import date
from decimal import Decimal
from fractions import Fraction
from io import StringIO

import pytest

from raworder.rendering.clean import one_line
from raworder.rendering.spreadsheets import FORMULA_STARTS, csv_files, guard_formula
from raworder.rendering.values import blocks_for_programs
from raworder.trade.document import Cell, Column, Document, Holds, Table
from tests.rendering.hell import HELL, NAMES, TABLE, a_document
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.worked_out import papers

PAPERS = papers(HOUSEHOLD, HOUSEHOLD_PLAN)


def read(content: bytes) -> list[list[str]]:
    return list(csv.reader(StringIO(content.decode("utf-8-sig"), newline=""), strict=True))


def value(holds: Holds, text: str) -> Cell:
    """The cell that a text of a CSV file stands for."""
    if text == "":
        return None
    match holds:
        case Holds.COUNT | Holds.GRAMS:
            return int(text)
        case Holds.MONEY:
            return Decimal(text)
        case Holds.SHARE:
            return Fraction(text)
        case Holds.DAY | Holds.DATE:
            return date.fromisoformat(text)
        case _:
            return text


def same(holds: Holds, found: Cell, told: Cell) -> bool:
    """Whether a cell came through: shares to a millionth, all else exactly."""
    if holds is Holds.SHARE and isinstance(told, int | Fraction) and isinstance(found, int | Fraction):
        return abs(Fraction(found) - Fraction(told)) <= Fraction(1, 2 * 10**6)
    return found == (told or None) if holds is Holds.TEXT else found == told


def tables_of(document: Document, key: str) -> list[Table]:
    return [block for block in document.blocks if isinstance(block, Table) and block.key == key]


@pytest.mark.parametrize("document", PAPERS, ids=lambda document: document.key)
def test_every_value_of_every_paper_is_read_back(document: Document) -> None:
    files = dict(csv_files([document]))
    for key in {block.key for block in blocks_for_programs(document) if isinstance(block, Table)}:
        tables = tables_of(document, key)
        head, *rows = read(files[f"{document.key}-{key}.csv".replace("_", "-")])
        assert head == [column.key for column in tables[0].columns]
        told = [row for table in tables for row in table.rows]
        assert len(rows) == len(told)
        holds = [column.holds for column in tables[0].columns]
        for row, cells in zip(rows, told, strict=True):
            assert all(same(kind, value(kind, text), cell) for kind, text, cell in zip(holds, row, cells, strict=True))


def test_the_household_makes_these_files() -> None:
    assert [name for name, _ in csv_files(PAPERS)] == [
        "first-look-doubts.csv",
        "shopping-list-order.csv",
        "shopping-list-from-freezer.csv",
        "shopping-list-back-to-freezer.csv",
        "portioning-list-portions.csv",
        "portioning-list-balance.csv",
        "shares-parts.csv",
        "shares-caps.csv",
        "shares-species.csv",
        "costs-by-dog.csv",
        "costs-by-owner.csv",
        "costs-by-supplier.csv",
        "costs-by-part.csv",
        "cautions-cautions.csv",
    ]


def test_files_start_with_a_byte_order_mark_and_lines_end_as_in_rfc_4180() -> None:
    # Source: RFC 4180, section 2, rule 1: lines are delimited by CRLF.
    for _, content in csv_files([*PAPERS, *HELL]):
        assert content.startswith(b"\xef\xbb\xbf")
        assert content.count(b"\n") == content.count(b"\r\n") == content.count(b"\r")
        assert content.endswith(b"\r\n")


def test_quotes_and_commas_are_written_as_in_rfc_4180() -> None:
    # Source: RFC 4180, section 2, rules 6 and 7: "aaa","b""bb","ccc".
    columns = (Column("a", "A"), Column("b", "B"))
    (_, content), *_ = csv_files([a_document(Table("t", "", columns, (('b"bb', "c,c"),)))])
    assert content == b'\xef\xbb\xbfa,b\r\n"b""bb","c,c"\r\n'


def test_names_from_hell_come_back_on_one_line_each() -> None:
    (_, content), *_ = csv_files(HELL)
    _, *rows = read(content)
    assert len(rows) == len(TABLE.rows)
    for row, name in zip(rows, NAMES, strict=True):
        assert row[0].removeprefix("'") == one_line(name).removeprefix("'")


@pytest.mark.parametrize("name", ["=1+1", "+1", "-2+3", "@SUM(A1)", "\t=1+1", "\r=1+1", "\x00=1", "\u202e=1", "＝1"])  # noqa: RUF001 - the wide sign is meant
def test_what_a_spreadsheet_would_run_gets_a_quote(name: str) -> None:
    # Source: OWASP, CSV injection: fields that begin with = + - @ tab or CR, from memory, not looked up.
    assert guard_formula(name).startswith("'")


@pytest.mark.parametrize("name", NAMES)
def test_no_text_cell_starts_a_formula(name: str) -> None:
    assert not guard_formula(name).startswith(FORMULA_STARTS)


def test_numbers_below_zero_stay_numbers() -> None:
    columns = (Column("cost", "Cost", Holds.MONEY),)
    (_, content), *_ = csv_files([a_document(Table("t", "", columns, ((Decimal("-1.50"),),)))])
    assert read(content)[1] == ["-1.50"]
