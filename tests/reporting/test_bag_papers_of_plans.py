"""What the papers about bags say of every shipped scenario's plan: every bag once on each, and every gram.

**Source:** arithmetic on the plan. All names, prices and figures are invented. What a paper looks like is kept of one
scenario in `tests/golden`.
"""

from collections import Counter

import pytest

from raworder.trade.bags import Bag
from raworder.trade.batch_facts import BagWay
from raworder.trade.document import Labels
from raworder.trade.plan import Plan
from raworder.trade.units import day_text, grams_text
from tests.planned import EVERY_PLAN, numbers, papers_of, planned, rows, tables
from tests.worked_out import bag_book

every_plan = pytest.mark.parametrize("name", EVERY_PLAN)


def numbered(plan: Plan) -> dict[int, Bag]:
    """The bags by the numbers that stand on them."""
    return dict(enumerate(plan.bags, start=1))


def whole(value: object) -> int:
    """A whole number in a cell."""
    return int(str(value))


@pytest.mark.slow
@every_plan
def test_the_bag_list_holds_every_bag_once_with_all_that_is_in_it(name: str) -> None:
    bags = numbered(planned(name).plan)
    listed = papers_of(name).of("bag_list")
    printed = [row for table in tables(listed, "") for row in table.rows]
    assert [row[2] for row in printed] == list(bags)
    assert [(row[0], row[1], row[3], row[4]) for row in printed] == [
        (bag.day, bag.meal, bag.kind, bag.grams) for bag in bags.values()
    ]
    keys = ("bag", "dog", "day", "cut", "pieces", "weight_g")
    assert Counter(tuple(row[key] for key in keys) for row in rows(listed, "bags")) == Counter(
        (number, bag.dog, bag.day, one.cut, one.pieces, one.grams)
        for number, bag in bags.items()
        for one in bag.fillings
    )


@every_plan
def test_every_kind_of_bag_is_told_once_and_holds_all_bags_between_them(name: str) -> None:
    bags, sheet = numbered(planned(name).plan), papers_of(name).of("counter_sheet")
    kinds = rows(sheet, "kinds")
    assert sorted(number for row in kinds for number in numbers(row["bags"])) == list(bags)
    for row in kinds:
        mine = [bags[number] for number in numbers(row["bags"])]
        assert {(bag.dog, bag.kind) for bag in mine} == {(row["dog"], row["kind"])}
        assert len(mine) == row["bag_count"]
        cuts = {one.cut for bag in mine for one in bag.fillings}
        assert all(cut in str(row["filling"]) or cut.rstrip("s") in str(row["filling"]) for cut in cuts), row
    of_dogs = {str(row["dog"]): row for row in rows(sheet, "dogs")}
    for dog, row in of_dogs.items():
        assert row["kind_count"] == len({bag.kind for bag in bags.values() if bag.dog == dog})
        assert row["bag_count"] == sum(1 for bag in bags.values() if bag.dog == dog)
    assert set(of_dogs) == {bag.dog for bag in bags.values()}


@every_plan
def test_at_the_counter_every_gram_goes_into_the_bags_that_it_is_planned_for(name: str) -> None:
    plan = planned(name).plan
    bags = numbered(plan)
    put_in: Counter[tuple[int, str]] = Counter()
    for row in rows(papers_of(name).of("counter_sheet"), "stations"):
        into = numbers(row["bags"])
        assert row["bag_count"] == len(into)
        assert row["total_g"] == sum(bags[number].grams_of(str(row["cut"])) for number in into)
        assert {bags[number].dog for number in into} == {row["dog"]}
        put_in.update((number, str(row["cut"])) for number in into)
        if row["pieces_each"]:
            pieces = {one.pieces for number in into for one in bags[number].fillings if one.cut == row["cut"]}
            assert pieces == {row["pieces_each"]}
    assert put_in == Counter((number, one.cut) for number, bag in bags.items() for one in bag.fillings)


@every_plan
def test_at_each_step_what_is_left_falls_by_what_was_put_in_and_ends_as_the_leftover(name: str) -> None:
    plan = planned(name).plan
    mixes = {mix.name for mix in plan.mixes}
    left: dict[str, int] = {}
    for row in rows(papers_of(name).of("counter_sheet"), "stations"):
        cut, left_g = str(row["cut"]), whole(row["left_g"])
        assert cut not in left or left[cut] - whole(row["total_g"]) == left_g
        left[cut] = left_g
    bought = {one.cut: one.bought_g for one in plan.leftovers}
    in_mixes = {one.cut for mix in plan.mixes for one in mix.contents}
    for cut, left_g in left.items():
        if cut in mixes:
            assert left_g == 0
        elif cut not in in_mixes:
            assert left_g >= bought.get(cut, 0)


@every_plan
def test_tubs_hold_all_of_their_mix_and_the_scale_runs_on(name: str) -> None:
    scenario, plan = planned(name).scenario, planned(name).plan
    if not plan.mixes:
        return
    cards = rows(papers_of(name).of("batch_cards"), "batch_cards")
    for mix in plan.mixes:
        mine = [row for row in cards if row["mix"] == mix.name]
        held: Counter[str] = Counter()
        for tub in mix.tubs:
            tare, *put_in = [row for row in mine if row["tub"] == tub.number]
            assert tare["scale_g"] == 0
            shown = 0
            for row in put_in:
                shown += whole(row["weight_g"])
                assert row["scale_g"] == shown
                held[str(row["cut"])] += whole(row["weight_g"])
            assert shown == tub.grams <= scenario.portioning.tub_g
        assert held == Counter({one.cut: one.grams for one in mix.contents if one.grams})
        assert sum(held.values()) == sum(bag.grams_of(mix.name) for bag in plan.bags)


@every_plan
def test_every_bag_is_fed_once_on_its_own_day_to_its_own_dog(name: str) -> None:
    bags = numbered(planned(name).plan)
    told = rows(papers_of(name).of("fridge_door"), "feeding")
    assert sorted(whole(row["bag"]) for row in told) == list(bags)
    for row in told:
        bag = bags[whole(row["bag"])]
        assert (row["day"], row["dog"], row["kind"], row["meal"]) == (bag.day, bag.dog, bag.kind, bag.meal)
    for table in tables(papers_of(name).of("fridge_door"), "feeding"):
        days = [row[0] for row in table.rows]
        assert days == sorted(days)  # type: ignore[type-var]  # days


@every_plan
def test_every_bag_that_is_thawed_is_fed_while_it_keeps(name: str) -> None:
    bags = numbered(planned(name).plan)
    moved: Counter[int] = Counter()
    for row in rows(papers_of(name).of("thaw_plan"), "moves"):
        for number in numbers(row["bag_numbers"]):
            moved[number] += 1
            assert row["day"] <= bags[number].day == row["feed_on"] <= row["feed_by"]  # type: ignore[operator]  # days
    assert set(moved.values()) == {1}
    late = {one.number for one in planned(name).plan.facts.cold.journeys if one.way is BagWay.NO_TIME}
    assert set(bags) - set(moved) == late


@every_plan
def test_there_is_a_label_for_every_bag_with_its_dog_its_day_and_its_weight(name: str) -> None:
    scenario, bags = planned(name).scenario, numbered(planned(name).plan)
    book = bag_book(scenario, planned(name).plan)
    sheet = papers_of(name).of("labels")
    (labels,) = (block for block in sheet.blocks if isinstance(block, Labels))
    by_bag = {whole(row["bag"]): row for row in rows(sheet, "labels")}
    assert [whole(one.number) for one in labels.labels] == list(bags) == list(by_bag)
    for label, bag, row in zip(labels.labels, bags.values(), by_bag.values(), strict=True):
        weight_g = book.weight_g(bag)
        assert (label.dog, label.kind, label.day.split(",")[0]) == (bag.dog, bag.kind, day_text(bag.day))
        assert f"{grams_text(weight_g, scenario.weight_unit)}, " in " ".join(label.lines)
        assert (row["dog"], row["feed_on"], row["kind"], row["weight_g"]) == (bag.dog, bag.day, bag.kind, weight_g)
        inside = {cut.name.partition(" (")[0] for one in bag.fillings for cut in book.cuts_in(one.cut)}
        assert all(name.removesuffix("s") in label.contents[0] for name in inside), label


@every_plan
def test_no_warning_stands_on_most_labels(name: str) -> None:
    """The same warning on every bag is none."""
    (labels,) = (block for block in papers_of(name).of("labels").blocks if isinstance(block, Labels))
    warnings = Counter(warning for one in labels.labels for warning in (one.apart, one.note) if warning)
    assert all(count <= len(labels.labels) / 2 for count in warnings.values()), warnings


@every_plan
def test_on_every_evening_the_freezer_holds_what_is_in_it(name: str) -> None:
    scenario, plan = planned(name).scenario, planned(name).plan
    left_g = sum(one.total_g for one in plan.leftovers)
    evenings = rows(papers_of(name).of("freezing"), "evenings")
    for row in evenings:
        held = (whole(row["bags_g"]), whole(row["left_g"]), whole(row["freezer_g"]), whole(row["refrigerator_g"]))
        assert held[0] + held[1] == held[2]
        assert held[1] == left_g
        to_come = sum(bag.grams for bag in plan.bags if bag.day > row["evening"])  # type: ignore[operator]  # days
        assert held[0] + held[3] == to_come
        if scenario.room_g is not None:
            assert row["free_g"] == max(scenario.room_g - held[2], 0)
    assert evenings[-1]["evening"] == max(bag.day for bag in plan.bags)


@every_plan
def test_the_batch_columns_of_weeks_and_shares_are_the_same(name: str) -> None:
    """The same share of the same food, on two papers; a dog in care is on one of them alone."""
    papers = papers_of(name)
    given = {
        (row["dog"], row["part"]): (row["given_share"], row["asked"]) for row in rows(papers.of("shares"), "parts")
    }
    if not any(one.key == "weeks" for one in papers.bags):
        return
    in_weeks = {
        (row["dog"], row["what"]): (row["batch_share"], row["asked"]) for row in rows(papers.of("weeks"), "weeks")
    }
    assert set(in_weeks) & set(given)
    for key in set(in_weeks) & set(given):
        assert in_weeks[key] == given[key]


@every_plan
def test_reminders_tell_of_every_bag_that_is_moved_and_fed(name: str) -> None:
    scenario, plan = planned(name).scenario, planned(name).plan
    told = rows(papers_of(name).of("reminders"), "reminders")
    days = [row["day"] for row in told]
    assert days == sorted(days)  # type: ignore[type-var]  # days
    assert len({row["uid"] for row in told}) == len(told)
    assert {bag.day for bag in plan.bags} <= set(days)
    assert any(f"{len(plan.bags)} bags" in str(row["to_do"]) and row["day"] == scenario.portioned_on for row in told)
