"""What each rule that may give way says of itself: its number, for whom, and what is asked instead.

**Source:** the house's own register; no outside source. All levels are invented.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.giving_way import money_and_stock
from raworder.giving_way.all_or_nothing import FrozenFirst, RestingEnergy
from raworder.giving_way.bag_demands import DayMost, LeastPortion, WeekShare, WholePieces
from raworder.giving_way.demand import Demand, End
from raworder.giving_way.family import KINDS
from raworder.giving_way.money_and_stock import (
    Budget,
    CutCount,
    LeastPurchase,
    MinimumOrder,
    PackCount,
    Room,
    SupplierCount,
)
from raworder.giving_way.nutrient_ends import NutrientEnd
from raworder.giving_way.ranges_and_caps import Cap, PartShare
from raworder.giving_way.variety import MOST_OF_ONE, SPECIES, MostOfOne, SpeciesCount
from raworder.trade.cuts import Measure
from raworder.trade.dogs import EnergyRation, OtherFood
from raworder.trade.nutrients import NutrientLimit, Per, RatioLimit
from raworder.trade.purchase import Receipt, Received, bought_scenario
from tests import builders as b

SCENARIO = b.a_scenario(
    dogs=(b.a_dog(resting_kcal=37),), cuts=(b.with_raw_pork(b.TRIM),), offers=(b.an_offer("beef trim", available=3),)
)
SHARE = Fraction(37, 100)
MAPLE = ("Maple",)
WITH_A_NUMBER: tuple[Demand, ...] = (
    Budget(Decimal("37.00")),
    Room(3_700),
    SupplierCount(37),
    CutCount(37),
    MinimumOrder(Decimal("37.00"), "Hollow Lane Butcher"),
    PackCount(37, SCENARIO.offers[0].key),
    LeastPurchase(37, SCENARIO.offers[0].key),
    SpeciesCount(37, SPECIES),
    MostOfOne(SHARE, MOST_OF_ONE),
    PartShare(SHARE, b.a_target(), End.LOW, MAPLE),
    Cap(SHARE, b.a_subject(), End.HIGH, MAPLE),
    NutrientEnd(Fraction(37), NutrientLimit("zinc", Per.MCAL, low=Fraction(37)), End.LOW, MAPLE),
    NutrientEnd(Fraction(37), RatioLimit("calcium", "phosphorus", high=Fraction(37)), End.HIGH, MAPLE),
    RestingEnergy(Fraction(1), "Maple", dogs=MAPLE),
    WholePieces(37, "chicken neck"),
    LeastPortion(37),
    DayMost(SHARE, b.a_subject(Measure.FAT, "")),
    WeekShare(SHARE),
)
"""A demand of every kind that has a number, with a 37 in it."""

FROZEN_FIRST = FrozenFirst(0)
"""The one that has none: it holds for all food that must be frozen first, or for none."""


OF_THE_ORDER = [
    demand for demand in WITH_A_NUMBER if type(demand).__module__ == money_and_stock.__name__ and not demand.about
]
"""What limits the order as a whole."""
SHOPPED = Receipt((Received(SCENARIO.offers[0].key, b.HOLLOW_LANE, "beef trim", 1, 1_000, Decimal("6.20")),))


def test_there_is_a_demand_of_every_kind_to_try_the_words_on() -> None:
    assert {type(demand) for demand in (*WITH_A_NUMBER, FROZEN_FIRST)} == set(KINDS)


def test_what_must_be_frozen_first_says_which_food_and_what_to_write() -> None:
    assert FROZEN_FIRST.text(SCENARIO) == "what must be frozen first is frozen before it is fed"
    assert FROZEN_FIRST.instead_text(SCENARIO, None) == "beef trim may be fed without being frozen first"
    assert FROZEN_FIRST.yaml_entry(SCENARIO, ()) == "hold: off"
    assert "better buy it frozen" in " ".join(FROZEN_FIRST.cautions())


def test_what_must_be_frozen_first_must_be_so_after_the_shop_too() -> None:
    """What has been bought is fresh, and stays so."""
    assert list(FrozenFirst.all_of(bought_scenario(SCENARIO, SHOPPED))) == [FROZEN_FIRST]


def test_food_that_comes_frozen_or_is_held_need_not_give_way() -> None:
    frozen = replace(SCENARIO, offers=tuple(replace(offer, frozen_days=20) for offer in SCENARIO.offers))
    assert list(FrozenFirst.all_of(frozen)) == list(FrozenFirst.all_of(replace(SCENARIO, hold_days=20))) == []
    assert list(FrozenFirst.all_of(replace(SCENARIO, hold_days=None))) == []


def test_energy_at_rest_is_one_demand_for_dogs_of_which_a_gram_must_hold_as_much() -> None:
    dogs = [b.a_dog(name, resting_kcal=kcal) for name, kcal in (("Maple", 600), ("Fern", 600), ("Pip", 700))]
    demands = list(RestingEnergy.all_of(replace(SCENARIO, dogs=tuple(dogs))))
    assert [demand.dogs for demand in demands] == [("Maple", "Fern"), ("Pip",)]
    assert len({demand.key for demand in demands}) == 2


def test_energy_at_rest_is_asked_of_no_dog_whose_ration_holds_it_or_whose_vet_asked_for_less() -> None:
    ration = EnergyRation((Fraction(600),) * 14)
    dogs = (
        replace(b.a_dog("Maple", resting_kcal=600), energy=ration),
        replace(b.a_dog("Fern", resting_kcal=600), resting_share=Fraction(0)),
        b.a_dog("Pip"),
        replace(b.a_dog("Moss", resting_kcal=600), other_food=OtherFood(Fraction(600))),
    )
    assert list(RestingEnergy.all_of(replace(SCENARIO, dogs=dogs))) == []
    hungry = replace(dogs[0], resting_kcal=Fraction(601))
    assert len(list(RestingEnergy.all_of(replace(SCENARIO, dogs=(hungry,))))) == 1


@pytest.mark.parametrize("demand", OF_THE_ORDER, ids=lambda demand: type(demand).__name__)
def test_what_is_bought_already_is_limited_no_more(demand: Demand) -> None:
    limited = demand.set_level(SCENARIO, demand.level)
    assert list(type(demand).all_of(limited))
    assert list(type(demand).all_of(bought_scenario(limited, SHOPPED))) == []


@pytest.mark.parametrize("demand", WITH_A_NUMBER, ids=lambda demand: type(demand).__name__)
def test_a_rule_that_may_give_way_says_its_number_and_for_whom(demand: Demand) -> None:
    said = demand.text(SCENARIO)
    assert "37" in said or "3.7 kg" in said
    assert len(said.split()) > 3
    assert said[0] != said[0].upper() or said.startswith("Hollow Lane")
    assert not said.endswith(".")
    assert said.endswith(" for Maple") is bool(demand.dogs)


@pytest.mark.parametrize("demand", WITH_A_NUMBER, ids=lambda demand: type(demand).__name__)
def test_what_is_asked_instead_says_another_number(demand: Demand) -> None:
    instead = demand.instead_text(SCENARIO, demand.level_at_step(SCENARIO, 1))
    assert instead != demand.text(SCENARIO)
    assert "37" not in instead.split("(")[0]
