"""`raworder nourish` and `raworder gaps`, as a person uses them.

All names, prices and analyses are invented. **Source:** the commands' own help and the README; no outside source.
"""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from raworder.commands import console
from tests.commands.running import SCENARIOS, before_next, told

VALID = Path(__file__).resolve().parents[1] / "hostile" / "valid" / "nutrients.yaml"
VERDICTS = ("complete", "balanced", "adequate", "deficient", "safe")
RECALLED = "recalled, not checked against the original"


def paper_of(*words: str | Path) -> dict[str, Any]:
    """The one paper that a command prints, for programs."""
    ended = told(*words, "--json")
    assert ended.code == 0, ended.stderr
    (paper,) = json.loads(ended.stdout)["papers"]
    return dict(paper)


def rows_of(paper: dict[str, Any], key: str = "nutrients") -> list[dict[str, Any]]:
    """The rows of a table."""
    (table,) = [block for block in paper["blocks"] if block.get("key") == key]
    return list(table["rows"])


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The plan of the scenario, as it is saved."""
    file = tmp_path_factory.mktemp("saved") / "plan.json"
    file.write_text(told("plan", VALID, "--json").stdout, encoding="utf-8")
    return file


@pytest.mark.slow
def test_the_screen_says_what_is_short_for_each_dog_and_what_next_on_forty_lines(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(console, "PIPE_WIDTH", 80)
    said = told("nourish", SCENARIOS / "owner.yaml").stdout
    assert said.count("\n") <= 40
    for words in (
        "Maple, 22 kg: food beside AAFCO adult maintenance",
        "- Energy: 300 kcal a day; 300 to 347 kcal are published for a dog like this.",
        "- Maple gets too little vitamin E (13 % of the recommended minimum)",
        "- 4 can't be judged: the food isn't analysed for chloride, iodine, vitamin D",
        "raworder nourish FILE --all ",
    ):
        assert words in said


@pytest.mark.slow
def test_every_bound_of_the_sheet_that_is_not_met_is_on_the_screen() -> None:
    said = " ".join(told("nourish", SCENARIOS / "owner.yaml", "--dog", "Maple").stdout.split())
    rows = rows_of(paper_of("nourish", SCENARIOS / "owner.yaml", "--dog", "Maple"))
    missed = {re.split(r",| \u2020| \*", row["nutrient"])[0] for row in rows if row["stands"] not in {"", "meets it"}}
    assert {"potassium", "zinc", "iodine", "calcium"} <= missed
    assert not [name for name in missed if name not in said]


@pytest.mark.slow
def test_many_dogs_are_told_together() -> None:
    said = told("nourish", SCENARIOS / "kennel.yaml").stdout
    assert said.count("\n") <= 40
    assert "`raworder nourish FILE --dog NAME` tells of one dog" in said


@pytest.mark.slow
def test_every_dog_has_a_sheet() -> None:
    ended = told("nourish", VALID, "--all")
    assert (ended.code, ended.stderr) == (0, "")
    for name in ("Bramble", "Fern", "Moss"):
        assert f"{name}: what it holds" in ended.stdout


@pytest.mark.slow
def test_one_dogs_sheet_can_be_asked_for() -> None:
    assert {row["dog"] for row in rows_of(paper_of("nourish", VALID, "--dog", "Fern"))} == {"Fern"}
    both = rows_of(paper_of("nourish", VALID, "--dog", "Moss", "--dog", "Fern"))
    assert list(dict.fromkeys(row["dog"] for row in both)) == ["Fern", "Moss"]


def test_a_dog_that_is_none_is_refused_with_the_names_of_those_there_are() -> None:
    ended = told("nourish", VALID, "--dog", "Fen")
    assert (ended.code, ended.stdout) == (2, "")
    assert "no dog is called `Fen`; did you mean `Fern`?" in ended.stderr


@pytest.mark.slow
def test_another_profile_is_for_all_dogs_but_those_in_care() -> None:
    rows = rows_of(paper_of("nourish", VALID, "--profile", "fediaf ADULT 95"))
    assert {row["dog"]: row["profile"] for row in rows} == {
        "Bramble": "FEDIAF adult 95",
        "Fern": "FEDIAF adult 95",
        "Moss": "",
    }


@pytest.mark.slow
def test_a_growing_dog_is_never_held_against_a_profile_for_grown_ones() -> None:
    household = SCENARIOS / "household.yaml"
    rows = rows_of(paper_of("nourish", household, "--profile", "FEDIAF adult 95"))
    assert {row["profile"] for row in rows if row["dog"] == "Clover"} == {"AAFCO growth and reproduction"}
    assert {row["profile"] for row in rows if row["dog"] == "Bramble"} == {"FEDIAF adult 95"}
    rows = rows_of(paper_of("nourish", household, "--profile", "NRC growth"))
    assert {row["profile"] for row in rows if row["dog"] == "Clover"} == {"NRC growth"}


@pytest.mark.parametrize("command", ["nourish", "gaps"])
def test_a_profile_that_is_none_is_refused_with_the_name_of_one_there_is(command: str) -> None:
    ended = told(command, VALID, "--profile", "FEDIAF adlt 95")
    assert (ended.code, ended.stdout) == (2, "")
    assert "did you mean `FEDIAF adult 95`?" in ended.stderr
    assert "they are `AAFCO adult maintenance`, " in told(command, VALID, "--profile", "xyzzy").stderr


def test_a_dog_in_care_has_no_need_no_bound_and_the_sheet_defers() -> None:
    ended = told("nourish", VALID, "--dog", "Moss")
    assert "Moss is in a veterinarian's care (ill), so no needs and no limits are worked out for it." in " ".join(
        ended.stdout.split()
    )
    assert "Published" not in ended.stdout
    assert "to ask about" not in ended.stdout
    rows = rows_of(paper_of("nourish", VALID, "--dog", "Moss", "--profile", "FEDIAF adult 110"))
    assert {(row["least"], row["most"], row["stands"]) for row in rows} == {(None, None, "")}


@pytest.mark.slow
def test_no_sheet_gives_a_verdict() -> None:
    sheets = told("nourish", VALID, "--all").stdout + told("nourish", VALID).stdout
    words = (sheets + told("gaps", VALID).stdout).casefold()
    assert not [word for word in VERDICTS if re.search(rf"\b{word}", words)]


def test_recalled_bounds_are_marked_and_nothing_else_is() -> None:
    paper = paper_of("nourish", VALID)
    for row in rows_of(paper):
        assert row["nutrient"].endswith("†") == ("memory" in row["bounds_trust"]), row
    assert any("memory" in row["bounds_trust"] for row in rows_of(paper))
    assert RECALLED in " ".join(told("nourish", VALID, "--all").stdout.split())


def test_numbers_for_programs_are_exact_and_named_by_their_unit() -> None:
    (zinc,) = [row for row in rows_of(paper_of("nourish", VALID, "--dog", "Fern")) if row["nutrient"] == "zinc, mg"]
    assert zinc["unit"] == "mg"
    assert (float(zinc["least"]), zinc["profile"], zinc["bounds_trust"]) == (18, "moor rule", "given")
    assert float(zinc["per_1000_kcal"]) > 18
    # Fern gets less energy than is published for a dog of its weight
    assert float(zinc["day"]) < float(zinc["due_day"])
    assert zinc["stands"] == "too little a day"


@pytest.mark.slow
def test_a_saved_plan_is_told_as_a_new_one_is(saved: Path) -> None:
    assert told("nourish", VALID, "--plan", saved, "--json") == told("nourish", VALID, "--json")


@pytest.mark.slow
def test_a_saved_plan_is_shown_beside_another_profile(saved: Path) -> None:
    asked = ("nourish", VALID, "--profile", "FEDIAF adult 95")
    assert told(*asked, "--plan", saved) == told(*asked)


@pytest.mark.slow
def test_what_nourish_saves_can_be_taken_up_again(tmp_path: Path, saved: Path) -> None:
    again = tmp_path / "again.json"
    again.write_text(told("nourish", VALID, "--profile", "FEDIAF adult 95", "--json").stdout, encoding="utf-8")
    by_again, by_saved = (told("portion", VALID, "--plan", one) for one in (again, saved))
    assert (by_again.code, before_next(by_again.stdout)) == (0, before_next(by_saved.stdout))


@pytest.mark.slow
def test_bags_are_filled_from_a_saved_plan_with_supplements(saved: Path) -> None:
    from_saved, anew = told("portion", VALID, "--plan", saved), told("portion", VALID)
    assert (from_saved.code, before_next(from_saved.stdout)) == (0, before_next(anew.stdout))


@pytest.mark.slow
def test_a_dose_that_was_altered_by_hand_is_refused(tmp_path: Path, saved: Path) -> None:
    whole = json.loads(saved.read_text())
    whole["plan"]["doses"][0]["steps_a_day"] = 7  # at most 6 capsules a day
    altered = tmp_path / "altered.json"
    altered.write_text(json.dumps(whole))
    ended = told("nourish", VALID, "--plan", altered)
    assert (ended.code, ended.stdout) == (2, "")
    assert "was altered" in ended.stderr


def test_papers_go_to_files_too(tmp_path: Path) -> None:
    ended = told("nourish", VALID, "--markdown", tmp_path / "sheets.md", "--csv", tmp_path / "tables")
    assert ended.code == 0
    assert (tmp_path / "sheets.md").read_text().startswith("# Ration sheets")
    (table,) = [one for one in (tmp_path / "tables").iterdir() if "nutrients" in one.name]
    assert (
        table.read_text(encoding="utf-8-sig")
        .splitlines()[0]
        .startswith("nutrient,unit,day,due_day,per_1000_kcal,least,")
    )


def test_gaps_are_one_paper() -> None:
    paper = paper_of("gaps", VALID)
    assert paper["key"] == "gaps"


@pytest.mark.slow
def test_without_a_plan_the_reasons_are_told(tmp_path: Path) -> None:
    file = tmp_path / "none.yaml"
    file.write_text(VALID.read_text().replace("zinc: at least 15 mg", "zinc: at least 900 mg"))
    for command in ("nourish", "gaps"):
        ended = told(command, file)
        assert ended.code == 1
        assert "zinc" in ended.stdout


def test_a_scenario_that_is_refused_ends_with_2(tmp_path: Path) -> None:
    file = tmp_path / "refused.yaml"
    file.write_text(VALID.read_text().replace("zinc: at least 15 mg", "zink: at least 15 mg"))
    ended = told("nourish", file)
    assert (ended.code, ended.stdout) == (2, "")
    assert "`zinc`" in ended.stderr
