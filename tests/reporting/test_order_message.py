"""The message to a supplier is plain lines in its own names, codes and units.

All names and prices are invented. **Source:** the international pound of 1959, 0.45359237 kg, for the exact weights.
"""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from raworder.reporting.order import order_message, weight_text
from raworder.trade.document import Paragraph, Verbatim
from raworder.trade.plan import OrderLine, Plan
from raworder.trade.scenario import Offer, PriceStep, Scenario, SupplementOffer
from raworder.trade.units import GRAMS_PER, day_text, day_with_year
from tests import builders as b
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.supplemented import OIL


def messages(scenario: Scenario, plan: Plan) -> dict[str, list[str]]:
    """The lines to each supplier."""
    blocks = [one for one in order_message(scenario, plan).blocks if isinstance(one, Verbatim)]
    return {one.title: one.text.split("\n") for one in blocks}


def ordered(*offers: Offer, units: int = 3) -> tuple[Scenario, Plan]:
    """So many units of each offer are bought from one supplier."""
    cuts = tuple(b.a_cut(name) for name in sorted({one.cut for one in offers}))
    lines = tuple(OrderLine(one.key, units, b.euros("4.20")) for one in offers)
    bill = b.a_bill(goods=b.euros("4.20") * len(offers))
    return b.a_scenario(cuts=cuts, offers=offers), b.a_plan(lines=lines, bills=(bill,))


def items(*offers: Offer, units: int = 3) -> list[str]:
    """The lines of items alone."""
    return messages(*ordered(*offers, units=units))[b.HOLLOW_LANE][1:-1]


def in_pounds(grams: Fraction, *, by_weight: bool = False, per: str = "per lb") -> Offer:
    """An offer of so exact a weight."""
    step = (PriceStep(1, Fraction(5), b.euros(5), per.removeprefix("per ")),)
    return replace(b.an_offer(), unit_g=grams, by_weight=by_weight, steps=step)


def test_every_supplier_of_the_bill_has_a_message_in_that_order() -> None:
    told = messages(HOUSEHOLD, HOUSEHOLD_PLAN)
    assert list(told) == ["Hollow Lane Butcher", "Fenwick Wholesale"]
    assert told["Hollow Lane Butcher"][:4] == [
        f"Order for pick-up or delivery before {day_text(HOUSEHOLD.portioned_on)}:",
        "3 x CN-01 Chicken necks, skin off, frozen, pack of 1 kg",
        "6.684 kg B-12 beef trim",
        "3 x L-3 lamb liver, pack of 400 g",
    ]


def test_the_total_is_that_of_the_bill_by_the_suppliers_own_list() -> None:
    for bill in HOUSEHOLD_PLAN.bills:
        last = messages(HOUSEHOLD, HOUSEHOLD_PLAN)[bill.supplier][-1]
        listed_on = HOUSEHOLD.supplier(bill.supplier).list_date
        assert last.startswith(
            f"Expected total, at your list{f' of {day_with_year(listed_on)}' if listed_on else 'ed prices'}: "
        )
        assert HOUSEHOLD.currency.text(bill.total) in last
        assert ("delivery" in last) == bool(bill.delivery or HOUSEHOLD.supplier(bill.supplier).delivery)
        assert ("sales tax" in last) == bool(bill.tax)


def test_all_that_is_asked_for_beside_the_goods_is_told() -> None:
    scenario, plan = ordered(b.an_offer())
    supplier = replace(b.a_supplier(), delivery=b.euros(9), sales_tax=Fraction(7, 100), list_date=date(2027, 1, 20))
    bill = b.a_bill(goods="4.20", delivery=9, tax="0.29")
    told = messages(replace(scenario, suppliers=(supplier,)), replace(plan, bills=(bill,)))
    assert told[b.HOLLOW_LANE][-1] == (
        "Expected total, at your list of 20 Jan 2027: 13.49 EUR "
        "(goods 4.20 EUR, delivery 9.00 EUR, sales tax 7 % 0.29 EUR)."
    )


def test_packs_of_a_catch_weight_and_their_total_are_about_so_much() -> None:
    about = replace(b.an_offer(), heaviest_g=Fraction(1100))
    assert items(about) == ["3 x beef trim, pack of about 1 kg"]
    assert "prices: about 4.20 EUR" in messages(*ordered(about))[b.HOLLOW_LANE][-1]


@pytest.mark.parametrize(
    ("offer", "units", "says"),
    [
        (in_pounds(5 * GRAMS_PER["lb"]), 1, "5 lb"),
        (in_pounds(12 * GRAMS_PER["oz"]), 1, "12 oz"),
        (in_pounds(Fraction(5, 2) * GRAMS_PER["lb"]), 1, "2 lb 8 oz"),
        (in_pounds(4 * GRAMS_PER["oz"], by_weight=True), 19, "4 lb 12 oz"),
        (in_pounds(Fraction(49, 8) * GRAMS_PER["oz"]), 1, "6.125 oz"),
        (in_pounds(Fraction(1), by_weight=True), 1361, "3 lb"),  # 1361 g are 48.008 oz
        (in_pounds(Fraction(1), by_weight=True, per="per kg"), 1361, "1.361 kg"),
        (in_pounds(Fraction(50), by_weight=True), 4, "200 g"),  # priced per pound, sold in steps of 50 g
        (in_pounds(Fraction(25, 2), by_weight=True), 2, "25 g"),
        (in_pounds(Fraction(2268)), 1, "2.268 kg"),  # not just five pounds
    ],
)
def test_weights_are_in_the_suppliers_own_unit(offer: Offer, units: int, says: str) -> None:
    assert weight_text(offer, units) == says


def test_what_is_read_in_pounds_does_not_change_with_the_unit_that_people_read() -> None:
    scenario, plan = ordered(in_pounds(5 * GRAMS_PER["lb"]))
    for unit in ("kg", "lb"):
        told = messages(replace(scenario, weight_unit=unit), plan)[b.HOLLOW_LANE]
        assert told[1] == "3 x beef trim, pack of 5 lb"


def test_our_name_stands_beside_theirs_only_where_theirs_would_do_for_two() -> None:
    beef, lamb = (b.an_offer(cut, item="heart", key=cut) for cut in ("beef heart", "lamb heart"))
    assert items(beef) == ["3 x heart, pack of 1 kg"]
    assert items(beef, lamb) == ["3 x heart (beef heart), pack of 1 kg", "3 x heart (lamb heart), pack of 1 kg"]
    coded = (replace(beef, code="H1"), replace(lamb, code="H2"))
    assert items(*coded) == ["3 x H1 heart, pack of 1 kg", "3 x H2 heart, pack of 1 kg"]
    lean, fat = (b.an_offer(f"beef trim (fat {share} %)", item="beef trim", key=share) for share in ("5", "12"))
    assert items(lean, fat)[0] == "3 x beef trim (fat 5 %), pack of 1 kg"


def test_supplements_are_ordered_too() -> None:
    scenario, plan = ordered(b.an_offer())
    packed = SupplementOffer("oil", b.HOLLOW_LANE, OIL.name, "Fish oil", 120, b.euros("9.80"))
    told = messages(
        replace(scenario, supplements=(OIL,), supplement_offers=(packed,)),
        replace(plan, supplement_lines=(OrderLine("oil", 2, b.euros("19.60")),)),
    )
    assert told[b.HOLLOW_LANE][2] == "2 x Fish oil, pack of 120 capsules"


def test_a_name_of_several_lines_stays_one_item() -> None:
    assert items(b.an_offer(item="two\nlines\u2028and\r\nmore")) == ["3 x two lines and more, pack of 1 kg"]


def test_nothing_to_order_is_said() -> None:
    blocks = order_message(b.a_scenario(), b.a_plan(lines=(), bills=())).blocks
    assert blocks == (Paragraph("Nothing to order: the freezer holds all that is fed."),)
