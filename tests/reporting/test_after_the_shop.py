"""The paper after the shop says what was paid, what is missed and what helps, and nothing that is not so."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from raworder.cuts import Measure, Subject
from raworder.document import Document, Facts, Paragraph, Points
from raworder.receipt import AfterTheShop, Missed
from raworder.reporting.after_the_shop import after_the_shop
from tests import builders as b
from tests.reporting.samples_of_bags import tables

SCENARIO = b.a_scenario()
AFTER = AfterTheShop(planned=Decimal("16.80"), paid=Decimal("15.20"))
LIVER = Missed("Maple", Subject(Measure.PART, "liver"), Fraction(4, 100), Fraction(6, 100), Fraction(3, 100), 70)
FAT = Missed("Juniper", Subject(Measure.FAT, ""), Fraction(0), Fraction(15, 100), Fraction(16, 100), 35)
DOES = "What was bought and what is on hand does: every dog is fed within its rules."
NOTHING = "Nothing on the lists makes up for it. With `--as-it-is` the bags are filled all the same."


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
    for off in (replace(AFTER, missed=(LIVER,)), replace(AFTER, short_g=500)):
        assert DOES not in said(off)
        assert NOTHING in said(off)


def test_each_range_that_is_missed_is_told_with_the_grams_it_is_off() -> None:
    (table,) = tables(after_the_shop(SCENARIO, replace(AFTER, missed=(LIVER, FAT))), "missed")
    assert table.rows == (
        ("Maple", "liver", "4.0 % to 6.0 %", Fraction(3, 100), 70),
        ("Juniper", "fat", "at most 15.0 %", Fraction(16, 100), 35),
    )


def test_too_little_food_is_told_in_grams() -> None:
    document = after_the_shop(SCENARIO, replace(AFTER, short_g=1_200))
    assert facts(document)["short_g"] == 1_200
    assert "too little food" in said(replace(AFTER, short_g=1_200))[0]
    assert "veterinarian gave is not" in said(replace(AFTER, short_g=1_200))[0]


def test_what_to_fetch_is_told_with_its_price() -> None:
    after = replace(AFTER, missed=(LIVER,), to_fetch=Decimal("1.90"), fetched=("1 pack of 400 g lamb liver",))
    document = after_the_shop(SCENARIO, after)
    (points,) = [block for block in document.blocks if isinstance(block, Points)]
    assert points.title == "The cheapest to fetch, 1.90 EUR"
    assert points.items == ("1 pack of 400 g lamb liver",)
    assert facts(document)["to_fetch"] == Decimal("1.90")
    assert NOTHING not in said(after)


def test_as_it_is_fetches_nothing_and_sends_to_a_veterinarian() -> None:
    (told,) = said(replace(AFTER, missed=(LIVER,), as_it_is=True))
    assert "is missed in this batch" in told
    assert "Ask a veterinarian" in told


def test_where_no_bags_can_be_filled_none_are_announced() -> None:
    (only,) = said(replace(AFTER, as_it_is=True, filled=False))
    assert only.startswith("No bags can be filled with what there is")
