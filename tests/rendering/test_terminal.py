"""The terminal shows every word and number within its width, and interprets none."""

from dataclasses import replace
from decimal import Decimal

import pytest
from rich.cells import cell_len

from raworder.rendering.terminal import GLUE, terminal
from raworder.trade.document import Column, Fact, Facts, Holds, Paragraph, Table, Verbatim
from tests.rendering.hell import HELL, NAMES, a_document
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.worked_out import papers

PAPERS = papers(HOUSEHOLD, HOUSEHOLD_PLAN)
WIDTHS = (60, 80, 100, 120)


@pytest.mark.slow
@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("ascii_only", [False, True])
def test_no_line_is_wider_than_asked(width: int, ascii_only: bool) -> None:
    for documents in (PAPERS, HELL):
        text = terminal(documents, width=width, color=False, ascii_only=ascii_only)
        assert max(cell_len(line) for line in text.splitlines()) <= width


def test_a_paragraph_stands_under_its_title_and_what_has_none_begins_at_once() -> None:
    document = a_document(Paragraph("Some words.", "A heading"), Verbatim("", "as it stands"))
    assert terminal([document], width=80, color=False).split("\n")[2:] == [
        "", "A heading", "Some words.", "", "    as it stands", "",
    ]  # fmt: skip


@pytest.mark.parametrize("width", WIDTHS)
def test_no_number_is_cut_or_broken(width: int) -> None:
    text = terminal(PAPERS, width=width, color=False)
    for number in ("92.93", "39.44", "6.684 kg", "1.444 kg", "20 Dec 2026", "15.184 kg", "27.8 %", "36.82"):
        assert number in text
    assert "…" not in text


@pytest.mark.slow
@pytest.mark.parametrize("width", range(60, 101, 4))
def test_no_heading_is_cut(width: int) -> None:
    words = terminal(PAPERS, width=width, color=False).split()
    tables = [block for paper in PAPERS for block in paper.blocks if isinstance(block, Table) and block.shown]
    headings = {column.heading for table in tables for column in table.columns if column.shown}
    missing = [word for heading in headings for word in heading.split() if word not in words]
    assert not missing


@pytest.mark.parametrize("width", WIDTHS)
def test_what_to_ask_for_stays_on_one_line(width: int) -> None:
    text = terminal(PAPERS, width=width, color=False)
    assert "3 packs of 400 g" in text
    assert "6.684 kg by weight" in text


@pytest.mark.slow
def test_without_color_there_are_no_escape_codes() -> None:
    assert "\x1b" not in terminal(PAPERS, width=80, color=False)
    assert "\x1b" not in terminal(HELL, width=80, color=False)


@pytest.mark.slow
def test_color_only_adds_escape_codes() -> None:
    import re

    colored = terminal(PAPERS, width=80, color=True)
    assert "\x1b[" in colored
    plain = re.sub(r"\x1b\[[0-9;]*m", "", colored)
    assert [line.rstrip() for line in plain.splitlines()] == terminal(PAPERS, width=80, color=False).splitlines()


@pytest.mark.slow
def test_ascii_only_holds_nothing_else() -> None:
    assert terminal(PAPERS, width=80, color=False, ascii_only=True).isascii()
    assert terminal(HELL, width=80, color=False, ascii_only=True).isascii()


def test_markup_is_shown_as_it_stands() -> None:
    text = terminal([a_document(Paragraph("[red]lamb[/red] :dog: [bold"))], width=80, color=True)
    assert "[red]lamb[/red] :dog: [bold" in text


def test_no_control_or_direction_character_comes_through() -> None:
    text = terminal(HELL, width=100, color=False)
    assert not set(text) & {"\x1b", "\x07", "\x00", "\x9b", "\u202e", "\u2028", "\ud800", "\u200b", GLUE}


def test_numbers_stand_to_the_right() -> None:
    table = Table("t", "", (Column("cut", "Cut"), Column("g", "Grams", Holds.GRAMS)), (("a", 5), ("b", 12_345)))
    *_, first, second, end = terminal([a_document(table)], width=80, color=False).split("\n")
    assert (first, second, end) == ("a           5 g", "b     12.345 kg", "")


SUPPLIERS = Table(
    "t",
    "",
    (Column("name", "Supplier"), Column("more", "More", Holds.MONEY), Column("remark", "Remark")),
    (("Hollow Lane", Decimal(1), "cannot send pork before the end of the month"), ("Fenwick", Decimal(2), None)),
    (("together", Decimal(3), None),),
    tick=True,
)


def lines_of(table: Table, width: int) -> list[str]:
    """The lines of a table."""
    return terminal([a_document(table)], width=width, color=False).splitlines()[3:]


def test_the_last_words_go_under_their_row_where_they_have_no_room_beside() -> None:
    assert lines_of(SUPPLIERS, 34) == [
        "      Supplier      More",
        "────────────────────────",
        "[ ]   Hollow Lane   1.00",
        "    Remark: cannot send pork",
        "    before the end of the month",
        "[ ]   Fenwick       2.00",
        "────────────────────────",
        "      together      3.00",
    ]  # fmt: skip


def test_names_break_between_words_before_a_row_becomes_a_block() -> None:
    longer = replace(SUPPLIERS, rows=(("Hollow Lane Butcher", Decimal(1), None),), totals=())
    assert lines_of(longer, 24) == [
        "     Supplier      More",
        "───────────────────────",
        "[ ]  Hollow Lane   1.00",
        "     Butcher",
    ]
    assert lines_of(longer, 23)[:2] == ["[ ] Hollow Lane Butcher", "    More: 1.00"]
    assert lines_of(SUPPLIERS, 17) == [
        "[ ] Hollow Lane",
        "    More: 1.00",
        "    Remark:",
        "    cannot send",
        "    pork before",
        "    the end of",
        "    the month",
        "[ ] Fenwick",
        "    More: 2.00",
        "────────────",
        "together",
        "    More: 3.00",
    ]


def test_values_follow_their_labels_where_they_have_no_room_beside() -> None:
    facts = Facts("f", (Fact("where", "Where it is bought", "Hollow Lane"), Fact("days", "Days", 14, Holds.COUNT)))
    said = [terminal([a_document(facts)], width=width, color=False).splitlines()[3:] for width in (40, 28)]
    assert said == [
        ["Where it is bought  Hollow Lane", "Days                14"],
        ["Where it is bought: Hollow", "Lane", "Days: 14"],
    ]


@pytest.mark.slow
def test_hidden_columns_are_not_shown() -> None:
    assert "Hidden" not in terminal(HELL, width=120, color=False)
    assert "price_from_units" not in terminal(PAPERS, width=120, color=False)


def test_lines_to_tick_have_a_box() -> None:
    text = terminal(PAPERS, width=100, color=False)
    assert "[ ]   6.684 kg by weight   B-12 beef trim" in text


def test_every_word_of_a_name_is_shown_however_long() -> None:
    table = Table("t", "", (Column("a", "A"), Column("b", "B")), (("x" * 200, "y" * 90),))
    text = terminal([a_document(table)], width=60, color=False)
    assert text.count("x") == 200
    assert text.count("y") == 90


def test_the_same_documents_give_the_same_bytes_whatever_the_machine_says(monkeypatch: pytest.MonkeyPatch) -> None:
    first = terminal(PAPERS, width=80, color=False)
    for name, value in {"COLUMNS": "20", "FORCE_COLOR": "1", "NO_COLOR": "1", "TERM": "dumb"}.items():
        monkeypatch.setenv(name, value)
    assert terminal(PAPERS, width=80, color=False) == first


def test_a_document_without_blocks_shows_its_title() -> None:
    assert terminal([a_document()], width=10, color=False).startswith("a title\n══════════\n")
    assert terminal([], width=80, color=False) == ""
    assert len(NAMES) > 30
