"""What owners keep frozen at home: the evening with most of it, whether it fits, and when to fetch what does not."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from raworder.reporting.bag_book import bags_text
from raworder.reporting.words import capitalised, count_text, days_text, join_names
from raworder.trade.batch_facts import Journey
from raworder.trade.plan import Plan
from raworder.trade.scenario import FedScenario, Owner, Scenario
from raworder.trade.units import about_grams_text, day_text


@dataclass(frozen=True, slots=True)
class SecondTrip:
    """Bags that stay behind when the others are fetched, and the days from and until which they can be."""

    numbers: tuple[int, ...]
    first: date
    last: date


@dataclass(frozen=True)  # no slots: the evenings are added up once and kept
class AtHome:
    """An owner's bags from the day on which they are fetched, and what is left over of the owner's own lots."""

    owner: Owner
    fetched_on: date
    journeys: tuple[Journey, ...]
    left_g: int

    def frozen(self, evening: date) -> tuple[Journey, ...]:
        """The bags in the freezer on an evening: those that move to the refrigerator on a later day."""
        return tuple(journey for journey in self.journeys if journey.moves_on and evening < journey.moves_on)

    @cached_property
    def evenings(self) -> tuple[tuple[date, int], ...]:
        """Each evening with the grams in the freezer then."""
        last = max([journey.bag.day for journey in self.journeys], default=self.fetched_on)
        days = [self.fetched_on + timedelta(days) for days in range(max((last - self.fetched_on).days, 0) + 1)]
        return tuple((day, self.left_g + _grams(self.frozen(day))) for day in days)

    @property
    def fullest(self) -> tuple[date, int]:
        """The first of the fullest evenings, with the grams in the freezer."""
        return max(self.evenings, key=lambda evening: evening[1])

    @property
    def over_g(self) -> int:
        """By how much the freezer is too small on the fullest evening; 0 where all fits or no room is stated."""
        return 0 if self.owner.room_g is None else max(self.fullest[1] - self.owner.room_g, 0)

    @property
    def second_trip(self) -> SecondTrip | None:
        """What is fetched later where not all fits at once; None where it does, or two trips are not enough."""
        room_g = self.owner.room_g
        if room_g is None or not self.over_g:
            return None
        taken, behind = _split(self.frozen(self.fetched_on), room_g - self.left_g)
        fits = (day for day, grams in self.evenings if grams <= room_g)
        first = next(fits, None)
        if not taken or first is None or first > (last := min(journey.moves_on or first for journey in behind)):
            return None
        return SecondTrip(tuple(journey.number for journey in behind), first, last)


def _split(journeys: Sequence[Journey], room_g: int) -> tuple[tuple[Journey, ...], tuple[Journey, ...]]:
    """The bags that are needed first, as many as fit, and all others."""
    in_turn = sorted(journeys, key=lambda journey: (journey.moves_on or date.max, journey.bag.day, journey.number))
    count = next((n for n in range(len(in_turn), -1, -1) if _grams(in_turn[:n]) <= room_g), 0)
    return tuple(in_turn[:count]), tuple(sorted(in_turn[count:], key=lambda journey: journey.number))


def _grams(journeys: Sequence[Journey]) -> int:
    """What bags weigh together."""
    return sum(journey.bag.grams for journey in journeys)


def owner_names(scenario: Scenario) -> tuple[str, ...]:
    """The owners that dogs name, in the scenario's order."""
    return tuple(dict.fromkeys(dog.owner for dog in scenario.dogs if dog.owner))


def at_home(scenario: FedScenario, plan: Plan, name: str) -> AtHome:
    """What an owner keeps at home; the bags are fetched on the day they are filled where no day is said."""
    owner = next((owner for owner in scenario.owners if owner.name == name), Owner(name))
    dogs = {dog.name for dog in scenario.dogs if dog.owner == name}
    journeys = tuple(journey for journey in plan.facts.cold.journeys if journey.bag.dog in dogs)
    used_g = {use.lot: use.used_g for use in plan.lots_used}
    left_g = sum(lot.grams - used_g.get(number, 0) for number, lot in enumerate(scenario.on_hand) if lot.owner == name)
    return AtHome(owner, owner.collects or scenario.portioned_on, journeys, left_g)


def late_bags(home: AtHome) -> dict[int, date]:
    """The bags that must be in a refrigerator before their owner fetches them, by number, each with its day."""
    fetched = (journey for journey in home.journeys if journey.bag.day >= home.fetched_on)
    days = {journey.number: journey.moves_on or journey.filled_on for journey in fetched}
    return {number: day for number, day in days.items() if day < home.fetched_on}


def own_freezer_text(scenario: Scenario, home: AtHome, whose: str = "") -> tuple[str, str] | None:
    """By how much an owner's freezer is too small and when, and what to do; None where all fits."""
    if not home.over_g:
        return None
    over, trip = _about(scenario, home.over_g), home.second_trip
    whose = whose or f"{home.owner.name}'s"
    says = f"{whose} freezer is too small by {over} on {day_text(home.fullest[0])}."
    if trip is None:
        return says, "Two trips are not enough: find more room, or leave bags in another freezer."
    when = (
        f"on any day from {days_text(trip.first, trip.last)}" if trip.last > trip.first else f"on {day_text(trip.last)}"
    )
    return says, f"Make two trips: fetch {bags_text(trip.numbers)} {when}."


def _about(scenario: Scenario, grams: int) -> str:
    """A weight that is carried, not weighed."""
    return about_grams_text(grams, scenario.weight_unit)


def fetching_sentences(scenario: Scenario, home: AtHome) -> Iterator[str]:
    """When to fetch how many bags, where they go, and how full that makes the freezer."""
    frozen = home.frozen(home.fetched_on)
    fetched = [journey for journey in home.journeys if journey.bag.day >= home.fetched_on]
    count, weight = count_text(len(fetched), "bag"), _about(scenario, _grams(fetched))
    yield f"Fetch {count}, {weight}, on {day_text(home.fetched_on)}, in a cool box."
    cool = [journey.number for journey in fetched if journey not in frozen]
    where = [f"{bags_text(cool)} into the refrigerator"] if cool else []
    where += [f"{'all others' if cool else 'all'} into the freezer, what is fed last first"] if frozen else []
    yield from [f"{capitalised(join_names(where))}."] if where else []
    day, grams = home.fullest
    room = "" if home.owner.room_g is None else f"; it holds {_about(scenario, home.owner.room_g)}"
    left = f", {_about(scenario, home.left_g)} of it left over of your own" if home.left_g else ""
    yield from ([f"In your freezer on {day_text(day)}: {_about(scenario, grams)}{left}{room}."] if grams else [])
