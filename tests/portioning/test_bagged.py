"""All bags of a plan: dogs alone, from tubs and in care; like dogs alike; who has none is named.

**Source:** arithmetic; sums stand beside the numbers. Plans are written by hand, and audited where they are whole.
"""

from collections.abc import Mapping
from dataclasses import replace

import pytest

from raworder.portioning.bag_filling import AllBags, NoBags, fill_all_bags
from raworder.solving.solver import BagSolver, Settings
from raworder.trade.bags import Portioning, Working
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.portioning.needing import Counting

SOLVE = BagSolver(Settings(), 0.0)
"""What solves for bags, without a time limit."""

TUB = Portioning(working=Working.TUB)
CUTS = (b.NECK, b.TRIM, b.HEART, b.LIVER)


def a_kennel(*dogs: Dog, portioning: Portioning | None = None, cuts: tuple[Cut, ...] = CUTS) -> Scenario:
    return b.a_scenario(dogs=dogs, cuts=cuts, portioning=portioning)


def a_plan_of(eaten_g: Mapping[str, Mapping[str, int]]) -> Plan:
    return b.a_plan(portions=b.portions_g(eaten_g))


def bags_of(scenario: Scenario, eaten_g: Mapping[str, Mapping[str, int]], *fed_alike: tuple[str, ...]) -> AllBags:
    found = fill_all_bags(scenario, a_plan_of(eaten_g), fed_alike, SOLVE)
    assert isinstance(found, AllBags)
    return found


def test_bags_are_by_dog_day_and_meal_in_the_order_of_the_scenario() -> None:
    dogs = (b.a_dog("Maple", days=2, meals=2), b.a_dog("Juniper", days=3))
    eaten = {"Maple": {"beef trim": 1_000}, "Juniper": {"beef trim": 1_500}}
    found = bags_of(a_kennel(*dogs), eaten, ("Juniper",), ("Maple",))
    assert [(bag.dog, (bag.day - b.STARTS).days, bag.meal) for bag in found.bags] == [
        ("Maple", 0, 1), ("Maple", 0, 2), ("Maple", 1, 1), ("Maple", 1, 2),
        ("Juniper", 0, 1), ("Juniper", 1, 1), ("Juniper", 2, 1),
    ]  # fmt: skip
    assert found.least_kinds == (("Maple", 1), ("Juniper", 1))
    assert found.mixes == ()


def test_what_there_is_most_of_that_is_weighed_tops_bags_up() -> None:
    """7 kg: necks are most, but whole; of heart and trim there is more heart."""
    eaten = {"Maple": {"chicken neck": 3_360, "beef trim": 1_540, "beef heart": 2_100}}
    found = bags_of(a_kennel(b.a_dog(), portioning=Portioning(most_a_day=())), eaten, ("Maple",))
    assert {bag.topped_up for bag in found.bags} == {"beef heart"}


def test_dogs_that_need_the_same_are_filled_alike_by_one_search() -> None:
    solve = Counting(SOLVE)
    dogs = (b.a_dog("Maple"), b.a_dog("Juniper"))
    eaten = {dog.name: {"chicken neck": 840, "lamb liver": 350, "beef trim": 5_810} for dog in dogs}
    found = fill_all_bags(a_kennel(*dogs), a_plan_of(eaten), (("Maple",), ("Juniper",)), solve)
    alone = solve.asked
    assert isinstance(found, AllBags)
    of_maple = [(bag.day, bag.kind, bag.fillings) for bag in found.bags if bag.dog == "Maple"]
    assert of_maple == [(bag.day, bag.kind, bag.fillings) for bag in found.bags if bag.dog == "Juniper"]
    fill_all_bags(a_kennel(dogs[0]), a_plan_of({"Maple": eaten["Maple"]}), (("Maple",),), solve)
    assert solve.asked == 2 * alone > 0


def test_where_most_of_the_food_cannot_top_up_every_bag_something_else_does() -> None:
    """Six bags of 100 g hold a sprat of 85 g and 15 g of something else: kidney, of which a day holds 20 g at most."""
    sprat = b.a_cut("large sprat", species="sprat", kind="whole fish", parts={b.Part.BONE: "1/10"}, piece_g=85)
    dog = b.a_dog(daily_g=100, days=8)
    scenario = b.a_scenario(days=8, dogs=[dog], cuts=(sprat, b.TRIM, b.KIDNEY))
    eaten = {"Maple": {"large sprat": 510, "beef kidney": 110, "beef trim": 180}}
    found = fill_all_bags(scenario, a_plan_of(eaten), (("Maple",),), SOLVE)
    assert isinstance(found, AllBags)
    assert {bag.topped_up for bag in found.bags} == {"beef kidney"}


def test_dogs_with_other_rules_are_not_taken_for_like_ones() -> None:
    """Both eat 30 % of liver; a range that ends at 17 % lets no day of Pip's hold more than 28.3 %."""
    maple, pip = b.a_dog("Maple", days=6), b.a_dog("Pip", days=6, targets=[b.a_target(b.Part.LIVER, 0, "17/100")])
    eaten = {dog.name: {"lamb liver": 900, "beef trim": 2_100} for dog in (maple, pip)}
    found = fill_all_bags(a_kennel(maple, pip), a_plan_of(eaten), (("Maple",), ("Pip",)), SOLVE)
    assert found == NoBags(("Pip",))


def test_a_tub_holds_all_that_its_dogs_eat_of_what_is_weighed() -> None:
    """10.5 kg for two dogs, necks aside 8.82: three tubs of 2.94 kg where one holds 4 kg and the scale takes 3."""
    dogs = (b.a_dog("Maple"), b.a_dog("Juniper", daily_g=250))
    eaten = {
        "Maple": {"chicken neck": 1_140, "beef trim": 5_510, "lamb liver": 350},
        "Juniper": {"chicken neck": 540, "beef trim": 2_785, "lamb liver": 175},
    }
    found = bags_of(a_kennel(*dogs, portioning=replace(TUB, tub_g=4_000, scale_g=3_000)), eaten, ("Juniper", "Maple"))
    (mix,) = found.mixes
    assert {one.cut: one.grams for one in mix.contents} == {"beef trim": 8_295, "lamb liver": 525}
    assert mix.dogs == ("Juniper", "Maple")
    assert [tub.grams for tub in mix.tubs] == [2_940] * 3
    for cut, grams in (("beef trim", 8_295), ("lamb liver", 525)):
        assert sum(one.grams for tub in mix.tubs for one in tub.contents if one.cut == cut) == grams
    mixed = {name: sum(bag.grams_of(mix.name) for bag in found.bags if bag.dog == name) for name in eaten}
    assert mixed == {"Maple": 5_860, "Juniper": 2_960}
    assert {bag.topped_up for bag in found.bags} == {mix.name}
    assert {one.cut for bag in found.bags for one in bag.fillings} == {"chicken neck", mix.name}


def test_each_group_of_dogs_has_a_mix_of_its_own_named_like_no_cut() -> None:
    dogs = (b.a_dog("Maple"), b.a_dog("Juniper"))
    cuts = (b.TRIM, b.a_cut("mix 1", species="pork"), b.a_cut("tub mix 1", species="lamb"))
    eaten = {"Maple": {"beef trim": 7_000}, "Juniper": {"mix 1": 4_000, "tub mix 1": 3_000}}
    found = bags_of(a_kennel(*dogs, portioning=TUB, cuts=cuts), eaten, ("Juniper",), ("Maple",))
    names = [mix.name for mix in found.mixes]
    assert len(set(names)) == 2
    assert not set(names) & {cut.name for cut in cuts}


def test_dogs_in_care_are_in_no_mix_and_get_their_amounts_evenly() -> None:
    dogs = (b.a_dog("Maple"), b.a_dog_in_care("Sorrel", {"beef trim": 1_000, "lamb liver": 50}))
    eaten = {"Maple": {"beef trim": 7_000}, "Sorrel": {"beef trim": 1_000, "lamb liver": 50}}
    found = bags_of(a_kennel(*dogs, portioning=TUB), eaten, ("Maple",), ("Sorrel",))
    assert [mix.dogs for mix in found.mixes] == [("Maple",)]
    mine = [bag for bag in found.bags if bag.dog == "Sorrel"]
    assert {bag.topped_up for bag in mine} == {""}
    assert {bag.grams_of("beef trim") for bag in mine} == {71, 72}
    assert sum(bag.grams_of("lamb liver") for bag in mine) == 50


def test_a_dog_that_eats_nothing_in_this_batch_has_no_bags() -> None:
    dogs = (b.a_dog("Maple"), b.a_dog("Juniper", batch_g=0))
    found = bags_of(a_kennel(*dogs), {"Maple": {"beef trim": 7_000}}, ("Maple",))
    assert {bag.dog for bag in found.bags} == {"Maple"}


@pytest.mark.slow
@pytest.mark.parametrize("working", Working)
def test_dogs_whose_portions_fit_no_bags_are_named(working: Working) -> None:
    """Nothing but pieces tops no bag up; and 40 g of trim are less than 10 g for each of 14 bags."""
    dogs = (b.a_dog("Maple"), b.a_dog("Pip", daily_g=180), b.a_dog("Juniper"))
    eaten = {
        "Maple": {"beef trim": 7_000},
        "Pip": {"chicken neck": 2_520},
        "Juniper": {"chicken neck": 6_960, "beef trim": 40},
    }
    found = fill_all_bags(
        a_kennel(*dogs, portioning=Portioning(working=working)),
        a_plan_of(eaten),
        (("Maple",), ("Pip",), ("Juniper",)),
        SOLVE,
    )
    assert found == NoBags(("Pip", "Juniper"))


def test_stations_hold_every_filling_of_every_bag_once() -> None:
    dogs = (b.a_dog("Maple"), b.a_dog("Juniper", avoid=[b.a_subject(b.Measure.CUT, "beef heart")]))
    eaten = {
        "Maple": {"chicken neck": 1_680, "beef trim": 4_620, "beef heart": 700},
        "Juniper": {"chicken neck": 1_680, "beef trim": 4_970, "lamb liver": 350},
    }
    found = bags_of(a_kennel(*dogs), eaten, ("Maple",), ("Juniper",))
    held = [(place, one.cut) for place, bag in enumerate(found.bags) for one in bag.fillings]
    at_stations = [(place, station.cut) for station in found.stations for place in station.bags]
    assert sorted(held) == sorted(at_stations)


def test_mixes_are_numbered_from_1_on() -> None:
    dogs = (b.a_dog(), b.a_dog("Juniper"), b.a_dog_in_care("Sorrel", {"beef trim": 700}))
    eaten = {"Maple": {"beef trim": 7_000}, "Juniper": {"beef trim": 7_000}, "Sorrel": {"beef trim": 700}}
    found = bags_of(a_kennel(*dogs, portioning=TUB), eaten, ("Maple",), ("Sorrel",), ("Juniper",))
    assert [(mix.name, mix.dogs) for mix in found.mixes] == [("mix 1", ("Maple",)), ("mix 2", ("Juniper",))]
