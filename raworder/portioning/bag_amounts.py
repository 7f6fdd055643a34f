"""From rough amounts by kind of bag to pieces and scale steps that hold a dog's portions and keep every rule."""

from collections.abc import Iterator, Sequence
from itertools import product
from operator import mul, sub

from raworder.portioning.bag_needs import Ingredient
from raworder.portioning.bag_rules import ByKind, Contents, Dealing, PatternRules, Spread

RoughAmounts = tuple[ByKind, ...]
"""About how many grams of every ingredient are in a bag of each kind; 0 where none is to be."""

STEPS_AWAY = (0, 1, -1, 2)
"""How far from a rough amount, rounded down to a scale step, is looked."""

ROUNDS = 3
"""How often every cut's steps are chosen anew; what three rounds did not mend, more did not either."""


def settle_amounts(under: PatternRules, dealing: Dealing, rough: RoughAmounts) -> Contents | None:
    """Contents with these pieces and about these amounts; None where none that keep every rule are found."""
    rules = under.rules
    pieces = {place: Spread(way, (0,) * len(way)) for place, way in zip(rules.whole, dealing, strict=True)}
    near = {place: list(spreads_near(under, place, rough[place])) for place in rules.weighed}
    if not all(near.values()):
        return None
    chosen = {**pieces, **{place: spreads[0] for place, spreads in near.items()}}
    counts = {(place, spread): under.counts(place, spread) for place in near for spread in near[place]}
    left = under.left_of_limits(chosen)
    for _ in range(ROUNDS):
        if min(left, default=0) >= 0:
            return tuple(chosen[place] for place in range(len(rules.need.others)))
        for place, spreads in near.items():
            without = [most + count for most, count in zip(left, counts[place, chosen[place]], strict=True)]
            lefts = [list(map(sub, without, counts[place, spread])) for spread in spreads]
            best = max(range(len(spreads)), key=lambda number: sum(few for few in lefts[number] if few < 0))
            chosen[place], left = spreads[best], lefts[best]
    return None


def spreads_near(under: PatternRules, place: int, rough_g: ByKind) -> Iterator[Spread]:
    """Spreads of a weighed ingredient over the kinds that have any of it, about so much in a bag; nearest first.

    The kind with the fewest bags takes what the others leave.
    """
    part, sizes = under.rules.need.others[place], under.sizes
    *free, last = sorted((kind for kind, grams in enumerate(rough_g) if grams), key=lambda kind: (-sizes[kind], kind))
    away = STEPS_AWAY if len(free) == 1 else STEPS_AWAY[:2]
    for steps in product(away, repeat=len(free)):
        counts = [0] * len(sizes)
        for kind, more in zip(free, steps, strict=True):
            counts[kind] = rough_g[kind] // part.unit_g + more
        spread = _with_last(under, part, counts, (last, *reversed(free)))
        if spread is not None:
            yield spread


def _with_last(under: PatternRules, part: Ingredient, counts: list[int], kinds: Sequence[int]) -> Spread | None:
    """The spread in which the first of these kinds takes all that is left, and rests what no scale step shows."""
    sizes, last, least_g = under.sizes, kinds[0], under.rules.need.portioning.least_portion_g
    left_g = part.total_g - part.unit_g * sum(map(mul, counts, sizes))
    nearest = (2 * left_g + sizes[last] * part.unit_g) // (2 * sizes[last] * part.unit_g)
    counts[last] = min(nearest, left_g // part.unit_g)
    left_g -= counts[last] * sizes[last] * part.unit_g
    rests_g = [0] * len(sizes)
    for kind in kinds:
        low_g = max(-under.rules.most_rest_g, least_g - counts[kind] * part.unit_g)
        rests_g[kind] = min(max(left_g, low_g), under.rules.most_rest_g)
        left_g -= rests_g[kind]
        if part.unit_g * counts[kind] < least_g:
            return None
    return None if left_g else Spread(tuple(counts), tuple(rests_g))
