"""What the page about the freezer says, held against the bags and lots that it is about.

All names, prices and amounts are invented. **Source:** sums by hand beside the numbers, and the table of keeping times.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.reporting.kept_food import best_by, money_parts, runs_of, stock_paper
from raworder.trade.cover import covers
from raworder.trade.document import Document, Paragraph, Points, Table
from raworder.trade.kept import EntryKind, Stock
from raworder.trade.scenario import Keeping
from tests.reporting.samples_of_book import ACCOUNT, BAGS, CUTS, LOTS, SCENARIO, STOCK, TODAY


def page(stock: Stock = STOCK, owner: str = "") -> Document:
    """The page about what is there."""
    return stock_paper(SCENARIO, stock, covers(SCENARIO, stock, (ACCOUNT,)), CUTS, owner)


def table(document: Document, key: str) -> Table:
    """The table of that key."""
    [found] = [block for block in document.blocks if isinstance(block, Table) and block.key == key]
    return found


def column(found: Table, key: str) -> list[object]:
    """What stands in a column."""
    place = [each.key for each in found.columns].index(key)
    return [row[place] for row in found.rows]


def said(document: Document) -> str:
    """What its paragraphs say."""
    return " ".join(block.text for block in document.blocks if isinstance(block, Paragraph))


def test_the_first_line_is_for_people() -> None:
    assert said(page()).startswith(
        "In the morning of Sat 13 Feb: 3.5 kg of food in 14 bags and 1.3 kg loose. It cost 19.39 EUR."
    )


def test_it_says_which_bags_are_no_longer_frozen() -> None:
    kept = tuple(replace(bag, fate=EntryKind.KEPT) if bag.feed_on == TODAY else bag for bag in STOCK.bags)
    numbers = ", ".join(str(bag.label) for bag in STOCK.bags if bag.feed_on == TODAY)
    assert f"The 2 bags for this day ({numbers}) should lie thawed in the refrigerator." in said(page())
    assert "thawed" not in said(page(replace(STOCK, bags=kept)))
    assert "thawed" not in said(page(replace(STOCK, day=date(2027, 2, 1))))


def test_it_says_by_when_to_order_and_until_when_there_is_enough() -> None:
    assert "Order by Tue 16 Feb. There is enough for all dogs until Fri 19 Feb" in said(page())
    found = table(page(), "cover")
    assert column(found, "enough_until") == [date(2027, 2, 19)] * 2
    assert column(found, "order_by") == [date(2027, 2, 16)] * 2
    assert column(found, "beside") == ["about 3 days of loose food", "about 2 days of loose food"]


def test_whoever_runs_out_first_is_named_and_an_order_that_is_late_is_told() -> None:
    less = replace(STOCK, bags=tuple(bag for bag in STOCK.bags if bag.label < 24))  # Juniper's of two days
    assert "Order now: that was due Thu 11 Feb. There is enough for Juniper until Sun 14 Feb" in said(page(less))
    none = replace(STOCK, bags=tuple(bag for bag in STOCK.bags if bag.label < 15))
    assert "No bag for Sat 13 Feb: Juniper. Order now." in said(page(none))


def test_amounts_and_costs_add_up_to_all_there_is() -> None:
    lots, bags = table(page(), "loose_lots"), table(page(), "kept_bags")
    assert sum(column(lots, "left_g")) == lots.totals[0][1] == 1_300  # type: ignore[arg-type]  # grams
    assert sum(column(bags, "weight_g")) == bags.totals[0][4] == 3_500  # type: ignore[arg-type]  # grams
    assert sum(column(bags, "bag_count")) == bags.totals[0][3] == 14  # type: ignore[arg-type]  # bags
    assert column(lots, "cost") == [Decimal("0.00"), Decimal("3.72"), Decimal("1.67")]
    assert lots.totals[0][2] == Decimal("5.39")
    assert column(bags, "cost") == [Decimal("5.60"), Decimal("8.40")]


def test_parts_of_money_add_up_where_each_is_rounded() -> None:
    thirds = [Fraction(1, 3)] * 3
    assert money_parts(SCENARIO, thirds) == (Decimal("0.34"), Decimal("0.33"), Decimal("0.33"))
    assert money_parts(SCENARIO, []) == ()


def test_lots_come_by_cut_and_one_past_its_months_is_best_fed_first() -> None:
    found = table(page(), "loose_lots")
    assert column(found, "cut") == ["beef heart", "chicken neck", "lamb liver"]
    assert column(found, "best_by") == [date(2026, 12, 1), date(2027, 11, 5), None]
    assert column(found, "remark") == ["best fed first", "", ""]
    assert found.note == "Best fed first: lot 2, beef heart."
    on_the_day = replace(STOCK, day=date(2026, 12, 1), bags=())
    assert "best fed first" not in column(table(page(on_the_day), "loose_lots"), "remark")


@pytest.mark.parametrize(
    ("frozen_on", "months", "good_until"),
    [
        (date(2026, 11, 30), 3, date(2027, 2, 28)),
        (date(2027, 1, 31), 1, date(2027, 2, 28)),
        (date(2027, 2, 6), 12, date(2028, 2, 6)),
        (date(2027, 12, 6), 1, date(2028, 1, 6)),
        (None, 3, None),
    ],
)
def test_months_are_those_of_the_calendar(frozen_on: date | None, months: int, good_until: date | None) -> None:
    keeping = Keeping("food", frozenset(), frozenset(), 1, 2, "invented", (months, months + 1))
    assert best_by(replace(LOTS[0], frozen_on=frozen_on), keeping) == good_until
    assert best_by(replace(LOTS[0], frozen_on=frozen_on), replace(keeping, freezer_months=None)) is None
    assert best_by(replace(LOTS[0], frozen_on=frozen_on), None) is None


def test_bags_stand_in_runs_of_days_by_their_labels() -> None:
    found = table(page(), "kept_bags")
    assert column(found, "labels") == ["22-28", "8-14"]
    assert column(found, "days") == ["Sat 13 to Fri 19 Feb"] * 2
    without = [bag for bag in BAGS[:14] if bag.label not in {3, 4}]
    assert [(run.bags_text, run.days_text) for run in runs_of(without)] == [
        ("bags 1-2", "Sat 6 to Sun 7 Feb"),
        ("bags 5-14", "Wed 10 to Fri 19 Feb"),
    ]


def test_a_bag_kept_over_is_marked() -> None:
    found = table(page(replace(STOCK, bags=(BAGS[1], *STOCK.bags))), "kept_bags")
    assert column(found, "remark") == ["", "kept over", ""]
    assert column(found, "labels") == ["22-28", "2", "8-14"]


def test_an_owner_sees_the_own_bags_and_lots_alone() -> None:
    document = page(owner="Ines")
    assert column(table(document, "cover"), "dog") == ["Maple"]
    assert column(table(document, "loose_lots"), "cut") == ["lamb liver"]
    assert "Ines's food. In the morning of Sat 13 Feb: 2.1 kg of food in 7 bags and 300 g loose." in said(document)


def test_the_months_name_their_sources_and_say_that_they_are_about_quality() -> None:
    [points] = [block for block in page().blocks if isinstance(block, Points)]
    assert "quality, not safety" in points.items[0]
    assert any(source.startswith("FDA Refrigerator & Freezer Storage Chart") for source in points.sources)


def test_an_empty_freezer_says_so() -> None:
    assert said(page(Stock(TODAY, (), ()))).startswith("The book has nothing in the freezer on Sat 13 Feb.")
