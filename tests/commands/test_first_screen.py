"""What `plan` prints first, what it prints on request, and that a growing dog that gets too little is warned of.

All names, prices and figures are invented. **Source:** the command's own help; no outside source.
"""

import json
from pathlib import Path

import pytest

from raworder.commands.desk import Exit
from raworder.studies import cures
from raworder.trade.outputs import PAPERS, printed_by
from raworder.trade.plan import Cures
from tests.commands.running import OWNER, ROOT, SCENARIOS, SMALLEST, told
from tests.conftest import Golden
from tests.planned import LARGEST

SCREENS = ROOT / "tests" / "golden" / "screens"

ON_REQUEST = ("Shares, asked and given", "What it costs", "It adds up", "What this order asks you to do", "Summary")
"""Headings that stand on no first screen."""

PUPPY = """currency: EUR
batch: {starts: 2027-02-06, days: 14}
dogs:
  - {name: Maple, weight: 22 kg, ration: 3 %, targets: prey model}
  - {name: Rosie, weight: 16 kg, puppy: yes, adult_weight: 30 kg, ration: 2 %, targets: prey model}
cuts:
  - {cut: chicken neck, pack: 1 kg, price: 2.40}
  - {cut: beef trim, price: 6.20 per kg, fat: 12 %}
  - {cut: lamb liver, pack: 400 g, price: 1.90}
  - {cut: beef kidney, price: 3.60 per kg}
"""


def test_the_answer_stands_first_and_all_else_is_on_request() -> None:
    screen, everything = told("plan", OWNER).stdout, told("plan", OWNER, "--all").stdout
    assert screen.startswith("Two dogs, two butchers: Sat 6 to Fri 19 Feb\n")
    parts = ("To pay", "Where", "Proved:", "Look at this first", "[ ]", "Portions a day", "Next", "Raw meat")
    places = [screen.index(part) for part in parts]
    assert places == sorted(places)
    assert [heading for heading in ON_REQUEST if heading in screen] == []
    assert [heading for heading in ON_REQUEST if heading not in everything] == []


@pytest.mark.slow
@pytest.mark.parametrize(("command", "file"), [("plan", "smallest"), ("portion", "portion"), ("nourish", "nourish")])
def test_a_screen_is_the_one_that_was_read_and_approved(command: str, file: str, golden: Golden) -> None:
    ended = told(command, SMALLEST)
    assert (ended.code, ended.stderr) == (0, "")
    golden(SCREENS / f"{file}.txt", ended.stdout)


def test_all_and_single_papers_are_not_asked_for_at_once() -> None:
    ended = told("plan", OWNER, "--all", "--paper", "costs")
    assert ended.code == Exit.REFUSED
    assert "--all prints every paper, and --paper only those that it names" in ended.stderr


@pytest.mark.slow
def test_what_cures_cost_is_asked_where_it_is_shown_or_written_and_nowhere_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[int] = []
    monkeypatch.setattr(cures, "find_cures", lambda *_: asked.append(1) or Cures())
    for options, times in (
        ((), 1),
        (("--all",), 1),
        (("--json",), 1),
        (("--paper", "first_look"), 1),
        (("--paper", "costs"), 0),
        (("--paper", "costs", "--markdown", str(tmp_path / "papers.md")), 1),
    ):
        asked.clear()
        assert told("plan", OWNER, *options).code == 0
        assert len(asked) == times


@pytest.mark.slow
def test_programs_get_every_paper_with_what_is_wrong_in_a_table(tmp_path: Path) -> None:
    thin = OWNER.read_text(encoding="utf-8").replace("965 kcal", "720 kcal")
    thin = thin.replace("price: 0.95, comes_frozen: 30 days", "price: 0.30") + "hold: off\n"
    (tmp_path / "thin.yaml").write_text(thin, encoding="utf-8")
    papers = json.loads(told("plan", tmp_path / "thin.yaml", "--json").stdout)["papers"]
    assert [paper["key"] for paper in papers] == list(printed_by("plan"))
    (table,) = [block for block in papers[0]["blocks"] if block["kind"] == "table"]
    assert table["key"] == "doubts"
    assert {row["about"] for row in table["rows"]} >= {"energy-low", "waiting"}
    assert PAPERS[1].key == papers[0]["key"] == "first_look"


@pytest.mark.slow
def test_the_card_is_printed_behind_the_first_screen() -> None:
    printed = told("plan", OWNER, "--card").stdout
    assert printed.index("Portions a day") < printed.index("What to buy instead")
    assert "Shares, asked and given" not in printed


def test_a_growing_dog_far_below_its_need_is_warned_of_at_its_place(tmp_path: Path) -> None:
    path = tmp_path / "puppy.yaml"
    path.write_text(PUPPY, encoding="utf-8")
    ended = told("plan", path)
    assert ended.code == 0
    assert "warning[growing-dog-underfed]" in ended.stderr
    assert "puppy.yaml:5:12" in ended.stderr
    assert "ration: 2 %, targets: prey model}" in ended.stderr
    assert "Rosie, a growing dog, is underfed" in ended.stdout
    fed = tmp_path / "fed.yaml"
    fed.write_text(PUPPY.replace("ration: 2 %", "ration: 6 %"), encoding="utf-8")
    assert told("plan", fed).stderr == ""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("command", "name", "most"),
    [
        ("plan", "owner", 60),
        ("portion", "owner", 60),
        ("nourish", "owner", 60),
        ("plan", "vet_visit", 60),
        ("portion", "vet_visit", 60),
        ("plan", "volunteer", 110),
        ("portion", "volunteer", 110),
    ],
)
def test_a_screen_is_short(command: str, name: str, most: int) -> None:
    """Two dogs and forty. **Source:** our own goals."""
    ended = told(command, SCENARIOS / f"{name}.yaml")
    assert ended.code == 0
    assert len(ended.stdout.rstrip("\n").split("\n")) <= most
    if name != LARGEST:  # which takes long to plan again
        assert len(told(command, SCENARIOS / f"{name}.yaml", "--all").stdout) > 2 * len(ended.stdout)


def test_portion_says_what_goes_where_first_and_the_rest_on_request() -> None:
    screen = told("portion", SMALLEST).stdout
    parts = ("14 bags to fill on Fri 5 Feb", "half-thaw", "Maple A", "Then", "Bags by day", "1 A", "Next")
    places = [screen.index(part) for part in parts]
    assert places == sorted(places)
    assert "Balanced weeks" not in screen
    assert "Balanced weeks" in told("portion", SMALLEST, "--all").stdout
    refused = told("portion", SMALLEST, "--all", "--paper", "weeks")
    assert refused.code == Exit.REFUSED


@pytest.mark.slow
def test_after_the_shop_what_came_of_it_stands_before_the_bags_and_nothing_else(tmp_path: Path) -> None:
    receipt = tmp_path / "receipt.csv"
    assert told("replan", SMALLEST, "--blank", receipt).code == 0
    receipt.write_text(receipt.read_text(encoding="utf-8").replace("500 g,1.80", "480 g,1.75"), encoding="utf-8")
    screen = told("replan", SMALLEST, "--receipt", receipt).stdout
    places = [screen.index(part) for part in ("After the shop", "bags to fill on Fri 5 Feb", "Bags by day")]
    assert places == sorted(places)
    assert [heading for heading in ON_REQUEST if heading in screen] == []
    everything = told("replan", SMALLEST, "--receipt", receipt, "--all").stdout
    assert [heading for heading in ON_REQUEST if heading not in everything] == []
