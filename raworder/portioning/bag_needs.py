"""What one dog's bags must hold, and the patterns tried for which bag is of which kind."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import islice
from math import gcd

from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut, Measure, Subject
from raworder.trade.dogs import Dog
from raworder.trade.rulebook import WEEK_DAYS
from raworder.trade.scenario import Slot

Pattern = tuple[int, ...]

MOST_KINDS = 8
"""The most kinds of bag that are tried; if none of these can be filled, every bag is its own kind."""

MOST_TRIED, FEW_TRIED = 24, 6
"""Patterns tried for each number of kinds: all there are for two kinds in two weeks of two meals; fewer where there are
many kinds or many bags, as each pattern takes long then."""

MOST_SORTED = 5_000
"""The number of ways among which the evenest are picked."""

MANY_KINDS, MANY_BAGS = 5, 30
"""More kinds, or more bags, than these are many."""


def patterns(bags: int, kinds: int, week: int) -> Iterator[Pattern]:
    """Ways to spread this many kinds over the bags, the evenest first; `week` is the number of bags in a week."""
    tried = FEW_TRIED if kinds > MANY_KINDS or bags > MANY_BAGS else MOST_TRIED
    return islice((spread_kinds(counts) for counts in _evenest_counts(bags, kinds, week)), tried)


def spread_kinds(counts: tuple[int, ...]) -> Pattern:
    """The kinds, each as often as counted, spread evenly: the next bag is of the kind furthest behind.

    >>> spread_kinds((4, 2))
    (0, 1, 0, 0, 1, 0)
    """
    times = gcd(*counts)  # counts of 4 and 2 are the round of 2 and 1, twice
    once = [count // times for count in counts]
    return _spread_round(once) * times


def _spread_round(counts: Sequence[int]) -> Pattern:
    """One round of the pattern, whose counts have no common divisor."""
    bags, given, kinds = sum(counts), [0] * len(counts), []
    for bag in range(bags):
        # Due by the middle of this bag, less what was given, times 2 x bags: whole numbers, so ties are exact.
        behind = [(2 * bag + 1) * count - 2 * bags * got for count, got in zip(counts, given, strict=True)]
        kind = max(range(len(counts)), key=lambda number: (behind[number], -number))
        given[kind] += 1
        kinds.append(kind)
    return tuple(kinds)


def _evenest_counts(bags: int, kinds: int, week: int) -> tuple[tuple[int, ...], ...]:
    """How many bags are of each kind, in the order to try: what repeats weekly first, then the evenest."""

    def unevenness(counts: tuple[int, ...]) -> tuple[bool, int, tuple[int, ...]]:
        """The sort key: whether weeks differ, then how much more often the first kind comes than the last."""
        return week % (bags // gcd(*counts)) != 0, counts[0] - counts[-1], counts

    return tuple(sorted(islice(counts_of(bags, kinds), MOST_SORTED), key=unevenness))


def counts_of(bags: int, kinds: int) -> Iterator[tuple[int, ...]]:
    """Every way to split this many bags into this many kinds: the number of each, largest first."""
    return _partitions(bags, kinds, bags)


def _partitions(whole: int, parts: int, most: int) -> Iterator[tuple[int, ...]]:
    """Partitions of the whole into this many parts, each from 1 to `most`, in falling order."""
    if parts == 1:
        if whole <= most:
            yield (whole,)
        return
    for first in range(min(most, whole - parts + 1), 0, -1):
        for rest in _partitions(whole - first, parts - 1, first):
            yield (first, *rest)


@dataclass(frozen=True, slots=True)
class Ingredient:
    """A cut or a mix that goes into bags: `total_g` over the batch, in pieces or scale steps of `unit_g`.

    `shares` is the part of its weight that counts for each subject of the dog's rules.
    """

    name: str
    total_g: int
    unit_g: int
    whole: bool
    shares: Mapping[Subject, Fraction]


@dataclass(frozen=True, slots=True)
class Limit:
    """A range that the share of a subject must stay in; `key` is the rule that demands it."""

    key: str
    subject: Subject
    low: Fraction
    high: Fraction


@dataclass(frozen=True)
class Need:
    """One dog's portions and bags: the top-up brings each bag to its weight, the others are spread over the bags.

    `passed_by` are cuts fed in whole pieces that other dogs of its group got and this dog did not.
    """

    dog: Dog
    portioning: Portioning
    slots: tuple[Slot, ...]
    others: tuple[Ingredient, ...]
    top_up: Ingredient
    shared_pieces: bool
    passed_by: tuple[Ingredient, ...] = ()

    @cached_property
    def limits(self) -> tuple[Limit, ...]:
        """The ranges and caps that hold over every week."""
        return limits_of(self.dog)

    @cached_property
    def weeks(self) -> tuple[tuple[int, ...], ...]:
        """The slots of any seven days running, by their places; none where fewer days are fed."""
        last = self.slots[-1].fed_day
        weeks = (range(first, first + WEEK_DAYS) for first in range(last - WEEK_DAYS + 2))
        return tuple(tuple(place for place, slot in enumerate(self.slots) if slot.fed_day in week) for week in weeks)

    @cached_property
    def days(self) -> tuple[tuple[int, ...], ...]:
        """The slots of each day fed, by their places."""
        meals = self.dog.meals
        return tuple(tuple(range(at, at + meals)) for at in range(0, len(self.slots), meals))

    @cached_property
    def changes(self) -> Mapping[Subject, Mapping[str, float]]:
        """The change in what counts for a subject when a gram of an ingredient replaces one of the top-up."""
        return {
            subject: {ingredient.name: float(ingredient.shares[subject] - share) for ingredient in self.others}
            for subject, share in self.top_up.shares.items()
        }

    @cached_property
    def uneven_g(self) -> Mapping[Subject, Fraction]:
        """How uneven a week may be for each subject: by one piece or least portion of every ingredient."""
        return {
            subject: sum(
                (self._uneven_g(ingredient, subject) for ingredient in (*self.others, *self.passed_by)), Fraction(0)
            )
            for subject in self.top_up.shares
        }

    @cached_property
    def most_a_day(self) -> tuple[tuple[Subject, Fraction], ...]:
        """The most of a day's food that each subject may be."""
        everything = (*self.others, self.top_up)
        eaten = {
            subject: sum((ingredient.shares[subject] * ingredient.total_g for ingredient in everything), Fraction(0))
            / self.dog.batch_g
            for subject, _ in self.portioning.most_a_day
        }
        return tuple(self.dog.most_a_day(self.portioning, eaten))

    def ration_g(self, week: tuple[int, ...]) -> int:
        """The rations of the days in a week, added up."""
        fed = [grams for grams in self.dog.day_g if grams]
        return sum(fed[day] for day in sorted({self.slots[place].fed_day for place in week}))

    def allowance_g(self, subject: Subject, ration_g: int) -> Fraction:
        """How far a week may leave its range, in grams of what counts for the subject.

        Evenly spread pieces miss by half a piece at least, and by nearly one where the days are no multiple of seven.
        So one piece or least portion of every cut is allowed, in exchange for the top-up; two pieces where they were
        shared out. A week's bags may also hold a scale step more or less of the top-up than the ration.
        """
        step_g = self.portioning.scale_step_g * self.top_up.shares[subject]
        return self.portioning.week_allowance * ration_g + self.uneven_g[subject] + step_g

    def _uneven_g(self, part: Ingredient, subject: Subject) -> Fraction:
        unit_g = part.unit_g if part.whole else self.portioning.least_portion_g
        times = 2 if part.whole and self.shared_pieces else 1
        return times * unit_g * abs(part.shares[subject] - self.top_up.shares[subject])


def limits_of(dog: Dog) -> tuple[Limit, ...]:
    """A dog's targets and caps as limits of a week."""
    targets = (
        Limit("week_share", Subject(Measure.PART, target.part), target.low, target.high) for target in dog.targets
    )
    caps = (Limit("week_cap", cap.subject, Fraction(0), cap.most) for cap in dog.caps)
    return (*targets, *caps)


def subjects_of(dog: Dog, portioning: Portioning) -> tuple[Subject, ...]:
    """Everything that some rule about the dog's bags counts."""
    limited = [limit.subject for limit in limits_of(dog)]
    return tuple(dict.fromkeys([*limited, *(subject for subject, _ in portioning.most_a_day)]))


def ingredient(cut: Cut, total_g: int, dog: Dog, portioning: Portioning) -> Ingredient:
    """A cut as it goes into the dog's bags."""
    piece_g = portioning.whole_piece_g(cut)
    shares = {subject: subject.share_in(cut) for subject in subjects_of(dog, portioning)}
    return Ingredient(cut.name, total_g, piece_g or portioning.scale_step_g, piece_g is not None, shares)
