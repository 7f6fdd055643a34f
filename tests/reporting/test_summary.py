"""The summary and the sentence of proof."""

from dataclasses import replace
from decimal import Decimal

from raworder.document import Document, Fact, Facts
from raworder.reporting.papers import papers
from raworder.reporting.summary import proof_text, summary
from raworder.units import Currency
from tests import builders as b
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN


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


def test_a_proof_that_reaches_the_total_needs_no_more_words() -> None:
    plan = b.a_plan(proof=b.a_proof("16.80"))
    assert proof_text(b.a_scenario(), plan) == (
        "Cheapest, proved: no order within these rules costs less than 16.80 EUR."
    )


def test_a_bound_below_or_above_the_total_speaks_of_rounding() -> None:
    for bound in ("16.79", "16.81"):  # rounded down to the minor unit
        assert proof_text(b.a_scenario(), b.a_plan(proof=b.a_proof(bound))) == (
            f"Cheapest, proved: no order within these rules costs less than {bound} EUR "
            "before its lines are rounded to 0.01 EUR; this one costs 16.80 EUR."
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
    assert proof_text(scenario, replace(plan, proof=b.a_proof("2399.99"))).endswith("this one costs 2400 JPY.")
    assert "less than 2399 JPY before" in proof_text(scenario, replace(plan, proof=b.a_proof("2399.6")))


def test_all_papers_come_in_the_order_of_need() -> None:
    assert [paper.key for paper in papers(HOUSEHOLD, HOUSEHOLD_PLAN)] == [
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
