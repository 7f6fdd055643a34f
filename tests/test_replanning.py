"""After the shop: the same plan for what was planned, and what is missing, fetched or done without for anything else.

**Source:** arithmetic; sums stand beside the numbers. All dogs, prices and receipts are invented.
"""

import json
import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.auditing.checks import audit
from raworder.rendering.as_json import plan_as_json
from raworder.rendering.markdown import markdown
from raworder.replanning import REPLANNED, ReplanResult, replan_batch
from raworder.reporting.shares import shares
from raworder.reporting.summary import summary
from raworder.solving.solver import Settings
from raworder.trade.cuts import Measure, Part
from raworder.trade.document import Document
from raworder.trade.plan import Plan
from raworder.trade.purchase import SECOND_TRIP, Purchase, Receipt, Received, Way, full_receipt, scenario_after_shop
from raworder.trade.scenario import Scenario, Variety
from raworder.workflow import Answer, plan_batch
from tests import builders as b
from tests.worked_out import after_the_shop, freezing

LIVER_TARGET = b.a_target(Part.LIVER, "4/100", "6/100")

# 7 kg: 560 to 840 g of bone are 24 to 35 necks, two packs; 280 to 420 g of liver one pack; the rest trim, of which half
# a kilogram is on hand: five packs. 2 x 2.40 + 1.90 + 5 x 2.40 = 18.70
SCENARIO = b.a_scenario(
    dogs=[b.a_dog(targets=[b.a_target(), LIVER_TARGET])],
    cuts=(b.NECK, b.TRIM, b.LIVER),
    offers=[
        b.an_offer("chicken neck", key="neck"),
        b.an_offer("beef trim", key="trim"),
        b.an_offer("lamb liver", key="liver", pack_g=500, price="1.90"),
    ],
    on_hand=[b.on_hand()],
)
LINES = {"neck": 2, "trim": 5, "liver": 1}


def planned(scenario: Scenario = SCENARIO) -> Plan:
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    return plan


def receipt(scenario: Scenario = SCENARIO) -> Receipt:
    """Just what was planned."""
    offers = {offer.key: offer for offer in scenario.offers}
    return Receipt(
        tuple(
            Received(
                line.offer,
                offers[line.offer].supplier,
                offers[line.offer].cut,
                line.units,
                offers[line.offer].grams(line.units),
                line.goods,
            )
            for line in planned(scenario).lines
        )
    )


def changed(cut: str, change: Callable[[Received], Received | None]) -> Receipt:
    """What was planned, but for one cut."""
    lines = [change(line) if line.cut == cut else line for line in receipt().lines]
    return Receipt(tuple(line for line in lines if line is not None))


def replanned(bought: Receipt, scenario: Scenario = SCENARIO, *, as_it_is: bool = False) -> tuple[ReplanResult, Plan]:
    """What comes of a receipt, a plan that breaks no rule."""
    found = replan_batch(scenario, bought, Settings(), as_it_is=as_it_is)
    assert isinstance(found.answer, Plan), found.answer
    assert audit(found.scenario, found.answer) == ()
    return found, found.answer


WAYS: Sequence[tuple[Way, bool, Callable[[Received], Received | None]]] = (
    (Way.ENOUGH, False, lambda line: replace(line, grams=line.grams + 20)),
    (Way.FETCH, False, lambda _: None),
    (Way.AS_IT_IS, True, lambda _: None),
)


@pytest.mark.parametrize(("way", "as_it_is", "change"), WAYS, ids=[way for way, *_ in WAYS])
def test_the_purchase_makes_the_same_scenario_again_without_solving(
    way: Way, as_it_is: bool, change: Callable[[Received], Received | None]
) -> None:
    found, _ = replanned(changed("lamb liver", change), as_it_is=as_it_is)
    assert found.purchase is not None
    assert found.purchase.way is way
    assert scenario_after_shop(SCENARIO, found.purchase) == found.scenario != SCENARIO


@pytest.mark.slow
def test_with_the_plan_that_was_taken_to_the_shop_the_old_batch_is_not_solved_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    bought = changed("lamb liver", lambda line: replace(line, grams=line.grams + 20))
    before, without = planned(), replanned(bought)[1]
    solved: list[Scenario] = []

    def watched(scenario: Scenario, settings: Settings) -> Answer:
        solved.append(scenario)
        return plan_batch(scenario, settings)

    monkeypatch.setattr("raworder.replanning.plan_batch", watched)
    found = replan_batch(SCENARIO, bought, Settings(), before)
    assert found.answer == without
    assert found.after is not None
    assert found.after.planned == before.total
    assert solved == [found.scenario]
    assert replan_batch(SCENARIO, receipt(), Settings(), before) == ReplanResult(SCENARIO, before)
    assert solved == [found.scenario]


def in_bytes(plan: Plan) -> bytes:
    return json.dumps(plan_as_json(plan)).encode()


def test_the_scenario_is_planned_as_worked_out_by_hand() -> None:
    plan = planned()
    assert {line.offer: line.units for line in plan.lines} == LINES
    assert plan.total == Decimal("18.70")


def test_what_was_bought_as_planned_leaves_the_plan_as_it_was_byte_for_byte() -> None:
    found, plan = replanned(receipt())
    assert in_bytes(plan) == in_bytes(planned())
    assert found.after is None
    assert found.scenario == SCENARIO
    assert REPLANNED not in plan.remarks


def test_the_order_of_the_lines_on_a_receipt_does_not_matter() -> None:
    found, plan = replanned(Receipt(tuple(reversed(receipt().lines))))
    assert found.after is None
    assert in_bytes(plan) == in_bytes(planned())


def test_what_is_missing_is_named_and_the_cheapest_that_completes_it_is_told() -> None:
    """No liver: 4 % of 7000 g are 280 g; a pack of 500 g is 1.90. 18.70 - 1.90 were paid."""
    found, plan = replanned(changed("lamb liver", lambda _: None))
    assert found.after is not None
    (missed,) = found.after.missed
    assert (missed.dog, missed.subject, missed.off_g) == ("Maple", b.a_subject(Measure.PART, Part.LIVER), 280)
    assert (found.after.planned, found.after.paid) == (Decimal("18.70"), Decimal("16.80"))
    assert found.after.to_fetch == Decimal("1.90")
    assert found.after.fetched == (f"500 g of lamb liver, {b.HOLLOW_LANE}",)
    assert {line.offer: line.units for line in plan.lines} == {"neck": 2, "trim": 5, f"liver{SECOND_TRIP}": 1}
    assert plan.remarks[0] == REPLANNED


def test_what_there_was_none_of_is_not_told_to_be_fetched() -> None:
    """The only liver is out of stock, so nothing completes it; with dearer liver elsewhere, that does."""
    bought = replace(changed("lamb liver", lambda _: None), none_left=("liver",))
    found = replan_batch(SCENARIO, bought, Settings())
    assert not isinstance(found.answer, Plan)
    elsewhere = b.an_offer("lamb liver", key="other liver", supplier=b.FENWICK, pack_g=500, price="9.00")
    suppliers = (*SCENARIO.suppliers, b.a_supplier(b.FENWICK))
    found, _ = replanned(bought, replace(SCENARIO, offers=(*SCENARIO.offers, elsewhere), suppliers=suppliers))
    assert found.after is not None
    assert found.after.fetched == (f"500 g of lamb liver, {b.FENWICK}",)


def test_a_substitute_that_the_scenario_does_not_know_is_fed() -> None:
    """500 g of calf liver in place of the lamb liver, at 2.50: 18.70 - 1.90 + 2.50 are paid."""
    calf = b.a_cut("calf liver", kind="liver", parts={b.Part.LIVER: 1}, fat="1/20")
    line = Received("", b.HOLLOW_LANE, "calf liver", 1, 500, Decimal("2.50"))
    lines = changed("lamb liver", lambda _: None).lines
    found, plan = replanned(Receipt((*lines, line), cuts=(calf,)))
    assert found.after is not None
    assert (found.after.enough, found.after.paid) == (True, Decimal("19.30"))
    assert plan.eaten_g("Maple", "calf liver") >= 280


@pytest.mark.slow
def test_of_several_ways_to_complete_it_the_cheapest_is_told() -> None:
    """Another supplier has liver at 1.50, but charges a delivery of 0.50: 2.00, dearer than 1.90; without it, 1.50."""
    other = b.an_offer("lamb liver", key="other liver", supplier=b.FENWICK, pack_g=500, price="1.50", available=0)
    there = replace(SCENARIO, offers=(*SCENARIO.offers, replace(other, available=3)))
    for delivery, to_fetch, supplier in ((Decimal("0.50"), "1.90", b.HOLLOW_LANE), (Decimal(0), "1.50", b.FENWICK)):
        suppliers = (*SCENARIO.suppliers, b.a_supplier(b.FENWICK, delivery=delivery))
        bought = changed("lamb liver", lambda _: None)
        found, _ = replanned(bought, replace(there, suppliers=suppliers))
        assert found.after is not None
        assert found.after.to_fetch == Decimal(to_fetch)
        assert found.after.fetched == (f"500 g of lamb liver, {supplier}",)


def test_as_it_is_the_dogs_get_what_there_is_and_nothing_is_fetched() -> None:
    found, plan = replanned(changed("lamb liver", lambda _: None), as_it_is=True)
    assert found.after is not None
    assert (found.after.as_it_is, found.after.to_fetch, found.after.fetched) == (True, None, ())
    assert [one.off_g for one in found.after.missed] == [280]
    assert plan.eaten_g("Maple", "lamb liver") == 0
    assert {line.offer: line.units for line in plan.lines} == {"neck": 2, "trim": 5}
    assert plan.total == Decimal("16.80")


def test_too_little_food_is_told_with_its_grams_and_all_the_same_rationed_out_as_it_is() -> None:
    """Four packs of trim fewer: 2000 g of neck, 1500 of trim and 500 of liver are 4000 g at most of 7000."""
    bought = changed("beef trim", lambda line: replace(line, units=1, grams=1_000, paid=Decimal("2.40")))
    found, plan = replanned(bought, as_it_is=True)
    assert found.after is not None
    assert 3_000 <= found.after.short_g < 4_500
    assert sum(portion.batch_g for portion in plan.portions) == 7_000 - found.after.short_g
    fetched, whole = replanned(bought)
    assert fetched.after is not None
    assert fetched.after.to_fetch
    assert sum(portion.batch_g for portion in whole.portions) == 7_000


@pytest.mark.parametrize(("grams", "paid"), [(2_130, "5.11"), (1_900, "4.80"), (2_000, "9.99")])
def test_other_weights_and_prices_are_planned_with_as_they_are(grams: int, paid: str) -> None:
    """Two packs of neck that weigh or cost something else; the other lines come to 13.90."""
    found, plan = replanned(changed("chicken neck", lambda line: replace(line, grams=grams, paid=Decimal(paid))))
    assert found.after is not None
    assert found.after.missed == ()
    assert found.after.to_fetch is None
    assert plan.total == found.after.paid == Decimal(paid) + Decimal("13.90")
    left_g = {left.cut: left.total_g for left in plan.leftovers}
    assert plan.eaten_g("Maple", "chicken neck") + left_g.get("chicken neck", 0) == grams


def test_a_substitute_that_is_on_no_list_is_fed() -> None:
    """Liver from elsewhere on the same bill: 450 g for 2.25."""
    bought = changed("lamb liver", lambda line: replace(line, offer="", units=1, grams=450, paid=Decimal("2.25")))
    found, plan = replanned(bought)
    assert 280 <= plan.eaten_g("Maple", "lamb liver") <= 420
    assert plan.total == Decimal("16.80") + Decimal("2.25")
    assert [line.units for line in plan.lines if line.offer not in LINES] == [1]
    assert found.after is not None
    assert found.after.missed == ()


def test_what_was_charged_for_delivery_and_taxed_is_paid() -> None:
    """7 % on 18.70 are 1.309; a delivery of 4.50 was planned, and 6.00 charged."""
    suppliers = (b.a_supplier(delivery="4.50", sales_tax="7/100"),)
    scenario = replace(SCENARIO, suppliers=suppliers)
    bought = replace(receipt(scenario), delivery=((b.HOLLOW_LANE, Decimal("6.00")),))
    found, plan = replanned(bought, scenario)
    assert found.after is not None
    assert found.after.planned == Decimal("18.70") + Decimal("1.31") + Decimal("4.50")
    assert plan.total == found.after.paid == Decimal("18.70") + Decimal("1.31") + Decimal("6.00")


def test_the_delivery_that_was_planned_and_charged_changes_nothing() -> None:
    scenario = replace(SCENARIO, suppliers=(b.a_supplier(delivery="4.50"),))
    bought = replace(receipt(scenario), delivery=((b.HOLLOW_LANE, Decimal("4.50")),))
    found, _ = replanned(bought, scenario)
    assert found.after is None


def test_limits_of_money_room_and_suppliers_do_not_undo_what_was_bought() -> None:
    """A budget that the dearer neck exceeds."""
    scenario = replace(SCENARIO, budget=Decimal("18.70"), room_g=9_000, most_suppliers=1)
    bought = changed("chicken neck", lambda line: replace(line, paid=Decimal("9.00")))
    found, plan = replanned(bought, scenario)
    assert plan.total == Decimal("22.90")
    assert found.scenario.budget is None


def test_two_runs_after_the_shop_are_the_same_byte_for_byte() -> None:
    bought = changed("lamb liver", lambda _: None)
    assert in_bytes(replanned(bought)[1]) == in_bytes(replanned(bought)[1])


def test_budget_and_room_that_what_was_bought_exceeds_are_told_on_the_pages() -> None:
    """Nine packs of trim in place of five: 18.70 + 4 x 2.40 = 28.30 where 20 may be spent, and 4 kg more to freeze."""
    scenario = replace(SCENARIO, budget=Decimal(20), room_g=9_000)
    bought = changed("beef trim", lambda line: replace(line, units=9, grams=9_000, paid=Decimal("21.60")))
    found, plan = replanned(bought, scenario)
    assert (found.scenario.as_asked.budget, found.scenario.as_asked.room_g) == (Decimal(20), 9_000)
    assert found.after is not None
    said = told_in(after_the_shop(found.scenario, found.after, plan))
    assert "The bills come to 8.30 EUR more than the budget of 20.00 EUR." in said
    assert "The freezer is too small by " in said
    assert "Over the budget" in told_in(summary(found.scenario, plan))
    assert "The freezer is too small by " in told_in(freezing(found.scenario, plan))


def test_within_budget_and_room_nothing_is_said_of_them() -> None:
    scenario = replace(SCENARIO, budget=Decimal(40), room_g=90_000)
    found, plan = replanned(changed("beef trim", lambda line: replace(line, paid=Decimal("13.00"))), scenario)
    assert found.after is not None
    said = told_in(after_the_shop(found.scenario, found.after, plan))
    assert "budget" not in said
    assert "freezer" not in said
    assert "Left of the budget" in told_in(summary(found.scenario, plan))


def told_in(document: Document) -> str:
    """All that a page says, on one line."""
    return " ".join(markdown([document]).split())


def test_where_species_cannot_be_had_any_more_the_bags_are_filled_all_the_same_and_it_is_said() -> None:
    """Trim is beef, neck chicken, liver lamb; three species were asked for, and there was no neck and no liver."""
    scenario = replace(SCENARIO, variety=Variety(least_species=3, least_share=Fraction(3, 100)))
    beef = tuple(line for line in receipt(scenario).lines if line.cut == "beef trim")
    more = replace(beef[0], units=7, grams=7_000, paid=Decimal("16.80"))
    found, plan = replanned(Receipt((more,)), scenario, as_it_is=True)
    assert found.after is not None
    assert found.after.any_species
    assert found.purchase is not None
    assert scenario_after_shop(scenario, found.purchase) == found.scenario
    assert {portion.cut for portion in plan.portions} == {"beef trim"}
    assert found.scenario.as_asked.variety == scenario.variety
    said = told_in(after_the_shop(found.scenario, found.after, plan))
    assert "Not the species that were asked for: at least 3 species of at least 3 % each." in said
    assert "Asked: at least 3 species of at least 3 % each." in told_in(shares(found.scenario, plan))


def test_rations_are_cut_by_no_more_than_it_takes() -> None:
    """A pack of trim fewer than needed: of 7000 g, 6500 g are there, and all but scraps is fed."""
    bought = changed("beef trim", lambda line: replace(line, units=4, grams=3_600, paid=Decimal("9.60")))
    found, _ = replanned(bought, as_it_is=True)
    assert found.after is not None
    unfed_g = found.after.there_g - (found.after.needed_g - found.after.short_g)
    assert unfed_g <= found.after.there_g / 100
    assert "of which " in found.scenario.dogs[0].ration_says


def test_all_that_was_bought_on_both_ways_is_one_receipt() -> None:
    """The liver was forgotten and is fetched: with it the receipt is the planned one; delivery is paid twice."""
    scenario = replace(SCENARIO, suppliers=(b.a_supplier(delivery="4.50"),))
    lines = tuple(line for line in receipt(scenario).lines if line.cut != "lamb liver")
    found, plan = replanned(Receipt(lines), scenario)
    both = full_receipt(scenario, plan, found.purchase)
    assert set(both.lines) == set(receipt(scenario).lines)
    assert both.delivery == ((b.HOLLOW_LANE, Decimal("9.00")),)
    again = replan_batch(scenario, both, Settings(), plan, found.purchase)
    assert isinstance(again.answer, Plan)
    assert again.after is not None
    assert (again.after.enough, again.answer.total) == (True, plan.total)


def test_more_of_an_offer_fetched_on_the_second_way_is_one_line() -> None:
    """One pack of neck of two was to be had: 900 g as weighed, and 1 kg by the list later."""
    bought = changed("chicken neck", lambda line: replace(line, units=1, grams=300, paid=Decimal("2.20")))
    found, plan = replanned(bought)
    (neck,) = (line for line in full_receipt(SCENARIO, plan, found.purchase).lines if line.offer == "neck")
    fetched = next(line for line in plan.lines if line.offer == f"neck{SECOND_TRIP}")
    assert (neck.units, neck.grams) == (1 + fetched.units, 300 + 1_000 * fetched.units)
    assert neck.paid == Decimal("2.20") + fetched.goods


def test_a_saved_plan_tells_its_way_after_the_shop_in_these_words_and_its_batch_in_four_signs() -> None:
    assert [way.value for way in Way] == ["enough", "fetch", "fetch, less than at rest", "as it is", "cut up"]
    purchase = Purchase(full_receipt(b.SMALL, b.SMALL_PLAN))
    assert re.fullmatch(r"[0-9A-F]{4}", scenario_after_shop(b.SMALL, purchase).shop_signs)
