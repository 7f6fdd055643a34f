"""Offers: packs, weights, steps, breaks, limits and keys."""

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.offers import price_per_kg
from raworder.trade.scenario import PriceStep
from raworder.trade.units import GRAMS_PER
from tests.builders import an_offer
from tests.reading.written import a_text, offer_of, reading_of, scenario_of, slugs


def test_a_pack_with_its_price(tmp_path: Path) -> None:
    offer = offer_of(tmp_path, "cut: kale, item: curly kale, code: 0042, pack: 1 kg, price: 2.40")
    assert (offer.unit_g, offer.by_weight, offer.available) == (1000, False, None)
    assert offer.steps == (PriceStep(1, Fraction(12, 5), Decimal("2.40"), "pack"),)
    assert (offer.item, offer.code, offer.supplier) == ("curly kale", "0042", "your list")


def test_a_pack_priced_by_weight_costs_whole_cents_halves_up(tmp_path: Path) -> None:
    offer = offer_of(tmp_path, "cut: kale, pack: 250 g, price: 6.30 per kg")
    assert offer.steps == (PriceStep(1, Fraction(158, 100), Decimal("6.30"), "kg"),)


def test_a_pack_priced_per_pack_says_so(tmp_path: Path) -> None:
    assert offer_of(tmp_path, "cut: kale, pack: 1 kg, price: 2.40 per pack").steps[0].per == "pack"


@pytest.mark.parametrize(
    ("price", "per_gram"),
    [
        ("6.20 per kg", Fraction(620, 100_000)),
        ("0.62 per 100 g", Fraction(620, 100_000)),
        ("2.00 per lb", Fraction(200_000, 45_359_237)),
        ("0.20 EUR per oz", Fraction(20 * 10**7, 28349523125)),
    ],
)
def test_a_price_by_weight_is_exact_and_to_the_gram(tmp_path: Path, price: str, per_gram: Fraction) -> None:
    # Source of the factors: the international pound of 1959; an ounce is a sixteenth of it.
    offer = offer_of(tmp_path, f"cut: kale, step: 1 g, price: {price}")
    assert offer.to_the_gram
    assert offer.steps[0].unit_price == per_gram


def test_a_cut_sold_in_steps_of_weight(tmp_path: Path) -> None:
    offer = offer_of(tmp_path, "cut: kale, step: 50 g, price: 6.20 per kg, available: 4.02 kg")
    assert (offer.unit_g, offer.by_weight, offer.to_the_gram) == (50, True, False)
    assert offer.steps[0].unit_price == Fraction(31, 100)
    assert offer.available == 80


@pytest.mark.parametrize(
    ("fields", "step_g", "least_g"),
    [
        ("", 50, 100),
        ("step: 1 g,", 1, 100),
        ("step: 1 g, least: 1 g,", 1, 1),
        ("step: 30 g,", 30, 120),
        ("step: 250 g,", 250, 250),
        ("least: 320 g,", 50, 350),
        ("least: 20 g,", 50, 50),
    ],
)
def test_by_weight_a_shop_sells_100_g_in_steps_of_50_g_unless_the_offer_says_so(
    tmp_path: Path, fields: str, step_g: int, least_g: int
) -> None:
    # Source of both amounts: own choice.
    offer = offer_of(tmp_path, f"cut: kale, {fields} price: 6.20 per kg")
    assert (offer.unit_g, offer.grams(offer.least_units)) == (step_g, least_g)


def test_in_pounds_a_shop_sells_a_quarter_pound_in_steps_of_an_ounce(tmp_path: Path) -> None:
    # Source of both amounts: own choice; of the factors: the international pound of 1959.
    offer = scenario_of(tmp_path, a_text(more="units: lb")).offers[0]
    assert offer.unit_g == Fraction(28349523125, 10**9)
    assert offer.unit_g * offer.least_units == Fraction(45359237, 400_000)


def test_an_offer_beats_its_supplier_and_a_supplier_the_scenario_in_what_is_sold_at_least(tmp_path: Path) -> None:
    more = """least_purchase: {least: 300 g, step: 20 g}
suppliers:
  - {name: A, cuts: [{cut: chard, price: 3.10 per kg}]}
  - {name: B, least_purchase: 200 g, cuts: [{cut: chard, price: 3.20 per kg}]}
  - {name: C, least_purchase: {step: 1 g}, cuts: [{cut: chard, price: 3.30 per kg, least: 5 g}]}
"""
    offers = scenario_of(tmp_path, a_text(more=more)).offers
    assert {offer.supplier: (offer.unit_g, offer.grams(offer.least_units)) for offer in offers} == {
        "your list": (20, 300),
        "A": (20, 300),
        "B": (20, 200),
        "C": (1, 5),
    }


def test_packs_have_no_least(tmp_path: Path) -> None:
    assert offer_of(tmp_path, "cut: kale, pack: 20 g, price: 1").least_units == 1


def test_keys_tell_apart_what_differs_only_in_the_least_that_is_sold(tmp_path: Path) -> None:
    cuts = "  - {cut: kale, price: 3 per kg}\n  - {cut: kale, price: 3 per kg, least: 200 g}"
    first, second = scenario_of(tmp_path, a_text(cuts=cuts)).offers
    assert first.key != second.key


def test_price_breaks_take_the_basis_of_the_offer(tmp_path: Path) -> None:
    offer = offer_of(tmp_path, "cut: kale, step: 30 g, price: 6.00 per kg, price_breaks: [{from: 1 kg, price: 5.00}]")
    assert [(step.at_least, step.unit_price, step.per) for step in offer.steps] == [
        (1, Fraction(18, 100), "kg"),
        (34, Fraction(15, 100), "kg"),
    ]


def test_price_breaks_by_the_pack(tmp_path: Path) -> None:
    breaks = "[{from: 5, price: 2.20}, {from: 10, price: 2.00}]"
    offer = offer_of(tmp_path, f"cut: kale, pack: 1 kg, price: 2.40, price_breaks: {breaks}")
    assert [(step.at_least, step.listed) for step in offer.steps] == [
        (1, Decimal("2.40")),
        (5, Decimal("2.20")),
        (10, Decimal("2.00")),
    ]


@pytest.mark.parametrize(("available", "most", "units"), [(10, 3, 3), (2, 5, 2), (0, 5, 0)])
def test_the_lesser_of_stock_and_most_per_order_counts(tmp_path: Path, available: int, most: int, units: int) -> None:
    offer = offer_of(tmp_path, f"cut: kale, pack: 1 kg, price: 2, available: {available}, most_per_order: {most}")
    assert offer.available == units


def test_money_has_the_digits_of_its_currency(tmp_path: Path) -> None:
    # Source: ISO 4217, from memory, not looked up: JPY has no minor unit, KWD has three decimals.
    yen = a_text(cuts="  - {cut: kale, pack: 1 kg, price: 240}").replace("EUR", "JPY")
    dinar = a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2.405}").replace("EUR", "KWD")
    assert scenario_of(tmp_path, yen).offers[0].steps[0].listed == Decimal(240)
    assert scenario_of(tmp_path, dinar).offers[0].steps[0].listed == Decimal("2.405")
    assert slugs(reading_of(tmp_path, dinar.replace("KWD", "JPY"))) == ["bad-value"]


def test_keys_are_readable_and_unlike_for_unlike_lines(tmp_path: Path) -> None:
    lines = [
        "pack: 1 kg, price: 2",
        "pack: 1 kg, price: 3",
        "pack: 2 kg, price: 4",
        "price: 3 per kg",
        "pack: 1 g, price: 1",
    ]
    cuts = "\n".join(f"  - {{cut: kale, {line}}}" for line in lines)
    keys = [offer.key for offer in scenario_of(tmp_path, a_text(cuts=cuts)).offers]
    assert len(set(keys)) == len(lines)
    assert "your list/kale/2000 g" in keys
    assert "your list/kale/50 g by weight" in keys
    assert sum(key.startswith("your list/kale/1000 g/") for key in keys) == 2


def test_keys_differ_whatever_the_names_of_suppliers_and_cuts(tmp_path: Path) -> None:
    more = """own_cuts:
  - {cut: c, species: beef, bone: 0 %, fat: 1 %}
  - {cut: b/c, species: beef, bone: 0 %, fat: 1 %}
suppliers:
  - {name: a/b, cuts: [{cut: c, item: x, pack: 1 kg, price: 1}]}
  - {name: a, cuts: [{cut: b/c, item: x, pack: 1 kg, price: 1}]}
"""
    scenario = scenario_of(tmp_path, a_text(more=more))
    keys = [offer.key for offer in scenario.offers]
    assert len(set(keys)) == len(keys) == 3
    assert {(scenario.offer(key).supplier, scenario.offer(key).cut) for key in keys} == {
        ("a", "b/c"),
        ("a/b", "c"),
        ("your list", "kale"),
    }


def test_a_line_written_twice_is_kept_once(tmp_path: Path) -> None:
    cuts = "  - {cut: kale, pack: 1 kg, price: 2}\n  - {cut: Kale, pack: 1000 g, price: 2.00, item: Kale}\n"
    reading = reading_of(tmp_path, a_text(cuts=cuts + "  - {cut: kale, pack: 1 kg, price: 2.00}"))
    assert slugs(reading) == ["repeated-offer"]
    assert reading.scenario is not None
    assert len(reading.scenario.offers) == 2


def test_a_catch_weight_is_a_pack_of_the_mean_priced_by_weight(tmp_path: Path) -> None:
    # 2.3 kg at 6.20 per kg is 14.26
    offer = offer_of(tmp_path, "cut: kale, pack: about 2.3 kg, up_to: 2.6 kg, price: 6.20 per kg, available: 3")
    assert (offer.unit_g, offer.heaviest_g, offer.by_weight) == (2300, 2600, False)
    assert (offer.steps[0].unit_price, offer.steps[0].per) == (Fraction("14.26"), "kg")
    assert offer.available == 3


def test_the_heaviest_of_a_catch_weight_is_a_tenth_more_if_not_said(tmp_path: Path) -> None:
    offer = offer_of(tmp_path, "cut: kale, pack: about 5 lb, price: 6.20 per kg")
    assert offer.unit_g == 5 * GRAMS_PER["lb"]
    assert offer.heaviest_g == offer.unit_g * Fraction(11, 10)


def test_a_pack_that_weighs_what_it_says_has_no_heaviest(tmp_path: Path) -> None:
    assert offer_of(tmp_path, "cut: kale, pack: 2.3 kg, price: 6.20 per kg").heaviest_g is None


def test_breaks_of_a_catch_weight_are_counted_in_packs_and_priced_by_weight(tmp_path: Path) -> None:
    fields = "cut: kale, pack: about 2 kg, price: 6.20 per kg, price_breaks: [{from: 3, price: 6.00}]"
    offer = offer_of(tmp_path, fields)
    assert [(step.at_least, step.unit_price) for step in offer.steps] == [(1, Fraction("12.40")), (3, 12)]


@pytest.mark.parametrize(
    ("fields", "found"),
    [
        ("pack: about 2 kg, price: 6.20", ["about-at-a-fixed-price"]),
        ("pack: about 2 kg, price: 6.20 per pack", ["about-at-a-fixed-price"]),
        (
            "pack: about 2 kg, price: 6.20 per kg, price_breaks: [{from: 3, price: 12.00 per pack}]",
            ["about-at-a-fixed-price"],
        ),
        ("pack: about 2 kg, up_to: 2 kg, price: 6.20 per kg", []),
        ("pack: about 2 kg, up_to: 1999 g, price: 6.20 per kg", ["heaviest-out-of-place"]),
        ("pack: 2 kg, up_to: 2.2 kg, price: 6.20 per kg", ["heaviest-out-of-place"]),
        ("up_to: 2.2 kg, price: 6.20 per kg", ["heaviest-out-of-place"]),
        ("pack: about 2 kg, step: 50 g, price: 6.20 per kg", ["two-ways"]),
        ("pack: about 0.5 g, price: 6.20 per kg", ["zero-amount"]),
    ],
)
def test_what_a_catch_weight_says_must_fit(tmp_path: Path, fields: str, found: list[str]) -> None:
    assert slugs(reading_of(tmp_path, a_text(cuts=f"  - {{cut: kale, {fields}}}"))) == found


def test_keys_tell_a_catch_weight_from_a_pack_and_from_one_with_another_heaviest(tmp_path: Path) -> None:
    lines = [
        "pack: 2 kg, price: 6.20 per kg",
        "pack: about 2 kg, price: 6.20 per kg",
        "pack: about 2 kg, up_to: 2.5 kg, price: 6.20 per kg",
        "pack: about 2 kg, up_to: 2.6 kg, price: 6.20 per kg",
    ]
    cuts = "\n".join(f"  - {{cut: kale, {line}}}" for line in lines)
    keys = [offer.key for offer in scenario_of(tmp_path, a_text(cuts=cuts)).offers]
    assert len(set(keys)) == len(lines)
    assert "your list/kale/2000 g" in keys
    assert sum(key.startswith("your list/kale/about 2000 g/") for key in keys) == 3


def test_packs_are_compared_by_the_kilogram() -> None:
    assert price_per_kg(an_offer(pack_g=500, price="2.40")) == Fraction("4.80")
