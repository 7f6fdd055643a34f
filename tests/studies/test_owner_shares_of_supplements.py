"""Owners bear the supplements that their dogs are given, in steps, and their part of the rest.

**Source:** worked out by hand beside the numbers; all names and prices are invented.
"""

from dataclasses import replace
from decimal import Decimal
from itertools import product

import pytest

from raworder.studies.settling import LeftOver, SettlingRules, ShareRule
from raworder.trade.plan import Dose
from tests import builders as b
from tests.supplemented import BRAMBLE, SHELL, SUPPLEMENTED, SUPPLEMENTED_PLAN
from tests.worked_out import all_in, owner_shares

FERN = replace(SUPPLEMENTED.dogs[1], owner="Bo")
SHARED = replace(SUPPLEMENTED, dogs=(replace(BRAMBLE, owner="Ada"), FERN))
# 28 and 14 g of shell are given, 10 g of which were at home: 32 of the 60 g bought. Fenwick sells shell alone:
# 5.00 and its delivery of 1.50
SHELL_PLAN = replace(
    SUPPLEMENTED_PLAN,
    bills=(b.a_bill(b.HOLLOW_LANE, 12), b.a_bill(b.FENWICK, 5, delivery="1.50")),
    supplement_lines=(b.a_line("shell", 2, 5),),
    doses=(Dose("Bramble", SHELL.name, 2), Dose("Fern", SHELL.name, 1)),
)
SHELL_SCENARIO = replace(
    SHARED,
    supplements=(SHELL,),
    supplement_offers=tuple(
        replace(one, supplier=b.FENWICK) for one in SHARED.supplement_offers if one.supplement == SHELL.name
    ),
)
ALL_RULES = tuple(
    SettlingRules(delivery, tax, left_over, kept_by)
    for delivery, tax, left_over, kept_by in product(ShareRule, ShareRule, LeftOver, ("", "Ada"))
)


def shares(rules: SettlingRules) -> dict[str, tuple[str, ...]]:
    """Food, left over, delivery and tax of each owner."""
    found = owner_shares(SHELL_SCENARIO, SHELL_PLAN, rules)
    return {one.owner: tuple(str(each) for each in (one.food, one.left_over, one.delivery, one.tax)) for one in found}


def test_steps_share_a_supplement_after_what_was_at_home() -> None:
    """Trim 8.40 and 3.36; of the shell 32 of 60 g, 2.6667, by 28 and 14 g: 1.7778 and 0.8889.

    Left are 0.24 of trim, by 3500 and 1400 g, and 2.3333 of shell, by 28 and 14 g: 0.1714 + 1.5556, 0.0686 + 0.7778.
    The delivery of 1.50 goes with all the shell, two thirds and one third.
    In all 12.9048 and 5.5952, so 12.90 and 5.60.
    """
    found = shares(SettlingRules())
    assert found == {"Ada": ("10.18", "1.72", "1.00", "0.00"), "Bo": ("4.25", "0.85", "0.50", "0.00")}


def test_by_weight_a_supplier_of_supplements_alone_is_shared_by_money() -> None:
    assert shares(SettlingRules(delivery=ShareRule.WEIGHT)) == shares(SettlingRules())


def test_by_weight_supplements_bear_no_delivery_beside_food() -> None:
    """All from Hollow Lane: the delivery of 7.00 goes by the trim alone, 3500 and 1400 g and 100 g by both."""
    offers = tuple(replace(one, supplier=b.HOLLOW_LANE) for one in SHELL_SCENARIO.supplement_offers)
    plan = replace(SHELL_PLAN, bills=(b.a_bill(b.HOLLOW_LANE, 17, delivery=7),))
    found = owner_shares(
        replace(SHELL_SCENARIO, supplement_offers=offers),
        plan,
        SettlingRules(delivery=ShareRule.WEIGHT, left_over=LeftOver.FOOD),
    )
    assert [one.delivery for one in found] == [Decimal("5.00"), Decimal("2.00")]


def test_equally_is_among_those_who_get_any_of_it() -> None:
    """Of the oil Ada's dog alone is given, so all 1.50 are hers; of the shell both, so 0.75 each."""
    assert [
        one.delivery for one in owner_shares(SHARED, SUPPLEMENTED_PLAN, SettlingRules(delivery=ShareRule.EQUALLY))
    ] == [
        Decimal("1.50"),
        Decimal("0.00"),
    ]
    assert [row[2] for row in shares(SettlingRules(delivery=ShareRule.EQUALLY)).values()] == ["0.75", "0.75"]


@pytest.mark.parametrize("rules", ALL_RULES)
def test_shares_with_supplements_add_up_to_the_bills_under_every_rule(rules: SettlingRules) -> None:
    for scenario, plan in ((SHARED, SUPPLEMENTED_PLAN), (SHELL_SCENARIO, SHELL_PLAN)):
        found = owner_shares(scenario, plan, rules)
        assert sum(one.total for one in found) == plan.total
        assert sum(one.food + one.left_over for one in found) == sum(bill.goods for bill in plan.bills)
        assert sum(one.delivery for one in found) == sum(bill.delivery for bill in plan.bills)


def test_the_costs_and_the_settling_agree() -> None:
    for scenario, plan in ((SHARED, SUPPLEMENTED_PLAN), (SHELL_SCENARIO, SHELL_PLAN)):
        found = owner_shares(scenario, plan, SettlingRules())
        assert {one.owner: one.total for one in found} == all_in(scenario, plan)
