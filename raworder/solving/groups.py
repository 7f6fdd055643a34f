"""Groups of like dogs: the same rules per gram, so that one mixture serves them all and splits in proportion."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from raworder.plan import MILLION
from raworder.trade import Care, Dog, Scenario


@dataclass(frozen=True, slots=True)
class Group:
    """Dogs fed alike. The rules of `dogs[0]` are those of all; `ration_g` is what they eat together over the batch."""

    name: str
    dogs: tuple[Dog, ...]
    avoided: frozenset[str]

    @property
    def ration_g(self) -> int:
        """Grams the group eats over the batch."""
        return sum(dog.batch_g for dog in self.dogs)

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
    demand for so many species is not linear, since one dog may get other species than the next; then none are merged.
    """
    merged: dict[object, list[Dog]] = {}
    for dog in sorted(scenario.dogs, key=lambda dog: dog.name):
        if dog.batch_g:
            merged.setdefault(_likeness(dog, scenario), []).append(dog)
    return tuple(Group(dogs[0].name, tuple(dogs), _avoided(dogs[0], scenario)) for dogs in merged.values())


def split_ug(group: Group, eaten_ug: Mapping[str, int]) -> Iterable[tuple[tuple[str, str], int]]:
    """What each dog eats of what the group eats, in proportion to its ration; a dog's add up to its batch exactly."""
    for dog in group.dogs:
        shares = {cut: amount * dog.batch_g // group.ration_g for cut, amount in eaten_ug.items()}
        most = max(shares, key=lambda cut: shares[cut])
        shares[most] += dog.batch_g * MILLION - sum(shares.values())
        yield from (((dog.name, cut), amount) for cut, amount in shares.items())


def _likeness(dog: Dog, scenario: Scenario) -> object:
    """What two dogs must have in common to be fed from one mixture."""
    if dog.care or scenario.variety.least_species:
        return dog.name
    return frozenset(dog.targets), frozenset(dog.caps), _avoided(dog, scenario)


def _avoided(dog: Dog, scenario: Scenario) -> frozenset[str]:
    """The names of the cuts that the dog must not eat."""
    return frozenset(cut.name for cut in scenario.cuts if dog.avoids(cut))
