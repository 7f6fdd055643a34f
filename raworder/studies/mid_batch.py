"""In the middle of a batch: a dog in, a dog out, one away or ill, with the bags that are filled already.

Plain arithmetic, no search: nothing is ordered or filled again.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from raworder.reporting.bag_book import avoided_text, bags_text
from raworder.reporting.words import join_names, next_commands, paper
from raworder.trade.batch_facts import CAREFUL
from raworder.trade.cuts import Cut
from raworder.trade.document import Block, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.dogs import Dog
from raworder.trade.kept import NewBag
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario
from raworder.trade.units import day_text, grams_text

MOST_DAYS_A_BAG = CAREFUL.most_days
"""A bag is fed within so many days, as food of which nothing is known keeps no longer in a refrigerator."""

FED_FROM = Fraction(3, 4)
"""The part of a day's food from which the day counts as fed. Own choice."""

LONGEST_DAYS = 120
"""So many days are looked ahead at most."""


@dataclass(frozen=True, slots=True)
class Changed:
    """What changes from a day on: dogs that leave, are ill, are away from one day to another, or join."""

    day: date
    gone: frozenset[str] = frozenset()
    ill: frozenset[str] = frozenset()
    away: tuple[tuple[str, date, date], ...] = ()
    joins: tuple[Dog, ...] = ()

    def is_away(self, bag: NewBag) -> bool:
        """Whether the dog of a bag is away on its day."""
        return any(name == bag.dog and first <= bag.feed_on <= last for name, first, last in self.away)


@dataclass(frozen=True, slots=True)
class Regiven:
    """A bag that another dog eats, and the days on which it does."""

    bag: NewBag
    dog: str
    days: tuple[date, ...]


@dataclass(frozen=True, slots=True)
class Shared:
    """What becomes of the bags: until when each dog has enough, None for no day at all; what is given on, and kept."""

    until: Mapping[str, date | None]
    regiven: tuple[Regiven, ...] = ()
    later: tuple[NewBag, ...] = ()
    kept: tuple[NewBag, ...] = ()
    left: tuple[NewBag, ...] = ()


def share_bags(bags: Sequence[NewBag], scenario: Scenario, changed: Changed) -> Shared:
    """Who eats which of the bags from that day on; each bag at most once, none from before, none that a dog avoids.

    Bags of dogs that leave or are away go to those that join, day by day, the earliest first; of these, bags that the
    other joining dogs may not eat. What is left of a dog that was away it eats after its last bag. An ill dog's bags
    are kept.
    """
    rest = sorted((bag for bag in bags if bag.feed_on >= changed.day), key=_order)
    spare = [bag for bag in rest if bag.dog not in changed.ill and (bag.dog in changed.gone or changed.is_away(bag))]
    feeding = _Feeding(spare, {cut.name: cut for cut in scenario.cuts}, changed)
    feeding.feed()
    until: dict[str, date | None] = {}
    later: list[NewBag] = []
    for dog in scenario.dogs:
        if dog.name not in changed.gone | changed.ill:
            own = [bag.feed_on for bag in rest if bag.dog == dog.name and bag not in spare]
            back = [bag for bag in feeding.left if bag.dog == dog.name]
            later += back
            last = max([*own, *(end for name, _, end in changed.away if name == dog.name and back)], default=None)
            until[dog.name] = last + timedelta(len(back) // dog.meals) if last else None
    left = tuple(bag for bag in feeding.left if bag not in later)
    kept = tuple(bag for bag in rest if bag.dog in changed.ill)
    return Shared({**until, **feeding.until}, tuple(feeding.regiven), tuple(later), kept, left)


def _order(bag: NewBag) -> tuple[date, int, int]:
    return bag.feed_on, bag.meal, bag.label


class _Feeding:
    """Gives whole spare bags to dogs that join, as near as can be to what is due so far, and never far below it."""

    def __init__(self, spare: Sequence[NewBag], cuts: Mapping[str, Cut], changed: Changed) -> None:
        self.left, self.cuts, self.changed = list(spare), cuts, changed
        self.until: dict[str, date | None] = {dog.name: None for dog in changed.joins}
        self.regiven: list[Regiven] = []
        self._got = {dog.name: Fraction(0) for dog in changed.joins}

    def feed(self) -> None:
        """Day after day, until no dog has enough any more."""
        hungry = list(self.changed.joins)
        for number in range(LONGEST_DAYS):
            day = self.changed.day + timedelta(number)
            hungry = [dog for dog in hungry if self._feed_day(dog, day, number + 1)]

    def _feed_day(self, dog: Dog, day: date, days: int) -> bool:
        """Whether the dog has enough on that day, with the bags that it is given now."""
        due, most_short = daily_need(dog) * days, (1 - FED_FROM) * daily_need(dog)
        over = self._got[dog.name] - (due - daily_need(dog))
        while bag := self._next_bag(dog):
            amount, got = self._amount(bag, dog), self._got[dog.name]
            if got + amount / 2 > due and due - got <= most_short:
                break
            self._got[dog.name] += amount
            self.left.remove(bag)
            self.regiven.append(Regiven(bag, dog.name, ()))
        if due - self._got[dog.name] > most_short:
            self._put_back(dog)
            return False
        self.until[dog.name] = day
        self._note_day(dog, day, over)
        return True

    def _put_back(self, dog: Dog) -> None:
        """Take back what was given for a day that it is not enough for."""
        back = [given for given in self.regiven if given.dog == dog.name and not given.days]
        self.regiven = [given for given in self.regiven if given not in back]
        self.left = sorted([*self.left, *(given.bag for given in back)], key=_order)

    def _note_day(self, dog: Dog, day: date, over: Fraction) -> None:
        """Write the day beside the bags that were given for it, and beside the one before where much of it is over.

        Else there would be two bags on one day, and one on the next.
        """
        mine = [place for place, given in enumerate(self.regiven) if given.dog == dog.name]
        new = [place for place in mine if not self.regiven[place].days]
        before = [place for place in mine if place not in new][-1:]
        halved = [place for place in before if over * 3 > daily_need(dog) and len(self.regiven[place].days) == 1]
        for place in (*halved, *new) or before:
            given = self.regiven[place]
            self.regiven[place] = Regiven(given.bag, given.dog, (*given.days, day))

    def _next_bag(self, dog: Dog) -> NewBag | None:
        """The next bag for a dog: of those it may eat, one that the fewest others may, then the earliest."""
        fitting = [bag for bag in self.left if self._fits(bag, dog)]
        others = [other for other in self.changed.joins if other is not dog]
        return min(
            fitting, key=lambda bag: (sum(self._fits(bag, other) for other in others), _order(bag)), default=None
        )

    def _fits(self, bag: NewBag, dog: Dog) -> bool:
        """Whether the dog may eat all that is in a bag, and does so while it keeps."""
        may_eat = not any(dog.goes_without(self.cuts[cut]) for cut, _ in bag.contents)
        return may_eat and 0 < self._amount(bag, dog) <= MOST_DAYS_A_BAG * daily_need(dog)

    def _amount(self, bag: NewBag, dog: Dog) -> Fraction:
        """What a bag holds, as the dog's ration counts: kcal or grams; no food of unknown energy gets here."""
        if dog.energy is None:
            return Fraction(sum(grams for _, grams in bag.contents))
        return sum(((self.cuts[cut].kcal_per_g or Fraction(0)) * grams for cut, grams in bag.contents), Fraction(0))


def daily_need(dog: Dog) -> Fraction:
    """What a dog needs on a day, in kcal where its ration is in energy, else in grams."""
    if dog.energy is None:
        return Fraction(dog.batch_g, dog.days)
    return dog.energy.batch_kcal / dog.days


def mid_batch(scenario: Scenario, bags: Sequence[NewBag], changed: Changed, file: str) -> Document:
    """Until when there is enough for whom, which bags go to whom, what is left over, and what to order by when."""
    shared = share_bags(bags, scenario, changed)
    return paper(scenario, "mid_batch", "In the middle of the batch", _blocks(scenario, shared, changed, file))


def _blocks(scenario: Scenario, shared: Shared, changed: Changed, file: str) -> Iterator[Block]:
    """The answer first, then whose bags go to whom, and what to do."""
    hungry = [dog for dog in changed.joins if shared.until.get(dog.name) is None]
    yield Points("enough", _first_sentence(shared), (*_needs(scenario, hungry), *_enough(shared)))
    if shared.regiven:
        yield _regiven_table(shared)
        yield Paragraph(_how_to_feed(changed))
    kept = [*_kept_lines(shared, scenario, changed)]
    if kept:
        yield Points("kept", "Kept in the freezer", tuple(kept))
    lasting = [f"without {join_names(sorted(changed.gone))}"] if changed.gone else []
    lasting += [f"with {join_names([dog.name for dog in changed.joins])}"] if changed.joins else []
    if lasting:
        yield Paragraph(f"If it stays so, change `dogs` in {file} before the next order: {' and '.join(lasting)}.")
    first = min((day for day in shared.until.values() if day), default=None)
    if first and all(shared.until.values()):
        order_by = max(first - timedelta(scenario.batch.order_ahead_days), changed.day)
        yield Paragraph(f"Order by {day_text(order_by)}, so that bags are there on {day_text(first + timedelta(1))}.")
        starts = (first + timedelta(1)).isoformat()
        yield next_commands(((f"raworder next {file} --starts {starts}", "the scenario from then on"),))
    elif hungry:
        days = (scenario.batch.ends - changed.day).days + 1
        command = f"raworder start joining.yaml --currency {scenario.currency.code} --starts {changed.day}"
        what = f"a scenario for {join_names([dog.name for dog in hungry])} alone, until this batch ends"
        yield next_commands(((f"{command} --days {days}", what),))


def _first_sentence(shared: Shared) -> str:
    """Until when there is enough for all of them."""
    hungry = [dog for dog, day in shared.until.items() if day is None]
    if hungry:
        return f"There is nothing for {join_names(hungry)}: buy food now"
    return f"Enough for all until {day_text(min(day for day in shared.until.values() if day))}" if shared.until else ""


def _enough(shared: Shared) -> Iterator[str]:
    """Each day until which there is enough, the earliest first, with its dogs."""
    for day in sorted({day for day in shared.until.values() if day}):
        dogs = [dog for dog, until in shared.until.items() if until == day]
        yield f"{join_names(dogs)}: enough until {day_text(day)}"


def _needs(scenario: Scenario, hungry: Sequence[Dog]) -> Iterator[str]:
    """What each dog without bags needs until the batch ends."""
    for dog in hungry:
        a_day = half_up(daily_need(dog))
        amount = f"{a_day} kcal" if dog.energy else grams_text(a_day, scenario.weight_unit)
        yield f"{dog.name} needs {amount} a day until {day_text(scenario.batch.ends)}"


def _regiven_table(shared: Shared) -> Table:
    """Which bags go to whom on which day."""
    columns = (
        Column("dog", "Now for"),
        Column("bag", "Bag", Holds.COUNT),
        Column("fed_on", "Fed on"),
        Column("was_for", "Label says"),
        Column("label_day", "Day on it", Holds.DAY),
        Column("weight_g", "Weighs", Holds.GRAMS),
    )
    places = {name: place for place, name in enumerate(shared.until)}
    rows = tuple(
        (
            given.dog,
            given.bag.label,
            join_names([day_text(day) for day in given.days]),
            given.bag.dog,
            given.bag.feed_on,
            _grams(given.bag),
        )
        for given in sorted(shared.regiven, key=lambda given: (places[given.dog], given.days, given.bag.label))
    )
    return Table("regiven", "Bags that another dog eats", columns, rows, tick=True)


def _how_to_feed(changed: Changed) -> str:
    """What to mind when bags are given to dogs they were not made for."""
    avoid = [f"{dog.name} gets {avoided_text(dog)}" for dog in changed.joins if dog.avoid]
    return " ".join(
        (
            "Cross out the name on the label and write the new one.",
            "Keep this page for the case of a recall: the book goes on saying that the dog on the label ate them.",
            "Move a bag to the refrigerator in the morning of the day before; one that feeds two days is halved.",
            *(f"{says}." for says in avoid),
            "Look at the size of bones: only what a dog avoids was minded, not how large its pieces are.",
            "These bags keep the shares of the dog they were made for.",
        )
    )


def _kept_lines(shared: Shared, scenario: Scenario, changed: Changed) -> Iterator[str]:
    """The bags that nobody eats for now, dog by dog."""
    for dog in sorted(changed.ill):
        mine = [bag for bag in shared.kept if bag.dog == dog]
        yield (
            f"{dog} is ill: {_bags(mine, scenario) if mine else 'it has no bags left, and none'} are kept; ask the "
            "veterinarian what it may eat. Nothing is computed for it"
        )
    for dog in dict.fromkeys(bag.dog for bag in shared.later):
        mine = [bag for bag in shared.later if bag.dog == dog]
        yield f"{dog} eats {_bags(mine, scenario)} after its other bags"
    for dog in dict.fromkeys(bag.dog for bag in shared.left):
        mine = [bag for bag in shared.left if bag.dog == dog]
        yield f"{_bags(mine, scenario)} of {dog} are left over"


def _bags(bags: Sequence[NewBag], scenario: Scenario) -> str:
    total = grams_text(sum(map(_grams, bags)), scenario.weight_unit)
    return f"{bags_text(bag.label for bag in bags)} ({total})"


def _grams(bag: NewBag) -> int:
    return sum(grams for _, grams in bag.contents)
