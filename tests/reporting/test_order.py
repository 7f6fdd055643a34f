"""The shopping list says what to ask for in shop units and what it costs."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from raworder.reporting.order import shopping_list
from raworder.reporting.words import price_text, units_text
from raworder.trade.document import Document, Paragraph, Table
from raworder.trade.plan import LotUse
from tests import builders as b
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN


def tables(document: Document, key: str) -> list[Table]:
    return [block for block in document.blocks if isinstance(block, Table) and block.key == key]


def column(table: Table, key: str) -> list[object]:
    place = [one.key for one in table.columns].index(key)
    return [row[place] for row in table.rows]


def sums(table: Table) -> list[tuple[object, object]]:
    return [(row[2], row[3]) for row in table.totals]


ORDERS = tables(shopping_list(HOUSEHOLD, HOUSEHOLD_PLAN), "order")


def test_every_supplier_of_the_bill_has_a_table_in_that_order() -> None:
    assert [table.title for table in ORDERS] == ["Hollow Lane Butcher", "Fenwick Wholesale"]


def test_amounts_stand_in_shop_units() -> None:
    assert column(ORDERS[0], "to_buy") == [
        "3 packs of 1 kg",
        "6.684 kg by weight",
        "3 packs of 400 g",
        "650 g by weight",
    ]


def test_the_suppliers_own_name_and_code_stand_beside_ours() -> None:
    assert column(ORDERS[0], "item")[:2] == ["CN-01 Chicken necks, skin off, frozen (chicken neck)", "B-12 beef trim"]
    assert column(ORDERS[1], "item")[1] == "Curly kale (kale)"


def test_a_cut_told_apart_by_its_figures_is_named_once() -> None:
    cut = b.a_cut("beef trim (fat 12 %)")
    scenario = b.a_scenario(cuts=(cut,), offers=(b.an_offer(cut.name, item="beef trim", key="trim"),))
    plan = b.a_plan(lines=(b.a_line("trim"),), portions=(b.a_portion(cut=cut.name),))
    assert column(tables(shopping_list(scenario, plan), "order")[0], "item") == ["beef trim (fat 12 %)"]


def test_the_price_is_that_of_the_step_used() -> None:
    assert column(ORDERS[0], "price") == [
        "2.25 per pack, from 3 packs",
        "5.90 per kg, from 5 kg",
        "1.90 per pack",
        "3.60 per kg",
    ]


def test_goods_delivery_tax_and_total_stand_under_the_lines() -> None:
    assert sums(ORDERS[0]) == [
        ("Goods", Decimal("54.23")),
        ("Delivery", Decimal("6.50")),
        ("Sales tax 7 %", Decimal("3.80")),
        ("To pay", Decimal("64.53")),
    ]


def test_free_delivery_says_from_which_amount() -> None:
    assert sums(ORDERS[1])[1] == ("Delivery, free from 25.00 EUR", Decimal("0.00"))


def test_a_supplier_without_charges_shows_only_what_is_paid() -> None:
    (only,) = tables(shopping_list(b.a_scenario(), b.a_plan()), "order")
    assert sums(only) == [("To pay", Decimal("16.80"))]


def test_a_sales_tax_with_decimals_keeps_them() -> None:
    scenario = b.a_scenario(suppliers=(b.a_supplier(sales_tax="29/400"),))
    (only,) = tables(shopping_list(scenario, b.a_plan(bills=(b.a_bill(tax="1.22"),))), "order")
    assert ("Sales tax 7.25 %", Decimal("1.22")) in sums(only)


def test_the_grand_total_is_told_when_there_are_several_suppliers() -> None:
    texts = [block.text for block in shopping_list(HOUSEHOLD, HOUSEHOLD_PLAN).blocks if isinstance(block, Paragraph)]
    assert "To pay in all: 92.93 EUR." in texts


def test_the_list_date_is_told_where_it_is_known() -> None:
    assert [table.note for table in ORDERS] == ["Price list of 20 Jan 2027.", ""]


def test_lines_are_ticked_off_by_hand() -> None:
    assert all(table.tick for table in ORDERS)


def test_programs_get_units_weights_and_listed_prices() -> None:
    assert column(ORDERS[0], "units") == [3, 6684, 3, 13]
    assert column(ORDERS[0], "weight_g") == [3000, 6684, 1200, 650]
    assert column(ORDERS[0], "listed_price") == [Decimal("2.25"), Decimal("5.90"), Decimal("1.90"), Decimal("3.60")]


def test_the_oldest_lots_are_taken_first_and_undated_ones_before_all() -> None:
    (taken,) = tables(shopping_list(HOUSEHOLD, HOUSEHOLD_PLAN), "from_freezer")
    assert column(taken, "cut") == ["chicken neck", "beef heart", "beef heart"]
    assert column(taken, "frozen_on") == [None, date(2026, 12, 20), date(2027, 1, 10)]
    assert column(taken, "used_g") == [600, 500, 270]


def test_a_lot_that_is_not_touched_is_not_listed() -> None:
    plan = replace(HOUSEHOLD_PLAN, lots_used=(LotUse(0, 0), LotUse(1, 500), LotUse(2, 600)))
    (taken,) = tables(shopping_list(HOUSEHOLD, plan), "from_freezer")
    assert column(taken, "used_g") == [600, 500]


def test_what_goes_back_and_what_it_is_worth_add_up() -> None:
    (back,) = tables(shopping_list(HOUSEHOLD, HOUSEHOLD_PLAN), "back_to_freezer")
    assert back.totals == (("together", 844, 714, 130, Decimal("4.53")),)
    assert sum(column(back, "left_g")) == 844  # type: ignore[arg-type]  # grams are whole numbers


def test_cuts_used_up_are_not_listed_as_left_over() -> None:
    plan = replace(HOUSEHOLD_PLAN, leftovers=(*HOUSEHOLD_PLAN.leftovers, b.a_leftover("beef trim")))
    (back,) = tables(shopping_list(HOUSEHOLD, plan), "back_to_freezer")
    assert "beef trim" not in column(back, "cut")


def test_nothing_to_buy_is_said() -> None:
    scenario = b.a_scenario(offers=(), suppliers=(), on_hand=(b.on_hand(grams=7_000),))
    document = shopping_list(scenario, b.a_plan(lines=(), bills=(), lots_used=(LotUse(0, 7_000),)))
    assert document.blocks[0] == Paragraph("Nothing to buy: the freezer holds all that is fed.")
    assert not tables(document, "order")


def test_the_sentence_of_proof_closes_the_list() -> None:
    last = shopping_list(HOUSEHOLD, HOUSEHOLD_PLAN).blocks[-1]
    assert isinstance(last, Paragraph)
    assert last.text.startswith("Proved: no order")


def test_one_pack_is_no_packs() -> None:
    assert units_text(b.an_offer(pack_g=250), 1, "kg") == "1 pack of 250 g"


def test_pounds_are_shown_where_the_scenario_asks_for_them() -> None:
    # 1 lb is 453.59237 g exactly. Source: the international pound of 1959.
    assert units_text(b.an_offer_by_weight(), 907, "lb") == "2 lb by weight"
    offer = b.an_offer(breaks={5: "2.20"})
    assert price_text(offer, offer.step_for(6), "lb") == "2.20 per pack, from 5 packs"
