"""`help` and what else can be looked up: commands, rules and findings; cuts; the schema; the examples."""

import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

import click

from raworder.commands import console
from raworder.commands.console import Exit, Outputs
from raworder.commands.desk import JSON, replaces_files, takes_format

if TYPE_CHECKING:
    from raworder.trade.document import Block, Document


class NoSuchWordError(click.ClickException):
    """A word that the help does not know."""

    exit_code = Exit.REFUSED


@click.command("help")
@click.argument("word", default="")
@takes_format("html")
@replaces_files
@click.pass_context
def show_help(context: click.Context, word: str, html: Path | None, overwrite: bool) -> None:
    """Read about a topic, command, rule or finding.

    Without a WORD, the topics are listed.
    """
    commands = _commands_of(context)
    if word.casefold() in _known_words(commands):
        word = word.casefold()
    if word in commands:
        if html:
            raise click.UsageError("the help of a command makes no page; name a topic, a rule or a finding")
        console.say(
            commands[word].get_help(click.Context(commands[word], info_name=word, parent=context.parent)) + "\n"
        )
        return
    page = _page_about(word, commands)
    console.save_papers([page], Outputs(files={"html": html} if html else {}, overwrite=overwrite))
    console.print_papers([page])


def _known_words(commands: Iterable[str]) -> tuple[str, ...]:
    """Every topic, rule, finding and command that the help knows; all are in small letters."""
    from raworder.reading.help_pages import TOPICS, read_slugs
    from raworder.trade.rulebook import RULES

    return (*TOPICS, *(rule.key for rule in RULES), *read_slugs(), *commands)


def _commands_of(context: click.Context) -> Mapping[str, click.Command]:
    """The commands of the program that are not hidden."""
    group = context.find_root().command
    commands = group.commands if isinstance(group, click.Group) else {}
    return {name: command for name, command in commands.items() if not command.hidden}


def _page_about(word: str, commands: Mapping[str, click.Command]) -> "Document":
    """The help page about a word; without one, the list of topics; an unknown word is an error with the nearest."""
    from raworder.reading.help_pages import TOPICS, read_slugs, read_topic
    from raworder.reporting.looked_up import explain_finding, explain_rule, help_page, list_help_topics
    from raworder.trade.rulebook import RULES

    rules, slugs = {rule.key: rule for rule in RULES}, read_slugs()
    if not word:
        return list_help_topics(read_topic(name, lambda _: ()) for name in TOPICS)
    if word in TOPICS:
        return help_page(read_topic(word, lambda name: TABLES[name]()))
    if word in rules:
        return explain_rule(rules[word])
    if word in slugs:
        slug = slugs[word]
        return explain_finding(word, slug.says, slug.wrong, slug.right)
    raise NoSuchWordError(_unknown_word(word, _known_words(commands)))


def _unknown_word(word: str, known: Sequence[str]) -> str:
    """The message about a word that the help does not know."""
    from raworder.reading.names import closest, join_in_backticks

    near = closest(word, known)
    remedy = f"did you mean {join_in_backticks(near)}?" if near else "`raworder help` lists the topics"
    return f"no topic, command, rule or finding is called `{word}`; {remedy}"


def _rules() -> "Sequence[Block]":
    """The rules of the rulebook."""
    from raworder.reporting.looked_up import rules_table
    from raworder.trade.rulebook import RULES

    return (rules_table(RULES),)


def _findings() -> "Sequence[Block]":
    """The findings that reading a scenario can give."""
    from raworder.reading.help_pages import read_slugs
    from raworder.reporting.looked_up import findings_table

    return (findings_table([(slug.name, slug.says) for slug in read_slugs().values()]),)


def _fields() -> "Sequence[Block]":
    """The fields of the scenario file."""
    from raworder.reading.form import form_fields
    from raworder.reporting.looked_up import fields_tables

    return tuple(fields_tables(form_fields()))


def _patterns() -> "Sequence[Block]":
    """The patterns of targets."""
    from raworder.reading.patterns import PATTERNS
    from raworder.reporting.looked_up import patterns_table

    return (patterns_table(PATTERNS),)


def _caps() -> "Sequence[Block]":
    """The caps that hold unless a scenario says otherwise."""
    from raworder.reading.patterns import ALWAYS_CAPPED, CAPPED_WHERE_OFFERED
    from raworder.reporting.looked_up import caps_table

    return (caps_table(ALWAYS_CAPPED, CAPPED_WHERE_OFFERED),)


def _sheets() -> "Sequence[Block]":
    """The sheets of labels."""
    from raworder.reporting.looked_up import sheets_table
    from raworder.trade.labels import SHEETS

    return (sheets_table(SHEETS),)


def _papers() -> "Sequence[Block]":
    """The papers that commands print."""
    from raworder.reporting.looked_up import papers_table

    return (papers_table(),)


def _formats() -> "Sequence[Block]":
    """The formats that papers are written in."""
    from raworder.reporting.looked_up import formats_table

    return (formats_table(),)


TABLES: Mapping[str, Callable[[], "Sequence[Block]"]] = MappingProxyType(
    {
        "rules": _rules,
        "findings": _findings,
        "fields": _fields,
        "patterns": _patterns,
        "caps": _caps,
        "sheets": _sheets,
        "papers": _papers,
        "formats": _formats,
    }
)
"""The tables that are made when a topic is shown, by the word of the comment whose place they take."""


@click.command()
@click.argument("word", default="")
@takes_format(JSON)
def cuts(word: str, as_json: bool) -> None:
    """Look up a cut and the sources of its figures.

    WORD is looked for in names, species and kinds; few cuts are shown with the source of each figure.
    """
    from raworder.reading.bone import bone_calcium_of
    from raworder.reading.reference import look_up_cuts
    from raworder.reporting.looked_up import list_cuts

    matches = look_up_cuts(word)
    code = Exit.PLAN if matches else Exit.NO_PLAN
    paper = list_cuts(matches, lambda cut: bone_calcium_of(cut, ()), word)
    if as_json:
        console.print_json([paper], code.name.lower())
    else:
        console.print_papers([paper])
    sys.exit(code)


@click.command()
def schema() -> None:
    """Print the JSON Schema of a scenario, for editors."""
    from raworder.reading.form import scenario_schema_text

    console.say(scenario_schema_text())


@click.command()
def scenarios() -> None:
    """List the example scenarios.

    They come with raworder, to try or to copy; all their data is invented.
    """
    from raworder.reading.reference import scenario_paths

    for path in scenario_paths():
        console.say_words(f"{_shortest_path(path)}\n")


def _shortest_path(path: Path) -> Path:
    """The path relative to the current folder, if it lies in it."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path
