"""The kennel pages: every bag of a kennel once, its totals, and what is different with which dog."""

from dataclasses import replace

from raworder.reporting.kennels import kennel_pages
from raworder.reporting.nutrition_words import doses_text
from raworder.trade.document import Facts, Points, Table
from raworder.trade.dogs import Care
from raworder.trade.plan import Dose
from tests import builders as b
from tests.reporting.test_fridge_door import kennels
from tests.supplemented import OIL
from tests.worked_out import bag_book
from tests.worked_out import kennels as all_kennels


def test_few_dogs_have_none() -> None:
    assert kennel_pages(bag_book(*kennels(20, 2))) == ()
    assert all_kennels(*kennels(20, 2)) is None


def test_each_kennel_has_a_page_with_its_dogs_and_sums() -> None:
    first, second = kennel_pages(bag_book(*kennels(21, 2)))
    assert (first.title, second.title) == ("row 0: 11 dogs", "row 1: 10 dogs")
    table, cuts = (block for block in first.blocks if isinstance(block, Table))
    # every second dog has bags 1 and 2, 5 and 6, ... of 500 g
    assert table.rows[:2] == (
        ("row 0", "dog 00", "1-2", 1, "500 g", 500, 1_000),
        ("row 0", "dog 02", "5-6", 1, "500 g", 500, 1_000),
    )
    assert table.totals == ((None, "together", None, None, None, None, 11_000),)
    assert cuts.rows == (("beef trim", 11_000),)
    assert cuts.totals == (("together", 11_000),)
    assert cuts.note == "22 bags of 11 kinds: the kitchen page has what is in each."
    (facts,) = (block for block in first.blocks if isinstance(block, Facts))
    assert [fact.value for fact in facts.items] == [22, 11_000, 5_500]


def test_dogs_without_a_kennel_share_a_page() -> None:
    (page,) = kennel_pages(bag_book(*kennels(21, 0)))
    assert page.title == "Dogs without a kennel: 21 dogs"


def test_what_is_different_with_a_dog_is_told_and_nothing_else() -> None:
    scenario, plan = kennels(21, 1)
    changed = (
        replace(scenario.dogs[0], avoid=(b.a_subject(),)),
        replace(scenario.dogs[1], puppy=True),
        replace(scenario.dogs[2], care=Care.NURSING),
    )
    others = replace(scenario, dogs=(*changed, *scenario.dogs[3:]), supplements=(OIL,))
    # dog 03 has its first bag alone, and oil beside it; bags 7 and 8 would be its own
    bags = (*plan.bags[:7], *plan.bags[8:])
    book = bag_book(others, replace(plan, bags=bags, doses=(Dose("dog 03", OIL.name, 1),)))
    (page,) = kennel_pages(book)
    (told,) = (block.items for block in page.blocks if isinstance(block, Points))
    assert told == (
        "dog 00: no chicken.",
        "dog 01: a growing dog: its bags get heavier.",
        "dog 02: in a veterinarian's care (nursing), fed as the veterinarian said.",
        f"dog 03: away for 1 day; {doses_text(book.scenario, book.plan, 'dog 03')[0]} beside its bags.",
    )


def test_all_kennels_are_one_paper_for_programs() -> None:
    document = all_kennels(*kennels(21, 2))
    assert document is not None
    tables = [block for block in document.blocks if isinstance(block, Table) and block.key == "kennels"]
    assert sum(len(table.rows) for table in tables) == 21
