"""What a batch comes to: to the gram with its plan and to the cent with its bills, planned, weighed and after the shop.

**Source:** the plans of the shipped scenarios, added up here; numbers for the small plan stand beside the sums.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest

from raworder.trade.as_fed import as_fed
from raworder.trade.bags import Filling, Mix
from raworder.trade.batch_account import batch_account, first_days, listed_prices, order_account
from raworder.trade.cuts import Measure
from raworder.trade.dogs import Care
from raworder.trade.kept import BatchAccount, FirstDays, NewBag, UsedLot
from raworder.trade.plan import LotUse
from raworder.trade.scenario import FedScenario
from tests.builders import (
    FENWICK,
    HOLLOW_LANE,
    SMALL,
    SMALL_PLAN,
    a_bag,
    a_bill,
    a_cut,
    a_dog,
    a_filling,
    a_line,
    a_plan,
    a_scenario,
    a_subject,
    on_hand,
)
from tests.planned import planned

SHIPPED = [
    "owner",
    "owner_spring",
    "pounds",
    "vet_visit",
    pytest.param("household", marks=pytest.mark.slow),  # supplements, and a lot of one owner
    pytest.param("kennel", marks=pytest.mark.slow),  # tubs of mixes
]
Grams = dict[str, int]


@cache
def account_of(name: str) -> BatchAccount:
    found = planned(name)
    return batch_account(as_fed(found.scenario, found.plan), found.plan)


def added(pairs: Iterable[tuple[str, int]]) -> Grams:
    """Grams by cut, without those of which there is nothing."""
    grams: Counter[str] = Counter()
    for cut, some_g in pairs:
        grams[cut] += some_g
    return {cut: some_g for cut, some_g in grams.items() if some_g}


def bagged(bags: Iterable[NewBag]) -> Grams:
    return added(pair for bag in bags for pair in bag.contents)


@pytest.mark.parametrize("name", SHIPPED)
def test_bags_hold_what_is_fed_to_the_gram(name: str) -> None:
    account, plan = account_of(name), planned(name).plan
    assert bagged(account.bags) == added((portion.cut, portion.batch_g) for portion in plan.portions)
    for dog in {portion.dog for portion in plan.portions}:
        eaten_g = sum(portion.batch_g for portion in plan.portions if portion.dog == dog)
        assert sum(bagged(bag for bag in account.bags if bag.dog == dog).values()) == eaten_g
    assert [bag.label for bag in account.bags] == list(range(1, len(plan.bags) + 1))


@pytest.mark.parametrize("name", SHIPPED)
def test_bags_come_out_of_lots_and_what_is_not_in_them_is_left(name: str) -> None:
    account, found = account_of(name), planned(name)
    came = added((lot.cut, lot.used_g) for lot in (*account.lots, *account.used))
    assert came == bagged(account.bags)
    bought = ((lot.cut, lot.grams - lot.used_g) for lot in account.lots)
    left = added((*bought, *((lot.cut, lot.there_g - lot.used_g) for lot in account.used)))
    assert left == added((leftover.cut, leftover.total_g) for leftover in found.plan.leftovers)
    assert all(0 <= lot.used_g <= lot.grams for lot in account.lots)


@pytest.mark.parametrize("name", SHIPPED)
def test_whole_pieces_are_left_of_what_is_fed_in_whole_pieces(name: str) -> None:
    account, scenario = account_of(name), planned(name).plan.facts.scenario
    for lot, there_g in (*((lot, lot.grams) for lot in account.lots), *((lot, lot.there_g) for lot in account.used)):
        piece_g = scenario.portioning.whole_piece_g(scenario.cut(lot.cut))
        assert (there_g - lot.used_g - lot.rest_g) % (piece_g or 1) == 0
        assert 0 <= lot.rest_g < (piece_g or 1)


@pytest.mark.parametrize("name", SHIPPED)
def test_lots_are_worth_what_was_paid(name: str) -> None:
    account, plan = account_of(name), planned(name).plan
    assert account.paid == sum(bill.total for bill in plan.bills)
    others = sum((bill.other for bill in account.bills), Decimal(0))
    assert others == sum((line.goods for line in plan.supplement_lines), Decimal(0))
    worth = sum((lot.worth for lot in account.lots), Decimal(0))
    assert worth <= account.paid
    assert (worth == account.paid) == (not others)
    assert sum(lot.goods for lot in account.lots) == sum(bill.goods for bill in account.bills) - others


@pytest.mark.parametrize("name", SHIPPED)
def test_shares_are_within_the_ranges_but_for_grams(name: str) -> None:
    for got in account_of(name).shares:
        assert got.low - Fraction(1, 100) <= got.share <= got.high + Fraction(1, 100)


BAGS = (
    a_bag((a_filling("lamb liver", 300), a_filling("beef heart", 700)), dog="Maple"),
    a_bag((a_filling("beef heart", 350), a_filling("beef trim", 4_000)), dog="Juniper", day=1),
)


def weighed_account(weighed: dict[tuple[int, str], int]) -> BatchAccount:
    """The small plan with two bags that hold of a cut on hand, of which Ada's lot of 500 g is fed first."""
    plan = replace(SMALL_PLAN, bags=BAGS, lots_used=(LotUse(2, 500), LotUse(3, 550)))
    return batch_account(as_fed(SMALL, plan), plan, None, weighed)


def hearts(account: BatchAccount) -> list[UsedLot]:
    return [lot for lot in account.used if lot.cut == "beef heart"]


def test_what_weighed_less_stays_in_the_freezer() -> None:
    account = weighed_account({(1, "beef heart"): 330})
    assert [(lot.owner, lot.there_g, lot.used_g) for lot in hearts(account)] == [("Ada", 500, 500), ("", 700, 530)]
    assert bagged(account.bags)["beef heart"] == 1_030


def test_what_weighed_more_comes_from_the_freezer_where_nobody_bought_it() -> None:
    account = weighed_account({(1, "beef heart"): 470})
    assert [lot.used_g for lot in hearts(account)] == [500, 670]
    account = weighed_account({(1, "beef heart"): 530})  # 30 g more than was said to be there
    assert [lot.used_g for lot in hearts(account)] == [500, 730]


def test_what_weighed_more_comes_from_the_last_line_of_what_was_bought() -> None:
    account = weighed_account({(0, "lamb liver"): 830})  # 2 packs of 400 g were bought
    (liver,) = [lot for lot in account.lots if lot.cut == "lamb liver"]
    assert (liver.grams, liver.used_g) == (800, 830)


def test_a_cut_bought_in_two_lines_is_filled_in_their_order() -> None:
    plan = a_plan(
        lines=(a_line("liver", 1, "1.90"), a_line("more liver", 1, "2.10")),
        bills=(a_bill(HOLLOW_LANE, "1.90"), a_bill(FENWICK, "2.10")),
        bags=(a_bag((a_filling("lamb liver", 450),)),),
    )
    liver = next(offer for offer in SMALL.offers if offer.key == "liver")
    offers = (*SMALL.offers, replace(liver, key="more liver", supplier=FENWICK))
    account = batch_account(as_fed(replace(SMALL, offers=offers, on_hand=()), plan), plan)
    assert [(lot.supplier, lot.used_g) for lot in account.lots if lot.cut == "lamb liver"] == [
        (HOLLOW_LANE, 400),
        (FENWICK, 50),
    ]


def test_worth_has_its_part_of_delivery_and_tax() -> None:
    account = batch_account(as_fed(SMALL, SMALL_PLAN), SMALL_PLAN)
    # 50.62 over 39.30 and 3.80: 46.1569 and 4.4631; 8.40 is 4.80 and 3.60
    assert [(lot.cut, lot.goods, lot.worth) for lot in account.lots] == [
        ("beef trim", Decimal("39.30"), Decimal("46.16")),
        ("lamb liver", Decimal("3.80"), Decimal("4.46")),
        ("chicken neck", Decimal("4.80"), Decimal("4.80")),
        ("beef kidney", Decimal("3.60"), Decimal("3.60")),
    ]


def test_a_mix_is_split_into_its_cuts_so_that_all_bags_take_what_is_in_it() -> None:
    mix = Mix("mix 1", ("Maple",), (Filling("beef heart", 100), Filling("beef trim", 201)), ())
    bags = tuple(a_bag((a_filling("mix 1", 43),), day=day) for day in range(7))
    plan = replace(SMALL_PLAN, bags=bags, mixes=(mix,))
    account = batch_account(as_fed(SMALL, plan), plan)
    assert bagged(account.bags) == {"beef heart": 100, "beef trim": 201}
    assert {sum(grams for _, grams in bag.contents) for bag in account.bags} == {43}
    hearts_g = [dict(bag.contents)["beef heart"] for bag in account.bags]
    assert {14, 15} >= set(hearts_g)  # 43 x 100 / 301 is 14.29


def test_an_order_says_what_was_planned_and_holds_no_food() -> None:
    order = order_account(SMALL, SMALL_PLAN)
    assert (order.lots, order.bags, order.used, order.bills) == ((), (), (), ())
    assert order.planned == Decimal("59.02")
    assert [(line.supplier, line.cut, line.grams, line.goods) for line in order.ordered][:2] == [
        (HOLLOW_LANE, "beef trim", 6_775, Decimal("39.30")),
        (HOLLOW_LANE, "lamb liver", 800, Decimal("3.80")),
    ]
    account = batch_account(as_fed(SMALL, SMALL_PLAN), SMALL_PLAN, order)
    assert (account.planned, account.ordered) == (order.planned, order.ordered)


def test_lists_are_priced_by_the_edible_kilogram_and_dated_by_their_day() -> None:
    suppliers = tuple(
        replace(one, list_date=date(2027, 1, 30)) if one.name == FENWICK else one for one in SMALL.suppliers
    )
    prices = {price.cut: price for price in listed_prices(replace(SMALL, suppliers=suppliers))}
    # 400 g of liver for 1.90 are 4.75 a kilogram
    assert (prices["lamb liver"].edible_kg, prices["lamb liver"].day) == (Fraction("4.75"), SMALL.portioned_on)
    assert (prices["chicken neck"].edible_kg, prices["chicken neck"].day) == (Fraction("2.40"), date(2027, 1, 30))
    assert prices["beef trim"].edible_kg == Fraction("6.20")


def test_what_a_dog_eats_a_day_is_rounded_up() -> None:
    scenario = a_scenario(dogs=(replace(SMALL.dogs[0], batch_g=7_001),), on_hand=(on_hand(),))
    plan = a_plan()
    assert [dog.day_g for dog in batch_account(as_fed(scenario, plan), plan).dogs] == [501]


def test_the_first_days_without_bags_are_told_of_no_dog_in_care() -> None:
    later = (0, 0, *[500] * 12)
    dogs = [
        a_dog("Maple", avoid=[a_subject(Measure.SPECIES, "beef")], days=12, day_g=later),
        a_dog("Fern", care=Care.ILL, days=12, day_g=later),
        a_dog("Juniper"),
    ]
    trim, liver = a_cut(), a_cut("lamb liver", species="lamb")
    scenario = FedScenario(replace(SMALL, dogs=tuple(dogs)))
    assert list(first_days(scenario, [trim, liver])) == [FirstDays("Maple", 2, 1, frozenset({"beef trim"}))]
