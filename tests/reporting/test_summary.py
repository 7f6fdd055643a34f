"""The summary and the sentence of proof."""

from dataclasses import replace
from decimal import Decimal

from raworder.reporting.summary import proof_text, summary
from raworder.trade.document import Document, Fact, Facts
from raworder.trade.units import Currency
from tests import builders as b
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.worked_out import papers

WEIGHED = b.a_scenario(offers=[b.an_offer_by_weight()], suppliers=[b.a_supplier(sales_tax="7/100")])
"""Lines, taxes and grams are all rounded."""


def facts(document: Document) -> dict[str, Fact]:
    return {fact.key: fact for block in document.blocks if isinstance(block, Facts) for fact in block.items}


def test_what_is_paid_and_where_comes_first() -> None:
    first, second, *_ = facts(summary(HOUSEHOLD, HOUSEHOLD_PLAN)).values()
    assert first.value == Decimal("92.93")
    assert second.value == "Hollow Lane Butcher 64.53 EUR, Fenwick Wholesale 28.40 EUR"


def test_budget_freezer_and_dog_days_are_told() -> None:
    told = facts(summary(HOUSEHOLD, HOUSEHOLD_PLAN))
    assert told["budget_left"].value == Decimal("7.07")
    assert told["bought_g"].value == 15_184
    assert told["frozen_g"].value == 15_184 + 1_500
    assert told["dog_days"].value == 41
    assert told["cost_per_dog_day"].value == Decimal("2.27")  # 92.93 / 41 is 2.2666


def test_what_was_not_asked_is_not_told() -> None:
    assert not {"budget", "budget_left", "room_g", "frozen_g"} & set(facts(summary(b.a_scenario(), b.a_plan())))


def test_one_supplier_is_named_without_its_sum() -> None:
    assert facts(summary(b.a_scenario(), b.a_plan()))["suppliers"].value == "Hollow Lane Butcher"


def test_many_dogs_are_counted() -> None:
    dogs = tuple(b.a_dog(f"dog {number}") for number in range(9))
    assert facts(summary(b.a_scenario(dogs=dogs), b.a_plan(portions=())))["dogs"].value == "9 dogs"


def test_a_bill_that_is_the_least_is_proved_in_one_sum() -> None:
    """However the exact cost was before lines were rounded."""
    for proof in (b.a_proof("16.80"), b.a_proof("16.79"), b.a_proof("16.8012")):
        plan = b.a_plan(proof=replace(proof, least_bill=Decimal("16.80")))
        assert proof_text(WEIGHED, plan) == "Proved: no order that follows your rules costs less than 16.80 EUR."


def test_a_bill_above_the_least_that_is_known_says_why_in_one_clause() -> None:
    plan = b.a_plan(proof=replace(b.a_proof("16.79"), least_bill=Decimal("16.78")))
    assert proof_text(WEIGHED, plan) == (
        "Proved: no order that follows your rules costs less than 16.78 EUR; this one costs 16.80 EUR, "
        "as lines and sales tax are rounded to 0.01 EUR and meat is sold in whole grams."
    )
    packs = b.a_scenario(offers=[b.an_offer(price="2.405")])
    assert proof_text(packs, plan).endswith("this one costs 16.80 EUR, as lines are rounded to 0.01 EUR.")
    grams = b.a_scenario(offers=[b.an_offer_by_weight(price_per_kg=10)])
    assert proof_text(grams, plan).endswith("this one costs 16.80 EUR, as meat is sold in whole grams.")


def test_a_plan_that_was_saved_without_its_least_bill_tells_the_bound() -> None:
    assert proof_text(b.a_scenario(), b.a_plan(proof=b.a_proof("16.80"))) == (
        "Proved: no order that follows your rules costs less than 16.80 EUR."
    )
    assert proof_text(b.a_scenario(), b.a_plan(proof=b.a_proof("16.79"))) == (
        "Proved: no order that follows your rules costs less than 16.79 EUR; this one costs 16.80 EUR."
    )


def test_what_is_not_proved_is_told_by_the_least_bill() -> None:
    proof = replace(b.a_proof("15.30", proved=False), least_bill=Decimal("15.28"))
    assert proof_text(b.a_scenario(), b.a_plan(proof=proof)).endswith(
        "none can cost less than 15.28 EUR, a difference of at most 1.52 EUR."
    )


def test_without_proof_nothing_is_called_cheapest() -> None:
    text = proof_text(b.a_scenario(), b.a_plan(proof=b.a_proof("15.30", proved=False)))
    assert text.startswith("Not proved to be the cheapest")
    assert "16.80 EUR" in text
    assert "15.30 EUR" in text
    assert "at most 1.50 EUR" in text


def test_yen_have_no_decimals() -> None:
    scenario = replace(b.a_scenario(), currency=Currency("JPY", 0))
    plan = b.a_plan(bills=(replace(b.a_bill(), goods=Decimal(2400), delivery=Decimal(0), tax=Decimal(0)),))
    assert proof_text(scenario, replace(plan, proof=b.a_proof("2399.99"))).endswith("less than 2400 JPY.")
    assert "less than 2399 JPY; this one costs 2400 JPY" in proof_text(
        scenario, replace(plan, proof=b.a_proof("2399.6"))
    )


def test_all_papers_come_in_the_order_of_need() -> None:
    assert [paper.key for paper in papers(HOUSEHOLD, HOUSEHOLD_PLAN)] == [
        "first_look",
        "summary",
        "shopping_list",
        "portioning_list",
        "shares",
        "costs",
        "cautions",
    ]


def test_the_sample_is_a_plan_that_the_audit_passes() -> None:
    from raworder.auditing.checks import audit

    assert audit(HOUSEHOLD, HOUSEHOLD_PLAN) == ()
