"""`next` and the middle of a batch as a person uses them: month after month, with a book or with a saved plan.

All names, prices and figures are invented. **Source:** the commands' own help; sums stand beside the numbers.
"""

import json
import shutil
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from raworder.book.entering import filled, weighed
from raworder.reading.scenario_file import read_scenario
from tests.book.entered import a_whole_batch, enter
from tests.commands.running import SCENARIOS, told

STARTS = {"owner": "2027-02-20", "household": "2027-03-20", "pounds": "2027-04-17"}


def copy_of(name: str, folder: Path) -> Path:
    """A shipped scenario in a folder of its own."""
    return Path(shutil.copy(SCENARIOS / f"{name}.yaml", folder / f"{name}.yaml"))


def save_plan(scenario: Path, *more: str | Path) -> Path:
    saved = scenario.with_name(f"{scenario.stem}{len(more)}.json")
    saved.write_text(told("replan" if more else "plan", scenario, *more, "--json").stdout, encoding="utf-8")
    return saved


@pytest.mark.slow
@pytest.mark.parametrize("name", STARTS)
def test_the_next_scenario_stands_beside_the_last_and_can_be_planned(name: str, tmp_path: Path) -> None:
    scenario = copy_of(name, tmp_path)
    ended = told("next", scenario, "--json")
    after = tmp_path / f"{name}-{STARTS[name]}.yaml"
    assert ended.code == 0
    assert ended.stderr.endswith(f"written: {after}\n")
    assert told("plan", after).code == 0
    (paper,) = json.loads(ended.stdout)["papers"]
    assert len(paper["blocks"][0]["items"]) == 4


@pytest.mark.slow
def test_three_batches_in_a_row_with_a_book_take_a_receipt_and_what_happened_and_nothing_else(tmp_path: Path) -> None:
    scenario = copy_of("owner", tmp_path)
    saved, receipt = save_plan(scenario), tmp_path / "receipt.csv"
    told("replan", scenario, "--plan", saved, "--blank", receipt)
    dearer = receipt.read_text(encoding="utf-8").replace(",4,,9.60", ",4,,10.40")
    receipt.write_text(dearer, encoding="utf-8")
    assert told("enter", scenario, "--plan", saved, "--ordered").code == 0
    assert told("enter", scenario, "--plan", saved, "--receipt", receipt).code == 0
    assert told("note", scenario, "bags 27-28 kept", "--on", "2027-02-19").code == 0
    first = told("next", scenario)
    assert "Paid 0.80 EUR more than planned: prices 0.80." in first.stdout
    second = tmp_path / "owner-2027-02-20.yaml"
    text = second.read_text(encoding="utf-8")
    assert "{cut: chicken neck,  pack: 1 kg,   price: 2.60}" in text
    assert "from the book, lot" in text
    assert "it eats bags 27-28 of the last batch, Sat 20 to Sun 21 Feb" in text
    assert told("enter", second, "--plan", save_plan(second)).code == 0
    assert told("next", second).code == 0
    third = read_scenario(tmp_path / "owner-2027-03-06.yaml").scenario
    assert third is not None
    assert third.offer("Hollow Lane Butcher/chicken neck/1000 g").steps[0].listed == Decimal("2.60")
    assert told("next", second, "--overwrite") == told("next", second, "--overwrite")


@pytest.mark.slow
def test_with_a_plan_and_its_receipt_leftovers_and_prices_come_from_those(tmp_path: Path) -> None:
    scenario = copy_of("owner", tmp_path)
    saved, receipt = save_plan(scenario), tmp_path / "receipt.csv"
    told("replan", scenario, "--plan", saved, "--blank", receipt)
    receipt.write_text(receipt.read_text(encoding="utf-8").replace(",4,,9.60", ",4,,10.40"), encoding="utf-8")
    ended = told("next", scenario, "--plan", saved, "--receipt", receipt, "--out", tmp_path / "spring.yaml", "--plain")
    assert ended.code == 0
    assert "Paid 0.80 EUR more than planned: prices 0.80." in ended.stdout
    text = (tmp_path / "spring.yaml").read_text(encoding="utf-8")
    assert "# left over by the plan" in text
    assert "#> carried" not in text
    after = told("replan", scenario, "--plan", saved, "--receipt", receipt)
    assert "Paid 0.80 EUR more than planned: prices 0.80." in after.stdout


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--starts", "2027-02-06"), "the last batch starts on 2027-02-06"),
        (("--starts", "soon"), "`soon` is not a day"),
        (("--out", "owner.yaml"), "`owner.yaml` is read by this command"),
        (("--book", "none.sqlite"), "there is no book `none.sqlite` yet"),
    ],
)
def test_a_slip_is_said_plainly_and_nothing_is_written(
    words: tuple[str, str], says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy_of("owner", tmp_path)
    monkeypatch.chdir(tmp_path)
    ended = told("next", "owner.yaml", *words)
    assert ended.code == 2
    assert says in ended.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["owner.yaml"]


@pytest.mark.slow
def test_a_book_of_weighings_alone_takes_nothing_from_the_freezer(tmp_path: Path) -> None:
    scenario = copy_of("owner", tmp_path)
    assert told("next", scenario).code == 0
    after = tmp_path / "owner-2027-02-20.yaml"
    without = after.read_text(encoding="utf-8")
    enter(tmp_path / "book.sqlite", weighed("Maple", 22_300), day=9)
    ended = told("next", scenario, "--overwrite")
    assert "what the plan leaves over counts" in ended.stderr
    text = after.read_text(encoding="utf-8")
    assert "# left over by the plan" in text
    assert [line for line in text.splitlines() if "#> weighed 22.3 kg" not in line] == without.splitlines()


def test_a_book_in_other_money_is_refused(tmp_path: Path) -> None:
    scenario = copy_of("owner", tmp_path)
    enter(tmp_path / "book.sqlite", filled(replace(a_whole_batch(), currency="JPY"), "a batch"))
    assert "has batches in JPY and the scenario is in EUR" in told("next", scenario).stderr


def test_a_file_that_is_there_already_is_kept(tmp_path: Path) -> None:
    scenario = copy_of("owner", tmp_path)
    (tmp_path / "owner-2027-02-20.yaml").write_text("mine", encoding="utf-8")
    with pytest.raises(FileExistsError, match="add --overwrite"):
        told("next", scenario)


@pytest.mark.slow
def test_in_the_middle_of_a_batch_a_dog_that_joins_eats_what_is_spare(tmp_path: Path) -> None:
    scenario = copy_of("owner", tmp_path)
    saved = save_plan(scenario)
    ended = told(
        "replan", scenario, "--plan", saved, "--from", "2027-02-12", "--without", "maple", "--joins",
        "Sorrel, 20 kg, 2.5 %", "--json",
    )  # fmt: skip
    assert ended.code == 0
    enough, regiven = json.loads(ended.stdout)["papers"][0]["blocks"][:2]
    assert "Juniper: enough until Fri 19 Feb" in enough["items"]
    assert {row["was_for"] for row in regiven["rows"]} == {"Maple"}
    assert all(row["label_day"] >= "2027-02-12" for row in regiven["rows"])
    avoiding = ("--joins", "Sorrel, 20 kg, 2.5 %", "--avoid", "Sorrel: chicken", "--without", "Maple")
    none = told("replan", scenario, "--plan", saved, "--from", "2027-02-12", *avoiding)
    assert "There is nothing for Sorrel" in none.stdout


@pytest.mark.slow
def test_bags_that_are_gone_by_the_book_feed_nobody_in_the_middle_of_a_batch(tmp_path: Path) -> None:
    scenario = copy_of("owner", tmp_path)
    saved = save_plan(scenario)
    asked = ("replan", scenario, "--plan", saved, "--from", "2027-02-12", "--without", "maple", "--joins",
             "Sorrel, 20 kg, 2.5 %", "--json")  # fmt: skip
    assert told("enter", scenario, "--plan", saved).code == 0
    rows = json.loads(told(*asked).stdout)["papers"][0]["blocks"][1]["rows"]
    recalled = [row["bag"] for row in rows if row["label_day"] < "2027-02-16"]
    thrown = f"bags {', '.join(map(str, recalled))} thrown away"
    assert told("note", scenario, thrown, "--on", "2027-02-11").code == 0
    left = json.loads(told(*asked).stdout)["papers"][0]["blocks"][1]["rows"]
    assert recalled
    assert left
    assert not {row["bag"] for row in left} & {*recalled}


@pytest.mark.slow
def test_slips_about_the_middle_of_a_batch_are_said_plainly(tmp_path: Path) -> None:
    scenario = copy_of("owner", tmp_path)
    saved = save_plan(scenario)
    for words, says in (
        (("--ill", "Maple"), "say with --from DAY"),
        (("--from", "2027-02-12"), "say what changes"),
        (("--from", "2027-03-12", "--ill", "Maple"), "the batch is 2027-02-06 to 2027-02-19"),
        (("--from", "2027-02-12", "--ill", "Mapel"), "did you mean `Maple`?"),
        (("--from", "2027-02-12", "--away", "Maple"), "write it as in `Maple: 2027-02-12 to 2027-02-14`"),
        (("--from", "2027-02-12", "--joins", "Wren, 5 kg, ill"), "ask the veterinarian"),
        (("--from", "2027-02-12", "--joins", "Wren, 5 kg, 3 %, puppy"), "ask the veterinarian"),
        (("--from", "2027-02-12", "--joins", "Maple, 5 kg, 3 %"), "two dogs are called `Maple`"),
    ):
        ended = told("replan", scenario, "--plan", saved, *words)
        assert (ended.code, says in ended.stderr) == (2, True), (words, ended.stderr)
    assert "name their plan with --plan" in told("replan", scenario, "--from", "2027-02-12", "--ill", "Maple").stderr
