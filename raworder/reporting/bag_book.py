"""The bags of a plan with their dogs, cuts and mixes at hand, for all the papers about them.

A bag's number is its place in the plan, from 1; every paper calls it by that.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from raworder.bags import Bag, Filling, Mix
from raworder.cuts import Cut, Subject
from raworder.dogs import Dog
from raworder.plan import Plan
from raworder.reporting.bag_words import MANY, pieces_text
from raworder.reporting.words import counted, listed
from raworder.trade import Scenario
from raworder.units import grams_text

NAMED_AT_MOST = 8
"""So many dogs are named in a sentence; more are counted."""


@dataclass(frozen=True, slots=True)
class Numbered:
    """A bag with its number."""

    number: int
    bag: Bag


@dataclass(frozen=True, slots=True)
class BagBook:
    """A scenario and its plan; dogs, cuts and mixes by name."""

    scenario: Scenario
    plan: Plan
    dogs: Mapping[str, Dog]
    cuts: Mapping[str, Cut]
    mixes: Mapping[str, Mix]

    @property
    def numbered(self) -> tuple[Numbered, ...]:
        """The bags in order."""
        return tuple(Numbered(number, bag) for number, bag in enumerate(self.plan.bags, start=1))

    @property
    def is_many(self) -> bool:
        """Whether there are so many dogs that papers put them together."""
        return len(self.scenario.dogs) > MANY

    @property
    def in_pounds(self) -> bool:
        """Whether people read pounds; the scale still shows grams."""
        return self.scenario.weight_unit == "lb"

    def grams(self, grams: int) -> str:
        """Grams as people of this scenario read them."""
        return grams_text(grams, self.scenario.weight_unit)

    def on_scale(self, grams: int) -> str:
        """Grams as a scale shows them, with pounds beside where people read those: `40 g (1.4 oz)`."""
        return f"{grams_text(grams, 'kg')} ({self.grams(grams)})" if self.in_pounds else self.grams(grams)

    def cuts_in(self, name: str) -> tuple[Cut, ...]:
        """The cuts of a mix, or the cut itself."""
        mix = self.mixes.get(name)
        return tuple(self.cuts[one.cut] for one in mix.contents) if mix else (self.cuts[name],)

    def share_in(self, subject: Subject, name: str) -> Fraction:
        """How much of a cut counts as something; of a mix, the mean over what is in it."""
        mix = self.mixes.get(name)
        if mix is None:
            return subject.share_in(self.cuts[name])
        return sum((subject.share_in(self.cuts[one.cut]) * one.grams for one in mix.contents), Fraction(0)) / mix.grams

    def amount(self, filling: Filling) -> str:
        """What is put in: `2 chicken necks`, `40 g lamb liver`."""
        if filling.pieces:
            return pieces_text(filling.pieces, self.cuts[filling.cut])
        return f"{self.on_scale(filling.grams)} {filling.cut}"

    def filling(self, bag: Bag, to: str = "") -> str:
        """What goes into a bag, the top-up last: `2 chicken necks, top up with beef trim to 550 g`."""
        said = [self.amount(one) for one in bag.fillings if one.cut != bag.topped_up]
        if bag.topped_up:
            how = "top up" if said else "fill"
            said.append(f"{how} with {bag.topped_up} to {to or self.on_scale(bag.grams)}")
        return ", ".join(said)

    def otherwise(self, bag: Bag, first: Bag) -> str:
        """What a bag holds in other amounts than the first of its kind, beside the top-up."""
        like = set(first.fillings)
        return listed([self.amount(one) for one in bag.fillings if one not in like and one.cut != bag.topped_up])

    def tolerance_g(self, bag: Bag) -> int | None:
        """How far off its weight a bag may be; None where a veterinarian gave every amount."""
        portioning = self.scenario.portioning
        most = max(portioning.bag_tolerance * bag.grams, Fraction(portioning.scale_step_g))
        return most.__floor__() if bag.topped_up else None


def bag_book(scenario: Scenario, plan: Plan) -> BagBook:
    """The book of a plan with bags."""
    return BagBook(
        scenario,
        plan,
        {dog.name: dog for dog in scenario.dogs},
        {cut.name: cut for cut in scenario.cuts},
        {mix.name: mix for mix in plan.mixes},
    )


def by_dog(book: BagBook) -> Iterator[tuple[Dog, tuple[Numbered, ...]]]:
    """Every dog in the scenario's order with its bags; a dog without any is left out."""
    found: dict[str, list[Numbered]] = {dog.name: [] for dog in book.scenario.dogs}
    for one in book.numbered:
        found[one.bag.dog].append(one)
    return ((book.dogs[name], tuple(bags)) for name, bags in found.items() if bags)


def dogs_text(names: Sequence[str]) -> str:
    """Dogs by name, or how many they are."""
    return listed(names) if len(names) <= NAMED_AT_MOST else counted(len(names), "dog")
