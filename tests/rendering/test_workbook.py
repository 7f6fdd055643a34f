"""Workbooks are read back as the CSV files say, and no name in them runs or leads anywhere."""

import re
import zipfile
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from html import unescape
from io import BytesIO

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from raworder.commands.papers import spreadsheet_papers
from raworder.rendering.clean import one_line
from raworder.rendering.spreadsheets import TableGroup, csv_files, group_tables
from raworder.rendering.workbook import (
    A4,
    DAY_FORMAT,
    LETTER,
    LONGEST_NAME,
    LONGEST_TEXT,
    Layout,
    Look,
    choose_layout,
    column_order,
    column_width,
    header_text,
    headings,
    line_count,
    number_format,
    seen_columns,
    sheet_lines,
    sheet_names,
    sheet_title,
    workbook,
)
from raworder.trade.document import Cell, Column, Document, Holds, Table
from tests.rendering.hell import HELL, NAMES, TABLE, a_document
from tests.rendering.test_tables import read
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.worked_out import papers, worked_out

WHOLE = spreadsheet_papers(worked_out(HOUSEHOLD, HOUSEHOLD_PLAN), papers(HOUSEHOLD, HOUSEHOLD_PLAN))


def opened(documents: "tuple[Document, ...]") -> openpyxl.Workbook:
    return openpyxl.load_workbook(BytesIO(workbook(documents)))


def a_table(*columns: Column, rows: tuple[tuple[Cell, ...], ...] = (), key: str = "t") -> Document:
    return a_document(Table(key, "", columns, rows))


def columns_of(group: TableGroup) -> list[Column]:
    """The columns in the order in which they stand on the sheet."""
    return [group.columns[place] for place in column_order(group)]


def read_rows(sheet: Worksheet, group: TableGroup) -> list[dict[str, object]]:
    """The rows of a sheet by the keys of their columns, without those of sums."""
    looks = [line.look for line in sheet_lines(group)]
    cells = list(sheet.iter_rows(min_row=2, values_only=True))
    assert len(cells) == len(looks)
    keys = [column.key for column in columns_of(group)]
    return [dict(zip(keys, row, strict=True)) for row, look in zip(cells, looks, strict=True) if look is Look.ROW]


def hidden_columns(sheet: Worksheet) -> set[int]:
    """The places of the hidden columns; a file keeps neighbours that are alike as one."""
    alike = [one for one in sheet.column_dimensions.values() if one.hidden]
    return {place - 1 for one in alike for place in range(one.min, one.max + 1)}


def in_csv(holds: Holds, value: object) -> str:
    """What a CSV file says where a workbook has this value."""
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat()
    match holds:
        case Holds.MONEY:
            return f"{Decimal(repr(value)):.2f}"
        case Holds.SHARE | Holds.AMOUNT:
            return f"{Decimal(repr(value)):.6f}"
        case _:
            return str(value)


def test_there_is_a_sheet_for_every_csv_file_with_the_same_rows_and_columns() -> None:
    files, book, tables = csv_files(WHOLE), opened(WHOLE), group_tables(WHOLE)
    assert len(files) == len(book.sheetnames) == len(tables) >= 20
    for (_, content), sheet, one in zip(files, book.worksheets, tables, strict=True):
        head, *rows = read(content)
        found = read_rows(sheet, one)
        assert sheet.max_column == len(head) == len(one.columns)
        assert len(found) == len(rows)
        for told, values in zip(rows, found, strict=True):
            assert [in_csv(column.holds, values[column.key]) for column in one.columns] == told


def test_numbers_are_numbers_days_are_days_and_text_is_text() -> None:
    kinds = {Holds.TEXT: "s", Holds.DAY: "d", Holds.DATE: "d"}
    for sheet, one in zip(opened(WHOLE).worksheets, group_tables(WHOLE), strict=True):
        for row, line in zip(sheet.iter_rows(min_row=2), sheet_lines(one), strict=True):
            for place, (cell, column) in enumerate(zip(row, columns_of(one), strict=True)):
                is_name = place == 0 and line.look is not Look.ROW
                assert cell.value is None or cell.data_type == ("s" if is_name else kinds.get(column.holds, "n")), cell


def test_sums_stand_below_their_table_in_bold_under_a_rule_and_named_in_the_first_column() -> None:
    book = dict(zip(sheet_names(group_tables(WHOLE)), group_tables(WHOLE), strict=True))
    sheet, group = opened(WHOLE)["costs by supplier"], book["costs by supplier"]
    *rows, total = sheet.iter_rows(min_row=2)
    assert len(rows) == len(group.rows)
    assert [cell.value for cell in total] == ["together", *(float(str(cell)) for cell in group.tables[0].totals[0][1:])]
    assert all(cell.font.bold and cell.border.top.style == "thin" for cell in total)
    assert not any(cell.font.bold for row in rows for cell in row)
    summed = [sum(Decimal(str(row[place].value)) for row in rows) for place in range(1, len(total))]
    assert summed == [Decimal(str(cell.value)) for cell in total[1:]]
    shopping = opened(WHOLE)["shopping"]
    names = [row[0] for row in shopping.iter_rows(min_row=2, values_only=True)]
    sums = [name for name in names if str(name).endswith(": sum")]
    assert len(sums) == sum(len(table.totals) for table in book["shopping"].tables)
    assert set(sums) == {f"{table.title}: sum" for table in book["shopping"].tables if table.totals}


def test_what_a_page_tells_in_headings_stands_first_and_what_is_for_programs_is_hidden() -> None:
    book = dict(zip(sheet_names(group_tables(WHOLE)), group_tables(WHOLE), strict=True))
    for sheet, one in zip(opened(WHOLE).worksheets, group_tables(WHOLE), strict=True):
        assert hidden_columns(sheet) == set(range(len(seen_columns(one)), len(one.columns))), sheet.title
    for name, keys in {
        "shopping": ["supplier", "to_buy", "item", "price", "goods"],
        "shares of parts": ["dog", "part", "asked", "given_share", "room"],
        "cautions": ["number", "place", "about", "to_do", "hazard", "source"],
        "bags": ["dog", "day", "meal", "bag", "kind", "cut", "pieces", "weight_g"],
    }.items():
        assert [book[name].columns[place].key for place in seen_columns(book[name])] == keys


def test_each_printed_sheet_has_its_title_above_and_the_batch_at_the_foot() -> None:
    for sheet, one in zip(opened(WHOLE).worksheets, group_tables(WHOLE), strict=True):
        assert (sheet.oddHeader.left.size, sheet.oddHeader.left.text) == (14, f"&B{sheet_title(one)}")
        assert sheet.oddFooter.left.text == WHOLE[0].title
    titles = {sheet_title(one) for one in group_tables(WHOLE)}
    assert {"Shopping list", "What it costs: By owner", "Cautions"} <= titles


@pytest.mark.parametrize(
    ("title", "written"),
    [
        ("Birch & Row", "Birch && Row"),
        ("&D", "&&D"),
        ("a &G b", "a &&\N{WORD JOINER}G b"),
        ("&[Picture]", "&&\N{WORD JOINER}[Picture]"),
        ("&" * 300, "&&" * 99 + "…"),
    ],
)
def test_no_title_is_a_code_of_a_header(title: str, written: str) -> None:
    # Source: ECMA-376, part 1, oddHeader: `&&` is an ampersand, `&D` the date, `&G` a picture; from memory.
    assert header_text(title) == written
    document = a_document(Table("t", "", (Column("a", "A"),), (("b",),)), title=title)
    with zipfile.ZipFile(BytesIO(workbook((document,)))) as archive:
        sheet = archive.read("xl/worksheets/sheet1.xml").decode()
    (header,) = re.findall(r"<oddHeader>(.*?)</oddHeader>", sheet)
    assert unescape(header) == f"&L&14&B{written}"


@pytest.mark.parametrize(
    ("widths", "paper", "layout"),
    [
        ([10] * 5, A4, Layout(44, landscape=False, percent=100)),
        ([10] * 8, A4, Layout(44, landscape=False, percent=90)),
        ([10] * 9, A4, Layout(44, landscape=True, percent=100)),
        ([44] * 3, LETTER, Layout(44, landscape=True, percent=85)),
        ([44] * 4, A4, Layout(32, landscape=True, percent=100)),
        ([10] * 20, A4, Layout(44, landscape=True, percent=85, breaks=True)),
    ],
)
def test_a_sheet_is_upright_where_it_fits_and_never_shrunk_below_what_can_be_read(
    widths: list[int], paper: int, layout: Layout
) -> None:
    assert choose_layout(widths, paper) == layout


@pytest.mark.slow
def test_the_household_has_these_sheets() -> None:
    assert opened(WHOLE).sheetnames == [
        "look at this first", "shopping", "from freezer", "back to freezer", "portions", "balance", "bags",
        "shares of parts", "caps", "species", "costs by dog", "costs by owner", "costs by supplier", "costs by part",
        "cautions", "bills", "how the bill is shared", "who pays whom", "feeding", "bags by size", "bags by dog",
        "half thaw", "kinds of bag", "where to", "freezer by evening",
    ]  # fmt: skip


def test_headings_tell_the_unit_and_each_is_another() -> None:
    said = {
        name: headings(one) for name, one in zip(sheet_names(group_tables(WHOLE)), group_tables(WHOLE), strict=True)
    }
    assert said["shopping"][:4] == ("To buy", "Item", "Price", "Goods, EUR")
    assert said["portions"] == ("Dog", "Owner", "Cut", "A day, g", "Whole batch, g")
    assert said["caps"][:3] == ("Capped", "At most, %", "Given, %")
    assert said["costs by dog"] == ("Dog", "Days", "Batch, EUR", "A day, EUR")
    assert said["feeding"][:2] == ("Day", "Dog")
    for one in said.values():
        assert len(set(one)) == len(one)
        assert all(one)


@pytest.mark.parametrize(
    ("column", "heading"),
    [
        (Column("cost", "Order then (EUR)", Holds.MONEY), "Order then, EUR"),
        (Column("costs_more", "EUR more", Holds.MONEY), "More, EUR"),
        (Column("goods", "EUR", Holds.MONEY), "Goods, EUR"),
        (Column("cost", "EURO and more", Holds.MONEY), "EURO and more, EUR"),
        (Column("bought_g", "+ bought", Holds.GRAMS), "+ bought, g"),
        (Column("mark", ""), "Mark"),
        (Column("day", "A day", Holds.AMOUNT), "A day"),
    ],
)
def test_a_heading_has_its_unit_once(column: Column, heading: str) -> None:
    (one,) = group_tables([a_table(column)])
    assert headings(one) == (heading,)


def test_the_first_row_stays_in_sight_and_on_every_page() -> None:
    for sheet in opened(WHOLE).worksheets:
        assert sheet.freeze_panes == "A2"
        assert sheet.print_title_rows == "$1:$1"
        assert all(cell.font.bold for cell in sheet[1])
        seen = sheet.max_column - len(hidden_columns(sheet))
        assert sheet.print_area == f"'{sheet.title}'!$A$1:${sheet.cell(1, seen).column_letter}${sheet.max_row}"
        assert (sheet.page_setup.scale or 100) >= 85


@pytest.mark.parametrize(("unit", "paper"), [("kg", 9), ("lb", 1)])
def test_the_paper_is_that_of_where_pounds_are_used_or_not(unit: str, paper: int) -> None:
    # Source: ECMA-376, part 1, pageSetup: paper size 1 is Letter and 9 is A4, from memory, not looked up.
    document = Document("d", "", "USD", 2, unit, (Table("t", "", (Column("a", "A"),), (("b",),)),))
    assert opened((document,)).active.page_setup.paperSize == paper


def test_columns_are_as_wide_as_what_is_in_them_within_bounds() -> None:
    assert column_width("Cut", ["beef liver"], 4, 13, 44) == 10
    assert column_width("With the left over, EUR", ["1"], 4, 13, 44) == 13
    assert column_width("Bags", [], 4, 13, 44) == 4
    assert column_width("Name", ["x" * 200], 4, 13, 44) == 44
    assert column_width("Name", ["日本語"], 4, 4, 44) == 6


@pytest.mark.parametrize(
    ("text", "wide", "lines"),
    [("", 9, 1), ("one two", 7, 1), ("one two", 6, 2), ("aaaa bbbb cc", 5, 3), ("x" * 20, 9, 3), ("a " * 10, 19, 1)],
)
def test_lines_are_counted_as_they_break(text: str, wide: int, lines: int) -> None:
    assert line_count(text, wide) == lines


def test_long_text_gives_its_row_height() -> None:
    sheet = opened((a_table(Column("a", "A"), rows=(("beef " * 30,), ("b",))),)).active
    assert sheet.row_dimensions[2].height == pytest.approx(13 * 4, abs=0.75)  # in whole pixels
    assert sheet.row_dimensions[3].height is None


@pytest.mark.parametrize(
    ("holds", "value", "shown"),
    [
        (Holds.MONEY, Decimal("1.50"), "0.00"),
        (Holds.GRAMS, 1200, "0"),
        (Holds.COUNT, 3, "0"),
        (Holds.SHARE, Decimal("0.080300"), "0.00%"),
        (Holds.DAY, date(2027, 2, 6), DAY_FORMAT),
        (Holds.DATE, date(2027, 2, 6), DAY_FORMAT),
        (Holds.AMOUNT, Decimal("0.187000"), "0.000"),
        (Holds.AMOUNT, Decimal("18.245900"), "0.0"),
        (Holds.AMOUNT, Decimal("2760.138000"), "0"),
        (Holds.TEXT, "1.50", ""),
    ],
)
def test_each_kind_of_value_has_its_format(holds: Holds, value: int | Decimal | date | str, shown: str) -> None:
    assert number_format(a_document(), holds, value) == shown


@pytest.mark.parametrize(("digits", "shown"), [(0, "0"), (2, "0.00"), (3, "0.000")])
def test_money_has_the_decimals_of_its_currency(digits: int, shown: str) -> None:
    # Source: ISO 4217: JPY has none, EUR two, KWD three, from memory, not looked up.
    columns = (Column("cost", "Cost", Holds.MONEY),)
    document = Document("d", "", "XXX", digits, "kg", (Table("t", "", columns, ((Decimal(7),),)),))
    assert opened((document,)).active["A2"].number_format == shown


def test_a_share_is_what_the_csv_file_says_to_the_last_digit() -> None:
    document = a_table(Column("s", "S", Holds.SHARE), rows=((Fraction(1, 3),), (Fraction(2, 3),), (Fraction(1),)))
    assert [row[0] for row in opened((document,)).active.iter_rows(min_row=2, values_only=True)] == [
        0.333333,
        0.666667,
        1,
    ]


def test_names_from_hell_run_nothing_lead_nowhere_and_open() -> None:
    data = workbook(HELL)
    (sheet,) = openpyxl.load_workbook(BytesIO(data)).worksheets
    cells = [cell for row in sheet.iter_rows() for cell in row]
    assert len(cells) == (len(TABLE.rows) + 1 + len(TABLE.totals)) * len(TABLE.columns)
    assert {cell.data_type for cell in cells} <= {"s", "n", "d"}
    assert not [cell for cell in cells if cell.hyperlink]
    told = [row[0] or "" for row in sheet.iter_rows(min_row=2, values_only=True)]
    assert told == [*(one_line(name) for name in NAMES), NAMES[2]]
    with zipfile.ZipFile(BytesIO(data)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    assert not [name for name in parts if "externalLink" in name or "vba" in name.lower() or "sheets/_rels" in name]
    assert not any(b"<f>" in part or b"<hyperlink" in part for part in parts.values())


@pytest.mark.slow
def test_hell_in_every_text_of_a_table_gives_no_sheet_its_name() -> None:
    for at, name in enumerate(NAMES):
        document = a_table(Column(f"key_{at}", name), rows=((name,),), key=f"table_{at}")
        assert opened((document,)).sheetnames == [f"table {at}"]


@pytest.mark.parametrize("text", ["_x0041_", "_x000D_", "\ufffe_x", "a\uffff"])
def test_text_that_looks_like_an_escape_stays_text(text: str) -> None:
    # Source: ECMA-376, part 1, 22.4.2.4 (ST_Xstring): _xHHHH_ is a character, from memory, not looked up.
    data = workbook((a_table(Column("a", "A"), rows=((text,),)),))
    with zipfile.ZipFile(BytesIO(data)) as archive:
        strings = archive.read("xl/sharedStrings.xml").decode()
    said = re.findall(r"<t[^>]*>(.*?)</t>", strings)[1]
    assert re.sub(r"_x([0-9A-F]{4})_", lambda found: chr(int(found[1], 16)), said) == text


def test_text_too_long_for_a_cell_is_cut_and_says_so() -> None:
    sheet = opened((a_table(Column("a", "A"), rows=(("x" * 40_000,),)),)).active
    assert len(sheet["A2"].value) == LONGEST_TEXT
    assert sheet["A2"].value.endswith("x...")


def test_sheets_of_one_name_are_told_apart() -> None:
    long = "a_very_long_name_for_the_key_of_a_table"
    documents = [a_table(Column("a", "A"), key=key) for key in ("t", "t", "t", long, long, long)]
    names = sheet_names(group_tables(documents))
    assert names[:3] == ("t", "hell t", "hell t 2")
    assert len({name.casefold() for name in names}) == 6
    assert all(len(name) <= LONGEST_NAME for name in names)
    assert opened(tuple(documents)).sheetnames == list(names)


def test_papers_without_tables_still_make_a_workbook_that_opens() -> None:
    assert opened((a_document(),)).sheetnames == ["no tables"]


def test_the_same_papers_are_the_same_bytes() -> None:
    one, other = workbook(WHOLE), workbook(WHOLE)
    assert one == other
    with zipfile.ZipFile(BytesIO(one)) as archive:
        assert {part.date_time for part in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        made = archive.read("docProps/core.xml")
    assert made.count(b"2000-01-01T00:00:00Z") == 2


def test_bags_follow_portions_and_payments_follow_costs() -> None:
    keys = [document.key for document in WHOLE]
    assert keys.index("bag_list") == keys.index("portioning_list") + 1
    assert keys.index("settle") == len(papers(HOUSEHOLD, HOUSEHOLD_PLAN)) + 1
    assert len(set(keys)) == len(keys)
