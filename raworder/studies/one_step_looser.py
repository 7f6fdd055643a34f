"""One step looser: every rule of a scenario that may give way, loosened alone by one sensible step."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from raworder.reporting.words import counted, dogs_text, subject_text, units_text
from raworder.solving.limits_given_way import LimitEnd, limit_ends, with_limit
from raworder.studies.limit_text import end_text
from raworder.trade.cuts import Cut, Measure, Part, Subject
from raworder.trade.dogs import Cap, Dog, EnergyRation, Target, VetAmount
from raworder.trade.plan import Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Offer, Scenario, Supplier, Variety
from raworder.trade.units import GRAMS_PER, grams_text, share_text

POINT = Fraction(1, 100)
SPECIES_POINTS = Fraction(5, 100)
ROOM_KG, ROOM_LB = 5, 10
MINIMUM_LESS, MINIMUM_LESS_WHOLE = Decimal(10), Decimal(1000)
"""A minimum order is lowered by so much money; by the second in a currency without decimals, whose units are small."""

BY_WEIGHT_G = 1000

LIMIT_PART = Fraction(1, 20)
"""A rule on a nutrient is loosened by such a part of what it asks."""


@dataclass(frozen=True, slots=True)
class Looser:
    """A rule by its key, what it says here, one step of loosening in words, and the scenario with it.

    `is_near` tells that the cheapest order is within that step of the rule's limit.
    """

    rule: str
    limit: str
    step: str
    scenario: Scenario
    is_near: bool


def one_step_looser(scenario: Scenario, base: Plan) -> tuple[Looser, ...]:
    """Every rule that one step can loosen: room, suppliers, stock, variety, whole pieces, caps, ranges, nutrients.

    The budget is none of them, as more to spend saves nothing; nor is what a dog must not eat, nor how much it eats.
    """
    return (
        *_of_room(scenario, base),
        *_of_suppliers(scenario, base),
        *(_of_minimum_order(scenario, base, supplier) for supplier in scenario.suppliers if supplier.minimum_order),
        *(
            _of_stock(scenario, base, offer)
            for offer in scenario.offers
            if offer.available is not None and offer.bought is None
        ),
        *_of_variety(scenario, base),
        *_of_pieces(scenario, base),
        *(_of_cap(scenario, base, subject) for subject in _capped(scenario)),
        *(looser for part in Part for looser in _of_part(scenario, base, part)),
        *(_of_limit(scenario, end) for end in limit_ends(scenario)),
    )


def one_day_longer(scenario: Scenario) -> Scenario | None:
    """The scenario with one more day, on which every dog that eats on the last day eats as on any; None without one.

    A dog under a veterinarian's care goes on with what the veterinarian gave for a day.
    """
    if not any(dog.day_g and dog.day_g[-1] for dog in scenario.dogs):
        return None
    dogs = tuple(_fed_longer(dog) for dog in scenario.dogs)
    return replace(scenario, dogs=dogs, batch=replace(scenario.batch, days=scenario.batch.days + 1))


def _fed_longer(dog: Dog) -> Dog:
    """The dog with a day more; one that is away at the end stays away."""
    if not dog.day_g or not dog.day_g[-1]:
        return replace(dog, day_g=(*dog.day_g, 0), energy=_longer(dog, Fraction(0))) if dog.day_g else dog
    given = tuple(
        VetAmount(vet_amount.cut, vet_amount.batch_g * (dog.days + 1) // dog.days) for vet_amount in dog.vet_amounts
    )
    more_g = sum(vet_amount.batch_g for vet_amount in given) - dog.batch_g if dog.care else half_up(dog.daily_g)
    mean_kcal = dog.energy.batch_kcal / dog.days if dog.energy else Fraction(0)
    return replace(
        dog,
        days=dog.days + 1,
        batch_g=dog.batch_g + more_g,
        day_g=(*dog.day_g, more_g),
        vet_amounts=given,
        energy=_longer(dog, mean_kcal),
    )


def _longer(dog: Dog, kcal: Fraction) -> EnergyRation | None:
    """The dog's ration in energy, if it has one, with so much on a day more."""
    return replace(dog.energy, day_kcal=(*dog.energy.day_kcal, kcal)) if dog.energy else None


def _of_room(scenario: Scenario, base: Plan) -> Iterator[Looser]:
    """A little more room in the freezer."""
    if scenario.room_g is not None:
        pounds = scenario.weight_unit == "lb"
        step_g = half_up(ROOM_LB * GRAMS_PER["lb"]) if pounds else ROOM_KG * 1000
        frozen_g = sum(lot.grams for lot in scenario.on_hand)
        frozen_g += sum(scenario.offer(line.offer).grams(line.units) for line in base.lines)
        limit = f"room for {grams_text(scenario.room_g, scenario.weight_unit)} in the freezer"
        loose = replace(scenario, room_g=scenario.room_g + step_g)
        step = f"{grams_text(step_g, scenario.weight_unit)} more"
        yield Looser("room", limit, step, loose, frozen_g + step_g >= scenario.room_g)


def _of_suppliers(scenario: Scenario, base: Plan) -> Iterator[Looser]:
    """A supplier more."""
    most = scenario.most_suppliers
    if most is not None and most < len(scenario.suppliers):
        loose = replace(scenario, most_suppliers=most + 1)
        yield Looser(
            "supplier_count", f"at most {counted(most, 'supplier')}", "one more", loose, len(base.bills) >= most
        )


def _of_minimum_order(scenario: Scenario, base: Plan, supplier: Supplier) -> Looser:
    """A lower minimum order of one supplier."""
    money = scenario.currency
    less = min(MINIMUM_LESS if money.digits else MINIMUM_LESS_WHOLE, supplier.minimum_order)
    goods = sum((bill.goods for bill in base.bills if bill.supplier == supplier.name), Decimal(0))
    lowered = replace(supplier, minimum_order=supplier.minimum_order - less)
    loose = replace(scenario, suppliers=tuple(lowered if one is supplier else one for one in scenario.suppliers))
    limit = f"{supplier.name}: orders of {money.text(supplier.minimum_order)} at least"
    return Looser("minimum_order", limit, f"{money.text(less)} less", loose, goods <= supplier.minimum_order + less)


def _of_stock(scenario: Scenario, base: Plan, offer: Offer) -> Looser:
    """A unit more of what there is little of, or a kilogram."""
    there, more = offer.available or 0, ceil(BY_WEIGHT_G / offer.unit_g) if offer.by_weight else 1
    loose = replace(
        scenario,
        offers=tuple(replace(one, available=there + more) if one is offer else one for one in scenario.offers),
    )
    bought = sum(line.units for line in base.lines if line.offer == offer.key)
    limit = f"{offer.supplier}: {offer.item}, {units_text(offer, there, scenario.weight_unit)} to be had"
    step = f"{units_text(offer, more, scenario.weight_unit)} more"
    return Looser("pack_count", limit, step, loose, bought + more > there)


def _of_variety(scenario: Scenario, base: Plan) -> Iterator[Looser]:
    """A species less; a little more of one."""
    wanted = scenario.variety
    fed = [dog for dog in scenario.dogs if dog.care is None]
    if wanted.least_species:
        limit = f"at least {wanted.least_species} species of {share_text(wanted.least_share)} each for every dog"
        loose = replace(scenario, variety=replace(wanted, least_species=wanted.least_species - 1))
        yield Looser("variety", limit, "one fewer", loose, is_near=True)
    if wanted.most_share < 1:
        most = min(wanted.most_share + SPECIES_POINTS, Fraction(1))
        subjects = [Subject(Measure.SPECIES, species) for species in scenario.species()]
        near = any(
            _share(scenario, base, dog, subject.share_in) >= wanted.most_share - SPECIES_POINTS
            for dog in fed
            for subject in subjects
        )
        loose = replace(scenario, variety=Variety(wanted.least_species, wanted.least_share, most))
        limit = f"no species above {share_text(wanted.most_share)}"
        yield Looser("variety", limit, _points(most - wanted.most_share, "more"), loose, near)


def _of_pieces(scenario: Scenario, base: Plan) -> Iterator[Looser]:
    """One cut divided that is fed in whole pieces; where dogs are many, the order does not depend on pieces."""
    fed = {portion.cut for portion in base.portions}
    for cut in scenario.cuts:
        if scenario.portioning.whole_piece_g(cut):
            divided = replace(scenario.portioning, divided=scenario.portioning.divided | {cut.name})
            loose = replace(scenario, portioning=divided)
            yield Looser(
                "whole_pieces",
                f"{cut.name} in whole pieces",
                "cut it up",
                loose,
                cut.name in fed and not scenario.solved_by_groups,
            )


def _capped(scenario: Scenario) -> Iterable[Subject]:
    """What dogs may eat some of, but not too much; of what they may eat none, they are given none."""
    return dict.fromkeys(cap.subject for dog in scenario.dogs for cap in dog.caps if cap.most)


def _of_cap(scenario: Scenario, base: Plan, subject: Subject) -> Looser:
    """A point more of what is capped, for all dogs that have the cap."""
    most = {dog.name: cap.most for dog in scenario.dogs for cap in dog.caps if cap.subject == subject and cap.most}

    def raised(cap: Cap) -> Cap:
        """The cap a point higher, if it is of that subject."""
        return Cap(subject, min(cap.most + POINT, Fraction(1))) if cap.subject == subject and cap.most else cap

    loose = _with_dogs(scenario, lambda dog: replace(dog, caps=tuple(map(raised, dog.caps))))
    near = any(
        _share(scenario, base, dog, subject.share_in) >= most[dog.name] - POINT
        for dog in scenario.dogs
        if dog.name in most
    )
    limit = f"{subject_text(subject)} at most {_bounds(most.values())} for {dogs_text(most)}"
    return Looser("cap", limit, _points(POINT, "more"), loose, near)


def _of_limit(scenario: Scenario, end: LimitEnd) -> Looser:
    """A twentieth less, or more where it is the most, of what a rule on nutrients asks."""
    is_most = end.end == "high"
    level = end.asked * (1 + LIMIT_PART if is_most else 1 - LIMIT_PART)
    loose = with_limit(scenario, end.limit, end.dogs, level, is_most=is_most)
    limit = f"{end_text(end.limit, end.asked, is_most=is_most)} for {dogs_text(end.dogs)}"
    step = f"{share_text(LIMIT_PART, 0)} {'more' if is_most else 'less'} of that"
    return Looser(end.rule, limit, step, loose, is_near=True)


def _of_part(scenario: Scenario, base: Plan, part: Part) -> Iterator[Looser]:
    """A point less at the low end, a point more at the high end of one part's range, for all dogs that get some."""
    targets = {dog.name: target for dog in scenario.dogs for target in dog.targets if target.part == part}
    shares = {
        dog.name: _share(scenario, base, dog, lambda cut: cut.part_share(part))
        for dog in scenario.dogs
        if dog.name in targets
    }
    lows = {name: target.low for name, target in targets.items() if target.low > 0}
    highs = {name: target.high for name, target in targets.items() if 0 < target.high < 1}
    if lows:
        loose = _with_ends(scenario, part, less=POINT, more=Fraction(0))
        near = any(shares[name] <= low + POINT for name, low in lows.items())
        limit = f"{part} at least {_bounds(lows.values())} for {dogs_text(lows)}"
        yield Looser("part_share", limit, _points(POINT, "less"), loose, near)
    if highs:
        loose = _with_ends(scenario, part, less=Fraction(0), more=POINT)
        near = any(shares[name] >= high - POINT for name, high in highs.items())
        limit = f"{part} at most {_bounds(highs.values())} for {dogs_text(highs)}"
        yield Looser("part_share", limit, _points(POINT, "more"), loose, near)


def _with_ends(scenario: Scenario, part: Part, *, less: Fraction, more: Fraction) -> Scenario:
    """The scenario with both ends of a part's range moved outwards."""

    def moved(target: Target) -> Target:
        """The target with both ends further out, if it is of that part."""
        if target.part != part:
            return target
        return Target(
            part,
            max(target.low - less, Fraction(0)),
            min(target.high + more, Fraction(1)) if target.high else target.high,
        )

    return _with_dogs(scenario, lambda dog: replace(dog, targets=tuple(map(moved, dog.targets))))


def _with_dogs(scenario: Scenario, change: Callable[[Dog], Dog]) -> Scenario:
    """The scenario with every dog changed."""
    return replace(scenario, dogs=tuple(map(change, scenario.dogs)))


def _share(scenario: Scenario, base: Plan, dog: Dog, share_in: Callable[[Cut], Fraction]) -> Fraction:
    """The share of what counts in what a dog eats; its grams are the plan's, as a ration in energy leaves them open."""
    eaten = [
        (share_in(scenario.cut(portion.cut)), portion.batch_g) for portion in base.portions if portion.dog == dog.name
    ]
    counted_g = sum((share * grams for share, grams in eaten), Fraction(0))
    return counted_g / (sum(grams for _, grams in eaten) or 1)


def _points(share: Fraction, which: str) -> str:
    """Points of a percentage, more or less: `1 percentage point more`."""
    return f"{counted(int(share * 100), 'percentage point')} {which}"


def _bounds(shares: Iterable[Fraction]) -> str:
    """One share, or the least and the most of several."""
    least, *more = sorted(set(shares))
    return f"{share_text(least)} to {share_text(more[-1])}" if more else share_text(least)
