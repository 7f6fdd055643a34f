"""Whose food it is, where pieces, a veterinarian's amounts, freezing first and tubs make it harder to tell.

All of it is invented. **Source:** the sums stand beside the numbers; each plan is audited by itself.
"""

from dataclasses import replace
from datetime import timedelta

from raworder.solving.groups import groups_of
from raworder.solving.solver import Settings
from raworder.trade.bags import Portioning, Working
from raworder.trade.cuts import Part
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch, plan_batch
from tests import builders as b

PORK = b.with_raw_pork(b.a_cut("pork shoulder", species="pork", kind="shoulder"))
TRIM_BY_WEIGHT = b.an_offer_by_weight(price_per_kg="10.00")


def ordered(scenario: Scenario) -> Plan:
    """The cheapest order."""
    found = order_batch(scenario, Settings())
    assert isinstance(found, Plan)
    return found


def test_a_patient_and_another_dog_do_not_both_eat_the_same_food_of_their_owner() -> None:
    """Ada's dogs eat 1000 and 300 g, of which 500 are hers; that Bo has a kilogram too many helps nobody."""
    dogs = [
        b.a_dog("Maple", days=5, daily_g=200, owner="Ada"),
        b.a_dog_in_care("Sorrel", {"beef trim": 300}, days=5, owner="Ada"),
        b.a_dog("Pip", days=5, daily_g=20, owner="Bo"),
    ]
    lots = [b.on_hand(grams=500, owner="Ada"), b.on_hand(grams=1_100, owner="Bo")]
    found = ordered(b.a_scenario(days=5, dogs=dogs, offers=[TRIM_BY_WEIGHT], on_hand=lots))
    assert found.total == b.euros("8.00")
    assert {use.lot: use.used_g for use in found.lots_used} == {0: 500, 1: 100}


def test_two_rests_that_are_for_all_make_no_piece_whatever_another_owner_has() -> None:
    """Bo's dog gets five necks of 60 g: two lots for all hold two each, and Ada's ten are hers."""
    dogs = [
        b.a_dog("Maple", days=5, daily_g=600, owner="Ada", targets=(b.a_target(Part.BONE, 0, 0),)),
        b.a_dog("Pip", days=5, daily_g=600, owner="Bo", targets=(b.a_target(Part.BONE, "1/25", "1/25"),)),
    ]
    lots = [b.on_hand(b.NECK.name, grams, owner=owner) for grams, owner in ((600, "Ada"), (170, ""), (170, ""))]
    offers = [TRIM_BY_WEIGHT, b.an_offer(b.NECK.name, key="necks", price="50.00")]
    scenario = b.a_scenario(days=5, dogs=dogs, cuts=(b.NECK, b.TRIM), offers=offers, on_hand=lots)
    assert "necks" in {line.offer for line in ordered(scenario).lines}
    for_all = replace(scenario, on_hand=tuple(replace(lot, owner="") for lot in scenario.on_hand))
    assert "necks" not in {line.offer for line in ordered(for_all).lines}


def test_own_food_that_waits_is_for_patients_of_the_owner_only() -> None:
    """Of Ada's 700 g of pork nothing was frozen for 20 days: her patient eats 200 of it, her healthy dog none."""
    dogs = [
        b.a_dog("Maple", days=5, daily_g=100, owner="Ada"),
        b.a_dog_in_care("Sorrel", {PORK.name: 200}, days=5, owner="Ada"),
    ]
    fresh = b.on_hand(PORK.name, 700, b.STARTS - timedelta(3), "Ada")
    offers = [b.an_offer_by_weight(PORK.name, price_per_kg="8.00", frozen_days=30)]
    found = ordered(b.a_scenario(days=5, dogs=dogs, cuts=(PORK,), offers=offers, on_hand=[fresh]))
    assert found.total == b.euros("4.00")
    assert {use.lot: use.used_g for use in found.lots_used} == {0: 200}


def test_own_food_that_waits_is_not_replaced_by_that_of_another() -> None:
    """Ada's 500 g of pork are fresh, and though Bo's kilogram has been frozen for long, hers must be bought."""
    dogs = [b.a_dog("Maple", days=5, daily_g=100, owner="Ada"), b.a_dog("Pip", days=5, daily_g=20, owner="Bo")]
    lots = [b.on_hand(PORK.name, 500, b.STARTS - timedelta(3), "Ada"),
            b.on_hand(PORK.name, 1_000, b.STARTS - timedelta(90), "Bo")]  # fmt: skip
    offers = [b.an_offer_by_weight(PORK.name, price_per_kg="8.00", frozen_days=30)]
    found = ordered(b.a_scenario(days=5, dogs=dogs, cuts=(PORK,), offers=offers, on_hand=lots))
    assert found.total == b.euros("4.00")
    assert {use.lot: use.used_g for use in found.lots_used} == {1: 100}


def test_dogs_are_fed_alike_within_an_owner_who_has_food_of_the_own() -> None:
    """From tubs like dogs are one group; Ada's 1500 g are for her two, and the others are one group as before."""
    dogs = [
        b.a_dog(name, days=5, daily_g=200, owner=owner)
        for name, owner in zip("ABCDE", ("Ada", "Bo", "Cy", "Ada", ""), strict=True)
    ]
    scenario = b.a_scenario(
        days=5, dogs=dogs, offers=[TRIM_BY_WEIGHT], on_hand=[b.on_hand(grams=1_500, owner="Ada")],
        portioning=Portioning(working=Working.TUB),
    )  # fmt: skip
    assert [[dog.name for dog in group.dogs] for group in groups_of(scenario)] == [["A", "D"], ["B", "C", "E"]]
    found = plan_batch(scenario, Settings())
    assert isinstance(found, Plan)
    assert found.total == b.euros("35.00")
    assert {mix.dogs for mix in found.mixes} <= {("A", "D"), ("B", "C", "E")}


def test_many_dogs_keep_to_the_food_of_their_owners() -> None:
    """Eleven dogs eat a kilogram each: Ada's two have three, and Bo's one has half."""
    owners = ("Ada", "Bo", "Ada", *("Cy",) * 4, *("",) * 4)
    dogs = [b.a_dog(f"dog {number}", days=5, daily_g=200, owner=owner) for number, owner in enumerate(owners)]
    lots = [b.on_hand(grams=3_000, owner="Ada"), b.on_hand(grams=500, owner="Bo"), b.on_hand(grams=400)]
    found = plan_batch(b.a_scenario(days=5, dogs=dogs, offers=[TRIM_BY_WEIGHT], on_hand=lots), Settings())
    assert isinstance(found, Plan)
    assert found.total == b.euros("81.00")  # eleven, less two of Ada's, half of Bo's and 400 g
    assert {use.lot: use.used_g for use in found.lots_used} == {0: 2_000, 1: 500, 2: 400}
