"""Fourteen dogs in two groups, fed of four offers: every purchase is tried, and the plan's claim is held against them.

**Source:** counting out. Whether a purchase feeds both groups is decided by sums written here for these dogs alone: a
group as a whole eats whole necks, enough bone and liver, and the one that avoids beef eats mince in place of trim.
"""

from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from random import Random

import pytest

from raworder.solving.solver import Settings
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.dogs import Target
from raworder.trade.plan import Plan
from raworder.trade.scenario import Offer, Scenario
from raworder.workflow import plan_batch
from tests import builders as b
from tests.drawn import drawn, seeds
from tests.outside.test_random_rescues import keeps_its_word

DAYS, EACH = 4, 3
WHOLE_NECKS_COST_MORE = 4
"""The seed of a case in which whole necks make a dearer order."""

NECK_G, BONE = 60, Fraction(2, 5)
BONE_LOW, BONE_HIGH, LIVER_LOW, LIVER_HIGH = (Fraction(share, 100) for share in (8, 12, 4, 6))
TURKEY = b.a_cut("turkey mince", species="turkey", kind="mince")
CUTS = (b.NECK, b.TRIM, b.LIVER, TURKEY)
TARGETS = (Target(Part.BONE, BONE_LOW, BONE_HIGH), Target(Part.LIVER, LIVER_LOW, LIVER_HIGH))


def fourteen_dogs(seed: int) -> Scenario:
    """Nine dogs that eat all, five that avoid beef; two suppliers that charge for delivery, one with a minimum."""
    chance = Random(seed)
    beef = Subject(Measure.SPECIES, "beef")
    dogs = [
        b.a_dog(
            f"Dog {number:02}",
            daily_g=chance.randrange(500, 900, 20),
            days=DAYS,
            targets=TARGETS,
            avoid=(beef,) if number % 3 == 0 else (),
        )
        for number in range(14)
    ]
    price = chance.randrange(560, 720)
    offers = [
        b.an_offer("chicken neck", pack_g=chance.choice((1500, 2000)), price=f"{chance.randrange(320, 520) / 100:.2f}"),
        b.an_offer("lamb liver", pack_g=500, price=f"{chance.randrange(190, 260) / 100:.2f}"),
        b.an_offer(
            "beef trim",
            supplier=b.FENWICK,
            pack_g=2500,
            price=f"{2 * price / 100:.2f}",
            breaks={4: f"{2 * (price - 40) / 100:.2f}"},
        ),
        b.an_offer("turkey mince", supplier=b.FENWICK, pack_g=2000, price=f"{chance.randrange(960, 1300) / 100:.2f}"),
    ]
    suppliers = [
        b.a_supplier(b.HOLLOW_LANE, delivery="4.50", free_delivery_from=chance.choice((38, 46, 60))),
        b.a_supplier(b.FENWICK, delivery="9.80", minimum_order=60, free_delivery_from=chance.choice((120, 150))),
    ]
    return b.a_scenario(days=DAYS, dogs=dogs, cuts=CUTS, offers=offers, suppliers=suppliers)


@drawn()
def test_no_purchase_that_feeds_all_beats_what_a_plan_of_fourteen_dogs_claims(block: int) -> None:
    for seed in seeds(block, EACH):
        holds_against_all(fourteen_dogs(seed), seed)


@pytest.mark.slow
def test_a_purchase_that_only_parts_of_necks_would_make_do_is_not_the_cheapest() -> None:
    without_pieces, whole = holds_against_all(fourteen_dogs(WHOLE_NECKS_COST_MORE), WHOLE_NECKS_COST_MORE)
    assert (without_pieces, whole) == (Fraction("154.16"), Fraction("155.94"))


def holds_against_all(scenario: Scenario, label: object) -> tuple[Fraction, Fraction]:
    """Hold a plan's claim against every purchase; the cheapest in parts of pieces and in whole ones."""
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan), f"{label}: {plan}"
    without_pieces, whole = cheapest_of_all(scenario)
    keeps_its_word(scenario, plan, float(without_pieces), label)
    assert plan.proof.bound <= whole, f"{label}: an order for {whole} keeps pieces whole, {plan.proof} was claimed"
    if plan.proof.proved and not getattr(plan.proof, "near", False):
        assert plan.counted <= whole, f"{label}: proved for {plan.counted}, there is one for {whole}"
    assert plan.counted <= whole * Fraction(1002, 1000), f"{label}: {plan.counted}, there is one for {whole}"
    return without_pieces, whole


@pytest.mark.slow
def test_every_purchase_of_the_household_of_fourteen_is_tried_and_few_will_do() -> None:
    scenario = fourteen_dogs(1)
    tried = list(purchases(scenario))
    assert len(tried) > 1000
    feeding = [packs for packs in tried if feeds(scenario, packs, whole=True)]
    assert 0 < len(feeding) < len(tried)
    assert all(feeds(scenario, packs, whole=False) for packs in feeding)
    assert not feeds(scenario, (0, *tried[-1][1:]), whole=False), "there is no bone without necks"
    assert feeds(scenario, tried[-1], whole=True)


@pytest.mark.parametrize(("packs", "cents"), [((1, 0, 0, 0), 450), ((0, 0, 0, 0), 0)])
def test_delivery_is_charged_to_whom_anything_is_bought_from(packs: tuple[int, ...], cents: int) -> None:
    scenario = fourteen_dogs(1)
    neck = scenario.offers[0].steps[0].unit_price * packs[0]
    assert cost_of(scenario, packs) == neck + Fraction(cents, 100)


def test_a_minimum_that_is_not_reached_is_no_purchase() -> None:
    assert cost_of(fourteen_dogs(1), (0, 0, 1, 0)) is None


def cheapest_of_all(scenario: Scenario) -> tuple[Fraction, Fraction]:
    """What the cheapest purchase costs that feeds all in any amounts, and each group in whole necks."""
    costs = sorted((cost, packs) for packs in purchases(scenario) if (cost := cost_of(scenario, packs)) is not None)
    cheapest = (next(cost for cost, packs in costs if feeds(scenario, packs, whole=whole)) for whole in (False, True))
    return next(cheapest), next(cheapest)


def purchases(scenario: Scenario) -> Iterator[tuple[int, ...]]:
    """Every number of packs of each offer, up to a pack more than all dogs together could eat of it."""
    eaten_g = sum(dog.batch_g for dog in scenario.dogs)
    most_share = {"chicken neck": BONE_HIGH / BONE, "lamb liver": LIVER_HIGH}
    most = [int(eaten_g * most_share.get(offer.cut, Fraction(1)) / offer.unit_g) + 2 for offer in scenario.offers]
    yield from product(*(range(count + 1) for count in most))


def cost_of(scenario: Scenario, packs: tuple[int, ...]) -> Fraction | None:
    """Goods at the step of the price that the number of packs reaches, and delivery; None below a minimum order."""
    cost = Fraction(0)
    for supplier in scenario.suppliers:
        bought = [
            _goods(offer, count)
            for offer, count in zip(scenario.offers, packs, strict=True)
            if offer.supplier == supplier.name and count
        ]
        goods = sum(bought, Fraction(0))
        if bought and goods < supplier.minimum_order:
            return None
        is_free = supplier.free_delivery_from is not None and goods >= supplier.free_delivery_from
        cost += goods + (Fraction(supplier.delivery) if bought and not is_free else 0)
    return cost


def _goods(offer: Offer, count: int) -> Fraction:
    return count * [step.unit_price for step in offer.steps if step.at_least <= count][-1]


def feeds(scenario: Scenario, packs: tuple[int, ...], *, whole: bool) -> bool:
    """Whether there is a share of these packs for both groups.

    As little neck as will do leaves most meat to be found, so every number of necks is tried; of liver as much is fed
    as there is and the ranges take, first to whom beef is none.
    """
    held_g = {offer.cut: offer.unit_g * count for offer, count in zip(scenario.offers, packs, strict=True)}
    anything_g = sum(dog.batch_g for dog in scenario.dogs if not dog.avoid)
    no_beef_g = sum(dog.batch_g for dog in scenario.dogs if dog.avoid)
    if held_g["lamb liver"] < LIVER_LOW * (anything_g + no_beef_g):
        return False
    liver_g = min(Fraction(held_g["lamb liver"]), LIVER_HIGH * (anything_g + no_beef_g))
    no_beef_liver_g = min(LIVER_HIGH * no_beef_g, liver_g - LIVER_LOW * anything_g)
    for first, second in _necks_g(anything_g, no_beef_g, held_g["chicken neck"], whole=whole):
        others_mince_g = no_beef_g - second - no_beef_liver_g
        meat_g = anything_g + no_beef_g - first - second - liver_g
        if others_mince_g <= held_g["turkey mince"] and meat_g <= held_g["turkey mince"] + held_g["beef trim"]:
            return True
    return False


def _necks_g(anything_g: int, no_beef_g: int, held_g: int, *, whole: bool) -> Iterator[tuple[Fraction, Fraction]]:
    """Grams of neck that each group may eat: whole necks, or the most that there is, shared in the ways that matter."""
    ends = [(BONE_LOW * grams / BONE, BONE_HIGH * grams / BONE) for grams in (anything_g, no_beef_g)]
    if whole:
        counts = [range(-int(-low // NECK_G), int(high // NECK_G) + 1) for low, high in ends]
        necks = held_g // NECK_G
        for second in counts[1]:
            first = min(necks - second, counts[0][-1])  # all that are left: more neck never leaves more to be found
            if first >= counts[0][0]:
                yield Fraction(first * NECK_G), Fraction(second * NECK_G)
    elif held_g >= ends[0][0] + ends[1][0]:
        second = min(ends[1][1], held_g - ends[0][0])
        yield min(ends[0][1], held_g - second), second
