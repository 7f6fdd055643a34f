"""The paper on who pays what says what is borne, what was paid, and which payments settle it.

Source: worked by hand; the sums stand beside the numbers.
"""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

import pytest

from raworder.replanning import replan_batch
from raworder.solving.solver import Settings
from raworder.studies.paid_already import Paid, SettlingError, match_payments
from raworder.studies.settling import SettlingRules, ShareRule
from raworder.trade.document import Cell, Document, Facts, Paragraph, Table, Verbatim
from raworder.trade.plan import Plan
from raworder.trade.purchase import SECOND_TRIP, Receipt, Received
from raworder.trade.scenario import YOUR_LIST
from raworder.trade.units import Currency
from tests import builders as b
from tests.studies.shared_orders import SHARED, SHARED_PLAN
from tests.worked_out import settle

KEPT = SettlingRules(kept_by="Bo")
"""Ada then bears 36.60, Bo 32.40 and Cleo nothing; 69.00 in all."""


def settled(*paid: tuple[str, ...], rules: SettlingRules = KEPT) -> Document:
    told = [Paid(owner, Decimal(amount), *supplier) for owner, amount, *supplier in paid]
    return settle(SHARED, SHARED_PLAN, rules, told)


def table(document: Document, key: str) -> Table:
    return next(block for block in document.blocks if isinstance(block, Table) and block.key == key)


def facts(document: Document) -> dict[str, Cell]:
    return {fact.key: fact.value for block in document.blocks if isinstance(block, Facts) for fact in block.items}


def payments(document: Document) -> Sequence[tuple[Cell, ...]]:
    return [(*row[:2], str(row[2])) for row in table(document, "payments").rows]


def last_words(document: Document) -> str:
    last = document.blocks[-1]
    assert isinstance(last, Paragraph)
    return last.text


def test_before_anything_is_paid_all_pay_the_suppliers() -> None:
    document = settled()
    assert facts(document) == {"total": Decimal("69.00"), "paid": Decimal(0), "to_suppliers": Decimal("69.00")}
    assert payments(document) == [
        ("Ada", b.HOLLOW_LANE, "36.60"),
        ("Bo", b.HOLLOW_LANE, "24.40"),
        ("Bo", b.FENWICK, "8.00"),
    ]
    assert not any(isinstance(block, Table) and block.key == "balances" for block in document.blocks)


def test_who_has_paid_for_all_is_paid_by_the_others() -> None:
    document = settled(("Cleo", "60.00"), ("Cleo", "9.00"))
    assert payments(document) == [("Ada", "Cleo", "36.60"), ("Bo", "Cleo", "32.40")]
    assert table(document, "payments").note == "2 payments; fewer can't settle it."
    assert facts(document)["to_suppliers"] == 0


def test_who_has_paid_in_part_is_told_what_is_left_for_whom() -> None:
    """Bo paid the 61.00 of the first bill and gets 28.60 back; the 8.00 of the second are owed still."""
    document = settled(("Bo", "61.00"))
    assert payments(document) == [("Ada", "Bo", "28.60"), ("Ada", b.FENWICK, "8.00")]
    rows = {row[0]: tuple(map(str, row[1:])) for row in table(document, "balances").rows}
    assert rows["Ada"] == ("36.60", "0", "36.60", "0")
    assert rows["Bo"] == ("32.40", "61.00", "0", "28.60")


def bills(document: Document) -> dict[str, tuple[str, ...]]:
    """What each bill comes to, what is paid of it and what is owed."""
    found = table(document, "by_supplier")
    return {str(row[0]): tuple(map(str, row[1:])) for row in (*found.rows, *found.totals)}


def test_what_was_paid_for_a_bill_is_taken_off_that_bill() -> None:
    """Bo paid 5.00 of the 8.00 of the second bill; 61.00 of the first and 3.00 of the second are owed still."""
    document = settled(("Bo", "5.00", b.FENWICK))
    assert bills(document) == {
        b.HOLLOW_LANE: ("61.00", "0", "61.00"),
        b.FENWICK: ("8.00", "5.00", "3.00"),
        "together": ("69.00", "5.00", "64.00"),
    }
    assert payments(document) == [
        ("Ada", b.HOLLOW_LANE, "36.60"),
        ("Bo", b.HOLLOW_LANE, "24.40"),
        ("Bo", b.FENWICK, "3.00"),
    ]


def test_a_bill_of_what_must_be_fetched_may_be_named_as_the_page_names_it() -> None:
    fetched = replace(
        SHARED_PLAN, bills=tuple(replace(one, supplier=one.supplier + SECOND_TRIP) for one in SHARED_PLAN.bills)
    )
    found = match_payments(SHARED, fetched, [Paid("Bo", Decimal("5.00"))])
    for bill in found.bills:
        named = match_payments(SHARED, fetched, [Paid("Bo", Decimal("5.00"), bill.payee)])
        assert {one.supplier: str(one.paid) for one in named.bills}[bill.supplier] == "5.00"
        assert bill.payee == bill.supplier


def test_where_nobody_said_which_bill_was_paid_the_suppliers_stand_together() -> None:
    """Of 69.00 Bo has paid 20.00, which is no bill: 36.60 of Ada and 12.40 of Bo are owed to nobody knows whom."""
    document = settled(("Bo", "20.00"))
    assert payments(document) == [("Ada", "the suppliers", "36.60"), ("Bo", "the suppliers", "12.40")]
    assert bills(document)["nobody said which"] == ("0", "20.00", "-20.00")
    assert bills(document)["together"] == ("69.00", "20.00", "49.00")
    said = [block.text for block in document.blocks if isinstance(block, Paragraph)]
    assert any(f'`--paid Bo "20.00 for {b.HOLLOW_LANE}"`' in text for text in said)


def test_what_was_paid_when_one_bill_is_open_is_for_that_bill() -> None:
    """The 8.00 are paid by name; the 20.00 can only be of the other bill."""
    document = settled(("Cleo", "8.00", b.FENWICK), ("Bo", "20.00"))
    assert bills(document)[b.HOLLOW_LANE] == ("61.00", "20.00", "41.00")
    assert payments(document) == [
        ("Ada", b.HOLLOW_LANE, "36.60"),
        ("Bo", "Cleo", "8.00"),
        ("Bo", b.HOLLOW_LANE, "4.40"),
    ]


def test_the_supplier_of_a_list_without_a_name_is_the_supplier() -> None:
    nameless = b.a_supplier(YOUR_LIST)
    scenario = replace(
        SHARED_ONE, suppliers=(nameless,), offers=tuple(replace(one, supplier=YOUR_LIST) for one in SHARED_ONE.offers)
    )
    plan = b.a_plan()
    plan = replace(plan, bills=tuple(replace(bill, supplier=YOUR_LIST) for bill in plan.bills))
    assert {row[1] for row in payments(settle(scenario, plan))} == {"the supplier"}


def test_a_line_to_send_round_says_the_payments() -> None:
    line = next(block for block in settled(("Bo", "61.00")).blocks if isinstance(block, Verbatim))
    assert line.text == f"Ada pays Bo 28.60 EUR; Ada pays {b.FENWICK} 8.00 EUR."


def test_when_each_has_paid_the_own_share_nobody_owes_anything() -> None:
    document = settled(("Ada", "36.60"), ("Bo", "32.40"))
    assert Paragraph("Nobody owes anything.") in document.blocks
    assert not any(isinstance(block, Verbatim) for block in document.blocks)


def test_the_sums_under_the_table_are_those_of_its_rows() -> None:
    by_owner = table(settled(), "by_owner")
    assert by_owner.totals[0][2:] == tuple(map(Decimal, ("50.00", "5.00", "9.00", "5.00", "69.00")))
    for row in by_owner.rows:
        *parts, share = (Decimal(str(cell)) for cell in row[2:])
        assert sum(parts) == share


def test_what_nobody_bears_is_not_shown() -> None:
    document = settle(SHARED_ONE, b.a_plan())
    shown = [column.key for column in table(document, "by_owner").columns if column.shown]
    assert shown == ["owner", "food", "share"]


SHARED_ONE = b.a_scenario(dogs=(b.a_dog(owner="Ada"),))


def test_the_rules_are_told() -> None:
    words = last_words(settled(rules=SettlingRules(ShareRule.WEIGHT, ShareRule.EQUALLY, kept_by="Bo")))
    assert "Delivery is shared by weight" in words
    assert "Sales tax is shared equally" in words
    assert "kept and paid by Bo alone" in words
    default = last_words(settled(rules=SettlingRules()))
    assert "Delivery and sales tax are shared by money" in default
    assert "owned by food" in default
    assert "in the order Ada, Bo and Cleo" in default


def test_where_no_dog_has_an_owner_there_is_nothing_to_settle() -> None:
    document = settle(b.a_scenario(), b.a_plan())
    assert len(document.blocks) == 1
    assert "nothing to settle" in last_words(document)


def test_an_order_that_buys_nothing_leaves_nothing_to_pay() -> None:
    scenario = replace(SHARED_ONE, on_hand=(b.on_hand(grams=7_000),))
    document = settle(scenario, b.a_plan(lines=(), bills=()))
    assert Paragraph("Nobody owes anything.") in document.blocks
    assert facts(document)["total"] == 0


@pytest.mark.parametrize(("digits", "amount", "says"), [(0, "17", "17 JPY"), (3, "0.017", "0.017 JPY")])
def test_currencies_of_other_digits_are_settled_in_their_own_units(digits: int, amount: str, says: str) -> None:
    scenario = replace(SHARED_ONE, currency=Currency("JPY", digits))
    money = Decimal(amount)
    plan = b.a_plan(lines=(replace(b.a_line(), goods=money),), bills=(replace(b.a_bill(), goods=money),))
    line = next(block for block in settle(scenario, plan).blocks if isinstance(block, Verbatim))
    assert line.text == f"Ada pays {b.HOLLOW_LANE} {says}."


@pytest.mark.parametrize(
    ("paid", "message", "remedy"),
    [
        (("Eve", "5"), "`Eve` owns no dog here", "the owners are Ada, Bo and Cleo"),
        (("Ada", "69.01"), "69.01 EUR were paid, but the bills come to 69.00 EUR", "tell only what was paid"),
        (("Ada", "1.005"), "`Ada` cannot have paid 1.005", "whole multiples of 0.01 EUR"),
        (("Ada", "-1"), "`Ada` cannot have paid -1", "whole multiples of 0.01 EUR"),
        (("Ada", "9", b.FENWICK), "9.00 EUR were paid for `Fenwick Wholesale`, but its bill comes to 8.00 EUR", "each"),
        (
            ("Ada", "9", b.TIDEWELL),
            f"there is no bill of `{b.TIDEWELL}`",
            f"bills of `{b.HOLLOW_LANE}` and `{b.FENWICK}`",
        ),
        (("Ada", "NaN"), "`Ada` cannot have paid NaN", "whole multiples of 0.01 EUR"),
    ],
)
def test_what_cannot_have_been_paid_is_refused(paid: tuple[str, ...], message: str, remedy: str) -> None:
    with pytest.raises(SettlingError) as refused:
        settled(paid)
    assert str(refused.value) == message
    assert remedy in refused.value.help


def test_the_left_over_cannot_be_kept_by_a_stranger() -> None:
    with pytest.raises(SettlingError, match="`Eve` owns no dog here"):
        settled(rules=SettlingRules(kept_by="Eve"))


def test_after_the_shop_the_prices_really_paid_are_settled() -> None:
    """7 kg were planned at 2.40 a pack; 16.10 were paid, and 2.50 for bringing it."""
    scenario = b.a_scenario(dogs=(b.a_dog(daily_g=300, owner="Ada"), b.a_dog("Juniper", daily_g=200, owner="Bo")))
    receipt = Receipt(
        (Received(scenario.offers[0].key, b.HOLLOW_LANE, "beef trim", 7, 7_000, Decimal("16.10")),),
        delivery=((b.HOLLOW_LANE, Decimal("2.50")),),
    )
    replanned = replan_batch(scenario, receipt, Settings())
    assert isinstance(replanned.answer, Plan)
    document = settle(replanned.scenario, replanned.answer)
    # by 4200 and 2800 g: 18.60 x 3 / 5 and x 2 / 5
    assert payments(document) == [("Ada", b.HOLLOW_LANE, "11.16"), ("Bo", b.HOLLOW_LANE, "7.44")]


def test_a_single_bill_stands_in_no_table_of_bills() -> None:
    """All that Ada's dog eats is of one bill: 61.00."""
    one = replace(SHARED_PLAN, lines=SHARED_PLAN.lines[:2], bills=SHARED_PLAN.bills[:1])
    tables = [block.key for block in settle(SHARED, one, KEPT).blocks if isinstance(block, Table)]
    assert "by_supplier" not in tables
    assert "by_owner" in tables
    assert "by_supplier" in [block.key for block in settled().blocks if isinstance(block, Table)]


def test_every_column_of_who_bears_what_has_its_key() -> None:
    keys = [column.key for column in table(settled(), "by_owner").columns]
    assert keys == ["owner", "dogs", "food", "left_over", "delivery", "tax", "share"]
