"""Remedies: the YAML to write for changes, and where; pasted over what is there, it makes the scenario tried."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from raworder.giving_way.demand import Changes, Demand, Loosening, OfDogs, OfScenario
from raworder.giving_way.family import apply_changes, rules_under
from raworder.reporting.words import dogs_text
from raworder.trade.dogs import Dog
from raworder.trade.findings import Place
from raworder.trade.scenario import Scenario

MOST_LINES = 3
"""The most lines named for a rule that clashes; what is to be written names all its lines."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """A YAML entry, where to write it, and the changes that it makes for its dogs."""

    text: str
    where: str
    changes: tuple[Loosening, ...]


def remedies(scenario: Scenario, changes: Iterable[Loosening]) -> tuple[Remedy, ...]:
    """What to write for all these changes; each key once, dogs that need the same together."""
    every = tuple(changes)
    final, by_key = apply_changes(scenario, every), dict[str, list[Loosening]]()
    for change in every:
        by_key.setdefault(change.demand.field or change.demand.key, []).append(change)
    return tuple(remedy for same_key in by_key.values() for remedy in _remedies_under_key(scenario, final, same_key))


def remedy_text(scenario: Scenario, change: Loosening) -> str:
    """What to write in the scenario for one change alone."""
    return "; ".join(remedy.text for remedy in remedies(scenario, [change]))


def place_text(scenario: Scenario, demand: Demand) -> str:
    """The file and lines that set the demand; empty for a usual rule that is written nowhere."""
    return _lines_text(demand.places(scenario), MOST_LINES)


def _lines_text(places: Iterable[Place | None], most: int | None = None) -> str:
    """The lines of these places by file, `most` of each at most: `maple.yaml:12, 14`."""
    lines: dict[str, dict[int, None]] = {}
    for place in places:
        if place is not None:
            lines.setdefault(place.file.rsplit("/", 1)[-1], {})[place.line] = None
    return "; ".join(f"{file}:{_numbers_text(tuple(numbers), most)}" for file, numbers in lines.items())


def _numbers_text(lines: Sequence[int], most: int | None) -> str:
    return ", ".join(map(str, lines[:most])) + (", ..." if most is not None and len(lines) > most else "")


def _remedies_under_key(scenario: Scenario, final: Scenario, changes: Changes) -> Iterator[Remedy]:
    """What to write under one key: with a supplier, an offer or for the whole scenario, or for dogs."""
    demand = changes[0].demand
    if isinstance(demand, OfDogs):
        yield from _remedies_for_dogs(scenario, final, demand, changes)
    elif isinstance(demand, OfScenario):
        rules = rules_under(demand.field) if demand.field else ()
        there = [place for rule, place in scenario.places if rule in rules] or demand.places(scenario)
        where = _lines_text(sorted(filter(None, there))[:1]) or "the top level"
        yield Remedy(demand.yaml_entry(final, changes), where, tuple(changes))


def _remedies_for_dogs(scenario: Scenario, final: Scenario, demand: OfDogs, changes: Changes) -> Iterator[Remedy]:
    """What to write for dogs: once for all that need the same, under `all_dogs` where all that use it do."""
    bound = {name for loosening in changes for name in loosening.demand.dogs}
    shared = _dogs_under_all_dogs(scenario, final, demand, changes)
    by_text: dict[str, list[Dog]] = {}
    for dog in final.dogs:
        if dog.name in bound:
            text = demand.yaml_entry_for(scenario, dog, changes, is_shared=dog.name in shared)
            by_text.setdefault(text, []).append(dog)
    for text, dogs in by_text.items():
        names = {dog.name for dog in dogs}
        own_changes = [
            replace(loosening, demand=_for_some_dogs(loosening.demand, names))
            for loosening in changes
            if names & set(loosening.demand.dogs)
        ]
        yield Remedy(text, _where_text(scenario, demand, dogs, shared), tuple(own_changes))


def _for_some_dogs(demand: Demand, names: set[str]) -> Demand:
    """The demand for some of its dogs only."""
    return replace(demand, dogs=tuple(name for name in demand.dogs if name in names))


def _own_places(scenario: Scenario, demand: OfDogs, whose: str) -> list[Place]:
    """Where a dog's own entries under that key stand, or those of `all_dogs` where `whose` is empty."""
    prefix = f"{whose}{demand.field}" if demand.is_set_whole else f"{whose}{demand.field} "
    return [place for name, place in scenario.places if name.startswith(prefix)]


def _dogs_under_all_dogs(scenario: Scenario, final: Scenario, demand: OfDogs, changes: Changes) -> frozenset[str]:
    """The dogs whose entry is written under `all_dogs`: all that take it from there if all need the same, else none."""
    fed = [dog for dog in final.dogs if dog.batch_g and dog.care is None]
    takers = [dog for dog in fed if not _own_places(scenario, demand, f"{dog.name}: ")]
    texts = {demand.yaml_entry_for(scenario, dog, changes, is_shared=True) for dog in takers}
    # Caps and limits under `all_dogs` hold beside a dog's own, so that they are left alone where a dog has some.
    beside = not demand.is_set_whole and len(takers) < len(fed)
    is_there = len(texts) == 1 and not beside and bool(_own_places(scenario, demand, ""))
    return frozenset(dog.name for dog in takers if is_there)


def _where_text(scenario: Scenario, demand: OfDogs, dogs: Iterable[Dog], shared: frozenset[str]) -> str:
    """Where to write it: over the entries that stand there, and with the dogs that have none of their own."""
    own: list[Place] = []
    without: list[Dog] = []
    common = _own_places(scenario, demand, "")[:1]
    for dog in dogs:
        places = common if dog.name in shared else _own_places(scenario, demand, f"{dog.name}: ")[:1]
        own += places
        without += [] if places else [dog]
    lines = _lines_text(dog.place for dog in without)
    added = f"add it at {dogs_text(dog.name for dog in without)}" + (f", {lines}" if lines else "")
    kept = "; all_dogs stays as it is" if without and common else ""
    return "; ".join([*filter(None, [_lines_text(own)]), *([added + kept] if without else [])])
