"""Balanced weeks: what every dog's bags hold over any seven days running, and days with more than is usual."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from itertools import groupby

from raworder.reporting.bag_book import BagBook, bags_by_dog, bags_text
from raworder.reporting.words import (
    MOST_NAMED,
    NOT_ASKED,
    Meal,
    count_text,
    join_names,
    meals,
    paper,
    range_text,
    subject_text,
)
from raworder.trade.bags import Bag
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.dogs import Dog
from raworder.trade.rulebook import WEEK_DAYS
from raworder.trade.scenario import Scenario
from raworder.trade.units import day_text, grams_text, share_text

TITLE = "More in a day than is usual"
BONE = Subject(Measure.PART, Part.BONE)
BONE_ADVICE = "Much bone in a day can block a gut: stay with the dog, and ask a veterinarian before feeding it."


@dataclass(frozen=True, slots=True)
class FullDay:
    """A dog, a day and the numbers of its bags: so much of its food is something of which `most` is usual in a day."""

    dog: str
    day: date
    bags: tuple[int, ...]
    subject: Subject
    share: Fraction
    most: Fraction


def days_too_full(book: BagBook) -> Iterator[FullDay]:
    """Every day that holds more of something than was asked of a day, dog by dog; none where no rule gave way."""
    if book.scenario.asked is None:
        return
    asked = book.scenario.as_asked
    rules = {dog.name: dog for dog in asked.dogs}
    for dog, numbered in bags_by_dog(book):
        if dog.care:
            continue
        bags = [bag.bag for bag in numbered]
        shares = {subject: _share(book, subject, bags) for subject, _ in asked.portioning.most_a_day}
        most = tuple(rules[dog.name].most_a_day(asked.portioning, shares))
        for day in dict.fromkeys(bag.day for bag in bags):
            of_day = [bag for bag in numbered if bag.bag.day == day]
            numbers, fed = tuple(bag.number for bag in of_day), [bag.bag for bag in of_day]
            for subject, allowed in most:
                share = _share(book, subject, fed)
                if share > allowed:
                    yield FullDay(dog.name, day, numbers, subject, share, allowed)


def full_days(book: BagBook) -> Iterator[Points]:
    """A list of such days, where there are any, and what to do about them."""
    found = tuple(days_too_full(book))
    if found:
        advice = (BONE_ADVICE,) if any(full_day.subject == BONE for full_day in found) else ()
        yield Points("full_days", TITLE, (*_said(found), *advice))


def bags_too_full(book: BagBook) -> dict[int, str]:
    """What there is more of than is usual in a day, in words, by the numbers of that day's bags."""
    found: dict[int, list[str]] = {}
    for full_day in days_too_full(book):
        for number in full_day.bags:
            found.setdefault(number, []).append(subject_text(full_day.subject))
    return {number: f"more {join_names(what)} than is usual in a day" for number, what in found.items()}


def _said(found: tuple[FullDay, ...]) -> Iterator[str]:
    """A sentence for each dog and what there is much of, with its days."""
    groups: dict[tuple[str, Subject], list[FullDay]] = {}
    for full_day in found:
        groups.setdefault((full_day.dog, full_day.subject), []).append(full_day)
    for (dog, subject), days in groups.items():
        usual = f"at most {share_text(days[0].most)} is usual"
        yield f"{dog}, {subject_text(subject)}: {_days_text(days)}; {usual}."


def _days_text(days: list[FullDay]) -> str:
    """Few days each with its share and bags, of more the fullest and all bags."""
    if len(days) <= MOST_NAMED:
        return join_names(
            [f"{day_text(full_day.day)} {share_text(full_day.share)} ({bags_text(full_day.bags)})" for full_day in days]
        )
    most = max(days, key=lambda full_day: full_day.share)
    bags = bags_text(number for full_day in days for number in full_day.bags)
    return f"{len(days)} days ({bags}), most on {day_text(most.day)}, {share_text(most.share)}"


def _share(book: BagBook, subject: Subject, bags: list[Bag]) -> Fraction:
    """How much of what is in some bags counts; of a mix, the mean over what is in it."""
    fillings = [filling for bag in bags for filling in bag.fillings]
    counts = sum((book.share_in(subject, filling.cut) * filling.grams for filling in fillings), Fraction(0))
    return counts / (sum(filling.grams for filling in fillings) or 1)


COLUMNS = (
    Column("dog", "Dog", shown=False),
    Column("what", "What"),
    Column("asked", "Asked"),
    Column("batch_share", "All days", Holds.SHARE),
    Column("least_week_share", "Leanest week", Holds.SHARE),
    Column("most_week_share", "Richest week", Holds.SHARE),
    Column("allowance_share", "Give or take", Holds.SHARE),
    Column("most_day_share", "Fullest day", Holds.SHARE),
)
OF_WEEKS = frozenset({"least_week_share", "most_week_share", "allowance_share"})
"""The columns that hold nothing for a dog that is fed on fewer days than a week has."""

ALLOWANCE = "allowance_share"
ALLOWED = [column.key for column in COLUMNS].index(ALLOWANCE)
"""What a week may be off by, and where it stands in a row; weeks that come as they do are held to nothing."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """A range of a dog's rules."""

    subject: Subject
    low: Fraction
    high: Fraction


def weeks(book: BagBook) -> Document:
    """A table per dog, the allowance beside every range, and in how many kinds of bag that is done."""
    return paper(book.scenario, "weeks", "Balanced weeks", _blocks(book))


def _blocks(book: BagBook) -> Iterator[Block]:
    """What the tables say, then the tables."""
    yield Paragraph(_how_shares_hold(book.scenario))
    yield from full_days(book)
    if book.scenario.shares_pieces:
        yield Paragraph(
            "Pieces are counted for dogs fed alike and shared out, so that over all days, too, a dog's shares may be "
            "off by about a piece."
        )
    least, shared = dict(book.plan.least_kinds), _shared_pieces(book)
    rules = {dog.name: dog for dog in book.scenario.as_asked.dogs}
    fed = {meal.dog.name: meal for meal in meals(book.scenario, book.plan)}
    for dog, numbered in bags_by_dog(book):
        bags = [bag.bag for bag in numbered]
        made = (_row(book, fed[dog.name], bags, asked, shared.get(dog.name, ())) for asked in _asked(rules[dog.name]))
        rows = tuple(row for row in made if row[2] != NOT_ASKED or row[3])
        if rows and not dog.care:
            kinds = _kinds_text(bags, least.get(dog.name, 0))
            yield _table(dog, rows, kinds)


def _how_shares_hold(scenario: Scenario) -> str:
    """Over which days shares hold, and what may be off."""
    portioning = scenario.portioning
    if portioning.week_allowance == 1:
        return (
            "What was bought cannot be spread as was asked: weeks come as they do, pieces may be cut, and no day is "
            "held to its most. Beside what was asked stands what the weeks and the fullest day hold."
        )
    given_way = " Some ranges are missed with what was bought; they are told as they were asked for."
    given_way = "" if scenario.as_asked.dogs == scenario.dogs else given_way
    return (
        "Shares hold over any seven fed days running, not day by day. A week may leave its range by what whole pieces "
        f"and least portions of {grams_text(portioning.least_portion_g, scenario.weight_unit)} make uneven, and by "
        f"{share_text(portioning.week_allowance)} of its food (`week_allowance`): the more it may, the fewer kinds "
        f"of bag are needed.{given_way}"
    )


def _table(dog: Dog, rows: tuple[tuple[Cell, ...], ...], kinds: str) -> Table:
    """The rows of one dog; one that is fed on too few days for a week has all its fed days instead of weeks."""
    days = len(_due_g(dog))
    if days >= WEEK_DAYS:
        held = any(row[ALLOWED] is not None for row in rows)
        columns = tuple(replace(column, shown=column.shown and (held or column.key != ALLOWANCE)) for column in COLUMNS)
        return Table("weeks", dog.name, columns, rows, note=kinds)
    columns = tuple(
        replace(column, heading="All fed days")
        if column.key == "batch_share"
        else replace(column, shown=column.shown and column.key not in OF_WEEKS)
        for column in COLUMNS
    )
    note = f"Fed on {count_text(days, 'day')}, fewer than a week has: its shares hold over all fed days. {kinds}"
    return Table("weeks", dog.name, columns, rows, note=note)


def _due_g(dog: Dog) -> list[int]:
    """What the dog eats on each day on which it is fed."""
    return [grams for grams in dog.day_g if grams]


def _kinds_text(bags: Sequence[Bag], least_kinds: int) -> str:
    """How many kinds of bag there are, and how few there can be where that is known."""
    kinds = len({bag.kind for bag in bags})
    fewest = f"; no fewer than {least_kinds} can hold its pieces" if kinds > least_kinds else "; fewer cannot be"
    return f"{count_text(len(bags), 'bag')} of {count_text(kinds, 'kind')}{fewest if least_kinds else ''}."


def _asked(dog: Dog) -> Iterator[_Asked]:
    """The ranges, then the caps."""
    yield from (_Asked(Subject(Measure.PART, target.part), target.low, target.high) for target in dog.targets)
    yield from (_Asked(cap.subject, Fraction(0), cap.most) for cap in dog.caps)


def _shared_pieces(book: BagBook) -> Mapping[str, tuple[str, ...]]:
    """For every dog the whole-piece cuts that it or a dog with the same rules eats, where pieces are shared out."""
    if not book.scenario.shares_pieces:
        return {}
    whole = {name for name, cut in book.cuts.items() if book.scenario.portioning.whole_piece_g(cut)}
    rules = {
        name: (frozenset(dog.targets), frozenset(dog.caps), frozenset(filter(dog.avoids, book.scenario.cuts)))
        for name, dog in book.dogs.items()
    }
    eaten: dict[object, dict[str, None]] = {}
    for portion in book.plan.portions:
        if portion.cut in whole:
            eaten.setdefault(rules[portion.dog], {})[portion.cut] = None
    return {name: tuple(eaten.get(likeness, ())) for name, likeness in rules.items()}


def _shares(book: BagBook, subject: Subject, bags: Sequence[Bag], shared: Sequence[str]) -> Mapping[str, Fraction]:
    """How much of everything in the bags, and of pieces shared out, counts; of a mix, the mean over what is in it."""
    names = dict.fromkeys([*(filling.cut for bag in bags for filling in bag.fillings), *shared])
    return {name: book.share_in(subject, name) for name in names}


def _row(book: BagBook, fed: Meal, bags: Sequence[Bag], asked: _Asked, shared: Sequence[str]) -> tuple[Cell, ...]:
    """What counts over all days, as among the shares, then over the weeks and on the fullest day."""
    share = _shares(book, asked.subject, bags, shared)
    by_day = [list(some) for _, some in groupby(bags, key=lambda bag: bag.day)]
    counts = [
        sum((share[filling.cut] * filling.grams for bag in some for filling in bag.fillings), Fraction(0))
        for some in by_day
    ]
    weighs = [sum(bag.grams for bag in some) for some in by_day]
    due = _due_g(fed.dog)
    starts = range(len(due) - WEEK_DAYS + 1)
    of_weeks = [sum(counts[at : at + WEEK_DAYS], Fraction(0)) / sum(due[at : at + WEEK_DAYS]) for at in starts]
    return (
        fed.dog.name,
        subject_text(asked.subject),
        range_text(asked.low, asked.high),
        fed.share_of(asked.subject),
        min(of_weeks, default=None),
        max(of_weeks, default=None),
        _allowance(book, bags, share, min((sum(due[at : at + WEEK_DAYS]) for at in starts), default=0)),
        max(count / grams for count, grams in zip(counts, weighs, strict=True)),
    )


def _allowance(book: BagBook, bags: Sequence[Bag], share: Mapping[str, Fraction], week_g: int) -> Fraction | None:
    """How far a week may leave its range, as a share of the lightest week's food."""
    if not week_g or book.scenario.portioning.week_allowance == 1:
        return None
    top_up = bags[0].topped_up
    uneven = (_uneven_g(book, name) * abs(share[name] - share[top_up]) for name in share if name != top_up)
    step_g = book.scenario.portioning.scale_step_g * share.get(top_up, Fraction(0))
    return book.scenario.portioning.week_allowance + (sum(uneven, Fraction(0)) + step_g) / week_g


def _uneven_g(book: BagBook, name: str) -> int:
    """What may be there or not: a piece, two where pieces are shared out, or a least portion."""
    cut = book.cuts.get(name)
    piece_g = book.scenario.portioning.whole_piece_g(cut) if cut else None
    if piece_g is None:
        return book.scenario.portioning.least_portion_g
    return piece_g * (2 if book.scenario.shares_pieces else 1)
