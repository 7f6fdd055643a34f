"""For how long the bags that are there feed each dog, and by when to order what comes after them.

A day counts as covered where all bags of the day are there, or where the dog is away. Loose food has no ration worked
out for it, so it adds days only as a rough number.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from raworder.trade.kept import BatchAccount, Fed, KeptBag, Stock
from raworder.trade.scenario import Scenario

DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Cover:
    """What one dog has: bags from `first` to `until` without a gap, and what else there is of its food.

    `until` is None where it has no bag for the first day. `later` are bags after the gap, `kept` those that were kept
    past their day. `rough_days` are the days for which loose food may be enough. `order_by` leaves the days from
    ordering to filling.
    """

    dog: str
    owner: str
    first: date
    until: date | None
    order_by: date | None
    bags: tuple[KeptBag, ...]
    later: tuple[KeptBag, ...]
    kept: tuple[KeptBag, ...]
    rough_days: int


def covers(scenario: Scenario, stock: Stock, batches: Sequence[BatchAccount]) -> tuple[Cover, ...]:
    """The cover of every dog of the last batch, and of every other dog that has bags, in their order."""
    fed = _last_fed(batches)
    last = next((batch.dogs for batch in reversed(batches) if batch.dogs), ())
    names = dict.fromkeys((*(dog.dog for dog in last), *(bag.dog for bag in stock.bags)))
    eaters = [fed.get(name, Fed(name, "", 0)) for name in names]
    return tuple(_cover(scenario, stock, eater, _rough_days(stock, eater, last)) for eater in eaters)


def _last_fed(batches: Iterable[BatchAccount]) -> dict[str, Fed]:
    """What each dog was fed last, by its name."""
    return {dog.dog: dog for batch in batches for dog in batch.dogs}


def _cover(scenario: Scenario, stock: Stock, eater: Fed, rough_days: int) -> Cover:
    """One dog's cover."""
    mine = [bag for bag in stock.bags if bag.dog == eater.dog]
    planned = [bag for bag in mine if bag.feed_on >= stock.day]
    first = _first_day(scenario, stock, eater, planned)
    covered = list(_covered_days(planned, first, _away_days(scenario, eater.dog)))
    until = covered[-1] if covered else None
    return Cover(
        dog=eater.dog,
        owner=next((bag.owner for bag in mine), eater.owner),
        first=first,
        until=until,
        order_by=until - timedelta(days=scenario.batch.order_ahead_days) if until else None,
        bags=tuple(bag for bag in planned if until and bag.feed_on <= until),
        later=tuple(bag for bag in planned if not until or bag.feed_on > until),
        kept=tuple(bag for bag in mine if bag.feed_on < stock.day),
        rough_days=rough_days,
    )


def _first_day(scenario: Scenario, stock: Stock, eater: Fed, planned: Sequence[KeptBag]) -> date:
    """The day from which bags are counted: today, or the first day of bags that were filled ahead and not begun."""
    if not planned:
        return stock.day
    soonest = min(bag.feed_on for bag in planned)
    begins = scenario.batch.starts if eater.dog in {dog.name for dog in scenario.dogs} else soonest
    return soonest if stock.day < begins <= soonest else stock.day


def _away_days(scenario: Scenario, name: str) -> frozenset[date]:
    """The days of the scenario's batch on which a dog of it is away."""
    days = tuple(scenario.batch.each_day())
    dogs = (dog for dog in scenario.dogs if dog.name == name)
    return frozenset(day for dog in dogs for day, grams in zip(days, dog.day_g, strict=False) if not grams)


def _covered_days(planned: Sequence[KeptBag], first: date, away: frozenset[date]) -> Iterator[date]:
    """The days from the first on for which all bags are there; days away at the end count no more."""
    there = Counter(bag.feed_on for bag in planned)
    # all days of a batch have as many bags, so that a day with fewer has lost one
    due = {bag.feed_on: max(there[other.feed_on] for other in planned if other.entry == bag.entry) for bag in planned}
    day, last = first, max(there, default=None)
    while last and day <= last and (day in away or (there[day] and there[day] >= due[day])):
        yield day
        day += DAY


def _rough_days(stock: Stock, eater: Fed, eaters: Sequence[Fed]) -> int:
    """For how many days loose food may be enough: what belongs to all for all, and an owner's for that owner's dogs."""
    if not eater.day_g:
        return 0
    owned = [other for other in eaters if other.owner == eater.owner] if eater.owner else []
    days = _days(stock, "", eaters) + (_days(stock, eater.owner, owned) if owned else 0)
    return floor(days)


def _days(stock: Stock, owner: str, eaters: Iterable[Fed]) -> Fraction:
    """For how many days the loose food of an owner, or of all, feeds these dogs."""
    day_g = sum(eater.day_g for eater in eaters)
    loose_g = sum(lot.left_g for lot in stock.lots if lot.owner == owner)
    return Fraction(loose_g, day_g) if day_g else Fraction(0)
