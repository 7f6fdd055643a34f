"""The rules of one dog's bags in whole numbers: the programme's rows, checked exactly and without a solver."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import floor, lcm, prod
from operator import mul, sub

from raworder.portioning.bag_needs import Need, Pattern
from raworder.trade.cuts import Subject
from raworder.trade.rulebook import REST_STEPS

Weights = tuple[int, ...]
"""What a gram of each ingredient counts for, in exchange for the top-up, times the common denominator."""

Limits = tuple[tuple[Weights, int], ...]
"""Weights, each with the most that they may come to."""

ByKind = tuple[int, ...]
"""A number for every kind of bag: pieces, scale steps or grams."""

MOST_DEALINGS = 2_000
"""The most ways to deal out whole pieces that are looked at."""


@dataclass(frozen=True, slots=True)
class Spread:
    """One ingredient over the kinds: pieces or scale steps in a bag, and further grams in the last bag of a kind."""

    counts: ByKind
    rests_g: ByKind

    @property
    def kinds(self) -> tuple[int, ...]:
        """The kinds that have any."""
        return tuple(kind for kind, count in enumerate(self.counts) if count)


Contents = tuple[Spread, ...]
"""What the kinds of bag hold besides the top-up: the spread of every ingredient, in their order."""

Dealing = tuple[ByKind, ...]
"""Pieces in a bag of each kind, for every ingredient that comes in whole pieces, in their order."""


@dataclass(frozen=True, slots=True)
class Run:
    """Some bags that rules are about, a bag, a day or a week, with their limits.

    `bags` counts its bags of each kind; `lasts` is 1 where the last bag of a kind is one of them, else 0.
    """

    bags: ByKind
    lasts: ByKind
    limits: Limits


@dataclass(frozen=True)
class BagRules:
    """The rules of a need, whichever bags are of which kind."""

    need: Need

    @cached_property
    def whole(self) -> tuple[int, ...]:
        """The places of the ingredients that come in whole pieces."""
        return tuple(place for place, ingredient in enumerate(self.need.others) if ingredient.whole)

    @cached_property
    def weighed(self) -> tuple[int, ...]:
        """The places of the ingredients that are weighed."""
        return tuple(place for place, ingredient in enumerate(self.need.others) if not ingredient.whole)

    @cached_property
    def most_rest_g(self) -> int:
        """The most that the last bag of a kind may hold more, or less, than the others."""
        return REST_STEPS * self.need.portioning.scale_step_g

    def under(self, pattern: Pattern) -> "PatternRules":
        """The rules under a pattern, worked out once."""
        return self._under.setdefault(pattern, PatternRules(self, pattern))

    @cached_property
    def _under(self) -> dict[Pattern, "PatternRules"]:
        """The rules by the patterns that were asked about."""
        return {}

    def room_g(self, place: int) -> int:
        """What a bag holds at most besides the least portion of the top-up."""
        return self.need.slots[place].grams - self.need.portioning.least_portion_g

    def runs(self, pattern: Pattern) -> Iterator[Run]:
        """The bags, days and weeks under a pattern; of those with the same kinds, the tightest limits."""
        last = dict(sorted((kind, place) for place, kind in enumerate(pattern)))  # later places overwrite earlier ones
        tightest: dict[tuple[ByKind, ByKind], dict[Weights, int]] = {}
        for limits, runs in self._limited:
            for like in dict.fromkeys(_kinds_in(places, pattern, last) for places in runs):
                known = tightest.setdefault(like, {})
                for weights, most in limits:
                    known[weights] = min(most, known.get(weights, most))
        return (Run(bags, lasts, tuple(limits.items())) for (bags, lasts), limits in tightest.items())

    @cached_property
    def _limited(self) -> tuple[tuple[Limits, list[tuple[int, ...]]], ...]:
        """Limits, each with the places of the bags, the days or the weeks that have them: those of the same weight."""
        bags: dict[int, list[tuple[int, ...]]] = {}
        days: dict[int, list[tuple[int, ...]]] = {}
        weeks: dict[tuple[int, int], list[tuple[int, ...]]] = {}
        for place, slot in enumerate(self.need.slots):
            bags.setdefault(slot.grams, []).append((place,))
        for day in self.need.days:
            days.setdefault(self._grams(day), []).append(day)
        for week in self.need.weeks:
            weeks.setdefault((self._grams(week), self.need.ration_g(week)), []).append(week)
        return (
            *((self._bag_limits(grams), runs) for grams, runs in bags.items()),
            *((tuple(self._day_limits(grams)), runs) for grams, runs in days.items()),
            *((tuple(self._week_limits(*both)), runs) for both, runs in weeks.items()),
        )

    def _grams(self, places: tuple[int, ...]) -> int:
        """What the bags at these places weigh."""
        return sum(self.need.slots[place].grams for place in places)

    def _bag_limits(self, bag_g: int) -> Limits:
        least_g = self.need.portioning.least_portion_g
        return (((self.denominator,) * len(self.need.others), self.denominator * (bag_g - least_g)),)

    @cached_property
    def denominator(self) -> int:
        """What all shares are whole numbers of, when multiplied by it."""
        shares = [self.need.top_up.shares, *(ingredient.shares for ingredient in self.need.others)]
        return lcm(*(share.denominator for counted in shares for share in counted.values()))

    @cached_property
    def _weights(self) -> dict[Subject, Weights]:
        """The weights of every subject that is changed by exchanging the top-up."""
        weights = {
            subject: tuple(int((part.shares[subject] - share) * self.denominator) for part in self.need.others)
            for subject, share in self.need.top_up.shares.items()
        }
        return {subject: of_subject for subject, of_subject in weights.items() if any(of_subject)}

    def _day_limits(self, day_g: int) -> Iterator[tuple[Weights, int]]:
        for subject, most in self.need.most_a_day:
            if subject in self._weights:
                top_up_share = self.need.top_up.shares[subject]
                yield self._weights[subject], floor(self.denominator * day_g * (most - top_up_share))

    def _week_limits(self, week_g: int, ration_g: int) -> Iterator[tuple[Weights, int]]:
        for weights, of_ration, of_week, fixed in self._week_terms:
            yield weights, floor(of_ration * ration_g + of_week * week_g + fixed)

    @cached_property
    def _week_terms(self) -> tuple[tuple[Weights, Fraction, Fraction, Fraction], ...]:
        """The weights of a week's limits, and what they may come to: parts of the ration and the weight, and grams."""
        found, times = [], self.denominator
        for limit in self.need.limits:
            if limit.subject in self._weights:
                weights, share = self._weights[limit.subject], self.need.top_up.shares[limit.subject]
                grams = self.need.allowance_g(limit.subject, 0)
                part = self.need.portioning.week_allowance
                if limit.low > 0:
                    less = tuple(-weight for weight in weights)
                    found.append((less, times * (part - limit.low), times * share, times * grams))
                if limit.high < 1:
                    found.append((weights, times * (limit.high + part), -times * share, times * grams))
        return tuple(found)


@dataclass(frozen=True)
class PatternRules:
    """The rules of a need under a pattern."""

    rules: BagRules
    pattern: Pattern

    @cached_property
    def sizes(self) -> ByKind:
        """The number of bags of each kind."""
        return tuple(map(self.pattern.count, range(max(self.pattern) + 1)))

    @property
    def is_last_resort(self) -> bool:
        """Whether every bag is its own kind."""
        return len(self.sizes) == len(self.pattern)

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        """The runs of bags that rules are about, without limits that nothing can break under this pattern."""
        return tuple(run for run, _ in self._runs_and_ends)

    @cached_property
    def _runs_and_ends(self) -> tuple[tuple[Run, tuple[tuple[int, int], ...]], ...]:
        """The runs, each with the least and the most grams of every ingredient in it."""
        found = []
        for run in self.rules.runs(self.pattern):
            ends = self._ends_g(run)
            limits = tuple(limit for limit in run.limits if _can_be_broken(*limit, ends))
            if limits:
                found.append((Run(run.bags, run.lasts, limits), ends))
        return tuple(found)

    @cached_property
    def rooms_g(self) -> ByKind:
        """What a bag of each kind holds at most besides the top-up."""
        rooms: dict[int, int] = {}
        for place, kind in enumerate(self.pattern):
            rooms[kind] = min(self.rules.room_g(place), rooms.get(kind, self.rules.room_g(place)))
        return tuple(rooms[kind] for kind in range(len(self.sizes)))

    def left_of_limits(self, contents: Mapping[int, Spread]) -> list[int]:
        """What these spreads, by the place of their ingredient, leave of each limit; below zero where it is broken."""
        left = [most for run in self.runs for _, most in run.limits]
        for place, spread in contents.items():
            left = list(map(sub, left, self.counts(place, spread)))
        return left

    def counts(self, place: int, spread: Spread) -> list[int]:
        """What an ingredient so spread counts against each limit."""
        unit_g = self.rules.need.others[place].unit_g
        counted = []
        for run in self.runs:
            grams = unit_g * sum(map(mul, run.bags, spread.counts)) + sum(map(mul, run.lasts, spread.rests_g))
            counted += [weights[place] * grams for weights, _ in run.limits]
        return counted

    @cached_property
    def most_g(self) -> tuple[ByKind, ...]:
        """By ingredient, the most grams in a bag of each kind; in its last bag only where it is the only one."""
        rest_g = self.rules.most_rest_g
        by_room = tuple(
            tuple(
                max(min(room_g, part.total_g if size == 1 else (part.total_g + rest_g) // size), 0)
                for room_g, size in zip(self.rooms_g, self.sizes, strict=True)
            )
            for part in self.rules.need.others
        )
        most = [list(grams) for grams in by_room]
        for run in self.runs:
            if sum(run.bags) == 1:
                kind = run.bags.index(1)
                for weights, limit in run.limits if self.sizes[kind] == 1 or not any(run.lasts) else ():
                    freed = sum(min(weight, 0) * grams[kind] for weight, grams in zip(weights, by_room, strict=True))
                    for place, weight in enumerate(weights):
                        if weight > 0:
                            most[place][kind] = max(min(most[place][kind], (limit - freed) // weight), 0)
        return tuple(map(tuple, most))

    @cached_property
    def dealings(self) -> tuple[Dealing, ...] | None:
        """The ways to deal out the whole pieces that no rule rules out, however the rest is spread; None if many.

        Fewest pieces in the fullest bags first. Where only the top-up is weighed, each is a filling.
        """
        begun: list[tuple[Dealing, list[int]]] = [((), self._left)]
        for place in self.rules.whole:
            ways = self._ways(place)
            if ways is None or len(begun) * len(ways) > MOST_DEALINGS:
                return None
            none_g = (0,) * len(self.sizes)
            more = [list(map(sub, self.counts(place, Spread(way, none_g)), self._least[place])) for way in ways]
            begun = [
                ((*dealing, way), rest)
                for dealing, left in begun
                for way, counts in zip(ways, more, strict=True)
                if min(rest := list(map(sub, left, counts)), default=0) >= 0
            ]
        return tuple(sorted((dealing for dealing, _ in begun), key=lambda dealing: (sum(map(max, dealing)), dealing)))

    def _ways(self, place: int) -> list[ByKind] | None:
        """Every number of pieces in a bag of each kind that makes up an ingredient's total; None if there are many."""
        part = self.rules.need.others[place]
        begun = [(ByKind(), part.total_g // part.unit_g)]
        for kind, size in enumerate(self.sizes):
            most = max(self.rooms_g[kind], 0) // part.unit_g
            begun = [
                ((*way, count), left - count * size)
                for way, left in begun
                for count in range(min(left // size, most) + 1)
            ]
            if len(begun) > MOST_DEALINGS:
                return None
        return [way for way, left in begun if not left]

    @cached_property
    def _left(self) -> list[int]:
        """What is left of each limit if every ingredient is spread as suits it best."""
        limits = [most for run in self.runs for _, most in run.limits]
        return [most - sum(least) for most, *least in zip(limits, *self._least, strict=True)]

    @cached_property
    def _least(self) -> list[list[int]]:
        """By ingredient, the least that it can count for each limit, wherever it is put."""
        return [
            [
                weights[place] * ends[place][weights[place] <= 0]
                for run, ends in self._runs_and_ends
                for weights, _ in run.limits
            ]
            for place in range(len(self.rules.need.others))
        ]

    def _ends_g(self, run: Run) -> tuple[tuple[int, int], ...]:
        """The least and the most grams of every ingredient in a run of bags, wherever it is put."""
        ratios = list(zip(run.bags, self.sizes, strict=True))
        # The smallest and the largest part of all the bags of a kind; the product of sizes makes parts whole numbers.
        whole = prod(self.sizes)
        parts = [bags * whole // size for bags, size in ratios]
        few, many = min(parts), max(parts)
        # What the last bag of a kind holds more shifts what its others hold, where not all of them are in the run.
        shift_g = self.rules.most_rest_g * sum(0 < bags < size for bags, size in ratios)
        found = []
        for part in self.rules.need.others:
            rest_g = 0 if part.whole else shift_g
            low_g, high_g = part.total_g * few // whole - rest_g, -(-part.total_g * many // whole) + rest_g
            found.append((max(low_g, 0), min(high_g, part.total_g)))
        return tuple(found)


def _kinds_in(places: Sequence[int], pattern: Pattern, last: Mapping[int, int]) -> tuple[ByKind, ByKind]:
    """How many of the bags at these places are of each kind, and how many are the last of it."""
    held = [pattern[place] for place in places]
    return tuple(map(held.count, last)), tuple(int(place in places) for place in last.values())


def _can_be_broken(weights: Weights, most: int, ends_g: Sequence[tuple[int, int]]) -> bool:
    """Whether ingredients can come to more than the most, each between its ends."""
    return sum(weight * ends[weight > 0] for weight, ends in zip(weights, ends_g, strict=True)) > most
