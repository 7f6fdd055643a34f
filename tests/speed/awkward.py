"""Files that are awkward to read, each below the largest size that is read: nests, wide rows, many mistakes, workbooks.

All of it is invented. `FILES` names each kind; `write_file` writes one into a folder and gives the scenario to read.
"""

import zipfile
from collections.abc import Callable, Iterator, Mapping
from io import BytesIO
from pathlib import Path
from types import MappingProxyType

CAP = 2 * 1024 * 1024
"""The largest file that is read."""

HEAD = "currency: EUR\nbatch: {starts: 2027-02-06, days: 14}\n"
CUTS = """cuts:
  - {cut: chicken neck, pack: 1 kg, price: 2.40}
  - {cut: beef trim, price: 6.20 per kg, fat: 12 %}
  - {cut: beef heart, pack: 500 g, price: 3.10}
  - {cut: lamb liver, pack: 400 g, price: 1.90}
  - {cut: beef kidney, price: 3.60 per kg}
"""
DOG = "  - {name: Maple, weight: 22 kg, ration: 2.5 %, targets: prey model}\n"
DOGS = f"dogs:\n{DOG}"
LOT = "  - {cut: beef trim, weight: 1 kg, frozen: 2027-01-02}\n"
WITH_LIST = HEAD + DOGS + "suppliers:\n  - {name: Invented Meats, price_list: {file: list.csv}}\n" + CUTS
WITH_WORKBOOK = WITH_LIST.replace("list.csv", "list.xlsx")
SOLD = ("chicken neck", "beef trim", "beef heart", "lamb liver", "beef kidney", "duck neck", "pork trim", "turkey neck")


def filled(line: str, size: int = CAP - 2000) -> str:
    """The line as often as it fits."""
    return line * (size // len(line.encode()))


def dogs(number: int) -> str:
    """A scenario of so many dogs, all of them sound."""
    lines = (
        f"  - {{name: Dog {place}, weight: {10 + place % 30} kg, ration: 2.5 %, targets: prey model}}\n"
        for place in range(number)
    )
    return f"{HEAD}dogs:\n{''.join(lines)}{CUTS}"


def supplements(number: int) -> str:
    """A scenario of so many supplements."""
    lines = (f"  - {{name: oil {place}, price: 3.00, pack: 100 g}}\n" for place in range(number))
    return f"{HEAD}{DOGS}{CUTS}supplements:\n{''.join(lines)}"


def price_breaks(most: int) -> str:
    """A scenario of one offer that is cheaper from each number of packs below."""
    breaks = ", ".join(f"{{from: {packs}, price: 8}}" for packs in range(2, most))
    return f"{HEAD}{DOGS}cuts:\n  - {{cut: beef trim, pack: 1 kg, price: 9.00, price_breaks: [{breaks}]}}\n"


def own_cuts(number: int) -> Iterator[str]:
    """So many sound lines of own cuts."""
    return (f"  - {{cut: mine {place}, species: beef, bone: 10 %, fat: 9 %}}\n" for place in range(number))


def mixes(deep: int, wide: int, of: int) -> Iterator[str]:
    """So many layers of so many mixes, each made of so many of the layer below."""
    for layer in range(deep):
        below = [f"mix {layer - 1} {place}" for place in range(wide)] if layer else ["beef trim"] * of
        for place in range(wide):
            named = ", ".join((below + below)[place : place + of])
            yield f"  - {{cut: mix {layer} {place}, made_of: [{named}], bone: 0 %, fat: 9 %}}\n"


def offers(number: int) -> Iterator[str]:
    """So many sound lines of offers, no two alike."""
    for place in range(number):
        yield f"  - {{cut: {SOLD[place % len(SOLD)]}, pack: {200 + place // 8} g, price: {2 + place % 90 / 100:.2f}}}\n"


def rows(number: int) -> Iterator[str]:
    """So many sound rows of a price list, no two alike."""
    for place in range(number):
        yield f"{SOLD[place % len(SOLD)]},{200 + place // 8} g,{2 + place % 90 / 100:.2f}\n"


def workbook(sheet_data: str, size: int = CAP) -> bytes:
    """A workbook with one sheet of that content."""
    package = "http://schemas.openxmlformats.org/package/2006"
    office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    parts = {
        "[Content_Types].xml": f'<Types xmlns="{package}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{kind}.sheet.main+xml"/>'
        f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{kind}.worksheet+xml"/></Types>',
        "_rels/.rels": f'<Relationships xmlns="{package}/relationships">'
        f'<Relationship Id="r1" Type="{office}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{package}/relationships">'
        f'<Relationship Id="r1" Type="{office}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{main}" xmlns:r="{office}"><sheets>'
        '<sheet name="List" sheetId="1" r:id="r1"/></sheets></workbook>',
        "xl/worksheets/sheet1.xml": f'<worksheet xmlns="{main}"><sheetData>{sheet_data}</sheetData></worksheet>',
    }
    out = BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in parts.items():
            archive.writestr(name, text)
    assert len(out.getvalue()) <= size
    return out.getvalue()


def sheet_row(number: int, texts: tuple[str, ...]) -> str:
    """A row of a sheet with texts in its cells."""
    cells = "".join(f'<c t="inlineStr"><is><t>{text}</t></is></c>' for text in texts)
    return f'<row r="{number}">{cells}</row>'


SHEET_HEAD = sheet_row(1, ("cut", "pack", "price"))


def _sheet_rows(number: int) -> str:
    cells = (tuple(row.strip().split(",")) for row in rows(number))
    return SHEET_HEAD + "".join(sheet_row(place, texts) for place, texts in enumerate(cells, 2))


SCENARIOS: Mapping[str, Callable[[], str]] = MappingProxyType(
    {
        "empty lists as dogs": lambda: f"{HEAD}dogs: [{filled('[],')[:-1]}]\n{CUTS}",
        "empty mappings as dogs": lambda: f"{HEAD}dogs: [{filled('{},')[:-1]}]\n{CUTS}",
        "nested lists": lambda: f"{HEAD}{DOGS}{CUTS}title: {'[' * 500_000}\n",
        "nests as deep as may be": lambda: f"{HEAD}dogs: [{filled('[' * 36 + ']' * 36 + ',')[:-1]}]\n{CUTS}",
        "nested mappings in a line": lambda: f"{HEAD}dogs: [{filled('{a: {b: {c: {}}}},')[:-1]}]\n{CUTS}",
        "empty values as dogs": lambda: f"{HEAD}dogs:\n" + filled("  -\n") + CUTS,
        "dogs that are words": lambda: f"{HEAD}dogs:\n" + filled("  - a\n") + CUTS,
        "unknown top-level fields": lambda: HEAD + DOGS + CUTS + "".join(f"f{n}: 1\n" for n in range(150_000)),
        "unknown fields of a dog": lambda: (
            f"{HEAD}dogs:\n  - {{name: Maple, {', '.join(f'f{n}: 1' for n in range(120_000))}}}\n{CUTS}"
        ),
        "one key again and again": lambda: HEAD + DOGS + CUTS + filled("title: a\n"),
        "cuts nobody knows": lambda: (
            f"{HEAD}{DOGS}cuts:\n" + "".join(f"  - {{cut: chickn nekc {n}, price: 2 per kg}}\n" for n in range(40_000))
        ),
        "cuts nobody knows, with errors": lambda: (
            f"{HEAD}{DOGS}cuts:\n" + "".join(f"  - {{cut: chickn nekc {n}, price: x}}\n" for n in range(45_000))
        ),
        "dogs of one name": lambda: f"{HEAD}dogs:\n{filled(DOG)}{CUTS}",
        "words nobody knows": lambda: (
            f"{HEAD}dogs:\n  - {{name: Maple, weight: 22 kg, ration: 2.5 %, targets: prey model, "
            f"avoid: [{', '.join(f'chicen{n}' for n in range(130_000))}]}}\n{CUTS}"
        ),
        "caps nobody knows": lambda: (
            f"{HEAD}dogs:\n  - {{name: Maple, weight: 22 kg, ration: 2.5 %, targets: prey model, "
            f"caps: {{{', '.join(f'haert{n}: 5 %' for n in range(90_000))}}}}}\n{CUTS}"
        ),
        "nutrients nobody knows": lambda: (
            f"{HEAD}dogs:\n  - {{name: Maple, weight: 22 kg, ration: 2.5 %, targets: prey model, "
            f"nutrients: {{{', '.join(f'znc{n}: from 5 mg a day' for n in range(60_000))}}}}}\n{CUTS}"
        ),
        "anchors": lambda: f"{HEAD}dogs: [{', '.join(f'&a{n} x' for n in range(150_000))}]\n{CUTS}",
        "tags": lambda: f"{HEAD}dogs: [{filled('!a x, ')[:-2]}]\n{CUTS}",
        "aliases": lambda: f"{HEAD}a: &a [x]\ndogs: [{filled('*a, ')[:-2]}]\n{CUTS}",
        "a huge scalar": lambda: f"{HEAD}{DOGS}{CUTS}title: {'a' * (CAP - 2000)}\n",
        "a huge number": lambda: (
            f"{HEAD}dogs:\n  - {{name: Maple, weight: {'9' * (CAP - 2000)} kg, ration: 2.5 %, targets: prey model}}\n"
            f"{CUTS}"
        ),
        "a huge name of a cut": lambda: f"{HEAD}{DOGS}cuts:\n  - {{cut: {filled('chicken ')}, price: 2 per kg}}\n",
        "a huge key": lambda: f"{HEAD}{DOGS}{CUTS}? {'a' * (CAP - 2000)}\n: 1\n",
        "a huge price": lambda: f"{HEAD}{DOGS}cuts:\n  - {{cut: beef trim, price: {'9' * (CAP - 2000)} per kg}}\n",
        "strange characters": lambda: HEAD + DOGS + CUTS + "title: " + filled("\u00ad") + "\n",
        "strange characters in lines": lambda: HEAD + DOGS + CUTS + filled("a: \u00ad\n"),
        "comments in values": lambda: f"{HEAD}dogs:\n" + filled("  - a #b\n") + CUTS,
        "blank lines": lambda: HEAD + DOGS + CUTS + filled("\n"),
        "nothing but colons": lambda: HEAD + filled(": "),
        "nothing but dashes": lambda: filled("- "),
        "documents": lambda: filled("---\n"),
        "dogs in one line": lambda: (
            f"{HEAD}dogs: [" + filled("{name: Maple, weight: 22 kg, ration: 2.5 %},") + f"]\n{CUTS}"
        ),
        "suppliers of one name": lambda: (
            f"{HEAD}{DOGS}suppliers:\n" + filled("  - {name: A, cuts: [{cut: beef trim, price: 2 per kg}]}\n")
        ),
        "own cuts": lambda: (
            f"{HEAD}{DOGS}{CUTS}own_cuts:\n"
            + "".join(f"  - {{cut: mine {n}, species: beef, muscle: 100 %}}\n" for n in range(35_000))
        ),
        "as many own cuts as may be": lambda: f"{HEAD}{DOGS}{CUTS}own_cuts:\n{''.join(own_cuts(1_000))}",
        "12,000 own cuts": lambda: f"{HEAD}{DOGS}{CUTS}own_cuts:\n{''.join(own_cuts(12_000))}",
        "a chain of mixes": lambda: (
            f"{HEAD}{DOGS}{CUTS}own_cuts:\n"
            + "".join(f"  - {{cut: mix {n}, made_of: [mix {n + 1}], bone: 0 %, fat: 9 %}}\n" for n in range(1_000))
        ),
        "mixes of mixes": lambda: f"{HEAD}{DOGS}{CUTS}own_cuts:\n{''.join(mixes(10, 100, 40))}",
        "12,000 cuts nobody knows": lambda: (
            f"{HEAD}{DOGS}cuts:\n" + "".join(f"  - {{cut: chickn nekc {n}, price: 2 per kg}}\n" for n in range(12_000))
        ),
        "four lists of cuts with errors": lambda: (
            f"{HEAD}{DOGS}suppliers:\n"
            + "".join(
                f"  - {{name: S{n}, cuts: [{filled('{cut: nekc, price: x}, ', 7_200 * 23)}]}}\n" for n in range(4)
            )
        ),
        "12,000 unknown fields": lambda: (
            f"{HEAD}dogs:\n  - {{name: Maple, {', '.join(f'f{n}: 1' for n in range(11_990))}}}\n{CUTS}"
        ),
        "12,000 numbers cut in two": lambda: (
            f"{HEAD}dogs:\n  - {{name: Maple, weight: 22 kg, {', '.join(f'{n}' for n in range(11_990))}}}\n{CUTS}"
        ),
        "12,000 words nobody knows": lambda: (
            f"{HEAD}dogs:\n  - {{name: Maple, weight: 22 kg, ration: 2.5 %, targets: prey model, "
            f"avoid: [{', '.join(f'chicen{n}' for n in range(12_000))}], "
            f"caps: {{{', '.join(f'haert{n}: 5 %' for n in range(12_000))}}}}}\n{CUTS}"
        ),
        "12,000 dogs of one name": lambda: f"{HEAD}dogs:\n{DOG * 12_000}{CUTS}",
        "12,000 lots on hand": lambda: f"{HEAD}{DOGS}{CUTS}on_hand:\n{LOT * 12_000}",
        "12,000 supplements": lambda: supplements(12_000),
        "12,000 price breaks": lambda: price_breaks(12_000),
        "12,000 suppliers of one name": lambda: (
            f"{HEAD}{DOGS}suppliers:\n" + "  - {name: A, cuts: [{cut: beef trim, price: 2 per kg}]}\n" * 12_000
        ),
        "lots on hand": lambda: f"{HEAD}{DOGS}{CUTS}on_hand:\n{filled(LOT)}",
        "supplements": lambda: supplements(40_000),
        "price breaks": lambda: price_breaks(80_000),
        "species of an own cut": lambda: (
            f"{HEAD}{DOGS}{CUTS}own_cuts:\n  - {{cut: mine, made_of: [{filled('beef trim, ')[:-2]}]}}\n"
        ),
        "1,000 sound dogs": lambda: dogs(1_000),
        "10,000 sound dogs": lambda: dogs(10_000),
        "25,000 sound dogs": lambda: dogs(25_000),
        "10,000 sound offers": lambda: f"{HEAD}{DOGS}cuts:\n{''.join(offers(10_000))}",
        "38,000 sound offers": lambda: f"{HEAD}{DOGS}cuts:\n{''.join(offers(38_000))}",
    }
)
"""Scenarios by what is awkward in them."""

LISTS: Mapping[str, Callable[[], str]] = MappingProxyType(
    {
        "blank cells": lambda: "cut,pack,price\n" + filled(",,\n"),
        "nothing but blank cells": lambda: filled(",,,\n"),
        "one wide row": lambda: "cut,pack,price\n" + filled(",") + "\n",
        "one wide header": lambda: filled("a,") + "\nb\n",
        "one wide header of names": lambda: ",".join(f"c{n}" for n in range(250_000)) + "\nb\n",
        "a huge cell": lambda: f"cut,pack,price\n{'a' * 1_900_000},1 kg,2\n",
        "a huge cell in quotes": lambda: 'cut,pack,price\n"' + filled("a\n") + '",1 kg,2\n',
        "a huge price in a cell": lambda: f"cut,pack,price\nbeef trim,1 kg,{'9' * 1_900_000}\n",
        "a quote never closed": lambda: 'cut,pack,price\n"' + filled("a\n"),
        "quotes doubled": lambda: 'cut,pack,price\n"' + filled('""') + '",1 kg,2\n',
        "rows too long": lambda: "cut,pack,price\n" + filled("a,b,c,d\n"),
        "rows of letters": lambda: "cut,pack,price\n" + filled("a,b,c\n"),
        "rows with every mistake": lambda: (
            "cut,pack,price,bone,fat,rich,piece,available\n" + filled("chickn nekc,0,x,200 %,-1 %,maybe,9,many\n")
        ),
        "40,000 rows with mistakes": lambda: "cut,pack,price\n" + filled("chickn nekc,1 kg,2.x0\n", 40_000 * 22),
        "rows of cuts nobody knows": lambda: (
            "cut,pack,price\n" + "".join(f"chickn nekc {n},1 kg,2.00\n" for n in range(60_000))
        ),
        "rows of toxic food": lambda: "cut,pack,price\n" + filled("red onions,1 kg,2.00\n"),
        "rows that are the same": lambda: "cut,pack,price\n" + filled("beef trim,1 kg,2.00\n"),
        "undecided numbers": lambda: "cut,pack,price\n" + filled("beef trim,1 kg,2.100\n"),
        "points and commas": lambda: "cut;pack;price\n" + filled("beef trim;1 kg;2.10\nbeef trim;1 kg;2,10\n"),
        "bad breaks": lambda: f"cut,pack,price,price_breaks\nbeef trim,1 kg,2,{filled('5: 2.20; ')}\n",
        "12,000 rows with every mistake": lambda: (
            "cut,pack,price,bone,fat,rich,piece,available\n" + "chickn nekc,0,x,200 %,-1 %,maybe,9,many\n" * 12_000
        ),
        "12,000 rows of cuts nobody knows": lambda: (
            "cut,pack,price\n" + "".join(f"chickn nekc {n},1 kg,2.00\n" for n in range(12_000))
        ),
        "12,000 rows of toxic food": lambda: "cut,pack,price\n" + "red onions,1 kg,2.00\n" * 12_000,
        "12,000 rows that are the same": lambda: "cut,pack,price\n" + "beef trim,1 kg,2.00\n" * 12_000,
        "12,000 undecided numbers": lambda: "cut,pack,price\n" + "beef trim,1 kg,2.100\n" * 12_000,
        "10,000 sound rows": lambda: "cut,pack,price\n" + "".join(rows(10_000)),
        "12,000 sound rows": lambda: "cut,pack,price\n" + "".join(rows(12_000)),
        "80,000 sound rows": lambda: "cut,pack,price\n" + "".join(rows(80_000)),
    }
)
"""Price lists as CSV by what is awkward in them."""

SHEETS: Mapping[str, Callable[[], str]] = MappingProxyType(
    {
        "a sheet with one row of 900,000 empty cells": lambda: SHEET_HEAD + f'<row r="2">{"<c/>" * 900_000}</row>',
        "a sheet with 300,000 empty rows": lambda: SHEET_HEAD + "<row/>" * 300_000,
        "a sheet with 990,000 empty rows": lambda: SHEET_HEAD + "<row/>" * 990_000,
        "a sheet with wide empty rows": lambda: SHEET_HEAD + f"<row>{'<c/>' * 9_000}</row>" * 100,
        "a sheet with formatted empty rows": lambda: SHEET_HEAD + ("<row>" + '<c s="0"/>' * 100 + "</row>") * 9_000,
        "a sheet with a far row": lambda: SHEET_HEAD + '<row r="1048576"><c r="A1048576"><v>1</v></c></row>',
        "a sheet with far rows": lambda: (
            SHEET_HEAD + "".join(f'<row r="{n * 40}"><c r="A{n * 40}"><v>1</v></c></row>' for n in range(1, 9_000))
        ),
        "a sheet with a huge text": lambda: SHEET_HEAD + sheet_row(2, ("a" * 30_000_000, "1 kg", "2")),
        "a sheet with numbers": lambda: SHEET_HEAD + "<row><c><v>1</v></c><c><v>2</v></c><c><v>3</v></c></row>" * 9_000,
        "a sheet with wide full rows": lambda: (
            sheet_row(1, tuple(f"c{n}" for n in range(100))) + f"<row>{'<c><v>1</v></c>' * 100}</row>" * 2_000
        ),
        "a sheet with too many rows": lambda: _sheet_rows(20_000),
        "a sheet with 6,000 sound rows": lambda: _sheet_rows(6_000),
        "a sheet with 5,900 rows of numbers": lambda: (
            SHEET_HEAD + "<row><c><v>1</v></c><c><v>2</v></c><c><v>3</v></c></row>" * 5_900
        ),
        "a sheet with 9,000 sound rows": lambda: _sheet_rows(9_000),
        "a sheet with cells beside": lambda: (
            SHEET_HEAD + '<row r="2"><c r="A2"><v>1</v></c>' + '<c r="ZZ2"><v>1</v></c>' * 200_000 + "</row>"
        ),
        "a sheet that repeats an attribute": lambda: SHEET_HEAD + f"<row>{'<c a=' + chr(34)}{'a' * 30_000_000}",
        "a sheet of spaces": lambda: SHEET_HEAD + f"<row><c{' ' * 30_000_000}/></row>",
        "a sheet of merged cells": lambda: (
            _sheet_rows(10)
            + "</sheetData><mergeCells>"
            + '<mergeCell ref="A2:B3"/>' * 400_000
            + "</mergeCells><sheetData>"
        ),
        "a sheet of 9,000 merged cells": lambda: (
            _sheet_rows(10)
            + "</sheetData><mergeCells>"
            + "".join(f'<mergeCell ref="A{n}:B{n}"/>' for n in range(2, 9_002))
            + "</mergeCells><sheetData>"
        ),
    }
)
"""Sheets of a workbook by what is awkward in them."""

FILES = (*SCENARIOS, *LISTS, *SHEETS)


def write_file(name: str, folder: Path) -> Path:
    """Write the file of that name, and the scenario to read it by."""
    folder.mkdir(parents=True, exist_ok=True)
    scenario = folder / "scenario.yaml"
    if name in SCENARIOS:
        text = SCENARIOS[name]()
    elif name in LISTS:
        text = WITH_LIST
        (folder / "list.csv").write_text(LISTS[name](), encoding="utf-8")
    else:
        text = WITH_WORKBOOK
        (folder / "list.xlsx").write_bytes(workbook(SHEETS[name]()))
    scenario.write_text(text, encoding="utf-8")
    return scenario
