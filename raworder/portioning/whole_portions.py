"""From an Allocation to whole pieces: what a group of dogs eats together is shared out among them, dog by dog."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from raworder.cuts import Part
from raworder.dogs import Dog
from raworder.plan import MILLION, Allocation
from raworder.portioning.apportion import share_pieces
from raworder.trade import Scenario

Entry = tuple[str, str]
"""A dog and a cut."""


def whole_portions(scenario: Scenario, allocation: Allocation) -> dict[Entry, int]:
    """Micrograms by dog and cut: whole pieces where a cut is fed in them, the rest as the group's; rows as before."""
    dogs = {dog.name: dog for dog in scenario.dogs}
    eaten = dict(allocation.eaten_ug)
    for names in allocation.fed_alike:
        group = [dogs[name] for name in names]
        if not group[0].care:
            for dog in group:
                eaten = {entry: amount for entry, amount in eaten.items() if entry[0] != dog.name}
            eaten |= dict(_shared(scenario, group, _together(allocation, group)))
    return eaten


def _together(allocation: Allocation, group: Sequence[Dog]) -> Mapping[str, int]:
    """What the group eats of every cut."""
    names = {dog.name for dog in group}
    together: dict[str, int] = {}
    for (dog, cut), amount in allocation.eaten_ug.items():
        if dog in names:
            together[cut] = together.get(cut, 0) + amount
    return together


def _shared(scenario: Scenario, group: Sequence[Dog], together: Mapping[str, int]) -> Iterator[tuple[Entry, int]]:
    """Pieces by the largest remainder; of what is weighed everybody gets the same part of what it eats beside them."""
    pieces = _pieces(scenario, group, together)
    pieces_ug = {dog.name: 0 for dog in group}
    for (dog_name, _), amount in pieces.items():
        pieces_ug[dog_name] += amount
    yield from ((entry, amount) for entry, amount in pieces.items() if amount)
    whole = {cut for _, cut in pieces}
    weighed = {cut: amount for cut, amount in sorted(together.items()) if cut not in whole}
    for dog in group:
        yield from _split(dog, dog.batch_g * MILLION - pieces_ug[dog.name], weighed)


def _pieces(scenario: Scenario, group: Sequence[Dog], together: Mapping[str, int]) -> Mapping[Entry, int]:
    """Micrograms in whole pieces by dog and cut."""
    cuts = {cut.name: cut for cut in scenario.cuts}
    pieces_g = {name: scenario.portioning.whole_piece_g(cuts[name]) for name in sorted(together)}
    whole_g = {name: piece_g for name, piece_g in pieces_g.items() if piece_g}
    counts = {name: round(Fraction(together[name], piece_g * MILLION)) for name, piece_g in whole_g.items()}
    bone = {name: cuts[name].part_share(Part.BONE) for name in whole_g}
    if len(group) == 1:
        shared = {(group[0].name, cut): count for cut, count in counts.items()}
    else:
        shared = share_pieces(counts, whole_g, bone, {dog.name: dog.batch_g for dog in group})
    return {(dog, cut): count * whole_g[cut] * MILLION for (dog, cut), count in shared.items()}


def _split(dog: Dog, due_ug: int, weighed: Mapping[str, int]) -> Iterator[tuple[Entry, int]]:
    """So much of what is weighed, in the proportions of the group; the largest amount takes what division leaves."""
    all_ug = sum(weighed.values())
    if not all_ug:
        return
    shares = {cut: amount * due_ug // all_ug for cut, amount in weighed.items()}
    most = max(shares, key=lambda cut: shares[cut])
    shares[most] += due_ug - sum(shares.values())
    yield from (((dog.name, cut), amount) for cut, amount in shares.items() if amount)
