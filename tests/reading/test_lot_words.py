"""Which lots a person means, as when something is recalled. All names are invented. **Source:** a person's reading."""

from dataclasses import replace

import pytest

from raworder.reading.lot_words import find_bag, find_lots, unmarked_alike
from tests.reporting.samples_of_book import BAGS, BATCH, LOTS


@pytest.mark.parametrize(
    ("words", "numbers"),
    [
        (["alder street"], [1]),
        (["NECKS"], [1]),
        (["chicken neck"], [1]),
        (["l-0417"], [1]),
        (["n2"], [1]),
        (["L 0417"], [1]),
        (["lot 3"], [3]),
        (["-"], []),
        (["2027-02-05"], [1, 3]),
        (["2027-02-05", "liver"], [3]),
        (["liver", "alder"], []),
        (["l-04"], []),
        (["lot 9"], []),
        (["2027-02-06"], []),
    ],
)
def test_all_words_must_be_true_of_a_lot(words: list[str], numbers: list[int]) -> None:
    assert [lot.number for lot in find_lots(words, LOTS)] == numbers


def test_one_of_several_marks_is_enough() -> None:
    lot = replace(LOTS[0], mark="L-0417, L-0418")
    assert find_lots(["L-0418"], [lot]) == (lot,)
    assert find_lots(["0418"], [lot]) == ()


def test_what_has_no_mark_may_have_the_one_that_is_called_back() -> None:
    marked, same = LOTS[0], replace(LOTS[0], number=7, mark="")
    others = (replace(same, number=8, supplier="Somebody else"), replace(same, number=9, cut="beef heart"))
    assert unmarked_alike((marked,), (marked, same, *others, replace(same, number=10, mark="L-1"))) == (same,)
    assert unmarked_alike((same,), (marked, same, replace(same, number=11))) == ()


def test_a_bag_is_that_of_the_last_batch_unless_one_is_named() -> None:
    later = replace(BAGS[4], number=900, batch="270306-9C9C", filled_on=BAGS[4].feed_on)
    assert find_bag(5, "", (*BAGS, later)) is later
    assert find_bag(5, BATCH.lower(), (*BAGS, later)) is BAGS[4]
    assert find_bag(5, "270101-0000", BAGS) is None
    assert find_bag(99, "", BAGS) is None
