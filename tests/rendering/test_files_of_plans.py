"""The page, the workbook and the calendar of every shipped scenario's plan say what its papers say.

**Source:** the papers themselves; the HTML parser of the Python library, `openpyxl` and `icalendar`, general-purpose
libraries, read the files back. All names, prices and figures are invented.
"""

from collections.abc import Iterator
from functools import cache
from io import BytesIO
from itertools import chain

import icalendar
import openpyxl
import pytest

from raworder.commands.papers import spreadsheet_papers
from raworder.rendering.calendar import calendar
from raworder.rendering.clean import one_line
from raworder.rendering.html import html
from raworder.rendering.spreadsheets import group_tables
from raworder.rendering.values import blocks_for_people, for_people
from raworder.rendering.workbook import sheet_names, workbook
from raworder.trade.document import Document, Facts, Holds, Labels, Paragraph, Points, Table, Verbatim
from tests.planned import EVERY_PLAN, SMALLER, papers_of, planned, rows
from tests.rendering.outline import outline
from tests.rendering.test_workbook import in_csv, read_rows

every_plan = pytest.mark.parametrize("name", EVERY_PLAN)


def words(text: str) -> str:
    """The words of a text as they are read, whatever keeps or sets them apart."""
    return " ".join(text.replace("`", "").split())


def read_row(line: str) -> tuple[str, ...]:
    """The cells of a row that hold something, without the box to tick."""
    return tuple(cell for part in line.replace("[ ]", " ").split("|") if (cell := words(part)))


def said(document: Document) -> Iterator[tuple[str, ...]]:
    """What a person reads of a paper, in order; rows of tables cell by cell."""
    for block in blocks_for_people(document):
        match block:
            case Table():
                yield from said_in(document, block)
            case Paragraph():
                yield from ((words(text),) for text in (block.title, block.text) if text)
            case Points():
                yield from ((words(item),) for item in (block.title, *block.items) if item)
            case Facts():
                for fact in block.items:
                    code = f" {document.currency}" if fact.holds is Holds.MONEY else ""
                    yield (words(fact.label),)
                    yield (words(f"{for_people(document, fact.holds, fact.value)}{code}"),)
            case Verbatim():
                yield (words(block.title),)


def said_in(document: Document, table: Table) -> Iterator[tuple[str, ...]]:
    """The title of a table and the cells of its rows that hold something for people."""
    yield (words(one_line(table.title)),) if table.title else ()
    for row in (*table.rows, *table.totals):
        cells = zip(table.columns, row, strict=True)
        told = (
            (for_people(document, column.holds, cell), column.holds is Holds.TICKS)
            for column, cell in cells
            if column.shown
        )
        yield tuple(
            words(one_line(cell).replace("; ", " ") if ticked else one_line(cell)) for cell, ticked in told if cell
        )


@cache
def sections_of(name: str) -> tuple[str, ...]:
    """The outline of the page of a plan, paper by paper."""
    return tuple(outline(html(papers_of(name).page)).split("--- paper-")[1:])


@pytest.mark.slow
@every_plan
def test_the_page_says_all_that_its_papers_say_in_their_order(name: str) -> None:
    page, sections = papers_of(name).page, sections_of(name)
    assert len(sections) == len(page)
    for section, document in zip(sections, page, strict=True):
        lines = [read_row(line.partition(": ")[2]) for line in section.splitlines()]
        assert words(document.title) in {cell for line in lines for cell in line}
        left = iter(lines)
        for told in filter(None, map(tuple, said(document))):
            assert any(told == line for line in left), (document.title, told)


@pytest.mark.slow
@every_plan
def test_the_page_holds_a_label_for_every_bag(name: str) -> None:
    (labels,) = (block for one in papers_of(name).page for block in one.blocks if isinstance(block, Labels))
    (page,) = (words(one) for one in sections_of(name) if "--- labels" in one)
    assert len(labels.labels) == len(planned(name).plan.bags)
    for label in labels.labels:
        assert f"p: {label.number} p: {label.kind} p: {words(label.dog)} p: {words(label.day)} p: " in page


@pytest.mark.slow
@every_plan
def test_the_workbook_holds_every_row_of_every_table_for_programs(name: str) -> None:
    found = planned(name)
    whole = spreadsheet_papers(found.plan, papers_of(name).order)
    book, tables = openpyxl.load_workbook(BytesIO(workbook(whole))), group_tables(whole)
    assert book.sheetnames == list(sheet_names(tables))
    due = {
        (one.key, block.key)
        for one in whole
        for block in one.blocks
        if isinstance(block, Table) and block.key and block.rows
    }
    assert {(one.document.key, one.key) for one in tables} >= due
    for sheet, one in zip(book.worksheets, tables, strict=True):
        read = read_rows(sheet, one)
        documents = [document for document in whole if document.key == one.document.key]
        told = [row for document in documents for row in rows(document, one.key)]
        assert len(read) == len(told), sheet.title
        for cells, row in zip(read, told, strict=True):
            for column in one.columns:
                cell, due_cell = cells[column.key], row[column.key]
                if isinstance(due_cell, int):
                    assert in_csv(column.holds, cell).split(".")[0] == str(due_cell), (sheet.title, column.key)
                elif isinstance(due_cell, str):
                    assert (cell or "") == one_line(due_cell) or str(cell) == f"'{due_cell}", (
                        sheet.title,
                        cell,
                    )


@pytest.mark.slow
@pytest.mark.parametrize("name", SMALLER)
def test_the_calendar_has_an_event_for_every_reminder_on_its_day(name: str) -> None:
    reminders = papers_of(name).of("reminders")
    made = calendar(reminders, alarm_minutes=7 * 60)
    assert made.count(b"\r\n") == made.count(b"\n") == made.count(b"\r")
    assert all(len(line) <= 75 for line in made.split(b"\r\n"))
    read = icalendar.Calendar.from_ical(made)
    assert not any(one.errors for one in read.walk())
    events = {str(one["uid"]): one for one in read.walk("VEVENT")}
    told = rows(reminders, "reminders")
    assert set(events) == {str(row["uid"]) for row in told}
    for row in told:
        event = events[str(row["uid"])]
        assert (event["dtstart"].dt, str(event["summary"])) == (row["day"], one_line(str(row["to_do"])))
        lines = [line for text in (row["details"], row["cautions"]) for line in str(text).split("\n") if line]
        assert all(words(line) in words(str(event["description"])) for line in lines)


@pytest.mark.slow
def test_something_is_said_in_every_way() -> None:
    blocks = list(chain.from_iterable(one.blocks for name in SMALLER for one in papers_of(name).page))
    assert {Table, Paragraph, Points, Facts, Labels} <= {type(block) for block in blocks}
