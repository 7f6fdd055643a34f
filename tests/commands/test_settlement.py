"""The command of settlement, as owners use it: who pays what, after the shop too, and clear words about a slip.

All names, prices and figures are invented. **Source:** the commands' own help; sums stand beside the numbers.
"""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.commands.running import SCENARIOS, told

HOUSEHOLD = SCENARIOS / "household.yaml"


def tables(*words: str | Path) -> dict[str, Any]:
    (paper,) = json.loads(told("settle", HOUSEHOLD, *words, "--json").stdout)["papers"]
    return {block["key"]: block for block in paper["blocks"] if block["kind"] == "table"}


def borne(*words: str | Path) -> Decimal:
    """What all owners bear together."""
    return sum((Decimal(row["share"]) for row in tables(*words)["by_owner"]["rows"]), Decimal(0))


@pytest.mark.slow
def test_shares_add_up_to_the_total_of_the_plan() -> None:
    (summary,) = [
        one for one in json.loads(told("plan", HOUSEHOLD, "--json").stdout)["papers"] if one["key"] == "summary"
    ]
    assert f"{borne():.2f}" in json.dumps(summary)


@pytest.mark.slow
def test_a_saved_plan_is_settled_like_a_new_one(tmp_path: Path) -> None:
    saved = tmp_path / "plan.json"
    saved.write_text(told("plan", HOUSEHOLD, "--json").stdout)
    assert told("settle", HOUSEHOLD, "--plan", saved) == told("settle", HOUSEHOLD)


@pytest.mark.slow
def test_after_the_shop_what_was_really_paid_is_shared(tmp_path: Path) -> None:
    receipt = tmp_path / "receipt.csv"
    told("replan", HOUSEHOLD, "--blank", receipt)
    before = borne()
    first, row, *rest = receipt.read_text().split("\n")
    cells = dict(zip(first.split(","), row.split(","), strict=True))
    dearer = f"{Decimal(cells['paid']) + 1:.2f}"
    receipt.write_text("\n".join([first, row.replace(cells["paid"], dearer), *rest]))
    tax = Decimal("1.07") if "Northfold" in row else 1
    supplements = Decimal("8.50")  # a receipt tells of food alone
    assert borne("--receipt", receipt) - before + supplements == pytest.approx(Decimal(1) * tax, abs=Decimal("0.01"))


@pytest.mark.slow
def test_what_was_paid_for_one_bill_is_taken_off_that_bill() -> None:
    before = {row["supplier"]: row for row in tables()["by_supplier"]["rows"]}
    supplier = next(iter(before))
    after = {row["supplier"]: row for row in tables("--paid", "Ines", f"5.00 for {supplier}")["by_supplier"]["rows"]}
    assert Decimal(after[supplier]["owed"]) == Decimal(before[supplier]["owed"]) - 5
    assert {name: row for name, row in after.items() if name != supplier} == {
        name: row for name, row in before.items() if name != supplier
    }


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--paid", "Nobody", "5.00"), "the owners are Ines, Okoro and Maarten"),
        (("--paid", "Ines", "5,00"), "write `5.00`"),
        (("--paid", "Ines", "1000.00"), "the bills come to"),
        (("--paid", "Ines", "5.00 for Nobody"), "there are bills of"),
        (("--kept-by", "Nobody"), "the owners are"),
        (("--as-it-is",), "name the receipt with --receipt"),
    ],
)
def test_a_slip_is_told_with_what_to_do(words: tuple[str, ...], says: str) -> None:
    ended = told("settle", HOUSEHOLD, *words)
    assert (ended.code, ended.stdout) == (2, "")
    assert says in ended.stderr


@pytest.mark.slow
def test_who_pays_what_is_saved_where_a_file_is_named(tmp_path: Path) -> None:
    ended = told("settle", HOUSEHOLD, "--markdown", tmp_path / "pays.md")
    assert ended.but_for_files == told("settle", HOUSEHOLD)
    assert "Who pays what" in (tmp_path / "pays.md").read_text(encoding="utf-8")


def test_delivery_tax_and_what_is_left_are_shared_by_what_is_asked() -> None:
    asked = ("--delivery", "weight", "--tax", "equally", "--left-over", "equally")
    said = " ".join(told("settle", HOUSEHOLD, *asked).stdout.split())
    assert "by weight of each owner's goods" in said
    assert "equally among the owners" in said
    assert "owned by all owners equally" in said
