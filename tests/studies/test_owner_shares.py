"""Owners bear what their dogs eat and their part of the rest, to the minor unit of the bills.

Source: worked by hand; the sums stand beside the numbers. What holds of random orders is what the rules say.
"""

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest

from raworder.studies.settling import LeftOver, OwnerShare, SettlingRules, ShareRule
from raworder.trade.plan import Plan
from raworder.trade.rounding import apportion, half_up
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.studies.shared_orders import DIGITS, SHARED, SHARED_PLAN, a_shared_order
from tests.worked_out import all_in, exact_shares, owner_shares

ALL_RULES = tuple(
    SettlingRules(delivery, tax, left_over, kept_by)
    for delivery, tax, left_over, kept_by in product(ShareRule, ShareRule, LeftOver, ("", "Ada"))
)
MONEY = ("food", "left_over", "delivery", "tax")


def shares(**rules: ShareRule | LeftOver | str) -> dict[str, tuple[str, ...]]:
    found = owner_shares(SHARED, SHARED_PLAN, replace(SettlingRules(), **rules))  # type: ignore[arg-type]  # by name
    return {one.owner: tuple(str(getattr(one, part)) for part in (*MONEY, "total")) for one in found}


def test_by_money_delivery_and_tax_follow_the_goods_of_each_bill() -> None:
    """Ada 30.00 of 50.00 of the first bill and none of the second; what Bo keeps counts as his goods."""
    assert shares(kept_by="Bo") == {
        "Ada": ("30.00", "0.00", "3.60", "3.00", "36.60"),
        "Bo": ("20.00", "5.00", "5.40", "2.00", "32.40"),  # 5.00 + 10.00 + 5.00; 2.40 + 3.00
        "Cleo": ("0.00", "0.00", "0.00", "0.00", "0.00"),
    }


def test_by_weight_dear_and_cheap_goods_bear_alike() -> None:
    """Ada 3 kg of the 8 kg on the first bill: 6.00 x 3 / 8 and 5.00 x 3 / 8 = 1.875; Bo's 3.125 comes second."""
    found = shares(delivery=ShareRule.WEIGHT, tax=ShareRule.WEIGHT, kept_by="Bo")
    assert found["Ada"] == ("30.00", "0.00", "2.25", "1.88", "34.13")
    assert found["Bo"] == ("20.00", "5.00", "6.75", "3.12", "34.87")


def test_equally_is_among_those_who_get_any_of_it() -> None:
    """6.00 and 5.00 in two, as Cleo gets nothing bought; all 3.00 of the second bill are Bo's."""
    found = shares(delivery=ShareRule.EQUALLY, tax=ShareRule.EQUALLY, kept_by="Bo")
    assert found["Ada"] == ("30.00", "0.00", "3.00", "2.50", "35.50")
    assert found["Bo"] == ("20.00", "5.00", "6.00", "2.50", "33.50")
    assert found["Cleo"] == ("0.00",) * 5


def test_what_is_left_over_is_owned_by_food_unless_said_otherwise() -> None:
    """5.00 by 3000 and 500 g of trim: 4.2857 and 0.7143."""
    found = shares()
    assert [found[owner][1] for owner in ("Ada", "Bo", "Cleo")] == ["4.29", "0.71", "0.00"]


def test_what_is_left_over_equally_is_borne_by_all_owners() -> None:
    """5.00 in three: 1.67, 1.67, 1.66 in some order; Cleo then gets goods for 1.67 of 50.00, so 0.20 of 6.00."""
    found = shares(left_over=LeftOver.EQUALLY)
    assert sorted(one[1] for one in found.values()) == ["1.66", "1.67", "1.67"]
    assert found["Cleo"][2] == "0.20"


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(30))
def test_what_is_left_over_is_rounded_as_on_the_shopping_list(seed: int) -> None:
    """All that is left over together, a half up, whatever is food beside it."""
    scenario, plan = a_shared_order(random.Random(seed))
    for rules in ALL_RULES:
        left_over = sum((exact[1] for exact in exact_shares(scenario, plan, rules)), Fraction(0))
        found = sum(one.left_over for one in owner_shares(scenario, plan, rules))
        assert found == half_up(left_over) * scenario.currency.minor


def test_dogs_without_an_owner_have_one_of_that_name() -> None:
    dogs = (b.a_dog("Maple", owner="Ada"), b.a_dog("Juniper"), b.a_dog("Sorrel"))
    # Ada keeps what is left: 35.00 of 50.00, so 4.20 of 6.00 and 3.50 of 5.00
    found = owner_shares(replace(SHARED, dogs=dogs), SHARED_PLAN, SettlingRules(kept_by="Ada"))
    assert [(one.owner, one.total) for one in found] == [
        ("Ada", Decimal("42.70")),
        ("no owner named", Decimal("26.30")),
    ]


@pytest.mark.parametrize("seed", range(60))
def test_under_the_rules_of_the_costs_the_shares_are_those_of_the_costs(seed: int) -> None:
    scenario, plan = a_shared_order(random.Random(seed), DIGITS[seed % 3])
    assert {one.owner: one.total for one in owner_shares(scenario, plan, SettlingRules())} == all_in(scenario, plan)


def test_the_household_bears_what_its_costs_say() -> None:
    found = owner_shares(HOUSEHOLD, HOUSEHOLD_PLAN, SettlingRules())
    assert {one.owner: one.total for one in found} == all_in(HOUSEHOLD, HOUSEHOLD_PLAN)
    assert sum(one.total for one in found) == Decimal("92.93")


@pytest.mark.slow
@pytest.mark.parametrize("digits", DIGITS)
@pytest.mark.parametrize("seed", range(12))
def test_random_orders_add_up_both_ways_under_every_rule(seed: int, digits: int) -> None:
    scenario, plan = a_shared_order(random.Random(seed), digits)
    for rules in ALL_RULES:
        found = owner_shares(scenario, plan, rules)
        check_sums(plan, found)
        check_nearness(scenario, found, exact_shares(scenario, plan, rules))


def check_sums(plan: Plan, found: tuple[OwnerShare, ...]) -> None:
    """Rows add up by what a share is; columns come to the bills."""
    assert sum((one.total for one in found), Decimal(0)) == plan.total
    assert sum((one.food + one.left_over for one in found), Decimal(0)) == sum(bill.goods for bill in plan.bills)
    assert sum((one.delivery for one in found), Decimal(0)) == sum(bill.delivery for bill in plan.bills)
    assert sum((one.tax for one in found), Decimal(0)) == sum(bill.tax for bill in plan.bills)


def check_nearness(scenario: Scenario, found: tuple[OwnerShare, ...], exact: tuple[tuple[Fraction, ...], ...]) -> None:
    """Sums within one minor unit of exact, parts within two, nothing below zero; who bears nothing pays nothing."""
    minor = scenario.currency.minor
    for one, parts in zip(found, exact, strict=True):
        assert abs(int(one.total / minor) - sum(parts, Fraction(0))) < 1
        assert sum(parts) or not one.total
        for part, cost in zip(MONEY, parts, strict=True):
            count = int(getattr(one, part) / minor)
            assert getattr(one, part) == count * minor
            assert count >= 0
            assert abs(count - cost) < 2


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(20))
def test_a_thousand_splits_add_up_and_give_remainders_in_descending_order(seed: int) -> None:
    """20,000 in all. Each gets its share rounded down; who gets one more has no smaller remainder than who does not."""
    chance = random.Random(seed)
    for _ in range(1_000):
        weights = [chance.randint(0, 10 ** chance.randint(1, 6)) for _ in range(chance.randint(1, 12))]
        weights[0] += not any(weights)
        whole, money = sum(weights), chance.randint(0, 100_000)
        found = apportion(money, [Fraction(one) for one in weights])
        assert sum(found) == money
        due = [divmod(money * weight, whole) for weight in weights]
        raised = [(remainder, -place) for place, (down, remainder) in enumerate(due) if found[place] == down + 1]
        kept = [(remainder, -place) for place, (down, remainder) in enumerate(due) if found[place] == down]
        assert len(raised) + len(kept) == len(found)
        assert not raised or not kept or min(raised) > max(kept)  # among equal remainders the earlier is raised
