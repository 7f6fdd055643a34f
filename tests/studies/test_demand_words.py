"""Every rule of the rulebook has words for what it demands, and those that may give way say their number.

**Source:** the house's own register; no outside source. All levels are invented.
"""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.solving.demands import _ALTER, MOST_OF_ONE, Demand, End
from raworder.studies.demand_words import _ASKS, demand_text
from raworder.trade.cuts import Measure
from raworder.trade.nutrients import NutrientLimit, Per, RatioLimit
from raworder.trade.rulebook import RULES, rule_of
from tests import builders as b

SCENARIO = b.a_scenario(offers=(b.an_offer("beef trim", available=3),))
SHARE = Fraction(37, 100)
WITH_A_NUMBER: Mapping[str, Demand] = {
    one.rule: one
    for one in (
        Demand("budget", Decimal("37.00")),
        Demand("room", 3_700),
        Demand("supplier_count", 37),
        Demand("minimum_order", Decimal("37.00"), "Hollow Lane Butcher"),
        Demand("pack_count", 37, SCENARIO.offers[0].key),
        Demand("variety", SHARE, MOST_OF_ONE),
        Demand("part_share", SHARE, b.a_target(), End.LOW),
        Demand("cap", SHARE, b.a_subject()),
        Demand("nutrient", Fraction(37), NutrientLimit("zinc", Per.MCAL, low=Fraction(37)), End.LOW),
        Demand("nutrient_ratio", Fraction(37), RatioLimit("calcium", "phosphorus", high=Fraction(37)), End.HIGH),
        Demand("whole_pieces", 37, "chicken neck"),
        Demand("least_portion", 37),
        Demand("day_most", SHARE, b.a_subject(Measure.FAT, "")),
        Demand("week_share", SHARE),
    )
}
"""A demand by each rule that may give way, with a 37 in it."""


@pytest.mark.parametrize("key", [rule.key for rule in RULES])
def test_every_rule_of_the_rulebook_has_words_for_what_it_demands(key: str) -> None:
    said = demand_text(SCENARIO, WITH_A_NUMBER.get(key, Demand(key, None, dogs=("Maple",))))
    assert len(said.split()) > 3
    assert said[0] != said[0].upper() or said.startswith("Hollow Lane")
    assert not said.endswith(".")


def test_the_rules_that_may_give_way_are_those_with_words_of_their_own() -> None:
    assert set(_ASKS) == set(_ALTER) == set(WITH_A_NUMBER)


@pytest.mark.parametrize("demand", WITH_A_NUMBER.values(), ids=WITH_A_NUMBER)
def test_a_rule_that_may_give_way_says_its_number(demand: Demand) -> None:
    assert "37" in demand_text(SCENARIO, demand) or "3.7 kg" in demand_text(SCENARIO, demand)


def test_a_rule_that_never_gives_way_is_said_as_the_law_says_it() -> None:
    assert demand_text(SCENARIO, Demand("supplement", 3, "invented chalk", dogs=("Maple",))) == (
        "a supplement is given in whole steps, at most so many a day, no more than there is, to whoever may have it"
    )
    assert rule_of("avoid").says.removesuffix(".")[1:] in demand_text(SCENARIO, Demand("avoid", None))
