"""Several scenarios side by side: costs, orders and price lists against sums by hand.

All names, prices and amounts are invented.

**Source:** arithmetic; sums stand beside the numbers.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from raworder.studies.asking import Ask
from raworder.studies.differences import compare_offers, cost_at, prices_text, replace_lists, terms
from raworder.studies.side_by_side import compare_variants
from raworder.trade.cuts import Part
from raworder.trade.document import Document
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.units import Currency
from tests import builders as b
from tests.studies.tables import row_of, rows_of
from tests.studies.telling import told

FIRST = b.a_scenario(
    title="the first",
    # 7000 g: seven packs of trim at 2.40, 16.80
    cuts=[b.TRIM, b.HEART],
    offers=[b.an_offer("beef trim", key="trim"), b.an_offer("beef heart", key="heart", price="3.00")],
)
DEARER = replace(
    FIRST,
    title="dearer trim",
    # trim at 3.10 and 21.70 in all; heart is still 3.00, 21.00
    offers=(b.an_offer("beef trim", key="trim", price="3.10"), b.an_offer("beef heart", key="heart", price="3.00")),
)
TWO_DOGS = replace(DEARER, title="another dog", dogs=(*FIRST.dogs, b.a_dog("Juniper", daily_g=250)))


def compared(*scenarios: Scenario) -> tuple[Document, Ask]:
    ask = Ask()
    return compare_variants([(f"file {place}", one) for place, one in enumerate(scenarios, start=1)], ask), ask


def changes(first: list[Offer], second: list[Offer]) -> dict[str, str]:
    cuts = [b.TRIM, b.HEART]
    before, after = (b.a_scenario(cuts=cuts, offers=offers) for offers in (first, second))
    return {one.offer.cut: one.says for one in compare_offers(before, after)}


def test_costs_stand_in_one_table_against_the_first() -> None:
    paper, ask = compared(FIRST, DEARER)
    rows = [(row["variant"], row["title"], row["cost"], row["difference"]) for row in rows_of(paper, "variants")]
    assert rows == [
        ("file 1", "the first", Decimal("16.80"), Decimal(0)),
        ("file 2", "dearer trim", Decimal("21.00"), Decimal("4.20")),
    ]
    assert row_of(paper, "variants", "file 2")["cost_per_dog_day"] == Decimal("1.50")  # 21.00 / 14
    assert ask.asked == 2  # the lists alone differ, so nothing more need be solved


def test_lines_bought_in_one_and_not_the_other_are_told_in_packs() -> None:
    paper, _ = compared(FIRST, DEARER)
    moved = {row["cut"]: (row["moved"], row["to_buy_before"], row["to_buy_after"]) for row in rows_of(paper, "changes")}
    assert moved == {"beef trim": ("gone", "7 packs of 1 kg", None), "beef heart": ("new", None, "7 packs of 1 kg")}


def test_other_prices_are_told_with_what_they_do_to_the_order() -> None:
    paper, _ = compared(FIRST, DEARER)
    (row,) = rows_of(paper, "prices")
    assert (row["price"], row["price_before"], row["price_after"]) == ("dearer", "2.40 per pack", "3.10 per pack")
    assert row["bought"] == "bought before"
    text = told(paper)
    assert "costs 21.70 EUR at the prices of file 2" in text  # 7 x 3.10
    assert "all else as in file 1, it costs 21.00 EUR" in text


def test_what_the_lists_change_is_told_apart_from_all_else() -> None:
    paper, ask = compared(FIRST, TWO_DOGS)
    # one dog at the new prices 21.00; two dogs eat 10500 g, eleven packs at 3.00, 33.00
    assert "the lists change the cost by 4.20 EUR, all else by 12.00 EUR" in told(paper)
    assert ask.asked == 3


def test_the_same_lists_and_the_same_order_are_told_as_the_same() -> None:
    paper, ask = compared(FIRST, replace(FIRST, title="again"))
    assert "The price lists of file 2 are those of file 1" in told(paper)
    assert "file 2 buys the same as file 1" in told(paper)
    assert ask.asked == 2  # a title is no rule, but it is another scenario


def test_a_newer_list_with_the_same_prices_needs_no_solve_of_its_own() -> None:
    newer = replace(TWO_DOGS, suppliers=(b.a_supplier(list_date=date(2027, 1, 1)),), offers=FIRST.offers)
    assert compared(FIRST, newer)[1].asked == 2


def test_currencies_are_never_subtracted() -> None:
    yen = replace(FIRST, currency=Currency("JPY", 0), offers=(b.an_offer("beef trim", price=240),))
    paper, _ = compared(FIRST, yen)
    assert [row["cost"] for row in rows_of(paper, "variants")] == ["16.80 EUR", "1680 JPY"]
    assert "difference" not in rows_of(paper, "variants")[0]
    assert "in different currencies" in told(paper)
    assert "price lists" not in told(paper)


def test_a_scenario_without_a_plan_is_told_as_such() -> None:
    hungry = replace(FIRST, dogs=(b.a_dog(targets=[b.a_target(Part.BONE)]),))
    assert row_of(compared(FIRST, hungry)[0], "variants", "file 2")["remark"] == "no plan: no bone for Maple"
    paper, _ = compared(hungry, FIRST)
    assert row_of(paper, "variants", "file 2")["difference"] is None
    assert row_of(paper, "variants", "file 2")["cost"] == Decimal("16.80")


def test_a_line_that_is_gone_makes_the_first_order_impossible() -> None:
    paper, _ = compared(FIRST, replace(FIRST, offers=FIRST.offers[1:]))
    assert "cannot be had from the lists of file 2: a line of it is gone" in told(paper)


def test_old_lists_are_told_with_the_file_they_are_in() -> None:
    old = replace(FIRST, suppliers=(b.a_supplier(list_date=date(2026, 12, 1)),))
    # 30 + 31 + 6 days to 2027-02-06
    assert f"file 2: The price list of {b.HOLLOW_LANE} is 67 days old" in told(compared(FIRST, old)[0])


def test_an_interrupt_before_the_first_answer_tells_nothing() -> None:
    assert compare_variants([("file 1", FIRST), ("file 2", DEARER)], Ask(interrupted=True)).blocks == ()


def test_an_offer_is_known_again_by_supplier_cut_and_pack() -> None:
    trim = b.an_offer("beef trim", key="one key")
    assert changes([trim], [replace(trim, key="another key", item="trimmings")]) == {"beef trim": ""}
    assert changes([trim], [b.an_offer("beef trim", price="2.41")]) == {"beef trim": "dearer"}
    assert changes([trim], [b.an_offer("beef trim", price="2.39")]) == {"beef trim": "cheaper"}
    assert changes([trim], [b.an_offer("beef trim", available=5)]) == {"beef trim": "other amount there"}
    assert changes([trim], [b.an_offer("beef heart")]) == {"beef trim": "gone", "beef heart": "new"}


def test_an_offer_is_known_again_by_its_code_first_whatever_its_pack_and_its_name() -> None:
    trim = b.an_offer("beef trim", price="2.40", code="T1", item="trim")
    other = b.an_offer("beef trim", price="4.80", pack_g=2000, code="T1", item="trimmings")  # 2.40 a kilogram both
    assert changes([trim], [other]) == {"beef trim": "other pack"}
    assert changes([trim], [replace(other, code="T2", item="trim")]) == {"beef trim": "other pack"}
    nameless = [replace(offer, code="", item="beef trim") for offer in (trim, other)]
    found = compare_offers(*(b.a_scenario(cuts=[b.TRIM], offers=[offer]) for offer in nameless))
    assert [one.says for one in found] == ["gone", "new"]
    # one of two codes is gone: the other is told apart by it, though the pack is the same
    both = [trim, b.an_offer("beef trim", price="9.00", code="T9", item="trim", key="dear")]
    pairs = compare_offers(b.a_scenario(cuts=[b.TRIM], offers=both), b.a_scenario(cuts=[b.TRIM], offers=both[1:]))
    assert [(one.offer.code, one.says) for one in pairs] == [("T1", "gone"), ("T9", "")]


def test_the_same_code_twice_is_paired_by_pack_and_then_in_order() -> None:
    one, two = (b.an_offer("beef trim", key=str(g), pack_g=g, price="2.40", code="T1") for g in (1000, 2000))
    first, second = (b.a_scenario(cuts=[b.TRIM], offers=offers) for offers in ([one, two], [two, one, one]))
    pairs = compare_offers(first, second)
    assert [(pair.before, pair.after) for pair in pairs] == [(one, one), (two, two), (None, one)]


def test_a_pack_that_changed_is_bought_anew() -> None:
    before = b.a_scenario(cuts=[b.TRIM], offers=[b.an_offer("beef trim", code="T1")])
    other = b.an_offer("beef trim", code="T1", pack_g=500, price="1.20")
    paper, _ = compared(before, replace(before, offers=(other,)))
    rows = [(row["moved"], row["to_buy_before"], row["to_buy_after"]) for row in rows_of(paper, "changes")]
    assert rows == [("gone", "7 packs of 1 kg", None), ("new", None, "14 packs of 500 g")]
    assert "a pack of it has changed" in told(paper)


def test_one_step_up_and_another_down_is_neither_dearer_nor_cheaper() -> None:
    before = b.an_offer("beef trim", price="2.40", breaks={5: "2.20"})
    assert changes([before], [b.an_offer("beef trim", price="2.50", breaks={5: "2.10"})]) == {
        "beef trim": "other prices"
    }
    assert changes([before], [b.an_offer("beef trim", price="2.50", breaks={5: "2.20"})]) == {"beef trim": "dearer"}
    assert changes([before], [b.an_offer("beef trim", price="2.40", breaks={6: "2.20"})]) == {
        "beef trim": "other prices"
    }


def test_the_same_price_per_kilogram_in_other_steps_is_the_same() -> None:
    by_gram = b.an_offer_by_weight("beef trim", unit_g=1, price_per_kg="6.00")
    assert changes([by_gram], [b.an_offer_by_weight("beef trim", unit_g=50, price_per_kg="6.00")]) == {
        "beef trim": "other steps"
    }


def test_all_prices_of_an_offer_are_told() -> None:
    offer = b.an_offer(price="2.40", breaks={5: "2.20"})
    assert prices_text(offer, "kg") == "2.40 per pack, 2.20 from 5 packs"
    assert prices_text(None, "kg") == "-"


def test_the_terms_of_suppliers_are_compared() -> None:
    other = replace(
        FIRST,
        suppliers=(b.a_supplier(delivery="4.50", minimum_order=40, free_delivery_from=60, sales_tax="7/100"),),
    )
    assert list(terms(FIRST, other)) == [
        f"{b.HOLLOW_LANE}: delivery 0.00 EUR, now 4.50 EUR",
        f"{b.HOLLOW_LANE}: minimum order 0.00 EUR, now 40.00 EUR",
        f"{b.HOLLOW_LANE}: delivery never free, now free from 60.00 EUR",
        f"{b.HOLLOW_LANE}: another sales tax",
    ]


def test_an_order_costs_goods_by_line_delivery_and_tax() -> None:
    supplier = b.a_supplier(delivery="4.50", minimum_order="9.00", free_delivery_from=20, sales_tax="7/100")
    scenario = replace(FIRST, suppliers=(supplier,))
    assert cost_at(scenario, {"trim": 4}) == Decimal("14.77")  # 9.60 + 4.50 + 0.672
    assert cost_at(scenario, {"trim": 9}) == Decimal("23.11")  # 21.60 + 1.512, delivery free
    assert cost_at(scenario, {"trim": 3}) is None  # 7.20 is below the minimum
    assert cost_at(scenario, {"gone": 1}) is None
    assert cost_at(scenario, {}) == 0
    few = replace(scenario, offers=(replace(FIRST.offers[0], available=3), FIRST.offers[1]))
    assert cost_at(few, {"trim": 4}) is None


def test_lists_of_another_scenario_bring_their_suppliers_and_cuts() -> None:
    liver = b.a_scenario(cuts=[b.LIVER], offers=[b.an_offer("lamb liver", supplier=b.FENWICK)])
    made = replace_lists(FIRST, liver)
    assert ([one.name for one in made.suppliers], [one.cut for one in made.offers]) == ([b.FENWICK], ["lamb liver"])
    assert [one.name for one in made.cuts] == ["beef heart", "beef trim", "lamb liver"]
    assert made.dogs == FIRST.dogs
    assert made.offers[0].unit_g == Fraction(1000)
