"""The batch cards say what goes into which tub, and what the scale then shows."""

import re
from dataclasses import replace

from raworder.rendering.terminal import terminal
from raworder.reporting.counter_sheet import TARE
from raworder.trade.bags import Filling, Tub
from raworder.trade.document import Document, Paragraph
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, TUBS, TUBS_PLAN, column, grams, tables
from tests.worked_out import batch_cards


def cards() -> Document:
    """The cards of the sample with tubs."""
    document = batch_cards(TUBS, TUBS_PLAN)
    assert document is not None
    return document


def test_there_are_no_cards_where_nothing_is_mixed() -> None:
    assert batch_cards(HOUSE, HOUSE_PLAN) is None


def test_every_tub_has_a_card_that_begins_with_the_tare() -> None:
    first, second = tables(cards(), "batch_cards")
    assert (first.title, second.title) == ("mix 1, tub 1 of 2: 500 g", "mix 1, tub 2 of 2: 500 g")
    assert column(first, "cut") == [TARE, "beef trim", "lamb liver"]
    assert column(second, "weight_g") == [None, 450, 50]


def test_the_scale_shows_the_running_total() -> None:
    first, second = tables(cards(), "batch_cards")
    assert column(first, "scale_g") == [0, 451, 500]
    assert column(second, "scale_g") == [0, 450, 500]


def test_the_cards_add_up_to_the_mix() -> None:
    rows = [(row[0], row[1]) for table in tables(cards(), "batch_cards") for row in table.rows if row[1]]
    for one in TUBS_PLAN.mixes[0].contents:
        assert sum(int(str(weight_g)) for cut, weight_g in rows if cut == one.cut) == one.grams


def test_the_dogs_of_a_mix_are_named() -> None:
    said = [block.text for block in cards().blocks if isinstance(block, Paragraph)]
    assert said[1] == "mix 1, 1 kg in all, is for Maple and Fern, and for no other dog."


def test_nothing_is_put_in_by_the_gram_that_a_tub_gets_none_of() -> None:
    empty = replace(TUBS_PLAN.mixes[0], tubs=(Tub(1, (Filling("beef trim", 901), Filling("lamb liver", 0))),))
    document = batch_cards(TUBS, replace(TUBS_PLAN, mixes=(empty,)))
    assert document is not None
    assert column(tables(document, "batch_cards")[0], "cut") == [TARE, "beef trim"]


def test_programs_know_which_mix_and_tub_a_row_is_of() -> None:
    second = tables(cards(), "batch_cards")[1]
    assert set(column(second, "mix")) == {"mix 1"}
    assert grams(second, "tub") == 2 * 3


def test_the_scale_shows_ounces_where_people_read_pounds() -> None:
    document = batch_cards(replace(TUBS, weight_unit="lb"), TUBS_PLAN)
    assert document is not None
    text = terminal([document], width=100, color=False)
    # 451 / 28.3495 = 15.91 oz and 500 / 28.3495 = 17.64 oz, by hand
    for said in ("15.9 oz", "1 lb 1.6 oz", "steps of 0.2 oz"):
        assert said in text
    assert not re.search(r"\d k?g\b", text)


def test_what_the_scale_cannot_show_is_near_enough() -> None:
    said = next(block for block in cards().blocks if isinstance(block, Paragraph)).text
    assert said.endswith("The scale shows steps of 5 g: the nearest is near enough.")
