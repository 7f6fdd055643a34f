"""The help: topics, commands, rules and findings by their names, in the terminal and as a page; commands by stage.

**Source:** the command's own help; the fields of a scenario are those of its JSON Schema; no outside source.
"""

import re
import sys
from pathlib import Path

import pytest

from raworder.cli import STAGES, cli
from raworder.reading.form import scenario_schema
from raworder.reading.help_pages import TOPICS, read_slugs, read_topic
from raworder.reading.patterns import PATTERNS
from raworder.trade.labels import SHEETS
from raworder.trade.rulebook import RULES
from tests.commands.running import command, on_a_terminal, told

SHOWN = {name for name, one in cli.commands.items() if not one.hidden}


def test_the_help_lists_every_topic_in_the_order_a_beginner_needs_them() -> None:
    ended = told("help")
    assert (ended.code, ended.stderr) == (0, "")
    assert re.findall(r"^([a-z]+)   +\S", ended.stdout, re.MULTILINE) == list(TOPICS)


@pytest.mark.parametrize("name", TOPICS)
def test_a_topic_is_shown_from_its_title_to_its_last_words(name: str) -> None:
    ended = told("help", name)
    topic = read_topic(name, lambda _: ())
    assert (ended.code, ended.stderr) == (0, "")
    assert ended.stdout.startswith(f"{topic.title}\n")
    assert topic.says in " ".join(ended.stdout.split())
    assert "<!--" not in ended.stdout
    assert "```" not in ended.stdout


@pytest.mark.parametrize("name", TOPICS)
def test_a_topic_is_the_same_each_time_without_codes_for_colour_in_a_pipe(name: str) -> None:
    first, second = told("help", name).stdout, told("help", name).stdout
    assert first == second
    assert "\x1b" not in first


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="it has no pty")
@pytest.mark.parametrize("name", TOPICS)
def test_a_topic_fits_a_terminal_of_80_columns_and_obeys_no_color(name: str) -> None:
    variables = {"COLUMNS": "80", "TERM": "xterm", "NO_COLOR": "1"}
    shown = on_a_terminal(*command("help", name), variables=variables)
    assert [line for line in shown.splitlines() if len(line) > 80] == []
    assert "\x1b" not in shown


def test_every_field_of_a_scenario_is_in_its_topic() -> None:
    shown = " ".join(told("help", "scenario").stdout.split())
    schema = scenario_schema()
    fields = {name for form in (schema, *schema["$defs"].values()) for name in form["properties"]}
    assert len(fields) > 90
    assert [one for one in sorted(fields) if f"`{one}`" not in shown] == []


def test_every_pattern_has_its_ranges_in_the_topic_of_the_scenario() -> None:
    lines = [re.split(" {2,}", line) for line in told("help", "scenario").stdout.splitlines()]
    heads = next(line for line in lines if line[0] == "Part")
    rows = {line[0]: line for line in lines if line[0] in {"muscle", "bone", "liver", "berries", "vegetables"}}
    assert heads[1:] == list(PATTERNS)
    assert rows["muscle"][1:] == ["76 to 84 %", "66 to 74 %"]
    assert rows["berries"][1:] == ["none", "2 to 3 %"]


def test_every_sheet_of_labels_is_in_the_topic_of_papers() -> None:
    shown = told("help", "papers").stdout
    assert [key for key in SHEETS if key not in shown] == []


@pytest.mark.parametrize("name", sorted(SHOWN))
def test_the_help_of_a_command_is_what_the_command_says_of_itself(name: str) -> None:
    assert told("help", name) == told(name, "--help")


@pytest.mark.parametrize("word", ["rules", "part_share", "no-unit"])
def test_the_help_is_written_as_a_page(word: str, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    ended = told("help", word, "--html", page)
    text = page.read_text(encoding="utf-8")
    assert (ended.code, ended.stdout) == (0, told("help", word).stdout)
    assert text.startswith("<!doctype html>")
    assert f">{ended.stdout.splitlines()[0]}</h1>" in text
    with pytest.raises(FileExistsError, match="--overwrite"):
        told("help", word, "--html", page)
    assert told("help", word, "--html", page, "--overwrite").code == 0
    assert page.read_text(encoding="utf-8") == text


def test_the_help_of_a_command_makes_no_page(tmp_path: Path) -> None:
    ended = told("help", "plan", "--html", tmp_path / "page.html")
    assert (ended.code, ended.stdout) == (2, "")
    assert not (tmp_path / "page.html").exists()


@pytest.mark.parametrize(
    ("word", "near"),
    [
        ("countre", "`counter`"),
        ("part-share", "`part_share`"),
        ("no-unti", "`no-unit`"),
        ("potrion", "`portion`"),
        ("zzzz", "`raworder help` lists the topics"),
    ],
)
def test_a_wrong_word_is_told_in_one_line_with_what_is_near(word: str, near: str) -> None:
    ended = told("help", word)
    assert (ended.code, ended.stdout) == (2, "")
    assert len(ended.stderr.splitlines()) == 1
    assert f"`{word}`" in ended.stderr
    assert near in ended.stderr


@pytest.mark.parametrize("words", [(), ("cap",), ("no-unit",), ("counter",)])
def test_the_name_that_the_help_had_before_still_works_and_is_hidden(words: tuple[str, ...]) -> None:
    assert told("explain", *words) == told("help", *words)
    assert "explain" not in told("--help").stdout


def test_the_help_knows_a_word_in_any_letters() -> None:
    assert told("help", "Counter") == told("help", "counter")
    assert told("help", "NO-UNIT") == told("help", "no-unit")


def test_no_word_of_the_help_means_two_things() -> None:
    words = [*TOPICS, *SHOWN, *(rule.key for rule in RULES), *read_slugs()]
    assert sorted(words) == sorted(set(words))


def test_every_command_stands_in_one_stage_of_the_job_and_is_listed_there() -> None:
    listed = [name for names in STAGES.values() for name in names]
    assert sorted(listed) == sorted(SHOWN)
    lines = told("--help").stdout.split("Options:", 1)[1].splitlines()
    assert [line.split()[0] for line in lines if line.startswith("  ") and "-" not in line.split()[0]] == listed
    assert [line.rstrip(":") for line in lines if line.endswith(":")] == list(STAGES)


@pytest.mark.parametrize(
    ("name", "says"), [(name, says) for names in STAGES.values() for name, (_, says) in names.items()]
)
def test_the_line_that_the_list_has_of_a_command_is_the_first_sentence_of_its_help(name: str, says: str) -> None:
    command = cli.commands[name]
    assert command.name == name
    assert command.get_short_help_str(1000) == says
