"""Whether prices are likely."""

from pathlib import Path

import pytest

from tests.reading.written import a_text, reading_of, slugs

MEAT = (
    "  - {cut: beef round, pack: 10 kg, price: 65.00}\n  - {cut: chicken liver, pack: 500 g, price: 1.80}\n"
    "  - {cut: lamb kidney, price: 5.00 per kg}\n"
)


def kale_at(prices: list[str]) -> str:
    return "\n".join(f"  - {{cut: kale, item: kale {n}, price: {price} per kg}}" for n, price in enumerate(prices))


@pytest.mark.parametrize(
    ("prices", "doubted"),
    [
        (["3.00", "3.00", "3.00", "12.00"], 0),
        (["3.00", "3.00", "3.00", "12.01"], 1),
        (["4.00", "4.00", "4.00", "1.00"], 0),
        (["4.00", "4.00", "4.00", "0.99"], 1),
        (["3.00", "3.00", "40.00"], 0),
    ],
)
def test_a_price_four_times_off_the_median_of_four_is_doubted(tmp_path: Path, prices: list[str], doubted: int) -> None:
    assert slugs(reading_of(tmp_path, a_text(cuts=kale_at(prices)))) == ["price-outlier"] * doubted


def test_a_price_is_compared_with_its_kind_and_not_with_every_cut(tmp_path: Path) -> None:
    bony = ["chicken neck", "chicken back", "duck neck", "turkey neck"]
    boneless = ["beef trim", "lamb trim", "venison trim", "goat trim"]
    cuts = "\n".join(f"  - {{cut: {cut}, price: 1.00 per kg}}" for cut in bony)
    cuts += "\n" + "\n".join(f"  - {{cut: {cut}, price: 9.00 per kg}}" for cut in boneless)
    assert slugs(reading_of(tmp_path, a_text(cuts=cuts))) == []


@pytest.mark.parametrize(("price", "doubted"), [("6.50", 0), ("650.00", 1), ("30.00", 1), ("28.00", 0), ("0.20", 1)])
def test_where_a_kind_has_few_offers_its_price_is_compared_with_all(tmp_path: Path, price: str, doubted: int) -> None:
    # Common practice, no source: ten times or a tenth of the median of at least four offers.
    cuts = f"{MEAT}  - {{cut: beef liver, pack: 500 g, price: {price}}}"
    reading = reading_of(tmp_path, a_text(cuts=cuts))
    assert slugs(reading) == ["price-outlier"] * doubted
    assert all("beef liver" in finding.message for finding in reading.findings)


def test_three_offers_are_too_few_to_compare(tmp_path: Path) -> None:
    assert slugs(reading_of(tmp_path, a_text(cuts=MEAT.replace("65.00", "6500.00")))) == []


def test_a_price_of_nothing_is_doubted_and_compared_with_nothing(tmp_path: Path) -> None:
    cuts = f"{MEAT}  - {{cut: beef liver, pack: 500 g, price: 0}}\n  - {{cut: kale, price: 0.00 per kg}}"
    reading = reading_of(tmp_path, a_text(cuts=cuts))
    assert slugs(reading) == ["price-of-nothing"] * 2
    assert reading.scenario is not None


def test_a_break_to_nothing_is_doubted(tmp_path: Path) -> None:
    cuts = "  - {cut: kale, pack: 1 kg, price: 2.00, price_breaks: [{from: 5, price: 0}]}"
    assert slugs(reading_of(tmp_path, a_text(cuts=cuts))) == ["price-of-nothing"]
