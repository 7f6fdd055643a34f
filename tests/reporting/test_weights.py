"""The page about weights: who is to see the veterinarian comes first, and every step is said in words.

All dogs and weights are invented. **Source:** the proposals that it is given.
"""

from datetime import timedelta
from fractions import Fraction

import pytest

from raworder.reporting.weights import TO_DO, weights
from raworder.trade.document import Chart, Document, Paragraph, Points, Table
from raworder.trade.kept import Weighing
from raworder.trade.weight_trend import NextRation, Step, Trend, trends
from tests.reporting.samples_of_book import SCENARIO, STARTS

GRAMS = (20_000, 20_200, 20_400)


def trend(*grams: int) -> Trend:
    """The trend of weighings a week apart."""
    return trends(Weighing("Maple", STARTS + timedelta(7 * place), weight) for place, weight in enumerate(grams))[0]


def ration(step: Step, **amounts: object) -> NextRation:
    """What is proposed after a small gain."""
    return NextRation(trend(*GRAMS), step, "it gains weight", **amounts)  # type: ignore[arg-type]  # fields by name


def first_row(document: Document) -> dict[str, object]:
    """The row of the first dog by column."""
    table = next(block for block in document.blocks if isinstance(block, Table) and block.key == "trends")
    return dict(zip([column.key for column in table.columns], table.rows[0], strict=True))


def test_a_proposal_says_how_much_and_why() -> None:
    row = first_row(weights(SCENARIO, [ration(Step.LESS, grams=285, changed=Fraction(-5, 100))]))
    assert row["next_ration"] == "Try 285 g a day, 5 % less: it gains weight."
    assert (row["step"], row["ration_g"], row["ration_kcal"]) == ("less", 285, None)
    row = first_row(weights(SCENARIO, [ration(Step.MORE, kcal=800, changed=Fraction(4, 100))]))
    assert row["next_ration"] == "Try 800 kcal a day, 4 % more: it gains weight."


def test_the_change_a_week_has_its_sign_and_says_of_how_many_weighings() -> None:
    assert first_row(weights(SCENARIO, [ration(Step.KEEP)]))["weekly"] == "+1.0 %, from 3"
    once = NextRation(trend(20_000), Step.WAIT, "three are needed")
    assert first_row(weights(SCENARIO, [once]))["weekly"] == "unknown, from 1"
    down = NextRation(trend(20_400, 20_200, 20_000), Step.KEEP, "")
    assert first_row(weights(SCENARIO, [down]))["weekly"] == "-1.0 %, from 3"
    level = NextRation(trend(20_000, 20_001, 20_000), Step.KEEP, "")
    assert first_row(weights(SCENARIO, [level]))["weekly"] == "0.0 %, from 3"


def test_who_is_to_see_the_veterinarian_comes_first_and_nothing_is_computed() -> None:
    document = weights(SCENARIO, [ration(Step.VET)])
    assert isinstance(document.blocks[0], Points)
    assert document.blocks[0].items == ("Maple: it gains weight.",)
    row = first_row(document)
    assert (row["next_ration"], row["ration_g"], row["ration_kcal"]) == ("See the veterinarian.", None, None)


@pytest.mark.parametrize("step", Step)
def test_every_step_has_its_words(step: Step) -> None:
    assert set(TO_DO) == set(Step)
    assert str(first_row(weights(SCENARIO, [ration(step, grams=285)]))["next_ration"]).endswith(".")


def test_every_weighing_stands_where_one_dog_is_asked_for() -> None:
    in_full, short = (weights(SCENARIO, [ration(Step.KEEP)], in_full=full) for full in (True, False))
    shown = [block.shown for one in (in_full, short) for block in one.blocks if isinstance(block, Table)]
    assert shown == [True, True, True, False]
    [chart] = [block for block in in_full.blocks if isinstance(block, Chart)]
    assert [mark.value for mark in chart.marks] == list(GRAMS)


def test_a_book_without_weighings_says_so() -> None:
    [only] = weights(SCENARIO, []).blocks
    assert only == Paragraph("The book has no weighings yet.")
