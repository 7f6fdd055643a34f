"""The first look at a plan, and the first screen: the answer, what is wrong, what to buy and feed, what to do next.

**Source:** the house's own aim of what a person sees first; sums stand beside the samples.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from raworder.rendering.terminal import terminal
from raworder.reporting import doubts
from raworder.reporting.first_look import CAUTION, LOOK_FIRST, NEXT, first_look, first_screen
from raworder.reporting.words import days_text
from raworder.trade.document import Document, Facts, Paragraph, Points, Table, Verbatim
from raworder.trade.plan import Cures, Plan
from tests import builders as b
from tests.planned import planned
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.worked_out import worked_out

PLAN = worked_out(HOUSEHOLD, HOUSEHOLD_PLAN)
MOST_LINES = {"smallest": 60, "owner": 62, "kennel": 110}
"""Lines of a screen of 80 columns: the aim is 60 for two dogs and 110 for 40."""


def looks(plan: Plan = PLAN) -> tuple[Document, Document]:
    """The first look, and the first screen."""
    scenario = plan.facts.scenario
    return first_look(scenario, plan), first_screen(scenario, plan)


def words(document: Document, width: int = 80) -> str:
    return terminal([document], width=width, color=False)


@pytest.mark.parametrize(
    ("first", "last", "says"),
    [
        (date(2027, 2, 6), date(2027, 2, 19), "Sat 6 to Fri 19 Feb"),
        (date(2027, 2, 27), date(2027, 3, 12), "Sat 27 Feb to Fri 12 Mar"),
        (date(2026, 12, 28), date(2027, 1, 10), "Mon 28 Dec 2026 to Sun 10 Jan 2027"),
        (date(2027, 2, 6), date(2027, 2, 6), "Sat 6 Feb"),
    ],
)
def test_days_are_told_as_people_say_them(first: date, last: date, says: str) -> None:
    assert days_text(first, last) == says


def test_the_first_lines_say_what_it_costs_and_where() -> None:
    for document in looks():
        assert document.title == "Three dogs, two shops (invented): Sat 6 to Fri 19 Feb"
        facts = document.blocks[0]
        assert isinstance(facts, Facts)
        assert [(fact.label, fact.value) for fact in facts.items] == [
            ("To pay", Decimal("92.93")),
            ("Where", "Hollow Lane Butcher 64.53 EUR, Fenwick Wholesale 28.40 EUR"),
            ("A dog and day", Decimal("2.27")),  # 92.93 / 41 is 2.2666
            ("Budget", Decimal(100)),
        ]
        assert isinstance(document.blocks[1], Paragraph)
        assert document.blocks[1].text.startswith("Proved: no order that follows your rules costs less than 92.92 EUR;")


def test_what_limits_the_proof_is_said_behind_it() -> None:
    for document in looks(replace(PLAN, remarks=("A remark.",))):
        assert document.blocks[2] == Paragraph("A remark.")


def test_what_little_more_would_spare_stands_before_the_shopping_list() -> None:
    plan = replace(PLAN, cures=Cures(spare="for 0.41 more: 1 stop fewer, 3 cuts fewer"))
    for document in looks(plan):
        assert Paragraph("For 0.41 more: 1 stop fewer, 3 cuts fewer (`raworder nicer FILE`).") in document.blocks
    text = words(looks(plan)[1])
    assert text.index("For 0.41 more") < text.index("[ ]")
    assert "raworder nicer" not in words(looks()[1])


def test_a_caution_stands_on_it_whatever_is_planned() -> None:
    for document in looks():
        assert document.blocks[-1] == Paragraph(CAUTION)


def test_few_things_are_shown_the_others_counted_and_all_are_there_for_programs(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert doubts.MOST_THINGS == 3
    monkeypatch.setattr(doubts, "MOST_THINGS", 1)
    look, screen = looks(planned("household").plan)
    (points,), (on_screen,) = (
        [block for block in one.blocks if isinstance(block, Points) and block.title == LOOK_FIRST]
        for one in (look, screen)
    )
    assert points == on_screen
    (table,) = (block for block in look.blocks if isinstance(block, Table))
    assert (table.key, table.shown) == ("doubts", False)
    things = len({row[0] for row in table.rows})
    assert things > 1
    assert points.items[-1] == f"{things - 1} more: `raworder plan FILE --paper cautions`."
    told = [f"{'Danger: ' * (grade == 'danger')}{says} {cure}".strip() for _, grade, _, says, cure, _ in table.rows]
    assert told[: len(points.items) - 1] == list(points.items[:-1])
    assert len(told) > len(points.items) - 1


def test_each_shop_has_its_total_in_its_heading_with_what_is_added_to_the_goods() -> None:
    screen = looks()[1]
    hollow, fenwick = [block for block in screen.blocks if isinstance(block, Table) and block.tick]
    # goods of 54.23
    assert hollow.title == "Hollow Lane Butcher, 64.53 EUR with 6.50 EUR delivery and 3.80 EUR sales tax"
    assert fenwick.title == "Fenwick Wholesale, 28.40 EUR"
    shown = [place for place, column in enumerate(hollow.columns) if column.shown]
    assert [hollow.columns[place].heading for place in shown] == ["To buy", "Item", "EUR"]
    assert hollow.totals == fenwick.totals == ()


def test_the_freezer_is_told_in_one_line() -> None:
    text = " ".join(words(looks()[1]).split())
    assert "From the freezer: 270 g of beef heart, 500 g of beef heart and 600 g of chicken neck." in text
    assert "Left over: 839 g of 6 cuts." in text  # 16 + 130 + 200 + 363 + 36 + 94, without 5 g that no bag could hold


def test_nothing_to_buy_is_said() -> None:
    scenario = replace(b.a_scenario(), offers=(), suppliers=(), on_hand=(b.on_hand(grams=7_000),))
    plan = b.a_plan(lines=(), bills=(), lots_used=(b.LotUse(0, 7_000),))
    assert (
        Paragraph("Nothing to buy: the freezer holds all that is fed.") in looks(worked_out(scenario, plan))[1].blocks
    )


def test_supplements_are_told_dog_by_dog() -> None:
    screen = looks(planned("vet_visit").plan)[1]
    (beside,) = [block for block in screen.blocks if isinstance(block, Points) and block.title == "Beside the bags"]
    assert any(item.startswith("Wren: ") and "salmon oil a day" in item for item in beside.items)


def test_what_to_do_next_are_commands_that_fit_a_screen() -> None:
    (following,) = [block for block in looks()[1].blocks if isinstance(block, Verbatim)]
    assert following.title == "Next"
    assert all(command in following.text for command, _ in NEXT)
    assert max(map(len, following.text.splitlines())) <= 76  # they are set in by four


@pytest.mark.slow
@pytest.mark.parametrize("name", MOST_LINES)
def test_a_screen_is_short_and_no_line_too_long(name: str) -> None:
    text = words(looks(planned(name).plan)[1])
    assert text.count("\n") <= MOST_LINES[name]
    assert max(map(len, text.splitlines())) <= 80


def test_a_saved_plan_that_was_asked_nothing_makes_the_same_paper_without_prices() -> None:
    plan = planned("owner").plan
    priced = replace(plan, cures=Cures(spare="for 1.00 more: 1 stop fewer"))
    scenario = plan.facts.scenario
    without = [block for block in first_look(scenario, priced).blocks if "nicer" not in str(block)]
    assert tuple(without) == first_look(scenario, plan).blocks
