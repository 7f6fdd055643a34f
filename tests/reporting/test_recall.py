"""Traces: what not to feed comes first, what is certain and what is not stay apart, and every bag is accounted for.

All names are invented. **Source:** counting by hand.
"""

from dataclasses import replace

from raworder.reading.book_notes import read_note
from raworder.reporting.recall import bag_origin, recall
from raworder.trade.document import Document, Paragraph, Points, Table
from raworder.trade.kept import EntryKind, KeptBag, Trace
from tests.builders import SMALL
from tests.reporting.samples_of_book import BAGS, LOTS, SCENARIO, TODAY

THROWN = replace(BAGS[9], fate=EntryKind.THROWN, fate_on=TODAY)


def traced(*bags: KeptBag, certain: str = "Maple") -> Document:
    """The paper about chicken neck in these bags, certain for the bags of one dog."""
    trace = Trace(LOTS[:1], bags, {bag.number: bag.dog == certain for bag in bags})
    return recall(SCENARIO, trace, "L-0417", TODAY)


def points(document: Document, key: str) -> tuple[str, ...]:
    """The statements of that key."""
    return next(block.items for block in document.blocks if isinstance(block, Points) and block.key == key)


def paragraphs(document: Document) -> str:
    """What its paragraphs say."""
    return " ".join(f"{block.title}: {block.text}" for block in document.blocks if isinstance(block, Paragraph))


def test_what_not_to_feed_comes_first_and_certain_before_perhaps() -> None:
    document = traced(*BAGS)
    assert isinstance(document.blocks[0], Points)
    assert document.blocks[0].title == "Do not feed these"
    assert points(document, "keep_back") == (
        "Bags 8-14 of Maple, Sat 13 to Fri 19 Feb, batch 270206-1A2B.",
        "Bags 22-28 of Juniper, Sat 13 to Fri 19 Feb, batch 270206-1A2B: they may hold it.",
        "600 g of chicken neck, loose, lot 1, marked L-0417.",
    )


def test_days_between_stay_in_one_line_and_the_book_can_be_told_at_once() -> None:
    some = [bag for bag in BAGS if bag.label in {8, 10, 11, 14}]
    document = traced(*some)
    assert points(document, "keep_back")[0] == "Bags 8, 10-11, 14 of Maple, Sat 13 to Fri 19 Feb, batch 270206-1A2B."
    assert points(document, "recall")[-1] == (
        'Then tell the book, or the next plan feeds it: `raworder note SCENARIO "lot 1 thrown away" '
        '"bags 8, 10-11, 14 of batch 270206-1A2B thrown away"`.'
    )
    for note in points(document, "recall")[-1].split('"')[1::2]:
        assert read_note(note, SMALL)


def test_who_ate_of_it_is_told_with_days_certainly_or_perhaps() -> None:
    assert points(traced(*BAGS), "eaten_by") == (
        "Juniper, perhaps: Sat 6 to Fri 12 Feb (7 bags).",
        "Maple, certainly: Sat 6 to Fri 12 Feb (7 bags).",
    )


def test_days_of_another_year_say_so() -> None:
    before = replace(BAGS[0], feed_on=BAGS[0].feed_on.replace(year=2026))
    assert points(traced(before), "eaten_by") == ("Maple, certainly: Fri 6 Feb 2026 (1 bag).",)


def test_a_bag_that_was_thrown_away_is_neither_there_nor_eaten() -> None:
    document = traced(THROWN)
    assert "no dog has eaten of it" in paragraphs(document)
    assert "Thrown away already: Bag 10 of Maple, Mon 15 Feb." in paragraphs(document)
    assert points(document, "keep_back") == ("600 g of chicken neck, loose, lot 1, marked L-0417.",)


def test_what_the_book_does_not_know_is_said_with_what_to_try() -> None:
    assert "nothing of `x`" in paragraphs(recall(SCENARIO, Trace((), (), {}), "x", TODAY))


def test_nothing_left_is_said_and_asks_to_look_all_the_same() -> None:
    trace = Trace((replace(LOTS[0], left_g=0),), BAGS[:7], {bag.number: True for bag in BAGS[:7]})
    document = recall(SCENARIO, trace, "L-0417", TODAY)
    assert "nothing of it is left" in paragraphs(document)
    assert not [block for block in document.blocks if isinstance(block, Points) and block.key == "keep_back"]


def test_the_book_is_told_what_is_thrown_away_as_the_next_plan_would_feed_it() -> None:
    last = points(traced(*BAGS), "recall")[-1]
    notes = '"lot 1 thrown away" "bags 8-14, 22-28 of batch 270206-1A2B thrown away"'
    assert last == f"Then tell the book, or the next plan feeds it: `raworder note SCENARIO {notes}`."
    assert read_note("bags 8-14, 22-28 of batch 270206-1A2B thrown away", SCENARIO)
    eaten = recall(SCENARIO, Trace((replace(LOTS[0], left_g=0),), BAGS[:1], {101: True}), "L-0417", TODAY)
    assert "book" not in points(eaten, "recall")[-1]


def test_lots_without_a_mark_are_to_be_looked_at() -> None:
    trace = Trace(LOTS[:1], (), {})
    said = paragraphs(recall(SCENARIO, trace, "L-0417", TODAY, (replace(LOTS[0], number=7, mark=""),)))
    assert "What stands on lot 7, of the same cut and supplier, is not in the book: look at the packs." in said
    assert "look at the packs" not in paragraphs(traced(*BAGS))


def test_the_notice_and_the_veterinarian_are_named() -> None:
    said = " ".join(points(traced(*BAGS), "recall"))
    assert "comes first" in said
    assert "Wash your hands" in said
    assert "veterinarian" in said


def test_programs_get_every_bag_with_what_became_of_it() -> None:
    [table] = [b for b in traced(*BAGS).blocks if isinstance(b, Table) and b.key == "traced_bags"]
    assert not table.shown
    fates = [row[3] for row in table.rows]
    assert (len(fates), fates.count("eaten"), fates.count("not fed yet")) == (28, 14, 14)
    assert {(row[0], row[4]) for row in table.rows} == {("Maple", "certainly"), ("Juniper", "perhaps")}


def test_a_bag_says_what_went_in_and_from_which_lots() -> None:
    both = (*LOTS, replace(LOTS[0], number=7, supplier="", mark=""))
    document = bag_origin(SCENARIO, Trace(both, (BAGS[8],), {BAGS[8].number: False}), TODAY)
    contents, lots = (block for block in document.blocks if isinstance(block, Table))
    assert [row[:2] for row in contents.rows] == [("beef heart", 75), ("chicken neck", 225)]
    assert contents.totals == (("All", 300, None),)
    assert contents.rows[1][2] == (
        "lot 1, Alder Street Meats, 5 Feb 2027, marked L-0417 or lot 7, found in the freezer, 5 Feb 2027"
    )
    assert [row[1] for row in lots.rows] == [1, 2, 3, 7]
    assert "Bag 9 of Maple, batch 270206-1A2B, for Sun 14 Feb 2027, filled on Fri 5 Feb" in paragraphs(document)


def test_a_cut_of_which_no_lot_is_known_says_so() -> None:
    document = bag_origin(SCENARIO, Trace((), (BAGS[8],), {BAGS[8].number: False}), TODAY)
    [contents] = [block for block in document.blocks if isinstance(block, Table)]
    assert {row[2] for row in contents.rows} == {"nobody knows"}
