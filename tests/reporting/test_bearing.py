"""Who bears what: bills on cuts, what is eaten on who eats it, what is left on who eats of it; exact, by hand.

**Source:** arithmetic; sums stand beside the numbers.
"""

from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.portioning.bearing import eaten_parts, left_parts, money_on_cuts
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.supplemented import SUPPLEMENTED, SUPPLEMENTED_PLAN

KILO = b.an_offer("beef trim", key="trim", pack_g=1_000, price=3)
LIVER = b.an_offer("lamb liver", key="liver", pack_g=400, price=2, supplier=b.FENWICK)
HEART = b.an_offer("beef heart", key="heart", pack_g=500, price=1)


def bought(trim: int = 2, liver: int = 1, heart: int = 1) -> tuple[Scenario, Plan]:
    """Two kilograms of trim for 6.00 and one pack each of heart for 1.00 and, elsewhere, liver for 2.00."""
    dogs = (b.a_dog(batch_g=3_000), b.a_dog("Juniper", batch_g=1_000))
    scenario = b.a_scenario(dogs=dogs, cuts=(b.TRIM, b.LIVER, b.HEART), offers=(KILO, LIVER, HEART))
    lines = (b.a_line("trim", trim, 3 * trim), b.a_line("liver", liver, 2 * liver), b.a_line("heart", heart, heart))
    bills = (b.a_bill(goods=3 * trim + heart, delivery=7), b.a_bill(b.FENWICK, goods=2 * liver, delivery=5))
    portions = b.portions_g({"Maple": {"beef trim": 1_500, "lamb liver": 100}, "Juniper": {"beef trim": 500}})
    return scenario, b.a_plan(
        lines=lines,
        bills=bills,
        portions=portions,
        leftovers=(b.a_leftover("lamb liver", bought_g=300), b.a_leftover("beef heart", bought_g=500)),
    )


def test_a_delivery_is_borne_by_the_goods_that_came_with_it() -> None:
    """7.00 on 6.00 of trim and 1.00 of heart; 5.00 on the liver alone."""
    delivered = money_on_cuts(*bought(), lambda bill: bill.delivery)
    assert delivered == {"beef trim": 6, "beef heart": 1, "lamb liver": 5}


def test_a_delivery_by_weight_goes_by_what_was_bought() -> None:
    """2000 g of trim and 500 g of heart: 5.60 and 1.40."""
    delivered = money_on_cuts(*bought(), lambda bill: bill.delivery, by_weight=True)
    assert delivered == {"beef trim": Fraction("5.6"), "beef heart": Fraction("1.4"), "lamb liver": 5}


def test_the_same_cut_from_two_suppliers_bears_both_bills() -> None:
    scenario, plan = bought()
    elsewhere = b.an_offer("beef trim", key="more", supplier=b.FENWICK, price=2)
    more = b.a_line("more", 1, 2)
    scenario = b.a_scenario(dogs=scenario.dogs, cuts=scenario.cuts, offers=(*scenario.offers, elsewhere))
    plan = b.a_plan(lines=(*plan.lines, more), bills=plan.bills, portions=plan.portions)
    # 6.00 of 7.00 there; half of 5.00 here, for 2.00 of liver and 2.00 of trim
    assert money_on_cuts(scenario, plan, lambda bill: bill.delivery)["beef trim"] == 6 + Fraction(5, 2)


def test_what_costs_and_weighs_nothing_shares_a_bill_alike() -> None:
    scenario, plan = bought(trim=0, heart=0)
    delivered = money_on_cuts(scenario, plan, lambda bill: bill.delivery)
    assert delivered == {"beef trim": Fraction(7, 2), "beef heart": Fraction(7, 2), "lamb liver": 5}


def test_dogs_bear_what_they_eat_of_what_was_bought() -> None:
    """1500 and 500 of 2000 g; 100 of 400 g of liver, of which Juniper gets none."""
    parts = eaten_parts(*bought())
    assert parts["beef trim"] == {"Maple": Fraction(3, 4), "Juniper": Fraction(1, 4)}
    assert parts["lamb liver"] == {"Maple": Fraction(1, 4), "Juniper": 0}
    assert parts["beef heart"] == {"Maple": 0, "Juniper": 0}


def test_what_is_left_is_borne_by_who_eats_of_it_and_else_by_the_rations() -> None:
    """300 of 400 g of liver are Maple's; nobody eats heart, so 3000 and 1000 g of rations say who bears it."""
    parts = left_parts(*bought())
    assert parts["beef trim"] == {"Maple": 0, "Juniper": 0}
    assert parts["lamb liver"] == {"Maple": Fraction(3, 4), "Juniper": 0}
    assert parts["beef heart"] == {"Maple": Fraction(3, 4), "Juniper": Fraction(1, 4)}


def test_where_no_dog_has_a_ration_all_bear_alike() -> None:
    dogs = (b.a_dog(batch_g=0), b.a_dog("Juniper", batch_g=0))
    scenario = b.a_scenario(dogs=dogs, offers=(KILO,))
    plan = b.a_plan(lines=(b.a_line("trim", 1, 3),), portions=(), leftovers=(b.a_leftover(bought_g=1_000),))
    assert left_parts(scenario, plan) == {"beef trim": {"Maple": Fraction(1, 2), "Juniper": Fraction(1, 2)}}


@pytest.mark.parametrize(("from_hand_g", "left_g"), [(0, 0), (500, 500), (1_000, 1_000)])
def test_what_was_on_hand_is_eaten_alike_by_all_and_costs_nothing(from_hand_g: int, left_g: int) -> None:
    """2000 g bought and so much on hand, 2000 g fed: what was on hand leaves as much of what was bought."""
    scenario, _ = bought()
    plan = b.a_plan(
        lines=(b.a_line("trim", 2, 6),),
        portions=b.portions_g({"Maple": {"beef trim": 1_500}, "Juniper": {"beef trim": 500}}),
        leftovers=(b.a_leftover(on_hand_g=99, bought_g=left_g),) if left_g else (),
    )
    borne = eaten_parts(scenario, plan)["beef trim"]
    assert borne["Maple"] == 3 * borne["Juniper"] == Fraction(3, 4) * (1 - Fraction(from_hand_g, 2_000))
    left = left_parts(scenario, plan)["beef trim"]
    assert sum(borne.values()) + sum(left.values()) == 1


def test_all_that_is_paid_is_borne() -> None:
    scenario, plan = bought()
    eaten, left = eaten_parts(scenario, plan), left_parts(scenario, plan)
    paid = money_on_cuts(scenario, plan, lambda bill: bill.total)
    borne = sum(paid[cut] * (sum(eaten[cut].values()) + sum(left[cut].values())) for cut in paid)
    assert borne == Decimal(21)


def test_what_is_left_of_a_supplement_is_borne_by_the_dog_that_is_given_it() -> None:
    """28 of 60 capsules are given to Bramble, who bears the other 32 too; Fern is given none."""
    left, given = left_parts(SUPPLEMENTED, SUPPLEMENTED_PLAN), eaten_parts(SUPPLEMENTED, SUPPLEMENTED_PLAN)
    assert given["salmon oil"] == {"Bramble": Fraction(28, 60), "Fern": 0}
    assert left["salmon oil"] == {"Bramble": Fraction(32, 60), "Fern": 0}
    assert left["egg shell powder"]["Fern"] == 0
