"""Bags in words: their numbers put together, and how many pieces go in."""

from collections.abc import Iterable
from itertools import groupby

from raworder.cuts import Cut
from raworder.dogs import Dog
from raworder.reporting.words import counted, subject_text

MANY = 20
"""With more dogs than this, papers put dogs together by kennel; more bags than this are counted, not listed."""

PLAIN_PLURALS = frozenset("back egg frame neck rib shank tail wing".split())
"""Kinds of cut that take an `s` when there are several."""


def avoided_text(dog: Dog) -> str:
    """What a dog must not eat, in short: `no chicken, no whole bone`."""
    return ", ".join(f"no {subject_text(one)}" for one in dog.avoid)


def numbers_text(numbers: Iterable[int]) -> str:
    """Numbers in order, those that follow one another as a run.

    >>> numbers_text([17, 3, 18])
    '3, 17-18'
    """
    places = enumerate(sorted(numbers))
    runs = [[number for _, number in run] for _, run in groupby(places, key=lambda pair: pair[1] - pair[0])]
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)


def bags_text(numbers: Iterable[int]) -> str:
    """Bags by their numbers.

    >>> bags_text([12]), bags_text([3, 17, 18])
    ('bag 12', 'bags 3, 17-18')
    """
    known = tuple(numbers)
    return f"{'bag' if len(known) == 1 else 'bags'} {numbers_text(known)}"


def pieces_text(pieces: int, cut: Cut) -> str:
    """So many pieces of a cut: `2 chicken necks`, `1 piece of sardine whole`."""
    if cut.kind in PLAIN_PLURALS and cut.name.endswith(cut.kind):
        return counted(pieces, cut.name)
    return f"{counted(pieces, 'piece')} of {cut.name}"
