"""What is given beside the ration, in words, on the shopping list and in sums.

**Source:** worked out by hand beside the numbers; all names and prices are invented.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.portioning.bearing import parts_bought
from raworder.reporting.nutrition_words import doses_text, packs_text, supplement_units_text
from raworder.reporting.order import shopping_list
from raworder.reporting.portions import portioning_list
from raworder.trade.document import Document, Table
from raworder.trade.plan import Dose
from tests import builders as b
from tests.supplemented import OIL, SHELL, SUPPLEMENTED, SUPPLEMENTED_PLAN
from tests.worked_out import costs, shares_of_bill

NONE_GIVEN = replace(SUPPLEMENTED_PLAN, doses=(), supplement_lines=())


def table(document: Document, key: str, title: str = "") -> Table:
    """The one table of that key, and of that title where several share a key."""
    (found,) = (
        one for one in document.blocks if isinstance(one, Table) and one.key == key and title in {"", one.title}
    )
    return found


@pytest.mark.parametrize(
    ("step", "unit", "steps", "says"),
    [
        (Fraction(1), "capsule", 1, "1 capsule"),
        (Fraction(1), "capsule", 2, "2 capsules"),
        (Fraction(1), "drop", 0, "0 drops"),
        (Fraction(1, 2), "g", 3, "1.5 g"),
        (Fraction(1, 2), "tablet", 1, "0.5 tablets"),
        (Fraction(5), "ml", 2, "10 ml"),
    ],
)
def test_steps_are_told_in_the_unit_they_are_given_in(step: Fraction, unit: str, steps: int, says: str) -> None:
    assert supplement_units_text(replace(OIL, unit=unit, step=step), steps) == says


def test_a_pack_is_asked_for_by_what_it_holds() -> None:
    oil, shell = SUPPLEMENTED.supplement_offers
    assert packs_text(SUPPLEMENTED, oil, 1) == "1 pack of 60 capsules"
    assert packs_text(SUPPLEMENTED, shell, 2) == "2 packs of 30 g"


def test_doses_are_told_of_the_dog_that_gets_them_alone() -> None:
    assert doses_text(SUPPLEMENTED, SUPPLEMENTED_PLAN, "Bramble") == [
        "2 capsules of salmon oil a day",
        "2 g of egg shell powder a day",
    ]
    assert doses_text(SUPPLEMENTED, SUPPLEMENTED_PLAN, "Fern") == []


def test_the_portioning_list_tells_who_is_given_what_and_that_it_adds_up() -> None:
    paper = portioning_list(SUPPLEMENTED, SUPPLEMENTED_PLAN)
    # 2 a day for 14 days are 28
    assert table(paper, "given_beside").rows == (
        ("Bramble", "salmon oil", "2 capsules", "28 capsules"),
        ("Bramble", "egg shell powder", "2 g", "28 g"),
    )
    # 0 + 60 = 28 + 32; 10 + 30 = 28 + 12
    assert table(paper, "supplements").rows == (
        ("salmon oil", None, "60 capsules", "28 capsules", "32 capsules"),
        ("egg shell powder", "10 g", "30 g", "28 g", "12 g"),
    )


def test_where_nothing_is_given_nothing_is_said_of_it() -> None:
    keys = [one.key for one in portioning_list(SUPPLEMENTED, NONE_GIVEN).blocks if isinstance(one, Table)]
    assert "given_beside" not in keys
    assert "supplements" not in keys


def test_the_shopping_list_asks_for_packs_behind_the_food() -> None:
    paper = shopping_list(SUPPLEMENTED, SUPPLEMENTED_PLAN)
    lane, fenwick = table(paper, "order", b.HOLLOW_LANE), table(paper, "order", b.FENWICK)
    assert [row[:4] for row in lane.rows] == [
        ("5 packs of 1 kg", "beef trim", "2.40 per pack", Decimal("12.00")),
        ("1 pack of 30 g", "egg shell powder", "2.50 per pack", Decimal("2.50")),
    ]
    assert [row[:4] for row in fenwick.rows] == [
        ("1 pack of 60 capsules", "salmon oil", "5.00 per pack", Decimal("5.00"))
    ]
    assert [row[2:4] for row in fenwick.totals] == [
        ("Goods", Decimal("5.00")),
        ("Delivery", Decimal("1.50")),
        ("To pay", Decimal("6.50")),
    ]
    assert [row[2:4] for row in lane.totals] == [("To pay", Decimal("14.50"))]


def test_every_line_of_a_supplement_has_a_cell_for_every_column() -> None:
    for one in shopping_list(SUPPLEMENTED, SUPPLEMENTED_PLAN).blocks:
        if isinstance(one, Table):
            assert {len(row) for row in one.rows} == {len(one.columns)}


def test_another_name_of_the_supplier_stands_before_ours() -> None:
    oil = replace(SUPPLEMENTED.supplement_offers[0], item="Pure Salmon 1000")
    scenario = replace(SUPPLEMENTED, supplement_offers=(oil, SUPPLEMENTED.supplement_offers[1]))
    (row,) = table(shopping_list(scenario, SUPPLEMENTED_PLAN), "order", b.FENWICK).rows
    assert row[1] == "Pure Salmon 1000 (salmon oil)"


def test_supplements_alone_are_something_to_buy() -> None:
    plan = replace(SUPPLEMENTED_PLAN, lines=(), bills=SUPPLEMENTED_PLAN.bills[1:])
    assert "Nothing to buy" not in repr(shopping_list(SUPPLEMENTED, plan).blocks)


def test_a_dog_bears_what_it_is_given_of_what_was_bought() -> None:
    # what was at home is used first: 28 - 10 = 18 of the 30 g bought
    assert parts_bought(SUPPLEMENTED, SUPPLEMENTED_PLAN) == {
        "salmon oil": {"Bramble": Fraction(28, 60), "Fern": 0},
        "egg shell powder": {"Bramble": Fraction(18, 30), "Fern": 0},
    }


def test_costs_of_dogs_with_supplements_add_up_to_the_bills() -> None:
    # Bramble 3500 of 5000 g of 12.00, 28 of 60 of 5.00 and its delivery of 1.50, 18 of 30 of 2.50:
    # 8.40 + 3.0333 + 1.50; Fern 1400 of 5000 g, 3.36; left 0.24 + 3.4667 + 1.00
    dogs, left_over = shares_of_bill(SUPPLEMENTED, SUPPLEMENTED_PLAN)
    assert (dogs, left_over) == ((Decimal("12.93"), Decimal("3.36")), Decimal("4.71"))
    assert sum(dogs) + left_over == SUPPLEMENTED_PLAN.total == Decimal("21.00")


def test_what_is_left_over_goes_to_the_freezer_or_the_shelf() -> None:
    rows = table(costs(SUPPLEMENTED, SUPPLEMENTED_PLAN), "by_dog").rows
    assert rows[-1] == ("left over, back to the freezer or the shelf", None, Decimal("4.71"), None)


def test_what_was_at_home_is_shared_among_all_who_are_given_of_it() -> None:
    # 28 + 14 = 42 of 10 at home and 60 bought: 32 of 60, of which Bramble has two thirds
    doses = (Dose("Bramble", SHELL.name, 2), Dose("Fern", SHELL.name, 1))
    plan = replace(SUPPLEMENTED_PLAN, doses=doses, supplement_lines=(b.a_line("shell", 2, 5),))
    parts = parts_bought(SUPPLEMENTED, plan)[SHELL.name]
    assert parts == {"Bramble": Fraction(32 * 2, 60 * 3), "Fern": Fraction(32, 60 * 3)}


def test_a_pack_of_which_nothing_is_needed_is_nobodys() -> None:
    # 28 g are given and 40 g are at home
    scenario = replace(SUPPLEMENTED, supplements=(OIL, replace(SHELL, on_hand_steps=40)))
    assert parts_bought(scenario, SUPPLEMENTED_PLAN)[SHELL.name] == {"Bramble": 0, "Fern": 0}
    dogs, left_over = shares_of_bill(scenario, SUPPLEMENTED_PLAN)
    assert sum(dogs) + left_over == Decimal("21.00")
