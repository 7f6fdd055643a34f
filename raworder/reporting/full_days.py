"""Full days: the days on which a dog gets more of something than is usual in a day, which only the shop can bring."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from raworder.reporting.bag_book import BagBook, bags_text, by_dog
from raworder.reporting.words import MOST_NAMED, listed, subject_text
from raworder.trade.bags import Bag
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.document import Points
from raworder.trade.units import day_text, share_text

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
    for dog, numbered in by_dog(book):
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
    return {number: f"more {listed(what)} than is usual in a day" for number, what in found.items()}


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
        return listed(
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
