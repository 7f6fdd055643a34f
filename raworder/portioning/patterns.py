"""Patterns: which bag is of which kind, so that every kind is spread evenly over the batch.

A pattern is a tuple with the kind of each bag, from 0. Patterns whose kinds come alike often in every week go first.
"""

from collections.abc import Iterator, Sequence
from itertools import islice
from math import gcd

Pattern = tuple[int, ...]

MOST_KINDS = 8
"""Up to so many kinds are looked for one number after the other; beyond, every bag is filled by itself."""

MOST_TRIED, FEW_TRIED = 24, 6
"""So many patterns are tried for each number of kinds: all there are for two kinds in two weeks of two meals; and few
where they are many kinds, or many bags, and each takes long."""

MOST_SORTED = 5_000
"""So many ways are looked at for the evenest."""

MANY_KINDS, MANY_BAGS = 5, 30
"""More than these are many."""


def patterns(bags: int, kinds: int, week: int) -> Iterator[Pattern]:
    """Ways to spread so many kinds over the bags, a week's bags being so many; the evenest first."""
    tried = FEW_TRIED if kinds > MANY_KINDS or bags > MANY_BAGS else MOST_TRIED
    return islice((spread(counts) for counts in _counts(bags, kinds, week)), tried)


def spread(counts: tuple[int, ...]) -> Pattern:
    """The kinds, each so often as counted, as evenly as can be: each next bag is of the kind that is most behind.

    >>> spread((4, 2))
    (0, 1, 0, 0, 1, 0)
    """
    times = gcd(*counts)
    once = [count // times for count in counts]
    return _once(once) * times


def _once(counts: Sequence[int]) -> Pattern:
    """One round of the pattern."""
    bags, given, kinds = sum(counts), [0] * len(counts), []
    for bag in range(bags):
        behind = [(2 * bag + 1) * count - 2 * bags * got for count, got in zip(counts, given, strict=True)]
        kind = max(range(len(counts)), key=lambda one: (behind[one], -one))
        given[kind] += 1
        kinds.append(kind)
    return tuple(kinds)


def _counts(bags: int, kinds: int, week: int) -> tuple[tuple[int, ...], ...]:
    """How many bags are of each kind, most first; what repeats with the week before what does not."""

    def unevenness(counts: tuple[int, ...]) -> tuple[bool, int, tuple[int, ...]]:
        """Orders by whether weeks differ, then by how much more often one kind comes than another."""
        return week % (bags // gcd(*counts)) != 0, counts[0] - counts[-1], counts

    return tuple(sorted(islice(counts_of(bags, kinds), MOST_SORTED), key=unevenness))


def counts_of(bags: int, kinds: int) -> Iterator[tuple[int, ...]]:
    """Every way to have so many bags of so many kinds: how many of each, most first."""
    return _parts(bags, kinds, bags)


def _parts(whole: int, parts: int, most: int) -> Iterator[tuple[int, ...]]:
    """The whole in so many parts, each at least one, falling."""
    if parts == 1:
        if whole <= most:
            yield (whole,)
        return
    for first in range(min(most, whole - parts + 1), 0, -1):
        for rest in _parts(whole - first, parts - 1, first):
            yield (first, *rest)
