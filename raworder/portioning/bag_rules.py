"""The builders of bags: each rule of the rulebook that is about bags, for the solver, one function under its key."""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

import pulp

from raworder.portioning.bag_problem import BagProblem, Run, top_up_g, total
from raworder.portioning.needs import Limit

Named = Iterator[tuple[str, pulp.LpConstraint]]


def least_portion(problem: BagProblem) -> Named:
    """A bag holds nothing of a cut, or at least the least portion."""
    least_g = problem.need.portioning.least_portion_g
    for number, one in enumerate(problem.need.others):
        for kind in problem.kinds if not one.whole else ():
            count, taken = problem.count[kind, one.name], problem.taken[kind, one.name]
            rest = problem.rest[kind, one.name]
            name = f"least_portion_{number}_{kind}"
            yield f"{name}_low", total([(count, one.unit_g), (taken, -least_g)]) >= 0
            yield f"{name}_last", total([(count, one.unit_g), (rest, 1), (taken, -least_g)]) >= 0
            yield f"{name}_high", total([(count, 1), (taken, -count.upBound)]) <= 0


def bag_sum(problem: BagProblem) -> Named:
    """A dog's bags hold just its portions."""
    every = tuple(range(len(problem.pattern)))
    for number, one in enumerate(problem.need.others):
        yield f"bag_sum_{number}", total(problem.amount(every, one)) == one.total_g


def scale_step(problem: BagProblem) -> Named:
    """What is weighed into a bag is whole scale steps; only where a kind has any does its last bag take a rest."""
    for number, one in enumerate(problem.need.others):
        for kind in problem.kinds if not one.whole else ():
            rest, taken = problem.rest[kind, one.name], problem.taken[kind, one.name]
            yield f"scale_step_{number}_{kind}_high", total([(rest, 1), (taken, -rest.upBound)]) <= 0
            yield f"scale_step_{number}_{kind}_low", total([(rest, 1), (taken, -rest.lowBound)]) >= 0


def bag_weight(problem: BagProblem) -> Named:
    """What goes into a bag leaves room for a least portion of the top-up, which brings it to its weight."""
    slots, least_g = problem.need.slots, problem.need.portioning.least_portion_g
    for kind in problem.kinds:
        last = problem.last[kind]
        before = [place for place in range(last) if problem.pattern[place] == kind]
        lightest = min(before, key=lambda place: slots[place].grams, default=last)
        for place in sorted({lightest, last}):
            held = [term for one in problem.need.others for term in problem.amount((place,), one)]
            yield f"bag_weight_{kind}_{place}", total(held) <= slots[place].grams - least_g


def week_share(problem: BagProblem) -> Named:
    """Over any seven days running each part's share stays in its range, give or take what whole pieces allow."""
    yield from _over_weeks(problem, "week_share")


def week_cap(problem: BagProblem) -> Named:
    """Over any seven days running what is capped stays at its share, give or take what whole pieces allow."""
    yield from _over_weeks(problem, "week_cap")


def day_most(problem: BagProblem) -> Named:
    """No day's food holds more than the most of bone, organs, plants, heart or fat."""
    for place, day in enumerate(problem.days):
        day_g = sum(problem.need.slots[slot].grams for slot in day)
        for number, (subject, most) in enumerate(problem.need.most_a_day):
            terms = problem.counted(day, subject)
            if terms:
                yield (
                    f"day_most_{place}_{number}",
                    total(terms) <= float(most * day_g - top_up_g(problem, day, subject)),
                )


def _over_weeks(problem: BagProblem, key: str) -> Named:
    """A range, the allowance added at both ends, for every week."""
    for place, week in enumerate(problem.weeks):
        for number, limit in enumerate(problem.need.limits):
            if limit.key == key:
                yield from _within(problem, week, limit, f"{key}_{place}_{number}")


def _within(problem: BagProblem, week: Run, limit: Limit, name: str) -> Named:
    ration_g, terms = problem.need.ration_g(week), problem.counted(week, limit.subject)
    if not terms:
        return
    allowance_g = problem.need.allowance_g(limit.subject, ration_g)
    by_itself_g = top_up_g(problem, week, limit.subject)
    if limit.low > 0:
        yield f"{name}_low", total(terms) >= float(limit.low * ration_g - allowance_g - by_itself_g)
    if limit.high < 1:
        yield f"{name}_high", total(terms) <= float(limit.high * ration_g + allowance_g - by_itself_g)


BAG_BUILDERS: Mapping[str, Callable[[BagProblem], Named]] = MappingProxyType(
    {
        builder.__name__: builder
        for builder in (least_portion, bag_sum, scale_step, bag_weight, week_share, week_cap, day_most)
    }
)
"""Every builder of bags by its rule's key, in the rulebook's order."""
