"""Lists of many suppliers, each row read as a person reads it. All names, codes and prices are invented.

**Source:** common practice, no source; how wholesalers write in other languages from memory, not looked up.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import pytest

from raworder.reading.files import plain_file
from raworder.reading.named_lists import read_supplier_list
from raworder.reading.names_files import read_names_text
from raworder.reading.notes import Notes
from raworder.trade.supplier_list import ListRow


@dataclass(frozen=True)
class Sample:
    """A list with its layout and what is read: code, name, pack and its most, inner packs, price, basis, standing."""

    layout: str
    content: str | bytes
    read: str
    currency: str = "EUR"
    encoding: str = "utf-8"
    name: str = "list.csv"


def workbook(rows: Sequence[Sequence[object]], formats: dict[str, str], merged: Sequence[str] = ()) -> bytes:
    """A workbook of two sheets with number formats and merged cells on the first."""
    import openpyxl  # type: ignore[import-untyped]  # it ships no types

    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for cell, number_format in formats.items():
        book.active[cell].number_format = number_format
    for cells in merged:
        book.active.merge_cells(cells)
    book.active.title = "Prices"
    book.create_sheet("Terms").append(("Minimum order", "$250"))
    out = BytesIO()
    book.save(out)
    return out.getvalue()


SAMPLES = {
    "notes, a second page and two prices": Sample(
        "encoding: cp1252\ncolumns: {cut: Bezeichnung, code: Art.Nr., pack: Inhalt, price: €/kg, second_price: €/VE}",
        "Metzgerei Grünau;;;;;\nStand: 03.02.2027;;;;;\nArt.Nr.;Bezeichnung;Inhalt;€/kg;€/VE;Lagerstatus\n"
        "0101;Rinderherz;10 kg (4x2,5);3,95;39,50;lieferbar\n0102;Leber;Kiste ca. 15 kg;2,10;;120 kg\n"
        "0103;Hälse;1x10kg;1,89;18,90;z.Zt. nicht lieferbar\nZwischensumme;;;;;\nSeite 2;;;;;\n"
        "Art.Nr.;Bezeichnung;Inhalt;€/kg;€/VE;Lagerstatus\n0104;Rippen;Ø 13 kg;4,25;;0 kg\n"
        "0105;Mägen;5 kg;2,35;11,85;lieferbar\n0106;Lunge (AUSVERKAUFT);5 kg;1,05;;\n*) zzgl. MwSt.;;;;;\n",
        "0101;Rinderherz;10 kg;;4;3.95;kg;sold\n0102;Leber;about 15 kg;;1;2.10;kg;sold\n"
        "0103;Hälse;10 kg;;1;1.89;kg;not sold now\n0104;Rippen;about 13 kg;;1;4.25;kg;not sold now\n"
        "0105;Mägen;5 kg;;1;;;not read\n0106;Lunge (AUSVERKAUFT);5 kg;;1;1.05;kg;not sold now",
        encoding="cp1252",
    ),
    "cases in pounds and the price of a case": Sample(
        "columns: {cut: Description, code: Item, pack: Pack/Size, price: Price (LB), second_price: Case Price}",
        "Item,Description,Pack/Size,Price (LB),Case Price,In Stock\n00412,Backs,40 lb case,.79,31.60,Y\n"
        '00413,"Necks, skls",4/10 LB,1.05,42.00,Y\n00420,Kidney,2/5# BAGS,1.95,19.50,N\n'
        '00433,Wings,12/2.5#,1.45,43.50,BACKORDER\n00440,Trim,1000 LB,"2.10","2,100.00",Y\n',
        "00412;Backs;40 lb;;1;0.79;lb;sold\n00413;Necks, skls;40 lb;;4;1.05;lb;sold\n"
        "00420;Kidney;10 lb;;2;1.95;lb;not sold now\n00433;Wings;30 lb;;12;1.45;lb;not sold now\n"
        "00440;Trim;1000 lb;;1;2.10;lb;sold",
        "USD",
    ),
    "packs counted in a column of their own": Sample(
        "columns: {cut: Product, pack: Size, price: Price}\nprice_per: pack",
        "Product,Pack,Size,Price\nNecks,4,10 lb,42.00\nLiver,1,5 lb,9.00\nHeart,6,.5 lb,12.00\n",
        ";Necks;40 lb;;4;42.00;pack;sold\n;Liver;5 lb;;1;9.00;pack;sold\n;Heart;3 lb;;6;12.00;pack;sold",
        "USD",
    ),
    "what each price is for beside it": Sample(
        "columns: {cut: Product, code: No., pack: Pack, price: Price, per: UOM, sold: Avail}",
        "No.\tProduct\tPack\tPrice\tUOM\tAvail\n1\tLiver\t10 lb\t1.35\tLB\tY\n2\tFeet\t4/10 LB\t38.00\tCS\tY\n"
        "3\tNeck\t30 lb avg\t1.99\tLB\tN\n4\tTripe\t6/5 lb\t9.99\tEA\tY\n5\tLeg\t12-15 lb\t89.00\tEA\tY\n",
        "1;Liver;10 lb;;1;1.35;lb;sold\n2;Feet;40 lb;;4;38.00;pack;sold\n3;Neck;about 30 lb;;1;1.99;lb;not sold now\n"
        "4;Tripe;30 lb;;6;;;not read\n5;Leg;about 13.5 lb;15 lb;1;;;not read",
        "USD",
        "utf-16",
    ),
    "French": Sample(
        "columns: {cut: Désignation, code: Réf., pack: Conditionnement, price: Prix € HT/kg, sold: Disponibilité}",
        "Réf.;Désignation;Conditionnement;Prix € HT/kg;Disponibilité\n"
        "A12;Cœur de bœuf;carton de 4 sachets de 2,5 kg;3,60;dispo\nA13;Foie;colis 10 kg;1,25;en rupture\n"
        "A14;Cou;sac 5 kg;12€90;en stock\nA15;Carcasses;env. 12-15 kg;0,95;disponible\n",
        "A12;Cœur de bœuf;10 kg;;4;3.60;kg;sold\nA13;Foie;10 kg;;1;1.25;kg;not sold now\nA14;Cou;5 kg;;1;;;not read\n"
        "A15;Carcasses;about 13.5 kg;15 kg;1;0.95;kg;sold",
    ),
    "Dutch, with a column of stock": Sample(
        "columns: {cut: Omschrijving, pack: Verpakking, price: Prijs per doos, second_price: Prijs kg}",
        "Omschrijving;Verpakking;Prijs per doos;Prijs kg;Voorraad\nRunderhart;doos 10 x 1 kg;€ 38,50;€ 3,85;12\n"
        "Nekken;10 zakken van 1 kg;€ 19,00;€ 1,90;0\nRibben;doos ca. 12 kg;;€ 4,95;3\n",
        ";Runderhart;10 kg;;10;38.50;pack;sold\n;Nekken;10 kg;;10;19.00;pack;not sold now\n"
        ";Ribben;about 12 kg;;1;4.95;kg;sold",
    ),
    "pieces a case are no price": Sample(
        "columns: {cut: Artikel, pack: Inhalt, price: Preis/kg}",
        "Artikel;Inhalt;Stück/Karton;Preis/kg\nRippen;10 kg;20;4,20\n",
        ";Rippen;10 kg;;1;4.20;kg;sold",
    ),
    "a column for what is sold out": Sample(
        "columns: {cut: Artikel, pack: VE, price: Preis/Stück}",
        "Artikel;VE;Preis/Stück;ausverkauft\nLunge;1 kg;1,20;\nMilz;1 kg;1,10;x\nHerz;1 kg;3,10;ausverkauft\n"
        "Hals;20 x 500 g;1,10;nein\n",
        ";Lunge;1 kg;;1;1.20;pack;sold\n;Milz;1 kg;;1;1.10;pack;not sold now\n"
        ";Herz;1 kg;;1;3.10;pack;not sold now\n;Hals;10 kg;;20;;;not read",
    ),
    "a workbook's head of three rows": Sample(
        "sheet: Prices\ncolumns: {cut: Artikel Bezeichnung, code: Artikel Nr., pack: Gebinde kg,"
        " price: Preis netto je kg, second_price: Preis netto je Gebinde, sold: Verfügbar}",
        workbook(
            (
                ("Preisliste Grünau",),
                ("Artikel", None, "Gebinde", "Preis", None, "Verfügbar"),
                ("Nr.", "Bezeichnung", "kg", "netto", None, None),
                (None, None, None, "je kg", "je Gebinde", None),
                (71, "Kalbsleber", 2.5, 6.8, 17.0, "x"),
                (72, "Kalbsherz", 5, 5.9, 29.5, None),
                ("0073", "Milz", 10, 0.9949, 9.95, "x"),
            ),
            {"A5": "0000", "A6": "0000", "D7": '#,##0.00\\ "€/kg"', "E7": "#,##0.00\\ [$€]"},
            ("A1:F1", "A2:B2", "D2:E2", "D3:E3"),
        ),
        "0071;Kalbsleber;2.5 kg;;1;6.80;kg;sold\n0072;Kalbsherz;5 kg;;1;5.90;kg;not sold now\n"
        "0073;Milz;10 kg;;1;0.99;kg;sold",
        name="list.xlsx",
    ),
    "a workbook's numbers with their units": Sample(
        "sheet: March\ncolumns: {cut: Item, pack: Case Wt, price: Price, sold: Stock}",
        workbook(
            (
                ("Item", "Case Wt", "Price", "Tax", "Stock"),
                ("Heart", 40, 4.254, 0.07, "In Stock"),
                ("Trim", 30, 5.1, 0.07, "Temporarily unavailable"),
            ),
            {"B2": '0\\ "lb"', "B3": '0\\ "lb"', "C2": '"$"0.00"/lb"', "C3": '"$"0.00"/lb"', "D2": "0%", "D3": "0%"},
        ),
        ";Heart;40 lb;;1;4.25;lb;sold\n;Trim;30 lb;;1;5.10;lb;not sold now",
        "USD",
        name="list.xlsx",
    ),
}


def in_short(row: ListRow) -> str:
    """What a row says, as the samples write it."""
    pack = (row.pack.weight, row.pack.heaviest, str(row.pack.packs)) if row.pack else ("", "", "")
    return ";".join((row.code, row.name, *pack, str(row.price or ""), row.basis, str(row.standing)))


@pytest.mark.parametrize("sample", SAMPLES.values(), ids=SAMPLES)
def test_each_row_is_read_as_a_person_reads_it(sample: Sample, tmp_path: Path) -> None:
    path, notes = tmp_path / sample.name, Notes()
    path.write_bytes(sample.content if isinstance(sample.content, bytes) else sample.content.encode(sample.encoding))
    names = read_names_text(f"supplier: Grünau\n{sample.layout}\n", tmp_path / "x.names.yaml", notes)
    assert names is not None, notes.all()
    found = read_supplier_list(plain_file(path), names, sample.currency, notes)
    assert found is not None, notes.all()
    assert [in_short(row) for row in found.rows] == sample.read.split("\n")
