"""Groups of like dogs: the same rules per gram, so that one mixture serves them all and splits in proportion."""

from collections.abc import Hashable, Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import floor

from raworder.solving.bag_room import cuts_that_fit_no_bag
from raworder.solving.mixtures import leanest_kcal_per_g
from raworder.trade.bags import Portioning
from raworder.trade.cuts import PLANT, Cut, Part
from raworder.trade.dogs import Care, Dog
from raworder.trade.nutrients import Per
from raworder.trade.plan import MILLION
from raworder.trade.rounding import give_rest_to_largest, half_up
from raworder.trade.scenario import Scenario, Variety

MOST_GROUPS = 20
"""More groups than this take a long time to plan."""

PIECES_OF_A_BATCH = 4
"""Where pieces are shared out, a dog gets a cut only if its batch is at least this many times a piece."""

NEARLY_UG = 10_000
"""Micrograms by which a sum may miss a whole gram: solver tolerance, which the tie-break may use up."""

FINENESS = (30, 4, 3, 2, 1)
"""Leading binary digits of a bag's weight that count when dogs are grouped by the pieces that fit: all, then fewer.

Which pieces fit splits groups, so fewer digits make fewer groups. Rounding down can make an order a little dearer, but
never puts too large a piece into a bag."""


@dataclass(frozen=True)  # no slots: what all eat together is added up once and kept
class Group:
    """Dogs fed alike. The rules of `dogs[0]` are those of all; `ration_g` is what they eat together over the batch.

    `unfit` are the cuts whose pieces are too large for a bag of theirs.
    """

    name: str
    dogs: tuple[Dog, ...]
    avoided: frozenset[str]
    unfit: frozenset[str] = frozenset()

    @cached_property
    def ration_g(self) -> int:
        """Grams the group eats over the batch; the least it can be where its grams are free."""
        return sum(dog.batch_g for dog in self.dogs)

    @property
    def free_grams(self) -> bool:
        """Whether the ration is an amount of energy, in however many grams."""
        return self.rules.free_grams

    @cached_property
    def need_kcal(self) -> Fraction:
        """Energy that the group eats over the batch, where it is given in energy."""
        return sum((dog.energy.batch_kcal for dog in self.dogs if dog.energy), Fraction(0))

    @cached_property
    def resting_density(self) -> Fraction:
        """What the rule on resting energy asks of the food of every dog, as for a dog."""
        return max(dog.resting_density for dog in self.dogs)

    def part_of(self, dog: Dog) -> Fraction:
        """A dog's part of all that the group eats."""
        if self.free_grams and dog.energy:
            return dog.energy.batch_kcal / self.need_kcal
        return Fraction(dog.batch_g, self.ration_g)

    def least_g(self, portion_g: int) -> Fraction:
        """The least a group may eat of a cut so that every dog in it, even the smallest, gets such a portion.

        It is doubled for several dogs: beside whole pieces, a dog may get as little as half of its part by weight.
        """
        smallest = min(map(self.part_of, self.dogs))
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

    Where dogs are few and not fed from tubs, each is by itself: whole pieces, least portions and so many species are
    not linear, since one dog may get what the next does not. Else they are merged, as all other rules are linear in
    grams and the same per gram for all; a demand for so many species keeps them apart. Dogs are fed alike only if the
    same pieces fit their bags; where that makes too many groups, bags nearly alike count as the smaller.
    """
    alike = _likenesses(scenario)
    fewest = len(set(alike.values()))  # coarser bags merge no dogs whose rules differ
    for digits in FINENESS if scenario.solved_by_groups else FINENESS[:1]:
        groups = tuple(_merge_dogs(scenario, alike, digits))
        if len(groups) <= max(MOST_GROUPS, fewest):
            break
    return groups


def groups_at_most(scenario: Scenario) -> tuple[Group, ...]:
    """The dogs in groups that leave out no piece which might fit a bag of any of its dogs.

    Sharing out may fail for them; but an order that is impossible for them is impossible.
    """
    merged: dict[Hashable, list[Dog]] = {}
    alike = _likenesses(scenario)
    for dog in _dogs_by_name(scenario):
        merged.setdefault(alike[dog.name], []).append(dog)
    return tuple(
        Group(dogs[0].name, tuple(dogs), _avoided_cuts(dogs[0], scenario), _fitting_none(dogs, scenario))
        for dogs in merged.values()
    )


def _fitting_none(dogs: Iterable[Dog], scenario: Scenario) -> frozenset[str]:
    """The names of the cuts of which no bag of any of the dogs takes a piece, as far as their bags are known."""
    known = [frozenset() if dog.care or dog.free_grams else cuts_that_fit_no_bag(dog, scenario) for dog in dogs]
    return frozenset.intersection(*known)


def leaves_out_pieces(scenario: Scenario) -> bool:
    """Whether an order may leave out a piece that would fit: where pieces are shared out, or bags are not known yet."""
    return scenario.shares_pieces or leaves_out_by_energy(scenario)


def counts_bags_coarsely(scenario: Scenario) -> bool:
    """Whether some bags nearly alike count as the smaller, lest there be too many groups."""
    if not scenario.solved_by_groups:
        return False
    return len(tuple(_merge_dogs(scenario, _likenesses(scenario), FINENESS[0]))) > len(groups_of(scenario))


def leaves_out_by_energy(scenario: Scenario) -> bool:
    """Whether a dog whose grams are free goes without a piece, since it is too large for the least that it may eat."""
    return any(dog.free_grams and _unfit_cuts(dog, scenario, FINENESS[0]) for dog in scenario.dogs)


def leaves_out_by_sharing(scenario: Scenario) -> bool:
    """Whether a dog goes without a piece that a bag of its own could hold, as pieces are shared out."""
    by_itself = [dog for dog in scenario.dogs if dog.batch_g and not (dog.care or dog.free_grams)]
    return scenario.shares_pieces and any(
        _unfit_cuts(dog, scenario, FINENESS[0]) - cuts_that_fit_no_bag(dog, scenario) for dog in by_itself
    )


def _merge_dogs(scenario: Scenario, alike: Mapping[str, Hashable], digits: int) -> Iterable[Group]:
    """The dogs in groups, their bags' weights rounded down to this many binary digits."""
    merged: dict[tuple[Hashable, frozenset[str]], list[Dog]] = {}
    unfit_of: dict[Hashable, frozenset[str]] = {}
    for dog in _dogs_by_name(scenario):
        if (likeness := (alike[dog.name], dog.build)) not in unfit_of:
            unfit_of[likeness] = _unfit_cuts(dog, scenario, digits)
        merged.setdefault((alike[dog.name], unfit_of[likeness]), []).append(dog)
    for (_, unfit), dogs in merged.items():
        yield Group(dogs[0].name, tuple(dogs), _avoided_cuts(dogs[0], scenario), unfit)


def _dogs_by_name(scenario: Scenario) -> Iterable[Dog]:
    """The dogs that eat anything in this batch, by name."""
    return sorted((dog for dog in scenario.dogs if dog.batch_g), key=lambda dog: dog.name)


def _likenesses(scenario: Scenario) -> Mapping[str, Hashable]:
    """What each dog must have in common with another to be fed from one mixture; its name where it is fed alone."""
    leanest: dict[Hashable, float] = {}
    dogs = _dogs_by_name(scenario)
    return {dog.name: _likeness(dog, scenario, leanest) if scenario.shares_pieces else dog.name for dog in dogs}


def split_ug(group: Group, eaten_ug: Mapping[str, int]) -> Iterable[tuple[tuple[str, str], int]]:
    """Each dog's part of what its group eats, by its ration; a dog's amounts add up to its batch exactly.

    Where the ration is in energy, they add up to whole grams.
    """
    for dog in group.dogs:
        shares = {cut: floor(amount * group.part_of(dog)) for cut, amount in eaten_ug.items()}
        eaten_g = (sum(shares.values()) + NEARLY_UG) // MILLION if dog.energy else dog.batch_g
        whole = give_rest_to_largest(shares, eaten_g * MILLION)
        yield from (((dog.name, cut), amount) for cut, amount in whole.items())


def _likeness(dog: Dog, scenario: Scenario, leanest: dict[Hashable, float]) -> Hashable:
    """What two dogs must have in common to be fed from one mixture, beside what fits their bags.

    An amount of a nutrient a day is a different share of each dog's food, and supplements are given in whole steps, so
    such dogs stay apart. So do dogs that must find unlike energy at rest in a gram of a ration in grams. Where grams
    have been found for energy, dogs fed alike need the same kilocalories in a gram. Dogs whose owner has food of their
    own on hand are fed with that owner's other dogs only.
    """
    supplemented = dog.takes_supplements and bool(scenario.supplements)
    by_day = any(limit.per is Per.DAY for limit in dog.nutrient_limits)
    if dog.care or scenario.variety.least_species or supplemented or by_day:
        return dog.name
    limits = frozenset(dog.nutrient_limits), frozenset(dog.ratio_limits)
    avoided = _avoided_cuts(dog, scenario)
    return (
        frozenset(dog.targets),
        frozenset(dog.caps),
        avoided,
        dog.free_grams,
        _energy_density(dog),
        _resting_asked(dog, scenario, avoided, leanest),
        limits,
        dog.owner if dog.owner in scenario.stock_owners else "",
    )


def most_share(rules: Dog, avoided: AbstractSet[str], cut: Cut, variety: Variety) -> Fraction:
    """The largest share of a dog's food that a cut can be, by the ranges and caps on what it contains."""
    if cut.name in avoided:
        return Fraction(0)
    limits = [(cut.part_share(Part(target.part)), target.high) for target in rules.targets]
    limits += [(cap.subject.share_in(cut), cap.most) for cap in rules.caps]
    limits += [
        (Fraction(1) if species_share.share is None else species_share.share, variety.most_share)
        for species_share in cut.species
        if species_share.species != PLANT
    ]
    # At most `most` of the food may be x, and the cut is `share` x, so the cut is at most most / share of the food.
    return min([Fraction(1)] + [most / share for share, most in limits if share])


def _resting_asked(dog: Dog, scenario: Scenario, avoided: AbstractSet[str], leanest: dict[Hashable, float]) -> Fraction:
    """What the rule on resting energy asks of a gram; 0 where even the leanest mixture holds it, so dogs stay together.

    `leanest` remembers the least kcal in a gram by the rules of dogs.
    """
    if dog.energy or not dog.resting_density:
        return Fraction(0)
    rules = frozenset(dog.targets), frozenset(dog.caps), avoided
    if rules not in leanest:
        leanest[rules] = leanest_kcal_per_g(dog, [cut for cut in scenario.cuts if cut.name not in avoided])
    return dog.resting_density if dog.resting_density > leanest[rules] else Fraction(0)


def _energy_density(dog: Dog) -> int | None:
    """Hundredths of a kilocalorie per gram of the dog's food; None where that is open or not asked for."""
    if dog.energy is None or dog.free_grams:
        return None
    return half_up(dog.energy.batch_kcal / dog.batch_g * 100)


def _avoided_cuts(dog: Dog, scenario: Scenario) -> frozenset[str]:
    """The names of the cuts that are left out of the dog's food."""
    return frozenset(cut.name for cut in scenario.cuts if dog.goes_without(cut))


def _unfit_cuts(dog: Dog, scenario: Scenario, digits: int) -> frozenset[str]:
    """The names of the cuts of which one piece is too much for the dog's bags or its day.

    Where pieces are shared out or grams are not known yet, too much for the smallest bag is too much.
    """
    if dog.care:
        return frozenset()
    if not (scenario.shares_pieces or dog.free_grams):
        return cuts_that_fit_no_bag(dog, scenario)
    day_g = _keep_leading_digits(min(grams for grams in dog.day_g if grams), digits)
    return frozenset(
        cut.name
        for cut in scenario.cuts
        if not _piece_fits(dog, day_g, cut, scenario.portioning, shared=scenario.shares_pieces)
    )


def _keep_leading_digits(grams: int, digits: int) -> int:
    """The grams rounded down to their first `digits` binary digits.

    >>> _keep_leading_digits(730, 2), _keep_leading_digits(730, 30)
    (512, 730)
    """
    rest = max(grams.bit_length() - digits, 0)  # the low bits to clear; shifting right and back sets them to 0
    return grams >> rest << rest


def _piece_fits(dog: Dog, day_g: int, cut: Cut, portioning: Portioning, *, shared: bool) -> bool:
    """Whether one piece and a least portion of another cut fit a bag, and the piece fits the limits of a day.

    If `shared`, it is at most a quarter of the dog's batch, so that a piece more or less is not too much.
    """
    piece_g = portioning.whole_piece_g(cut)
    if piece_g is None:
        return True
    if shared and PIECES_OF_A_BATCH * piece_g > dog.batch_g:
        return False
    bag_g = day_g // dog.meals - portioning.scale_step_g
    return piece_g + portioning.least_portion_g <= bag_g and all(
        piece_g * subject.share_in(cut) <= most * day_g for subject, most in dog.most_a_day(portioning)
    )
