"""The page is HTML that another program reads as what was meant, and a style sheet that alone is let through.

**Source of the outside checks:** the HTML parser of the Python library; SHA-256 sources of a Content Security Policy,
CSP Level 3, from memory, not looked up. What a browser makes of the page is in `tests/browser`.
"""

import base64
import hashlib
import re
from fractions import Fraction
from html import unescape

import pytest

from raworder.rendering.clean import one_line
from raworder.rendering.html import css_text, html, length_text, sentence_html
from raworder.trade.document import (
    Chart,
    ChartKind,
    Column,
    Fact,
    Facts,
    Holds,
    Mark,
    Paragraph,
    Points,
    Table,
    Verbatim,
)
from tests.rendering.hell import HELL, NAMES, TABLE, a_document
from tests.rendering.outline import outline

FILLED = [name for name in NAMES if one_line(name)]
ONE = Table(
    "one",
    "Things",
    (Column("name", "Name"), Column("got", "Got", Holds.BLANK), Column("weight_g", "Weight", Holds.GRAMS)),
    (("a thing", None, 1200), ("", None, None)),
    (("together", None, 1200),),
    note="A note.",
    tick=True,
)


def _plain(text: str) -> str:
    """The words of a text, whatever spaces keep them together."""
    return " ".join(text.replace("\u00a0", " ").split())


def _body(*blocks: Table | Paragraph | Points | Facts | Verbatim | Chart) -> str:
    return _plain(outline(html([a_document(*blocks)])).replace("\n", " / "))


def test_every_kind_of_block_is_written() -> None:
    blocks = (
        ONE,
        Paragraph("Say `this` now."),
        Points("points", "Mind", ("one", "two"), ("a book",)),
        Facts("facts", (Fact("cost", "Cost", 5, Holds.MONEY), Fact("name", "Name", "Maple"))),
        Verbatim("As it stands", "  one\n    two"),
        Paragraph("Under it.", "A heading"),
        Verbatim("", "three"),
        Chart("A chart", ChartKind.DAYS, Holds.COUNT, (Mark("bones", 3),), "Three bones."),
    )
    assert _body(*blocks) == (
        "--- paper-1 plain hell / h1: a title / caption: Things / tr: Done | Name | Got | Weight / "
        "tr: [ ] | a thing | | 1.2 kg / tr: [ ] / tr: together | | 1.2 kg / p: A note. / p: Say this now. / h2: Mind / "
        "li: one / li: two / p: Sources: a book. / dt: Cost / dd: 5.00 EUR / dt: Name / dd: Maple / h2: As it stands / "
        "pre: one two / h2: A heading / p: Under it. / pre: three / "
        "figcaption: A chart / svg: A chart | Three bones. | | bones | bones | 3 / p: Three bones. /"
    )


@pytest.mark.parametrize("name", FILLED)
def test_a_name_is_read_back_as_it_stands_wherever_it_is(name: str) -> None:
    meant = _plain(one_line(name)).replace("`", "")
    column = (Column("a", name),)
    page = html(
        [a_document(Paragraph(name), Table("t", name, column, ((name,),)), Points("p", name, (name,)), title=name)]
    )
    lines = [_plain(line.partition(": ")[2]) for line in outline(page).split("\n")]
    assert lines.count(meant.strip("| ")) + lines.count(_plain(one_line(name)).strip("| ")) >= 6
    assert not re.search(r"<script>(?!\n\"use strict\")|<img|<a href=\"http|onerror=", page.partition("<body>")[2])


def test_attributes_hold_names_as_text() -> None:
    page = html([a_document(TABLE)])
    told = [unescape(one) for one in re.findall(r'aria-label="([^"]*)"', page)]
    assert len(told) == len(TABLE.rows)
    assert any("<script>alert(1)</script>" in one for one in told)
    assert 'quote " and comma, here' in " ".join(told)


def test_style_sheet_and_script_are_let_through_by_their_hashes_and_nothing_else_is() -> None:
    page = html(HELL)
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL)
    assert style
    script = re.search(r"<script>(.*?)</script>", page, re.DOTALL)
    assert script
    digest, of_script = (
        base64.b64encode(hashlib.sha256(source.encode()).digest()).decode() for source in (style[1], script[1])
    )
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', page)
    assert policy
    rules = unescape(policy[1]).split("; ")
    assert rules == [
        "default-src 'none'",
        f"style-src 'sha256-{digest}'",
        f"script-src 'sha256-{of_script}'",
        "base-uri 'none'",
        "form-action 'none'",
    ]
    assert page.count("<script") == 1
    assert not re.search(r"@import|url\(|@font-face", style[1])
    assert page.count("<style") == 1
    assert " style=" not in page


def test_a_title_cannot_leave_the_style_sheet() -> None:
    page = html([a_document(title='a"; } </style><script>alert(1)</script>')])
    assert page.count("</style>") == 1
    assert css_text('a b\u00e9"\\') == "a b\\e9 \\22 \\5c "


def test_words_that_are_quoted_are_set_apart_after_escaping() -> None:
    assert sentence_html("put `<b>` there") == "put <i>&lt;b&gt;</i> there"
    assert sentence_html("1 kg of 2 packs") == "1\u00a0kg of 2\u00a0packs"
    assert sentence_html("y" * 30) == "y" * 12 + "<wbr>" + "y" * 12 + "<wbr>" + "y" * 6
    assert "<wbr>\u0301" not in sentence_html("e\u0301" * 20 + "x" + "e\u0301" * 20)


def test_lengths_are_written_to_a_hundredth() -> None:
    assert [length_text(one) for one in (Fraction(0), Fraction(-1, 3), Fraction(5, 2), 7)] == ["0", "-0.33", "2.5", "7"]


def test_no_title_of_a_table_is_the_one_over_it() -> None:
    bare = Table("t", "", (Column("a", "A"),), (("x",),))
    assert "caption: Mind" in _body(Points("p", "Mind", ("one",)), bare)
    assert "caption: a title" in _body(bare)


def test_a_page_of_nothing_is_a_page() -> None:
    assert html([]).startswith("<!doctype html>")


@pytest.mark.slow
def test_a_page_is_the_same_every_time() -> None:
    assert html(HELL) == html(HELL)
