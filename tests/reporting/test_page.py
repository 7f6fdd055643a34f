"""The page of a batch: every paper once, in the order of the work, with room to write what the shop did otherwise."""

from dataclasses import replace

from raworder.document import Column, Document, Holds, Paragraph, Table
from raworder.nourishment import Nourished
from raworder.reporting.page import page_papers, shop_order
from raworder.reporting.papers import bag_papers, papers
from raworder.reporting.words import paper
from tests import builders as b
from tests.reporting.samples import HOLLOW, HOUSEHOLD, HOUSEHOLD_PLAN
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN

CARD = paper(
    HOUSEHOLD,
    "what_instead",
    "What to buy instead",
    (
        Paragraph("How to read it."),
        Table("what_instead", HOLLOW, (Column("none_of", "If they have none of"),), (("necks",),)),
        Table("what_instead", "Fenwick Wholesale", (Column("none_of", "If they have none of"),), (("kale",),)),
        Table("what_instead_lines", "", (Column("none_of", "If they have none of"),), (("all",),), shown=False),
    ),
)
SETTLE = paper(HOUSE, "settle", "Who pays what", ())
PRICES = paper(HOUSE, "prices_to_ask", "Prices to ask for", ())


def tables(document: Document) -> list[Table]:
    return [block for block in document.blocks if isinstance(block, Table)]


def test_the_papers_come_in_the_order_of_the_work() -> None:
    keys = [one.key for one in page_papers(HOUSE, HOUSE_PLAN, {"settle": SETTLE, "prices_to_ask": PRICES})]
    assert keys[0] == "summary"
    assert keys[-1] == "cautions"
    order = ["shop_order", "counter_sheet", "bag_list", "thaw_plan", "shares", "costs", "settle", "prices_to_ask"]
    assert [key for key in keys if key in order] == order


def test_no_paper_of_a_plan_is_missing() -> None:
    there = {one.key for one in page_papers(HOUSE, HOUSE_PLAN, {})}
    asked = {one.key for one in (*papers(HOUSE, HOUSE_PLAN), *bag_papers(HOUSE, HOUSE_PLAN))}
    assert asked - there == {"shopping_list"}  # an order for each shop stands for it


def test_an_order_for_a_shop_has_all_of_the_shopping_list_and_room_to_write() -> None:
    order = shop_order(HOUSEHOLD, HOUSEHOLD_PLAN, HOUSEHOLD_PLAN.bills[0])
    (listed,) = (one for one in tables(papers(HOUSEHOLD, HOUSEHOLD_PLAN)[1]) if one.title == HOLLOW)
    (found,) = tables(order)
    assert order.at_arms_length
    assert order.title == f"Order: {HOLLOW}"
    assert found.tick
    assert [row[:-2] for row in (*found.rows, *found.totals)] == [*listed.rows, *listed.totals]
    blanks = [column.heading for column in found.columns if column.holds is Holds.BLANK]
    assert blanks == ["Got", "Paid"]
    assert all(row[-2:] == (None, None) for row in found.rows)


def test_the_card_of_a_shop_stands_beside_its_own_order_alone() -> None:
    order = shop_order(HOUSEHOLD, HOUSEHOLD_PLAN, HOUSEHOLD_PLAN.bills[0], CARD)
    _, card = tables(order)
    assert (card.title, card.rows) == ("If something is missing", (("necks",),))
    assert "plan again from the receipt" in card.note


def test_a_nameless_price_list_has_an_order_too() -> None:
    bill = replace(HOUSEHOLD_PLAN.bills[0], supplier="")
    nameless = replace(HOUSEHOLD, suppliers=(replace(HOUSEHOLD.suppliers[0], name=""), *HOUSEHOLD.suppliers[1:]))
    assert shop_order(nameless, replace(HOUSEHOLD_PLAN, lines=()), bill).title == "Order"


def test_ration_sheets_are_a_page_for_each_dog_unless_dogs_are_many() -> None:
    fed = replace(HOUSE_PLAN, nourished=tuple(Nourished(dog.name, "", ()) for dog in HOUSE.dogs))
    titles = [one.title for one in page_papers(HOUSE, fed, {}) if one.key == "ration_sheet"]
    assert titles == [f"Ration sheet: {dog.name}" for dog in HOUSE.dogs]
    many = replace(HOUSE, dogs=(*HOUSE.dogs, *(b.a_dog(f"Dog {place}") for place in range(20))))
    assert "ration_sheet" not in {one.key for one in page_papers(many, fed, {})}
