"""A freezer by the book, made by hand. Names, prices and amounts are invented; the sums stand beside the numbers."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from raworder.reading.reference import read_cuts, read_keeping
from raworder.trade.cuts import Cut
from raworder.trade.kept import BatchAccount, Fed, KeptBag, ListedPrice, Lot, NewLot, PaidBill, PricePoint, Stock
from tests import builders as b

ALDER, BRACK = "Alder Street Meats", "Brackenhill Farm"
STARTS, TODAY = b.STARTS, b.STARTS + timedelta(7)  # Sat 6 and Sat 13 Feb 2027
FILLED_ON = STARTS - timedelta(1)
BATCH = "270206-1A2B"

MAPLE = b.a_dog("Maple", weight_g=20_000, daily_g=300, owner="Ines")
JUNIPER = b.a_dog("Juniper", weight_g=9_000, daily_g=200, owner="Tomas")
SCENARIO = replace(
    b.a_scenario(title="Two dogs, month after month (invented)", dogs=(MAPLE, JUNIPER)),
    keeping=read_keeping(),
    room_g=20_000,
)
CUTS: dict[str, Cut] = {cut.cut.name: cut.cut for cut in read_cuts()}


def a_bag(label: int, dog: str, day: int, **others: object) -> KeptBag:
    """A bag for a day of the batch, counted from 0: Maple's of 300 g cost 1.20, Juniper's of 200 g cost 0.80."""
    grams = 300 if dog == "Maple" else 200
    owner = "Ines" if dog == "Maple" else "Tomas"
    contents = (("beef heart", grams // 4), ("chicken neck", grams - grams // 4))
    feed_on = STARTS + timedelta(day)
    made = KeptBag(
        100 + label, 4, BATCH, label, dog, owner, feed_on, 1, FILLED_ON, contents, Fraction(grams * 4, 1_000)
    )
    return replace(made, **others)  # type: ignore[arg-type]  # fields of a bag by name


BAGS = (
    *(a_bag(label, "Maple", label - 1) for label in range(1, 15)),
    *(a_bag(label, "Juniper", label - 15) for label in range(15, 29)),
)

LOTS = (
    # 600 of 2000 g are left: 12.40 x 0.3 is 3.72
    Lot(1, 3, "chicken neck", 2_000, 600, Decimal("11.00"), Decimal("12.40"), "EUR", FILLED_ON, FILLED_ON, ALDER,
        "Necks 2 kg", "N2", "L-0417"),
    # found, so it cost nothing; 4 months of beef from 1 Sep 2026 ended on 1 Jan, 3 of heart on 1 Dec
    Lot(2, 2, "beef heart", 400, 400, Decimal(0), Decimal(0), "EUR", date(2026, 9, 1), date(2026, 9, 1)),
    # 300 of 900 g are left: 5.00 x 1/3 is 1.666...
    Lot(3, 3, "lamb liver", 900, 300, Decimal("5.00"), Decimal("5.00"), "EUR", FILLED_ON, None, BRACK, "Liver",
        owner="Ines"),
)  # fmt: skip

STOCK = Stock(TODAY, LOTS, tuple(bag for bag in BAGS if bag.feed_on >= TODAY), "EUR")
# 7 x 300 + 7 x 200 = 3500 g in 14 bags for 8.40 + 5.60 = 14.00; 1300 g loose for 3.72 + 1.67 = 5.39

ACCOUNT = BatchAccount(
    number=BATCH,
    title=SCENARIO.title,
    currency="EUR",
    starts=STARTS,
    days=14,
    order_ahead_days=3,
    filled_on=FILLED_ON,
    dogs=(Fed("Maple", "Ines", 300), Fed("Juniper", "Tomas", 200)),
    bills=(
        PaidBill(ALDER, Decimal("24.00"), Decimal("2.00"), Decimal(0)),
        PaidBill(BRACK, Decimal("5.00"), Decimal(0), Decimal(0)),
    ),
    lots=(
        NewLot("chicken neck", 7_250, 5_250, 4, Decimal("19.00"), Decimal("20.60"), ALDER, "Necks 2 kg"),
        NewLot("beef heart", 1_750, 1_750, 1, Decimal("5.00"), Decimal("5.40"), ALDER, "Heart"),
        NewLot("lamb liver", 900, 600, 1, Decimal("5.00"), Decimal("5.00"), BRACK, "Liver"),
    ),
)


def a_point(cut: str, day: date, price: str, *, supplier: str = ALDER, paid: bool = True) -> PricePoint:
    """What a kilogram cost on a day."""
    return PricePoint(cut, day, supplier, cut, Fraction(price), paid)


POINTS = (
    # paid: 2.00 + 2.40 + 2.20 + 2.60 + 2.80 = 12.00, the mean 2.40; of the last four the cheapest is 2.20
    a_point("beef trim", date(2026, 10, 2), "2.00"),
    a_point("beef trim", date(2026, 10, 30), "2.40"),
    a_point("beef trim", date(2026, 11, 27), "2.20", supplier=BRACK),
    a_point("beef trim", date(2026, 11, 27), "2.50", paid=False),
    a_point("beef trim", date(2027, 1, 8), "2.60"),
    a_point("beef trim", date(2027, 2, 5), "2.80"),
)
LISTED = (
    # 3.00 is a quarter above 2.40
    ListedPrice(ALDER, TODAY, "beef trim", "Trim", "T1", 1_000, Decimal("3.00"), "kg", Fraction(3)),
    ListedPrice(BRACK, TODAY, "beef trim", "Trim", "", 5_000, Decimal("16.00"), "pack", Fraction("3.2")),
)
