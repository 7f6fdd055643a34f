"""A workbook opened by an office program and saved as CSV says what our CSV files say.

**Source:** LibreOffice, which shares no code with us; its CSV filter's tokens are from its help, from memory, not
looked up: separator 44, quote 34, UTF-8, and -1 for every sheet in a file of its own.
"""

import csv
import os
import subprocess
from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import pytest

from raworder.commands.papers import spreadsheet_papers
from raworder.rendering.spreadsheets import FORMULA_STARTS, GUARD, csv_files, group_tables
from raworder.rendering.workbook import Look, column_order, sheet_lines, sheet_names, workbook
from raworder.trade.document import Column, Document, Holds, Table
from tests.commands.running import SCENARIOS, ran
from tests.left_out import needs_office
from tests.rendering.hell import HELL
from tests.rendering.test_tables import read
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.worked_out import papers, worked_out

pytestmark = [pytest.mark.slow, needs_office()]
FILTER = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1"


def as_an_office_saves_it(data: bytes, folder: Path) -> dict[str, list[list[str]]]:
    """The rows of every sheet by its name, without the headings."""
    file, out = folder / "book.xlsx", folder / "saved"
    file.write_bytes(data)
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = ["soffice", profile, "--headless", "--convert-to", FILTER, "--outdir", str(out), str(file)]
    subprocess.run(command, check=True, capture_output=True, env={**os.environ, "LC_ALL": "C.UTF-8"}, timeout=120)
    return {path.stem.removeprefix("book-"): _rows(path)[1:] for path in out.iterdir()}


def _rows(path: Path) -> list[list[str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.reader(file, strict=True))


def plain(column: Column, text: str, *, ours: bool) -> Decimal | str:
    """What a cell says: text as it is, without the guard that only a CSV file needs, and numbers by their value."""
    if column.holds is Holds.TEXT:
        guarded = ours and text.startswith(GUARD) and text[1:].startswith(FORMULA_STARTS)
        return text[1:] if guarded else text
    if text and column.holds in {Holds.DAY, Holds.DATE} and not ours:
        return as_written(text)
    if not text or column.holds in {Holds.DAY, Holds.DATE, Holds.BLANK}:
        return text
    return Decimal(text[:-1]) / 100 if text.endswith("%") else Decimal(text)


def as_written(day: str) -> str:
    """A day as an office writes it for Britain, as our CSV files write it."""
    return datetime.strptime(day, "%d/%m/%Y").date().isoformat()  # noqa: DTZ007 - a day has no time zone


def assert_the_same(documents: Sequence[Document], folder: Path) -> None:
    saved, tables = as_an_office_saves_it(workbook(documents), folder), group_tables(documents)
    names = sheet_names(tables)
    assert set(saved) == set(names)
    for name, one, (_, content) in zip(names, tables, csv_files(documents), strict=True):
        order, looks = column_order(one), [line.look for line in sheet_lines(one)]
        columns = [one.columns[place] for place in order]
        ours = [_said(columns, [row[place] for place in order], ours=True) for row in read(content)[1:]]
        rows = [row for row, look in zip(saved[name], looks, strict=True) if look is Look.ROW]
        assert [_said(columns, row, ours=False) for row in rows] == ours, name


def _said(columns: Sequence[Column], row: Sequence[str], *, ours: bool) -> list[Decimal | str]:
    """What the cells of a row say; blank cells at its end are no difference."""
    cells = [*row, *[""] * (len(columns) - len(row))]
    return [plain(column, text, ours=ours) for column, text in zip(columns, cells, strict=True)]


def test_the_household_is_read_by_an_office_as_from_csv(tmp_path: Path) -> None:
    assert_the_same(
        spreadsheet_papers(worked_out(HOUSEHOLD, HOUSEHOLD_PLAN), papers(HOUSEHOLD, HOUSEHOLD_PLAN)), tmp_path
    )


def test_umlauts_the_euro_sign_and_names_from_hell_come_through(tmp_path: Path) -> None:
    columns = (Column("a", "Größe €"), Column("b", "B"), Column("c", "C", Holds.AMOUNT))
    names = ("Grünkohl für Äpfel & Öl, ß", "€ 5, £ 4, ¥ 3", "Šárka Ōkami 犬", "'quoted'", "1,50", "2027-02-06", "28 %")
    rows = tuple((name, f"={name}", place) for place, name in enumerate(names))
    document = Document("t", "", "EUR", 2, "kg", (Table("t", "", columns, rows),))
    assert_the_same((document, HELL[0]), tmp_path)


def test_a_workbook_and_the_folder_of_one_command_say_the_same(tmp_path: Path) -> None:
    file, folder = tmp_path / "batch.xlsx", tmp_path / "tables"
    ended = ran("plan", SCENARIOS / "household.yaml", "--xlsx", file, "--csv", folder)
    assert ended.code == 0, ended.stderr
    saved = as_an_office_saves_it(file.read_bytes(), tmp_path)
    assert len(saved) == len(list(folder.glob("*.csv")))
    shopping = _rows(folder / "shopping-list-order.csv")[1:]
    bought = [row for row in saved["shopping"] if not row[0].endswith(": sum")]
    assert [row[2] for row in bought] == [row[1] for row in shopping]  # the supplier stands first
    assert [Decimal(row[4]) for row in bought] == [Decimal(row[3]) for row in shopping]
    bags = _rows(folder / "bag-list-bags.csv")[1:]
    assert [[dog, as_written(day), *others] for dog, day, *others in saved["bags"]] == bags
