"""Worth of one more: each saving by hand, by solving the loosened scenario again, and by a second model.

**Source:** arithmetic beside each check; scipy.optimize.milp on the matrices of `tests/outside/matrices.py`.
"""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest

from raworder.giving_way.demand import Looser
from raworder.giving_way.family import one_step_looser
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask
from raworder.studies.worth_of_one_more import one_day_longer, worth_of_one_more
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Measure, Part
from raworder.trade.document import Document, Fact, Facts, Paragraph, Points, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario, Variety
from raworder.workflow import order_batch
from tests import builders as b
from tests.drawn import few
from tests.outside.invented import invented
from tests.outside.matrices import least_cost

CUT_UP = Portioning(divided=frozenset({"chicken neck"}))
ROUNDING = 0.06
"""Half a cent for every line and bill of both orders: a dozen of them at most."""

SEEDS = (4, 26, 34, 40, 48)


def ordered(scenario: Scenario) -> Plan:
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    return base


def told(scenario: Scenario) -> Document:
    return worth_of_one_more(scenario, ordered(scenario), Ask())


def rows(document: Document) -> list[dict[str, object]]:
    tables = (one for one in document.blocks if isinstance(one, Table))
    return [dict(zip((column.key for column in one.columns), row, strict=True)) for one in tables for row in one.rows]


def saved(scenario: Scenario) -> list[tuple[object, ...]]:
    """Rule, step, cost then and saving of every row."""
    return [(row["rule"], row["step"], row["cost_then"], row["saves"]) for row in rows(told(scenario))]


def text(document: Document) -> str:
    return " ".join(one.text for one in document.blocks if isinstance(one, Paragraph))


def facts(document: Document) -> dict[str, object]:
    return {
        fact.key: fact.value
        for one in document.blocks
        if isinstance(one, Facts)
        for fact in one.items
        if isinstance(fact, Fact)
    }


def test_a_smaller_least_line_saves_what_is_bought_beyond_the_need() -> None:
    """3 % of 2500 g are 75 g of lamb at 9.00: 100 g are sold at least, 0.90; one step of 25 g less is 0.675."""
    lamb = b.a_cut("lamb shoulder", species="lamb", kind="shoulder")
    caps = (b.a_cap(Measure.CUT, "beef trim", "97/100"), b.a_cap(Measure.CUT, lamb.name, "3/100"))
    offers = (
        b.an_offer_by_weight(unit_g=25, price_per_kg="3.00", least_g=100),
        b.an_offer_by_weight(lamb.name, unit_g=25, price_per_kg="9.00", least_g=100),
    )
    scenario = b.a_scenario(days=5, dogs=[b.a_dog(days=5, caps=caps)], cuts=(b.TRIM, lamb), offers=offers)
    assert ("least_purchase", "25 g by weight less", Decimal("7.96"), Decimal("0.22")) in saved(scenario)


def test_one_cut_more_saves_what_is_cheaper_in_it() -> None:
    """Five packs of trim at 2.00; with heart, of which there are two packs at 1.50, one euro less."""
    offers = (b.an_offer(pack_g=500, price="2.00"), b.an_offer("beef heart", pack_g=500, price="1.50", available=2))
    scenario = b.a_scenario(days=5, dogs=[b.a_dog(days=5)], cuts=(b.TRIM, b.HEART), offers=offers, most_cuts=1)
    assert ("cut_count", "one more", Decimal("9.00"), Decimal("1.00")) in saved(scenario)


def test_trips_are_counted_in_what_the_order_costs_and_in_what_a_step_saves() -> None:
    """2.5 packs of each: 6.00 and 7.20 and a trip of 0.30 here; lamb at 1.80 and a trip of 0.80 there."""
    lamb = b.a_cut("lamb shoulder", species="lamb", kind="shoulder")
    caps = (b.a_cap(Measure.CUT, "beef trim", "1/2"), b.a_cap(Measure.CUT, lamb.name, "1/2"))
    offers = (
        b.an_offer(pack_g=500, price="2.00"),
        b.an_offer(lamb.name, pack_g=500, price="2.40"),
        b.an_offer(lamb.name, supplier=b.FENWICK, pack_g=500, price="1.80"),
    )
    suppliers = (b.a_supplier(trip="0.30"), b.a_supplier(b.FENWICK, trip="0.80"))
    scenario = b.a_scenario(
        days=5, dogs=[b.a_dog(days=5, caps=caps)], cuts=(b.TRIM, lamb), offers=offers, suppliers=suppliers,
        most_suppliers=1,
    )  # fmt: skip
    assert saved(scenario) == [("supplier_count", "one more", Decimal("12.50"), Decimal("1.00"))]


def test_room_for_a_larger_pack_is_worth_what_it_saves() -> None:
    """Seven packs of 1 kg cost 16.80; a pack of 10 kg at 15.00 does not fit 8 kg, but 13 kg."""
    offers = [b.an_offer(), b.an_offer(pack_g=10_000, price=15)]
    assert saved(b.a_scenario(offers=offers, room_g=8_000)) == [("room", "5 kg more", Decimal(15), Decimal("1.80"))]


def test_room_is_given_in_pounds_where_weights_are() -> None:
    offers = [b.an_offer(), b.an_offer(pack_g=10_000, price=15)]
    scenario = b.a_scenario(offers=offers, room_g=8_000, weight_unit="lb")
    assert saved(scenario) == [("room", "10 lb more", Decimal(15), Decimal("1.80"))]


def test_another_supplier_is_worth_what_it_sells_cheaper() -> None:
    """Trim and liver from one: 6.30 + 0.70 kg, 7 x 2.40 + 2 x 4.00 = 24.80; the other one's liver is 2 x 1.00."""
    dog = b.a_dog(targets=[b.a_target(Part.LIVER, "1/10", "1/10")])
    offers = [
        b.an_offer("beef trim", price="2.40"),
        b.an_offer("lamb liver", pack_g=500, price=4),
        b.an_offer("lamb liver", supplier=b.FENWICK, pack_g=500, price=1),
    ]
    scenario = b.a_scenario(dogs=[dog], cuts=[b.TRIM, b.LIVER], offers=offers, most_suppliers=1)
    found = saved(scenario)
    assert ("supplier_count", "one more", Decimal("18.80"), Decimal("6.00")) in found


def test_a_lower_minimum_order_lets_a_cheaper_supplier_in() -> None:
    """At 2.40 a minimum of 24.00 is ten packs, 24.00; seven at 3.00 are 21.00; with a minimum of 14.00, 16.80."""
    offers = [b.an_offer(), b.an_offer(supplier=b.FENWICK, price=3)]
    suppliers = [b.a_supplier(minimum_order=24), b.a_supplier(b.FENWICK)]
    scenario = b.a_scenario(offers=offers, suppliers=suppliers)
    assert saved(scenario) == [("minimum_order", "10.00 EUR less", Decimal("16.80"), Decimal("4.20"))]


def test_one_more_of_what_is_scarce_takes_the_place_of_something_dearer() -> None:
    """Three at 1.00 and four at 2.40; a fourth at 1.00 saves 1.40."""
    offers = [b.an_offer(key="scarce", price=1, available=3), b.an_offer(key="plenty")]
    assert saved(b.a_scenario(offers=offers)) == [
        ("pack_count", "1 pack of 1 kg more", Decimal("11.20"), Decimal("1.40"))
    ]


def test_a_kilogram_more_of_what_is_sold_by_weight() -> None:
    """3 kg at 1.00 per kg and 4 kg at 2.40; a kilogram more saves 1.40."""
    offers = [
        b.an_offer_by_weight(key="scarce", unit_g=100, price_per_kg=1, available_g=3_000),
        b.an_offer_by_weight(key="plenty", unit_g=100, price_per_kg="2.40"),
    ]
    assert saved(b.a_scenario(offers=offers)) == [
        ("pack_count", "1 kg by weight more", Decimal("11.20"), Decimal("1.40"))
    ]


def test_a_point_more_of_a_cap() -> None:
    """Heart at 1.00, trim at 6.20 per kg; a hundredth of 7 kg are 70 g, 0.07 x 5.20 = 0.364."""
    offers = [b.an_offer_by_weight("beef heart", price_per_kg=1), b.an_offer_by_weight("beef trim")]
    scenario = b.a_scenario(dogs=[b.a_dog(caps=[b.a_cap()])], cuts=[b.HEART, b.TRIM], offers=offers)
    ((rule, step, _, saves),) = saved(scenario)
    assert (rule, step) == ("cap", "1 percentage point more")
    assert saves in {Decimal("0.36"), Decimal("0.37")}  # lines are rounded: 0.70 + 39.06 before


def test_what_must_not_be_eaten_at_all_is_no_step_away() -> None:
    """A cap of nothing is left as it is, and so is a part of which there must be none."""
    dog = b.a_dog(caps=[b.a_cap(most=0)], targets=[b.a_target(Part.LIVER, 0, 0)])
    offers = [b.an_offer(cut, price=price) for cut, price in (("beef heart", 1), ("beef trim", 6), ("lamb liver", 1))]
    scenario = b.a_scenario(dogs=[dog], cuts=[b.HEART, b.TRIM, b.LIVER], offers=offers)
    assert one_step_looser(scenario, ordered(scenario)) == ()


def test_a_point_less_of_a_range() -> None:
    """Liver at 9.00, trim at 6.20 per kg: 70 g of 2.80 are 0.196."""
    dog = b.a_dog(targets=[b.a_target(Part.LIVER, "4/100", "6/100")])
    offers = [b.an_offer_by_weight("lamb liver", price_per_kg=9), b.an_offer_by_weight("beef trim")]
    found = saved(b.a_scenario(dogs=[dog], cuts=[b.LIVER, b.TRIM], offers=offers))
    assert [(rule, step) for rule, step, _, _ in found] == [("part_share", "1 percentage point less")]
    assert found[0][3] in {Decimal("0.19"), Decimal("0.20")}


def test_fewer_species_and_more_of_one() -> None:
    """Half turkey at 8.00 and half beef at 6.20 per kg: 49.70; all beef is 43.40, and with 55 % turkey is 45 %."""
    cuts = [b.TRIM, b.a_cut("turkey thigh", species="turkey")]
    offers = [b.an_offer_by_weight("beef trim"), b.an_offer_by_weight("turkey thigh", price_per_kg=8)]
    scenario = b.a_scenario(cuts=cuts, offers=offers, variety=Variety(most_share=Fraction(1, 2)))
    assert saved(scenario) == [("variety", "5 percentage points more", Decimal("49.07"), Decimal("0.63"))]
    fewest = replace(scenario, variety=Variety(least_species=2, least_share=Fraction(1, 2)))
    assert saved(fewest) == [("variety", "one fewer", Decimal("43.40"), Decimal("6.30"))]


@pytest.mark.slow
def test_a_cut_divided() -> None:
    """At least 10 % bone of 7 kg is 700 g, 29.17 pieces of 24 g bone: 30 pieces, 1.8 kg; divided, 1.75 kg.

    Necks at 9.00 and trim at 6.20 per kg: 16.20 + 32.24 = 48.44 and 15.75 + 32.55 = 48.30.
    """
    dog = b.a_dog(targets=[b.a_target(low="1/10", high="3/10")])
    offers = [b.an_offer_by_weight("chicken neck", price_per_kg=9), b.an_offer_by_weight("beef trim")]
    scenario = b.a_scenario(dogs=[dog], cuts=[b.NECK, b.TRIM], offers=offers)
    assert ("whole_pieces", "cut it up", Decimal("48.30"), Decimal("0.14")) in saved(scenario)
    assert "whole_pieces" not in {rule for rule, *_ in saved(replace(scenario, portioning=CUT_UP))}


@pytest.mark.slow
def test_the_largest_saving_comes_first_and_the_paper_says_how_far_it_holds() -> None:
    dog = b.a_dog(targets=[b.a_target(Part.LIVER, "4/100", "6/100")], caps=[b.a_cap()])
    offers = [b.an_offer_by_weight(cut, price_per_kg=price) for cut, price in _PRICES]
    document = told(b.a_scenario(dogs=[dog], cuts=[b.LIVER, b.TRIM, b.HEART], offers=offers, budget=60))
    savings = [row["saves"] for row in rows(document)]
    assert len(savings) == 2
    assert savings == sorted(savings, key=lambda one: -Decimal(str(one)))
    assert "Each step is tried alone" in text(document)
    assert "A larger budget saves nothing" in text(document)
    (nothing,) = [block for block in document.blocks if isinstance(block, Points)]
    assert nothing.title == "One step of these would save nothing"
    assert nothing.items[0].startswith("liver at most 6.0 % for Maple")


_PRICES = (("lamb liver", 9), ("beef trim", "6.20"), ("beef heart", 1))


def test_one_day_more_costs_what_the_longer_batch_costs() -> None:
    """7.5 kg are eight packs, 19.20: 2.40 more; a day of fourteen costs 1.20."""
    found = facts(told(b.a_scenario()))
    assert (found["day_more"], found["day_average"]) == (Decimal("2.40"), Decimal("1.20"))


def test_a_dog_away_at_the_end_stays_away_and_one_in_care_goes_on_as_it_is() -> None:
    away = b.a_dog("Maple", batch_g=500, days=1, day_g=(500, 0))
    ill = b.a_dog_in_care("Sorrel", {"beef trim": 300}, days=2)
    longer = one_day_longer(b.a_scenario(days=2, dogs=[away, ill]))
    assert longer is not None
    assert longer.batch.days == 3
    assert [(dog.days, dog.batch_g, dog.day_g) for dog in longer.dogs] == [
        (1, 500, (500, 0, 0)),
        (3, 450, (150, 150, 150)),
    ]
    assert longer.dogs[1].vet_amounts[0].batch_g == 450
    assert one_day_longer(b.a_scenario(days=2, dogs=[away])) is None


def test_a_day_more_that_cannot_be_had_is_told() -> None:
    """Seven packs are all there is."""
    document = told(b.a_scenario(offers=[b.an_offer(available=7)]))
    assert "day_more" not in facts(document)
    assert "For one day more in the batch no order was found" in text(document)


def test_many_dogs_are_tried_where_the_order_is_near_a_limit() -> None:
    """Nine dogs eat 12.6 kg: three at 1.00, ten at 2.40. Room for 100 kg is no limit, three in stock are."""
    dogs = [b.a_dog(f"Dog {number}", daily_g=100) for number in range(9)]
    offers = [b.an_offer(key="scarce", price=1, available=3), b.an_offer(key="plenty", available=90)]
    document = told(b.a_scenario(dogs=dogs, offers=offers, room_g=100_000))
    assert [(row["rule"], row["saves"]) for row in rows(document)] == [("pack_count", Decimal("1.40"))]
    assert "freezer" not in text(document)


@pytest.mark.slow
def test_many_dogs_are_costed_before_their_pieces_are_shared_out() -> None:
    """Nine dogs that need bone: 10 % of 18.9 kg is 4.725 kg of necks at the least, all of which is bought and no more.

    A point less is 4.2525 kg; necks at 9.00 and trim at 6.20 per kg, so 0.4725 x 2.80 = 1.32 is saved.
    """
    targets = [b.a_target(low="1/10", high="3/10")]
    dogs = [b.a_dog(f"Dog {number}", daily_g=150, targets=targets) for number in range(9)]
    offers = [b.an_offer_by_weight("chicken neck", price_per_kg=9), b.an_offer_by_weight("beef trim")]
    scenario = b.a_scenario(dogs=dogs, cuts=[b.NECK, b.TRIM], offers=offers)
    found = [(row["rule"], row["step"]) for row in rows(told(scenario))]
    assert found == [("part_share", "1 percentage point less")]
    assert "before whole pieces are shared out" in text(told(scenario))


def test_an_interrupted_study_says_what_is_missing() -> None:
    scenario = b.a_scenario(offers=[b.an_offer(key="scarce", price=1, available=3), b.an_offer(key="plenty")])
    document = worth_of_one_more(scenario, ordered(scenario), Ask(interrupted=True))
    assert "This is not all: 1 rule could not be tried in time." in text(document)
    assert not rows(document)


def test_with_no_rule_near_its_limit_there_is_nothing_to_loosen() -> None:
    assert "No rule that one step could ease is at its limit" in text(told(b.a_scenario()))


@few("seed", SEEDS, 2)
def test_every_saving_is_that_of_a_second_model(seed: int) -> None:
    scenario = _without_thresholds(invented(Random(seed)))
    base = ordered(scenario)
    then = {(row["limit"], row["step"]): row for row in rows(worth_of_one_more(scenario, base, Ask()))}
    now = least_cost(scenario)
    assert now is not None
    for looser in _some(Random(seed), one_step_looser(scenario, base)):
        second = least_cost(looser.scenario)
        assert second is not None
        row = then.get((looser.limit, looser.step))
        saves = Decimal(0) if row is None else row["saves"]
        assert float(str(saves)) == pytest.approx(now - second, abs=ROUNDING)


@pytest.mark.slow
def test_the_random_scenarios_hold_rules_that_save_something() -> None:
    found = {row["rule"] for seed in (4, 26) for row in rows(told(_without_thresholds(invented(Random(seed)))))}
    assert len(found) >= 3


@pytest.mark.slow
def test_a_loosened_scenario_is_never_dearer() -> None:
    for seed in SEEDS[:2]:
        scenario = _without_thresholds(invented(Random(seed)))
        base = ordered(scenario)
        for looser in one_step_looser(scenario, base):
            assert ordered(looser.scenario).proof.bound <= base.proof.bound + Decimal("0.001")


def _some(random: Random, tried: Iterable[Looser]) -> list[Looser]:
    """A few of the steps."""
    every = list(tried)
    return random.sample(every, min(6, len(every)))


def _without_thresholds(scenario: Scenario) -> Scenario:
    """The scenario that can be fed without a budget, and whose suppliers are not in the way."""
    suppliers = (replace(one, minimum_order=Decimal(0)) for one in scenario.suppliers)
    return replace(scenario, suppliers=tuple(suppliers), budget=None)


def test_a_cap_is_told_in_its_words() -> None:
    dog = b.a_dog(caps=[b.a_cap(Measure.FAT, "", "3/20")])
    scenario = b.a_scenario(dogs=[dog], cuts=[b.TRIM])
    (looser,) = one_step_looser(scenario, ordered(scenario))
    assert (looser.rule, looser.limit, looser.is_near) == ("cap", "fat at most 15.0 % for Maple", True)
