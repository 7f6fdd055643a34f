"""From an Allocation to the printed plan: whole units, rounded lines, bills, leftovers, oldest lots first.

**Source:** arithmetic; sums stand beside the numbers. Allocations are written by hand; no solver is asked.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.auditing.checks import audit
from raworder.portioning.finishing import finish_plan
from raworder.trade.plan import Allocation, Bill, Leftover, LotUse, OrderLine, Plan, Portion, Proof
from raworder.trade.scenario import Scenario, Supplier
from tests import builders as b
from tests.worked_out import shares_of_bill

MILLION = 10**6


def finished(scenario: Scenario, bought: dict[str, float], eaten_g: dict[tuple[str, str], float]) -> Plan:
    """The plan of an allocation told in units and grams; it must pass the audit."""
    allocation = Allocation(
        {key: round(units * MILLION) for key, units in bought.items()},
        {entry: round(grams * MILLION) for entry, grams in eaten_g.items()},
        b.a_proof(),
    )
    plan = finish_plan(scenario, allocation)
    assert audit(scenario, plan) == ()
    return plan


def test_whole_packs_are_billed_and_what_is_not_fed_goes_back() -> None:
    """7 kg from eight packs of 900 g at 2.40: 19.20, 200 g left, worth 19.20 x 200 / 7200 = 0.533."""
    scenario = b.a_scenario(offers=[b.an_offer(pack_g=900, key="trim")])
    plan = finished(scenario, {"trim": 8}, {("Maple", "beef trim"): 7_000})
    assert plan.lines == (OrderLine("trim", 8, Decimal("19.20")),)
    assert plan.bills == (Bill(b.HOLLOW_LANE, Decimal("19.20"), Decimal(0), Decimal(0)),)
    assert plan.portions == (Portion("Maple", "beef trim", 7_000),)
    assert plan.leftovers == (Leftover("beef trim", 0, 200, Decimal("0.53")),)
    assert plan.total == Decimal("19.20")


def test_what_leftovers_are_worth_adds_up_to_what_they_are_worth_together() -> None:
    """Of three packs at 0.99, 500 g of 1 kg each are left: 0.495 three times is 1.485, so 1.49; one of them is 0.49.

    Rounded one by one they would add up to 1.50, and among the costs they would be 1.49.
    """
    cuts = [b.a_cut(name) for name in ("beef trim", "beef heart", "lamb liver")]
    offers = [b.an_offer(cut=cut.name, pack_g=1_000, price="0.99", key=cut.name) for cut in cuts]
    scenario = b.a_scenario(cuts=cuts, offers=offers, dogs=[b.a_dog(daily_g=1_500, days=1)])
    plan = finished(scenario, {cut.name: 1 for cut in cuts}, {("Maple", cut.name): 500 for cut in cuts})
    assert [one.worth for one in plan.leftovers] == [Decimal("0.50"), Decimal("0.50"), Decimal("0.49")]
    assert sum(one.worth for one in plan.leftovers) == shares_of_bill(scenario, plan)[1]


def test_a_solver_that_says_nearly_seven_means_seven() -> None:
    scenario = b.a_scenario(offers=[b.an_offer(key="trim")])
    plan = finished(scenario, {"trim": 6.9999999}, {("Maple", "beef trim"): 7_000})
    assert plan.lines[0].units == 7


@pytest.mark.parametrize(("price", "goods"), [("1.005", "1.01"), ("1.004", "1.00"), ("1.015", "1.02")])
def test_a_line_is_rounded_half_up(price: str, goods: str) -> None:
    """One kilogram cut to the gram."""
    scenario = b.a_scenario(
        dogs=[b.a_dog(daily_g=100, days=10)], offers=[b.an_offer_by_weight(key="trim", price_per_kg=price)]
    )
    plan = finished(scenario, {"trim": 1_000}, {("Maple", "beef trim"): 1_000})
    assert plan.lines[0].goods == Decimal(goods)


def test_tax_is_reckoned_on_the_goods_and_rounded_half_up_and_delivery_is_not_taxed() -> None:
    """16.80 x 0.07 = 1.176; 10.50 x 0.07 = 0.735."""
    suppliers = [b.a_supplier(delivery=4, sales_tax="7/100")]
    plan = finished(
        b.a_scenario(offers=[b.an_offer(key="trim")], suppliers=suppliers), {"trim": 7}, {("Maple", "beef trim"): 7_000}
    )
    assert plan.bills == (Bill(b.HOLLOW_LANE, Decimal("16.80"), Decimal("4.00"), Decimal("1.18")),)
    plan = finished(
        b.a_scenario(offers=[b.an_offer(key="trim", price="1.50")], suppliers=suppliers),
        {"trim": 7},
        {("Maple", "beef trim"): 7_000},
    )
    assert plan.bills[0].tax == Decimal("0.74")


@pytest.mark.parametrize(("free_from", "delivery"), [("16.80", "0"), ("16.81", "4.00")])
def test_delivery_is_free_from_its_amount_on(free_from: str, delivery: str) -> None:
    suppliers = [b.a_supplier(delivery=4, free_delivery_from=free_from)]
    scenario = b.a_scenario(offers=[b.an_offer(key="trim")], suppliers=suppliers)
    plan = finished(scenario, {"trim": 7}, {("Maple", "beef trim"): 7_000})
    assert plan.bills[0].delivery == Decimal(delivery)


def test_the_price_is_that_of_the_step_the_units_fall_in() -> None:
    scenario = b.a_scenario(offers=[b.an_offer(key="trim", breaks={7: "2.00", 8: "1.00"})])
    plan = finished(scenario, {"trim": 7}, {("Maple", "beef trim"): 7_000})
    assert plan.lines[0].goods == Decimal("14.00")


def test_the_oldest_lot_is_used_first_and_one_of_unknown_age_before_it() -> None:
    """7000 g: 1000 of unknown age, 2000 from December, 4000 of 5000 from January."""
    lots = [
        b.on_hand(grams=5_000, frozen_on=date(2027, 1, 9)),
        b.on_hand(grams=2_000, frozen_on=date(2026, 12, 1)),
        b.on_hand(grams=1_000),
    ]
    plan = finished(b.a_scenario(on_hand=lots), {}, {("Maple", "beef trim"): 7_000})
    assert plan.lots_used == (LotUse(0, 4_000), LotUse(1, 2_000), LotUse(2, 1_000))
    assert plan.leftovers == (Leftover("beef trim", 1_000, 0, Decimal(0)),)
    assert plan.lines == plan.bills == ()


def test_what_is_on_hand_is_fed_before_what_is_bought() -> None:
    """500 g on hand, seven packs of 1 kg: 500 of the 7500 g are left, all of them bought; 16.80 x 500 / 7000 = 1.20."""
    scenario = b.a_scenario(on_hand=[b.on_hand(grams=500)], offers=[b.an_offer(key="trim")])
    plan = finished(scenario, {"trim": 7}, {("Maple", "beef trim"): 7_000})
    assert plan.leftovers == (Leftover("beef trim", 0, 500, Decimal("1.20")),)


FRAME = b.a_cut("chicken frame", parts={b.Part.MUSCLE: "11/20", b.Part.BONE: "9/20"}, piece_g=250)


def test_lots_give_whole_pieces_and_keep_their_odd_rest() -> None:
    """3 frames of 250 g: one of the 370 g, one of the 380 g, and one of the pack; 120, 130 and 750 g are left."""
    lots = [b.on_hand("chicken frame", 370, date(2027, 1, 9)), b.on_hand("chicken frame", 380, date(2027, 1, 10))]
    scenario = b.a_scenario(
        dogs=[b.a_dog(batch_g=750)],
        cuts=[FRAME],
        on_hand=lots,
        offers=[b.an_offer("chicken frame", key="frame", price="2.40")],
    )
    plan = finished(scenario, {"frame": 1}, {("Maple", "chicken frame"): 750})
    assert plan.lots_used == (LotUse(0, 250), LotUse(1, 250))
    assert plan.leftovers == (Leftover("chicken frame", 250, 750, Decimal("1.80")),)


def test_what_a_veterinarian_gave_is_weighed_from_what_pieces_leave() -> None:
    """One frame and 200 g: the frame of the older lot, then the rest of that lot, 120 g, and 80 g of the other."""
    lots = [b.on_hand("chicken frame", 370, date(2027, 1, 9)), b.on_hand("chicken frame", 240, date(2027, 1, 10))]
    dogs = [b.a_dog(batch_g=250), b.a_dog_in_care("Sorrel", {"chicken frame": 200})]
    scenario = b.a_scenario(dogs=dogs, cuts=[FRAME], on_hand=lots, offers=[])
    plan = finished(scenario, {}, {("Maple", "chicken frame"): 250, ("Sorrel", "chicken frame"): 200})
    assert plan.lots_used == (LotUse(0, 370), LotUse(1, 80))


def test_parts_of_a_gram_are_shared_out_so_that_everything_adds_up() -> None:
    """Three dogs of 100 g eat thirds of two cuts, 150 g of each cut to the gram."""
    dogs = [b.a_dog(name, daily_g=10, days=10) for name in ("Maple", "Juniper", "Tansy")]
    cuts = (b.TRIM, b.HEART)
    offers = [b.an_offer_by_weight(cut.name, key=cut.name) for cut in cuts]
    eaten = {
        ("Maple", "beef trim"): 33.333333, ("Maple", "beef heart"): 66.666667,
        ("Juniper", "beef trim"): 50.5, ("Juniper", "beef heart"): 49.5,
        ("Tansy", "beef trim"): 66.166667, ("Tansy", "beef heart"): 33.833333,
    }  # fmt: skip
    plan = finished(b.a_scenario(dogs=dogs, cuts=cuts, offers=offers), {"beef trim": 150, "beef heart": 150}, eaten)
    assert all(sum(one.batch_g for one in plan.portions if one.dog == dog.name) == 100 for dog in dogs)
    assert all(sum(one.batch_g for one in plan.portions if one.cut == cut.name) == 150 for cut in cuts)
    assert all(abs(one.batch_g - eaten[one.dog, one.cut]) < 1 for one in plan.portions)
    assert plan.leftovers == ()


def test_what_is_sold_to_the_gram_is_bought_in_whole_grams_enough_to_feed() -> None:
    """9 % bone of 2331 g is 524.475 g of neck and 1806.525 g of trim: 525 and 1806 or 524 and 1807, no more."""
    dog = b.a_dog(daily_g=333, days=7, targets=[b.a_target(low="9/100", high="9/100")])
    offers = [b.an_offer_by_weight("chicken neck", key="neck"), b.an_offer_by_weight("beef trim", key="trim")]
    scenario = b.a_scenario(days=7, dogs=[dog], cuts=(b.NECK, b.TRIM), offers=offers)
    eaten = {("Maple", "chicken neck"): 524.475, ("Maple", "beef trim"): 1806.525}
    plan = finished(scenario, {"neck": 524.475, "trim": 1806.525}, eaten)
    assert sum(line.units for line in plan.lines) == 2_331
    assert plan.leftovers == ()


def test_packs_in_pounds_weigh_whole_grams_all_together() -> None:
    """Sixteen packs of a pound are 7257.47792 g, counted as 7258: 258 g are left of 7000 g fed."""
    scenario = b.a_scenario(offers=[b.an_offer(key="trim", pack_g=Fraction(45359237, 10**5))])
    plan = finished(scenario, {"trim": 16}, {("Maple", "beef trim"): 7_000})
    assert [left.total_g for left in plan.leftovers] == [258]


def test_portions_lines_and_bills_stand_in_the_order_of_the_scenario() -> None:
    scenario = b.SMALL
    units = {line.offer: line.units for line in b.SMALL_PLAN.lines}
    eaten = {(one.dog, one.cut): one.batch_g for one in reversed(b.SMALL_PLAN.portions)}
    plan = finished(scenario, dict(reversed(units.items())), eaten)
    assert plan.lines == b.SMALL_PLAN.lines
    assert plan.bills == b.SMALL_PLAN.bills
    assert plan.portions == b.SMALL_PLAN.portions
    assert plan.leftovers == b.SMALL_PLAN.leftovers
    assert plan.lots_used == b.SMALL_PLAN.lots_used


@pytest.mark.parametrize(
    ("supplier", "breaks_g", "bought", "is_least"),
    [
        (b.a_supplier(minimum_order=1), {}, None, False),
        (b.a_supplier(free_delivery_from=1), {}, None, False),
        (b.a_supplier(), {525: "6.00", 1_807: "6.00"}, None, False),
        (b.a_supplier(), {}, 1, False),
        (b.a_supplier(), {}, None, True),
    ],
    ids=["a minimum order", "free delivery", "a price step", "what is bought already", "a least line"],
)
def test_the_gram_that_rounding_adds_stays_where_something_may_need_it(
    supplier: Supplier, breaks_g: dict[int, str], bought: int | None, *, is_least: bool
) -> None:
    """524.475 g and 1806.525 g are bought as 525 and 1807: 2332 g for a ration of 2331."""
    dog = b.a_dog(daily_g=333, days=7)
    offers = [
        replace(
            b.an_offer_by_weight(cut.name, key=cut.name, breaks_g=breaks_g, least_g=units if is_least else 1),
            bought=bought and units,
        )
        for cut, units in ((b.NECK, 525), (b.TRIM, 1_807))
    ]
    scenario = b.a_scenario(days=7, dogs=[dog], cuts=(b.NECK, b.TRIM), offers=offers, suppliers=[supplier])
    eaten = {("Maple", "chicken neck"): 524.475, ("Maple", "beef trim"): 1806.525}
    plan = finished(scenario, {"chicken neck": 524.475, "beef trim": 1806.525}, eaten)
    assert [line.units for line in plan.lines] == [525, 1_807]
    assert sum(one.total_g for one in plan.leftovers) == 1


@pytest.mark.parametrize(("least_bill", "proved"), [("16.80", False), ("17.30", True)])
def test_a_least_bill_proves_an_order_that_counts_no_more_with_its_trips(least_bill: str, *, proved: bool) -> None:
    """Seven packs are 16.80, and the trip is 0.50."""
    scenario = b.a_scenario(offers=[b.an_offer(key="trim")], suppliers=[b.a_supplier(trip="0.50")])
    proof = Proof(False, Decimal(16), "by hand", least_bill=Decimal(least_bill))
    eaten = {("Maple", "beef trim"): 7_000 * 10**6}
    plan = finish_plan(scenario, Allocation({"trim": 7 * 10**6}, eaten, proof))
    assert plan.proof.proved is proved


def test_a_line_of_a_single_gram_stays_though_nobody_eats_it() -> None:
    dogs = [b.a_dog(daily_g=100, days=10)]
    offers = [b.an_offer(key="trim"), b.an_offer_by_weight("chicken neck", key="neck")]
    scenario = b.a_scenario(dogs=dogs, cuts=(b.NECK, b.TRIM), offers=offers)
    plan = finished(scenario, {"trim": 1, "neck": 0.4}, {("Maple", "beef trim"): 1_000})
    assert [(line.offer, line.units) for line in plan.lines] == [("trim", 1), ("neck", 1)]


def test_a_price_step_a_gram_below_keeps_no_gram() -> None:
    """525 g and 1807 g as above; one gram less is still in the step from 524 g, or from 1806 g, on."""
    offers = [
        b.an_offer_by_weight(cut.name, key=cut.name, breaks_g={grams: "6.00"})
        for cut, grams in ((b.NECK, 524), (b.TRIM, 1_806))
    ]
    scenario = b.a_scenario(days=7, dogs=[b.a_dog(daily_g=333, days=7)], cuts=(b.NECK, b.TRIM), offers=offers)
    eaten = {("Maple", "chicken neck"): 524.475, ("Maple", "beef trim"): 1806.525}
    plan = finished(scenario, {"chicken neck": 524.475, "beef trim": 1806.525}, eaten)
    assert sum(line.units for line in plan.lines) == 2_331
