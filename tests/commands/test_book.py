"""`enter`, `note` and `book`: a batch as planned, bought and weighed, what is refused, and the same bytes twice.

All names, prices and figures are invented. **Source:** the receipts of the tests after the shop; sums are added here.
"""

import json
import sqlite3
from contextlib import closing
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.book.entered import bags_of, lots_of
from tests.commands.running import Ended, told
from tests.commands.test_papers_after_the_shop import ENOUGH, SCENARIO, TOO_LITTLE


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    """The scenario by the canal, and a receipt of what was bought for it."""
    (tmp_path / "receipt.csv").write_text(ENOUGH)
    path = tmp_path / "canal.yaml"
    path.write_text(SCENARIO)
    return path


def rows(scenario: Path, query: str) -> list[tuple[object, ...]]:
    """What the book beside a scenario answers to a query."""
    with closing(sqlite3.connect(scenario.parent / "book.sqlite")) as tables:
        return tables.execute(query).fetchall()


def entered(scenario: Path, *options: str | Path) -> Ended:
    ended = told("enter", scenario, *options)
    assert ended.code == 0, ended.stderr
    return ended


def refused(*words: str | Path) -> str:
    """What is said by a command that was used wrongly, in one line."""
    ended = told(*words)
    assert (ended.code, ended.stdout) == (2, "")
    return " ".join(ended.stderr.split())


def plan_of(scenario: Path) -> Any:
    return json.loads(told("plan", scenario, "--json").stdout)["plan"]


def total_of(plan: Any) -> str:
    """What all suppliers are paid."""
    money = (Decimal(bill[part]) for bill in plan["bills"] for part in ("goods", "delivery", "tax"))
    return str(sum(money, Decimal(0)))


def grams_in_bags(scenario: Path) -> int:
    return sum(bag.grams for bag in bags_of(scenario.parent / "book.sqlite"))


@pytest.mark.slow
def test_a_batch_is_entered_as_planned(scenario: Path) -> None:
    plan = plan_of(scenario)
    ended = entered(scenario)
    assert f"Entered as 1 in {scenario.parent / 'book.sqlite'}." in " ".join(ended.stdout.split())
    assert rows(scenario, "SELECT count(*) FROM bag") == [(len(plan["bags"]),)]
    assert grams_in_bags(scenario) == sum(filling["grams"] for bag in plan["bags"] for filling in bag["fillings"])
    assert [str(row[0]) for row in rows(scenario, "SELECT planned FROM batch")] == [total_of(plan)]
    assert "Then: raworder next" in ended.stdout
    assert "is in the book already, as entry 1; if it was wrong, take it back first" in refused("enter", scenario)


@pytest.mark.slow
def test_a_batch_is_entered_as_it_was_in_the_shop(scenario: Path) -> None:
    receipt = scenario.parent / "receipt.csv"
    entered(scenario, "--receipt", receipt)
    assert rows(scenario, "SELECT cut, grams, goods FROM lot ORDER BY cut") == [
        ("beef kidney", 301, "1.08"),
        ("beef tongue", 620, "4.90"),
        ("beef trim", 2_200, "13.64"),
        ("chicken neck", 2_000, "4.80"),
        ("lamb liver", 400, "1.90"),
    ]
    # 1.08 at the market; 13.64 + 4.90 + 4.80 + 1.90 and 1.50 for delivery at the butcher
    assert rows(scenario, "SELECT supplier, goods, CAST(delivery AS REAL) FROM bill ORDER BY supplier") == [
        ("Canal Market", "1.08", 0),
        ("Mill Row Butcher", "25.24", 1.5),
    ]
    assert rows(scenario, "SELECT sum(CAST(round(worth * 100) AS INTEGER)) FROM lot") == [(2_782,)]
    assert [str(row[0]) for row in rows(scenario, "SELECT planned FROM batch")] == [total_of(plan_of(scenario))]


@pytest.mark.slow
def test_the_saved_plan_of_the_shop_says_the_same_and_knows_the_order(scenario: Path) -> None:
    receipt, saved = scenario.parent / "receipt.csv", scenario.parent / "bought.json"
    saved.write_text(told("replan", scenario, "--receipt", receipt, "--json").stdout)
    total = total_of(plan_of(scenario))
    entered(scenario, "--ordered")
    assert rows(scenario, "SELECT count(*) FROM lot") == [(0,)]
    entered(scenario, "--plan", saved)
    entered(scenario, "--receipt", receipt, "--book", scenario.parent / "other.sqlite")
    assert rows(scenario, "SELECT planned FROM batch") == [(total,), (total,)]
    assert rows(scenario, "SELECT count(*) FROM ordered WHERE entry = 2") == rows(
        scenario, "SELECT count(*) FROM ordered WHERE entry = 1"
    )
    both = [scenario.parent / name for name in ("book.sqlite", "other.sqlite")]
    assert [(lot.cut, lot.grams, lot.worth, lot.left_g) for lot in lots_of(both[0])] == [
        (lot.cut, lot.grams, lot.worth, lot.left_g) for lot in lots_of(both[1])
    ]
    assert [bag.contents for bag in bags_of(both[0])] == [bag.contents for bag in bags_of(both[1])]


@pytest.mark.slow
def test_bags_hold_what_was_weighed(scenario: Path) -> None:
    record = scenario.parent / "weighed.csv"
    assert told("weigh", scenario, "--record", record, typed="\n" * 300).code == 0
    lines = record.read_text().splitlines(keepends=True)
    _, bag, cut, grams = next(line.split(",") for line in lines if ",beef trim," in line)
    lines.append(f"{len(lines)},{bag},{cut},{int(grams) - 3}\n")
    record.write_text("".join(lines))
    entered(scenario, "--record", record)
    inside = rows(scenario, f"SELECT grams FROM content JOIN bag USING (bag) WHERE label = {bag} AND cut = 'beef trim'")
    assert inside == [(int(grams) - 3,)]
    plan = plan_of(scenario)
    planned_g = sum(filling["grams"] for one in plan["bags"] for filling in one["fillings"])
    assert grams_in_bags(scenario) == planned_g - 3
    assert rows(scenario, "SELECT sum(grams) FROM draw WHERE why = 'bags'") == [(planned_g - 3,)]


@pytest.mark.slow
def test_what_must_still_be_fetched_is_not_entered(scenario: Path) -> None:
    (scenario.parent / "receipt.csv").write_text(TOO_LITTLE)
    said = refused("enter", scenario, "--receipt", scenario.parent / "receipt.csv")
    assert "something of this batch is still to be fetched: enter it after the second trip" in said
    assert not (scenario.parent / "book.sqlite").exists()


@pytest.mark.slow
def test_the_saved_plan_is_still_accepted_once_its_batch_is_entered(scenario: Path) -> None:
    assert told("note", scenario, "found 400 g of beef trim, frozen since 2027-01-09", "--on", "2027-02-01").code == 0
    scenario.write_text(SCENARIO + "on_hand: book\n")
    saved = scenario.parent / "plan.json"
    saved.write_text(told("plan", scenario, "--json").stdout)
    entered(scenario, "--plan", saved)
    assert rows(scenario, "SELECT left_g FROM stock WHERE supplier = ''") == [(0,)]
    after = told("plan", scenario, "--json")
    assert (after.code, after.stdout) == (0, saved.read_text())
    assert told("portion", scenario, "--plan", saved).code == 0


def test_several_notes_are_entered_in_one_go(scenario: Path) -> None:
    words = ("found 500 g of beef heart", "Alder weighs 18.4 kg", "lot 1 120 g fed")
    ended = told("note", scenario, *words, "--on", "2027-02-06")
    assert (ended.code, ended.stderr) == (0, "")
    assert ended.stdout.splitlines() == [
        "Entered as 1: beef heart: 500 g found.",
        "Entered as 2: Alder weighs 18.4 kg.",
        "Entered as 3: lot 1, beef heart: 120 g fed.",
    ]


def test_where_people_read_pounds_the_book_says_pounds(scenario: Path) -> None:
    scenario.write_text(SCENARIO.replace("currency: EUR\n", "currency: EUR\nunits: lb\n"))
    notes = ("found 3 lb of beef heart", "lot 1 holds 2 lb", "Alder weighs 47 lb", "lot 1 8 oz fed")
    assert told("note", scenario, *notes).stdout.splitlines() == [
        "Entered as 1: beef heart: 3 lb found.",
        "Entered as 2: lot 1, beef heart: 2 lb left.",
        "Entered as 3: Alder weighs 47 lb.",
        "Entered as 4: lot 1, beef heart: 8 oz fed.",
    ]


def test_what_asks_the_book_does_not_warn_of_prices(scenario: Path) -> None:
    scenario.write_text(SCENARIO.replace("    delivery: 1.50\n", "    delivery: 1.50\n    list_date: 2026-09-01\n"))
    assert "warning[old-price-list]" in told("check", scenario).stderr
    ended = told("note", scenario, "Alder weighs 18.4 kg")
    assert (ended.code, ended.stderr) == (0, "")
    assert "warning[old-price-list]" in told("book", scenario, "--all-findings").stderr


WRONG = (
    (("Elder weighs 18 kg",), "no dog is called `Elder`; did you mean `Alder`?"),
    (("lot 7 fed",), "the book has no lot 7; `raworder stock SCENARIO` lists them"),
    (("lot 1 fed", "lot 1 10 g fed"), "lot 1 holds 0 g of beef heart; enter no more than that"),
    (("lot 1 fed", "what?"), "`what?` is nothing that the book can be told; write it as one of these:"),
    (("lot 1 fed", "--on", "6.2.2027"), "`6.2.2027` is not a day; write year-month-day, such as `2027-02-06`"),
    (("lot 1 fed", "--on", "2027-02-05"), "lot 1 is there since Sat 6 Feb only; say another day with --on"),
)


@pytest.mark.parametrize(("words", "said"), WRONG)
def test_a_note_that_cannot_be_is_a_usage_error_and_nothing_is_entered(
    words: tuple[str, ...], said: str, scenario: Path
) -> None:
    told("note", scenario, "found 500 g of beef heart", "--on", "2027-02-06")
    on = () if "--on" in words else ("--on", "2027-02-07")
    assert said in refused("note", scenario, *words, *on)
    assert rows(scenario, "SELECT count(*) FROM entry") == [(1,)]


def test_where_there_is_no_book_it_says_how_one_begins(scenario: Path) -> None:
    assert "yet; `raworder enter SCENARIO` begins one" in refused("book", scenario)
    (scenario.parent / "book.sqlite").write_text("no book at all " * 100)
    for words in (("book",), ("note", "Alder weighs 18 kg")):
        said = refused(words[0], scenario, *words[1:])
        assert "is no book, or it is damaged; put back a copy, or name another file" in said


NOTES = (
    ("2027-02-01", "found 500 g of beef heart, frozen since 2027-01-09", "Alder weighs 18.4 kg"),
    ("2027-02-07", "bags 1-2 thrown away", "bag 3 kept", "lot 1 holds 450 g", "lot 1 is marked L7"),
    ("2027-02-08", "everything thrown away"),
    ("2027-02-08", "entry 9 is wrong"),
)


def a_story(folder: Path) -> dict[str, bytes]:
    """The tables that `book --csv` writes after an order, a batch and notes in a folder."""
    folder.mkdir()
    scenario = folder / "canal.yaml"
    scenario.write_text(SCENARIO)
    first, *others = NOTES
    told("note", scenario, *first[1:], "--on", first[0])
    entered(scenario, "--ordered")
    entered(scenario)
    for day, *words in others:
        assert told("note", scenario, *words, "--on", day).code == 0
    assert told("book", scenario, "--csv", folder / "tables").code == 0
    return {path.name: path.read_bytes() for path in sorted((folder / "tables").iterdir())}


@pytest.mark.slow
def test_every_table_is_written_and_the_same_story_gives_the_same_bytes(tmp_path: Path) -> None:
    once, again = a_story(tmp_path / "once"), a_story(tmp_path / "again")
    assert once == again
    scenario = tmp_path / "once" / "canal.yaml"
    for (name,) in rows(scenario, "SELECT name FROM sqlite_master WHERE type = 'table'"):
        (count,) = rows(scenario, f"SELECT count(*) FROM {name}")
        (file,) = [content for path, content in once.items() if path.removesuffix(".csv").endswith(f"{name}")]
        lines = file.decode("utf-8-sig").splitlines()
        assert len(lines) == 1 + int(str(count[0]))
    page = told("book", scenario).stdout
    assert "(taken back by entry 10)" in " ".join(page.split())
