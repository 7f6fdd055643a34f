"""Balanced weeks: what each dog gets over any seven days running, and days with more than is usual."""

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
    """A day on which `share` of a dog's food counts as `subject`, where at most `most` is usual in a day."""

    dog: str
    day: date
    bags: tuple[int, ...]
    subject: Subject
    share: Fraction
    most: Fraction


def days_too_full(book: BagBook) -> Iterator[FullDay]:
    """Every day with more of something than the rules allow in a day, dog by dog."""
    if book.scenario.asked is None:  # no rule gave way, so no day can hold too much
        return
    original = book.scenario.as_asked
    rules = {dog.name: dog for dog in original.dogs}
    for dog, numbered in bags_by_dog(book):
        if dog.care:
            continue
        bags = [bag.bag for bag in numbered]
        shares = {subject: _share_in_bags(book, subject, bags) for subject, _ in original.portioning.most_a_day}
        limits = tuple(rules[dog.name].most_a_day(original.portioning, shares))
        for day in dict.fromkeys(bag.day for bag in bags):
            bags_of_day = [bag for bag in numbered if bag.bag.day == day]
            numbers, fed = tuple(bag.number for bag in bags_of_day), [bag.bag for bag in bags_of_day]
            for subject, most in limits:
                share = _share_in_bags(book, subject, fed)
                if share > most:
                    yield FullDay(dog.name, day, numbers, subject, share, most)


def full_days(book: BagBook) -> Iterator[Points]:
    """The days with more than is usual and what to do about them, where there are any."""
    days = tuple(days_too_full(book))
    if days:
        advice = (BONE_ADVICE,) if any(full_day.subject == BONE for full_day in days) else ()
        yield Points("full_days", TITLE, (*_full_day_sentences(days), *advice))


def bags_too_full(book: BagBook) -> dict[int, str]:
    """A warning for each bag of a day that holds more of something than is usual, by bag number."""
    subjects: dict[int, list[str]] = {}
    for full_day in days_too_full(book):
        for number in full_day.bags:
            subjects.setdefault(number, []).append(subject_text(full_day.subject))
    return {number: f"more {join_names(names)} than is usual in a day" for number, names in subjects.items()}


def _full_day_sentences(full_days: tuple[FullDay, ...]) -> Iterator[str]:
    """A sentence for each dog and each thing it gets more of than is usual, with the days."""
    groups: dict[tuple[str, Subject], list[FullDay]] = {}
    for full_day in full_days:
        groups.setdefault((full_day.dog, full_day.subject), []).append(full_day)
    for (dog, subject), days in groups.items():
        usual = f"at most {share_text(days[0].most)} is usual"
        yield f"{dog}, {subject_text(subject)}: {_days_text(days)}; {usual}."


def _days_text(days: list[FullDay]) -> str:
    """A few days, each with its share and bags; of many, all the bags and the fullest day."""
    if len(days) <= MOST_NAMED:
        return join_names(
            [f"{day_text(full_day.day)} {share_text(full_day.share)} ({bags_text(full_day.bags)})" for full_day in days]
        )
    fullest = max(days, key=lambda full_day: full_day.share)
    bags = bags_text(number for full_day in days for number in full_day.bags)
    return f"{len(days)} days ({bags}), most on {day_text(fullest.day)}, {share_text(fullest.share)}"


def _share_in_bags(book: BagBook, subject: Subject, bags: list[Bag]) -> Fraction:
    """The share of the food in some bags that counts as the subject; of a mix, the mean over what is in it."""
    fillings = [filling for bag in bags for filling in bag.fillings]
    counted_g = sum((book.share_in(subject, filling.cut) * filling.grams for filling in fillings), Fraction(0))
    return counted_g / (sum(filling.grams for filling in fillings) or 1)


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
WEEK_COLUMNS = frozenset({"least_week_share", "most_week_share", "allowance_share"})
"""The columns that hold nothing for a dog that is fed on fewer days than a week has."""

ALLOWANCE = "allowance_share"
ALLOWANCE_PLACE = [column.key for column in COLUMNS].index(ALLOWANCE)
"""The column of what a week may be off by, and its place in a row; it is empty where weeks are held to no range."""


@dataclass(frozen=True, slots=True)
class _AskedRange:
    """A range that a dog's rules ask for."""

    subject: Subject
    low: Fraction
    high: Fraction


def weeks(book: BagBook) -> Document:
    """For each dog a table of its ranges with what its weeks hold, and the number of its kinds of bag."""
    return paper(book.scenario, "weeks", "Balanced weeks", _blocks(book))


def _blocks(book: BagBook) -> Iterator[Block]:
    """What the tables mean, then the tables."""
    yield Paragraph(_how_shares_hold(book.scenario))
    yield from full_days(book)
    if book.scenario.shares_pieces:
        yield Paragraph(
            "Pieces are counted for dogs fed alike and shared out, so that over all days, too, a dog's shares may be "
            "off by about a piece."
        )
    least_kinds, shared = dict(book.plan.least_kinds), _shared_pieces(book)
    rules = {dog.name: dog for dog in book.scenario.as_asked.dogs}
    fed = {meal.dog.name: meal for meal in meals(book.scenario, book.plan)}
    for dog, numbered in bags_by_dog(book):
        bags = [bag.bag for bag in numbered]
        range_rows = (
            _range_row(book, fed[dog.name], bags, asked, shared.get(dog.name, ()))
            for asked in _asked_ranges(rules[dog.name])
        )
        # A part that is neither asked for nor given has no row.
        rows = tuple(row for row in range_rows if row[2] != NOT_ASKED or row[3])
        if rows and not dog.care:
            kinds = _kinds_text(bags, least_kinds.get(dog.name, 0))
            yield _dog_table(dog, rows, kinds)


def _how_shares_hold(scenario: Scenario) -> str:
    """Over which days shares hold, and by how much they may be off."""
    portioning = scenario.portioning
    if portioning.week_allowance == 1:  # all of a week's food may be off, so weeks are held to no range
        return (
            "What was bought cannot be spread as asked: weeks come as they do, pieces may be cut, and no day has a "
            "limit. Beside what was asked is what the weeks and the fullest day hold."
        )
    given_way = " Some ranges are missed with what was bought; they stand here as you asked for them."
    given_way = "" if scenario.as_asked.dogs == scenario.dogs else given_way
    least = grams_text(portioning.least_portion_g, scenario.weight_unit)
    return (
        "Shares hold over any seven fed days running, not day by day. A week may miss its range by "
        f"{share_text(portioning.week_allowance)} of its food, and by what whole pieces and least portions of {least} "
        "make uneven. Allow more, such as `portioning: {week_allowance: 2 %}`, for fewer kinds of bag."
        f"{given_way}"
    )


def _dog_table(dog: Dog, rows: tuple[tuple[Cell, ...], ...], kinds: str) -> Table:
    """The table of one dog; if it is fed on fewer days than a week has, its shares hold over all fed days."""
    days = len(_fed_days_g(dog))
    if days >= WEEK_DAYS:
        has_allowance = any(row[ALLOWANCE_PLACE] is not None for row in rows)
        columns = tuple(
            replace(column, shown=column.shown and (has_allowance or column.key != ALLOWANCE)) for column in COLUMNS
        )
        return Table("weeks", dog.name, columns, rows, note=kinds)
    columns = tuple(
        replace(column, heading="All fed days")
        if column.key == "batch_share"
        else replace(column, shown=column.shown and column.key not in WEEK_COLUMNS)
        for column in COLUMNS
    )
    note = f"Fed on {count_text(days, 'day')}, fewer than a week has: its shares hold over all fed days. {kinds}"
    return Table("weeks", dog.name, columns, rows, note=note)


def _fed_days_g(dog: Dog) -> list[int]:
    """What the dog eats on each day on which it is fed."""
    return [grams for grams in dog.day_g if grams]


def _kinds_text(bags: Sequence[Bag], least_kinds: int) -> str:
    """How many bags and kinds of bag there are, and the fewest kinds possible where that is known."""
    kinds = len({bag.kind for bag in bags})
    fewest = f"; no fewer than {least_kinds} can hold its pieces" if kinds > least_kinds else "; fewer cannot be"
    return f"{count_text(len(bags), 'bag')} of {count_text(kinds, 'kind')}{fewest if least_kinds else ''}."


def _asked_ranges(dog: Dog) -> Iterator[_AskedRange]:
    """The ranges of parts, then the caps as ranges from nothing up."""
    yield from (_AskedRange(Subject(Measure.PART, target.part), target.low, target.high) for target in dog.targets)
    yield from (_AskedRange(cap.subject, Fraction(0), cap.most) for cap in dog.caps)


def _shared_pieces(book: BagBook) -> Mapping[str, tuple[str, ...]]:
    """For every dog the whole-piece cuts eaten by dogs with the same rules, where dogs share pieces."""
    if not book.scenario.shares_pieces:
        return {}
    # Dogs with the same rules share pieces, so each may get a piece that another of them is planned to eat.
    whole = {name for name, cut in book.cuts.items() if book.scenario.portioning.whole_piece_g(cut)}
    rules = {
        name: (frozenset(dog.targets), frozenset(dog.caps), frozenset(filter(dog.avoids, book.scenario.cuts)))
        for name, dog in book.dogs.items()
    }
    eaten: dict[object, dict[str, None]] = {}
    for portion in book.plan.portions:
        if portion.cut in whole:
            eaten.setdefault(rules[portion.dog], {})[portion.cut] = None
    return {name: tuple(eaten.get(rules_of_dog, ())) for name, rules_of_dog in rules.items()}


def _counted_shares(
    book: BagBook, subject: Subject, bags: Sequence[Bag], shared: Sequence[str]
) -> Mapping[str, Fraction]:
    """For each cut in the bags and each shared piece, the share of it that counts; of a mix, the mean."""
    names = dict.fromkeys([*(filling.cut for bag in bags for filling in bag.fillings), *shared])
    return {name: book.share_in(subject, name) for name in names}


def _range_row(
    book: BagBook, fed: Meal, bags: Sequence[Bag], asked: _AskedRange, shared: Sequence[str]
) -> tuple[Cell, ...]:
    """The share given over all days, in the leanest and the richest week, and on the fullest day."""
    shares = _counted_shares(book, asked.subject, bags, shared)
    by_day = [list(bags_of_day) for _, bags_of_day in groupby(bags, key=lambda bag: bag.day)]
    counted_g = [
        sum((shares[filling.cut] * filling.grams for bag in bags_of_day for filling in bag.fillings), Fraction(0))
        for bags_of_day in by_day
    ]
    weights_g = [sum(bag.grams for bag in bags_of_day) for bags_of_day in by_day]
    # A week is measured against the rations due in it, a single day against what its bags weigh.
    due_g = _fed_days_g(fed.dog)
    starts = range(len(due_g) - WEEK_DAYS + 1)
    week_shares = [sum(counted_g[at : at + WEEK_DAYS], Fraction(0)) / sum(due_g[at : at + WEEK_DAYS]) for at in starts]
    return (
        fed.dog.name,
        subject_text(asked.subject),
        range_text(asked.low, asked.high),
        fed.share_of(asked.subject),
        min(week_shares, default=None),
        max(week_shares, default=None),
        _allowance_share(book, bags, shares, min((sum(due_g[at : at + WEEK_DAYS]) for at in starts), default=0)),
        max(count / grams for count, grams in zip(counted_g, weights_g, strict=True)),
    )


def _allowance_share(
    book: BagBook, bags: Sequence[Bag], shares: Mapping[str, Fraction], week_g: int
) -> Fraction | None:
    """How far a week may leave its range, as a share of the lightest week's food."""
    if not week_g or book.scenario.portioning.week_allowance == 1:
        return None
    # A piece or portion takes the place of top-up, so it moves what counts by the difference of the two shares.
    top_up = bags[0].topped_up
    uneven_g = (_uneven_g(book, name) * abs(shares[name] - shares[top_up]) for name in shares if name != top_up)
    step_g = book.scenario.portioning.scale_step_g * shares.get(top_up, Fraction(0))
    return book.scenario.portioning.week_allowance + (sum(uneven_g, Fraction(0)) + step_g) / week_g


def _uneven_g(book: BagBook, name: str) -> int:
    """How far a week may be off in one cut: a piece, two if dogs share pieces, or a least portion."""
    cut = book.cuts.get(name)
    piece_g = book.scenario.portioning.whole_piece_g(cut) if cut else None
    if piece_g is None:
        return book.scenario.portioning.least_portion_g
    return piece_g * (2 if book.scenario.shares_pieces else 1)
