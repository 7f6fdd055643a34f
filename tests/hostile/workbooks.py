"""Price lists in workbooks with mistakes, each with every finding it must give and no other; all invented."""

import zipfile
from collections.abc import Callable, Sequence
from datetime import datetime
from io import BytesIO
from typing import Any, NamedTuple

import xlsxwriter

SOUND_ROWS: tuple[tuple[object, ...], ...] = (
    ("cut", "item", "code", "pack", "price", "available", "bone", "price_breaks"),
    ("chicken neck", 'Necks, "fresh"', "00123", "1 kg", 2.4, 10, "28 %", "5: 2.20; 10: 2.00"),
    ("beef trim", "None", "NA", None, "7.10 per kg"),
    ("beef kidney", "Kidney", None, "500 g", 1.9),
    ("kale", None, None, "250 g", 1.2),
)
"""What the sound price list says."""

Change = Callable[[Any, Any], object]
"""Something done to the workbook and its first sheet after the rows are written."""


def a_book(
    rows: Sequence[Sequence[object]] = SOUND_ROWS, change: Change = lambda _book, _sheet: None, name: str = "Prices"
) -> bytes:
    """A workbook with these rows from the first cell on; numbers are numbers, days days, all else text."""
    out = BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True, "strings_to_formulas": False}) as book:
        sheet = book.add_worksheet(name)
        day = book.add_format({"num_format": "yyyy-mm-dd"})
        for row, cells in enumerate(rows):
            for column, value in enumerate(cells):
                if isinstance(value, datetime):
                    sheet.write_datetime(row, column, value, day)
                elif value is not None:
                    sheet.write(row, column, value)
        change(book, sheet)
    return out.getvalue()


def with_cell(row: int, column: int, value: object) -> bytes:
    """The sound workbook with something else in one cell, counted from 1."""
    width = len(SOUND_ROWS[0])
    rows = [[*one, *[None] * (width - len(one))] for one in SOUND_ROWS]
    rows += [[None] * width for _ in range(row - len(rows))]
    rows[row - 1] += [None] * (column - width)
    rows[row - 1][column - 1] = value
    return a_book(rows)


def repacked(data: bytes, part: str, alter: Callable[[bytes], bytes]) -> bytes:
    """The workbook with one of its parts altered."""
    out = BytesIO()
    with zipfile.ZipFile(BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for one in old.infolist():
            content = old.read(one)
            new.writestr(one, alter(content) if one.filename == part else content)
    return out.getvalue()


def formula(saved: object) -> bytes:
    """The sound workbook with a formula for a price, and the value that was saved with it."""
    return a_book(change=lambda _, sheet: sheet.write_formula(1, 4, "=2*1.2", None, saved))


def shown_in_dollars() -> bytes:
    """The sound workbook with a price that is shown in another currency."""
    return a_book(change=lambda book, sheet: sheet.write(4, 4, 1.2, book.add_format({"num_format": "[$$-409]0.00"})))


def unsaved_formula() -> bytes:
    """The sound workbook with a formula without any value, as programs write it that work none out."""
    return repacked(formula(987654), "xl/worksheets/sheet1.xml", lambda xml: xml.replace(b"<v>987654</v>", b""))


def swollen() -> bytes:
    """A small file that holds far more than any price list once it is unpacked."""
    out = BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b" " * (51 * 1024 * 1024))
    return out.getvalue()


def compound(*streams: str) -> bytes:
    """What a compound file begins with, and the names of its streams. Source: MS-CFB, from memory, not looked up."""
    names = b"".join(name.encode("utf-16-le").ljust(64, b"\0") for name in streams)
    return bytes.fromhex("d0cf11e0a1b11ae1").ljust(512, b"\0") + names


def crowded() -> bytes:
    """A small file with a row of countless empty cells, which would fill the memory."""
    cells = b"<c/>" * 1_000_001
    return repacked(a_book(), "xl/worksheets/sheet1.xml", lambda xml: xml.replace(b"</row>", cells + b"</row>", 1))


class BadBook(NamedTuple):
    """A workbook, what the scenario says of it, and the findings: `slug@CELL`, or `slug@scenario`."""

    name: str
    content: bytes
    expected: str
    says: str = "file: lists/hollow.xlsx"


TWO_SHEETS = a_book(change=lambda book, _: book.add_worksheet("Old").write(0, 0, "cut"))
SHEET = "file: lists/hollow.xlsx\n      sheet: "

BAD_BOOKS = (
    BadBook("text under a workbook's name", b"cut;price\nkale;3,20 per kg\n", "broken-workbook@scenario"),
    BadBook("nothing", b"", "broken-workbook@scenario"),
    BadBook("cut off", a_book()[:2000], "broken-workbook@scenario"),
    BadBook(
        "an archive of something else",
        repacked(a_book(), "xl/workbook.xml", lambda _: b"x"),
        "broken-workbook@scenario",
    ),
    BadBook(
        "entities in a sheet",
        repacked(
            a_book(),
            "xl/worksheets/sheet1.xml",
            lambda xml: b'<!DOCTYPE a [<!ENTITY b "kale">]>' + xml.partition(b"?>\n")[2],
        ),
        "broken-workbook@scenario",
    ),
    BadBook("locked", compound("EncryptionInfo", "EncryptedPackage"), "locked-workbook@scenario"),
    BadBook("old", compound("Workbook"), "old-workbook@scenario"),
    BadBook("old by its name", b"cut", "old-workbook@scenario", "file: lists/hollow.xls"),
    BadBook("swollen", swollen(), "workbook-too-large@scenario"),
    BadBook("crowded", crowded(), "workbook-too-large@scenario"),
    BadBook("too many rows", a_book([("cut", "price"), *[("kale", 1)] * 10_001]), "workbook-too-large@scenario"),
    BadBook("two sheets", TWO_SHEETS, "sheet-in-doubt@scenario"),
    BadBook("no such sheet", TWO_SHEETS, "unknown-sheet@scenario", f"{SHEET}Prises"),
    BadBook("a separator", a_book(), "not-for-this-file@scenario", 'file: lists/hollow.xlsx\n      separator: ";"'),
    BadBook(
        "a decimal mark and an encoding",
        a_book(),
        "not-for-this-file@scenario not-for-this-file@scenario",
        'file: lists/hollow.xlsx\n      decimal: ","\n      encoding: cp1252',
    ),
    BadBook("a sheet of a CSV file", b"", "not-for-this-file@scenario", "file: lists/hollow.csv\n      sheet: Prices"),
    BadBook("an empty sheet", a_book([]), "empty-file@A1"),
    BadBook("header only", a_book([("cut", "price")]), "no-rows@A1"),
    BadBook("a title above the header", a_book([("Prices of Hollow Lane",), *SOUND_ROWS]), "missing-column@A1"),
    BadBook("no price column", a_book([("cut", "pack"), ("kale", "1 kg")]), "missing-column@A1"),
    BadBook("misspelt column", with_cell(1, 4, "pakc"), "unknown-column@D1"),
    BadBook("repeated column", with_cell(1, 6, "Price"), "repeated-column@F1"),
    BadBook("a day in the header", with_cell(1, 4, datetime(2027, 1, 20)), "strange-cell@D1"),  # noqa: DTZ001 - as typed
    BadBook("a cell beside the columns", with_cell(3, 10, "cheap!"), "wrong-cell-count@J3"),
    BadBook(
        "a cell beside the columns in a row with another mistake",
        a_book([*SOUND_ROWS, ("kail", None, None, "1 kg", 1.2, None, None, None, "cheap!")]),
        "unknown-cut@A6 wrong-cell-count@I6",
    ),
    BadBook("a price shown in dollars", shown_in_dollars(), "other-currency@E5"),
    BadBook("bare weight", with_cell(4, 4, 500), "no-unit@D4"),
    BadBook("decimal comma in text", with_cell(5, 5, "1,20"), "comma-in-number@E5"),
    BadBook("price finer than a cent", with_cell(5, 5, 1.234), "bad-value@E5"),
    BadBook("price below nothing", with_cell(5, 5, -1.2), "bad-value@E5"),
    BadBook("bare share", with_cell(2, 7, 28), "no-unit@G2"),
    BadBook("share as a decimal", with_cell(2, 7, 0.28), "no-unit@G2"),
    BadBook("unknown cut", with_cell(5, 1, "kail"), "unknown-cut@A5"),
    BadBook("empty cut", with_cell(5, 1, None), "missing-field@D5"),
    BadBook("empty price", with_cell(5, 5, None), "missing-field@A5"),
    BadBook("repeated row", a_book([*SOUND_ROWS, SOUND_ROWS[4]]), "repeated-offer@A6"),
    BadBook("toxic item", with_cell(5, 2, "kale with onion"), "toxic-food@B5"),
    BadBook("control character", with_cell(5, 2, "cur\u202ely"), "control-character@B5"),
    BadBook("formula without a value", unsaved_formula(), "formula-without-value@E2"),
    BadBook("error", formula("#REF!"), "error-in-cell@E2"),
    BadBook("truth value", with_cell(2, 6, value=True), "strange-cell@F2"),
    BadBook("day", with_cell(2, 2, datetime(2027, 4, 3)), "strange-cell@B2"),  # noqa: DTZ001 - as typed
    BadBook(
        "a day that cannot be",
        a_book(change=lambda book, sheet: sheet.write(1, 4, 10**9, book.add_format({"num_format": "yyyy-mm-dd"}))),
        "error-in-cell@E2",
    ),
    BadBook(
        "merged header",
        a_book(change=lambda _, sheet: sheet.merge_range(0, 7, 0, 8, "price_breaks")),
        "merged-cells@H1",
    ),
    BadBook("merged rows", a_book(change=lambda _, sheet: sheet.merge_range(4, 1, 5, 1, "Kale")), "merged-cells@B5"),
    BadBook(
        "merged rows in single quotes",
        repacked(
            a_book(change=lambda _, sheet: sheet.merge_range(4, 1, 5, 1, "Kale")),
            "xl/worksheets/sheet1.xml",
            lambda xml: xml.replace(b'ref="B5:B6"', b"ref='B5:B6'"),
        ),
        "merged-cells@B5",
    ),
    BadBook("an offer far below", with_cell(60, 1, "chard"), "cells-not-read@A60"),
    BadBook("a cell far to the right", with_cell(3, 101, "cheap!"), "cells-not-read@CW3"),
    BadBook("two in one run", a_book([*SOUND_ROWS, ("chard", None, None, 1, "1,20")]), "no-unit@D6 comma-in-number@E6"),
)
