"""The fewest changes that open a plan together, each the least beside the others: against every set and every step.

All names and figures are invented. **Source:** brute force: every set of rules is let go as far as it may, the smallest
sets first, and each change that is told is taken back to every step between it and what is asked.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import combinations, product
from types import MappingProxyType

import pytest

from raworder.giving_way import smallest_change
from raworder.giving_way.demand import Demand, End, Level, Loosening
from raworder.giving_way.family import apply_changes, demands_of
from raworder.giving_way.smallest_change import Opening, Trial, settings_from_now, tighten
from raworder.giving_way.variety import MOST_OF_ONE, SPECIES
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask
from raworder.studies.reasons import Asking, Why, explain_no_plan
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Measure, Part
from raworder.trade.plan import NoPlan, Plan
from raworder.trade.scenario import Scenario, Variety
from raworder.workflow import plan_batch
from tests import builders as b
from tests.drawn import few
from tests.studies.giving_way import STEPS, looked_into
from tests.studies.impossible import fed, prey_without_bone, with_heart, with_liver, with_neck

POINTS = Fraction(1, 10)
"""No range, and no cap, may move by more."""

CAPPED = b.a_dog(caps=[b.a_cap(Measure.FAT, "", "1/10")])
"""The only cut is 12.5 % fat."""

BONY = b.a_dog(batch_g=700, daily_g=50, targets=[b.a_target(Part.BONE, "11/100", "15/100")])
"""Fed 50 g a day, and a neck is 60 g: it must be cut up, as at least 1 % of bone is left to be fed."""

TINY: Mapping[str, Scenario] = MappingProxyType(
    {
        "money and room": fed(budget=16.5, room_g=6_900),
        "money, room and stock": fed(budget=16.6, room_g=6_950, offers=[b.an_offer(available=6)]),
        "a second supplier and money": with_heart(
            b.a_dog(caps=[b.a_cap(Measure.CUT, "beef trim", "1/3"), b.a_cap(Measure.CUT, "beef heart", "1/2")]),
            most_suppliers=1,
            budget=16.4,
        ),
        # 5 % of liver are 350 g, and 300 g are there
        "stock and money": replace(
            with_liver(3), budget=Decimal(19), dogs=(b.a_dog(targets=[b.a_target(Part.LIVER, "15/100", "20/100")]),)
        ),
        "room and a minimum order": fed(suppliers=[b.a_supplier(minimum_order=17)], room_g=6_900, budget=18),
        "a minimum order above money and room": fed(
            suppliers=[b.a_supplier(minimum_order=20)], budget=16.4, room_g=7_500
        ),
        "a cap and room": fed(CAPPED, room_g=6_900),
        "a cap, money and room": fed(CAPPED, room_g=6_900, budget=16.5),
        "caps of two dogs": fed(
            replace(CAPPED, name="Juniper"), b.a_dog(caps=[b.a_cap(Measure.FAT, "", "3/25")]), budget=40
        ),
        "a cap and variety": with_neck(
            b.a_dog(caps=[b.a_cap(Measure.PART, "bone", "8/100")]), variety=Variety(most_share=Fraction(1, 2))
        ),
        "species and room": with_heart(variety=Variety(3, Fraction(1, 10)), room_g=6_900),
        "whole pieces and money": with_neck(BONY, budget=4.5, portioning=Portioning(least_portion_g=5)),
        "muscle, which is what is left, and room": replace(prey_without_bone(), room_g=6_900),
    }
)


@cache
def found(name: str) -> Why:
    """What the study finds."""
    return looked_into(TINY[name])


def together(name: str) -> Trial:
    """What must give way together; it opens a plan."""
    tried = found(name).together
    assert tried is not None
    assert tried.opened is not None
    return tried


def opens(scenario: Scenario, changes: tuple[Loosening, ...]) -> bool:
    """Whether there is a plan with the changes."""
    return isinstance(plan_batch(apply_changes(scenario, changes), Settings()), Plan)


def falls(demand: Demand) -> bool:
    """Whether less is asked for at a lower level."""
    return demand.end is End.LOW or demand.rule == "minimum_order" or demand.about == SPECIES


def furthest(demand: Demand) -> Iterator[Loosening]:
    """The demand let go as far as it may, muscle's range left as it is or moved along."""
    match demand.rule:
        case "cap" | "part_share" | "week_share":
            by = -POINTS if falls(demand) else POINTS
            level: Level = min(max(Fraction(demand.level or 0) + by, Fraction(0)), Fraction(1))
        case "variety":
            level = 1 if demand.about == SPECIES else min(Fraction(demand.level or 0) + POINTS, Fraction(1))
        case "day_most":
            level = max(Fraction(demand.level or 0), Fraction(1, 2) if "bone" in str(demand.about) else Fraction(1, 3))
        case "minimum_order" | "least_portion":
            level = Decimal(0) if demand.rule == "minimum_order" else 5
        case _:
            level = None
    yield Loosening(demand, level)
    if demand.frees_muscle:
        yield Loosening(demand, level, POINTS)


def fewest(scenario: Scenario) -> int:
    """How many rules must give way at least, of all sets."""
    demands = demands_of(scenario)
    for size in range(1, len(demands) + 1):
        for several in combinations(demands, size):
            if any(opens(scenario, ways) for ways in product(*map(furthest, several))):
                return size
    raise AssertionError("no set of rules is enough")


def lesser(change: Loosening) -> Iterator[Loosening]:
    """The change at every step between it and what is asked; of many steps the nearest, then every tenth."""
    demand, level = change.demand, change.level
    step = STEPS.get(demand.rule, Fraction(1, 1000) if demand.about == MOST_OF_ONE else Fraction(1))
    asked, reached = Fraction(demand.level or 0), Fraction(level or 0)
    count = 0 if demand.rule == "whole_pieces" else int(abs(reached - asked) / step)
    for number in (*range(1, min(count, 20) + 1), *range(30, count, 10)):
        less = reached + number * step * (1 if falls(demand) else -1)
        yield replace(change, level=Decimal(float(less)).quantize(level) if isinstance(level, Decimal) else less)
    for points in range(int(change.muscle * 1000)):
        yield replace(change, muscle=Fraction(points, 1000))


@few("name", tuple(TINY), 4)
def test_no_fewer_rules_open_a_plan_than_those_that_are_told_as_the_fewest(name: str) -> None:
    assert together(name).is_least
    assert len(together(name).demands) == fewest(TINY[name])


@few("name", tuple(TINY), 4)
def test_no_step_less_of_any_change_is_enough_beside_the_others(name: str) -> None:
    opened = together(name).opened
    assert opened is not None
    for place, change in enumerate(opened.changes):
        for less in lesser(change):
            others = (*opened.changes[:place], less, *opened.changes[place + 1 :])
            assert not opens(TINY[name], others), less


@few("name", tuple(TINY), 4)
def test_none_of_the_changes_can_be_left_out(name: str) -> None:
    opened = together(name).opened
    assert opened is not None
    assert opens(TINY[name], opened.changes)
    for change in opened.changes:
        assert not opens(TINY[name], tuple(one for one in opened.changes if one is not change))


def too_many() -> tuple[Scenario, Opening]:
    """Money and room, both needed, and a second supplier that is not; the first two by more than is needed."""
    scenario = fed(budget=16.5, room_g=6_900, most_suppliers=1)
    levels: Mapping[str, Level] = {"budget": b.euros(20), "room": 9_000, "supplier_count": 2}
    changes = tuple(Loosening(one, levels[one.rule]) for one in demands_of(scenario) if one.rule in levels)
    return scenario, Opening(changes, b.euros("16.80"), proved=True)


def test_what_is_not_needed_is_left_out_and_the_rest_taken_back_to_the_least() -> None:
    scenario, opened = too_many()
    least, is_least = tighten(scenario, opened, settings_from_now(Settings()))
    assert {one.demand.rule: one.level for one in least.changes} == {"budget": b.euros("16.80"), "room": 7_000}
    assert is_least


@pytest.mark.parametrize("most", [0, 1, 3])
def test_where_no_more_plans_may_be_made_the_least_is_not_claimed(most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(smallest_change, "MOST_PLANS", most)
    scenario, opened = too_many()
    least, is_least = tighten(scenario, opened, settings_from_now(Settings()))
    assert not is_least
    assert opens(scenario, least.changes)


def test_in_a_time_that_is_too_short_the_least_is_not_claimed() -> None:
    scenario, opened = too_many()
    assert tighten(scenario, opened, settings_from_now(Settings(time_limit_s=1e-9))) == (opened, False)


@pytest.mark.parametrize("name", ["money and room", "money, room and stock"])
def test_where_not_every_rule_was_tried_alone_the_fewest_are_not_claimed(name: str) -> None:
    asking = Asking(Ask(), TINY[name])
    asking.is_whole = False  # as where the time limit came before a rule was tried
    tried = explain_no_plan(TINY[name], NoPlan(), asking).together
    assert tried is not None
    assert tried.opened is not None
    assert not tried.is_least
