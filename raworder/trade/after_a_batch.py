"""What a batch leaves to the next: why it cost other than planned, what is left of it, which shares to even out."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from raworder.trade.cuts import Part
from raworder.trade.kept import BatchAccount, Lot, NewLot, OrderedLine, PartGot, Stock
from raworder.trade.units import Currency

CARRIED_PARTS = (Part.BONE, Part.LIVER, Part.OTHER_ORGAN)
"""The parts whose surplus or deficit the next batch evens out. Own choice: a body stores what these hold for weeks."""

WORTH_CARRYING = Fraction(1, 4)
"""How far from the middle of its range a share must be, as a part of half the range. Own choice."""

MOST_OFF_A_PACK = Fraction(3, 2)
"""A pack is the same one up to so much heavier or lighter than planned. Own choice."""

FINE = 1_000
"""Carried ends are in tenths of a percent, rounded away from the middle."""


@dataclass(frozen=True, slots=True)
class Variance:
    """How much more was paid than planned, in parts with their names, the largest first, that add up to it exactly."""

    more: Decimal
    parts: tuple[tuple[str, Decimal], ...]


def variance(account: BatchAccount, currency: Currency) -> Variance | None:
    """Why a batch cost other than planned; None where nobody planned it before the shop, or nothing is paid yet.

    Packs are reckoned at what was planned for one, weight at what was planned for a gram; the rest of a line is its
    price. All that is not on a line is delivery and tax.
    """
    if account.planned is None or not account.bills:
        return None
    more = account.paid - account.planned
    planned, bought = _by_line(account.ordered), _by_line(account.lots)
    both = [(planned[key], bought[key]) for key in planned if key in bought]
    as_packs = [pair for pair in both if _are_same_packs(*pair)]
    packs = currency.rounded(sum((_more_packs(*pair) for pair in as_packs), Fraction(0)))
    heavier = currency.rounded(sum((_heavier(*pair) for pair in as_packs), Fraction(0)))
    weighed = currency.rounded(sum((_more_weight(*pair) for pair in both if pair not in as_packs), Fraction(0)))
    prices = sum((line.goods - plan.goods for plan, line in both), Decimal(0)) - packs - heavier - weighed
    instead = sum((line.goods for key, line in bought.items() if key not in planned), Decimal(0))
    missing = -sum((plan.goods for key, plan in planned.items() if key not in bought), Decimal(0))
    named = {
        "prices": prices,
        f"{'heavier' if heavier > 0 else 'lighter'} packs": heavier,
        f"{'more' if packs > 0 else 'fewer'} packs": packs,
        f"{'more' if weighed > 0 else 'less'} by weight": weighed,
        "not bought": missing,
        "bought instead": instead,
    }
    named["delivery, tax and other goods" if _has_others(account) else "delivery and tax"] = more - sum(named.values())
    parts = sorted(((name, part) for name, part in named.items() if part), key=lambda part: -abs(part[1]))
    return Variance(more, tuple(parts))


def variance_text(found: Variance, currency: Currency) -> str:
    """The variance in one line; signs stand only where some parts cost more and some less.

    >>> variance_text(Variance(Decimal("6.20"), (("prices", Decimal("4.10")), ("heavier packs", Decimal("2.10")))),
    ...               Currency("EUR", 2))
    'Paid 6.20 EUR more than planned: prices 4.10, heavier packs 2.10.'
    """
    if not found.parts:
        return "Paid what was planned."
    differ = len({part > 0 for _, part in found.parts}) > 1 or not found.more
    shown = ", ".join(f"{name} {part if differ else abs(part):{'+' if differ else ''}f}" for name, part in found.parts)
    if not found.more:
        return f"Paid what was planned, though not line by line: {shown}."
    than = f"{currency.text(abs(found.more))} {'more' if found.more > 0 else 'less'} than planned"
    return f"Paid {than}: {shown}."


@dataclass(frozen=True, slots=True)
class _Line:
    """Units, grams and goods of one item of a supplier."""

    units: int
    grams: int
    goods: Decimal


def _by_line(lines: Sequence[OrderedLine] | Sequence[NewLot]) -> Mapping[tuple[str, str, str], _Line]:
    """What was planned or bought of each supplier's cut and item, all lines of it together."""
    found: dict[tuple[str, str, str], _Line] = {}
    for line in lines:
        key = (line.supplier, line.cut, line.item)
        before = found.get(key, _Line(0, 0, Decimal(0)))
        found[key] = _Line(before.units + line.units, before.grams + line.grams, before.goods + line.goods)
    return {key: line for key, line in found.items() if line.units or line.grams or line.goods}


def _are_same_packs(planned: _Line, bought: _Line) -> bool:
    """Whether both are counted in the same packs; what is cut to order is counted in other units once it is bought."""
    if not (planned.units and bought.units and planned.grams and bought.grams):
        return False
    ratio = Fraction(bought.grams * planned.units, bought.units * planned.grams)
    return 1 / MOST_OFF_A_PACK <= ratio <= MOST_OFF_A_PACK


def _more_packs(planned: _Line, bought: _Line) -> Fraction:
    """What more packs cost, at what was planned for one."""
    return Fraction(planned.goods) * (bought.units - planned.units) / planned.units


def _heavier(planned: _Line, bought: _Line) -> Fraction:
    """What heavier packs cost, at what was planned for a gram."""
    as_planned = Fraction(planned.grams * bought.units, planned.units)
    return (bought.grams - as_planned) * Fraction(planned.goods) / planned.grams


def _more_weight(planned: _Line, bought: _Line) -> Fraction:
    """What more of something cut to order costs, at what was planned for a gram."""
    return (bought.grams - planned.grams) * Fraction(planned.goods) / planned.grams if planned.grams else Fraction(0)


def _has_others(account: BatchAccount) -> bool:
    """Whether anything was bought that is no food, of which the order's lines say nothing."""
    return any(bill.other for bill in account.bills)


@dataclass(frozen=True, slots=True)
class CarriedRange:
    """The range of a part for a dog in the next batch, narrowed by what it got too much or too little in the last."""

    part: str
    got: Fraction
    low: Fraction
    high: Fraction


def carried_ranges(
    asked: Mapping[str, tuple[Fraction, Fraction]], shares: Iterable[PartGot]
) -> tuple[CarriedRange, ...]:
    """The ranges that even out what a dog got, within those `asked` for by part; none where they cannot add up.

    Where the last batch stood above the middle of a range by so much, the end above is lowered by it, but never below
    the middle; where it stood below, the end below is raised.
    """
    carried = tuple(filter(None, (_carried(got, *asked[got.part]) for got in shares if got.part in asked)))
    ranges = {**asked, **{range_.part: (range_.low, range_.high) for range_ in carried}}
    low, high = (sum((ends[place] for ends in ranges.values()), Fraction(0)) for place in (0, 1))
    return carried if low <= 1 <= high else ()


def _carried(got: PartGot, low: Fraction, high: Fraction) -> CarriedRange | None:
    """The narrowed range of one part; None where it was near enough to the middle, or is none to carry."""
    half, middle = (high - low) / 2, (high + low) / 2
    off = got.share - middle
    if got.part not in CARRIED_PARTS or not half or abs(off) < WORTH_CARRYING * half:
        return None
    if off > 0:
        lowered = Fraction(ceil(max(high - off, middle) * FINE), FINE)
        return CarriedRange(got.part, got.share, low, lowered) if lowered < high else None
    raised = Fraction(floor(min(low - off, middle) * FINE), FINE)
    return CarriedRange(got.part, got.share, raised, high) if raised > low else None


def stock_after(account: BatchAccount, day: date) -> Stock:
    """What a batch leaves over if it goes as the account says: what was on hand first, then what was bought."""
    return Stock(day, tuple(_left_of(account)), (), account.currency)


def _left_of(account: BatchAccount) -> Iterator[Lot]:
    """A lot for all of which something is left."""
    nothing = Decimal(0)
    for lot in account.used:
        left_g = lot.there_g - lot.used_g
        if left_g > 0:
            yield Lot(
                0, 0, lot.cut, lot.there_g, left_g, nothing, nothing, account.currency, account.filled_on,
                lot.frozen_on, owner=lot.owner,
            )  # fmt: skip
    for bought in account.lots:
        left_g = bought.grams - bought.used_g
        if left_g > 0:
            yield Lot(
                0, 0, bought.cut, bought.grams, left_g, bought.goods, bought.worth, account.currency,
                account.filled_on, bought.frozen_on, bought.supplier, bought.item, bought.code,
            )  # fmt: skip
