"""What is looked up without a plan: rules and findings explained, cuts, the schema, the scenarios, a scenario checked.

**Source:** JSON Schema 2020-12, through the reference library jsonschema.
"""

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from raworder import __version__
from raworder.reading.help_pages import read_slugs
from raworder.reading.reference import read_cuts
from raworder.trade.rulebook import RULES, Rule
from tests.commands.running import OWNER, SCENARIOS, ran, told

SHIPPED = sorted(SCENARIOS.glob("*.yaml"))
SLUGS = read_slugs()


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.key)
def test_every_rule_is_explained_with_its_demand_its_maths_and_its_source(rule: Rule) -> None:
    ended = told("help", rule.key)
    said = " ".join(ended.stdout.split())
    assert ended.code == 0
    assert all(" ".join(words.split()) in said for words in (rule.key, rule.says, rule.maths, rule.source))


@pytest.mark.slow
@pytest.mark.parametrize("slug", sorted(SLUGS))
def test_every_finding_is_explained_with_a_wrong_and_a_right_example(slug: str) -> None:
    ended = told("help", slug)
    lines = {line.strip() for line in ended.stdout.splitlines()}
    examples = [line.strip() for text in (SLUGS[slug].wrong, SLUGS[slug].right) for line in text.strip().splitlines()]
    assert ended.code == 0
    assert slug in ended.stdout
    assert " ".join(SLUGS[slug].says.split()[:5]) in " ".join(ended.stdout.split())
    assert [line for line in examples if line and len(line) < 80 and line not in lines] == []


def test_all_keys_are_listed_and_none_means_two_things() -> None:
    listed = told("help", "rules").stdout + told("help", "findings").stdout
    assert [key for key in [*SLUGS, *(rule.key for rule in RULES)] if key not in listed] == []
    assert set(SLUGS).isdisjoint(rule.key for rule in RULES)


@pytest.mark.slow
def test_the_schema_is_json_schema_of_2020_12_and_takes_no_nonsense() -> None:
    schema = json.loads(told("schema").stdout)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(schema)
    assert not Draft202012Validator(schema).is_valid({"dogs": "many"})
    assert not Draft202012Validator(schema).is_valid([])


def test_cuts_are_found_by_a_word_of_their_name() -> None:
    known = {one.cut.name for one in read_cuts()}
    found = json.loads(told("cuts", "chicken neck", "--json").stdout)
    names = [row["cut"] for table in found["papers"][0]["blocks"] if "rows" in table for row in table["rows"]]
    assert "chicken neck" in names
    assert set(names) <= known


def test_a_cut_is_told_with_the_source_of_its_figures() -> None:
    said = " ".join(told("cuts", "chicken neck").stdout.split())
    neck = next(one for one in read_cuts() if one.cut.name == "chicken neck")
    assert f"{' '.join(neck.parts.source.split())} (seen)" in said


def test_a_cut_with_a_borrowed_analysis_says_so() -> None:
    assert "borrowed from SR28 05025, chicken heart" in " ".join(told("cuts", "duck heart").stdout.split())


@pytest.mark.slow
def test_all_cuts_are_listed_without_a_word() -> None:
    said = told("cuts").stdout
    assert [one.cut.name for one in read_cuts() if one.cut.name not in said] == []


def test_no_cut_found_ends_with_1() -> None:
    ended = told("cuts", "zebra")
    assert ended.code == 1
    assert "zebra" in ended.stdout


@pytest.mark.slow
def test_the_shipped_scenarios_are_listed_by_the_way_to_them(tmp_path: Path) -> None:
    listed = ran("scenarios", folder=tmp_path)
    assert listed.code == 0
    assert [Path(line) for line in listed.stdout.splitlines()] == SHIPPED
    from_here = ran("scenarios")
    assert from_here.stdout.splitlines() == [f"scenarios/{path.name}" for path in SHIPPED]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_checking_a_shipped_scenario_finds_nothing_and_solves_nothing(path: Path) -> None:
    ended = told("check", path)
    assert (ended.code, ended.stderr) == (0, "")
    assert "To pay" not in ended.stdout


def test_the_version_is_that_of_the_package() -> None:
    assert told("--version").stdout == f"raworder {__version__}\n"


@pytest.mark.parametrize("name", ["plan", "check", "cuts", "schema", "help", "scenarios"])
def test_every_command_has_its_help(name: str) -> None:
    ended = told(name, "--help")
    assert (ended.code, ended.stderr) == (0, "")
    assert ended.stdout.startswith(f"Usage: raworder {name}")
    assert name in told("-h").stdout


def test_a_check_says_what_was_read() -> None:
    assert "Two dogs, two butchers" in told("check", OWNER).stdout
