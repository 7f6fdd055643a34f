"""The paper after the shop says what was paid, what is missed and what helps, and nothing that is not so."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from raworder.trade.cuts import Measure, Subject
from raworder.trade.document import Document, Facts, Paragraph, Points
from raworder.trade.purchase import AfterTheShop, Missed
from tests import builders as b
from tests.reporting.samples_of_bags import tables
from tests.worked_out import after_the_shop

SCENARIO = b.a_scenario()
AFTER = AfterTheShop(planned=Decimal("16.80"), paid=Decimal("15.20"))
LIVER = Missed("Maple", Subject(Measure.PART, "liver"), Fraction(4, 100), Fraction(6, 100), Fraction(3, 100), 70)
FAT = Missed("Juniper", Subject(Measure.FAT, ""), Fraction(0), Fraction(15, 100), Fraction(16, 100), 35)
DOES = "What was bought and what is on hand does: every dog is fed within its rules."
NOTHING = "No substitute is on these lists. With `--as-it-is` the bags are filled all the same."


def facts(document: Document) -> dict[str, object]:
    """The facts by key."""
    return {fact.key: fact.value for one in document.blocks if isinstance(one, Facts) for fact in one.items}


def said(after: AfterTheShop) -> list[str]:
    """The paragraphs."""
    return [block.text for block in after_the_shop(SCENARIO, after).blocks if isinstance(block, Paragraph)]


def test_what_was_paid_stands_beside_what_was_planned() -> None:
    document = after_the_shop(SCENARIO, AFTER)
    assert facts(document) == {"paid": Decimal("15.20"), "planned": Decimal("16.80")}
    assert not tables(document, "missed")


def test_that_it_does_is_told_only_where_nothing_is_missing() -> None:
    assert said(replace(AFTER, enough=True)) == [DOES]
    assert DOES not in said(AFTER)
    for off in (replace(AFTER, missed=(LIVER,)), replace(AFTER, short_g=500, needed_g=7_000, there_g=6_500)):
        assert DOES not in said(off)
        assert NOTHING in said(off)


def test_each_range_that_is_missed_is_told_with_the_grams_it_is_off() -> None:
    (table,) = tables(after_the_shop(SCENARIO, replace(AFTER, missed=(LIVER, FAT))), "missed")
    assert table.rows == (
        ("Maple", "liver", "4 to 6 %", Fraction(3, 100), 70, "too little"),
        ("Juniper", "fat", "at most 15 %", Fraction(16, 100), 35, "too much"),
    )


def test_too_little_food_is_the_first_thing_told() -> None:
    after = replace(AFTER, missed=(FAT, LIVER), short_g=1_200, needed_g=7_000, there_g=5_800)
    document = after_the_shop(SCENARIO, after)
    assert (facts(document)["missing_g"], facts(document)["short_g"]) == (1_200, 1_200)
    first = document.blocks[0]
    assert isinstance(first, Paragraph)
    assert first.text.startswith(
        "Too little food: 1.2 kg is missing. The dogs need 7 kg; 5.8 kg is bought or on hand. If nothing is fetched, "
        "that is all there is. "
    )
    assert "veterinarian gave is not" in first.text


def test_what_is_missing_and_what_is_left_over_are_told_apart_and_add_up() -> None:
    """7 kg needed and 5.8 kg there are 1.2 kg missing; of what is there 300 g are left over, so 1.5 kg less is fed."""
    after = replace(AFTER, short_g=1_500, needed_g=7_000, there_g=5_800)
    first = said(after)[0]
    assert "Too little food: 1.2 kg is missing." in first
    assert "300 g of it is left over" in first
    assert "the dogs get 1.5 kg less than they need" in first
    told = facts(after_the_shop(SCENARIO, after))
    assert (told["missing_g"], told["short_g"]) == (1_200, 1_500)


def test_where_there_is_enough_that_cannot_be_fed_that_is_said() -> None:
    after = replace(AFTER, short_g=320, needed_g=7_000, there_g=7_600)
    first = said(after)[0]
    assert first.startswith("Too little food that can be fed. The dogs need 7 kg and 7.6 kg is bought or on hand, but ")
    assert "920 g of it is left over" in first
    assert "the dogs get 320 g less than they need" in first
    assert "missing_g" not in facts(after_the_shop(SCENARIO, after))


def test_of_one_dog_that_is_short_the_grams_are_told_once() -> None:
    assert said(replace(AFTER, missed=(LIVER,)))[0] == "Short of 70 g of liver (Maple)."


def test_what_is_short_comes_before_what_is_too_much_for_it() -> None:
    """Maple lacks 70 g of liver and Juniper 30; fat that Juniper eats in its place stands behind, and is no cause."""
    other = replace(LIVER, dog="Juniper", off_g=30)
    after = replace(AFTER, missed=(FAT, LIVER, other))
    assert said(after)[0] == "Short of 100 g of liver (Maple 70 g and Juniper 30 g)."
    (table,) = tables(after_the_shop(SCENARIO, after), "missed")
    assert [(row[0], row[1]) for row in table.rows] == [("Maple", "liver"), ("Juniper", "liver"), ("Juniper", "fat")]
    assert "fills the rations in place of what is short" in table.note


def test_where_nothing_is_short_what_is_too_much_leads() -> None:
    cause = "Enough food, but no way to feed it without too much fat (Juniper 35 g)."
    assert said(replace(AFTER, missed=(FAT,))) == [cause, NOTHING]
    (table,) = tables(after_the_shop(SCENARIO, replace(AFTER, missed=(FAT,))), "missed")
    assert "in place of" not in table.note


def test_what_to_fetch_is_told_with_its_price() -> None:
    after = replace(AFTER, missed=(LIVER,), to_fetch=Decimal("1.90"), fetched=("1 pack of 400 g lamb liver",))
    document = after_the_shop(SCENARIO, after)
    (points,) = [block for block in document.blocks if isinstance(block, Points)]
    assert points.title == "The cheapest to fetch, 1.90 EUR"
    assert points.items == ("1 pack of 400 g lamb liver",)
    assert facts(document)["to_fetch"] == Decimal("1.90")
    assert NOTHING not in said(after)


def test_as_it_is_fetches_nothing_and_sends_to_a_veterinarian() -> None:
    _, told = said(replace(AFTER, missed=(LIVER,), as_it_is=True))
    assert "some targets are missed in this batch" in told
    assert "Ask a veterinarian" in told


def test_where_no_bags_can_be_filled_none_are_announced() -> None:
    (only,) = said(replace(AFTER, as_it_is=True, filled=False))
    assert only.startswith("No bags can be filled with what there is")


def test_what_to_fetch_comes_first_and_stands_once() -> None:
    fetching = replace(AFTER, fetched=("500 g of lamb liver, Hollow Lane Butcher",), to_fetch=Decimal("3.80"))
    blocks = after_the_shop(SCENARIO, fetching).blocks
    assert [isinstance(block, Points) and block.key == "to_fetch" for block in blocks].index(True) == 0
    assert sum(isinstance(block, Points) and block.key == "to_fetch" for block in blocks) == 1
