"""A list of 4,000 lines with nine for dogs takes a minute: few answers, most of them for many lines at once.

All names and prices are invented.
"""

from pathlib import Path

import pytest
import yaml

from raworder.commands import console
from tests.commands.long_lists import DISHES, FOR_DOGS, GROUPS, LINES, long_list
from tests.commands.running import Ended, told

MAPLE = ("--currency", "EUR", "--starts", "2027-02-06", "--dog", "Maple, 22 kg, low, 2.5 %, prey model")
COLUMNS = ("--column", "code=Artikelnummer", "--column", "cut=Artikel", "--column", "pack=Gebinde",
           "--column", "price=Preis je kg", "--price-per", "kg", "--supplier", "Halden")  # fmt: skip
BULK, NINE = ("yes", "yes", "yes"), ("1",) * len(FOR_DOGS)
MOST_ANSWERS, MOST_IN_BULK = 25, 10
"""A minute of a person's time, at some two seconds an answer (own choice)."""

pytestmark = pytest.mark.slow


@pytest.fixture
def prices(tmp_path: Path) -> Path:
    """The list."""
    path = tmp_path / "halden.csv"
    path.write_text(long_list(), encoding="utf-8")
    return path


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is typed is typed by a person."""
    monkeypatch.setattr(console, "is_interactive", lambda: True)


def begin(prices: Path, *answers: str) -> Ended:
    """The command with these answers typed."""
    file = prices.with_name("mine.yaml")
    typed = "".join(f"{answer}\n" for answer in answers)
    return told("start", file, "--overwrite", *MAPLE, "--from", prices, *COLUMNS, typed=typed)


def names(prices: Path) -> dict[str, list[dict[str, str]]]:
    """What the names file holds."""
    found: dict[str, list[dict[str, str]]] = yaml.safe_load(
        prices.with_name("halden.names.yaml").read_text(encoding="utf-8")
    )
    return found


def cuts(prices: Path) -> dict[str, str]:
    """The items that are cuts of ours, by the list's name."""
    return {item["name"]: item["cut"] for item in names(prices)["items"] if "cut" in item}


@pytest.mark.usefixtures("terminal")
def test_nine_lines_of_four_thousand_take_few_answers(prices: Path) -> None:
    answers = (*BULK, *NINE, "rest", "no")
    ended = begin(prices, *answers)
    assert ended.code == 0, ended.stderr
    assert cuts(prices) == dict(FOR_DOGS)
    assert len(BULK) <= MOST_IN_BULK
    assert len(answers) <= MOST_ANSWERS
    assert f"{LINES:,} items that you have not named yet" in ended.stdout
    never = yaml.safe_load(prices.with_name("halden.names.yaml").read_text(encoding="utf-8"))["not_for_dogs"]
    assert (set(never["groups"]), len(never["words"])) == (set(GROUPS), len(DISHES))


@pytest.mark.usefixtures("terminal")
def test_nothing_becomes_a_cut_by_enter_and_nothing_is_matched_unasked(prices: Path) -> None:
    ended = begin(prices, "", "", "", "", "", "rest", "")
    assert ended.code == 0, ended.stderr
    assert cuts(prices) == {}
    assert "Still to be written" in ended.stdout


@pytest.mark.usefixtures("terminal")
def test_next_months_list_asks_about_what_is_new_alone(prices: Path) -> None:
    begin(prices, *BULK, *NINE, "rest", "yes")
    before = names(prices)["items"]
    new = "99999;RINDERMILZ TK;5 kg;3,10\n77777;PIZZA NEU;1 kg;3,10\n"
    prices.write_text(long_list("10,90").replace("\n", "\n" + new, 1), encoding="utf-8")
    ended = begin(prices, "1")
    assert ended.code == 0, ended.stderr
    assert ended.stdout.count("is no cut of ours") == 1
    assert cuts(prices) == {**dict(FOR_DOGS), "RINDERMILZ TK": "beef spleen"}
    assert len(names(prices)["items"]) == len(before) + 1


@pytest.mark.usefixtures("terminal")
def test_groups_and_words_can_be_looked_at_after_all(prices: Path) -> None:
    ended = begin(prices, "3", "99", "2 1", "dosendeckel", "no", *NINE, "rest", "no")
    assert ended.code == 0, ended.stderr
    assert "the numbers go from 1 to" in ended.stderr
    many = sum("DOSENDECKEL" in line for line in long_list().splitlines())
    assert f"{many} have `dosendeckel` in their name; they come last" in " ".join(ended.stdout.split())
    never = names(prices)["not_for_dogs"]
    assert (len(never["groups"]), len(never["words"])) == (len(GROUPS) - 1, len(DISHES) - 2)  # type: ignore[call-overload]
    assert all("cut" in item for item in names(prices)["items"])


@pytest.mark.usefixtures("terminal")
def test_back_undoes_the_last_answer_of_many(prices: Path) -> None:
    ended = begin(prices, "no", "back", *BULK, *NINE, "rest", "no")
    assert ended.code == 0, ended.stderr
    assert cuts(prices) == dict(FOR_DOGS)


def test_without_a_terminal_nothing_is_asked_and_ten_names_stand_for_all(prices: Path) -> None:
    ended = begin(prices)
    assert ended.code == 0, ended.stderr
    assert ended.stderr.count("line ") <= 12
    assert len(ended.stderr.splitlines()) < 30
    assert cuts(prices) == {}
