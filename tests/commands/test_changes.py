"""Two lists of a supplier compared by the command. All names, codes and prices are invented.

**Source:** the house's own rules; sums stand beside the numbers.
"""

import csv
import json
from pathlib import Path

import pytest

from tests.commands.running import Ended, told

HEAD = "Nummer;Ware;Gebinde;Preis;Lieferbar\n"
OLD = HEAD + (
    "A1;Entenhälse;2 kg;8,00 €;ja\nA2;Rinderabschnitte;1 kg;4,00 €;ja\nA3;Rinderleber;1 kg;3,00 €;ja\n"
    "A4;Rinderniere;1 kg;3,00 €;nein\nA5;Lammlunge;1 kg;2,00 €;ja\nA6;Kaffee;1 kg;9,00 €;ja\n"
)
NEW = HEAD + (
    "A1;Entenhälse;2 kg;9,00 €;ja\nA2;Rinderabschnitte;2 kg;7,00 €;ja\nA3;Rinderleber;1 kg;3,00 €;nein\n"
    "A4;Rinderniere;1 kg;3,00 €;ja\nA6;Kaffee;1 kg;9,90 €;ja\nA7;Putenherzen;1 kg;5,00 €;ja\n"
)
NAMES = """
supplier: Erlenhof
columns: {code: Nummer, cut: Ware, pack: Gebinde, price: Preis, sold: Lieferbar}
price_per: pack
items:
  - {code: A1, name: Entenhälse, cut: duck neck}
  - {code: A2, name: Rinderabschnitte, cut: beef trim}
  - {code: A3, name: Rinderleber, cut: beef liver}
  - {code: A4, name: Rinderniere, cut: beef kidney}
  - {code: A5, name: Lammlunge, cut: lamb lung}
  - {code: A6, name: Kaffee, not_for_dogs: yes}
"""
SCENARIO = """
currency: EUR
batch: {starts: 2027-02-06, days: 10}
dogs: [{name: Maple, weight: 20 kg, ration: 500 g, targets: {muscle: 100 %}, caps: {lung: 0 %}}]
suppliers:
  - name: Erlenhof
    price_list: {file: old.csv, names: erlenhof.names.yaml}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with both lists, the names file and a scenario."""
    files = {"old.csv": OLD, "new.csv": NEW, "erlenhof.names.yaml": NAMES, "mine.yaml": SCENARIO}
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def compared(folder: Path, *options: str, old: str = "old.csv", new: str = "new.csv") -> Ended:
    named = [option if option.startswith("-") or option == "EUR" else str(folder / option) for option in options]
    return told("changes", folder / old, folder / new, *named)


@pytest.mark.slow
def test_the_names_file_beside_a_list_and_its_money_are_found(folder: Path) -> None:
    (folder / "erlenhof.names.yaml").rename(folder / "new.names.yaml")
    ended = compared(folder)
    assert ended.code == 0, ended.stderr
    assert "Of your items (5): 1 gone" in ended.stdout
    for name in ("old.csv", "new.csv"):
        text = (folder / name).read_text(encoding="utf-8")
        (folder / name).write_text(text.replace(" €", " $"), encoding="utf-8")
    assert "the sign on the lists is that of several currencies" in compared(folder).stderr
    for name in ("old.csv", "new.csv"):
        text = (folder / name).read_text(encoding="utf-8")
        (folder / name).write_text(text.replace(" $", ""), encoding="utf-8")
    assert "nothing says what the prices are in" in compared(folder).stderr
    assert "nope.csv" in compared(folder, old="nope.csv").stderr


def test_scenarios_are_not_taken_for_lists(folder: Path) -> None:
    ended = compared(folder, old="mine.yaml", new="yours.yaml")
    assert ended.code == 2
    assert "for scenarios: raworder compare" in ended.stderr


BOTH = ("--names", "erlenhof.names.yaml", "--currency", "EUR")


def test_each_item_that_is_ours_is_told_with_what_happened_to_it(folder: Path) -> None:
    ended = compared(folder, *BOTH)
    assert ended.code == 0, ended.stderr
    words = " ".join(ended.stdout.split())
    assert "Of your items (5): 1 gone, 1 sold out, 1 dearer, 1 cheaper, 1 in another pack and 1 back." in words
    assert (
        "cheaper, other pack Rinderabschnitte beef trim 7.00 for 2 kg 4.00 for 1 kg 3.50, -12.5 %" in words
    )  # 3.50 / 4.00
    assert "dearer Entenhälse duck neck 9.00 for 2 kg 8.00 4.50, +12.5 %" in words
    assert "Putenherzen turkey heart" in words
    assert "1 item not for dogs left out" in words
    assert "Kaffee" not in ended.stdout


@pytest.mark.slow
def test_a_scenario_says_what_it_costs_and_brings_names_and_currency(folder: Path) -> None:
    # 500 g x 10 days of trim: 5 packs of 1 kg at 4.00, or 3 packs of 2 kg at 7.00
    ended = compared(folder, "--scenario", "mine.yaml")
    assert (ended.code, ended.stderr) == (0, "")
    words = " ".join(ended.stdout.split())
    assert "Your plan costs 21.00 EUR with the new list: 2.10 EUR a dog and day." in words
    assert "That is 1.00 EUR more than with the old, at 2.00 EUR." in words
    assert "new beef trim Erlenhof - 3 packs of 2 kg" in words
    other = compared(folder, "--scenario", "mine.yaml", old="new.csv", new="old.csv")
    assert "That is 1.00 EUR less than with the old, at 2.10 EUR." in " ".join(other.stdout.split())


@pytest.mark.slow
def test_where_the_new_list_allows_no_plan_that_is_said(folder: Path) -> None:
    (folder / "new.csv").write_text(HEAD + "A1;Entenhälse;2 kg;9,00 €;ja\n", encoding="utf-8")
    ended = compared(folder, "--scenario", "mine.yaml")
    assert ended.code == 0
    assert "no plan" in ended.stdout


def test_an_older_list_says_what_is_back(folder: Path) -> None:
    (folder / "older.csv").write_text(NEW, encoding="utf-8")
    ended = compared(folder, *BOTH, "--earlier", "older.csv", "--json")
    tables = [one for one in json.loads(ended.stdout)["papers"][0]["blocks"] if one.get("key") == "list_changes"]
    changes = {row["item"]: row["change"] for table in tables for row in table["rows"]}
    assert changes["Putenherzen"] == "back"


def test_files_hold_every_change(folder: Path) -> None:
    assert compared(folder, *BOTH, "--csv", "out").code == 0
    (path,) = (folder / "out").glob("*changes-list-changes.csv")
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["code"], row["change"], row["rise_share"]) for row in rows][-3:] == [
        ("A2", "cheaper, other pack", "-0.125000"), ("A4", "back", "0.000000"), ("A7", "new", "")
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--names", "nowhere.names.yaml", "--currency", "EUR"), "there is no file"),
        (("--currency", "EUR"), "nothing says which column"),
        (("--names", "old.csv", "--currency", "EUR"), "error["),
    ],
)
def test_what_cannot_be_compared_is_refused_with_a_remedy(folder: Path, options: tuple[str, ...], says: str) -> None:
    ended = compared(folder, *options)
    assert (ended.code, ended.stdout) == (2, "")
    assert says in ended.stderr


def test_a_scenario_that_names_neither_list_is_refused(folder: Path) -> None:
    (folder / "mine.yaml").write_text(SCENARIO.replace("old.csv", "third.csv"), encoding="utf-8")
    (folder / "third.csv").write_text(OLD, encoding="utf-8")
    ended = compared(folder, "--scenario", "mine.yaml")
    assert (ended.code, "names neither list" in ended.stderr) == (2, True)


@pytest.mark.parametrize(
    ("text", "code", "says"),
    [
        ("", 2, "error["),
        (HEAD, 2, "no row below"),
        (OLD, 0, "nothing changed"),
        (OLD + OLD.partition("\n")[2], 0, "more than once"),
        (OLD.replace("Rinderabschnitte;", "Rinderleber, fein;"), 0, "with another name"),
        (OLD.replace("4,00 €", "4,00 $"), 0, "not read"),
    ],
)
def test_strange_new_lists_end_without_a_traceback(folder: Path, text: str, code: int, says: str) -> None:
    (folder / "new.csv").write_text(text, encoding="utf-8")
    ended = compared(folder, *BOTH)
    assert ended.code == code, ended.stderr
    assert says in " ".join((ended.stdout + ended.stderr).split())
