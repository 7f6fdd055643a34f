"""Small batches and notes for a book, and ways to enter them. All names, prices and amounts are invented."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from raworder.book.entering import Note, make_entries
from raworder.book.kitchen_book import open_book
from raworder.book.ledger import BookError
from raworder.trade.kept import (
    BatchAccount,
    Fed,
    KeptBag,
    ListedPrice,
    Lot,
    NewBag,
    NewLot,
    OrderedLine,
    PaidBill,
    PartGot,
    Stock,
    UsedLot,
)
from tests.builders import HOLLOW_LANE, STARTS, Number

Contents = tuple[tuple[str, int], ...]


def a_day(number: int) -> date:
    """A day by its number, 0 for the first day of the batches here; bags are filled on day -1."""
    return STARTS + timedelta(days=number)


def a_lot(
    cut: str = "beef trim",
    grams: int = 1_000,
    used_g: int = 0,
    *,
    goods: Number = "6.20",
    worth: Number | None = None,
    supplier: str = HOLLOW_LANE,
    code: str = "",
    frozen_on: date | None = None,
) -> NewLot:
    """A kilogram at 6.20 of which nothing went into bags."""
    money = Decimal(str(goods)), Decimal(str(goods if worth is None else worth))
    return NewLot(cut, grams, used_g, 1, *money, supplier, cut, code, frozen_on)


def a_found_lot(cut: str = "beef trim", grams: int = 1_000, frozen_on: date | None = None) -> NewLot:
    """A lot that nobody paid for."""
    return a_lot(cut, grams, goods=0, supplier="", frozen_on=frozen_on)


def a_used_lot(
    cut: str = "beef trim", there_g: int = 500, used_g: int = 500, *, frozen_on: date | None = None, owner: str = ""
) -> UsedLot:
    """A lot of the freezer of unknown age, for all, that went into bags whole."""
    return UsedLot(cut, owner, frozen_on, there_g, used_g)


def a_new_bag(
    label: int = 1, contents: Contents = (("beef trim", 500),), *, dog: str = "Maple", owner: str = "", day: int = 0
) -> NewBag:
    """A bag of 500 g of trim."""
    return NewBag(label, dog, owner, a_day(day), 1, contents)


def a_batch(
    lots: Iterable[NewLot] = (),
    bags: Iterable[NewBag] = (),
    used: Iterable[UsedLot] = (),
    *,
    title: str = "an invented batch",
    starts: int = 0,
    number: str = "",
) -> BatchAccount:
    """A batch of a week that is filled on the day before it starts."""
    return BatchAccount(
        number=number or f"B{starts}",
        title=title,
        currency="EUR",
        starts=a_day(starts),
        days=7,
        order_ahead_days=2,
        filled_on=a_day(starts - 1),
        dogs=(Fed("Maple", "Ada", 500),),
        lots=tuple(lots),
        bags=tuple(bags),
        used=tuple(used),
    )


def a_whole_batch() -> BatchAccount:
    """A batch that has something of everything: 1 kg of trim ordered and bought, half of it in a bag."""
    trim = (HOLLOW_LANE, "beef trim", "beef trim")
    return replace(
        a_batch([a_lot(used_g=500, worth="9.20", code="H7")], [a_new_bag()]),
        ordered=(OrderedLine(*trim, 1, 1_000, Decimal("5.90")),),
        planned=Decimal("8.90"),
        bills=(PaidBill(HOLLOW_LANE, Decimal("6.20"), Decimal("3.00"), Decimal("0.00")),),
        prices=(ListedPrice(HOLLOW_LANE, a_day(-9), *trim[1:], "H7", 1_000, Decimal("5.90"), "kg", Fraction(59, 10)),),
        shares=(PartGot("Maple", "muscle", Fraction(1), Fraction(3, 4), Fraction(1)),),
    )


def enter(path: Path, *notes: Note, day: int = -1) -> tuple[int, ...]:
    """The numbers of the entries that these notes make on a day."""
    return make_entries(path, a_day(day), notes)


def refusal(path: Path, *notes: Note, day: int = -1) -> str:
    """What is said against these notes, with the remedy; they must be refused, and leave the book as it was."""
    before = rows_of(path) if path.exists() else None
    try:
        enter(path, *notes, day=day)
    except BookError as error:
        assert before is None or rows_of(path) == before
        return f"{error}; {error.remedy}"
    raise AssertionError("they were entered")


def rows_of(path: Path) -> dict[str, tuple[tuple[object, ...], ...]]:
    """Every row of every table."""
    with open_book(path) as book:
        return {name: rows for name, _, rows in book.tables()}


def stock_of(path: Path, day: int = 100, before: tuple[str, date] | None = None) -> Stock:
    """What the book says is there on a day."""
    with open_book(path) as book:
        return book.stock(a_day(day), before)


def left_g(path: Path, day: int = 100) -> dict[int, int]:
    """What is left of each lot on a day, by its number."""
    return {lot.number: lot.left_g for lot in stock_of(path, day).lots}


def lots_of(path: Path) -> tuple[Lot, ...]:
    """Every lot that ever was."""
    with open_book(path) as book:
        return book.lots()


def bags_of(path: Path) -> tuple[KeptBag, ...]:
    """Every bag that was ever filled."""
    with open_book(path) as book:
        return book.bags()
