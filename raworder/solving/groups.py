"""Groups of like dogs: the same rules per gram, so that one mixture serves them all and splits in proportion."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from raworder.cuts import Cut
from raworder.plan import MILLION
from raworder.trade import Care, Dog, Scenario


@dataclass(frozen=True, slots=True)
class Group:
    """Dogs fed alike. The rules of `dogs[0]` are those of all; `ration_g` is what they eat together over the batch.

    `unfit` are the cuts whose pieces are too large for a bag of theirs.
    """

    name: str
    dogs: tuple[Dog, ...]
    avoided: frozenset[str]
    unfit: frozenset[str] = frozenset()

    @property
    def ration_g(self) -> int:
        """Grams the group eats over the batch."""
        return sum(dog.batch_g for dog in self.dogs)

    def least_g(self, portion_g: int) -> Fraction:
        """What the group eats at least of a cut if each of its dogs, also the smallest, is to get such a portion.

        Where it is shared out beside whole pieces, no dog gets less than half of its part by weight.
        """
        smallest = Fraction(min(dog.batch_g for dog in self.dogs), self.ration_g)
        return portion_g / smallest * (1 if len(self.dogs) == 1 else 2)

    @property
    def rules(self) -> Dog:
        """The dog whose targets and caps speak for the group."""
        return self.dogs[0]

    @property
    def care(self) -> Care | None:
        """The state of a dog under a veterinarian's care; such a dog is always alone in its group."""
        return self.rules.care


def groups_of(scenario: Scenario) -> tuple[Group, ...]:
    """The dogs in groups, by name; dogs that eat nothing in this batch are in none.

    Merging is exact: every rule on what the dogs of a group eat is linear in grams and the same per gram for all. A
    demand for so many species is not linear, since one dog may get other species than the next, nor are whole pieces;
    then none are merged, unless there are so many dogs that pieces are counted for groups of them.
    """
    merged: dict[object, list[Dog]] = {}
    shares = scenario.shares_pieces or not any(map(scenario.portioning.whole_piece_g, scenario.cuts))
    for dog in sorted(scenario.dogs, key=lambda dog: dog.name):
        if dog.batch_g:
            merged.setdefault(_likeness(dog, scenario, shares=shares), []).append(dog)
    return tuple(
        Group(dogs[0].name, tuple(dogs), _avoided(dogs[0], scenario), _unfit(dogs[0], scenario))
        for dogs in merged.values()
    )


def split_ug(group: Group, eaten_ug: Mapping[str, int]) -> Iterable[tuple[tuple[str, str], int]]:
    """What each dog eats of what the group eats, in proportion to its ration; a dog's add up to its batch exactly."""
    for dog in group.dogs:
        shares = {cut: amount * dog.batch_g // group.ration_g for cut, amount in eaten_ug.items()}
        most = max(shares, key=lambda cut: shares[cut])
        shares[most] += dog.batch_g * MILLION - sum(shares.values())
        yield from (((dog.name, cut), amount) for cut, amount in shares.items())


def _likeness(dog: Dog, scenario: Scenario, *, shares: bool) -> object:
    """What two dogs must have in common to be fed from one mixture."""
    if dog.care or scenario.variety.least_species or not shares:
        return dog.name
    return frozenset(dog.targets), frozenset(dog.caps), _avoided(dog, scenario), _unfit(dog, scenario)


def _avoided(dog: Dog, scenario: Scenario) -> frozenset[str]:
    """The names of the cuts that the dog must not eat."""
    return frozenset(cut.name for cut in scenario.cuts if dog.avoids(cut))


def _unfit(dog: Dog, scenario: Scenario) -> frozenset[str]:
    """The names of the cuts of which one piece is too much for the dog's smallest bag, or for its day."""
    if dog.care:
        return frozenset()
    return frozenset(cut.name for cut in scenario.cuts if not _fits(dog, cut, scenario))


def _fits(dog: Dog, cut: Cut, scenario: Scenario) -> bool:
    """Whether one piece and a least portion of something else fit the dog's smallest bag, and the piece its day.

    Where dogs are many, a bag counts as the power of two below it, so that dogs nearly alike are still fed alike.
    """
    portioning = scenario.portioning
    piece_g = portioning.whole_piece_g(cut)
    if piece_g is None:
        return True
    day_g = min(grams for grams in dog.day_g if grams)
    if scenario.many_dogs:
        day_g = 2 ** (day_g.bit_length() - 1)
    bag_g = day_g // dog.meals - portioning.scale_step_g
    most_a_day = dog.most_a_day(portioning)
    return piece_g + portioning.least_portion_g <= bag_g and all(
        piece_g * subject.share_in(cut) <= most * day_g for subject, most in most_a_day
    )
