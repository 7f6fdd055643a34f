"""What the README, the help and the contributor's guide say in tables is what the code says."""

import re
import tomllib
from pathlib import Path

import click
import pytest

from raworder.cli import STAGES, cli
from raworder.commands.desk import MOST_FINDINGS, Exit
from raworder.commands.lookup import TABLES
from raworder.reading.help_pages import TOPICS, read_topic
from raworder.reading.patterns import ALWAYS_CAPPED, CAPPED_WHERE_OFFERED, OWN_CHOICE, PRACTICE
from raworder.reading.price_lists import COLUMNS
from raworder.reading.reference import scenario_paths
from raworder.reading.sense import OLD_LIST_DAYS
from raworder.trade.document import Points, Table
from raworder.trade.labels import SMALLEST_MM, USUAL_SHEETS
from tests.docs.pages import DEVELOPERS, PAGES, README, ROOT, TOPIC_PAGES, rewrite_table, table_after

TOPIC_PAGES_BY_NAME = {page.stem: page for page in TOPIC_PAGES}
COMMANDS = "<!-- commands: written by tests/docs -->"
TOPICS_LISTED = "<!-- topics: written by tests/docs -->"


@pytest.mark.slow
def test_the_commands_table_is_what_the_program_has(request: pytest.FixtureRequest) -> None:
    stages = [(stage if not place else "", name) for stage, names in STAGES.items() for place, name in enumerate(names)]
    rows = [(stage, f"`{name}`", cli.commands[name].get_short_help_str(100)) for stage, name in stages]
    table = rewrite_table(README, COMMANDS, ("stage", "command", "does"), rows)
    if request.config.getoption("--write-golden"):
        README.write_text(table, encoding="utf-8")
    assert README.read_text(encoding="utf-8") == table


@pytest.mark.slow
def test_the_topics_table_is_what_the_help_lists(request: pytest.FixtureRequest) -> None:
    topics = [read_topic(name, lambda _: ()) for name in TOPICS]
    rows = [(f"`{topic.name}`", topic.says) for topic in topics]
    table = rewrite_table(README, TOPICS_LISTED, ("topic", "what it tells"), rows)
    if request.config.getoption("--write-golden"):
        README.write_text(table, encoding="utf-8")
    assert README.read_text(encoding="utf-8") == table


def test_the_cautions_of_the_readme_are_those_of_the_help() -> None:
    cautions = read_topic("cautions", lambda _: ()).blocks[-1]
    section = README.read_text(encoding="utf-8").split("## Cautions\n\n", 1)[1].split("\n\n## ", 1)[0]
    assert isinstance(cautions, Points)
    assert [" ".join(item.split()) for item in section.removeprefix("- ").split("\n- ")] == list(cautions.items)


def test_the_sheets_that_are_usual_and_the_smallest_label_are_told() -> None:
    text = words_of("papers")
    assert f"`{USUAL_SHEETS['kg']}`, or `{USUAL_SHEETS['lb']}` where weights are in pounds" in text
    assert f"at least {SMALLEST_MM[0]} by {SMALLEST_MM[1]} mm" in text


@pytest.mark.parametrize("page", [README, TOPIC_PAGES_BY_NAME["scenario"]], ids=lambda page: page.name)
def test_the_smallest_scenario_that_is_shown_is_the_shipped_one(page: Path) -> None:
    shown = re.search(r"```yaml\n(currency.*?)```", page.read_text(encoding="utf-8"), re.DOTALL)
    shipped = (ROOT / "scenarios" / "smallest.yaml").read_text(encoding="utf-8")
    assert shown
    assert shown[1] == shipped.split("\n", 1)[1]
    assert len(shown[1].strip().split("\n")) < 20


def test_the_usual_caps_are_told_with_the_word_that_sets_them_and_where_they_come_from() -> None:
    (table,) = TABLES["caps"]()
    assert isinstance(table, Table)
    assert [(str(row[0]).split("`")[1], row[1], row[3]) for row in table.rows] == [
        ("fat", "15 %", PRACTICE),
        ("heart", "10 %", PRACTICE),
        ("lung", "10 %", PRACTICE),
        ("tripe", "25 %", PRACTICE),
        ("egg", "10 %", PRACTICE),
        ("thiaminase", "10 %", PRACTICE),
        ("gizzard", "15 %", OWN_CHOICE),
        ("tongue", "15 %", OWN_CHOICE),
    ]
    assert len(table.rows) == len(ALWAYS_CAPPED) + len(CAPPED_WHERE_OFFERED)
    assert "fish and shellfish that destroy thiamine" in str(table.rows[5][0])
    assert "<!-- caps -->" in words_of("scenario")


@pytest.mark.parametrize("field", ["other_food", "vet_asked_for_less", "comes_frozen", "hold"])
def test_what_guards_a_dog_is_told_with_the_field_that_changes_it(field: str) -> None:
    guards = words_of("scenario").split("## How much a dog gets", 1)[1].split("## Fields", 1)[0]
    assert f"**`{field}" in guards


def test_a_list_that_is_old_is_told() -> None:
    assert f"older than {OLD_LIST_DAYS} days" in words_of("lists")


def test_every_example_that_is_shipped_is_told() -> None:
    text = TOPIC_PAGES_BY_NAME["begin"].read_text(encoding="utf-8")
    assert {path.name for path in scenario_paths()} == set(re.findall(r"^\| `(\w+\.yaml)` \|", text, re.MULTILINE))


def test_every_column_of_a_price_list_is_told() -> None:
    section = words_of("lists").split("## Columns", 1)[1].split("## ", 1)[0]
    assert [name for name in COLUMNS if f"`{name}`" not in section] == []


def test_every_paper_for_the_counter_is_told() -> None:
    (option,) = (one for one in cli.commands["portion"].params if one.name == "wanted")
    assert isinstance(option.type, click.Choice)
    rows = re.findall(
        r"^\| [\w ]+ \| `(\w+)` \|", TOPIC_PAGES_BY_NAME["counter"].read_text(encoding="utf-8"), re.MULTILINE
    )
    assert tuple(rows) == tuple(option.type.choices)


def test_every_exit_code_is_told() -> None:
    rows = table_after(README, "Exit codes, for scripts:\n")
    assert [int(code) for code, _ in rows] == [code.value for code in Exit]


def test_as_many_findings_are_shown_as_is_told() -> None:
    assert f"At most {MOST_FINDINGS} are shown" in words_of("begin")


def test_every_dependency_has_its_reason() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"].values()
    wanted = {
        re.split(r"[<>=]", one)[0] for one in (*project["dependencies"], *(one for extra in extras for one in extra))
    }
    told = {row[0].strip("`") for row in table_after(DEVELOPERS, "<!-- dependencies: checked by tests/docs -->")}
    assert told == wanted


def test_links_lead_to_files_that_are_there() -> None:
    for page in PAGES:
        for target in re.findall(r"\]\(([^)#]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), target


def words_of(topic: str) -> str:
    """The words of a topic's file, one space apart."""
    return " ".join(TOPIC_PAGES_BY_NAME[topic].read_text(encoding="utf-8").split())
