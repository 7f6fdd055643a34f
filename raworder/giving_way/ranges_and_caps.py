"""How the shares of what dogs eat give way: the ranges of parts, with muscle as the rest, and caps."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product
from math import ceil
from typing import TypeVar

import pulp

from raworder.giving_way.demand import (
    MOST_POINTS,
    Changes,
    Demand,
    End,
    Ends,
    Level,
    Loosening,
    Looser,
    Miss,
    OfDogs,
    Share,
    SoftDemand,
)
from raworder.giving_way.yaml_text import percent_text, quoted_text, subject_word
from raworder.reading.catalogue import find_species
from raworder.reading.names import fold_name
from raworder.reading.patterns import FREE, PATTERNS, default_caps
from raworder.reading.patterns import targets as ranges_of
from raworder.reporting.words import count_text, dogs_text, subject_text
from raworder.solving.constraints import NamedRows
from raworder.solving.groups import Group
from raworder.solving.problem import GRAMS_PER_KG, Problem, row_name, total
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.dogs import Cap as DogCap
from raworder.trade.dogs import Dog, Target
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.trade.units import grams_text, share_text

POINT = Fraction(1, 100)
"""The step in the study of what one more is worth: one percentage point."""

MORE_BONE = "Bone in quantity can block a gut"
LESS_BONE = "With less bone there is less calcium"
"""Source of both: common practice, no source."""

MORE_OF_SUCH_FISH = "Such fish destroys the thiamine of all food with it"
"""Source: the table of cautions, fish that destroy thiamine."""

EVERYTHING = Fraction(1)

Bound = TypeVar("Bound", Target, DogCap)


class SoftShare(Share, SoftDemand):
    """A share that the model can miss, by at most what it may move."""

    @property
    def scale(self) -> float:
        """1: shares count as they are."""
        return 1.0

    def most_missed(self, _: Problem) -> float:
        """The most that a share may move, or all that lies between it and the end of the scale."""
        level = float(self.level)
        return min(level if self.end is End.LOW else 1 - level, float(MOST_POINTS))


class OfFood(SoftShare, OfDogs):
    """A limit on a share of what each of some dogs eats."""

    def soften(self, scenario: Scenario) -> Scenario:
        """The scenario in which it asks for nothing."""
        # Levels below 0 or above 1 bind nothing but still differ: dogs with other limits stay in groups of their own.
        return self.set_level(scenario, -self.level if self.end is End.LOW else 1 + self.level)

    def difference_text(self, scenario: Scenario, level: Level) -> str:
        """The difference in points, and in grams over the batch for all its dogs unless their grams are free."""
        dogs, points = _dogs_of(scenario, self.dogs), super().difference_text(scenario, level)
        if any(dog.free_grams for dog in dogs):
            return points
        grams = ceil(abs(self.difference(level)) * sum(dog.batch_g for dog in dogs))
        return f"{points}, up to {grams_text(grams, scenario.weight_unit)} over the batch"

    def cautions(self) -> Iterator[str]:
        """What more or less bone can do."""
        if self.word == Part.BONE:
            yield LESS_BONE if self.end is End.LOW else MORE_BONE


class PartShare(OfFood):
    """One end of a part's range. Muscle is the rest, so its range may have to move along with another part's."""

    about: Target
    end: End
    rule = "part_share"
    field = "targets"
    is_set_whole = True
    worth_place = 3

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["PartShare"]:
        """Both ends of every range, muscle's first, as changes of other parts can move it too."""
        parts = list(Part)
        bound = _dogs_by(scenario, lambda dog: dog.targets)
        for target in sorted(bound, key=lambda target: (parts.index(target.part), target.low, target.high)):
            if target.low > 0:
                yield from _least_of(scenario, target, bound[target])
            if target.high < 1:
                yield cls(target.high, target, End.HIGH, tuple(bound[target]))

    @property
    def frees_muscle(self) -> bool:
        """Whether it is the range of another part than muscle."""
        return self.about.part is not Part.MUSCLE

    @property
    def other_end(self) -> End:
        """The end of muscle's range that has to move along."""
        return End.HIGH if self.end is End.LOW else End.LOW

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with this end of the part's range at another level, its other end as it is there."""
        share = Fraction(level or 0)
        return _change_ranges(scenario, self.dogs, self.about.part, lambda target: _set_end(target, self.end, share))

    def widen_muscle(self, scenario: Scenario, by: Fraction) -> Scenario:
        """The scenario with muscle's range wider by this share for the dogs that it binds."""
        return _change_ranges(scenario, self.dogs, Part.MUSCLE, lambda target: _widen(target, self.other_end, by))

    def soften(self, scenario: Scenario) -> Scenario:
        """The scenario without it and without the end of muscle's range that may have to move along."""
        scenario = super().soften(scenario)
        for dog in _dogs_of(scenario, self.dogs) if self.frees_muscle else ():
            for target in dog.targets:
                level = _level_of(target, self.other_end)
                if target.part is Part.MUSCLE and 0 < level < 1:
                    scenario = PartShare(level, target, self.other_end, (dog.name,)).soften(scenario)
        return scenario

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """The rows for what each group may miss, noted in `miss.ends` along with muscle's, for `range_rows`."""
        groups = [group for group in problem.fed_by_rules() if group.rules.name in self.dogs]
        for group in groups:
            own, row = _add_own_miss(problem, group, miss)
            yield row
            miss.ends.setdefault((group.name, self.about.part, self.end), []).append(own)
        if self.frees_muscle:
            along = problem.lp.add_variable(f"along_{miss.number}", 0, 1)
            yield f"along_{miss.number}", total([(along, 1), (miss.unknown, -1)]) <= 0
            for group in groups:
                if any(target.part is Part.MUSCLE for target in group.rules.targets):
                    miss.ends.setdefault((group.name, Part.MUSCLE, self.other_end), []).append(along)

    def asks(self, _: Scenario, level: Level) -> str:
        """The least or the most of the part."""
        return f"{self.word} at {'least' if self.end is End.LOW else 'most'} {percent_text(level)}"

    def yaml_entry_for(self, _: Scenario, dog: Dog, changes: Changes, *, is_shared: bool) -> str:  # noqa: ARG002 - as caps
        """The `targets` entry: the dog's pattern and the ranges that differ from it or change, or all its ranges."""
        pattern = PATTERNS.get(dog.targets_named)
        usual = ranges_of(FREE if pattern is None else pattern)
        changed = {change.demand.word for change in changes if dog.name in change.demand.dogs}
        lines = [f"pattern: {dog.targets_named}"] if pattern is not None else []
        lines += [
            f"{target.part}: {percent_text(target.low)} to {percent_text(target.high)}"
            for target in dog.targets
            if target not in usual or target.part in changed
        ]
        return f"{self.field}: {{{', '.join(lines)}}}"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """Each end of each part's range one point further out, for all dogs that it binds.

        Not the least bone of growing dogs.
        """
        for part, end in product(Part, End):
            levels = {
                dog.name: _level_of(target, end)
                for dog in scenario.dogs
                for target in dog.targets
                if target.part is part and not (dog.puppy and (part, end) == (Part.BONE, End.LOW))
            }
            bound = {name: level for name, level in levels.items() if level > 0 and (end is End.LOW or level < 1)}
            if bound:
                yield _a_point_wider(scenario, base, part, end, bound)


class BoneToGrow(PartShare):
    """The least bone of growing dogs: it clashes like any other rule, but never gives way."""

    @property
    def key(self) -> str:
        """Unlike that of grown dogs with the same range."""
        return f"{super().key} to grow"

    @property
    def furthest(self) -> Fraction:
        """Where it is."""
        return self.level

    def most_missed(self, _: Problem) -> float:
        """Nothing."""
        return 0.0


def _least_of(scenario: Scenario, target: Target, names: Collection[str]) -> Iterator[PartShare]:
    """The least of a range for the dogs bound by it; of bone for growing dogs apart."""
    growing = {dog.name for dog in scenario.dogs if dog.puppy and target.part is Part.BONE}
    for kind, apart in ((PartShare, False), (BoneToGrow, True)):
        if dogs := tuple(name for name in names if (name in growing) is apart):
            yield kind(target.low, target, End.LOW, dogs)


class Cap(OfFood):
    """The most that dogs eat of a cut, a kind, a species or another subject."""

    about: Subject
    rule = "cap"
    field = "caps"
    worth_place = 2

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["Cap"]:
        """Every cap."""
        bound = _dogs_by(scenario, lambda dog: dog.caps)
        for cap in sorted(bound, key=lambda cap: (cap.subject.measure, cap.subject.word, cap.most)):
            yield cls(cap.most, cap.subject, End.HIGH, tuple(bound[cap]))

    def cautions(self) -> Iterator[str]:
        """What more bone can do, and more fish that destroys thiamine."""
        yield from super().cautions()
        if self.about.measure is Measure.THIAMINASE:
            yield MORE_OF_SUCH_FISH

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with the cap at another level."""
        most = Fraction(level or 0)
        return _change_caps(scenario, self.dogs, self.about, lambda cap: replace(cap, most=most))

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """No group eats more of it than the level plus the miss."""
        for group in problem.fed_by_rules():
            if group.rules.name in self.dogs:
                own, row = _add_own_miss(problem, group, miss)
                yield row
                yield row_within(problem, group, ShareEnd(self.about, End.HIGH, self.level), [own])

    def asks(self, _: Scenario, level: Level) -> str:
        """The most of it."""
        return f"{counted_text(self.about)} at most {percent_text(level)}"

    def yaml_entry_for(self, scenario: Scenario, dog: Dog, changes: Changes, *, is_shared: bool) -> str:
        """The `caps` entry: the dog's caps but the usual ones, and `none` for usual or common caps that it has not."""
        common = [] if is_shared else [name.removeprefix("caps ") for name, _ in scenario.places if name[:5] == "caps "]
        stated = {*common, *(fold_name(change.demand.word) for change in changes)}
        defaults = default_caps(scenario.cuts)
        usual = [cap for cap in defaults if subject_word(cap.subject) not in stated]
        own = [(subject_word(cap.subject), percent_text(cap.most)) for cap in dog.caps if cap not in usual]
        kept = {fold_name(subject_word(cap.subject)) for cap in dog.caps}
        would_hold = dict.fromkeys([*(subject_word(cap.subject) for cap in defaults), *common])
        without_cap = _known_words(scenario) - kept
        own += [(word, "none") for word in would_hold if find_species(word) in without_cap]
        return f"{self.field}: {{{', '.join(f'{quoted_text(word)}: {most}' for word, most in own)}}}"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """Each cap one point higher, for all dogs that have it; a cap of zero stays."""
        for subject in dict.fromkeys(cap.subject for dog in scenario.dogs for cap in dog.caps if cap.most):
            most = {
                dog.name: cap.most for dog in scenario.dogs for cap in dog.caps if cap.subject == subject and cap.most
            }
            shares = eaten_shares(scenario, base, most, subject)
            is_near = any(shares[name] >= share - POINT for name, share in most.items())
            limit = f"{subject_text(subject)} at most {_bounds_text(most.values())} for {dogs_text(most)}"
            loose = _change_caps(
                scenario, most, subject, lambda cap: replace(cap, most=min(cap.most + POINT, EVERYTHING))
            )
            yield Looser(cls.rule, limit, points_text(POINT, "more"), loose, is_near)


def counted_text(subject: Subject) -> str:
    """The subject as a rule names it."""
    return str(subject.measure) if subject.measure is Measure.WHOLE_BONE else subject_text(subject)


def muscle_text(final: Scenario, demand: Demand) -> str:
    """The range of muscle in a changed scenario, for the dogs of a demand."""
    dog = _dogs_of(final, demand.dogs)[0]
    target = next(target for target in dog.targets if target.part is Part.MUSCLE)
    return f"muscle, which is the rest, from {percent_text(target.low)} to {percent_text(target.high)}"


def _a_point_wider(scenario: Scenario, base: Plan, part: Part, end: End, bound: Mapping[str, Fraction]) -> Looser:
    """One end of a part's range one point further out, for the dogs that it binds at these levels."""
    shares, is_low = eaten_shares(scenario, base, bound, Subject(Measure.PART, part)), end is End.LOW
    is_near = any(
        shares[name] <= level + POINT if is_low else shares[name] >= level - POINT for name, level in bound.items()
    )
    limit = f"{part} at {'least' if is_low else 'most'} {_bounds_text(bound.values())} for {dogs_text(bound)}"
    loose = _change_ranges(scenario, bound, part, lambda target: _widen(target, end, POINT))
    return Looser(PartShare.rule, limit, points_text(POINT, "less" if is_low else "more"), loose, is_near)


def muscle_alone(scenario: Scenario, change: Loosening) -> Loosening | None:
    """The move of muscle's range in a change, as a change of its own; None if there is none, or dogs' ranges differ."""
    demand = change.demand
    targets = {target for dog in _dogs_of(scenario, demand.dogs) for target in dog.targets}
    ranges = {target for target in targets if target.part is Part.MUSCLE}
    if not isinstance(demand, PartShare) or not change.muscle or len(ranges) != 1:
        return None
    (muscle,) = ranges
    asked, level = (
        _level_of(target, demand.other_end) for target in (muscle, _widen(muscle, demand.other_end, change.muscle))
    )
    return Loosening(PartShare(asked, muscle, demand.other_end, demand.dogs), level)


def goes_too_far(before: Scenario, after: Scenario) -> bool:
    """Whether changes together move any end of a range too far, as several can move muscle's."""
    ranges = [[target for dog in scenario.dogs for target in dog.targets] for scenario in (before, after)]
    return any(
        abs(now.low - was.low) > MOST_POINTS or abs(now.high - was.high) > MOST_POINTS
        for was, now in zip(*ranges, strict=True)
    )


def range_rows(scenario: Scenario, problem: Problem, ends: Ends) -> NamedRows:
    """The rows of every end of a range that may give way, with all the misses that move it."""
    dogs = {dog.name: dog for dog in scenario.dogs}
    groups = {group.name: group for group in problem.groups}
    for (name, part, end), missed in ends.items():
        target = next(target for target in dogs[name].targets if target.part is part)
        if part is Part.MUSCLE and len(missed) > 1:
            yield row_name("muscle_moved", name, end), total((unknown, 1) for unknown in missed) <= float(MOST_POINTS)
        share_end = ShareEnd(Subject(Measure.PART, part), end, _level_of(target, end))
        yield row_within(problem, groups[name], share_end, missed)


def own_miss_name(problem: Problem, group: Group, number: int) -> str:
    """The name of the variable for what one group misses a demand by."""
    return f"missed_{number}_of_{problem.groups.index(group)}"


def _add_own_miss(problem: Problem, group: Group, miss: Miss) -> tuple[pulp.LpVariable, tuple[str, pulp.LpConstraint]]:
    """A new variable for what a group misses a demand by, and the row that keeps it below the demand's miss."""
    own = problem.lp.add_variable(own_miss_name(problem, group, miss.number), 0)
    return own, (f"{own.name}_most", total([(own, 1), (miss.unknown, -1)]) <= 0)


@dataclass(frozen=True, slots=True)
class ShareEnd:
    """One end of the range in which a subject's share must stay."""

    subject: Subject
    end: End
    level: Fraction


def row_within(
    problem: Problem, group: Group, limit: ShareEnd, missed: Iterable[pulp.LpVariable]
) -> tuple[str, pulp.LpConstraint]:
    """The row that keeps a group's share of a subject inside one end of a range, but for the misses."""
    sign, subject = (1 if limit.end is End.LOW else -1), limit.subject
    eaten = [(eat, sign * float(subject.share_in(cut) - limit.level)) for cut, eat in problem.eaten(group)]
    misses = [(unknown, group.ration_g / GRAMS_PER_KG) for unknown in missed]
    return row_name("soft", group.name, subject.measure, subject.word, limit.end), total([*eaten, *misses]) >= 0


def _dogs_by(scenario: Scenario, rules_of: Callable[[Dog], Iterable[Bound]]) -> dict[Bound, list[str]]:
    """For each rule the names of the dogs that have it, among those that eat anything."""
    bound: dict[Bound, list[str]] = {}
    for dog in scenario.dogs:
        for rule in rules_of(dog) if dog.batch_g else ():
            bound.setdefault(rule, []).append(dog.name)
    return bound


def _dogs_of(scenario: Scenario, names: Collection[str]) -> list[Dog]:
    return [dog for dog in scenario.dogs if dog.name in names]


def _change_ranges(
    scenario: Scenario, names: Collection[str], part: Part, change: Callable[[Target], Target]
) -> Scenario:
    """The scenario with the range of a part changed for these dogs."""

    def change_dog(dog: Dog) -> Dog:
        """The dog with its range of the part changed."""
        return replace(dog, targets=tuple(change(target) if target.part is part else target for target in dog.targets))

    return replace(scenario, dogs=tuple(change_dog(dog) if dog.name in names else dog for dog in scenario.dogs))


def _change_caps(
    scenario: Scenario, names: Collection[str], subject: Subject, change: Callable[[DogCap], DogCap]
) -> Scenario:
    """The scenario with the cap on a subject changed for these dogs."""

    def change_dog(dog: Dog) -> Dog:
        """The dog with its cap on the subject changed."""
        return replace(dog, caps=tuple(change(cap) if cap.subject == subject else cap for cap in dog.caps))

    return replace(scenario, dogs=tuple(change_dog(dog) if dog.name in names else dog for dog in scenario.dogs))


def _level_of(target: Target, end: End) -> Fraction:
    return target.low if end is End.LOW else target.high


def _set_end(target: Target, end: End, share: Fraction) -> Target:
    return replace(target, low=share) if end is End.LOW else replace(target, high=share)


def _widen(target: Target, end: End, by: Fraction) -> Target:
    """The range with one end further out, within 0 and 1."""
    level = _level_of(target, end)
    return _set_end(target, end, max(level - by, Fraction(0)) if end is End.LOW else min(level + by, EVERYTHING))


def _known_words(scenario: Scenario) -> frozenset[str]:
    """The words that a cap can be about in this scenario, without synonyms, which would be written twice."""
    cuts = [fold_name(word) for cut in scenario.cuts for word in (cut.name, cut.kind)]
    usual = [subject_word(cap.subject) for cap in default_caps(scenario.cuts)]
    return frozenset([*cuts, *usual, *scenario.species(), *Part, Measure.RICH])


def eaten_shares(scenario: Scenario, base: Plan, names: Iterable[str], subject: Subject) -> dict[str, Fraction]:
    """The share of a subject in what each dog eats, by the plan's grams, as a ration in energy leaves them open."""
    shares = {}
    for name in names:
        eaten = [
            (subject.share_in(scenario.cut(portion.cut)), portion.batch_g)
            for portion in base.portions
            if portion.dog == name
        ]
        counted_g = sum((share * grams for share, grams in eaten), Fraction(0))
        shares[name] = counted_g / (sum(grams for _, grams in eaten) or 1)
    return shares


def points_text(share: Fraction, which: str) -> str:
    """Points of a percentage, more or less: `1 percentage point more`."""
    return f"{count_text(int(share * 100), 'percentage point')} {which}"


def _bounds_text(shares: Iterable[Fraction]) -> str:
    """One share, or the least and the most of several."""
    least, *more = sorted(set(shares))
    return f"{share_text(least)} to {share_text(more[-1])}" if more else share_text(least)
