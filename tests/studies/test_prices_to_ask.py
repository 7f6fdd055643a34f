"""Prices to ask for: each is tried a minor unit on either side by solving again, and by a second model.

**Source:** the workflow itself on altered scenarios; arithmetic beside each hand-made case.
"""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest

from raworder.solving.search import COST, HANDINESS, SearchGoal
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask
from raworder.studies.prices_to_ask import listed_above, listed_below, prices_to_ask, unit_price_at
from raworder.trade.document import Document, Paragraph, Points, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import PriceStep, Scenario
from raworder.workflow import order_batch
from tests import builders as b
from tests.drawn import few
from tests.outside.invented import invented, with_thresholds

NEARLY_NOTHING = Decimal("0.0005")
SEEDS = (3, 4, 13, 26, 27, 34, 40, 46, 47)
ROWS_EACH = 2
EXACT = SearchGoal((COST, HANDINESS))
"""Of the orders of the least cost before any rounding the handiest: what prices are reckoned for."""


def asked(scenario: Scenario, **only: tuple[str, ...]) -> Document:
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    return prices_to_ask(scenario, base, Ask(), **only)


def rows(document: Document, key: str) -> list[dict[str, object]]:
    tables = (one for one in document.blocks if isinstance(one, Table) and one.key == key)
    return [dict(zip((column.key for column in one.columns), row, strict=True)) for one in tables for row in one.rows]


def points(document: Document, key: str) -> tuple[str, ...]:
    return next((one.items for one in document.blocks if isinstance(one, Points) and one.key == key), ())


def text(document: Document) -> str:
    return " ".join(one.text for one in document.blocks if isinstance(one, Paragraph))


def two_sellers(**fenwick: object) -> Scenario:
    """7 kg of trim at 2.40 per kg, or at 3.00 from another."""
    offers = [
        b.an_offer("beef trim", key="cheap", price="2.40"),
        b.an_offer("beef trim", key="dear", supplier=b.FENWICK, price="3.00"),
    ]
    return b.a_scenario(offers=offers, suppliers=[b.a_supplier(), b.a_supplier(b.FENWICK, **fenwick)])


def test_an_offer_as_cheap_as_another_must_be_a_cent_cheaper() -> None:
    """At 2.40 either may be bought; at 2.39 the other one is. The cheap one leaves above 3.00, at 3.01."""
    document = asked(two_sellers())
    (enters,), (leaves,) = rows(document, "not_bought"), rows(document, "bought")
    assert (enters["listed"], enters["asked"], enters["fall_share"]) == (3, Decimal("2.39"), Fraction(61, 300))
    assert (leaves["listed"], leaves["leaves_at"], leaves["because"]) == (
        Decimal("2.40"),
        Decimal("3.01"),
        "an order without it costs less",
    )
    assert "with all others as listed" in text(document)


def test_a_delivery_is_spread_over_the_packs() -> None:
    """2.40 - 1 / 7 = 2.257..., so 2.25 for the seven packs; the cheap one leaves at 3.00 + 1 / 7 = 3.142..., 3.15."""
    document = asked(two_sellers(delivery=1))
    (enters,), (leaves,) = rows(document, "not_bought"), rows(document, "bought")
    assert (enters["asked"], enters["then_bought"]) == (Decimal("2.25"), "7 packs of 1 kg")
    assert leaves["leaves_at"] == Decimal("3.15")


def test_thresholds_are_said_to_count_list_prices() -> None:
    """At least 24.00 at 3.00 is eight packs for 16.80 in all, 2.10 each, so a cent below."""
    document = asked(two_sellers(minimum_order=24))
    assert rows(document, "not_bought")[0]["asked"] == Decimal("2.09")
    assert "list price" in text(document)
    assert "list price" not in text(asked(two_sellers()))


def test_prices_near_a_rounding_are_said_to_depend_on_the_bill() -> None:
    taxed = replace(two_sellers(), suppliers=(b.a_supplier(sales_tax="7/100"), b.a_supplier(b.FENWICK)))
    assert "the printed bill decides" in text(asked(taxed))
    assert "the printed bill decides" not in text(asked(two_sellers()))


def test_what_is_not_worth_its_delivery_is_not_bought_as_a_gift() -> None:
    document = asked(two_sellers(delivery=20))
    assert points(document, "never_bought") == (f"{b.FENWICK}: beef trim, 3.00 per pack",)
    assert not rows(document, "not_bought")


def test_what_nothing_can_take_the_place_of_is_bought_at_any_price() -> None:
    document = asked(b.a_scenario())
    assert points(document, "always_bought") == (f"{b.HOLLOW_LANE}: beef trim, 2.40 per pack",)
    assert not rows(document, "bought")


def test_with_a_budget_it_is_bought_as_long_as_the_budget_lasts() -> None:
    """Seven packs within 21.00 may cost 3.00 each; at 3.01 they cost 21.07."""
    scenario = b.a_scenario(offers=[b.an_offer(price="2.40")], budget=21)
    (leaves,) = rows(asked(scenario), "bought")
    assert (leaves["leaves_at"], leaves["because"]) == (Decimal("3.01"), "no order fits the budget")


def test_the_budget_comes_before_a_dearer_order_without_it() -> None:
    """An order from the other one costs 21.00, over the budget of 18; seven packs within 18 may cost 2.571 each."""
    (leaves,) = rows(asked(replace(two_sellers(), budget=Decimal(18))), "bought")
    assert (leaves["leaves_at"], leaves["because"]) == (Decimal("2.58"), "no order fits the budget")


def test_what_is_out_of_stock_is_left_out() -> None:
    scenario = two_sellers()
    offers = tuple(replace(one, available=0) if one.key == "dear" else one for one in scenario.offers)
    document = asked(replace(scenario, offers=offers))
    assert not rows(document, "not_bought")
    assert not points(document, "never_bought")


def test_only_what_is_named_is_asked_about() -> None:
    document = asked(two_sellers(), suppliers=(b.FENWICK,))
    assert rows(document, "not_bought")
    assert not rows(document, "bought")
    assert not asked(two_sellers(), cuts=("lamb liver",)).blocks


def test_an_interrupted_study_says_what_is_missing() -> None:
    scenario = two_sellers()
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    document = prices_to_ask(scenario, base, Ask(interrupted=True))
    assert text(document) == "This is not all: 2 offers could not be answered in time."


def test_many_dogs_have_prices_too() -> None:
    """Nine dogs of 100 g eat 12.6 kg in 14 days: 13 packs. Delivery 1.30 is 0.10 a pack: 2.30, so 2.29."""
    dogs = tuple(b.a_dog(f"Dog {number}", daily_g=100) for number in range(9))
    document = asked(replace(two_sellers(delivery="1.30"), dogs=dogs))
    assert rows(document, "not_bought")[0]["asked"] == Decimal("2.29")


def test_a_price_per_pound_is_told_per_pound() -> None:
    """A pound at 2.40 per kg is 1.0886...; a cent below is 1.08."""
    pound = Fraction(45359237, 10**5)
    offers = [
        b.an_offer("beef trim", key="cheap", price="2.40"),
        replace(
            b.an_offer_by_weight("beef trim", key="dear", supplier=b.FENWICK),
            unit_g=pound / 100,
            steps=(PriceStep(1, Fraction(2) / 100, Decimal("2.00"), "lb"),),
        ),
    ]
    (enters,) = rows(asked(b.a_scenario(offers=offers)), "not_bought")
    assert (enters["asked"], enters["price_for"]) == (Decimal("1.08"), "lb")


@few("seed", SEEDS, 3)
def test_the_plan_changes_at_the_price_and_not_a_minor_unit_before(seed: int) -> None:
    """At the price to ask for it is bought and costs less; a cent above nothing is saved; two above it is not bought.

    At the price it is left at it is not bought; two cents below it is. A cent on which both cost the same is a tie.
    """
    scenario = _without_thresholds((invented, with_thresholds)[seed % 2](Random(seed)))
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    document = prices_to_ask(scenario, base, Ask())
    cent, bound = scenario.currency.minor, base.proof.bound
    for key, listed in _some(Random(seed), document, "not_bought", "asked"):
        below, above = (_at(scenario, key, listed + cents * cent) for cents in (0, 1))
        assert (_buys(scenario, below, key), below.proof.bound < bound) == (True, True)
        assert above.proof.bound >= bound - NEARLY_NOTHING
        assert not _buys(scenario, _at(scenario, key, listed + 2 * cent), key)
    for key, listed in _some(Random(seed), document, "bought", "leaves_at"):
        assert not _buys(scenario, _at(scenario, key, listed), key)
        assert _buys(scenario, _at(scenario, key, listed - 2 * cent), key)


@pytest.mark.slow
def test_random_scenarios_have_rows_of_both_kinds() -> None:
    found = {"not_bought": 0, "bought": 0}
    for seed in SEEDS[:4]:
        document = asked(_without_thresholds((invented, with_thresholds)[seed % 2](Random(seed))))
        found = {key: count + len(rows(document, key)) for key, count in found.items()}
    assert min(found.values()) > 4


def test_a_pack_at_a_price_for_a_weight_is_charged_to_the_cent() -> None:
    """A mean pack of 454 g at 1.99 per kg is 0.903..., charged 0.90; at 2.00 it is 0.91, at 1.98 still 0.90."""
    step = PriceStep(1, Fraction("0.90"), Decimal("1.99"), "kg")
    offer = replace(b.an_offer(pack_g=454), steps=(step,), heaviest_g=Fraction(500))
    money = b.EUR
    assert [unit_price_at(offer, Decimal(listed), money) for listed in ("1.98", "1.99", "2.00")] == [
        Fraction("0.90"),
        Fraction("0.90"),
        Fraction("0.91"),
    ]
    assert listed_below(offer, Fraction("0.905"), money) == Decimal("1.99")
    assert listed_above(offer, Fraction("0.905"), money) == Decimal("2.00")
    assert listed_below(offer, Fraction("0.00"), money) is None


def _without_thresholds(scenario: Scenario) -> Scenario:
    """The scenario whose suppliers have no thresholds, so that the price asked for can simply be put on the list."""
    suppliers = (replace(one, minimum_order=Decimal(0), free_delivery_from=None) for one in scenario.suppliers)
    return replace(scenario, suppliers=tuple(suppliers), budget=None)


def _some(random: Random, document: Document, key: str, price: str) -> Iterator[tuple[str, Decimal]]:
    """Some rows: the offer and its price."""
    found = [row for row in rows(document, key) if row["doubt"] == ""]
    for row in random.sample(found, min(ROWS_EACH, len(found))):
        offer, listed = row["offer"], row[price]
        assert isinstance(offer, str)
        assert isinstance(listed, Decimal)
        yield offer, listed


def at_listed(scenario: Scenario, key: str, listed: Decimal) -> Scenario:
    """The scenario in which that offer has one listed price for any amount."""
    offer = scenario.offer(key)
    step = PriceStep(1, unit_price_at(offer, listed, scenario.currency), listed, offer.steps[0].per)
    changed = (replace(one, steps=(step,)) if one is offer else one for one in scenario.offers)
    return replace(scenario, offers=tuple(changed))


def _at(scenario: Scenario, key: str, listed: Decimal) -> Plan:
    """The cheapest order where the offer has that price."""
    order = order_batch(at_listed(scenario, key, listed), Settings(), EXACT)
    assert isinstance(order, Plan)
    return order


def _buys(scenario: Scenario, plan: Plan, key: str) -> bool:
    """Whether more than a gram is bought: of what is cut to the gram the solver's tolerance may leave just one."""
    return any(line.offer == key and scenario.offer(key).grams(line.units) > 1 for line in plan.lines)
