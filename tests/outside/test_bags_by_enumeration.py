"""Bags of up to four cuts on up to seven days, against all that there are, counted out one by one.

**Source:** enumeration. For every kind of bag all contents that its bags allow are listed (pieces, scale steps, and
what the last bag holds more), and the contents of all kinds are put together in every way that gives the portions. With
one meal a day and at most seven days no rule is about more than one bag but the sums: a week is all of the batch.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import groupby, product
from random import Random

import numpy as np

from raworder.portioning.bag_needs import MOST_KINDS, patterns
from raworder.portioning.bag_problem import PER_PIECE
from raworder.portioning.fewest_kinds import FilledBags, fill_bags
from raworder.solving.solver import BagSolver, Settings
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut, Subject
from raworder.trade.dogs import Dog
from raworder.trade.rulebook import REST_STEPS, WEEK_DAYS
from tests import builders as b
from tests.drawn import drawn, seeds
from tests.portioning.law_of_bags import Fed, broken
from tests.portioning.needing import RIB, a_need

SOLVE = BagSolver(Settings(), 0.0)
"""What solves for bags, without a time limit."""

EACH, SEEN = 12, 84
NEVER = 10**6
Pattern = tuple[int, ...]
Grams = tuple[int, ...]
"""Grams of each cut but the top-up."""


@dataclass(frozen=True)
class Case:
    """A dog, what it eats, and how its bags are made; the cut of which there is most tops them up."""

    dog: Dog
    portions_g: dict[Cut, int]
    portioning: Portioning

    @cached_property
    def others(self) -> list[Cut]:
        """The cuts that do not top bags up."""
        return sorted((cut for cut in self.portions_g if cut != self.top_up), key=lambda cut: cut.name)

    @cached_property
    def top_up(self) -> Cut:
        """The cut that brings bags to their weight."""
        weighed = [cut for cut in self.portions_g if cut.piece_g is None]
        return max(weighed, key=lambda cut: (self.portions_g[cut], cut.name))

    @cached_property
    def allowed(self) -> dict[tuple[tuple[int, ...], int], bool]:
        """Whether a bag may hold these grams on such a day, as far as it was asked already."""
        return {}


def a_case(random: Random) -> Case:
    """Two to four cuts on one to seven days of 60 to 180 g, four cuts on few; in scale steps of 5 or 10 g."""
    weighed = random.sample((b.LIVER, b.KIDNEY), random.choice((1, 1, 2)))
    days = random.randint(1, 7 if len(weighed) == 1 else 4)
    day_g = [random.randint(6, 18 if len(weighed) == 1 else 10) * 10] * days
    if random.random() < 0.4 and days <= 4:
        day_g = [grams + 10 * day for day, grams in enumerate(day_g)]
    dog = b.a_dog(days=days, day_g=day_g, batch_g=sum(day_g))
    portions_g = {}
    for cut in random.sample((b.NECK, RIB), random.choice((0, 1, 1))):
        pieces = random.randint(0, days)
        if pieces:
            portions_g[cut] = pieces * (cut.piece_g or 0)
    for cut in weighed:
        portions_g[cut] = random.randint(10, max(dog.batch_g // 10, 11))
    portions_g[b.TRIM] = dog.batch_g - sum(portions_g.values())
    if portions_g[b.TRIM] <= max(portions_g[cut] for cut in weighed):
        return a_case(random)
    return Case(dog, portions_g, Portioning(scale_step_g=random.choice((5, 10))))


@drawn(blocks=2)
def test_bags_are_of_as_few_kinds_and_weighings_as_counting_out_finds(block: int) -> None:
    found_some = 0
    for seed in seeds(block, EACH):
        case = a_case(Random(seed))
        found = fill_bags(a_need(case.dog, case.portions_g, case.portioning), SOLVE)
        kinds, least = least_burden(case)
        if least is None:
            assert found is None, seed
            continue
        assert found is not None, seed
        assert broken(Fed(case.dog, case.portions_g, case.portioning, found.bags)) == [], seed
        assert burden_of(case, found) == least, seed
        assert found.kinds <= kinds, seed
        assert found.least_kinds <= fewest_kinds(case, kinds) <= found.kinds, seed
        found_some += 1
    assert found_some


def test_the_cases_hold_every_number_of_cuts_and_of_kinds() -> None:
    cases = [a_case(Random(seed)) for seed in range(SEEN)]
    assert {len(case.portions_g) for case in cases} == {2, 3, 4}
    assert {len(case.dog.day_g) for case in cases} == set(range(1, 8))
    assert sum(len(set(case.dog.day_g)) > 1 for case in cases) > 5


def test_counting_out_knows_a_case_done_by_hand() -> None:
    """60 g of liver on four days of 100 g: 15 g in each is one kind and four weighings, 20 g three times two kinds."""
    case = Case(b.a_dog(days=4, daily_g=100), {b.LIVER: 60, b.TRIM: 340}, Portioning())
    assert fewest_weighings(case, (0, 0, 0, 0)) == 4
    assert fewest_weighings(case, (0, 0, 0, 1)) == 3
    assert fewest_weighings(case, (0, 0, 1, 1)) == 4
    assert fewest_kinds(case, 4) == 1


def test_a_last_bag_that_takes_more_than_a_scale_step_makes_one_kind_do() -> None:
    """45 g of liver in steps of 10 g, and at least so much: 10 g, 10 g and 25 g; of 20 g the last would be left 5 g."""
    dog = b.a_dog(days=3, day_g=[140, 150, 160], batch_g=450)
    case = Case(dog, {b.LIVER: 45, b.TRIM: 405}, Portioning(scale_step_g=10))
    found = fill_bags(a_need(case.dog, case.portions_g, case.portioning), SOLVE)
    assert found is not None
    assert found.kinds == 1
    assert burden_of(case, found) == 3


def test_counting_out_knows_that_three_necks_on_four_days_are_two_kinds() -> None:
    case = Case(b.a_dog(days=4, daily_g=100), {b.NECK: 180, b.TRIM: 220}, Portioning())
    assert [fewest_weighings(case, one) for one in ((0, 0, 0, 0), (0, 0, 1, 1), (0, 0, 0, 1))] == [None, None, 0]
    assert fewest_kinds(case, 4) == 2


def own_patterns(case: Case) -> Iterator[Pattern]:
    """The patterns that are tried for bags, in the order in which they are."""
    bags = len(case.dog.day_g)
    for kinds in range(1, min(MOST_KINDS, bags) + 1):
        yield from patterns(bags, kinds, WEEK_DAYS)
    yield tuple(range(bags))


def least_burden(case: Case) -> tuple[int, float | None]:
    """Of the fewest kinds that any pattern of them all allows, the fewest weighings and pieces in the fullest bag."""
    for kinds, tried in groupby(own_patterns(case), key=lambda pattern: len(set(pattern))):
        burdens = [least for pattern in tried if (least := _least_burden(case, pattern)) is not None]
        if burdens:
            return kinds, min(burdens)
    return 0, None


def _least_burden(case: Case, pattern: Pattern) -> float | None:
    """A piece more in the fullest bag is worth some weighings; every number of pieces is tried."""
    most = max(case.dog.day_g) // min(cut.piece_g or NEVER for cut in case.portions_g)
    found = [(fewest_weighings(case, pattern, most_pieces), most_pieces) for most_pieces in range(most + 1)]
    return min((often + PER_PIECE * pieces for often, pieces in found if often is not None), default=None)


def burden_of(case: Case, found: FilledBags) -> float:
    """How often something is weighed in before bags are topped up, and what the pieces of the fullest bag count."""
    fillings = [one for bag in found.bags for one in bag.fillings if one.cut != case.top_up.name]
    return sum(one.pieces == 0 for one in fillings) + PER_PIECE * max([0, *(one.pieces for one in fillings)])


def fewest_kinds(case: Case, most: int) -> int:
    """The fewest kinds of bag that there are, whichever bags are of which kind."""
    bags = len(case.dog.day_g)
    alike = len(set(case.dog.day_g)) == 1
    for kinds in range(1, most + 1):
        for pattern in _all_patterns(bags, kinds):
            falling = list(pattern) == sorted(pattern)
            if (falling or not alike) and fewest_weighings(case, pattern) is not None:
                return kinds
    raise AssertionError(case)


def _all_patterns(bags: int, kinds: int) -> Iterator[Pattern]:
    """Every way to say which bags are of the same kind; kinds are numbered as they come."""
    for pattern in product(range(kinds), repeat=bags):
        if list(dict.fromkeys(pattern)) == list(range(kinds)):
            yield pattern


def fewest_weighings(case: Case, pattern: Pattern, most_pieces: int = NEVER) -> int | None:
    """The fewest weighings of bags under a pattern, with so many pieces in each at most; None where there are none."""
    portions_g = tuple(case.portions_g[cut] for cut in case.others)
    left = {portions_g: 0}
    *kinds, last = sorted(set(pattern))
    for kind in kinds:
        left = _with_kind(left, _contents(case, pattern, kind, most_pieces))
    ends = [
        left[grams] + often for grams, often in _contents(case, pattern, last, most_pieces).items() if grams in left
    ]
    return min(ends, default=None)


def _with_kind(left: dict[Grams, int], contents: dict[Grams, int]) -> dict[Grams, int]:
    """What can be left to give after one kind more, each with the fewest weighings."""
    if not left or not contents:
        return {}
    shape = tuple(np.array(list(left)).max(axis=0) + 1)
    before = np.full(shape, NEVER)
    for grams, often in left.items():
        before[grams] = often
    after = np.full(shape, NEVER)
    for grams, often in contents.items():
        if all(one < most for one, most in zip(grams, shape, strict=True)):
            here = tuple(slice(one, None) for one in grams)
            there = tuple(slice(None, most - one) for one, most in zip(grams, shape, strict=True))
            np.minimum(after[there], before[here] + often, out=after[there])
    return {tuple(place): int(after[tuple(place)]) for place in np.argwhere(after < NEVER).tolist()}


def _contents(case: Case, pattern: Pattern, kind: int, most_pieces: int) -> dict[Grams, int]:
    """What all bags of a kind can hold together, cut by cut, and how many weighings that takes at least."""
    days_g = [case.dog.day_g[place] for place, one in enumerate(pattern) if one == kind]
    found: dict[Grams, int] = {}
    for fillings in product(*(_fillings(case, cut, most_pieces) for cut in case.others)):
        alike, last = tuple(each for each, _ in fillings), tuple(each + rest for each, rest in fillings)
        if all(_is_allowed(case, alike, day_g) for day_g in days_g[:-1]) and _is_allowed(case, last, days_g[-1]):
            often = sum(each > 0 for each, cut in zip(alike, case.others, strict=True) if cut.piece_g is None)
            together = tuple(each * len(days_g) + rest for each, rest in fillings)
            found[together] = min(often * len(days_g), found.get(together, NEVER))
    return found


def _fillings(case: Case, cut: Cut, most_pieces: int) -> list[tuple[int, int]]:
    """What a bag can hold of a cut, and what the last of its kind holds more; organs are a fifth of a day at most."""
    if cut.piece_g is not None:
        return [(grams, 0) for grams in range(0, max(case.dog.day_g), cut.piece_g)][: most_pieces + 1]
    step_g, least_g, most_g = case.portioning.scale_step_g, case.portioning.least_portion_g, max(case.dog.day_g) // 5
    rests = range(-REST_STEPS * step_g, REST_STEPS * step_g + 1)
    some = [(grams, rest) for grams in range(step_g, most_g + 2 * step_g, step_g) for rest in rests]
    return [(0, 0), *((grams, rest) for grams, rest in some if least_g <= min(grams, grams + rest))]


def _is_allowed(case: Case, grams: Grams, day_g: int) -> bool:
    """Whether a bag leaves room for the top-up and its day is within the most of everything."""
    if (grams, day_g) not in case.allowed:
        case.allowed[grams, day_g] = _keeps_to_its_day(case, grams, day_g)
    return case.allowed[grams, day_g]


def _keeps_to_its_day(case: Case, grams: Grams, day_g: int) -> bool:
    top_up_g = day_g - sum(grams)
    if top_up_g < case.portioning.least_portion_g:
        return False
    held = [*zip(case.others, grams, strict=True), (case.top_up, top_up_g)]
    return all(
        sum((subject.share_in(cut) * one for cut, one in held), Fraction(0)) <= _most(case, subject, most) * day_g
        for subject, most in case.portioning.most_a_day
    )


def _most(case: Case, subject: Subject, most: Fraction) -> Fraction:
    """The most of a day's food, or five thirds of what the dog, which has no rules, eats of it."""
    eaten = sum((subject.share_in(cut) * grams for cut, grams in case.portions_g.items()), Fraction(0))
    return min(Fraction(1), max(most, Fraction(5, 3) * eaten / case.dog.batch_g))
