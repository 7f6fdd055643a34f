"""The books of an audit: sums in whole numbers, numbers that cannot be reckoned with, no floats and no other floor."""

import ast
import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

import raworder.auditing
from raworder.auditing.books import common_shares, open_books
from raworder.auditing.checks import audit
from raworder.trade.cuts import Measure
from raworder.trade.plan import Dose, Leftover, LotUse, Plan
from tests.builders import SMALL, SMALL_PLAN, TRIM, a_cut, a_proof, a_scenario, a_subject

SOURCES = sorted(Path(raworder.auditing.__path__[0]).glob("*.py"))


def test_sums_over_a_common_denominator_agree_with_plain_fractions() -> None:
    chance = random.Random(1)
    for _ in range(200):
        cuts = tuple(a_cut(f"cut {n}", fat=Fraction(chance.randint(0, 9), chance.randint(9, 30))) for n in range(5))
        eaten_g = {cut.name: chance.randint(0, 500) for cut in cuts}
        counts = common_shares({cut.name: cut.fat_share for cut in cuts})
        assert counts.grams(eaten_g) == sum((cut.fat_share * eaten_g[cut.name] for cut in cuts), Fraction(0))
        handled = {cut.name for cut in cuts if eaten_g[cut.name]}
        assert counts.allowance_g(handled) == sum((cut.fat_share for cut in cuts if cut.name in handled), Fraction(0))


def test_what_is_neither_fed_nor_bought_gives_no_allowance() -> None:
    fat = open_books(SMALL, SMALL_PLAN).counted(a_subject(Measure.FAT, ""))
    assert fat.allowance_g({"beef trim"}) == TRIM.fat_share
    assert open_books(SMALL, replace(SMALL_PLAN, lines=(), portions=())).cuts_handled == set()


def test_a_cut_that_is_fed_at_all_keeps_its_gram_for_a_dog_whose_portion_became_none() -> None:
    without = tuple(one for one in SMALL_PLAN.portions if (one.dog, one.cut) != ("Sorrel", "lamb liver"))
    assert "lamb liver" in open_books(SMALL, replace(SMALL_PLAN, portions=without)).cuts_handled


@pytest.mark.parametrize(
    ("rule", "plan"),
    [
        ("ration", replace(SMALL_PLAN, portions=(replace(SMALL_PLAN.portions[0], batch_g=1_750.0),))),  # type: ignore[arg-type] # on purpose
        ("pack_count", replace(SMALL_PLAN, lines=(replace(SMALL_PLAN.lines[1], units=True),))),
        ("supply", replace(SMALL_PLAN, lots_used=(LotUse(0, None),))),  # type: ignore[arg-type] # on purpose
        ("price_break", replace(SMALL_PLAN, lines=(replace(SMALL_PLAN.lines[1], goods=Decimal("NaN")),))),
        ("delivery", replace(SMALL_PLAN, bills=(replace(SMALL_PLAN.bills[0], delivery=Decimal("Infinity")),))),
        ("bill", replace(SMALL_PLAN, proof=a_proof("-Infinity"))),
        ("supply", replace(SMALL_PLAN, leftovers=(Leftover("lamb liver", 0, 225, 1.07),))),  # type: ignore[arg-type] # on purpose
        ("bill", replace(SMALL_PLAN, bills=(replace(SMALL_PLAN.bills[0], goods=Decimal("NaN")),))),
        ("bill", replace(SMALL_PLAN, bills=(replace(SMALL_PLAN.bills[0], tax=Decimal("NaN")),))),
        ("bill", replace(SMALL_PLAN, proof=replace(a_proof(), least_bill=Decimal("NaN")))),
        ("pack_count", replace(SMALL_PLAN, supplement_lines=(replace(SMALL_PLAN.lines[1], units=True),))),
        ("price_break", replace(SMALL_PLAN, supplement_lines=(replace(SMALL_PLAN.lines[1], goods=Decimal("NaN")),))),
        ("supplement", replace(SMALL_PLAN, doses=(Dose("Maple", "salmon oil", 1.5),))),  # type: ignore[arg-type] # on purpose
        ("supply", replace(SMALL_PLAN, leftovers=(replace(SMALL_PLAN.leftovers[0], on_hand_g=150.0),))),  # type: ignore[arg-type] # on purpose
        ("supply", replace(SMALL_PLAN, leftovers=(replace(SMALL_PLAN.leftovers[1], bought_g=225.0),))),  # type: ignore[arg-type] # on purpose
        ("supply", replace(SMALL_PLAN, lots_used=(LotUse(True, 300),))),
    ],
)
def test_a_number_that_cannot_be_reckoned_with_is_told_and_not_summed(rule: str, plan: Plan) -> None:
    found = audit(SMALL, plan)
    assert {breach.rule for breach in found} == {rule}
    assert all(breach.says.endswith(("is not a whole number", "is not an amount of money")) for breach in found)


def test_an_empty_plan_is_told_without_a_mistake_of_our_own() -> None:
    empty = Plan((), (), (), (), (), a_proof())
    assert {breach.rule for breach in audit(SMALL, empty)} == {"ration", "vet_amount", "supply"}
    assert audit(a_scenario(dogs=(), cuts=(), offers=()), empty) == ()


@pytest.mark.parametrize("source", SOURCES, ids=lambda path: path.name)
def test_the_audit_reckons_without_floats_and_knows_only_the_ground_floor(source: Path) -> None:
    tree = ast.parse(source.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        assert not (isinstance(node, ast.Constant) and isinstance(node.value, float | complex)), ast.dump(node)
        assert not (isinstance(node, ast.Name) and node.id in {"float", "round"}), ast.dump(node)
        assert not isinstance(node, ast.Import), "modules are imported by the names used"
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("raworder"):
            assert (node.module or "").startswith(("raworder.trade.", "raworder.auditing."))
