"""Remedies: the whole text to write in a scenario for changes, and where; pasted, it gives just what was tried."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from raworder.reading.names import folded
from raworder.reporting.words import dogs_text
from raworder.solving.demands import Demand
from raworder.studies.loosenings import Loosening, applied
from raworder.studies.whole_text import key_text, under_dog_text, word_of
from raworder.trade.dogs import Dog
from raworder.trade.findings import Place
from raworder.trade.scenario import Scenario

MOST_LINES = 3
"""More lines than this are not told of a rule that clashes; of what is to be written all are."""

KEYS: Mapping[str, str] = MappingProxyType(
    {
        "part_share": "targets",
        "cap": "caps",
        "nutrient": "nutrients",
        "nutrient_ratio": "nutrients",
        "variety": "variety",
        "whole_pieces": "portioning",
        "least_portion": "portioning",
        "day_most": "portioning",
        "week_share": "portioning",
    }
)
"""The key of the scenario that rules share: what changes under it is written once."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """A key with all that is to stand under it, where to write it, and the changes it makes for those dogs."""

    text: str
    where: str
    changes: tuple[Loosening, ...]


def remedies(scenario: Scenario, changes: Iterable[Loosening]) -> tuple[Remedy, ...]:
    """What to write for all these changes; each key once, or once for all dogs that get the same under it."""
    every = tuple(changes)
    final, by_key = applied(scenario, every), dict[str, list[Loosening]]()
    for change in every:
        by_key.setdefault(KEYS.get(change.demand.rule, change.demand.key), []).append(change)
    return tuple(remedy for key, ones in by_key.items() for remedy in _remedies(scenario, final, key, ones))


def remedy_text(scenario: Scenario, change: Loosening) -> str:
    """What to write in the scenario for one change alone."""
    return "; ".join(remedy.text for remedy in remedies(scenario, [change]))


def place_text(scenario: Scenario, demand: Demand) -> str:
    """The file and lines that set the demand; empty where it is nowhere written, as rules are that hold unless said."""
    return _lines_text(_places(scenario, demand), MOST_LINES)


def _lines_text(places: Iterable[Place | None], most: int | None = None) -> str:
    """The lines of these places by file, so many at most."""
    lines: dict[str, dict[int, None]] = {}
    for place in places:
        if place is not None:
            lines.setdefault(place.file.rsplit("/", 1)[-1], {})[place.line] = None
    return "; ".join(f"{file}:{_numbers(tuple(found), most)}" for file, found in lines.items())


def _numbers(lines: Sequence[int], most: int | None) -> str:
    return ", ".join(map(str, lines[:most])) + (", ..." if most is not None and len(lines) > most else "")


def _places(scenario: Scenario, demand: Demand) -> Iterable[Place | None]:
    """Where the demand is set: with the supplier, in the offer's line, with its dogs or for all, under its own key."""
    places = dict(scenario.places)
    match demand.rule:
        case "minimum_order":
            return (scenario.supplier(str(demand.about)).place,)
        case "pack_count":
            return (scenario.offer(str(demand.about)).place,)
        case "cap" | "part_share" | "nutrient" | "nutrient_ratio":
            key = KEYS[demand.rule] if demand.rule == "part_share" else f"{KEYS[demand.rule]} {folded(word_of(demand))}"
            return (places.get(f"{name}: {key}", places.get(key)) for name in demand.dogs)
        case rule:
            return (places.get(rule),)


def _remedies(scenario: Scenario, final: Scenario, key: str, changes: Sequence[Loosening]) -> Iterator[Remedy]:
    """What to write under one key: with a supplier, an offer or for the whole scenario, or for dogs."""
    if key in {"targets", "caps", "nutrients"}:
        yield from _for_dogs(scenario, final, key, changes)
        return
    found = [place for rule, place in scenario.places if KEYS.get(rule) == key] or [
        place for place in _places(scenario, changes[0].demand) if place
    ]
    where = _lines_text(sorted(found)[:1]) or "the top level"
    yield Remedy(key_text(final, changes), where, tuple(changes))


def _for_dogs(scenario: Scenario, final: Scenario, key: str, changes: Sequence[Loosening]) -> Iterator[Remedy]:
    """What to write for dogs: once for all that get the same; under `all_dogs` where all that take it there do."""
    bound = {name for loosening in changes for name in loosening.demand.dogs}
    shared = _shared(scenario, final, key, changes)
    by_text: dict[str, list[Dog]] = {}
    for dog in final.dogs:
        if dog.name in bound:
            text = under_dog_text(scenario, key, dog, changes, is_shared=dog.name in shared)
            by_text.setdefault(text, []).append(dog)
    for text, dogs in by_text.items():
        named = {dog.name for dog in dogs}
        about = [
            replace(loosening, demand=_about(loosening.demand, named))
            for loosening in changes
            if named & set(loosening.demand.dogs)
        ]
        yield Remedy(text, _where(scenario, key, dogs, shared), tuple(about))


def _about(demand: Demand, names: set[str]) -> Demand:
    """The demand of some of its dogs."""
    return replace(demand, dogs=tuple(name for name in demand.dogs if name in names))


def _own(scenario: Scenario, key: str, whose: str) -> list[Place]:
    """Where a dog has its own of that key, or where all dogs have it, if it is nobody's."""
    begins = f"{whose}{key}" if key == "targets" else f"{whose}{key} "
    return [place for name, place in scenario.places if name.startswith(begins)]


def _shared(scenario: Scenario, final: Scenario, key: str, changes: Sequence[Loosening]) -> frozenset[str]:
    """The dogs for which it is written under `all_dogs`: all that take it from there, if all get the same; or none."""
    fed = [dog for dog in final.dogs if dog.batch_g and dog.care is None]
    takers = [dog for dog in fed if not _own(scenario, key, f"{dog.name}: ")]
    texts = {under_dog_text(scenario, key, dog, changes, is_shared=True) for dog in takers}
    # Caps and limits under `all_dogs` hold beside a dog's own, so that they are left alone where a dog has some.
    beside = key != "targets" and len(takers) < len(fed)
    is_there = len(texts) == 1 and not beside and bool(_own(scenario, key, ""))
    return frozenset(dog.name for dog in takers if is_there)


def _where(scenario: Scenario, key: str, dogs: Iterable[Dog], shared: frozenset[str]) -> str:
    """Where to write it: what stands there already, and the dogs that have none of their own."""
    own: list[Place] = []
    without: list[Dog] = []
    common = _own(scenario, key, "")[:1]
    for dog in dogs:
        places = common if dog.name in shared else _own(scenario, key, f"{dog.name}: ")[:1]
        own += places
        without += [] if places else [dog]
    lines = _lines_text(dog.place for dog in without)
    added = f"add it at {dogs_text(dog.name for dog in without)}" + (f", {lines}" if lines else "")
    kept = "; all_dogs stays as it is" if without and common else ""
    return "; ".join([*filter(None, [_lines_text(own)]), *([added + kept] if without else [])])
