"""The bag problem: one dog's kinds of bag as an integer programme, with a builder for each rule."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from types import MappingProxyType

import pulp

from raworder.portioning.bag_needs import Ingredient, Limit, Need, Pattern
from raworder.portioning.bag_rules import PatternRules
from raworder.trade.cuts import Subject
from raworder.trade.rulebook import REST_STEPS

Terms = list[tuple[pulp.LpVariable, float]]
Run = tuple[int, ...]
"""The places of consecutive bags: a day's or a week's."""

PER_PIECE = 2.0
"""The weighings that one piece fewer in the fullest bag is worth: spreading bone beats saving a weighing."""

LESS = 0.5
"""How much lower a lower burden is at least: burdens are whole numbers, so half of one leaves room for rounding."""


@dataclass(frozen=True)
class BagProblem:
    """A need under a pattern, with its unknowns by kind and name.

    `count` is the pieces or scale steps in a bag of a kind, `rest` the further grams in its last bag, `taken` whether
    the kind has any; `fullest` is the most pieces of an ingredient in any bag, by name. The top-up has no unknown:
    every rule is written in exchange for it.
    """

    need: Need
    pattern: Pattern
    lp: pulp.LpProblem
    count: Mapping[tuple[int, str], pulp.LpVariable]
    taken: Mapping[tuple[int, str], pulp.LpVariable]
    rest: Mapping[tuple[int, str], pulp.LpVariable]
    fullest: Mapping[str, pulp.LpVariable]

    @cached_property
    def kinds(self) -> tuple[int, ...]:
        """The kinds of bag."""
        return tuple(sorted(set(self.pattern)))

    @cached_property
    def last(self) -> Mapping[int, int]:
        """The place of the last bag of each kind."""
        return {kind: place for place, kind in enumerate(self.pattern)}  # later places overwrite earlier ones

    @cached_property
    def weeks(self) -> tuple[Run, ...]:
        """The weeks, without those that are filled like an earlier one."""
        return self._distinct_runs(self.need.weeks)

    @cached_property
    def days(self) -> tuple[Run, ...]:
        """The days, without those that are filled like an earlier one."""
        return self._distinct_runs(self.need.days)

    def amount(self, run: Run, ingredient: Ingredient) -> Terms:
        """The terms whose sum is the grams of an ingredient in a run of bags."""
        return list(self._amount_terms(self._kinds_in_run(run), ingredient, 1.0))

    def counted(self, run: Run, subject: Subject) -> Terms:
        """The terms of what counts for a subject in a run of bags, compared with bags of the top-up alone."""
        bags, changes = self._kinds_in_run(run), self.need.changes[subject]
        return [
            term
            for ingredient in self.need.others
            if changes[ingredient.name]
            for term in self._amount_terms(bags, ingredient, changes[ingredient.name])
        ]

    def _kinds_in_run(self, run: Run) -> list[tuple[int, int, bool]]:
        """The kinds in a run, each with its number of bags there and whether its last bag is one of them."""
        found = [self.pattern[place] for place in run]
        return [(kind, found.count(kind), self.last[kind] in run) for kind in sorted(set(found))]

    def _amount_terms(
        self, bags: Iterable[tuple[int, int, bool]], ingredient: Ingredient, times: float
    ) -> Iterator[tuple[pulp.LpVariable, float]]:
        for kind, number, with_last in bags:
            yield self.count[kind, ingredient.name], times * ingredient.unit_g * number
            if with_last and not ingredient.whole:
                yield self.rest[kind, ingredient.name], times

    def _distinct_runs(self, runs: Iterable[Run]) -> tuple[Run, ...]:
        """One run of each set with the same kinds, weight and ration: their rows would be the same."""
        found: dict[object, Run] = {}
        for run in runs:
            grams = sum(self.need.slots[place].grams for place in run)
            found.setdefault((tuple(self._kinds_in_run(run)), grams, self.need.ration_g(run)), run)
        return tuple(found.values())


def pose_bags(need: Need, pattern: Pattern) -> BagProblem:
    """The unknowns of a dog's bags under a pattern, bounded."""
    lp = pulp.LpProblem("bags", pulp.LpMinimize)
    count, taken, rest = {}, {}, {}
    for kind in sorted(set(pattern)):
        for number, ingredient in enumerate(need.others):
            words = f"{kind}_{number}"
            count[kind, ingredient.name] = lp.add_variable(
                f"count_{words}", 0, ingredient.total_g // ingredient.unit_g, pulp.LpInteger
            )
            if not ingredient.whole:
                # Without a rest, 308 g in steps of 5 g would need other portions, and then another order.
                most_g = REST_STEPS * ingredient.unit_g
                taken[kind, ingredient.name] = lp.add_variable(f"taken_{words}", 0, 1, pulp.LpBinary)
                rest[kind, ingredient.name] = lp.add_variable(f"rest_{words}", -most_g, most_g, pulp.LpInteger)
    whole = [(number, ingredient) for number, ingredient in enumerate(need.others) if ingredient.whole]
    fullest = {ingredient.name: lp.add_variable(f"fullest_{number}", 0) for number, ingredient in whole}
    return BagProblem(need, pattern, lp, count, taken, rest, fullest)


def burden(problem: BagProblem) -> pulp.LpAffineExpression:
    """The objective: weighings into bags, top-ups aside, plus PER_PIECE for each piece in the fullest bag."""
    often = [(taken, float(problem.pattern.count(kind))) for (kind, _), taken in problem.taken.items()]
    return total([*often, *((pieces, PER_PIECE) for pieces in problem.fullest.values())])


def fullest_bags(problem: BagProblem) -> Iterator[tuple[str, pulp.LpConstraint]]:
    """Not a rule: rows that make `fullest` at least the pieces of every kind of bag."""
    for (kind, name), count in problem.count.items():
        if name in problem.fullest:
            number = [ingredient.name for ingredient in problem.need.others].index(name)
            yield f"fullest_{number}_{kind}", total([(problem.fullest[name], 1.0), (count, -1.0)]) >= 0


def total(terms: Iterable[tuple[pulp.LpVariable, float]]) -> pulp.LpAffineExpression:
    """The sum of coefficient times variable."""
    return pulp.LpAffineExpression(list(terms))


def top_up_g(problem: BagProblem, run: Run, subject: Subject) -> Fraction:
    """Grams that would count for a subject if this run of bags held the top-up alone."""
    return problem.need.top_up.shares[subject] * sum(problem.need.slots[place].grams for place in run)


BagRows = Iterator[tuple[str, pulp.LpConstraint]]


def least_portion(problem: BagProblem) -> BagRows:
    """A bag holds nothing of a cut, or at least the least portion."""
    least_g = problem.need.portioning.least_portion_g
    for number, ingredient in enumerate(problem.need.others):
        for kind in problem.kinds if not ingredient.whole else ():
            count, taken = problem.count[kind, ingredient.name], problem.taken[kind, ingredient.name]
            rest = problem.rest[kind, ingredient.name]
            name = f"least_portion_{number}_{kind}"
            yield f"{name}_low", total([(count, ingredient.unit_g), (taken, -least_g)]) >= 0
            yield f"{name}_last", total([(count, ingredient.unit_g), (rest, 1), (taken, -least_g)]) >= 0
            yield f"{name}_high", total([(count, 1), (taken, -count.upBound)]) <= 0


def bag_sum(problem: BagProblem) -> BagRows:
    """A dog's bags hold just its portions."""
    every = tuple(range(len(problem.pattern)))
    for number, ingredient in enumerate(problem.need.others):
        yield f"bag_sum_{number}", total(problem.amount(every, ingredient)) == ingredient.total_g


def scale_step(problem: BagProblem) -> BagRows:
    """What is weighed into a bag is whole scale steps; only where a kind has any does its last bag take a rest."""
    for number, ingredient in enumerate(problem.need.others):
        for kind in problem.kinds if not ingredient.whole else ():
            rest, taken = problem.rest[kind, ingredient.name], problem.taken[kind, ingredient.name]
            yield f"scale_step_{number}_{kind}_high", total([(rest, 1), (taken, -rest.upBound)]) <= 0
            yield f"scale_step_{number}_{kind}_low", total([(rest, 1), (taken, -rest.lowBound)]) >= 0


def bag_weight(problem: BagProblem) -> BagRows:
    """What goes into a bag leaves room for a least portion of the top-up, which brings it to its weight."""
    slots, least_g = problem.need.slots, problem.need.portioning.least_portion_g
    for kind in problem.kinds:
        # Bags of a kind hold the same, so the lightest decides; the last takes a rest too, so it is checked by itself.
        last = problem.last[kind]
        before = [place for place in range(last) if problem.pattern[place] == kind]
        lightest = min(before, key=lambda place: slots[place].grams, default=last)
        for place in sorted({lightest, last}):
            held = [term for ingredient in problem.need.others for term in problem.amount((place,), ingredient)]
            yield f"bag_weight_{kind}_{place}", total(held) <= slots[place].grams - least_g


def week_share(problem: BagProblem) -> BagRows:
    """Over any seven days running each part's share stays in its range, give or take what whole pieces allow."""
    yield from _week_rows(problem, "week_share")


def week_cap(problem: BagProblem) -> BagRows:
    """Over any seven days running what is capped stays at its share, give or take what whole pieces allow."""
    yield from _week_rows(problem, "week_cap")


def day_most(problem: BagProblem) -> BagRows:
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


def _week_rows(problem: BagProblem, key: str) -> BagRows:
    """A range, the allowance added at both ends, for every week."""
    for place, week in enumerate(problem.weeks):
        for number, limit in enumerate(problem.need.limits):
            if limit.key == key:
                yield from _range_rows(problem, week, limit, f"{key}_{place}_{number}")


def _range_rows(problem: BagProblem, week: Run, limit: Limit, name: str) -> BagRows:
    ration_g, terms = problem.need.ration_g(week), problem.counted(week, limit.subject)
    if not terms:
        return
    allowance_g = problem.need.allowance_g(limit.subject, ration_g)
    by_itself_g = top_up_g(problem, week, limit.subject)
    if limit.low > 0:
        yield f"{name}_low", total(terms) >= float(limit.low * ration_g - allowance_g - by_itself_g)
    if limit.high < 1:
        yield f"{name}_high", total(terms) <= float(limit.high * ration_g + allowance_g - by_itself_g)


BAG_BUILDERS: Mapping[str, Callable[[BagProblem], BagRows]] = MappingProxyType(
    {
        builder.__name__: builder
        for builder in (least_portion, bag_sum, scale_step, bag_weight, week_share, week_cap, day_most)
    }
)
"""Every builder of bags by its rule's key, in the rulebook's order."""


def pose_model(under: PatternRules, below: float | None = None) -> BagProblem:
    """The whole model of a dog's bags under a pattern: its unknowns, bounded more tightly, under every rule.

    With `below`, only fillings with a lower burden are solutions.
    """
    problem = pose_bags(under.rules.need, under.pattern)
    _tighten_bounds(problem, under)
    for builder in (*BAG_BUILDERS.values(), fullest_bags):
        for name, constraint in builder(problem):
            problem.lp.addConstraint(constraint, name)
    if below is not None:
        problem.lp.addConstraint(burden(problem) <= below - LESS, "below")
    return problem


def _tighten_bounds(problem: BagProblem, under: PatternRules) -> None:
    """Bounds by what a bag can hold, and by the ways to deal out the pieces."""
    for place, ingredient in enumerate(problem.need.others):
        for kind in problem.kinds if not ingredient.whole else ():
            # The only bag of a kind is its last, so that a rest may make up for steps above its most.
            more_g = under.rules.most_rest_g if under.sizes[kind] == 1 else 0
            most_g = min(under.most_g[place][kind] + more_g, ingredient.total_g)
            problem.count[kind, ingredient.name].upBound = most_g // ingredient.unit_g
    for number, place in enumerate(under.rules.whole if under.dealings else ()):
        ways, name = [dealing[number] for dealing in under.dealings or ()], problem.need.others[place].name
        problem.fullest[name].lowBound = min(map(max, ways))
        for kind, counts in enumerate(zip(*ways, strict=True)):
            problem.count[kind, name].bounds(min(counts), max(counts))
