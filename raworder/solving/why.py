"""Why there is no plan: each rule that may give way is left out alone, and the scenario solved again.

What a dog must not eat and the amount of food are never left out.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil
from time import monotonic

from raworder.cuts import Cut, Part, Subject
from raworder.plan import MILLION, Allocation, NoPlan, Reason, Unsolved
from raworder.solving.cheapest import cheapest
from raworder.solving.search import ANY_CHEAPEST
from raworder.solving.solver import Settings
from raworder.trade import Cap, Dog, Scenario, Supplier, Target, Variety
from raworder.units import grams_text, share_text

ShareIn = Callable[[Cut], Fraction]


@dataclass(frozen=True, slots=True)
class _Loosened:
    """A scenario with one demand left out; `tell` says what a plan then shows about it."""

    rule: str
    demand: str
    scenario: Scenario
    tell: Callable[[Allocation], str]


def why_not(scenario: Scenario, settings: Settings) -> NoPlan:
    """The rules each of which, left out alone, opens a plan: stock and money first, then what the dogs are fed."""
    began, reasons, tried_all = monotonic(), [], True
    for loosened in _all_loosened(scenario):
        found = cheapest(loosened.scenario, settings.left_since(began), ANY_CHEAPEST)
        tried_all = tried_all and not isinstance(found, Unsolved)
        if isinstance(found, Allocation):
            without_it = f"{loosened.tell(found)}; {_price(loosened, found)}"
            reasons.append(Reason(loosened.rule, loosened.demand, without_it))
    return NoPlan(tuple(reasons), tuple(_facts(scenario)), tried_all)


def _facts(scenario: Scenario) -> Iterator[str]:
    """Parts that are asked for and that some dogs can get from no cut; more food than the freezer holds."""
    for part in Part:
        lacking = _lacking(scenario, part, _lows(scenario, part))
        if lacking:
            yield lacking
    need_g = sum(dog.batch_g for dog in scenario.dogs)
    for limit_g, says in ((scenario.room_g, "the freezer holds only"), (_there_g(scenario), "there is only")):
        if limit_g is not None and limit_g < need_g:
            need, limit = (grams_text(grams, scenario.weight_unit) for grams in (need_g, limit_g))
            yield f"The dogs eat {need} over the batch, but {says} {limit}."


def _there_g(scenario: Scenario) -> int | None:
    """All that is on hand and for sale; None where an offer has no end."""
    held_g = sum(lot.grams for lot in scenario.on_hand)
    if any(offer.available is None for offer in scenario.offers):
        return None
    return held_g + sum(offer.grams(offer.available or 0) for offer in scenario.offers)


def _price(loosened: _Loosened, found: Allocation) -> str:
    """What the cheapest order then costs, or the least it can cost where the time limit came first.

    Beside a budget it is rounded up: no price may read as if it were within the budget that it exceeds.
    """
    money = loosened.scenario.currency
    rounded = money.rounded_up if loosened.rule == "budget" else money.rounded
    least = "the cheapest order costs" if found.proof.proved else "an order costs at least"
    return f"{least} {money.text(rounded(found.proof.bound))}"


def _all_loosened(scenario: Scenario) -> Iterator[_Loosened]:
    """Every demand that may give way, left out alone."""
    yield from _of_money_and_room(scenario)
    yield from (_of_minimum_order(scenario, supplier) for supplier in scenario.suppliers if supplier.minimum_order)
    yield from _of_stock(scenario)
    yield from _of_variety(scenario)
    yield from _of_pieces(scenario)
    for subject in dict.fromkeys(cap.subject for dog in scenario.dogs for cap in dog.caps):
        yield _of_cap(scenario, subject)
    for part in Part:
        yield from _of_part(scenario, part)


def _of_money_and_room(scenario: Scenario) -> Iterator[_Loosened]:
    """Without the budget, the freezer's room, or the limit on suppliers."""
    if scenario.budget is not None:
        demand = f"the order costs at most {scenario.currency.text(scenario.budget)}"
        yield _Loosened("budget", demand, replace(scenario, budget=None), lambda _: "more must be spent")
    if scenario.room_g is not None:
        demand = f"all that must be kept frozen fits {grams_text(scenario.room_g, scenario.weight_unit)}"
        yield _Loosened("room", demand, replace(scenario, room_g=None), lambda found: _stored(scenario, found))
    if scenario.most_suppliers is not None:
        demand = f"at most {scenario.most_suppliers} suppliers are used"
        loose = replace(scenario, most_suppliers=None)
        yield _Loosened("supplier_count", demand, loose, lambda found: _used(scenario, found))


def _of_minimum_order(scenario: Scenario, supplier: Supplier) -> _Loosened:
    """Without the minimum order of one supplier."""
    demand = f"{supplier.name} gets an order of at least {scenario.currency.text(supplier.minimum_order)}"
    changed = (replace(one, minimum_order=Decimal(0)) if one is supplier else one for one in scenario.suppliers)
    loose = replace(scenario, suppliers=tuple(changed))
    return _Loosened("minimum_order", demand, loose, lambda _: "a smaller order is enough")


def _of_stock(scenario: Scenario) -> Iterator[_Loosened]:
    """With as much of everything as is wanted."""
    if any(offer.available is not None for offer in scenario.offers):
        loose = replace(scenario, offers=tuple(replace(offer, available=None) for offer in scenario.offers))
        demand = "no more is bought than the suppliers have"
        yield _Loosened("pack_count", demand, loose, lambda found: _wanted(scenario, found))


def _of_variety(scenario: Scenario) -> Iterator[_Loosened]:
    """Without the demand for variety."""
    if scenario.variety != Variety():
        wanted = scenario.variety
        demand = (
            f"at least {wanted.least_species} species of {share_text(wanted.least_share)} each, "
            f"none above {share_text(wanted.most_share)}"
        )
        yield _Loosened("variety", demand, replace(scenario, variety=Variety()), lambda _: "fewer species are enough")


def _of_pieces(scenario: Scenario) -> Iterator[_Loosened]:
    """With every cut divided."""
    whole = frozenset(cut.name for cut in scenario.cuts if scenario.portioning.whole_piece_g(cut))
    if whole:
        divided = replace(scenario.portioning, divided=scenario.portioning.divided | whole)
        demand = "cuts with bone in them are fed in whole pieces that fit a bag"
        loose = replace(scenario, portioning=divided)
        yield _Loosened("whole_pieces", demand, loose, lambda found: _cut_up(scenario, found))


def _cut_up(scenario: Scenario, found: Allocation) -> str:
    """What would be fed that is fed whole otherwise."""
    whole = {cut.name for cut in scenario.cuts if scenario.portioning.whole_piece_g(cut)}
    fed = sorted({cut for _, cut in found.eaten_ug if cut in whole})
    return f"`divided: [{', '.join(fed)}]` lets them be cut up" if fed else "other cuts are fed"


def _of_cap(scenario: Scenario, subject: Subject) -> _Loosened:
    """Without the cap on one subject, for all dogs."""
    limited = {dog.name: cap.most for dog in scenario.dogs for cap in dog.caps if cap.subject == subject}
    loose = _with_dogs(scenario, lambda dog: replace(dog, caps=_without(dog.caps, subject)))
    what = subject.word or subject.measure
    demand = f"{what} at most {_bounds(limited.values())} for {_names(limited)}"
    return _Loosened(
        "cap", demand, loose, lambda found: f"{what} is {_given(scenario, found, limited, subject.share_in)}"
    )


def _without(caps: tuple[Cap, ...], subject: Subject) -> tuple[Cap, ...]:
    return tuple(cap for cap in caps if cap.subject != subject)


def _of_part(scenario: Scenario, part: Part) -> Iterator[_Loosened]:
    """Without the low end, or without the high end, of one part's range, for all dogs; muscle takes up the rest."""
    asked = {dog.name: target for dog in scenario.dogs for target in dog.targets if target.part == part}
    lows = _lows(scenario, part)
    highs = {name: target.high for name, target in asked.items() if target.high < 1}

    def tell(found: Allocation) -> str:
        return f"{part} is {_given(scenario, found, asked, lambda cut: cut.part_share(part))}"

    if lows:
        demand = f"{part} at least {_bounds(lows.values())} for {_names(lows)}"
        yield _Loosened("part_share", demand, _with_range(scenario, part, low=Fraction(0)), tell)
    if highs:
        demand = f"{part} at most {_bounds(highs.values())} for {_names(highs)}"
        yield _Loosened("part_share", demand, _with_range(scenario, part, high=Fraction(1)), tell)


def _lows(scenario: Scenario, part: Part) -> dict[str, Fraction]:
    """The least share of a part that each dog must get, for those that must get some."""
    targets = ((dog.name, target) for dog in scenario.dogs for target in dog.targets)
    return {name: target.low for name, target in targets if target.part == part and target.low > 0}


def _lacking(scenario: Scenario, part: Part, wanting: Mapping[str, Fraction]) -> str:
    """That there is nothing of a part for dogs that must get some; nothing to say where there is."""
    holding = [cut for cut in scenario.cuts if cut.part_share(part)]
    dogs = [dog for dog in scenario.dogs if dog.name in wanting]
    without = [dog.name for dog in dogs if all(dog.avoids(cut) for cut in holding)]
    if not without:
        return ""
    if not holding:
        return f"Nothing on the lists or on hand contains {part}; {_names(without)} must get some."
    cuts = ", ".join(cut.name for cut in holding)
    return f"{_names(without)} must get {part} but must not eat any of the cuts that contain it: {cuts}."


def _with_range(
    scenario: Scenario, part: Part, *, low: Fraction | None = None, high: Fraction | None = None
) -> Scenario:
    """The scenario with another low or high end of one part's range, and the other end of muscle's given free."""

    def moved(target: Target) -> Target:
        if target.part == part:
            return Target(part, target.low if low is None else low, target.high if high is None else high)
        if target.part == Part.MUSCLE:
            return Target(
                Part.MUSCLE, target.low if high is None else Fraction(0), target.high if low is None else Fraction(1)
            )
        return target

    return _with_dogs(scenario, lambda dog: replace(dog, targets=tuple(map(moved, dog.targets))))


def _with_dogs(scenario: Scenario, change: Callable[[Dog], Dog]) -> Scenario:
    return replace(scenario, dogs=tuple(map(change, scenario.dogs)))


def _given(scenario: Scenario, found: Allocation, names: Iterable[str], share_in: ShareIn) -> str:
    """The shares that dogs are given, as one number or from the least to the most."""
    cuts = {cut.name: share_in(cut) for cut in scenario.cuts}
    batch_g = {dog.name: dog.batch_g for dog in scenario.dogs if dog.name in set(names)}
    counted_ug = dict.fromkeys(batch_g, Fraction(0))
    for (dog, cut), amount in found.eaten_ug.items():
        if dog in counted_ug:
            counted_ug[dog] += cuts[cut] * amount
    return _bounds(amount / (batch_g[dog] * MILLION) for dog, amount in counted_ug.items() if batch_g[dog])


def _bounds(shares: Iterable[Fraction]) -> str:
    """One share, or the least and the most of several."""
    told = sorted({share_text(share): share for share in shares}.items(), key=lambda pair: pair[1])
    return told[0][0] if len(told) == 1 else f"{told[0][0]} to {told[-1][0]}"


def _names(dogs: Iterable[str]) -> str:
    """The dogs by name, or how many they are."""
    names = tuple(dogs)
    return f"{len(names)} dogs" if len(names) > 4 else ", ".join(names)


def _stored(scenario: Scenario, found: Allocation) -> str:
    """What the freezer would have to hold."""
    bought = sum((scenario.offer(key).unit_g * units for key, units in found.bought_millionths.items()), Fraction(0))
    grams = sum(lot.grams for lot in scenario.on_hand) + ceil(bought / MILLION)
    return f"{grams_text(grams, scenario.weight_unit)} must fit"


def _used(scenario: Scenario, found: Allocation) -> str:
    """How many suppliers would be used."""
    return f"{len({scenario.offer(key).supplier for key in found.bought_millionths})} suppliers are used"


def _wanted(scenario: Scenario, found: Allocation) -> str:
    """What more of would be bought than there is."""
    over = [
        offer.item or offer.cut
        for offer in scenario.offers
        if offer.available is not None and found.bought_millionths.get(offer.key, 0) > offer.available * MILLION
    ]
    return f"more of {', '.join(over)} is bought" if over else "other amounts are bought"
