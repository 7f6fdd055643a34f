"""One table of papers and one of formats: what is made, printed, laid out, written and typed is just what they say.

**Source:** the house's own register; no outside source.
"""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import click
import pytest

import raworder
from raworder.cli import cli
from raworder.commands.console import WRITERS
from raworder.commands.desk import FILES, JSON
from raworder.rendering import files_to_fill as receipt_files
from raworder.reporting.all_papers import BAG_PAPERS, ORDER_PAPERS, PAGE_ONLY_PAPERS
from raworder.reporting.bag_book import bag_book
from raworder.trade.outputs import FORMATS, IN_SPREADSHEETS, ON_PAGE, PAPERS, Content, Format, Paper, printed_by
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN
from tests.speed.studies import STUDIES
from tests.worked_out import worked_out

KEYS = [paper.key for paper in PAPERS]
OF_A_PLAN = (*printed_by("plan"), *printed_by("portion"))
BY_STUDIES = {"settle", "prices_to_ask", "what_instead", "household"}
"""Papers of studies that stand with those of a plan on the page or in spreadsheets."""
ALWAYS_PLAIN = {"message", "check", "cuts", "help"}
"""Commands whose papers are for the terminal: words to be pasted, and what is looked up."""
NOT_TIMED = {
    "reasons": "it begins where there is no order",
    "gaps": "it needs a profile, which the scenarios that are timed have not",
    "changes": "it needs a second list, and plans twice at most",
}
"""Commands that ask for many plans and are not among those that are timed, each with the reason."""
PRINTS = sorted({paper.command for paper in PAPERS if paper.command} - ALWAYS_PLAIN)


def test_no_key_stands_twice_in_the_table_of_papers() -> None:
    assert len(set(KEYS)) == len(KEYS)


def test_every_paper_that_is_made_is_in_the_table_and_every_paper_of_the_table_is_made() -> None:
    assert {key for key, _ in _made()} == set(KEYS)


@pytest.mark.parametrize("paper", [paper for paper in PAPERS if paper.title], ids=lambda paper: paper.key)
def test_a_paper_is_called_as_the_table_says(paper: Paper) -> None:
    titles = [title for key, title in _made() if key == paper.key and title]
    assert any(title == paper.title or title.startswith((f"{paper.title}:", f"{paper.title},")) for title in titles)


def test_the_papers_of_a_plan_have_just_one_maker_each() -> None:
    assert (*ORDER_PAPERS, *BAG_PAPERS) == OF_A_PLAN


@pytest.mark.parametrize("key", [key for key in (*ORDER_PAPERS, *BAG_PAPERS) if key not in {"batch_cards", "kennels"}])
def test_a_maker_makes_the_paper_of_its_key(key: str) -> None:
    book = bag_book(worked_out(HOUSE, HOUSE_PLAN))
    made = BAG_PAPERS[key](book) if key in BAG_PAPERS else ORDER_PAPERS[key](book.scenario, book.plan)
    assert made is not None
    assert made.key == key


@pytest.mark.parametrize("order", [ON_PAGE, IN_SPREADSHEETS], ids=["page", "spreadsheets"])
def test_every_paper_of_a_plan_is_on_the_page_and_in_the_spreadsheets_once(order: tuple[str, ...]) -> None:
    assert len(set(order)) == len(order)
    assert set(OF_A_PLAN) <= set(order)
    assert set(order) <= {*OF_A_PLAN, *PAGE_ONLY_PAPERS, *BY_STUDIES}
    assert set(order) <= set(KEYS)


def test_what_is_laid_out_for_the_page_stands_on_it() -> None:
    assert set(PAGE_ONLY_PAPERS) <= set(ON_PAGE)


def test_sheets_are_named_by_the_keys_of_tables_that_are_made() -> None:
    tables = {_text(call.args[0]) for call in _calls("Table") if call.args}
    named = {table for paper in PAPERS for table, _ in paper.sheets}
    assert len(named) > 10
    assert named - tables == set()


@pytest.mark.parametrize("paper", [paper for paper in PAPERS if paper.command], ids=lambda paper: paper.key)
def test_a_paper_is_printed_by_a_command_that_there_is(paper: Paper) -> None:
    assert paper.command in cli.commands
    assert not paper.with_plan or _option("plan", paper.with_plan).is_flag


@pytest.mark.parametrize("command", ["plan", "portion"])
def test_single_papers_are_chosen_from_the_table(command: str) -> None:
    choices = _option(command, "--paper").type
    assert isinstance(choices, click.Choice)
    assert tuple(choices.choices) == printed_by(command)


@pytest.mark.parametrize("command", PRINTS)
@pytest.mark.parametrize("key", [JSON, *FILES])
def test_every_command_that_prints_papers_has_every_format_by_its_option(command: str, key: str) -> None:
    option = _option(command, FORMATS[key].option)
    assert option.help == FORMATS[key].help
    assert option.is_flag == (FORMATS[key].content is Content.PRINTED)


def test_only_commands_that_print_papers_of_the_table_write_files_of_them() -> None:
    written = {FORMATS[key].option for key in FILES}
    writes = (name for name, command in cli.commands.items() if written & set(_options(command)) and not command.hidden)
    assert sorted(writes) == sorted((*PRINTS, "help")), "the help makes a page, and nothing else of a paper"


@pytest.mark.parametrize("form", [one for one in FORMATS.values() if one.command], ids=lambda one: one.key)
def test_a_format_of_one_command_is_an_option_of_that_alone(form: Format) -> None:
    assert _option(form.command, form.option).help == form.help
    assert [name for name, command in cli.commands.items() if form.option in _options(command)] == [form.command]


def test_formats_have_their_keys_and_those_of_files_their_writers() -> None:
    assert [one.key for one in FORMATS.values()] == list(FORMATS)
    assert tuple(WRITERS) == FILES
    assert set(FORMATS) == {JSON, *FILES, *(key for key, one in FORMATS.items() if one.command)}


def test_receipts_are_written_by_the_endings_of_the_table() -> None:
    assert tuple(receipt_files.WRITERS) == FORMATS["blank"].suffixes


def test_every_study_is_timed_or_says_why_not() -> None:
    asks = {name for name, command in cli.commands.items() if "--workers" in _options(command)}
    assert asks - set(NOT_TIMED) == set(STUDIES)


def _option(command: str, name: str) -> click.Option:
    """An option of a command."""
    return _options(cli.commands[command])[name]


def _options(command: click.Command) -> dict[str, click.Option]:
    """The options of a command by what is typed for them."""
    return {name: one for one in command.params if isinstance(one, click.Option) for name in one.opts}


def _made() -> Iterator[tuple[str, str]]:
    """Key and title of every paper that the code makes; of a title that holds a name what stands before it."""
    for name, key_at in (("paper", 1), ("Document", 0)):
        for call in _calls(name):
            if len(call.args) > key_at + 1 and (key := _text(call.args[key_at])):
                yield key, _text(call.args[key_at + 1])


def _calls(name: str) -> Iterator[ast.Call]:
    """Calls of a function or class anywhere in the package."""
    return (call for call in _all_calls() if isinstance(call.func, ast.Name) and call.func.id == name)


@cache
def _all_calls() -> tuple[ast.Call, ...]:
    """Every call in the package."""
    paths = sorted(Path(raworder.__path__[0]).rglob("*.py"))
    nodes = (node for path in paths for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
    return tuple(node for node in nodes if isinstance(node, ast.Call))


def _text(node: ast.expr) -> str:
    """What is written there: a text, or the beginning of one that holds a name; nothing for all else."""
    first = node.values[0] if isinstance(node, ast.JoinedStr) else node
    return str(first.value) if isinstance(first, ast.Constant) else ""
