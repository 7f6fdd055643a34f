"""The page of a batch: every paper once, in the order of the work, with room to write what the shop did otherwise."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.first_look import SHOW_IT
from raworder.reporting.order import buy_by
from raworder.reporting.shop_page import shop_page
from raworder.reporting.summary import most_to_pay, most_to_pay_for
from raworder.reporting.words import paper
from raworder.trade.cuts import PLANT, SpeciesShare
from raworder.trade.document import Column, Document, Holds, Labels, Paragraph, Points, Table
from raworder.trade.labels import SHEETS
from raworder.trade.nutrients import DogNutrition
from raworder.trade.scenario import YOUR_LIST, Scenario
from raworder.trade.units import day_text
from tests import builders as b
from tests.reporting.samples import HOLLOW, HOUSEHOLD, HOUSEHOLD_PLAN
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN
from tests.worked_out import bag_papers, page_papers, papers

CARD_COLUMNS = (Column("none_of", "If they have none of"), Column("choice", "Choice", shown=False))
CARD = paper(
    HOUSEHOLD,
    "what_instead",
    "What to buy instead",
    (
        Paragraph("How to read it."),
        Table("what_instead", HOLLOW, CARD_COLUMNS, (("necks", "first"), ("", "second"))),
        Table("what_instead", "Fenwick Wholesale", CARD_COLUMNS, (("kale", "first"),)),
        Table("what_instead_lines", "", (Column("none_of", "If they have none of"),), (("all",),), shown=False),
    ),
)
SETTLE = paper(HOUSE, "settle", "Who pays what", ())
PRICES = paper(HOUSE, "prices_to_ask", "Prices to ask for", ())


def tables(document: Document) -> list[Table]:
    return [block for block in document.blocks if isinstance(block, Table)]


def test_the_papers_come_in_the_order_of_the_work() -> None:
    keys = [one.key for one in page_papers(HOUSE, HOUSE_PLAN, {"settle": SETTLE, "prices_to_ask": PRICES})]
    assert keys[:5] == ["first_look", "shopping_list", "kitchen", "fridge_door", "labels"]
    assert keys[-1] == "cautions"
    order = ["shares", "costs", "settle", "prices_to_ask", "counter_sheet", "bag_list", "thaw_plan"]
    assert [key for key in keys if key in order] == order


def test_no_paper_of_a_plan_is_missing() -> None:
    there = {one.key for one in page_papers(HOUSE, HOUSE_PLAN, {})}
    asked = {one.key for one in (*papers(HOUSE, HOUSE_PLAN), *bag_papers(HOUSE, HOUSE_PLAN))}
    assert asked - {"shopping_list"} <= there  # which is a page for each shop
    assert "labels" in there


def test_a_shop_page_has_all_of_the_shopping_list_and_room_to_write() -> None:
    order = shop_page(HOUSEHOLD, HOUSEHOLD_PLAN, HOUSEHOLD_PLAN.bills[0])
    (listed,) = (one for one in tables(papers(HOUSEHOLD, HOUSEHOLD_PLAN)[2]) if one.title == HOLLOW)
    (found,) = tables(order)
    assert order.at_arms_length
    assert order.title == f"Shop: {HOLLOW}"
    assert found.tick
    assert [row[:-2] for row in (*found.rows, *found.totals)] == [*listed.rows, *listed.totals]
    blanks = [column.heading for column in found.columns if column.holds is Holds.BLANK]
    assert blanks == ["Got", "Paid"]
    assert all(row[-2:] == (None, None) for row in found.rows)


def test_a_shop_page_says_by_when_to_buy_and_how_much_money_to_bring() -> None:
    bill = HOUSEHOLD_PLAN.bills[0]
    plain = shop_page(HOUSEHOLD, HOUSEHOLD_PLAN, bill).blocks[0]
    total = HOUSEHOLD.currency.text(bill.total)
    assert isinstance(plain, Paragraph)
    assert f"To be at home by {day_text(HOUSEHOLD.portioned_on - timedelta(1))};" in plain.text
    assert f"Have ready {total}. Have a little over" in plain.text  # it delivers, and cuts to order
    assert "Keep the receipt." in plain.text
    fetched = replace(HOUSEHOLD, suppliers=tuple(replace(one, delivery=Decimal(0)) for one in HOUSEHOLD.suppliers))
    other = shop_page(fetched, HOUSEHOLD_PLAN, bill).blocks[0]
    assert isinstance(other, Paragraph)
    assert f"Bring {total}." in other.text
    heavy = replace(HOUSEHOLD, offers=tuple(replace(offer, heaviest_g=offer.unit_g * 2) for offer in HOUSEHOLD.offers))
    catch_weight = shop_page(heavy, HOUSEHOLD_PLAN, bill).blocks[0]
    assert isinstance(catch_weight, Paragraph)
    assert f"Have ready {total}, and " in catch_weight.text


def test_all_is_to_be_at_home_a_day_before_and_earlier_where_meat_is_frozen_first() -> None:
    pork = tuple(replace(cut, cautions=("raw-pork",)) if cut.name == "beef kidney" else cut for cut in HOUSEHOLD.cuts)
    filled = HOUSEHOLD.portioned_on
    assert buy_by(HOUSEHOLD, HOUSEHOLD_PLAN) == filled - timedelta(1)
    assert buy_by(replace(HOUSEHOLD, hold_days=20), HOUSEHOLD_PLAN) == filled - timedelta(1)
    assert buy_by(replace(HOUSEHOLD, hold_days=20, cuts=pork), HOUSEHOLD_PLAN) == filled - timedelta(20)


def test_the_most_that_bills_come_to_is_the_most_of_the_order() -> None:
    heavy = replace(
        HOUSEHOLD, offers=tuple(replace(offer, heaviest_g=offer.unit_g * 3 / 2) for offer in HOUSEHOLD.offers)
    )
    each = [most_to_pay_for(heavy, HOUSEHOLD_PLAN, bill) for bill in HOUSEHOLD_PLAN.bills]
    together = most_to_pay(heavy, HOUSEHOLD_PLAN)
    assert together > HOUSEHOLD_PLAN.total
    assert 0 <= sum(each) - together <= len(each) * HOUSEHOLD.currency.minor  # each is rounded up by itself


def test_cold_on_the_way_is_told_only_where_there_is_meat() -> None:
    greens = replace(
        HOUSEHOLD, cuts=tuple(replace(cut, species=(SpeciesShare(PLANT, Fraction(1)),)) for cut in HOUSEHOLD.cuts)
    )
    keys = [
        [
            block.key
            for block in shop_page(scenario, HOUSEHOLD_PLAN, HOUSEHOLD_PLAN.bills[0]).blocks
            if isinstance(block, Points)
        ]
        for scenario in (HOUSEHOLD, greens)
    ]
    assert ["cold" in found for found in keys] == [True, False]


def test_the_first_choices_of_a_shop_stand_on_its_own_page_alone() -> None:
    order = shop_page(HOUSEHOLD, HOUSEHOLD_PLAN, HOUSEHOLD_PLAN.bills[0], CARD)
    _, card = tables(order)
    assert (card.title, card.rows) == ("Sold out?", (("necks", "first"),))
    assert "Plan again" in card.note


def test_a_nameless_price_list_has_an_order_too() -> None:
    bill = replace(HOUSEHOLD_PLAN.bills[0], supplier=YOUR_LIST)
    nameless = replace(HOUSEHOLD, suppliers=(replace(HOUSEHOLD.suppliers[0], name=YOUR_LIST), *HOUSEHOLD.suppliers[1:]))
    assert shop_page(nameless, replace(HOUSEHOLD_PLAN, lines=()), bill).title == "Shop"


def test_ration_sheets_are_a_page_for_each_dog_unless_dogs_are_many() -> None:
    fed = replace(HOUSE_PLAN, nourished=tuple(DogNutrition(dog.name, "", ()) for dog in HOUSE.dogs))
    titles = [one.title for one in page_papers(HOUSE, fed, {}) if one.key == "ration_sheet"]
    assert titles == [f"Ration sheet: {dog.name}" for dog in HOUSE.dogs]
    many = replace(HOUSE, dogs=(*HOUSE.dogs, *(b.a_dog(f"Dog {place}") for place in range(20))))
    assert "ration_sheet" not in {one.key for one in page_papers(many, fed, {})}


def test_labels_have_outlines_to_cut_along_unless_a_sheet_of_labels_is_named() -> None:
    def frames(scenario: Scenario) -> list[bool]:
        return [
            block.frames
            for document in page_papers(scenario, HOUSE_PLAN, {})
            for block in document.blocks
            if isinstance(block, Labels)
        ]

    assert frames(HOUSE) == [True]
    assert frames(replace(HOUSE, labels=SHEETS["a4-2x4-105x74"])) == [False]


def test_what_must_be_frozen_first_is_asked_for_in_the_shop() -> None:
    cuts = tuple(replace(cut, cautions=("raw-pork",)) if cut.name == "beef kidney" else cut for cut in HOUSEHOLD.cuts)
    orders = [shop_page(replace(HOUSEHOLD, cuts=cuts), HOUSEHOLD_PLAN, bill) for bill in HOUSEHOLD_PLAN.bills]
    told = [[one for one in order.blocks if isinstance(one, Points) and one.key == "freeze_first"] for order in orders]
    assert [len(one) for one in told] == [1, 0]
    assert told[0][0].items[0].startswith("beef kidney: before it is fed it must have been frozen at -15 C")
    assert "CDC" in told[0][0].sources[0]


def test_what_a_caution_asks_of_the_shop_stands_on_the_sheet_of_the_shop_that_sells_it() -> None:
    cuts = tuple(replace(cut, cautions=("raw-pork",)) if cut.name == "beef kidney" else cut for cut in HOUSEHOLD.cuts)
    orders = [shop_page(replace(HOUSEHOLD, cuts=cuts), HOUSEHOLD_PLAN, bill) for bill in HOUSEHOLD_PLAN.bills]
    told = [[one for one in order.blocks if isinstance(one, Points) and one.key == "asked"] for order in orders]
    assert [len(one) for one in told] == [1, 0]
    assert told[0][0].items == ("Beef kidney: ask where it is from.",)


def test_what_is_held_before_it_is_fed_is_to_be_bought_so_many_days_before() -> None:
    cuts = tuple(replace(cut, cautions=("raw-pork",)) if cut.name == "beef kidney" else cut for cut in HOUSEHOLD.cuts)
    held = replace(HOUSEHOLD, cuts=cuts, hold_days=20)
    order = shop_page(held, HOUSEHOLD_PLAN, HOUSEHOLD_PLAN.bills[0])
    (told,) = [block for block in order.blocks if isinstance(block, Points) and block.key == "freeze_first"]
    day = day_text(held.portioned_on - timedelta(days=20))
    assert f"Buy it by {day}, and keep it frozen for 20 days" in told.items[0]
    assert "Ask whether it has" not in told.items[0]


def test_the_first_page_says_that_it_may_hurt_what_next_and_what_always_holds() -> None:
    blocks = [block for block in page_papers(HOUSE, HOUSE_PLAN, {})[0].blocks if isinstance(block, Points)]
    told = {block.key: block.items for block in blocks}
    assert told["always"][0] == f"{SHOW_IT}."
    assert told["dates"] == (
        "Buy by Thu 4 Feb.",
        "Fill 26 bags on Fri 5 Feb.",
        "Feed from Sat 6 to Fri 12 Feb.",
        "Order the next batch by Tue 9 Feb.",
    )
