"""Names and a document that try to break every renderer. All invented."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

from raworder.trade.document import (
    Block,
    Chart,
    ChartKind,
    Column,
    Document,
    Fact,
    Facts,
    Holds,
    Label,
    Labels,
    Mark,
    Paragraph,
    Points,
    Table,
    Verbatim,
)
from raworder.trade.labels import SHEETS

NAMES = (
    "[red]lamb[/red]",
    "[bold",
    "=1+1",
    "+1",
    "-2+3",
    "@SUM(A1)",
    "\t=1+1",
    "\r=1+1",
    "a|b",
    "**bold** _it_ `code` ~~gone~~",
    "<script>alert(1)</script>",
    "<r>a & b <x</r>",
    "<r><t>x</t></r>",
    "[link](https://example.org)",
    "![image](x)",
    "# heading",
    "1. one",
    "- dash",
    "&amp; &lt;",
    "back\\slash",
    "dot\\.dot",
    "dog \N{DOG FACE}",
    "日本語の名前",
    "abc\N{RIGHT-TO-LEFT OVERRIDE}fed",
    "two\nlines",
    "esc\x1b[31mred\x07",
    "nul\x00",
    "c1\x9b31m",
    "\ud800 alone",
    "zero\N{ZERO WIDTH SPACE}width",
    "line\N{LINE SEPARATOR}separator",
    'quote " and comma, here',
    "'single",
    "e\N{COMBINING ACUTE ACCENT}" * 5,
    "x" * 200,
    "long words " * 20,
    ":smile:",
    "100 %s %d {0} {name}",
    "",
    "   ",
)

COLUMNS = (
    Column("name", "Name"),
    Column("count", "Count", Holds.COUNT),
    Column("weight_g", "Weight", Holds.GRAMS),
    Column("cost", "Cost EUR", Holds.MONEY),
    Column("given_share", "Given", Holds.SHARE),
    Column("frozen_on", "Frozen on", Holds.DAY),
    Column("secret", "Hidden", shown=False),
    Column("got", "Got", Holds.BLANK),
)

ROWS = tuple(
    (name, place, 1000 * place + 7, Decimal(place) / 100, Fraction(place, 37), date(2027, 1, 1), name, None)
    for place, name in enumerate(NAMES)
)

TOTALS = ((NAMES[2], None, 5, Decimal(1), None, None, None, None),)
TABLE = Table("hell", NAMES[0], COLUMNS, ROWS, TOTALS, note=NAMES[8], tick=True)


def a_document(*blocks: Block, title: str = "a title") -> Document:
    """A document in euros and kilograms."""
    return Document("hell", title, "EUR", 2, "kg", blocks)


CHARTS = tuple(
    Chart(name, drawn, Holds.GRAMS, (Mark(name, 2, low=1, high=3), Mark("one", 3, low=1, high=5)), name, 4, name)
    for name in NAMES
    for drawn in ChartKind
    if name.strip() and name.isprintable()
)
LABELS = Labels(
    SHEETS["a4-2x4-105x74"],
    tuple(Label(name, name, str(place), "A", name, name, (name,), (name,)) for place, name in enumerate(NAMES)),
)

HELL = (
    a_document(
        TABLE,
        *(Paragraph(name) for name in NAMES),
        *(Paragraph(name, name) for name in NAMES[:3]),
        Points("points", NAMES[1], NAMES, NAMES[:3]),
        Facts("facts", tuple(Fact(f"key_{place}", name, name) for place, name in enumerate(NAMES))),
        Verbatim(NAMES[3], "\n".join(NAMES)),
        Verbatim("", "\n".join(NAMES)),
        title="\n".join(NAMES),
    ),
    a_document(*CHARTS, title="drawn"),
    a_document(LABELS, title="labels"),
    a_document(title="nothing in it"),
)
