"""Suppliers' lists as they come, read with their names files, row by row as a person reads them. All is invented.

**Source:** common practice, no source; encodings and separators as spreadsheets and wholesalers write them, from
memory, not looked up.
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from io import BytesIO
from pathlib import Path

import pytest

from raworder.reading.files import plain_file
from raworder.reading.named_lists import read_supplier_list
from raworder.reading.names_files import read_names_file, read_names_text
from raworder.reading.notes import Notes
from raworder.rendering.files_to_fill import names_text
from raworder.trade.supplier_list import ListRow, Match, NamedItem, SupplierList, SupplierNames

TANNHOF = """Artikelnummer;Artikel;Verpackungseinheit;VK netto EUR;Verfügbar
T-01;Hähnchenhälse;5 kg;9,75 €;ja
T-02;Hähnchenflügel;10 kg (4x2,5);24,90 €;ja
T-03;Lammlunge;1 kg;2,30 €;nein
T-04;Ochsenschwanz;ca. 1,2 kg;11,80 €;ja
T-05;Großkarton Blättermagen;500 kg;1.234,50 €;ja
T-06;Zunge;ca. 1,2 kg;11,80 €/kg;ja
"""
TANNHOF_NAMES = """supplier: Tannhof
encoding: cp1252
columns: {code: Artikelnummer, cut: Artikel, pack: Verpackungseinheit, price: VK netto EUR, sold: Verfügbar}
price_per: pack
items:
  - {code: T-01, name: Hähnchenhälse, cut: chicken neck, confirmed: 2027-01-04}
  - {code: T-02, name: Hähnchenflügel, not_for_dogs: yes, confirmed: 2027-01-04}
  - {code: T-06, name: Zunge, cut: beef tongue, confirmed: 2027-01-04}
"""
HARBOUR = (
    "ITEM #\tDESCRIPTION\tPACK\tPRICE\tSTATUS\n"
    "20023\tCHKN NECK S/L FRZN\t4 x 10 lb\t$1.09/lb\t\n"
    "20024\tCHKN BACKS FRZN\t40 LB CS\t$0.89/lb\t\n"
    "20044\tBEEF HEART CAP OFF\tapprox. 12-15 lb\t@ 3.20/lb\t\n"
    "20060\tPORK KDNY\t5 lb\tSOLD OUT\t\n"
    "20061\tLAMB LVR\t5 lb\t$3.35/lb\tSOLD OUT\n"
    "20071\tCHKN GIZZ\t4/5#\t$12.99\t\n"
    "20099\tGREEN TRIPE GRND\t12/2.5 LB\t$12.99/lb\t\n"
)
HARBOUR_NAMES = """supplier: Harbour Foods
columns: {code: "ITEM #", cut: DESCRIPTION, pack: PACK, price: PRICE}
price_per: pack
"""
EICHBERG_ROWS = (
    ("Großhandel Eichberg KG",),
    ("Preisliste gültig ab 01.02.2027",),
    (),
    ("Art.-Nr.", "Bezeichnung", "Gebinde", "Preis", None, "Bestand", "Bemerkung"),
    (None, None, None, "je kg", "je Gebinde", None, None),
    ("RIND",),
    ("4711", "Rinderherz TK", "10 kg (4x2,5)", "3,45 €", "34,50 €", "ja"),
    ("4713", "Rinderniere", "2 x 2,5 kg", "2,60 €", "13,00 €", "ausverkauft"),
    ("4714", "Rinderlunge", "10 kg", "1,20 €", "12,50 €", "ja"),
    ("GEFLÜGEL",),
    (5014, "Putenhälse", "ca. 12-15 kg", 1.95, None, True, "Tagespreis"),
    ("5015", "Pansen", "20 x 500 g", 2.35, 23.5, "ja"),
    (),
    ("Alle Preise zzgl. 7 % MwSt.",),
)
EICHBERG_NAMES = """supplier: Eichberg
sheet: Preise
columns: {code: Art.-Nr., cut: Bezeichnung, pack: Gebinde, price: Preis je kg, second_price: Preis je Gebinde}
not_for_dogs: {groups: [geflügel]}
"""
POUND = Fraction(45359237, 100_000)


def eichberg(title: str = "Preise") -> bytes:
    """A workbook of two sheets with title rows, merged groups and a head of two rows."""
    import openpyxl  # type: ignore[import-untyped]  # it ships no types

    book = openpyxl.Workbook()
    book.active.title = title
    for row in EICHBERG_ROWS:
        book.active.append(row)
    for merged in ("A1:G1", "A2:G2", "D4:E4", "A6:G6", "A10:G10"):
        book.active.merge_cells(merged)
    book.create_sheet("Liefertage").append(("Montag", "Oberpfalz"))
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def listed(folder: Path, name: str, content: bytes, names: str, currency: str = "EUR") -> SupplierList:
    """A list read with its names file."""
    path, notes = folder / name, Notes()
    path.write_bytes(content)
    known = read_names_text(names, folder / "x.names.yaml", notes)
    assert known is not None, notes.all()
    found = read_supplier_list(plain_file(path), known, currency, notes)
    assert found is not None, notes.all()
    return found


def as_read(row: ListRow) -> tuple[object, ...]:
    """What a person reads in a row: code, name, group, grams, about, heaviest, inner packs, price, basis, standing."""
    pack = row.pack
    weighs = (pack.grams, pack.about, pack.up_to_g, pack.packs) if pack else (None, False, None, 0)
    return row.code, row.name, row.group, *weighs, row.price, row.basis, str(row.standing)


def test_a_butchers_list_in_an_old_encoding(tmp_path: Path) -> None:
    found = listed(tmp_path, "tannhof.csv", TANNHOF.encode("cp1252"), TANNHOF_NAMES)
    assert [as_read(row) for row in found.rows] == [
        ("T-01", "Hähnchenhälse", "", 5000, False, None, 1, Decimal("9.75"), "pack", "sold"),
        ("T-02", "Hähnchenflügel", "", 10_000, False, None, 4, Decimal("24.90"), "pack", "sold"),
        ("T-03", "Lammlunge", "", 1000, False, None, 1, Decimal("2.30"), "pack", "not sold now"),
        ("T-04", "Ochsenschwanz", "", 1200, False, None, 1, Decimal("11.80"), "pack", "sold"),
        ("T-05", "Großkarton Blättermagen", "", 500_000, False, None, 1, Decimal("1234.50"), "pack", "sold"),
        ("T-06", "Zunge", "", 1200, True, None, 1, Decimal("11.80"), "kg", "sold"),
    ]
    assert [row.cut for row in found.offered] == ["chicken neck", "beef tongue"]
    assert found.rows[1].match is Match.NOT_FOR_DOGS
    assert [row.per_kg for row in found.rows] == [
        Fraction(195, 100), Fraction(249, 100), Fraction(23, 10), Fraction(59, 6), Fraction(2469, 1000),
        Fraction(59, 5),
    ]  # fmt: skip


def test_a_wholesalers_list_in_utf_16_with_tabs(tmp_path: Path) -> None:
    found = listed(tmp_path, "harbour.txt", HARBOUR.encode("utf-16"), HARBOUR_NAMES, "USD")
    half = Fraction(27, 2)
    assert [as_read(row) for row in found.rows] == [
        ("20023", "CHKN NECK S/L FRZN", "", 40 * POUND, False, None, 4, Decimal("1.09"), "lb", "sold"),
        ("20024", "CHKN BACKS FRZN", "", 40 * POUND, False, None, 1, Decimal("0.89"), "lb", "sold"),
        ("20044", "BEEF HEART CAP OFF", "", half * POUND, True, 15 * POUND, 1, Decimal("3.20"), "lb", "sold"),
        ("20060", "PORK KDNY", "", 5 * POUND, False, None, 1, None, "", "not sold now"),
        ("20061", "LAMB LVR", "", 5 * POUND, False, None, 1, Decimal("3.35"), "lb", "not sold now"),
        ("20071", "CHKN GIZZ", "", 20 * POUND, False, None, 4, Decimal("12.99"), "pack", "sold"),
        ("20099", "GREEN TRIPE GRND", "", 30 * POUND, False, None, 12, Decimal("12.99"), "lb", "sold"),
    ]


def test_a_workbook_with_titles_groups_and_a_head_of_two_rows(tmp_path: Path) -> None:
    found = listed(tmp_path, "eichberg.xlsx", eichberg(), EICHBERG_NAMES)
    assert [as_read(row) for row in found.rows] == [
        ("4711", "Rinderherz TK", "RIND", 10_000, False, None, 4, Decimal("3.45"), "kg", "sold"),
        ("4713", "Rinderniere", "RIND", 5000, False, None, 2, Decimal("2.60"), "kg", "not sold now"),
        ("4714", "Rinderlunge", "RIND", 10_000, False, None, 1, None, "", "not read"),
        ("5014", "Putenhälse", "GEFLÜGEL", 13_500, True, 15_000, 1, Decimal("1.95"), "kg", "sold"),
        ("5015", "Pansen", "GEFLÜGEL", 10_000, False, None, 20, Decimal("2.35"), "kg", "sold"),
    ]
    assert found.day == date(2027, 2, 1)
    assert "12.00 per pack, and it says 12.50" in found.rows[2].why
    assert [row.match for row in found.rows[3:]] == [Match.NOT_FOR_DOGS, Match.NOT_FOR_DOGS]
    assert found.rows[0].place.cell == "B7 of sheet `Preise`"


def test_the_same_list_saved_in_another_encoding_is_read_the_same(tmp_path: Path) -> None:
    first = listed(tmp_path, "tannhof.csv", TANNHOF.encode("cp1252"), TANNHOF_NAMES)
    for encoding in ("utf-8", "utf-8-sig", "utf-16"):
        assert listed(tmp_path, "tannhof.csv", TANNHOF.encode(encoding), TANNHOF_NAMES).rows == first.rows


@pytest.mark.parametrize(
    ("title", "day"),
    [
        ("Preise gültig ab 01.03.2027", date(2027, 3, 1)),
        ("Price list, effective February 1, 2027", date(2027, 2, 1)),
        ("Tarif du 1er mars 2027", date(2027, 3, 1)),
        ("Stand: 1. März 2027", date(2027, 3, 1)),
        ("2027-03-01", date(2027, 3, 1)),
        ("Gültig ab 01.03.2027 bis 31.03.2027", date(2027, 3, 1)),
        ("03/01/2027", None),
        ("01.03.2027 und 08.03.2027", None),
        ("31.02.2027", None),
    ],
)
def test_the_day_of_a_list_is_the_one_that_it_states(tmp_path: Path, title: str, day: date | None) -> None:
    text = f'"{title}";;;;\n{TANNHOF}'
    assert listed(tmp_path, "tannhof.csv", text.encode(), TANNHOF_NAMES).day == day


def test_heads_groups_and_notes_in_a_text(tmp_path: Path) -> None:
    text = (
        "Hofladen Tannhof;;;;\nNr;Ware;Inhalt;Preis;;Lager\n;;;€/kg;€/VE;\nRIND\n1;Herz;5 kg;3,45;17,25;x\n"
        "Nr;Ware;Inhalt;Preis;;Lager\n2;Leber;5 kg;2,90;14,50;\nLAMM;;;;;\n3;Hals;12-15 kg;1,95;-;x\n* netto\n"
    )
    names = "columns: {cut: Ware, code: Nr, pack: Inhalt, price: Preis €/kg}\n"
    found = listed(tmp_path, "x.csv", text.encode(), names)
    assert [(row.line, row.name, row.group, str(row.standing)) for row in found.rows if row.price] == [
        (5, "Herz", "RIND", "sold"), (7, "Leber", "RIND", "not sold now"), (9, "Hals", "LAMM", "sold"),
    ]  # fmt: skip


def test_a_column_that_says_what_prices_are_for(tmp_path: Path) -> None:
    text = "Item No,Description,Pack,Unit,Price\n1,HEART,CS 40 LB,LB,1.99\n2,NECK,6/5 LB,CS,24.50\n3,FEET,10 lb,EA,9\n"
    names = "columns: {cut: Description, code: Item No, pack: Pack, price: Price}\n"
    found = listed(tmp_path, "x.csv", text.encode(), names, "USD")
    assert [(row.price, row.basis) for row in found.rows] == [
        (Decimal("1.99"), "lb"), (Decimal("24.50"), "pack"), (Decimal("9.00"), "pack"),
    ]  # fmt: skip


def known_rows(folder: Path, text: str, names: str) -> list[tuple[str, str, str]]:
    """How each row is matched, its cut, and the name that its code had."""
    found = listed(
        folder,
        "x.csv",
        f"Nr;Ware;Preis je kg\n{text}".encode(),
        f"columns: {{cut: Ware, code: Nr, price: Preis je kg}}\n{names}",
    )
    return [(str(row.match), row.cut, row.known_as) for row in found.rows]


ITEMS = """not_for_dogs: {words: [pizza]}
items:
  - {code: K3, name: Rinderherz TK, cut: beef heart}
  - {name: Hälse, cut: chicken neck}
  - {code: K5, name: Fett, not_for_dogs: yes}
"""


@pytest.mark.parametrize(
    ("row", "found"),
    [
        ("K3;RINDERHERZ", ("cut", "beef heart", "")),
        ("K3;Rinderleber", ("renamed", "", "Rinderherz TK")),
        ("K3;Rinderherz mit Leber", ("renamed", "", "Rinderherz TK")),
        ("K3;beef liver", ("cut", "beef liver", "")),
        ("K4;Rinderherz TK", ("cut", "beef heart", "")),
        ("K4;Rinderherz", ("new", "", "")),
        (";hälse", ("cut", "chicken neck", "")),
        ("K5;Fett", ("not for dogs", "", "")),
        ("K5;Filet", ("renamed", "", "Fett")),
        ("K9;Pizza Salami", ("not for dogs", "", "")),
        ("K9;Beef Heart", ("cut", "Beef Heart", "")),
        ("K9;Beef Hearts", ("new", "", "")),
    ],
)
def test_an_item_is_known_by_code_and_name_and_never_by_likeness(
    tmp_path: Path, row: str, found: tuple[str, str, str]
) -> None:
    assert known_rows(tmp_path, f"{row};3,20\n", ITEMS) == [found]


def test_what_a_names_file_says_is_written_and_read_back(tmp_path: Path) -> None:
    first = listed(tmp_path, "tannhof.csv", TANNHOF.encode("cp1252"), TANNHOF_NAMES)
    items = (NamedItem("No: 1 # [a]", "007", "beef heart", date(2027, 1, 4)), NamedItem("Yes", "", "", None))
    names = SupplierNames("Tannhof", first.layout, items, ("RIND & CO",), ("no", "ab: c"))
    path = tmp_path / "tannhof.names.yaml"
    path.write_text(names_text(names), encoding="utf-8")
    assert read_names_file(path, Notes()) == names
    more = SupplierNames(items=(NamedItem("Zunge", "T-06", "beef tongue"),))
    path.write_text(names_text(more, path.read_text(encoding="utf-8") + "# mine\n"), encoding="utf-8")
    read = read_names_file(path, Notes())
    assert read is not None
    assert read.items == (*items, *more.items)
    assert "# mine\n" in path.read_text(encoding="utf-8")
