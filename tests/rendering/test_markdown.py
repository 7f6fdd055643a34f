"""Markdown is read back by an implementation of CommonMark as the words that were meant."""

from html.parser import HTMLParser

import pytest
from markdown_it import MarkdownIt

from raworder.rendering.clean import one_line
from raworder.rendering.markdown import markdown
from raworder.trade.document import Column, Paragraph, Points, Table, Verbatim
from tests.rendering.hell import HELL, NAMES, a_document
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.worked_out import papers

PAPERS = papers(HOUSEHOLD, HOUSEHOLD_PLAN)
READER = MarkdownIt("commonmark").enable("table").enable("strikethrough")
"""Source of the outside check: markdown-it-py, an implementation of CommonMark and of tables."""


class Words(HTMLParser):
    """The text of each element that was asked for, and all tags seen."""

    def __init__(self, tag: str) -> None:
        super().__init__()
        self.wanted, self.texts, self.tags, self.inside = tag, [""][:0], {""}, False

    def handle_starttag(self, tag: str, _attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        if tag == self.wanted:
            self.texts.append("")
            self.inside = True

    def handle_endtag(self, tag: str) -> None:
        self.inside = self.inside and tag != self.wanted

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.texts[-1] += data


def shown(text: str, tag: str) -> Words:
    words = Words(tag)
    words.feed(READER.render(text))
    return words


FILLED = [name for name in NAMES if one_line(name)]


@pytest.mark.parametrize("name", FILLED)
def test_a_paragraph_is_read_back_as_it_stands(name: str) -> None:
    words = shown(markdown([a_document(Paragraph(name))]), "p")
    assert words.texts == [one_line(name)]
    assert words.tags <= {"", "h1", "p"}


def test_a_paragraph_stands_under_its_title_and_what_has_none_begins_at_once() -> None:
    text = markdown([a_document(Paragraph("Some words.", "A heading"), Verbatim("", "as it stands"))])
    assert text.split("\n\n")[1:] == ["## A heading", "Some words.", "    as it stands\n"]


@pytest.mark.parametrize("name", FILLED)
def test_a_cell_is_read_back_as_it_stands(name: str) -> None:
    table = Table("t", "", (Column("a", "A"), Column("b", "B")), ((name, "next"),), ((name, None),))
    words = shown(markdown([a_document(table)]), "td")
    assert words.texts == [one_line(name), "next", one_line(name), ""]


@pytest.mark.parametrize("name", FILLED)
def test_a_point_is_read_back_as_it_stands(name: str) -> None:
    assert shown(markdown([a_document(Points("p", "", (name,)))]), "li").texts == [one_line(name)]


@pytest.mark.parametrize("name", FILLED)
def test_a_title_is_read_back_as_it_stands(name: str) -> None:
    assert shown(markdown([a_document(title=name)]), "h1").texts == [one_line(name)]


@pytest.mark.slow
def test_nothing_becomes_markup_that_was_not_meant() -> None:
    words = shown(markdown(HELL), "td")
    assert not words.tags & {"a", "img", "script", "em", "s", "blockquote", "hr"}
    assert words.tags >= {"table", "td", "th", "strong", "h1", "h2", "li"}


def test_the_papers_show_their_numbers() -> None:
    cells = shown(markdown(PAPERS), "td").texts
    for number in ("39.44", "6.684 kg by weight", "64.53", "27.8 %", "20 Dec 2026"):
        assert number in cells


def test_hidden_columns_are_not_shown() -> None:
    assert "Hidden" not in markdown(HELL)


def test_numbers_are_not_escaped_without_need() -> None:
    assert "6.684 kg by weight" in markdown(PAPERS)
