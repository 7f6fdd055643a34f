"""What a batch leaves to the next: parts of a difference that add up, ranges that even out, and what is left over.

Every price and figure is invented. **Source:** plain arithmetic, beside the numbers.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest

from raworder.trade.after_a_batch import Variance, carried_ranges, stock_after, variance, variance_text
from raworder.trade.kept import BatchAccount, NewLot, OrderedLine, PaidBill, PartGot, UsedLot
from tests.builders import EUR
from tests.drawn import drawn, seeds

HOLLOW = "Hollow Lane Butcher"
DAY = date(2027, 2, 5)


def an_order(cut: str = "chicken neck", units: int = 4, grams: int = 4000, goods: str = "9.60") -> OrderedLine:
    return OrderedLine(HOLLOW, cut, cut, units, grams, Decimal(goods))


def a_lot(cut: str = "chicken neck", units: int = 4, grams: int = 4000, goods: str = "9.60", used_g: int = 0) -> NewLot:
    return NewLot(cut, grams, used_g, units, Decimal(goods), Decimal(goods), HOLLOW, cut, frozen_on=DAY)


def an_account(
    ordered: tuple[OrderedLine, ...] = (), lots: tuple[NewLot, ...] = (), delivery: str = "0.00", planned: str = "9.60"
) -> BatchAccount:
    """An account whose planned total was the goods that were ordered unless it says otherwise."""
    bill = PaidBill(HOLLOW, sum((lot.goods for lot in lots), Decimal(0)), Decimal(delivery), Decimal(0))
    return BatchAccount(
        "1", "Two dogs", "EUR", date(2027, 2, 6), 14, 3, DAY, ordered=ordered, planned=Decimal(planned), bills=(bill,),
        lots=lots,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("account", "says"),
    [
        (an_account((an_order(),), (a_lot(),)), "Paid what was planned."),
        (
            an_account((an_order(),), (a_lot(goods="10.40"),)),
            "Paid 0.80 EUR more than planned: prices 0.80.",
        ),
        (  # a pack at 2.40 more
            an_account((an_order(),), (a_lot(units=5, grams=5000, goods="12.00"),)),
            "Paid 2.40 EUR more than planned: more packs 2.40.",
        ),
        (  # 400 g more at 0.24 for 100 g, and 10.56 is then what was planned for 4400 g
            an_account((an_order(),), (a_lot(grams=4400, goods="10.56"),)),
            "Paid 0.96 EUR more than planned: heavier packs 0.96.",
        ),
        (  # cut to order, counted in steps when ordered and as one piece when bought
            an_account((an_order(units=80),), (a_lot(units=1, grams=4100, goods="9.84"),)),
            "Paid 0.24 EUR more than planned: more by weight 0.24.",
        ),
        (
            an_account((an_order(),), (a_lot("turkey neck", goods="11.00"),), delivery="2.00"),
            "Paid 3.40 EUR more than planned: bought instead +11.00, not bought -9.60, delivery and tax +2.00.",
        ),
        (
            an_account((an_order(),), (a_lot(units=3, grams=3000, goods="9.60"),)),
            "Paid what was planned, though not line by line: prices +2.40, fewer packs -2.40.",
        ),
    ],
)
def test_why_it_cost_other_than_planned_is_said_in_one_line(account: BatchAccount, says: str) -> None:
    found = variance(account, EUR)
    assert found is not None
    assert variance_text(found, EUR) == says


def test_nothing_is_said_of_what_nobody_planned_or_paid() -> None:
    account = an_account((an_order(),), (a_lot(),))
    assert variance(replace(account, planned=None), EUR) is None
    assert variance(replace(account, bills=()), EUR) is None


def invented_account(random: Random) -> BatchAccount:
    def money() -> str:
        return f"{Decimal(random.randrange(1, 5000)) / 100:.2f}"

    cuts = ("neck", "trim", "heart", "liver", "kidney")
    ordered = tuple(an_order(cut, random.randrange(1, 9), random.randrange(1, 9000), money()) for cut in cuts[:4])
    lots = tuple(
        a_lot(cut, random.choice((0, 1, 3, 7)), random.randrange(0, 9000), money())
        for cut in cuts
        if random.random() < 0.8
    )
    return an_account(ordered, lots, delivery=money(), planned=money())


@drawn()
def test_the_parts_add_up_to_the_difference_to_the_cent(block: int) -> None:
    for seed in seeds(block, 200):
        account = invented_account(Random(seed))
        found = variance(account, EUR)
        assert found is not None
        assert account.planned is not None
        assert sum((part for _, part in found.parts), Decimal(0)) == found.more == account.paid - account.planned
        assert all(part == part.quantize(Decimal("0.01")) and part for _, part in found.parts)


def test_signs_stand_only_where_some_parts_cost_less() -> None:
    found = Variance(Decimal("-2.00"), (("prices", Decimal("-1.50")), ("lighter packs", Decimal("-0.50"))))
    assert variance_text(found, EUR) == "Paid 2.00 EUR less than planned: prices 1.50, lighter packs 0.50."


ASKED = {
    "muscle": (Fraction(76, 100), Fraction(84, 100)),
    "bone": (Fraction(8, 100), Fraction(12, 100)),
    "liver": (Fraction(4, 100), Fraction(6, 100)),
    "other organ": (Fraction(4, 100), Fraction(6, 100)),
}


def got(part: str, share: str | Fraction) -> PartGot:
    return PartGot("Maple", part, Fraction(share), *ASKED[part])


@pytest.mark.parametrize(
    ("part", "share", "ends"),
    [
        ("bone", "0.11", ("0.08", "0.11")),  # 1 point above the middle of 10 %
        ("bone", "0.12", ("0.08", "0.10")),  # 2 points above: down to the middle, and no further
        ("bone", "0.14", ("0.08", "0.10")),
        ("bone", "0.085", ("0.095", "0.12")),
        (
            "liver",
            "0.0525",
            ("0.04", "0.058"),
        ),  # just a quarter of half the range; 5.75 %, rounded away from the middle
    ],
)
def test_a_surplus_lowers_the_upper_end_and_a_deficit_raises_the_lower(
    part: str, share: str, ends: tuple[str, str]
) -> None:
    (found,) = carried_ranges(ASKED, [got(part, share)])
    assert (found.low, found.high) == tuple(map(Fraction, ends))


@pytest.mark.parametrize(("part", "share"), [("bone", "0.104"), ("liver", "0.0524"), ("muscle", "0.84")])
def test_what_is_near_the_middle_and_muscle_are_not_carried(part: str, share: str) -> None:
    assert carried_ranges(ASKED, [got(part, share)]) == ()


def test_nothing_is_carried_where_the_ranges_could_no_longer_add_up() -> None:
    tight = {"muscle": (Fraction(0), Fraction(88, 100)), "bone": (Fraction(8, 100), Fraction(12, 100))}
    assert carried_ranges(tight, [PartGot("Maple", "bone", Fraction(12, 100), *tight["bone"])]) == ()


def test_a_range_too_narrow_for_hundredths_of_a_percent_is_not_left() -> None:
    narrow = {"muscle": (Fraction(0), Fraction(1)), "bone": (Fraction("0.10001"), Fraction("0.10005"))}
    for share in ("0.10001", "0.10002", "0.10004", "0.10005"):
        for found in carried_ranges(narrow, [PartGot("Maple", "bone", Fraction(share), *narrow["bone"])]):
            assert narrow["bone"][0] <= found.low <= found.high <= narrow["bone"][1]


@drawn()
def test_both_batches_together_stay_within_the_range_asked_for(block: int) -> None:
    for random in map(Random, seeds(block, 200)):
        low = Fraction(random.randrange(0, 2000), 10_000)
        high = low + Fraction(random.randrange(1, 2000), 10_000)
        share = low + (high - low) * Fraction(random.randrange(0, 1001), 1000)
        asked = {"muscle": (Fraction(0), Fraction(1)), "bone": (low, high)}
        for found in carried_ranges(asked, [PartGot("Maple", "bone", share, low, high)]):
            assert low <= found.low <= (low + high) / 2 <= found.high <= high
            assert (found.low > low) != (found.high < high)
            assert all(low <= (share + end) / 2 <= high for end in (found.low, found.high))


def test_what_is_left_over_is_what_was_there_less_what_was_used() -> None:
    used = (UsedLot("beef heart", "Ines", date(2027, 1, 9), 350, 350), UsedLot("kale", "", None, 200, 50))
    account = replace(an_account(lots=(a_lot(used_g=3400), a_lot("beef trim", used_g=4100))), used=used)
    stock = stock_after(account, date(2027, 2, 19))
    assert [(lot.cut, lot.left_g, lot.frozen_on) for lot in stock.lots] == [
        ("kale", 150, None),
        ("chicken neck", 600, DAY),
    ]
