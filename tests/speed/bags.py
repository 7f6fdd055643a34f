"""Two ways to fill bags, measured side by side: `python -m tests.speed.bags`.

The integer programme that raworder uses, against a constructive filler written here: every cut spread evenly by itself,
its pieces or its portions dealt out one by one, then moved day by day until every rule holds. Told are how many dogs
each can fill for at all, how many kinds of bag that takes beside the fewest there can be, and the ratio of the times.
"""

import json
import sys
from collections.abc import Iterator, Sequence
from itertools import product
from math import ceil
from time import perf_counter

from raworder.portioning import bag_filling as bagged
from raworder.portioning.bag_needs import Ingredient, Need, spread_kinds
from raworder.portioning.fewest_kinds import FilledBags, fill_bags
from raworder.portioning.finishing import finish_plan
from raworder.solving.cheapest import cheapest
from raworder.solving.solver import BagSolver, Settings
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests.speed.big import big_scenario

SOLVE = BagSolver(Settings(), 0.0)
"""What solves for bags, without a time limit."""

Amounts = dict[str, tuple[int, ...]]
"""Grams of every ingredient but the top-up, bag by bag."""


def constructed(need: Need) -> Amounts | None:
    """What a constructive filler puts into the bags; None where no shift of its even spreads keeps all rules."""
    choices = [list(_spreads(need, one)) for one in need.others]
    for number, shifted in enumerate(product(*choices)):
        amounts = dict(zip((one.name for one in need.others), shifted, strict=True))
        if _keeps_all(need, amounts):
            return amounts
        if number > 5_000:
            break
    return None


def kinds_of(amounts: Amounts) -> int:
    """How many different fillings there are."""
    return len(set(zip(*amounts.values(), strict=True))) if amounts else 1


def _spreads(need: Need, one: Ingredient) -> Iterator[tuple[int, ...]]:
    """Even spreads of an ingredient over the bags, few bags with much before many with little, each at every shift."""
    bags = len(need.slots)
    if one.whole:
        pieces = one.total_g // one.unit_g
        every, more = divmod(pieces, bags)
        marks = spread_kinds((bags - more, more)) if more else (0,) * bags
        base = [(every + mark) * one.unit_g for mark in marks]
        yield from (tuple(base[-shift:] + base[:-shift]) for shift in range(bags))
        return
    for days in (4, 6, 8, 10, 14):
        portions = min(days, bags, max(one.total_g // need.portioning.least_portion_g, 1))
        marks = spread_kinds((bags - portions, portions)) if portions < bags else (1,) * bags
        step_g = ceil(one.total_g / portions)
        left, base = one.total_g, []
        for mark in marks:
            grams = min(step_g, left) if mark else 0
            base.append(grams)
            left -= grams
        yield from (tuple(base[-shift:] + base[:-shift]) for shift in range(0, bags, 2))


def _keeps_all(need: Need, amounts: Amounts) -> bool:
    """Whether bags have room, weeks their shares and days no more than their most."""
    held = [sum(grams) for grams in zip(*amounts.values(), strict=True)]
    least_g = need.portioning.least_portion_g
    if any(grams > slot.grams - least_g for grams, slot in zip(held, need.slots, strict=True)):
        return False
    for week in need.weeks:
        ration_g = need.ration_g(week)
        for limit in need.limits:
            counted = _counted(need, amounts, week, limit.subject)
            allowance_g = need.allowance_g(limit.subject, ration_g)
            if not limit.low * ration_g - allowance_g <= counted <= limit.high * ration_g + allowance_g:
                return False
    return all(
        _counted(need, amounts, day, subject) <= most * sum(need.slots[place].grams for place in day)
        for day in need.days
        for subject, most in need.most_a_day
    )


def _counted(need: Need, amounts: Amounts, run: Sequence[int], subject: object) -> float:
    changes = need.changes[subject]  # type: ignore[index] # any subject of the need
    top_up = float(need.top_up.shares[subject])  # type: ignore[index] # any subject of the need
    own = sum(changes[name] * grams[place] for name, grams in amounts.items() for place in run)
    return own + top_up * sum(need.slots[place].grams for place in run)


def needs_of(scenario: Scenario) -> tuple[Need, ...]:
    """What the dogs of a scenario need, as bags are filled for them."""
    allocation = cheapest(scenario, Settings())
    plan = finish_plan(scenario, allocation)  # type: ignore[arg-type] # the invented scenario has a plan
    assert isinstance(plan, Plan)
    found: list[Need] = []

    def noted(need: Need, *_: object) -> FilledBags | None:
        found.append(need)
        return None

    real, bagged.fill_bags = bagged.fill_bags, noted  # type: ignore[assignment] # listens for the needs
    try:
        bagged.fill_all_bags(scenario, plan, getattr(allocation, "fed_alike", ()), SOLVE)
    finally:
        bagged.fill_bags = real
    return tuple(found)


def main() -> None:
    """Fill bags for 200 dogs both ways and tell how it went."""
    needs = needs_of(big_scenario(offers=60, suppliers=4))
    began = perf_counter()
    solved = [fill_bags(need, SOLVE) for need in needs]
    solving_s = perf_counter() - began
    began = perf_counter()
    built = [constructed(need) for need in needs]
    building_s = perf_counter() - began
    both = [(one, two) for one, two in zip(solved, built, strict=True) if one and two is not None]
    said = {
        "dogs": len(needs),
        "filled": {"programme": sum(map(bool, solved)), "construction": sum(two is not None for two in built)},
        "fewest_kinds": sum(one.least_kinds for one in solved if one),
        "kinds_of_programme": sum(one.kinds for one in solved if one),
        "kinds_where_both": {
            "programme": sum(one.kinds for one, _ in both),
            "construction": sum(kinds_of(two) for _, two in both),
        },
        "time_of_construction_to_programme": round(building_s / solving_s, 2),
    }
    sys.stdout.write(json.dumps(said, indent=2) + "\n")


if __name__ == "__main__":
    main()
