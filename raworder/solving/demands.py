"""Demands: every rule of a scenario that may give way, told once for all dogs that it binds, and the scenario without.

What a dog must not eat and the amount of food are not among them.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType

from raworder.solving.bag_room import PieceLimit, limits_of_all
from raworder.solving.groups import groups_of
from raworder.solving.limits_given_way import Limit, limit_ends, with_limit
from raworder.trade.cuts import Part, Subject
from raworder.trade.dogs import Dog, Target
from raworder.trade.nutrients import NutrientLimit, RatioLimit
from raworder.trade.scenario import Scenario, Variety

Level = int | Decimal | Fraction | None
"""What a demand asks for, in money, grams, packs, species or as a share; None where there is no limit."""


class End(StrEnum):
    """Which end of a range is meant."""

    LOW = "low"
    HIGH = "high"


@dataclass(frozen=True, slots=True)
class Demand:
    """One rule as it stands in a scenario: the rule's key, what it asks for, and about what.

    `about` is a supplier, an offer's key, a cut, or a word for which of the variety is meant; a subject, a target or a
    limit on nutrients where dogs are fed by it, and then `dogs` are those that it binds.
    """

    rule: str
    level: Level
    about: str | Subject | Target | Limit = ""
    end: End | None = None
    dogs: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """Unlike that of any other demand of the scenario."""
        return f"{self.rule} {self.about} {self.end} {self.level}"

    @property
    def other_end(self) -> End:
        """The end of muscle's range that must move along, as muscle is what is left."""
        return End.HIGH if self.end is End.LOW else End.LOW

    @property
    def frees_muscle(self) -> bool:
        """Whether muscle takes up what another part's range gives way by."""
        return isinstance(self.about, Target) and self.about.part is not Part.MUSCLE


SPECIES, MOST_OF_ONE = "species", "most of one"
"""What a demand for variety is about."""

MOST_POINTS = Fraction(1, 10)
"""A share moves by no more than that, and muscle's range by no more in all: beyond that it is another diet."""

OF_BAGS = frozenset({"week_share", "day_most", "least_portion", "whole_pieces"})
"""The rules that say how bags may be filled; all but the first say what may be ordered too."""


def demands_of(scenario: Scenario) -> tuple[Demand, ...]:
    """Every demand that may give way: money, room and stock first, then what the dogs are fed, then bags."""
    return (
        *_of_money_and_room(scenario),
        *(
            Demand("minimum_order", supplier.minimum_order, supplier.name)
            for supplier in scenario.suppliers
            if supplier.minimum_order
        ),
        *_of_stock(scenario),
        *_of_variety(scenario),
        *_of_targets(scenario),
        *_of_caps(scenario),
        *(Demand(end.rule, end.asked, end.limit, End(end.end), end.dogs) for end in limit_ends(scenario)),
        *_of_bags(scenario),
    )


def without(scenario: Scenario, demands: Iterable[Demand]) -> Scenario:
    """The scenario in which these demands ask for nothing."""
    for demand in demands:
        scenario = altered(scenario, demand, free_level(scenario, demand))
    return scenario


def free_level(scenario: Scenario, demand: Demand) -> Level:
    """At which level a demand asks for nothing any more."""
    match demand.rule:
        case "minimum_order":
            return Decimal(0)
        case "least_portion":
            return scenario.portioning.scale_step_g
        case "cap" | "week_share" | "day_most":
            return Fraction(1)
        case "part_share":
            return Fraction(0 if demand.end is End.LOW else 1)
        case "variety":
            return 0 if demand.about == SPECIES else Fraction(1)
        case _:
            return None


def altered(scenario: Scenario, demand: Demand, level: Level) -> Scenario:
    """The scenario in which the demand stands at another level; a cut that must stay whole may be cut up."""
    return _ALTER[demand.rule](scenario, demand, level)


def muscle_moved(scenario: Scenario, demand: Demand, by: Fraction) -> Scenario:
    """The scenario in which muscle's range is wider by so much for the dogs that the demand binds."""

    def moved(target: Target) -> Target:
        """The target, wider if it is that of muscle."""
        if target.part is not Part.MUSCLE:
            return target
        if demand.other_end is End.HIGH:
            return replace(target, high=min(target.high + by, Fraction(1)))
        return replace(target, low=max(target.low - by, Fraction(0)))

    return _with_dogs(scenario, demand, lambda dog: replace(dog, targets=tuple(map(moved, dog.targets))))


def _of_money_and_room(scenario: Scenario) -> Iterator[Demand]:
    if scenario.budget is not None:
        yield Demand("budget", scenario.budget)
    if scenario.room_g is not None:
        yield Demand("room", scenario.room_g)
    if scenario.most_suppliers is not None:
        yield Demand("supplier_count", scenario.most_suppliers)


def _of_stock(scenario: Scenario) -> Iterator[Demand]:
    """Offers of which there is less than the dogs that may eat it eat altogether."""
    cuts = {cut.name: cut for cut in scenario.cuts}
    for offer in scenario.offers:
        if offer.available is not None and offer.bought is None:
            eaten_g = sum(dog.batch_g for dog in scenario.dogs if not dog.goes_without(cuts[offer.cut]))
            if offer.unit_g * offer.available < eaten_g:
                yield Demand("pack_count", offer.available, offer.key)


def _of_variety(scenario: Scenario) -> Iterator[Demand]:
    if scenario.variety.least_species:
        yield Demand("variety", scenario.variety.least_species, SPECIES)
    if scenario.variety.most_share < 1:
        yield Demand("variety", scenario.variety.most_share, MOST_OF_ONE)


def _of_targets(scenario: Scenario) -> Iterator[Demand]:
    """Both ends of every range; muscle's first, as it is moved along with others'."""
    bound: dict[Target, list[str]] = {}
    for dog in scenario.dogs:
        for target in dog.targets if dog.batch_g else ():
            bound.setdefault(target, []).append(dog.name)
    parts = list(Part)
    for target in sorted(bound, key=lambda target: (parts.index(target.part), target.low, target.high)):
        if target.low > 0:
            yield Demand("part_share", target.low, target, End.LOW, tuple(bound[target]))
        if target.high < 1:
            yield Demand("part_share", target.high, target, End.HIGH, tuple(bound[target]))


def _of_caps(scenario: Scenario) -> Iterator[Demand]:
    bound: dict[tuple[Subject, Fraction], list[str]] = {}
    for dog in scenario.dogs:
        for cap in dog.caps if dog.batch_g else ():
            bound.setdefault((cap.subject, cap.most), []).append(dog.name)
    for subject, most in sorted(bound, key=lambda pair: (pair[0].measure, pair[0].word, pair[1])):
        yield Demand("cap", most, subject, End.HIGH, tuple(bound[subject, most]))


def _of_bags(scenario: Scenario) -> Iterator[Demand]:
    portioning = scenario.portioning
    for cut in scenario.cuts:
        if portioning.whole_piece_g(cut):
            yield Demand("whole_pieces", portioning.whole_piece_g(cut), cut.name)
    if portioning.least_portion_g > portioning.scale_step_g:
        yield Demand("least_portion", portioning.least_portion_g)
    for subject, most in portioning.most_a_day:
        if most < 1:
            yield Demand("day_most", most, subject)
    yield Demand("week_share", portioning.week_allowance)


def concerns_orders(scenario: Scenario, demand: Demand) -> bool:
    """Whether an order may be possible without the demand that is not possible with it."""
    match demand.rule:
        case "week_share":
            return False
        case "day_most":
            return _held(scenario) != _held(without(scenario, (demand,)))
        case _:
            return True


def _held(scenario: Scenario) -> list[tuple[frozenset[str], tuple[PieceLimit, ...]]]:
    """The cuts whose pieces are too large for dogs fed alike, and how many of the others their bags and days take."""
    return [(group.unfit, limits_of_all(group.dogs, scenario)) for group in groups_of(scenario) if not group.care]


def _with_dogs(scenario: Scenario, demand: Demand, change: Callable[[Dog], Dog]) -> Scenario:
    """The scenario with the dogs changed that the demand binds."""
    return replace(scenario, dogs=tuple(change(dog) if dog.name in demand.dogs else dog for dog in scenario.dogs))


def _with_minimum(scenario: Scenario, demand: Demand, level: Level) -> Scenario:
    least = level if isinstance(level, Decimal) else Decimal(0)
    suppliers = (
        replace(supplier, minimum_order=least) if supplier.name == demand.about else supplier
        for supplier in scenario.suppliers
    )
    return replace(scenario, suppliers=tuple(suppliers))


def _with_available(scenario: Scenario, demand: Demand, level: Level) -> Scenario:
    most = None if level is None else int(level)
    offers = (replace(offer, available=most) if offer.key == demand.about else offer for offer in scenario.offers)
    return replace(scenario, offers=tuple(offers))


def _with_variety(scenario: Scenario, demand: Demand, level: Level) -> Scenario:
    wanted = scenario.variety
    if demand.about == SPECIES:
        return replace(scenario, variety=Variety(int(level or 0), wanted.least_share, wanted.most_share))
    return replace(scenario, variety=replace(wanted, most_share=Fraction(level or 0)))


def _with_range(scenario: Scenario, demand: Demand, level: Level) -> Scenario:
    """The scenario with one end of a part's range elsewhere; the other end is as it is by then."""
    end, share = demand.end or End.LOW, Fraction(level or 0)
    part = demand.about.part if isinstance(demand.about, Target) else None

    def moved(dog: Dog) -> Dog:
        """The dog with that end of the part's range elsewhere."""
        return replace(
            dog, targets=tuple(_ending(target, end, share) if target.part is part else target for target in dog.targets)
        )

    return _with_dogs(scenario, demand, moved)


def _ending(target: Target, end: End, share: Fraction) -> Target:
    return replace(target, low=share) if end is End.LOW else replace(target, high=share)


def _with_cap(scenario: Scenario, demand: Demand, level: Level) -> Scenario:
    most = Fraction(level or 0)

    def moved(dog: Dog) -> Dog:
        """The dog with that cap at another level."""
        caps = (replace(cap, most=most) if cap.subject == demand.about else cap for cap in dog.caps)
        return replace(dog, caps=tuple(caps))

    return _with_dogs(scenario, demand, moved)


def _with_portioning(scenario: Scenario, demand: Demand, level: Level) -> Scenario:
    """The scenario with another rule of bags."""
    before = scenario.portioning
    match demand.rule:
        case "whole_pieces":
            changed = replace(before, divided=before.divided | {str(demand.about)})
        case "least_portion":
            changed = replace(before, least_portion_g=int(level or before.scale_step_g))
        case "week_share":
            changed = replace(before, week_allowance=Fraction(level or 0))
        case _:
            most = (
                (subject, Fraction(level or 0) if subject == demand.about else share)
                for subject, share in before.most_a_day
            )
            changed = replace(before, most_a_day=tuple(most))
    return replace(scenario, portioning=changed)


def _with_limit(scenario: Scenario, demand: Demand, level: Level) -> Scenario:
    """The scenario with one end of a rule on nutrients elsewhere, or without it."""
    if not isinstance(demand.about, NutrientLimit | RatioLimit):
        return scenario
    asked = None if level is None else Fraction(level)
    return with_limit(scenario, demand.about, demand.dogs, asked, is_most=demand.end is End.HIGH)


_ALTER: Mapping[str, Callable[[Scenario, Demand, Level], Scenario]] = MappingProxyType(
    {
        "budget": lambda scenario, _, level: replace(scenario, budget=level if isinstance(level, Decimal) else None),
        "room": lambda scenario, _, level: replace(scenario, room_g=None if level is None else int(level)),
        "supplier_count": lambda scenario, _, level: replace(
            scenario, most_suppliers=None if level is None else int(level)
        ),
        "minimum_order": _with_minimum,
        "pack_count": _with_available,
        "variety": _with_variety,
        "part_share": _with_range,
        "cap": _with_cap,
        "nutrient": _with_limit,
        "nutrient_ratio": _with_limit,
        "whole_pieces": _with_portioning,
        "least_portion": _with_portioning,
        "day_most": _with_portioning,
        "week_share": _with_portioning,
    }
)
