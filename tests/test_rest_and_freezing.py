"""Energy at rest and freezing first in whole batches, before and after the shop, for dogs of every kind.

**Source:** arithmetic; sums stand beside the numbers. All dogs, prices, analyses and receipts are invented.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from raworder.auditing.checks import audit
from raworder.giving_way.family import one_step_looser
from raworder.reading.rations import least_day_g
from raworder.replanning import ReplanResult, replan_batch
from raworder.solving.cheapest import cheapest
from raworder.solving.groups import groups_of
from raworder.solving.solver import Settings
from raworder.trade.bags import Portioning, Working
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog, EnergyRation, OtherFood
from raworder.trade.plan import Allocation, NoPlan, Plan
from raworder.trade.purchase import (
    Receipt,
    Way,
    drop_nutrient_rules,
    fix_planned_amounts,
    food_g,
    full_receipt,
    planned_amounts,
)
from raworder.trade.scenario import OnHand, Scenario
from raworder.workflow import plan_batch
from tests import builders as b

# 2.5 and 1 kcal a gram; the rich one is the dear one
RICH = b.with_energy(b.TRIM, 250)
LEAN = b.with_energy(b.a_cut("lamb shoulder", species="lamb", kind="shoulder"), 100)
PORK = b.with_raw_pork(b.a_cut("pork shoulder", species="pork", kind="shoulder"))
PRICES = {RICH.name: "6.00", LEAN.name: "3.00", PORK.name: "2.00", b.HEART.name: "4.00"}
LONG_AGO = b.STARTS - timedelta(60)


def fed(*dogs: Dog, cuts: Iterable[Cut] = (RICH, LEAN), **more: Any) -> Scenario:
    """These dogs, fed from cuts by weight."""
    offers = [b.an_offer_by_weight(cut.name, key=cut.name, price_per_kg=PRICES[cut.name]) for cut in cuts]
    return b.a_scenario(dogs=dogs, cuts=tuple(cuts), offers=offers, **more)


def planned(scenario: Scenario) -> Plan:
    """The plan, which breaks no rule."""
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan), plan
    return plan


def kcal_a_day(scenario: Scenario, plan: Plan, dog: str = "Maple") -> Fraction:
    """The known energy that a dog eats on a day that it is fed."""
    days = next(one.days for one in scenario.dogs if one.name == dog)
    held = ((cut.kcal_per_g or 0) * plan.eaten_g(dog, cut.name) for cut in scenario.cuts)
    return sum(held, Fraction(0)) / days


@pytest.mark.parametrize(
    ("dog", "from_plan"),
    [
        # 500 g of the lean one hold 500 kcal; so much is needed of the rich one that all hold 900
        (b.a_dog(resting_kcal=900), 900),
        (b.a_dog(resting_kcal=None), 500),
        (replace(b.a_dog(resting_kcal=900), resting_share=Fraction(0)), 500),
        (replace(b.a_dog(resting_kcal=900), other_food=OtherFood(Fraction(150))), 750),
        (replace(b.a_dog(resting_kcal=1500), other_food=OtherFood(as_much=True)), 750),
        (replace(b.a_dog(resting_kcal=900), other_food=OtherFood(Fraction(900))), 500),
        (replace(b.a_dog(resting_kcal=900), other_food=OtherFood(Fraction(3000))), 500),
        (b.a_dog(resting_kcal=900, puppy=True), 900),
    ],
)
def test_a_dog_gets_what_it_needs_at_rest_from_all_that_it_eats(dog: Dog, from_plan: int) -> None:
    scenario = fed(dog)
    assert abs(kcal_a_day(scenario, planned(scenario)) - from_plan) < 1


def test_days_away_are_no_days_of_rest_to_be_made_up_for() -> None:
    """Ten of fourteen days: 500 g and 900 kcal on each of them."""
    dog = b.a_dog(resting_kcal=900, days=10, day_g=(500,) * 5 + (0,) * 4 + (500,) * 5)
    scenario = fed(dog)
    plan = planned(scenario)
    assert sum(portion.batch_g for portion in plan.portions) == 5_000
    assert abs(kcal_a_day(scenario, plan) - 900) < 1


@pytest.mark.parametrize("cuts", [(b.TRIM, b.HEART), (RICH, b.HEART)], ids=["nothing known", "half known"])
def test_food_of_unknown_energy_is_taken_to_hold_what_is_asked(cuts: tuple[Cut, ...]) -> None:
    """No rule where nothing is known; else what is known must hold its part: 2.5 kcal a gram are more than 1.8."""
    scenario = fed(b.a_dog(resting_kcal=900), cuts=cuts)
    assert planned(scenario).eaten_g("Maple", b.HEART.name) == 7_000
    lean = fed(b.a_dog(resting_kcal=900), cuts=(LEAN, b.HEART))
    assert planned(lean).eaten_g("Maple", LEAN.name) == 0


def by_energy(kcal: int, *, resting: int, treats: int = 0) -> Dog:
    """Maple with a ration in energy, less treats."""
    energy = EnergyRation((Fraction(kcal),) * 14)
    dog = replace(b.a_dog(resting_kcal=resting), energy=energy, treats_kcal=Fraction(treats))
    day_g = least_day_g(dog, energy, (RICH, LEAN))
    return replace(dog, day_g=day_g, batch_g=sum(day_g))


@pytest.mark.parametrize(
    ("dog", "can_be_fed"),
    [
        (by_energy(662, resting=662), True),
        (by_energy(661, resting=662), False),
        (by_energy(622, resting=662, treats=40), True),
        (by_energy(621, resting=662, treats=40), False),
        (replace(by_energy(300, resting=662), other_food=OtherFood(Fraction(362))), True),
        (replace(by_energy(331, resting=662), other_food=OtherFood(as_much=True)), True),
        (replace(by_energy(330, resting=662), other_food=OtherFood(as_much=True)), False),
    ],
    ids=["at rest", "less", "with treats", "less with treats", "with other food", "half", "less than half"],
)
def test_a_ration_in_energy_is_enough_from_just_what_is_needed_at_rest(dog: Dog, *, can_be_fed: bool) -> None:
    assert isinstance(plan_batch(fed(dog), Settings()), Plan if can_be_fed else NoPlan)


def test_after_the_shop_treats_still_count_and_a_ration_just_at_rest_is_fed_as_planned() -> None:
    scenario = fed(by_energy(622, resting=662, treats=40))
    plan = planned(scenario)
    (dog,) = fix_planned_amounts(scenario, planned_amounts(plan)).dogs
    assert (dog.energy, dog.treats_kcal) == (None, 40)
    assert 622 * 14 * Fraction(999, 1000) < dog.resting_due_kcal <= 622 * 14
    found, after = replanned(scenario, more(full_receipt(scenario, plan), 30))
    assert found.after is not None
    assert found.after.enough
    assert {portion.cut: portion.batch_g for portion in after.portions} == {
        portion.cut: portion.batch_g for portion in plan.portions
    }


def more(receipt: Receipt, grams: int) -> Receipt:
    """The receipt on which every line weighs so much more."""
    return replace(receipt, lines=tuple(replace(line, grams=line.grams + grams) for line in receipt.lines))


def replanned(scenario: Scenario, receipt: Receipt, *, as_it_is: bool = False) -> tuple[ReplanResult, Plan]:
    """What comes of a receipt, a plan that breaks no rule."""
    found = replan_batch(scenario, receipt, Settings(), as_it_is=as_it_is)
    assert isinstance(found.answer, Plan), found.answer
    assert audit(found.scenario, found.answer) == ()
    return found, found.answer


def only(receipt: Receipt, cut: str, grams: int) -> Receipt:
    """The receipt on which there is this cut alone, so much of it."""
    return replace(receipt, lines=tuple(replace(line, grams=grams) for line in receipt.lines if line.cut == cut))


def test_after_the_shop_energy_at_rest_gives_way_to_what_there_is_and_that_is_told() -> None:
    scenario = fed(b.a_dog(resting_kcal=900))
    receipt = only(full_receipt(scenario, planned(scenario)), LEAN.name, 7_000)
    found, plan = replanned(scenario, receipt, as_it_is=True)
    assert found.purchase is not None
    assert found.purchase.way is Way.AS_IT_IS
    assert plan.eaten_g("Maple", LEAN.name) == 7_000
    assert any("less energy than is needed at rest is fed to Maple" in remark for remark in plan.remarks)
    assert drop_nutrient_rules(scenario).dogs[0].resting_due_kcal == 0


def test_after_the_shop_richer_food_is_fetched_where_the_dog_would_get_too_little() -> None:
    scenario = fed(b.a_dog(resting_kcal=900))
    receipt = only(full_receipt(scenario, planned(scenario)), LEAN.name, 7_000)
    found, plan = replanned(scenario, receipt)
    assert found.purchase is not None
    assert found.purchase.way is Way.FETCH
    assert kcal_a_day(found.scenario, plan) >= 899


def test_after_the_shop_less_than_at_rest_is_fed_only_where_nothing_richer_is_to_be_had() -> None:
    scenario = fed(b.a_dog(resting_kcal=900))
    receipt = only(full_receipt(scenario, planned(scenario)), LEAN.name, 3_000)
    gone = tuple(offer.key for offer in scenario.offers if offer.cut == RICH.name)
    found, plan = replanned(scenario, replace(receipt, none_left=gone))
    assert found.purchase is not None
    assert found.purchase.way is Way.FETCH_HUNGRY
    assert kcal_a_day(found.scenario, plan) < 899
    assert any("less energy than is needed at rest" in remark for remark in plan.remarks)


def test_nothing_is_told_of_rest_where_the_dog_gets_it_all_the_same() -> None:
    """5 kg of the rich cut in place of 7 kg of food hold 12500 kcal, 893 a day, of the 700 that are needed."""
    scenario = fed(b.a_dog(resting_kcal=700))
    receipt = only(full_receipt(scenario, planned(scenario)), RICH.name, 5_000)
    _, plan = replanned(scenario, receipt, as_it_is=True)
    assert not any("at rest" in remark for remark in plan.remarks)


def test_a_twentieth_less_at_rest_is_worth_the_rich_food_that_it_spares() -> None:
    """Of 7 kg, 3.734 kg are rich for 900 kcal a day, 32.20; for 855 kcal 3.314 kg, 30.94."""
    scenario = fed(b.a_dog(resting_kcal=900))
    base = planned(scenario)
    (step,) = [looser for looser in one_step_looser(scenario, base) if looser.rule == "resting_energy"]
    assert (base.total, planned(step.scenario).total) == (Decimal("32.20"), Decimal("30.94"))


def test_pork_that_still_waits_is_no_food_after_the_shop() -> None:
    scenario = fed(b.a_dog(), cuts=(RICH, PORK), on_hand=(OnHand(PORK.name, 500), OnHand(RICH.name, 300)))
    assert food_g(scenario) == 300
    assert food_g(replace(scenario, hold_days=None)) == 800


@pytest.mark.parametrize("as_it_is", [False, True])
def test_after_the_shop_pork_that_is_not_frozen_is_not_fed(*, as_it_is: bool) -> None:
    """Frozen pork was planned, and fresh pork is on the receipt: a line that no offer stands behind."""
    plain = fed(b.a_dog(), cuts=(RICH, PORK))
    scenario = replace(plain, offers=tuple(replace(one, frozen_days=20) for one in plain.offers))
    receipt = full_receipt(scenario, planned(scenario))
    (line,) = receipt.lines
    fresh = replace(receipt, lines=(replace(line, offer=""),))
    offers = scenario.offers if not as_it_is else tuple(one for one in scenario.offers if one.cut == RICH.name)
    found = replan_batch(replace(scenario, offers=offers), fresh, Settings(), as_it_is=as_it_is)
    answer = found.answer
    eaten_g = answer.eaten_g("Maple", PORK.name) if isinstance(answer, Plan) else 0
    held = [offer for offer in found.scenario.offers if offer.cut == PORK.name and offer.bought]
    assert all(found.scenario.waits(offer) for offer in held)
    fetched = sum(line.units for line in getattr(answer, "lines", ()) if "to fetch" in line.offer)
    assert eaten_g <= fetched


def test_frozen_pork_that_was_bought_stays_frozen_after_the_shop() -> None:
    plain = fed(b.a_dog(), cuts=(RICH, PORK))
    scenario = replace(plain, offers=tuple(replace(one, frozen_days=20) for one in plain.offers))
    found, plan = replanned(scenario, more(full_receipt(scenario, planned(scenario)), 40))
    assert found.after is not None
    assert found.after.enough
    assert plan.eaten_g("Maple", PORK.name) == 7_000


@pytest.mark.parametrize(
    ("frozen_on", "fed_g"),
    # bags are filled on 5 February, and pork must be frozen for 20 days
    [(None, 0), (date(2027, 1, 17), 0), (date(2027, 1, 16), 1_000), (LONG_AGO, 1_000), (date(2027, 2, 20), 0)],
)
def test_pork_on_hand_is_fed_once_it_was_frozen_for_twenty_days(frozen_on: date | None, fed_g: int) -> None:
    scenario = replace(
        fed(b.a_dog(), cuts=(RICH,)), cuts=(RICH, PORK), on_hand=(b.on_hand(PORK.name, 1_000, frozen_on),)
    )
    plan = planned(scenario)
    assert plan.eaten_g("Maple", PORK.name) == fed_g
    assert [left.on_hand_g for left in plan.leftovers if left.cut == PORK.name] == ([] if fed_g else [1_000])
    assert planned(replace(scenario, hold_days=None)).eaten_g("Maple", PORK.name) == 1_000


def test_food_that_need_not_be_frozen_is_fed_also_where_its_day_is_to_come() -> None:
    """A lot that is frozen on the day after filling was once taken for one that waits, and the plan was withheld."""
    scenario = fed(b.a_dog(), cuts=(RICH,), on_hand=(b.on_hand(RICH.name, 1_000, b.STARTS),))
    assert [use.used_g for use in planned(scenario).lots_used] == [1_000]


def test_the_oldest_lot_that_may_be_fed_goes_first_and_a_patient_gets_the_rest() -> None:
    """Sorrel's veterinarian gave 1500 g of pork: what Maple leaves of the frozen lot, then of the lot that waits."""
    patient = b.a_dog_in_care("Sorrel", {PORK.name: 1_500})
    lots = (b.on_hand(PORK.name, 2_000), b.on_hand(PORK.name, 1_000, LONG_AGO))
    scenario = replace(fed(b.a_dog(), patient, cuts=(RICH,)), cuts=(RICH, PORK), on_hand=lots)
    plan = planned(scenario)
    assert (plan.eaten_g("Maple", PORK.name), plan.eaten_g("Sorrel", PORK.name)) == (1_000, 1_500)
    assert {use.lot: use.used_g for use in plan.lots_used} == {0: 1_500, 1: 1_000}


def test_a_veterinarians_amount_of_fresh_pork_is_allowed_and_the_papers_still_ask_to_freeze_it() -> None:
    patient = b.a_dog_in_care("Sorrel", {PORK.name: 1_400})
    scenario = fed(b.a_dog(), patient, cuts=(RICH, PORK))
    answer = plan_batch(scenario, Settings())
    assert isinstance(answer, Plan)
    assert (answer.eaten_g("Maple", PORK.name), answer.eaten_g("Sorrel", PORK.name)) == (0, 1_400)
    assert answer.facts is not None
    assert any(PORK.name in str(journey.freeze_first) for journey in answer.facts.cold.journeys)


@pytest.mark.parametrize(("hold_days", "fed_g"), [(0, 0), (19, 0), (20, 7_000), (None, 7_000)])
def test_what_is_bought_fresh_may_be_held_frozen(hold_days: int | None, fed_g: int) -> None:
    scenario = fed(b.a_dog(), cuts=(RICH, PORK), hold_days=hold_days)
    assert planned(scenario).eaten_g("Maple", PORK.name) == fed_g


@pytest.mark.slow
@pytest.mark.parametrize("working", Working)
def test_both_rules_hold_also_for_dogs_fed_from_tubs(working: Working) -> None:
    dogs = [b.a_dog(name, resting_kcal=kcal) for name, kcal in (("Maple", 900), ("Fern", 900), ("Pip", 700))]
    scenario = fed(*dogs, cuts=(RICH, LEAN, PORK), portioning=Portioning(working=working))
    plan = planned(scenario)
    assert [plan.eaten_g(dog.name, PORK.name) for dog in dogs] == [0, 0, 0]
    assert all(kcal_a_day(scenario, plan, dog.name) > (dog.resting_kcal or 0) - 1 for dog in dogs)


def a_pack(kcal_per_kg: Iterable[int]) -> list[Dog]:
    """Dogs of unlike need at rest, each with 500 g a day."""
    return [b.a_dog(f"Dog {number}", resting_kcal=kcal) for number, kcal in enumerate(kcal_per_kg)]


def test_many_dogs_are_kept_together_where_rest_asks_nothing_of_them() -> None:
    """Even the lean cut holds 1 kcal a gram, and none of them needs more than 490 kcal in 500 g."""
    scenario = fed(*a_pack(range(400, 500, 10)))
    without = drop_nutrient_rules(scenario)
    assert len(groups_of(scenario)) == len(groups_of(without)) == 1
    found, other = cheapest(scenario, Settings()), cheapest(without, Settings())
    assert isinstance(found, Allocation)
    assert isinstance(other, Allocation)
    assert (found.bought_millionths, found.eaten_ug) == (other.bought_millionths, other.eaten_ug)


@pytest.mark.slow
def test_many_dogs_of_unlike_need_at_rest_each_get_their_own() -> None:
    """Five need 900 and five 700 kcal, so two mixtures; one needs less than even the lean cut holds."""
    dogs = a_pack([900] * 5 + [700] * 5 + [450])
    scenario = fed(*dogs)
    assert [len(group.dogs) for group in groups_of(scenario)] == [5, 1, 5]
    plan = planned(scenario)
    for dog in dogs:
        assert kcal_a_day(scenario, plan, dog.name) > (dog.resting_kcal or 0) - 1
    assert abs(kcal_a_day(scenario, plan, "Dog 10") - 500) < 1
