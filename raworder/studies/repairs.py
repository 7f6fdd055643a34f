"""Repairs: the cheapest order where one thing is not to be had and all else on the list is bought already."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from math import ceil
from time import monotonic

from raworder.plan import NoPlan, Plan
from raworder.receipt import Missed
from raworder.reporting.words import listed
from raworder.rulebook import ROUNDING_G
from raworder.solving.bought_already import BoughtAlready, Units
from raworder.solving.missing import least_missing
from raworder.solving.search import Wanted
from raworder.solving.solver import Settings
from raworder.studies.orders import order_before_sharing
from raworder.trade import Offer, Scenario
from raworder.units import grams_text

TOO_LITTLE = "no substitute on these lists: the rest holds too little that the dogs may eat"
FORBIDDEN = "no substitute on these lists: {limits} in the way"
"""Why there is no repair, where no range is missed."""

FEW_THINGS = 3
"""Nobody gathers more different things in a cold store; only where no so few do, more are told."""


@dataclass(frozen=True, slots=True)
class Repair:
    """What is bought instead, beyond what was planned, and what the whole order costs then.

    `total` is None where no order does; then `missed` are the ranges that must be missed, by as few grams as can be
    all together, and `why` tells what else there is to say. `packs` are all the packs of supplements that are bought.
    """

    instead: Units = ()
    total: Decimal | None = None
    proved: bool = True
    missed: tuple[Missed, ...] = ()
    why: str = ""
    packs: Units = ()


MORE_BY_ENERGY = 10
"""Where grams are free, a dog is taken to eat no more than so many times the least that holds its energy."""


def repair(scenario: Scenario, planned: Units, gone: tuple[str, ...], settings: Settings) -> Repair:
    """The cheapest repair where nothing of the offers `gone` is to be had, but for what is `planned` of them.

    It buys few different things, unless no few things do.
    """
    began, there = monotonic(), _without(scenario, dict(planned), gone)
    order = order_before_sharing(there, settings, Wanted(also=BoughtAlready(planned, FEW_THINGS)), handy=False)
    if isinstance(order, NoPlan):
        order = order_before_sharing(
            there, settings.left_since(began), Wanted(also=BoughtAlready(planned)), handy=False
        )
    if isinstance(order, Plan):
        packs = tuple((line.offer, line.units) for line in order.supplement_lines)
        return Repair(tuple(_beyond(scenario, order, dict(planned))), order.total, order.proof.proved, packs=packs)
    if isinstance(order, NoPlan):
        return _missed(scenario, dict(planned), gone, settings.left_since(began))
    return Repair(proved=False, why=f"no answer: {order.why}")


def _without(scenario: Scenario, planned: Mapping[str, int], gone: Collection[str]) -> Scenario:
    """The scenario in which some offers are gone and money is no limit.

    What is planned of an offer cut to the gram was rounded up, and has that gram's room.
    """
    to_be_had = (offer for offer in scenario.offers if offer.key in planned or offer.key not in gone)
    offers = tuple(_left(offer, planned, gone) for offer in to_be_had)
    room_g = None if scenario.room_g is None else scenario.room_g + ROUNDING_G * len(planned)
    return replace(scenario, offers=offers, budget=None, room_g=room_g)


def _left(offer: Offer, planned: Mapping[str, int], gone: Collection[str]) -> Offer:
    """The offer; where it is gone, no more of it than planned."""
    return replace(offer, available=planned[offer.key]) if offer.key in gone else offer


def _beyond(scenario: Scenario, order: Plan, planned: Mapping[str, int]) -> Iterator[tuple[str, int]]:
    """What an order buys beyond what was planned; a gram more of what is cut to the gram is rounding."""
    offers = {offer.key: offer for offer in scenario.offers}
    for line in order.lines:
        more = line.units - planned.get(line.offer, 0)
        is_rounding = line.offer in planned and offers[line.offer].to_the_gram and more <= ROUNDING_G
        if more > 0 and not is_rounding:
            yield line.offer, more


def _missed(scenario: Scenario, planned: Mapping[str, int], gone: Collection[str], settings: Settings) -> Repair:
    """What must be missed with what is bought and everything else that can be had; or why else there is no repair."""
    there = _all_of_it(_without(scenario, planned, gone))
    missed = least_missing(there, settings)
    if missed:
        return Repair(missed=missed)
    return Repair(why=_forbidden(scenario) if missed is not None else _given(scenario, there, gone) or TOO_LITTLE)


def _forbidden(scenario: Scenario) -> str:
    """That a limit of the scenario is in the way; of several it is not known which."""
    limits = {
        "a minimum order": any(supplier.minimum_order for supplier in scenario.suppliers),
        "the room": scenario.room_g is not None,
        "the number of suppliers": scenario.most_suppliers is not None,
        "what is whole in packs and pieces": True,
    }
    found = [says for says, is_set in limits.items() if is_set]
    return FORBIDDEN.format(limits=f"{' or '.join(found)} is")


def _given(scenario: Scenario, there: Scenario, gone: Collection[str]) -> str:
    """That a veterinarian gave a dog something of which there is too little, where that is so."""
    sold = {offer.cut for offer in there.offers}
    cuts = dict.fromkeys(scenario.offer(key).cut for key in gone)
    needs = [
        f"{dog.name} must get {grams_text(one.batch_g, scenario.weight_unit)} of {one.cut}"
        for dog in scenario.dogs
        for one in dog.vet_amounts
        if one.cut in cuts and one.cut not in sold and scenario.on_hand_g(one.cut) < one.batch_g
    ]
    return f"ask the veterinarian, who said that {listed(needs)}" if needs else ""


def _all_of_it(scenario: Scenario) -> Scenario:
    """The scenario in which all on the lists is bought, as much as there is or as can be eaten, with no limit."""
    fed_g = sum(dog.batch_g * (MORE_BY_ENERGY if dog.free_grams else 1) for dog in scenario.dogs)
    return replace(
        scenario,
        offers=tuple(
            replace(one, bought=ceil(fed_g / one.unit_g) if one.available is None else one.available)
            for one in scenario.offers
        ),
        suppliers=tuple(replace(one, minimum_order=Decimal(0)) for one in scenario.suppliers),
        room_g=None,
        most_suppliers=None,
    )
