"""Labels as a person prints them.

All names, prices and figures are invented. **Source:** the command's own help and the README; no outside source.
"""

import csv
import json
import re
from pathlib import Path

import pytest

from raworder.trade.labels import SHEETS
from tests.commands.running import IMPOSSIBLE, OWNER, SCENARIOS, told

SMALLEST = SCENARIOS / "smallest.yaml"


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A saved plan of the owner's scenario."""
    path = tmp_path_factory.mktemp("plan") / "plan.json"
    path.write_text(told("plan", OWNER, "--json").stdout)
    return path


@pytest.mark.slow
def test_a_saved_plan_gives_the_same_labels_as_planning_again(saved: Path, tmp_path: Path) -> None:
    first, second = tmp_path / "first.html", tmp_path / "second.html"
    ended = told("labels", OWNER, "--plan", saved, "--html", first)
    assert ended.code == 0
    assert ended.but_for_files == told("labels", OWNER, "--html", second).but_for_files
    assert first.read_bytes() == second.read_bytes()


@pytest.mark.slow
def test_the_sheets_hold_labels_and_nothing_else(saved: Path, tmp_path: Path) -> None:
    page = tmp_path / "labels.html"
    ended = told("labels", OWNER, "--plan", saved, "--html", page, "--sheet", "a4-2x4-105x74", "--first", 3)
    assert ended.stderr == f"written: {page}\n"
    assert "Print at 100 %" in ended.stdout
    text = page.read_text()
    assert text.count('<div class="sheet"') == 4  # 28 bags and two empty places before them, eight on a sheet
    assert re.findall(r'<p class="number">(\d+)</p>', text) == [str(number) for number in range(1, 29)]
    assert "Print at 100 %" not in text
    before, _ = text.split('<div class="place at-3"', 1)
    assert 'class="place' not in before


def test_the_terminal_tells_bag_dog_day_kind_and_weight_in_a_line_each(saved: Path) -> None:
    lines = [line.split() for line in told("labels", OWNER, "--plan", saved).stdout.splitlines()]
    assert ["Bag", "Dog", "Fed", "on", "Kind", "Weight"] in lines
    assert ["1", "Maple", "Sat", "6", "Feb", "A", "555", "g"] in lines
    assert len(lines) < 28 + 10


def test_only_one_dogs_labels_are_printed(saved: Path, tmp_path: Path) -> None:
    ended = told("labels", OWNER, "--plan", saved, "--dog", "Juniper", "--json")
    (paper,) = json.loads(ended.stdout)["papers"]
    (table,) = [block for block in paper["blocks"] if block["kind"] == "table"]
    assert {row["dog"] for row in table["rows"]} == {"Juniper"}
    assert len(table["rows"]) == 14


def test_the_table_goes_to_a_file_for_another_printer(saved: Path, tmp_path: Path) -> None:
    assert told("labels", OWNER, "--plan", saved, "--csv", tmp_path / "tables").code == 0
    with (tmp_path / "tables" / "labels-labels.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["bag"] for row in rows] == [str(number) for number in range(1, 29)]
    bags = json.loads(saved.read_text())["plan"]["bags"]
    assert [(row["dog"], row["feed_on"], row["kind"]) for row in rows] == [
        (bag["dog"], bag["day"], bag["kind"]) for bag in bags
    ]
    # the last bag of a kind takes what is left, so bags weigh what is written on them to a scale step
    weights = [
        (int(row["weight_g"]), sum(filling["grams"] for filling in bag["fillings"]))
        for row, bag in zip(rows, bags, strict=True)
    ]
    assert all(abs(written - filled) <= 5 for written, filled in weights)


def test_a_page_of_frames_needs_no_plan(tmp_path: Path) -> None:
    page = tmp_path / "frame.html"
    ended = told("labels", IMPOSSIBLE, "--frame", "--html", page)
    assert (ended.code, ended.stderr) == (0, f"written: {page}\n")
    assert "63.5 x 38.1 mm, 3 x 7, A4" in ended.stdout
    assert "outline: 0.2mm solid" in page.read_text()
    assert page.read_text().count('<div class="place') == 21


@pytest.mark.slow
def test_where_there_is_no_plan_nothing_is_written(tmp_path: Path) -> None:
    page = tmp_path / "labels.html"
    assert told("labels", IMPOSSIBLE, "--html", page).code == 1
    assert not page.exists()


def test_a_file_is_not_replaced_without_being_told(tmp_path: Path) -> None:
    page = tmp_path / "frame.html"
    page.write_text("kept")
    with pytest.raises(FileExistsError, match="add --overwrite"):
        told("labels", OWNER, "--frame", "--html", page)
    assert page.read_text() == "kept"
    assert told("labels", OWNER, "--frame", "--html", page, "--overwrite").code == 0
    assert page.read_text() != "kept"


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--sheet", "a4-3x8-70x38"), "no sheet of labels is called `a4-3x8-70x38`: did you mean `a4-3x8-70x37`?"),
        (("--sheet", "foolscap"), f"they are {', '.join(SHEETS)}"),
        (("--first", "22"), "a sheet of 63.5 x 38.1 mm, 3 x 7, A4 has 21 places, so none is number 22"),
        (("--first", "0"), "'--first'"),
        (("--dog", "Mapel"), "no dog is called `Mapel`; did you mean `Maple`?"),
    ],
)
def test_a_slip_is_told_in_a_line(options: tuple[str, ...], says: str) -> None:
    ended = told("labels", OWNER, *options)
    assert (ended.code, ended.stdout) == (2, "")
    assert says in ended.stderr


def test_labels_too_small_for_their_text_are_told(tmp_path: Path) -> None:
    dog = "MAPLE, WHOM NO LABEL OF ANY SIZE WAS EVER MADE TO HOLD ON TWO LINES, THE WIDEST OF ALL NAMES IN THE WORLD"
    crowded = tmp_path / "crowded.yaml"
    crowded.write_text(SMALLEST.read_text().replace("name: Maple", f'name: "{dog}"'))
    ended = told("labels", crowded, "--sheet", "letter-3x10-2.625x1")
    assert ended.code == 0
    assert (
        ended.stderr
        == f"14 labels are too small for the text, the first for {dog}, bag 1: take a sheet with larger ones\n"
    )
