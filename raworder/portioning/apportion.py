"""Apportioning: a whole shared out in whole numbers, by Hamilton's method, and whole pieces among dogs fed alike.

Source: Hamilton's method, that of largest remainders, as in Balinski and Young, *Fair Representation* (1982), from
memory, not looked up.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import floor

Share = tuple[str, str]
"""A dog and a cut."""


def by_largest_remainder(whole: int, weights: Sequence[int | Fraction]) -> tuple[int, ...]:
    """The whole in proportion to the weights: each exact share rounded down, and one more for the largest remainders.

    Among equal remainders the earlier place goes first. ValueError where there is something to share and no weight.

    >>> by_largest_remainder(10, (5, 3, 1))
    (6, 3, 1)
    """
    exact = _exact_shares(whole, weights)
    given = [floor(share) for share in exact]
    largest_first = sorted(range(len(exact)), key=lambda place: given[place] - exact[place])
    for place in largest_first[: whole - sum(given)]:
        given[place] += 1
    return tuple(given)


def share_pieces(
    pieces: Mapping[str, int],
    piece_g: Mapping[str, int],
    bone_share: Mapping[str, Fraction],
    rations_g: Mapping[str, int],
) -> dict[Share, int]:
    """Whole pieces of every cut for every dog, by dog and cut: its exact share rounded down or up, all pieces given.

    The cut with most bone in a piece is shared out first. Of each, those dogs get the share rounded up that would
    otherwise be most short of bone over all cuts so far, if a piece more fits their ration. ValueError where pieces are
    left that fit no ration.
    """
    sharing = _Sharing(pieces, piece_g, rations_g)
    for cut in sorted(pieces, key=lambda cut: (-piece_g[cut] * bone_share[cut], cut)):
        sharing.round_up(cut, pieces[cut], piece_g[cut] * bone_share[cut])
    return {(dog, cut): sharing.given[dog, cut] for dog in rations_g for cut in pieces}


class _Sharing:
    """Pieces on their way to the dogs: at first every share is rounded down, then cut by cut some are rounded up."""

    def __init__(self, pieces: Mapping[str, int], piece_g: Mapping[str, int], rations_g: Mapping[str, int]) -> None:
        self._piece_g = piece_g
        self._dogs = tuple(rations_g)
        self._room_g = dict(rations_g)
        self._bone_off_g = dict.fromkeys(rations_g, Fraction(0))
        self._remainder: dict[Share, Fraction] = {}
        self.given: dict[Share, int] = {}
        rations = [rations_g[dog] for dog in self._dogs]
        for cut, count in pieces.items():
            for dog, exact in zip(self._dogs, _exact_shares(count, rations), strict=True):
                self.given[dog, cut], self._remainder[dog, cut] = divmod(exact, 1)
                self._room_g[dog] -= self.given[dog, cut] * piece_g[cut]

    def round_up(self, cut: str, count: int, bone_g: Fraction) -> None:
        """Give the pieces of a cut that rounding down has left, one each to the dogs that are most short of bone."""
        for dog in self._dogs:
            self._bone_off_g[dog] -= bone_g * self._remainder[dog, cut]
        fitting = [dog for dog in self._dogs if self._remainder[dog, cut] and self._room_g[dog] >= self._piece_g[cut]]
        left = count - sum(self.given[dog, cut] for dog in self._dogs)
        if left > len(fitting):
            raise ValueError(f"pieces of `{cut}` are left that fit no dog's ration")
        shortest_first = sorted(fitting, key=lambda dog: (self._bone_off_g[dog], -self._remainder[dog, cut], dog))
        for dog in shortest_first[:left]:
            self.given[dog, cut] += 1
            self._room_g[dog] -= self._piece_g[cut]
            self._bone_off_g[dog] += bone_g


def _exact_shares(whole: int, weights: Sequence[int | Fraction]) -> tuple[Fraction, ...]:
    """What is due to each place exactly, in proportion to its weight."""
    total = Fraction(sum(weights))
    if whole < 0 or min(weights, default=0) < 0:
        raise ValueError("neither the whole nor a weight may be below zero")
    if whole and not total:
        raise ValueError(f"{whole} cannot be shared out where no weight is above zero")
    return tuple(whole * weight / total if whole else Fraction(0) for weight in weights)
