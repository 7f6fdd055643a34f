"""Plain facts: what arithmetic on the lists shows before anything is solved."""

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from math import ceil

from raworder.cuts import Cut, Measure, Part, Subject
from raworder.reporting.words import counted, listed
from raworder.solving.groups import groups_of
from raworder.trade import Dog, Offer, Scenario, Supplier
from raworder.units import grams_text, share_text

MOST_NAMED = 4
"""More dogs than this are counted, not named."""

MOST_SUPPLIERS = 8
"""Among more suppliers than this it is not counted how few have everything."""


def plain_facts(scenario: Scenario) -> tuple[str, ...]:
    """Sentences, each with its numbers, about what stands in the way or makes it narrow."""
    return tuple(fact for tell in FACTS for fact in tell(scenario))


def dogs_text(names: Iterable[str]) -> str:
    """The dogs by name, or how many they are."""
    told = tuple(names)
    return counted(len(told), "dog") if len(told) > MOST_NAMED else listed(told)


def _fed(scenario: Scenario) -> tuple[Dog, ...]:
    return tuple(dog for dog in scenario.dogs if dog.batch_g)


def _text(scenario: Scenario, grams: int) -> str:
    return grams_text(grams, scenario.weight_unit)


def _there_g(scenario: Scenario, cut: str) -> Fraction | None:
    """All that there is of a cut, on hand and for sale; None where an offer has no end."""
    offers = [offer for offer in scenario.offers if offer.cut == cut]
    if any(offer.available is None for offer in offers):
        return None
    bought_g = sum((offer.unit_g * (offer.available or 0) for offer in offers), Fraction(0))
    return scenario.on_hand_g(cut) + bought_g


def _low(dog: Dog, part: Part) -> Fraction:
    return next((target.low for target in dog.targets if target.part is part), Fraction(0))


def _lacking_parts(scenario: Scenario) -> Iterator[str]:
    """Parts that are asked for and that nothing contains, or nothing that a dog may eat."""
    for part in Part:
        holding = [cut for cut in scenario.cuts if cut.part_share(part)]
        wanting = [dog for dog in _fed(scenario) if _low(dog, part)]
        without = [dog.name for dog in wanting if all(dog.avoids(cut) for cut in holding)]
        if without and not holding:
            yield f"Nothing on the lists or on hand contains {part}; {dogs_text(without)} must get some."
        elif without:
            cuts = listed([cut.name for cut in holding])
            yield f"{dogs_text(without)} must get {part} but must not eat any of the cuts that contain it: {cuts}."


def _too_little_of_parts(scenario: Scenario) -> Iterator[str]:
    """Parts of which less is there than all targets together ask for at least."""
    for part in Part:
        least_g = ceil(sum((_low(dog, part) * dog.batch_g for dog in _fed(scenario)), Fraction(0)))
        there = [(_there_g(scenario, cut.name), cut.part_share(part)) for cut in scenario.cuts if cut.part_share(part)]
        if least_g and there and all(grams is not None for grams, _ in there):
            there_g = int(sum(((grams or 0) * share for grams, share in there), Fraction(0)))
            if there_g < least_g:
                least, there_text = _text(scenario, least_g), _text(scenario, there_g)
                yield f"The dogs must get at least {least} of {part}; all that there is contains {there_text}."


def _high_ends_too_low(scenario: Scenario) -> Iterator[str]:
    """Dogs that may eat, by what each cut is richest in, only cuts too rich in a part for its range."""
    for part in Part:
        for target, names in _by_target(scenario, part).items():
            cuts = [cut for cut in scenario.cuts if not all(_dog(scenario, name).avoids(cut) for name in names)]
            shares = [cut.part_share(part) for cut in cuts]
            if shares and min(shares) > target:
                most, least = share_text(target), share_text(min(shares))
                yield f"{dogs_text(names)} must get at most {most} of {part}, but no cut has less than {least}."


def _by_target(scenario: Scenario, part: Part) -> dict[Fraction, list[str]]:
    found: dict[Fraction, list[str]] = {}
    for dog in _fed(scenario):
        for target in dog.targets:
            if target.part is part and target.high < 1:
                found.setdefault(target.high, []).append(dog.name)
    return found


def _dog(scenario: Scenario, name: str) -> Dog:
    return next(dog for dog in scenario.dogs if dog.name == name)


def _too_much_food(scenario: Scenario) -> Iterator[str]:
    """More food than the freezer holds, or than there is."""
    need_g = sum(dog.batch_g for dog in scenario.dogs)
    held_g = sum(lot.grams for lot in scenario.on_hand)
    need, room_g = _text(scenario, need_g), scenario.room_g
    if room_g is not None and held_g > room_g:
        yield f"What is on hand, {_text(scenario, held_g)}, is more than the freezer's room, {_text(scenario, room_g)}."
    elif room_g is not None and room_g < need_g:
        yield f"The dogs eat {need} over the batch, but the freezer holds only {_text(scenario, room_g)}."
    there = [_there_g(scenario, cut.name) for cut in scenario.cuts]
    if all(grams is not None for grams in there):
        there_g = int(sum((grams or Fraction(0) for grams in there), Fraction(0)))
        if there_g < need_g:
            yield f"The dogs eat {need} over the batch, but there is only {_text(scenario, there_g)}."


def _minimum_orders(scenario: Scenario) -> Iterator[str]:
    """Minimum orders above all that the dogs could eat from that supplier, at its dearest, or than it has at all."""
    need_g = sum(dog.batch_g for dog in scenario.dogs)
    for supplier in scenario.suppliers:
        offers = [offer for offer in scenario.offers if offer.supplier == supplier.name]
        if offers and supplier.minimum_order:
            most = min(_dearest(offers) * need_g, _all_there_is(offers, need_g))
            if most < supplier.minimum_order:
                yield _below_minimum(scenario, supplier, most)


def _below_minimum(scenario: Scenario, supplier: Supplier, most: Fraction) -> str:
    money = scenario.currency
    return (
        f"{supplier.name}: minimum order {money.text(supplier.minimum_order)}, but everything that the dogs eat costs "
        f"at most {money.text(money.rounded_up(most))} there."
    )


def _all_there_is(offers: Iterable[Offer], need_g: int) -> Fraction:
    """What all that a supplier has costs, of what has no end as much as the dogs eat."""
    units = ((offer, ceil(need_g / offer.unit_g) if offer.available is None else offer.available) for offer in offers)
    return sum((max(step.unit_price for step in offer.steps) * count for offer, count in units), Fraction(0))


def _dearest(offers: Iterable[Offer]) -> Fraction:
    return max(step.unit_price / offer.unit_g for offer in offers for step in offer.steps)


def _budget(scenario: Scenario) -> Iterator[str]:
    """A budget below what the food costs at the cheapest price there is."""
    need_g = sum(dog.batch_g for dog in scenario.dogs) - sum(lot.grams for lot in scenario.on_hand)
    prices = [step.unit_price / offer.unit_g for offer in scenario.offers for step in offer.steps]
    if scenario.budget is None or need_g <= 0 or not prices:
        return
    money, least = scenario.currency, min(prices) * need_g
    if least > scenario.budget:
        yield (
            f"The budget is {money.text(scenario.budget)}, but {_text(scenario, need_g)} of even the cheapest cut cost "
            f"{money.text(money.rounded_up(least))}."
        )
    dear = [one.name for one in scenario.suppliers if max(one.minimum_order, Decimal(0)) > scenario.budget]
    if dear and len(dear) == len(scenario.suppliers):
        yield f"The minimum order of every supplier is above the budget of {money.text(scenario.budget)}."


def _suppliers_needed(scenario: Scenario) -> Iterator[str]:
    """More suppliers than are allowed are needed for all parts that are asked for."""
    most, names = scenario.most_suppliers, [supplier.name for supplier in scenario.suppliers]
    if most is None or most >= len(names) or len(names) > MOST_SUPPLIERS:
        return
    sold = {part: _sellers(scenario, part) for part in Part if any(_low(dog, part) for dog in _fed(scenario))}
    needed = {part: sellers for part, sellers in sold.items() if sellers and not _is_on_hand(scenario, part)}
    if not any(all(sellers & set(some) for sellers in needed.values()) for some in combinations(names, most)):
        told = "; ".join(f"{part} from {listed(sorted(sellers))}" for part, sellers in needed.items())
        yield f"No {counted(most, 'supplier')} {'has' if most == 1 else 'have'} every part that is asked for: {told}."


def _sellers(scenario: Scenario, part: Part) -> frozenset[str]:
    return frozenset(offer.supplier for offer in scenario.offers if scenario.cut(offer.cut).part_share(part))


def _is_on_hand(scenario: Scenario, part: Part) -> bool:
    return any(scenario.cut(lot.cut).part_share(part) for lot in scenario.on_hand)


def _vet_amounts(scenario: Scenario) -> Iterator[str]:
    """What a veterinarian gave of cuts of which there is less."""
    given_g: dict[str, int] = {}
    for dog in scenario.dogs:
        for one in dog.vet_amounts:
            given_g[one.cut] = given_g.get(one.cut, 0) + one.batch_g
    known = {cut.name for cut in scenario.cuts}
    for cut, grams in given_g.items():
        there_g = _there_g(scenario, cut) if cut in known else Fraction(0)
        if there_g is not None and there_g < grams:
            there = (
                f"there is only {_text(scenario, int(there_g))}" if there_g else "nobody sells it and none is on hand"
            )
            yield f"The veterinarian gave {_text(scenario, grams)} of {cut}, but {there}."


def _pieces_too_large(scenario: Scenario) -> Iterator[str]:
    """Parts that come only in whole pieces too large for a bag of some dogs."""
    unfit = {dog.name: group.unfit for group in groups_of(scenario) for dog in group.dogs}
    for part in Part:
        stuck: dict[tuple[str, ...], list[str]] = {}
        for dog in _fed(scenario):
            holding = [cut for cut in scenario.cuts if cut.part_share(part) and not dog.avoids(cut)]
            if _low(dog, part) and holding and all(cut.name in unfit.get(dog.name, ()) for cut in holding):
                stuck.setdefault(tuple(_piece(scenario, cut) for cut in holding), []).append(dog.name)
        for pieces, names in stuck.items():
            yield f"{dogs_text(names)} must get {part}, but its pieces are too large for one bag: {listed(pieces)}."


def _piece(scenario: Scenario, cut: Cut) -> str:
    return f"{cut.name} of {_text(scenario, scenario.portioning.whole_piece_g(cut) or 0)}"


def _too_few_species(scenario: Scenario) -> Iterator[str]:
    """Fewer animal species that a dog may eat than variety asks for."""
    least = scenario.variety.least_species
    short: dict[tuple[str, ...], list[str]] = {}
    for dog in _fed(scenario):
        subjects = [(name, Subject(Measure.SPECIES, name)) for name in scenario.species()]
        cuts = [cut for cut in scenario.cuts if not dog.avoids(cut)]
        there = tuple(name for name, subject in subjects if any(subject.share_in(cut) for cut in cuts))
        if dog.care is None and len(there) < least:
            short.setdefault(there, []).append(dog.name)
    for there, names in short.items():
        has = f"only {listed(there)}" if there else "no animal species"
        yield f"{dogs_text(names)} must get {least} animal species, but may eat {has} of what there is."


FACTS: tuple[Callable[[Scenario], Iterator[str]], ...] = (
    _lacking_parts,
    _pieces_too_large,
    _too_little_of_parts,
    _high_ends_too_low,
    _too_few_species,
    _vet_amounts,
    _too_much_food,
    _minimum_orders,
    _budget,
    _suppliers_needed,
)
"""Everything that arithmetic is tried on, what the dogs are fed first."""
