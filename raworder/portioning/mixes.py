"""Mixes: all the weighed cuts of dogs fed alike in one, made in tubs of which each is like the others."""

from collections.abc import Sequence

from raworder.bags import Filling, Mix, Portioning, Tub


def a_mix(name: str, dogs: Sequence[str], contents: Sequence[Filling], portioning: Portioning) -> Mix:
    """The mix of these dogs, with the tubs that it is made in."""
    return Mix(name, tuple(dogs), tuple(contents), tubs_of(contents, portioning.tub_g, portioning.scale_g))


def tubs_of(contents: Sequence[Filling], tub_g: int, scale_g: int) -> tuple[Tub, ...]:
    """The fewest equal tubs that hold the weighed cuts, none heavier than a tub holds and the scale takes.

    The grams are dealt out to the tubs in turn, one cut after the other. Every cut is thus split by largest remainder,
    all remainders being equal; and as a cut's odd grams go on where those of the cut before ended, tubs differ by at
    most a gram in all, and no more of them are needed than could hold the mix at all.
    """
    mix_g = sum(one.grams for one in contents)
    tubs = -(-mix_g // min(tub_g, scale_g))
    return tuple(Tub(number, tuple(_dealt(contents, number, tubs))) for number in range(1, tubs + 1))


def _dealt(contents: Sequence[Filling], number: int, tubs: int) -> list[Filling]:
    """What one tub gets: of the grams of all cuts, laid in a row, every one that is its turn."""
    fillings, before_g = [], 0
    for one in contents:
        after_g = before_g + one.grams
        grams = _turns(after_g, number, tubs) - _turns(before_g, number, tubs)
        fillings.append(Filling(one.cut, grams))
        before_g = after_g
    return [one for one in fillings if one.grams]


def _turns(grams: int, number: int, tubs: int) -> int:
    """How many of the first grams in the row are the tub's."""
    return (grams + tubs - number) // tubs
