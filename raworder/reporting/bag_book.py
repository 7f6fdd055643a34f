"""The bags of a plan with their dogs, cuts and mixes at hand, and how papers speak of them."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import groupby

from raworder.reporting.words import count_text, join_names, subject_text
from raworder.trade.bags import Bag, Filling, Mix
from raworder.trade.batch_facts import BatchFacts, Journey
from raworder.trade.cuts import Cut, Subject
from raworder.trade.dogs import Dog
from raworder.trade.plan import Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import FedScenario
from raworder.trade.units import about_grams_text, grams_text

MOST_BAGS_LISTED = 20
"""More bags than this are counted, not named by number: nobody reads so long a list in a sentence."""

PLAIN_PLURALS = frozenset("back egg frame neck rib shank tail wing".split())
"""Kinds of cut that take an `s` when there are several."""


def avoided_text(dog: Dog) -> str:
    """What a dog must not eat, in short: `no chicken, no whole bone`."""
    return ", ".join(f"no {subject_text(subject)}" for subject in dog.avoid)


def numbers_text(numbers: Iterable[int]) -> str:
    """Numbers in ascending order, consecutive ones as a run.

    >>> numbers_text([17, 3, 18])
    '3, 17-18'
    """
    places = enumerate(sorted(numbers))  # consecutive numbers keep the same distance to their places
    runs = [[number for _, number in run] for _, run in groupby(places, key=lambda pair: pair[1] - pair[0])]
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)


def bags_text(numbers: Iterable[int]) -> str:
    """Bags by their numbers.

    >>> bags_text([12]), bags_text([3, 17, 18])
    ('bag 12', 'bags 3, 17-18')
    """
    listed = tuple(numbers)
    return f"{'bag' if len(listed) == 1 else 'bags'} {numbers_text(listed)}"


def pieces_text(pieces: int, cut: Cut) -> str:
    """A number of pieces of a cut: `2 chicken necks`, `1 piece of sardine whole`."""
    if cut.kind in PLAIN_PLURALS and cut.name.endswith(cut.kind):
        return count_text(pieces, cut.name)
    return f"{count_text(pieces, 'piece')} of {cut.name}"


LAST_BAG_OFF = Fraction(1, 10)
"""How far the last bag of a kind may be off the weight of the others. Source: common practice, no source."""


def one_weight_g(bags: Sequence[Bag], step_g: int) -> int | None:
    """The scale step that all bags of a kind can be filled to but the last, which takes what is left; None if far off.

    Planned bags of a kind differ by a scale step, as a ration is no whole number of steps; those of a growing dog by
    more.
    """
    if len({bag.grams for bag in bags}) == 1:
        return bags[0].grams
    total_g = sum(bag.grams for bag in bags)
    each_g = half_up(Fraction(total_g, len(bags) * step_g)) * step_g
    is_even = all(abs(bag.grams - each_g) <= step_g for bag in bags)
    last_off_g = abs(total_g - len(bags) * each_g)
    return each_g if is_even and last_off_g <= LAST_BAG_OFF * each_g and bags[0].topped_up else None


NAMED_AT_MOST = 8
"""At most this many dogs are named in a sentence; more are counted."""

MOST_DOGS_LISTED = 20
"""More dogs than this are put together on papers, by kennel or by day: their rows alone would fill more than a page."""


@dataclass(frozen=True, slots=True)
class NumberedBag:
    """A bag with its number."""

    number: int
    bag: Bag


@dataclass(frozen=True)
class BagBook:
    """A scenario and its plan; dogs, cuts and mixes by name.

    `only` are the dogs that a page is about, where it is not about all of them; bags keep their numbers.
    """

    scenario: FedScenario
    plan: Plan
    dogs: Mapping[str, Dog]
    cuts: Mapping[str, Cut]
    mixes: Mapping[str, Mix]
    only: frozenset[str] | None = None

    @cached_property
    def numbered(self) -> tuple[NumberedBag, ...]:
        """The bags in order."""
        bags = (NumberedBag(number, bag) for number, bag in enumerate(self.plan.bags, start=1))
        return tuple(bag for bag in bags if self.is_about(bag.bag.dog))

    @cached_property
    def journeys(self) -> tuple[Journey, ...]:
        """The way of every bag from filling to feeding, in order."""
        return tuple(journey for journey in self.facts.cold.journeys if self.is_about(journey.bag.dog))

    def is_about(self, dog: str) -> bool:
        """Whether the page is about this dog."""
        return self.only is None or dog in self.only

    def of_dogs(self, names: Iterable[str]) -> "BagBook":
        """The book of some dogs, for a page about them alone."""
        return BagBook(self.scenario, self.plan, self.dogs, self.cuts, self.mixes, frozenset(names))

    @cached_property
    def _kind_weights_g(self) -> Mapping[tuple[str, str], int | None]:
        """The one weight of each kind of bag, None where its last bag would take far more or less than the others."""
        kinds: dict[tuple[str, str], list[Bag]] = {}
        for bag in self.plan.bags:
            kinds.setdefault((bag.dog, bag.kind), []).append(bag)
        return {kind: one_weight_g(bags, self.scenario.portioning.scale_step_g) for kind, bags in kinds.items()}

    def weight_g(self, bag: Bag) -> int:
        """What a bag is said to weigh: one weight for all bags of a kind, unless its last bag would be far off.

        The last bag of a kind takes what is left, so that all of them hold what was planned to the gram.
        """
        return self._kind_weights_g[bag.dog, bag.kind] or bag.grams

    @property
    def groups_dogs(self) -> bool:
        """Whether papers list kennels or days instead of every dog by itself."""
        return sum(self.is_about(dog.name) for dog in self.scenario.dogs) > MOST_DOGS_LISTED

    @property
    def facts(self) -> BatchFacts:
        """What follows from the plan."""
        return self.plan.facts

    def grams(self, grams: int) -> str:
        """Grams as people of this scenario read them."""
        return grams_text(grams, self.scenario.weight_unit)

    def about_grams(self, grams: int) -> str:
        """The same of a weight that nobody weighs to the gram."""
        return about_grams_text(grams, self.scenario.weight_unit)

    def cuts_in(self, name: str) -> tuple[Cut, ...]:
        """The cuts of a mix, or the cut itself."""
        mix = self.mixes.get(name)
        return tuple(self.cuts[filling.cut] for filling in mix.contents) if mix else (self.cuts[name],)

    def share_in(self, subject: Subject, name: str) -> Fraction:
        """How much of a cut counts as something; of a mix, the mean over what is in it."""
        mix = self.mixes.get(name)
        if mix is None:
            return subject.share_in(self.cuts[name])
        return (
            sum((subject.share_in(self.cuts[filling.cut]) * filling.grams for filling in mix.contents), Fraction(0))
            / mix.grams
        )

    def amount(self, filling: Filling) -> str:
        """How much of a cut goes in: `2 chicken necks`, `40 g lamb liver`."""
        if filling.pieces:
            return pieces_text(filling.pieces, self.cuts[filling.cut])
        return f"{self.grams(filling.grams)} {filling.cut}"

    def filling(self, bag: Bag, weight: str = "") -> str:
        """What goes into a bag, the top-up last: `2 chicken necks, top up with beef trim to 550 g`.

        `weight` replaces the weight of this bag where the text stands for several.
        """
        amounts = [self.amount(filling) for filling in bag.fillings if filling.cut != bag.topped_up]
        if bag.topped_up:
            how = "top up" if amounts else "fill"
            amounts.append(f"{how} with {bag.topped_up} to {weight or self.grams(bag.grams)}")
        return ", ".join(amounts)

    def changes_text(self, bag: Bag, first: Bag) -> str:
        """The amounts of a bag that differ from the first of its kind, leaving out the top-up."""
        usual = set(first.fillings)
        return join_names(
            [self.amount(filling) for filling in bag.fillings if filling not in usual and filling.cut != bag.topped_up]
        )

    def tolerance_g(self, bag: Bag) -> int | None:
        """How many grams a filled bag may be off its weight; None where a veterinarian gave every amount."""
        # Planned bags are exact; the tolerance is for the hand that fills them, a scale step at least.
        portioning = self.scenario.portioning
        allowed_g = max(portioning.bag_tolerance * bag.grams, Fraction(portioning.scale_step_g))
        return allowed_g.__floor__() if bag.topped_up else None


def bag_book(plan: Plan) -> BagBook:
    """The bag book of a plan that has bags."""
    scenario = plan.facts.scenario
    return BagBook(
        scenario,
        plan,
        {dog.name: dog for dog in scenario.dogs},
        {cut.name: cut for cut in scenario.cuts},
        {mix.name: mix for mix in plan.mixes},
    )


def bags_by_dog(book: BagBook) -> Iterator[tuple[Dog, tuple[NumberedBag, ...]]]:
    """Every dog in the scenario's order with its bags; a dog without any is left out."""
    by_name: dict[str, list[NumberedBag]] = {dog.name: [] for dog in book.scenario.dogs if book.is_about(dog.name)}
    for bag in book.numbered:
        by_name[bag.bag.dog].append(bag)
    return ((book.dogs[name], tuple(bags)) for name, bags in by_name.items() if bags)


def dogs_or_count(names: Sequence[str]) -> str:
    """Dogs by name, or how many they are."""
    return join_names(names) if len(names) <= NAMED_AT_MOST else count_text(len(names), "dog")
