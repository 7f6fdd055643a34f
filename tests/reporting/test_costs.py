"""The costs add up to what is paid, to the minor unit."""

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.portioning.bearing import cost_of_cuts
from raworder.trade.document import Document, Table
from raworder.trade.plan import Plan, Portion
from raworder.trade.scenario import Scenario
from raworder.trade.units import Currency
from tests import builders as b
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.worked_out import all_in, costs, shares_of_bill


def table(document: Document, key: str) -> Table:
    return next(block for block in document.blocks if isinstance(block, Table) and block.key == key)


def test_tax_and_delivery_follow_the_goods() -> None:
    # 64.53 is paid for 54.23 of goods
    paid = cost_of_cuts(HOUSEHOLD, HOUSEHOLD_PLAN)
    assert paid["beef trim"] == Fraction("39.44") * Fraction("64.53") / Fraction("54.23")
    assert sum(paid.values()) == Fraction("92.93")


def test_dogs_and_left_over_add_up_to_the_total() -> None:
    dogs, left_over = shares_of_bill(HOUSEHOLD, HOUSEHOLD_PLAN)
    assert sum(dogs) + left_over == Decimal("92.93")


def test_a_dog_bears_what_it_eats_at_the_price_really_paid() -> None:
    # Sorrel: 2800 g of turkey at 23.40 for 3 kg, 140 g of liver at 5.70 x 64.53 / 54.23 for 1200 g
    exact = Fraction(2800) * Fraction("23.40") / 3000 + Fraction(140) * Fraction("5.70") * Fraction("64.53") / (
        Fraction("54.23") * 1200
    )
    dogs, _ = shares_of_bill(HOUSEHOLD, HOUSEHOLD_PLAN)
    assert abs(Fraction(dogs[2]) - exact) < Fraction(1, 100)


def test_with_the_left_over_the_owners_bear_all_that_is_paid() -> None:
    assert sum(all_in(HOUSEHOLD, HOUSEHOLD_PLAN).values()) == Decimal("92.93")


def test_what_is_left_of_a_cut_is_borne_by_who_eats_of_it() -> None:
    """A pack of 10 kg liver for 46.00 is opened for 10 g: who eats them bears all of it, the other dog none."""
    dogs = (b.a_dog(batch_g=7_000, owner="Ada"), b.a_dog("Juniper", batch_g=10, owner="Bo"))
    offers = (b.an_offer(pack_g=7_000, price="49.00"), b.an_offer("lamb liver", pack_g=10_000, price="46.00"))
    scenario = b.a_scenario(dogs=dogs, cuts=(b.TRIM, b.LIVER), offers=offers)
    lines = tuple(b.a_line(offer.key, 1, offer.steps[0].listed) for offer in offers)
    plan = b.a_plan(
        lines=lines,
        bills=(b.a_bill(goods="95.00"),),
        portions=(b.a_portion(), b.a_portion("Juniper", "lamb liver", 10)),
        leftovers=(b.a_leftover("lamb liver", bought_g=9_990, worth="45.95"),),
    )
    assert all_in(scenario, plan) == {"Ada": Decimal("49.00"), "Bo": Decimal("46.00")}


def test_what_was_on_hand_costs_nothing() -> None:
    scenario = b.a_scenario(
        dogs=(b.a_dog(batch_g=7_000), b.a_dog("Juniper", batch_g=7_000)), on_hand=(b.on_hand(grams=7_000),)
    )
    plan = b.a_plan(portions=(b.a_portion(), b.a_portion("Juniper")))
    assert shares_of_bill(scenario, plan) == ((Decimal("8.40"), Decimal("8.40")), Decimal("0.00"))


def test_left_over_stands_on_its_own_line() -> None:
    by_dog = table(costs(HOUSEHOLD, HOUSEHOLD_PLAN), "by_dog")
    assert by_dog.rows[-1][0] == "left over, back to the freezer"
    assert by_dog.totals == (("together", 41, Decimal("92.93"), None),)


def test_nothing_left_over_makes_no_line() -> None:
    by_dog = table(costs(b.a_scenario(), b.a_plan()), "by_dog")
    assert [row[0] for row in by_dog.rows] == ["Maple"]
    assert by_dog.rows[0][3] == Decimal("1.20")  # 16.80 in 14 days


def test_owners_bear_what_their_dogs_do() -> None:
    document = costs(HOUSEHOLD, HOUSEHOLD_PLAN)
    by_dog = {row[0]: row[2] for row in table(document, "by_dog").rows}
    by_owner = {row[0]: row[2] for row in table(document, "by_owner").rows}
    assert by_owner["Ines"] == by_dog["Maple"] + by_dog["Sorrel"]  # type: ignore[operator]  # money
    assert by_owner["Tomas"] == by_dog["Juniper"]


@pytest.mark.parametrize(
    ("owners", "dogs"), [(("", "", ""), ("0.00", "0.00", "0.01")), (("Ada", "Ada", "Bo"), ("0.01", "0.00", "0.00"))]
)
def test_owners_are_rounded_before_their_dogs(owners: tuple[str, ...], dogs: tuple[str, ...]) -> None:
    """0.01 for 300, 300 and 400 g: the third dog has the largest remainder, but less than both others together."""
    named = zip(("Maple", "Juniper", "Sorrel"), owners, (300, 300, 400), strict=True)
    eaters = [(b.a_dog(name, owner=owner), b.a_portion(name, batch_g=grams)) for name, owner, grams in named]
    plan = b.a_plan(
        lines=(b.a_line(units=1, goods="0.01"),),
        bills=(b.a_bill(goods="0.01"),),
        portions=[portion for _, portion in eaters],
    )
    found = shares_of_bill(b.a_scenario(dogs=[dog for dog, _ in eaters]), plan)
    assert found == (tuple(map(Decimal, dogs)), Decimal("0.00"))


@pytest.mark.parametrize("goods", ["0.01", "0.02", "9.99"])
def test_what_is_left_over_is_rounded_by_itself_as_on_the_shopping_list(goods: str) -> None:
    """Half of the goods: a half goes up, whatever the remainders of the dogs are."""
    dogs = (b.a_dog("Maple"), b.a_dog("Juniper"))
    half_g = b.an_offer().grams(1) // 2
    plan = b.a_plan(
        lines=(b.a_line(units=1, goods=goods),),
        bills=(b.a_bill(goods=goods),),
        portions=(b.a_portion(batch_g=half_g - 1), b.a_portion("Juniper", batch_g=1)),
        leftovers=(b.a_leftover(bought_g=half_g),),
    )
    scenario = b.a_scenario(dogs=dogs)
    assert shares_of_bill(scenario, plan)[1] == scenario.currency.rounded(Decimal(goods) / 2)


def test_without_owners_there_is_no_table_of_them() -> None:
    keys = [block.key for block in costs(b.a_scenario(), b.a_plan()).blocks if isinstance(block, Table)]
    assert keys == ["by_dog", "by_supplier", "by_part"]


def test_goods_that_are_free_share_the_delivery_by_weight() -> None:
    scenario = b.a_scenario(cuts=(b.a_cut("one"), b.a_cut("two")), dogs=(b.a_dog(), b.a_dog("Juniper")))
    keys = [offer.key for offer in scenario.offers]
    plan = b.a_plan(
        lines=(b.a_line(keys[0], 3, 0), b.a_line(keys[1], 1, 0)),
        bills=(b.a_bill(goods=0, delivery=8),),
        portions=(b.a_portion(cut="one", batch_g=3000), b.a_portion("Juniper", "two", 1000)),
    )
    assert shares_of_bill(scenario, plan) == ((Decimal("6.00"), Decimal("2.00")), Decimal("0.00"))


def test_a_plan_that_buys_nothing_costs_nothing() -> None:
    scenario = b.a_scenario(offers=(), suppliers=(), on_hand=(b.on_hand(grams=7_000),))
    plan = b.a_plan(lines=(), bills=())
    assert shares_of_bill(scenario, plan) == ((Decimal("0.00"),), Decimal("0.00"))
    assert table(costs(scenario, plan), "by_dog").totals == (("together", 14, Decimal("0.00"), None),)


@pytest.mark.parametrize("digits", [0, 2, 3])
@pytest.mark.parametrize("seed", range(40))
def test_random_bills_are_shared_out_exactly(seed: int, digits: int) -> None:
    scenario, plan = random_plan(random.Random(seed), Currency("EUR", digits))
    dogs, left_over = shares_of_bill(scenario, plan)
    assert sum(dogs) + left_over == plan.total
    assert all(share >= 0 for share in (*dogs, left_over))
    assert all(share == scenario.currency.rounded(share) for share in dogs)


def random_plan(chance: random.Random, currency: Currency) -> tuple[Scenario, Plan]:
    """Packs of a kilogram bought, on hand and fed at random; what is not fed is left over."""
    cuts = tuple(b.a_cut(f"cut {number}") for number in range(chance.randint(1, 5)))
    dogs = tuple(b.a_dog(f"dog {number}") for number in range(chance.randint(1, 7)))
    scenario = replace(b.a_scenario(cuts=cuts, dogs=dogs), currency=currency)
    packs = {offer.cut: chance.randint(1, 9) for offer in scenario.offers}
    goods = {cut: chance.randint(1, 9_999) * currency.minor for cut in packs}
    lines = tuple(replace(b.a_line(o.key, packs[o.cut]), goods=goods[o.cut]) for o in scenario.offers)
    bill = replace(b.a_bill(), goods=sum(goods.values(), Decimal(0)), tax=7 * currency.minor, delivery=currency.minor)
    portions, leftovers = [], []
    for cut, count in packs.items():
        cuts_at = sorted(chance.randint(0, count * 1000) for _ in dogs)
        for dog, start, end in zip(dogs, [0, *cuts_at], cuts_at, strict=False):
            portions.append(Portion(dog.name, cut, end - start))
        leftovers.append(b.a_leftover(cut, bought_g=count * 1000 - cuts_at[-1]))
    return scenario, b.a_plan(lines=lines, bills=(bill,), portions=portions, leftovers=leftovers)


def test_each_owners_sum_is_made_whole_before_those_of_single_dogs() -> None:
    """0.01 for 300 and 300 g of Ada's dogs and 400 g of Bo's: together Ada's eat more, though each eats less."""
    dogs = (b.a_dog("Maple", owner="Ada"), b.a_dog("Juniper", owner="Ada"), b.a_dog("Sorrel", owner="Bo"))
    plan = b.a_plan(
        lines=(b.a_line(units=1, goods="0.01"),),
        bills=(b.a_bill(goods="0.01"),),
        portions=tuple(b.a_portion(dog.name, batch_g=grams) for dog, grams in zip(dogs, (300, 300, 400), strict=True)),
    )
    assert shares_of_bill(b.a_scenario(dogs=dogs), plan)[0] == (Decimal("0.01"), Decimal("0.00"), Decimal("0.00"))


def test_programs_find_the_columns_of_costs_by_their_keys() -> None:
    found = {
        block.key: " ".join(column.key for column in block.columns)
        for block in costs(HOUSEHOLD, HOUSEHOLD_PLAN).blocks
        if isinstance(block, Table)
    }
    assert found == {
        "by_dog": "dog days cost cost_per_day",
        "by_owner": "owner dogs cost all_in",
        "by_supplier": "supplier goods delivery tax total",
        "by_part": "part cost",
    }
