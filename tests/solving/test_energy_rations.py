"""Rations in energy: the grams are free, and the cheapest that holds the energy is found.

**Source:** worked out by hand beside the numbers; no outside source.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from time import monotonic

import pytest

from raworder.portioning.bag_filling import AllBags, fill_all_bags
from raworder.reading.rations import least_day_g
from raworder.solving.groups import groups_of
from raworder.solving.problem import most_food_g, pose_unknowns
from raworder.solving.search import build
from raworder.solving.sharing import misses_by_pieces_only
from raworder.solving.solver import BagSolver, Settings
from raworder.trade.as_fed import as_fed, with_grams
from raworder.trade.bags import Portioning, Working
from raworder.trade.cuts import Part
from raworder.trade.dogs import Dog, EnergyRation
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario, Variety
from raworder.workflow import order_batch, plan_batch
from tests.builders import a_cut, a_dog, a_scenario, a_target, an_offer_by_weight, prey_model
from tests.nourishing.fed import a_food

LEAN = a_food("lean trim", {"energy": 100})
FAT = a_food("fat trim", {"energy": 300}, fat="1/10")
NECK = a_food(
    "neck", {"energy": 200}, kind="neck", species="chicken", parts={Part.MUSCLE: "3/5", Part.BONE: "2/5"}, piece_g=50
)


def by_energy(name: str = "Maple", kcal: int = 600, *, days: int = 14, away: tuple[int, ...] = ()) -> Dog:
    """A dog of so many kcal a day; its grams are the least that can hold them in these cuts."""
    energy = EnergyRation(tuple(Fraction(0 if day in away else kcal) for day in range(days)))
    dog = a_dog(name, days=days - len(away))
    day_g = least_day_g(dog, energy, (LEAN, FAT, NECK))
    return replace(dog, energy=energy, day_g=day_g, batch_g=sum(day_g))


def scenario_of(*dogs: Dog, lean: str = "3.00", fat: str = "12.00") -> Scenario:
    """Lean trim of 1 kcal a gram, fat trim of 3, at a price per kilogram each."""
    offers = [an_offer_by_weight("lean trim", price_per_kg=lean), an_offer_by_weight("fat trim", price_per_kg=fat)]
    return a_scenario(dogs=dogs, cuts=(LEAN, FAT), offers=offers)


def ordered(scenario: Scenario) -> Plan:
    """The cheapest order; it passed the audit."""
    found = order_batch(scenario, Settings())
    assert isinstance(found, Plan)
    return found


@pytest.mark.parametrize(
    ("lean", "fat", "grams", "total"),
    # 8400 kcal: 8.4 kg of lean at 3.00 are 25.20, 2.8 kg of fat at 12.00 are 33.60; at 8.00 22.40
    [("3.00", "12.00", {"lean trim": 8_400}, "25.20"), ("3.00", "8.00", {"fat trim": 2_800}, "22.40")],
)
def test_the_cheapest_grams_that_hold_the_energy_are_bought(
    lean: str, fat: str, grams: dict[str, int], total: str
) -> None:
    plan = ordered(scenario_of(by_energy(), lean=lean, fat=fat))
    assert {one.cut: one.batch_g for one in plan.portions} == grams
    assert plan.total == Decimal(total)


def test_shares_are_of_what_is_eaten_then() -> None:
    # fat at most 5 %: 3 and 1 kcal a gram at half and half are 2, so 4200 g
    dog = replace(by_energy(), targets=(a_target(Part.MUSCLE, 0, 1),))
    scenario = scenario_of(dog, fat="8.00")
    cuts = (LEAN, replace(FAT, parts=((Part.MUSCLE, Fraction(9, 10)), (Part.BERRIES, Fraction(1, 10)))))
    limited = replace(dog, targets=(a_target(Part.BERRIES, 0, "1/20"),))
    plan = ordered(replace(scenario, cuts=cuts, dogs=(limited,)))
    assert {one.cut: one.batch_g for one in plan.portions} == {"fat trim": 2_100, "lean trim": 2_100}


def test_a_plan_settles_the_grams_day_by_day_as_energy_goes() -> None:
    scenario = scenario_of(by_energy(away=(3,)))
    fed = as_fed(scenario, ordered(scenario)).dogs[0]
    assert (fed.batch_g, fed.day_g[3], sum(fed.day_g)) == (7_800, 0, 7_800)
    assert set(fed.day_g) == {0, 600}
    assert not fed.free_grams
    assert as_fed(as_fed(scenario, ordered(scenario)), ordered(scenario)) == as_fed(scenario, ordered(scenario))


def test_a_scenario_by_grams_stays_as_it_is() -> None:
    scenario = scenario_of(a_dog())
    assert with_grams(scenario, {"Maple": 1}) is scenario


def test_like_dogs_by_energy_are_fed_alike_and_get_what_each_needs() -> None:
    two = ordered(scenario_of(by_energy("Maple", 600), by_energy("Pip", 300)))
    assert {one.dog: one.batch_g for one in two.portions} == {"Maple": 8_400, "Pip": 4_200}
    three = scenario_of(by_energy("Maple", 600), by_energy("Pip", 300), a_dog("Fern"))
    groups = groups_of(replace(three, portioning=Portioning(working=Working.TUB)))
    assert [tuple(dog.name for dog in group.dogs) for group in groups] == [("Fern",), ("Maple", "Pip")]


def test_the_bound_on_grams_is_the_leanest_mixture() -> None:
    dog = replace(by_energy(), targets=prey_model())
    problem = pose_unknowns(a_scenario(dogs=[dog], cuts=(LEAN, FAT, NECK)))
    (group,) = problem.groups
    # all of it lean trim: muscle at most 84 %, then the next leanest, neck: bone at most 12 %, so at most 30 % of it
    assert most_food_g(problem, group) == Fraction(8_400) / (Fraction(84, 100) * 1 + Fraction(16, 100) * 2)


def test_whole_pieces_and_weighed_cuts_together_hold_the_energy() -> None:
    dog = replace(by_energy(), targets=(a_target(Part.MUSCLE, 0, 1), a_target(Part.BONE, "8/100", "12/100")))
    offers = [an_offer_by_weight(cut.name, price_per_kg="5.00") for cut in (LEAN, NECK)]
    scenario = a_scenario(dogs=[dog], cuts=(LEAN, NECK), offers=offers)
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    eaten = {one.cut: one.batch_g for one in plan.portions}
    assert eaten["neck"] % 50 == 0
    assert abs(eaten["neck"] * 2 + eaten["lean trim"] - 8_400) <= 2
    assert {bag.dog for bag in plan.bags} == {"Maple"}
    assert plan.nourished[0].line("energy").day == Fraction(eaten["neck"] * 2 + eaten["lean trim"], 14)


def test_variety_is_a_share_of_what_is_eaten() -> None:
    beef, lamb = a_food("beef", {"energy": 100}), a_food("lamb", {"energy": 300}, species="lamb")
    offers = [an_offer_by_weight("beef", price_per_kg="1.00"), an_offer_by_weight("lamb", price_per_kg="30.00")]
    scenario = a_scenario(dogs=[by_energy()], cuts=(beef, lamb), offers=offers)
    plan = ordered(replace(scenario, variety=Variety(2, Fraction(1, 4), Fraction(1))))
    eaten = {one.cut: one.batch_g for one in plan.portions}
    # a quarter of lamb: 0.75 x 1 + 0.25 x 3 are 1.5 kcal a gram, so 5600 g
    assert eaten == {"beef": 4_200, "lamb": 1_400}


@pytest.mark.slow
def test_many_dogs_by_energy_are_planned_bags_and_all() -> None:
    dogs = [
        replace(
            by_energy(f"dog {n}", 400 + 40 * (n % 4)),
            targets=(a_target(Part.MUSCLE, 0, 1), a_target(Part.BONE, "6/100", "14/100")),
        )
        for n in range(12)
    ]
    offers = [an_offer_by_weight(cut.name, price_per_kg="5.00") for cut in (LEAN, NECK)]
    plan = plan_batch(a_scenario(dogs=dogs, cuts=(LEAN, NECK), offers=offers), Settings())
    assert isinstance(plan, Plan)
    for one, dog in zip(plan.nourished, dogs, strict=True):
        assert dog.energy is not None
        # whole pieces are shared out: a piece and a half of neck may stand for lean trim
        assert abs(one.line("energy").day * 14 - dog.energy.batch_kcal) <= 2 * 75 + 4


@pytest.mark.slow
def test_dogs_by_energy_and_by_weight_share_pieces_of_one_order_and_each_get_their_own() -> None:
    targets = (a_target(Part.MUSCLE, 0, 1), a_target(Part.BONE, "8/100", "12/100"))
    energetic = [replace(by_energy(f"dog {n}", 800 + 40 * n), targets=targets) for n in range(8)]
    weighed = [a_dog(f"hound {n}", daily_g=500 + 20 * n, targets=targets) for n in range(2)]
    prices = ((LEAN, "3.00"), (FAT, "12.00"), (NECK, "5.00"))
    offers = [an_offer_by_weight(cut.name, price_per_kg=price) for cut, price in prices]
    plan = plan_batch(a_scenario(dogs=[*energetic, *weighed], cuts=(LEAN, FAT, NECK), offers=offers), Settings())
    assert isinstance(plan, Plan)
    fed = {one.dog: one.line("energy").day * 14 for one in plan.nourished}
    for dog in energetic:
        assert dog.energy is not None
        # a piece and a half of neck may stand for lean trim
        assert abs(fed[dog.name] - dog.energy.batch_kcal) <= 2 * 75 + 4


def test_a_cut_of_no_energy_does_not_make_the_bound_endless() -> None:
    nothing = a_food("ice", {"energy": 0})
    problem = pose_unknowns(a_scenario(dogs=[by_energy()], cuts=(nothing,)))
    assert most_food_g(problem, problem.groups[0]) == 84_000
    assert a_cut().kcal_per_g is None


@pytest.mark.parametrize(
    ("lean_kg", "holds"), [(6.4, True), (6.3481, True), (6.3479, False), (6.4519, True), (6.4521, False)]
)
def test_a_dog_may_miss_its_energy_by_a_piece_and_a_gram_and_no_more(lean_kg: float, holds: bool) -> None:
    """1 kg of neck is 2000 of 8400 kcal, 6.4 kg of lean trim the rest.

    A neck of 50 g in exchange for lean trim changes 50 kcal, and a gram 2 kcal at most.
    """
    given = a_scenario(
        dogs=[by_energy()], cuts=(LEAN, NECK), offers=[an_offer_by_weight(one.name) for one in (LEAN, NECK)]
    )
    problem = build(with_grams(given, {"Maple": 7_400}))
    eaten_kg = {"neck": 1.0, "lean trim": lean_kg}
    assert (
        misses_by_pieces_only(problem, {problem.eat_kg["Maple", cut].name: kg for cut, kg in eaten_kg.items()}) is holds
    )


def test_bags_are_filled_with_the_grams_that_a_plan_has_found_for_energy() -> None:
    # 8400 kcal of lean trim at 1 kcal a gram: 600 g on each of 14 days, whoever asks for the bags
    scenario = scenario_of(by_energy())
    found = fill_all_bags(scenario, ordered(scenario), (("Maple",),), BagSolver(Settings(), monotonic()))
    assert isinstance(found, AllBags)
    assert [bag.grams for bag in found.bags] == [600] * 14
