"""Mixes: all the weighed cuts of dogs fed alike in one, made in tubs of which each is like the others."""

from collections.abc import Iterator, Sequence

from raworder.bags import Filling, Mix, Portioning, Tub


def a_mix(name: str, dogs: Sequence[str], contents: Sequence[Filling], portioning: Portioning) -> Mix:
    """The mix of these dogs, with the tubs that it is made in."""
    tubs = tubs_of(contents, portioning.tub_g, portioning.scale_g, portioning.scale_step_g)
    return Mix(name, tuple(dogs), tuple(contents), tubs)


def tubs_of(contents: Sequence[Filling], tub_g: int, scale_g: int, step_g: int = 1) -> tuple[Tub, ...]:
    """The fewest equal tubs that hold the weighed cuts, none heavier than a tub holds and the scale takes.

    Every cut is dealt out in steps of the scale, to the tubs in turn, one cut after the other; its odd steps go on
    where those of the cut before ended. What no step can show goes into the tub whose turn is next. So tubs differ by
    at most a step of a cut.
    """
    most_g = min(tub_g, scale_g)
    mix_g = sum(one.grams for one in contents)
    for tubs in range(-(-mix_g // most_g), mix_g + 1):
        made = tuple(Tub(number, tuple(_dealt(contents, number, tubs, step_g))) for number in range(1, tubs + 1))
        if all(tub.grams <= most_g for tub in made):
            return made
    return ()


def _dealt(contents: Sequence[Filling], number: int, tubs: int, step_g: int) -> Iterator[Filling]:
    """What one tub gets: of the steps of all cuts, laid in a row, those that are its turn, and now and then a rest."""
    before = 0
    for one in contents:
        steps, rest_g = divmod(one.grams, step_g)
        before += steps
        mine = _turns(before, number, tubs) - _turns(before - steps, number, tubs)
        gets_rest = number == before % tubs + 1  # it would be its turn next, so it has no step more than others
        grams = mine * step_g + (rest_g if gets_rest else 0)
        if grams:
            yield Filling(one.cut, grams)


def _turns(steps: int, number: int, tubs: int) -> int:
    """How many of the first steps in the row are the tub's."""
    return (steps + tubs - number) // tubs
