"""Price lists in XLSX workbooks: the same offers as from CSV, numbers as they were meant, and nothing ever raised."""

import random
import shutil
import subprocess
import sys
import time
import zipfile
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from raworder.reading.notes import Notes
from raworder.reading.scenario_file import read_scenario
from raworder.reading.workbooks import SheetCell, sheet_cell_text
from raworder.rendering.findings_text import findings_text
from raworder.trade.findings import Place
from raworder.trade.scenario import Offer
from tests.drawn import drawn, seeds
from tests.hostile.test_hostile import SOUND, assert_sound_findings
from tests.hostile.workbooks import SOUND_ROWS, a_book, formula, repacked, with_cell
from tests.left_out import needs_office
from tests.reading.written import a_text, reading_of, scenario_of, slugs

SHEET = "xl/worksheets/sheet1.xml"
SUPPLIER = "suppliers: [{name: Hollow Lane, price_list: prices.xlsx}]"


def listed(folder: Path, content: bytes, says: str = "prices.xlsx") -> tuple[Offer, ...]:
    """The offers of a workbook, in the order of their rows."""
    more = f"suppliers: [{{name: Hollow Lane, price_list: {says}}}]"
    scenario = scenario_of(folder, a_text(more=more), {"prices.xlsx": content})
    lines = [offer for offer in scenario.offers if offer.supplier == "Hollow Lane"]
    return tuple(sorted(lines, key=lambda offer: offer.place.line if offer.place else 0))


def price(folder: Path, content: bytes) -> Decimal:
    """The price on the first row of a workbook."""
    return listed(folder, content)[0].steps[0].listed


def shown_as(value: float, number_format: str) -> bytes:
    """A price list whose one share of bone is a number of that format."""
    rows = [("cut", "pack", "price", "bone"), ("chicken neck", "1 kg", 2.4)]
    return a_book(rows, lambda book, sheet: sheet.write(1, 3, value, book.add_format({"num_format": number_format})))


def says(value: object, number_format: str = "General") -> str | None:
    """What a cell of that value says."""
    return sheet_cell_text(SheetCell(value, shown_as=number_format), Place("a.xlsx", 1, 1, cell="A1"), Notes())


def test_a_workbook_says_what_the_same_lines_say_in_csv(tmp_path: Path) -> None:
    rows = [["" if cell is None else str(cell) for cell in row] for row in SOUND_ROWS]
    text = "".join("\t".join([*row, *[""] * (8 - len(row))]).replace('"', "") + "\n" for row in rows)
    more = "suppliers: [{name: Hollow Lane, price_list: prices.csv}]"
    in_csv = scenario_of(tmp_path, a_text(more=more), {"prices.csv": text}).offers
    book = [[cell.replace('"', "") if isinstance(cell, str) else cell for cell in row] for row in SOUND_ROWS]
    in_xlsx = scenario_of(tmp_path, a_text(more=SUPPLIER), {"prices.xlsx": a_book(book)}).offers
    assert len(in_csv) == 5
    assert set(in_xlsx) == set(in_csv)


@pytest.mark.slow
@needs_office()
def test_a_csv_list_that_an_office_saved_as_a_workbook_says_the_same(tmp_path: Path) -> None:
    volunteer = Path(__file__).resolve().parents[2] / "scenarios" / "lists"
    lists = sorted(volunteer.glob("*.csv"))
    assert lists
    for path in lists:
        text = path.read_bytes()
        reading = reading_of(
            tmp_path, a_text(more="suppliers: [{name: A, price_list: prices.csv}]"), {"prices.csv": text}
        )
        first = text.decode("utf-8-sig").split("\n")[0]
        mark = ord(max(",;\t", key=first.count))
        command = [
            "soffice", f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}", "--headless",
            f"--infilter=Text - txt - csv (StarCalc):{mark},34,76,1,,0,false,false", "--convert-to", "xlsx",
            "--outdir", str(tmp_path), str(tmp_path / "prices.csv"),
        ]  # fmt: skip
        subprocess.run(command, check=True, capture_output=True)
        again = reading_of(tmp_path, a_text(more=SUPPLIER.replace("Hollow Lane", "A")))
        assert reading.scenario is not None
        assert again.scenario is not None, (path, again.findings)
        assert again.scenario.offers == reading.scenario.offers


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (2.4000000000000004, "2.4"),
        (0.1 + 0.2, "0.3"),
        (1.1 * 2.2, "2.42"),
        (2.3999999999999999, "2.4"),
        (1e-7, "0.0000001"),
        (1e-12, "0"),
        (120.0, "120"),
        (13580245.910000002, "13580245.91"),
        (1e21, "1000000000000000000000"),
        (4012345678901234, "4012345678901234"),
        (0, "0"),
        (2 / 3, "0.666666667"),
        (-2.5, "-2.5"),
    ],
)
def test_a_number_is_read_as_it_was_meant(value: float, text: str) -> None:
    # Source: a spreadsheet keeps fifteen significant digits (Excel's specifications, from memory, not looked up).
    assert says(value) == text


@pytest.mark.parametrize(
    ("value", "number_format", "text"),
    [
        (0.28, "0%", "28 %"),
        (0.285, "0.0%", "28.5 %"),
        (0.07, "0.00%;[Red]-0.00%", "7 %"),
        (1, "0%", "100 %"),
        (0.1 + 0.2, "0%", "30 %"),
        (1 / 3, "0%", "33.333333333 %"),
        (28, '0"%"', "28"),
        (28, "0\\%", "28"),
        (28, "[$%-409]0", "28"),
    ],
)
def test_a_number_that_is_shown_as_a_percentage_is_one(value: float, number_format: str, text: str) -> None:
    # Source: ECMA-376, part 1, 18.8.31: an unquoted percent sign multiplies by 100; from memory, not looked up.
    assert says(value, number_format) == text


def test_prices_and_shares_come_from_real_numbers(tmp_path: Path) -> None:
    assert price(tmp_path, with_cell(2, 5, 0.1 + 0.2)) == Decimal("0.30")
    assert price(tmp_path, formula(2.4000000000000004)) == Decimal("2.40")
    scenario = scenario_of(tmp_path, a_text(more=SUPPLIER), {"prices.xlsx": shown_as(0.28, "0%")})
    neck = next(cut for cut in scenario.cuts if cut.name.startswith("chicken neck"))
    assert dict(neck.parts)[next(part for part in dict(neck.parts) if part.name == "BONE")] == Fraction(28, 100)


def test_a_number_with_a_percent_sign_for_show_is_refused_as_a_bare_one(tmp_path: Path) -> None:
    reading = reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.xlsx": shown_as(28, '0"%"')})
    assert slugs(reading) == ["no-unit"]


def priced_as(number_format: str) -> bytes:
    """A price list whose one price is a number of that format."""
    rows = [("cut", "pack", "price"), ("kale", "1 kg", 2.4)]
    return a_book(rows, lambda book, sheet: sheet.write(1, 2, 2.4, book.add_format({"num_format": number_format})))


@pytest.mark.slow
@pytest.mark.parametrize("code", ["EUR", "USD", "SEK"])
@pytest.mark.parametrize(
    ("number_format", "codes"),
    [
        ("[$$-409]#,##0.00", "USD"),
        ("#,##0.00\\ [$USD]", "USD"),
        ('"$"#,##0.00', "USD"),
        ('"US$"0.00', "USD"),
        ("\\$0.00", "USD"),
        ('0.00 "USD/kg"', "USD"),
        ("#,##0.00\\ [$€-407];[Red]\\-#,##0.00\\ [$€-407]", "EUR"),
        ("[$EUR]\\ 0.00", "EUR"),
        ("#,##0.00\\ [$kr.-41D]", "SEK"),
        ('0.00 "kr"', "SEK"),
        ("[$£-809]#,##0.00", ""),
        ("[$zł-415]0.00", ""),
        ("General", "EUR USD SEK"),
        ("[$-409]0.00", "EUR USD SEK"),
        ('0.00 "per pack"', "EUR USD SEK"),
        ("[Red]0.00_$", "EUR USD SEK"),
    ],
)
def test_a_price_is_not_read_where_it_is_shown_in_another_currency(
    tmp_path: Path, number_format: str, codes: str, code: str
) -> None:
    # Source: ECMA-376, part 1, 18.8.31, and common formats of spreadsheets, from memory, not looked up.
    text = a_text(more=SUPPLIER).replace("EUR", code)
    reading = reading_of(tmp_path, text, {"prices.xlsx": priced_as(number_format)})
    assert slugs(reading) == ([] if code in codes.split() else ["other-currency"])


def test_a_formula_that_says_nothing_is_a_blank_cell(tmp_path: Path) -> None:
    # Source: how spreadsheets save a formula that gives an empty text, from memory, not looked up.
    book = a_book(change=lambda _, sheet: sheet.write_formula(4, 1, '=IF(1,"","x")', None, "x"))
    empty = repacked(book, SHEET, lambda xml: xml.replace(b"<v>x</v>", b"<v></v>"))
    assert [len(listed(tmp_path, one)) for one in (book, empty)] == [4, 4]
    assert [listed(tmp_path, one)[3].item for one in (book, empty)] == ["x", "kale"]


def test_a_formula_that_nobody_worked_out_is_told(tmp_path: Path) -> None:
    # openpyxl writes formulas without values, as other programs do
    book, out = openpyxl.Workbook(), BytesIO()
    for row in (["cut", "pack", "price"], ["kale", "1 kg", "=1+1"]):
        book.active.append(row)
    book.save(out)
    assert slugs(reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.xlsx": out.getvalue()})) == [
        "formula-without-value"
    ]


def two_sheets(hidden: str = "") -> bytes:
    """A workbook with a sheet `Prices` and a sheet `Old`, of which one may be hidden."""
    book, out = openpyxl.Workbook(), BytesIO()
    book.active.title = "Prices"
    book.create_sheet("Old")
    for name, amount in (("Prices", 8), ("Old", 9)):
        for row in (["cut", "pack", "price"], ["kale", "1 kg", amount]):
            book[name].append(row)
        book[name].sheet_state = "hidden" if name == hidden else "visible"
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize(("name", "amount"), [("Prices", 8), ("old", 9), ("OLD ", 9)])
def test_a_sheet_is_found_by_its_name_whatever_its_capitals(tmp_path: Path, name: str, amount: int) -> None:
    (offer,) = listed(tmp_path, two_sheets(), f"{{file: prices.xlsx, sheet: {name}}}")
    assert offer.steps[0].listed == amount


@pytest.mark.parametrize(("hidden", "amount"), [("Old", 8), ("Prices", 9)])
def test_the_only_sheet_that_is_not_hidden_is_meant(tmp_path: Path, hidden: str, amount: int) -> None:
    assert price(tmp_path, two_sheets(hidden)) == amount


def test_two_suppliers_may_have_a_sheet_each(tmp_path: Path) -> None:
    lists = ", ".join(f"{{name: {one}, price_list: {{file: p.xlsx, sheet: {one}}}}}" for one in ("Prices", "Old"))
    scenario = scenario_of(tmp_path, a_text(more=f"suppliers: [{lists}]"), {"p.xlsx": two_sheets()})
    assert [offer.steps[0].listed for offer in scenario.offers if offer.supplier != "your list"] == [9, 8]


def test_a_finding_names_the_cell_and_the_sheet_where_there_are_several(tmp_path: Path) -> None:
    alone = reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.xlsx": with_cell(4, 4, 500)})
    assert [one.message for one in alone.findings] == ["`500` has no unit (cell D4)"]
    assert [(one.place.line, one.place.column) for one in alone.findings] == [(4, 4)]
    assert [one.source_line for one in alone.findings] == [""]
    more = "suppliers: [{name: A, price_list: {file: prices.xlsx, sheet: Prices}}]"
    spoilt = repacked(two_sheets(), SHEET, lambda xml: xml.replace(b"<v>8</v>", b"<v>8.001</v>"))
    several = reading_of(tmp_path, a_text(more=more), {"prices.xlsx": spoilt})
    assert [one.message for one in several.findings] == ["`8.001` is finer than 0.01 EUR (cell C2 of sheet `Prices`)"]


def test_a_finding_in_a_workbook_shows_no_line_of_it(tmp_path: Path) -> None:
    reading = reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.xlsx": with_cell(4, 4, 500)})
    file = (tmp_path / "prices.xlsx").as_posix()
    assert findings_text(reading.findings, color=False) == (
        "error[no-unit]: `500` has no unit (cell D4)\n"
        f" --> {file}:4:4\n"
        "  = help: say which: `500 g`, `500 kg`, `500 oz` or `500 lb`\n"
    )


def test_a_repeated_row_tells_the_cell_of_the_first(tmp_path: Path) -> None:
    book = a_book([*SOUND_ROWS, SOUND_ROWS[4]])
    (finding,) = reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.xlsx": book}).findings
    assert finding.note.endswith("prices.xlsx, cell A5")


@pytest.mark.parametrize(("blank", "found"), [(0, 3), (49, 3), (50, 1), (400, 1)])
def test_a_sheet_ends_after_fifty_blank_rows(tmp_path: Path, blank: int, found: int) -> None:
    rows = [("cut", "price"), ("kale", "3 per kg"), *[()] * blank, ("chard", "3 per kg"), ("spinach", "3 per kg")]
    book = a_book(rows)
    assert len(listed(tmp_path, book)) == found
    lost = reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.xlsx": book}).findings
    place = f"A{blank + 3}"
    assert [one.message for one in lost] == (
        [f"this and all below is not read: 50 rows above it are blank (cell {place})"] if blank >= 50 else []
    )


@pytest.mark.parametrize(("column", "told"), [(100, ["wrong-cell-count"]), (101, ["cells-not-read"])])
def test_a_sheet_is_read_up_to_its_hundredth_column(tmp_path: Path, column: int, told: list[str]) -> None:
    book = a_book(change=lambda _, sheet: sheet.write(2, column - 1, "x"))
    assert slugs(reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.xlsx": book})) == told


@pytest.mark.slow
def test_a_cell_in_the_last_corner_of_a_sheet_costs_no_time(tmp_path: Path) -> None:
    book = a_book(change=lambda _, sheet: sheet.write(1_048_575, 16_383, "x"))
    started = time.monotonic()
    assert len(listed(tmp_path, book)) == 4
    assert time.monotonic() - started < 5


def test_cells_that_only_look_different_are_not_told_as_unread(tmp_path: Path) -> None:
    def paint(book: Any, sheet: Any) -> None:
        bold = book.add_format({"bold": True})
        sheet.write_blank(300, 0, None, bold)
        sheet.write_blank(2, 150, None, bold)
        sheet.write_formula(301, 0, '=""', bold, "")

    book = repacked(a_book(change=paint), SHEET, lambda xml: xml.replace(b'<f>""</f>', b""))
    assert slugs(reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.xlsx": book})) == []


def test_a_sheet_that_is_one_chart_is_passed_over(tmp_path: Path) -> None:
    from openpyxl.chart import BarChart, Reference

    book = openpyxl.load_workbook(BytesIO(two_sheets(hidden="Old")))
    chart = BarChart()
    chart.add_data(Reference(book["Prices"], min_col=3, min_row=2, max_row=2))
    book.create_chartsheet("Chart", 0).add_chart(chart)
    out = BytesIO()
    book.save(out)
    assert "xl/chartsheets/sheet1.xml" in zipfile.ZipFile(out).namelist()
    assert price(tmp_path, out.getvalue()) == 8

    def draw(book: Any, _: Any) -> None:
        chart = book.add_chart({"type": "bar"})
        chart.add_series({"values": "=Prices!$E$2:$E$3"})
        book.add_chartsheet("Chart").set_chart(chart)

    assert len(listed(tmp_path, a_book(change=draw))) == 4


def test_a_sheet_that_lies_about_its_size_is_read_whole(tmp_path: Path) -> None:
    def smaller(xml: bytes) -> bytes:
        return xml.replace(b'<dimension ref="A1:H5"/>', b'<dimension ref="A1:B2"/>')

    book = repacked(a_book(), SHEET, smaller)
    assert book != a_book()
    assert len(listed(tmp_path, book)) == 4


def test_xml_is_read_with_care() -> None:
    from openpyxl.xml import DEFUSEDXML

    assert DEFUSEDXML


def test_without_that_care_no_workbook_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("openpyxl.xml.DEFUSEDXML", False)
    with pytest.raises(AssertionError, match="defusedxml"):
        listed(tmp_path, a_book())


@pytest.mark.slow
def test_openpyxl_is_imported_only_for_a_workbook_and_pandas_is_not(tmp_path: Path) -> None:
    program = "import sys; from pathlib import Path; from raworder.reading.scenario_file import read_scenario as r;"
    program += "r(Path(sys.argv[1])); print('openpyxl' in sys.modules, 'pandas' in sys.modules)"
    for more, told in (("", "False False"), (SUPPLIER, "True False")):
        reading_of(tmp_path, a_text(more=more), {"prices.xlsx": a_book()})
        command = [sys.executable, "-c", program, str(tmp_path / "scenario.yaml")]
        assert subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip() == told


@drawn()
def test_no_damaged_workbook_gives_a_traceback(block: int, tmp_path: Path) -> None:
    chance = random.Random(seeds(block, 1)[0])
    shutil.copytree(SOUND, tmp_path / "scenario")
    path = tmp_path / "scenario" / "scenario.yaml"
    path.write_text(path.read_text().replace("hollow.csv", "hollow.xlsx"))
    book, refused = a_book(), 0
    for _ in range(50):
        (tmp_path / "scenario" / "lists" / "hollow.xlsx").write_bytes(damaged(book, chance))
        reading = read_scenario(path)
        assert_sound_findings(reading)
        refused += reading.scenario is None
    assert refused > 10


def damaged(book: bytes, chance: random.Random) -> bytes:
    """The workbook cut off, with bytes of its archive altered, or with pieces of the XML inside altered."""
    hurt = chance.random()
    if hurt < 0.1:
        return book[: chance.randrange(len(book))]
    if hurt < 0.25:
        at = chance.randrange(len(book))
        return book[:at] + bytes(chance.randrange(256) for _ in range(chance.choice([1, 4, 40]))) + book[at + 1 :]
    with zipfile.ZipFile(BytesIO(book)) as archive:
        parts = archive.namelist()
    favourites = [SHEET, SHEET, SHEET, "xl/sharedStrings.xml", "xl/styles.xml", "xl/workbook.xml"]
    return repacked(book, chance.choice([*favourites, *parts]), lambda xml: _spoilt(xml, chance))


PIECES: Sequence[bytes] = (
    b"", b"<", b">", b"/", b'"', b"&", b"&#0;", b"&b;", b"\x00", b"\xff\xfe", b"9" * 30, b"9" * 5000, b"-1", b"1e999",
    b"nan", b't="b"', b't="d"', b't="e"', b't="s"', b't="str"', b't="inlineStr"', b's="99"', b"<f>1+1</f>", b"<v>x</v>",
    b"<v>-5</v>", b'r="XFE1"', b'r="A0"', b'r="ZZZZ9999999"', b'<mergeCell ref="A1:H9"/>', b"<row/>", b"<c/>", b"</c>",
)  # fmt: skip
"""What is put into the XML of a workbook."""


def _spoilt(xml: bytes, chance: random.Random) -> bytes:
    for _ in range(chance.randint(1, 3)):
        anywhere = chance.randrange(len(xml) + 1)
        at = max(0, xml.find(chance.choice([b"<v>", b"<c ", b""]), anywhere) + chance.choice([0, 3]))
        end = min(len(xml), at + chance.choice([0, 1, 1, 2, 6]))
        xml = xml[:at] + chance.choice([*PIECES, xml[at:end] * 2]) + xml[end:]
    return xml
