"""Remedies: what to write in a scenario for a change, and where the rule is set that it changes."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from raworder.cuts import Part, Subject
from raworder.findings import Place
from raworder.solving.demands import SPECIES, Demand, End, Level
from raworder.studies.loosenings import Loosening
from raworder.trade import Dog, Offer, Scenario, Target
from raworder.units import grams_text

MOST_LINES = 3
"""More lines than this are not told."""

PERCENT_DIGITS = 4
"""Decimals of a percentage at most; people write one or two."""


def remedy_text(scenario: Scenario, change: Loosening) -> str:
    """What to write in the scenario."""
    return _WRITES[change.demand.rule](scenario, change)


def place_text(scenario: Scenario, demand: Demand) -> str:
    """The file and lines that set the demand; empty where it is nowhere written, as rules are that hold unless said."""
    lines: dict[str, dict[int, None]] = {}
    for place in _places(scenario, demand):
        if place is not None:
            lines.setdefault(place.file.rsplit("/", 1)[-1], {})[place.line] = None
    return "; ".join(f"{file}:{_numbers(tuple(found))}" for file, found in lines.items())


def _numbers(lines: Sequence[int]) -> str:
    return ", ".join(map(str, lines[:MOST_LINES])) + (", ..." if len(lines) > MOST_LINES else "")


def percent_text(share: Level) -> str:
    """A share as a person writes it: `7.3 %`, `12 %`.

    >>> percent_text(Fraction(73, 1000)), percent_text(Fraction(12, 100))
    ('7.3 %', '12 %')
    """
    percent = round(Fraction(share or 0) * 100, PERCENT_DIGITS)
    text = f"{Decimal(percent.numerator) / Decimal(percent.denominator):f}"
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} %"


def units_text(scenario: Scenario, offer: Offer, units: int) -> str:
    """So much of an offer as a scenario is told what is available."""
    return _weight(scenario, offer.grams(units)) if offer.by_weight else str(units)


def word_of(demand: Demand) -> str:
    """What a demand is about, as it is written in a scenario."""
    if isinstance(demand.about, Target):
        return str(demand.about.part)
    if isinstance(demand.about, Subject):
        return demand.about.word or str(demand.about.measure)
    return demand.about


def muscle_range(scenario: Scenario, change: Loosening) -> Target:
    """Muscle's range of the first dog bound, moved along."""
    dog = _first(scenario, change.demand)
    target = next(one for one in dog.targets if one.part is Part.MUSCLE)
    if change.demand.other_end is End.HIGH:
        return Target(Part.MUSCLE, target.low, min(target.high + change.muscle, Fraction(1)))
    return Target(Part.MUSCLE, max(target.low - change.muscle, Fraction(0)), target.high)


def _first(scenario: Scenario, demand: Demand) -> Dog:
    return next(dog for dog in scenario.dogs if dog.name in demand.dogs)


def _ranges(scenario: Scenario, change: Loosening) -> Iterable[str]:
    """The ranges to write: the pattern that the dogs have, the part, and muscle where it is moved along."""
    demand, share = change.demand, Fraction(change.level or 0)
    named = _first(scenario, demand).targets_named
    if named and named != "own":
        yield f"pattern: {named}"
    if isinstance(demand.about, Target):
        low, high = (share, demand.about.high) if demand.end is End.LOW else (demand.about.low, share)
        yield f"{word_of(demand)}: {percent_text(low)} to {percent_text(high)}"
    if change.muscle:
        muscle = muscle_range(scenario, change)
        yield f"muscle: {percent_text(muscle.low)} to {percent_text(muscle.high)}"


def _weight(scenario: Scenario, grams: int) -> str:
    """A weight that a scenario can be given; where people read pounds, in grams, lest it be rounded."""
    return f"{grams} g" if scenario.weight_unit == "lb" else grams_text(grams, scenario.weight_unit)


def _places(scenario: Scenario, demand: Demand) -> Iterable[Place | None]:
    """Where the demand is set: with the supplier, in the offer's line, with its dogs or for all, under its own key."""
    places = dict(scenario.places)
    match demand.rule:
        case "minimum_order":
            return (scenario.supplier(str(demand.about)).place,)
        case "pack_count":
            return (scenario.offer(str(demand.about)).place,)
        case "cap" | "part_share":
            key = "targets" if demand.rule == "part_share" else f"caps {word_of(demand)}"
            return (places.get(f"{name}: {key}", places.get(key)) for name in demand.dogs)
        case rule:
            return (places.get(rule),)


def _variety(_: Scenario, change: Loosening) -> str:
    if change.demand.about == SPECIES:
        return f"variety: {{species: {change.level}}}"
    return f"variety: {{most_of_one: {percent_text(change.level)}}}"


def _available(scenario: Scenario, change: Loosening) -> str:
    return f"available: {units_text(scenario, scenario.offer(str(change.demand.about)), int(change.level or 0))}"


_WRITES: Mapping[str, Callable[[Scenario, Loosening], str]] = MappingProxyType(
    {
        "budget": lambda _, change: f"budget: {change.level}",
        "room": lambda scenario, change: f"freezer: {{room: {_weight(scenario, int(change.level or 0))}}}",
        "supplier_count": lambda _, change: f"most_suppliers: {change.level}",
        "minimum_order": lambda _, change: f"minimum_order: {change.level}",
        "pack_count": _available,
        "variety": _variety,
        "cap": lambda _, change: f"caps: {{{word_of(change.demand)}: {percent_text(change.level)}}}",
        "part_share": lambda scenario, change: f"targets: {{{', '.join(_ranges(scenario, change))}}}",
        "whole_pieces": lambda _, change: f"portioning: {{divided: [{change.demand.about}]}}",
        "least_portion": lambda _, change: f"portioning: {{least_portion: {change.level} g}}",
        "day_most": lambda _, change: (
            f"portioning: {{most_a_day: {{{word_of(change.demand)}: {percent_text(change.level)}}}}}"
        ),
        "week_share": lambda _, change: f"portioning: {{week_allowance: {percent_text(change.level)}}}",
    }
)
