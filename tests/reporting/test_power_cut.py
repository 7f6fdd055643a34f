"""A power cut: the published rule for this freezer, and a sheet for the insurer whose sums are right.

All names, prices and amounts are invented. **Source:** USDA FSIS as the table of figures tells it; sums by hand.
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from raworder.reading.reference import read_cold_times
from raworder.reporting.kept_food import of_owner
from raworder.reporting.power_cut import insurer_sheet, power_cut
from raworder.trade.document import Column, Document, Facts, Holds, Paragraph, Points, Table
from raworder.trade.kept import Stock
from raworder.trade.scenario import Owner
from tests.reporting.samples_of_book import ACCOUNT, SCENARIO, STOCK, TODAY

COLD = read_cold_times()


def page(room_g: int | None = 6_000, hours: int | None = None, stock: Stock = STOCK) -> Document:
    """The page for this freezer, in which 4800 g are."""
    return power_cut(replace(SCENARIO, room_g=room_g), stock, COLD, hours)


def this_freezer(document: Document) -> str:
    """What it says of this freezer."""
    return next(b.text for b in document.blocks if isinstance(b, Paragraph) and b.title == "This freezer")


def afterwards(document: Document) -> tuple[str, ...]:
    """What it says to do when the power is back."""
    return next(b.items for b in document.blocks if isinstance(b, Points) and b.key == "afterwards")


def table(document: Document, key: str) -> Table:
    """The table of that key."""
    return next(block for block in document.blocks if isinstance(block, Table) and block.key == key)


def test_the_door_comes_first_then_the_hours_that_are_published() -> None:
    first = page().blocks[0]
    assert isinstance(first, Points)
    assert first.items[0].startswith("Keep the door shut.")
    assert "about 48 hours" in first.items[1]
    assert "half full for about 24, and a refrigerator for about 4" in first.items[1]


def test_afterwards_ice_or_cold_decides_with_its_source_and_how_to_enter_what_is_gone() -> None:
    after = afterwards(page())
    assert "ice crystals in it still, or is at 4 C (40 F) or colder" in after[0]
    assert after[1].startswith("Throw away all else.")
    assert '`raworder note SCENARIO "bags 12-15 thrown away"`' in after[3]
    assert any(isinstance(block, Points) and block.sources == COLD.sources for block in page().blocks)


@pytest.mark.parametrize(
    ("room_g", "hours", "says"),
    [
        (4_800, None, "By the book it is 100 % full: count on 48 hours."),
        (5_333, 48, "90 % full: count on 48 hours. 48 hours without power are within that: keep it shut."),
        (4_800, 49, "count on 48 hours. 49 hours without power may be too long"),
        (5_400, 24, "89 % full: count on 24 hours, as if half full. 24 hours without power are within that"),
        (9_600, 25, "50 % full: count on 24 hours, as if half full. 25 hours without power may be too long"),
        (9_700, 1, "49 % full. If nothing else is in it, count on less than 24 hours. 1 hour"),
        (None, 3, "would say so. 3 hours without power are within that, if it is half full: keep it shut."),
        (None, 25, "25 hours without power may be too long"),
        (None, None, "Look how full it is. With `freezer: {room: 60 kg}` in the scenario this page would say so."),
    ],
)
def test_how_full_it_is_decides_how_long_it_stays_cold(room_g: int | None, hours: int | None, says: str) -> None:
    assert says in this_freezer(page(room_g, hours))


def test_what_owners_fetch_or_have_at_home_keeps_the_freezer_of_all_no_colder() -> None:
    owners = (Owner("Ines", room_g=4_000), Owner("Tomas", collects=TODAY))
    shared = replace(SCENARIO, room_g=4_800, owners=owners)
    # of 4800 g Ines has 7 bags of 300 g and 300 g of liver, Tomas 7 bags of 200 g: 1000 g are left
    assert "21 % full. If nothing else is in it, count on less than 24 hours" in this_freezer(
        power_cut(shared, STOCK, COLD, 20)
    )
    at_home = power_cut(shared, of_owner(STOCK, "Ines"), COLD, 20, "Ines")
    assert "60 % full: count on 24 hours, as if half full." in this_freezer(at_home)  # 2400 of 4000 g
    assert "Look how full it is" in this_freezer(power_cut(shared, of_owner(STOCK, "Tomas"), COLD, 20, "Tomas"))


def test_everything_is_thrown_away_at_once_only_where_it_lies_in_one_freezer() -> None:
    shared = replace(SCENARIO, owners=(Owner("Ines", room_g=4_000),))
    pages = (page(), power_cut(shared, STOCK, COLD, 20), power_cut(SCENARIO, STOCK, COLD, 20, "Ines"))
    assert ["everything thrown away" in afterwards(document)[3] for document in pages] == [True, False, False]


def test_what_is_in_it_adds_up_by_cut() -> None:
    found = table(page(), "by_cut")
    assert found.rows == (
        ("beef heart", 400, 875, 1_275),
        ("chicken neck", 600, 2_625, 3_225),
        ("lamb liver", 300, None, 300),
    )
    assert found.totals == (("All", 1_300, 3_500, 4_800),)


def test_the_insurer_s_sheet_has_what_was_bought_where_and_when_and_its_sum() -> None:
    sheet = insurer_sheet(SCENARIO, STOCK, (ACCOUNT,))
    found = table(sheet, "claimed")
    assert [row[0] for row in found.rows[:3]] == ["beef heart", "chicken neck (Necks 2 kg)", "lamb liver (Liver)"]
    assert found.rows[3][:3] == (
        "14 bags for Maple and Juniper: 875 g beef heart, 2.625 kg chicken neck",
        3_500,
        "Alder Street Meats and Brackenhill Farm",
    )
    assert [row[4] for row in found.rows] == [Decimal("0.00"), Decimal("3.72"), Decimal("1.67"), Decimal("14.00")]
    assert found.totals == (("All", 4_800, None, None, Decimal("19.39")),)
    facts = next(block for block in sheet.blocks if isinstance(block, Facts))
    assert facts.items[0].value == TODAY


def test_the_insurer_s_sheet_says_where_it_is_from_and_can_be_signed() -> None:
    sheet = insurer_sheet(SCENARIO, STOCK, (ACCOUNT,))
    assert any("receipts in the book" in block.text for block in sheet.blocks if isinstance(block, Paragraph))
    last = sheet.blocks[-1]
    assert isinstance(last, Table)
    assert [column.heading for column in last.columns] == ["Name", "Day", "Signature"]
    assert {column.holds for column in last.columns if isinstance(column, Column)} == {Holds.BLANK}


def test_a_batch_that_the_book_does_not_tell_of_leaves_its_sellers_open() -> None:
    assert table(insurer_sheet(SCENARIO, STOCK, ()), "claimed").rows[3][2] == ""


def test_an_empty_freezer_has_no_tables() -> None:
    document = page(stock=Stock(TODAY, (), ()))
    assert not [block for block in document.blocks if isinstance(block, Table)]
