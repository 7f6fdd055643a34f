"""Owners' own stock: nobody else's dog eats of it, nobody pays for it, and the shares add up to the bills.

**Source:** arithmetic; what each owner's dogs can have eaten of whose food is reckoned here from portions and lots.
"""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from random import Random

from raworder.auditing.checks import audit
from raworder.auditing.facts_audit import audit_facts
from raworder.portioning.finishing import finish_plan
from raworder.solving.solver import Settings
from raworder.studies.settling import SettlingRules, owner_shares
from raworder.trade.dogs import Dog
from raworder.trade.plan import MILLION, Allocation, Plan
from raworder.trade.scenario import OnHand, Scenario
from raworder.workflow import order_batch, with_facts
from tests import builders as b
from tests.drawn import drawn, seeds
from tests.outside.invented import invented
from tests.portioning.needing import WEIGHED

EACH, EACH_SOLVED = 400, 40
OWNERS = ("Ada", "Bo", "Cy", "")
CUTS = (b.TRIM, *WEIGHED)


def allocated(random: Random) -> tuple[Scenario, Allocation]:
    """Dogs of some owners that eat any shares, and patients; lots of about what they eat, and just enough bought."""
    dogs = [
        b.a_dog(f"dog {number}", days=7, daily_g=random.randint(100, 900), owner=random.choice(OWNERS))
        for number in range(random.randint(2, 7))
    ]
    eaten_ug: dict[tuple[str, str], int] = {}
    for dog in dogs:
        ends = sorted(random.randint(0, dog.batch_g * MILLION) for _ in CUTS[1:])
        shares = [high - low for low, high in zip([0, *ends], [*ends, dog.batch_g * MILLION], strict=True)]
        eaten_ug |= {(dog.name, cut.name): share for cut, share in zip(CUTS, shares, strict=True) if share}
    patients = [
        b.a_dog_in_care(f"patient {owner}", {random.choice(CUTS).name: random.randint(1, 500)}, days=7, owner=owner)
        for owner in OWNERS
        if random.random() < 0.4
    ]
    eaten_ug |= {(dog.name, given.cut): given.batch_g * MILLION for dog in patients for given in dog.vet_amounts}
    lots, bought = _just_enough(random, [*dogs, *patients], eaten_ug)
    scenario = b.a_scenario(
        days=7,
        dogs=[*dogs, *patients],
        cuts=CUTS,
        offers=[b.an_offer_by_weight(cut.name, key=cut.name, price_per_kg="6.00") for cut in CUTS],
        on_hand=lots,
    )
    return scenario, Allocation(bought, eaten_ug, b.a_proof(), tuple((dog.name,) for dog in scenario.dogs))


def _just_enough(
    random: Random, dogs: list[Dog], eaten_ug: dict[tuple[str, str], int]
) -> tuple[list[OnHand], dict[str, int]]:
    """Lots of owners, a little more or less than their dogs eat, and what is bought beside them to the microgram."""
    lots, bought = [], {}
    for cut in (cut.name for cut in CUTS):
        together = dict.fromkeys(OWNERS, 0)
        for dog in dogs:
            together[dog.owner] += eaten_ug.get((dog.name, cut), 0)
        shared_ug = together[""]
        for owner in OWNERS[:-1]:
            own_g = max(together[owner] // MILLION + random.choice((-400, -1, 0, 1, 2, 300)), 0)
            own_g *= random.random() < 0.7
            lots += [b.on_hand(cut, own_g, owner=owner)] if own_g else []
            shared_ug += max(together[owner] - own_g * MILLION, 0)
        if shared_ug:
            bought[cut] = max(shared_ug, MILLION)
    return lots, bought


def eaten_by_owner(scenario: Scenario, plan: Plan, cut: str) -> Counter[str]:
    """Grams of a cut that the dogs of each owner eat."""
    owner_of = {dog.name: dog.owner for dog in scenario.dogs}
    eaten: Counter[str] = Counter()
    for portion in plan.portions:
        if portion.cut == cut:
            eaten[owner_of[portion.dog]] += portion.batch_g
    return eaten


def own_used(scenario: Scenario, plan: Plan, cut: str) -> Counter[str]:
    """Grams of a cut fed from lots of each owner."""
    used: Counter[str] = Counter()
    for use in plan.lots_used:
        lot = scenario.on_hand[use.lot]
        if lot.cut == cut and lot.owner:
            used[lot.owner] += use.used_g
    return used


def assert_nobody_eats_what_is_another_s(scenario: Scenario, plan: Plan, seed: int) -> None:
    """No lot feeds more than its owner's dogs eat, and what else they eat is bought or there for all."""
    for cut in (cut.name for cut in scenario.cuts):
        eaten, used = eaten_by_owner(scenario, plan, cut), own_used(scenario, plan, cut)
        assert all(used[owner] <= eaten[owner] for owner in used), seed
        beyond_g = sum(grams - used[owner] for owner, grams in eaten.items())
        lines = [(scenario.offer(line.offer), line.units) for line in plan.lines]
        there_g = sum(offer.grams(units) for offer, units in lines if offer.cut == cut)
        there_g += sum(lot.grams for lot in scenario.on_hand if (lot.cut, lot.owner) == (cut, ""))
        assert beyond_g <= there_g, seed


@drawn()
def test_whole_grams_never_take_a_gram_of_another_s(block: int) -> None:
    for seed in seeds(block, EACH):
        scenario, allocation = allocated(Random(seed))
        plan = finish_plan(scenario, allocation)
        assert_nobody_eats_what_is_another_s(scenario, plan, seed)
        assert {breach.rule for breach in audit(scenario, plan)} <= {"bill"}, seed  # nobody searched for a cheaper one
        for (dog, cut), amount in allocation.eaten_ug.items():
            assert abs(plan.eaten_g(dog, cut) - Fraction(amount, MILLION)) < 1, seed


@drawn()
def test_shares_add_up_and_own_food_costs_nothing(block: int) -> None:
    planned = owned = 0
    for seed in seeds(block, EACH_SOLVED):
        scenario = household(Random(seed))
        found = order_batch(scenario, Settings())
        if not isinstance(found, Plan):
            continue
        plan = with_facts(scenario, found)
        assert_nobody_eats_what_is_another_s(scenario, plan, seed)
        assert [breach for breach in audit_facts(plan) if breach.rule in {"costs", "parts"}] == [], seed
        assert sum(share.total for share in owner_shares(plan, SettlingRules())) == plan.total, seed
        for cut, parts in plan.facts.costs.eaten.items():
            eaten, used = eaten_by_owner(scenario, plan, cut), own_used(scenario, plan, cut)
            for owner in {dog.owner for dog in scenario.dogs}:
                mine = sum(part for dog, part in parts.items() if owner == _owner_of(scenario, dog))
                assert (mine > 0) <= (eaten[owner] > used[owner]), seed
                owned += bool(used[owner])
        planned += 1
    assert planned > EACH_SOLVED // 6
    assert owned > 0


def household(random: Random) -> Scenario:
    """An invented scenario, all of whose dogs have an owner, with a lot of their own for some."""
    scenario = invented(random)
    dogs = tuple(replace(dog, owner=random.choice(OWNERS[:2])) for dog in scenario.dogs)
    lots = [
        b.on_hand(random.choice(scenario.cuts).name, random.randint(1, 40) * 50, owner=random.choice(dogs).owner)
        for _ in range(3)
    ]
    return replace(scenario, dogs=dogs, on_hand=(*(replace(lot, owner="") for lot in scenario.on_hand), *lots))


def _owner_of(scenario: Scenario, name: str) -> str:
    return next(dog.owner for dog in scenario.dogs if dog.name == name)
