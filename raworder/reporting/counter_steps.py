"""The working order at the counter: steps, cut by cut, and where everything is cleaned down."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from raworder.bags import Station
from raworder.document import Block, Cell, Column, Holds, Table
from raworder.reporting.bag_book import BagBook, dogs_text
from raworder.reporting.books import alike, fed_cuts
from raworder.reporting.words import counted, listed

CLEAN_DOWN = "clean down: boards, knives, scale, hands"
"""Told by every paper in the same words."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step: a cut or mix into bags, by their places in the plan, or a mix into its tubs, which has no bags.

    `clean_first` is set where a phase begins or the species change.
    """

    number: int
    phase: int
    cut: str
    bags: tuple[int, ...] = ()
    clean_first: bool = False


def steps_of(book: BagBook) -> tuple[Step, ...]:
    """The stations in order, with the making of a mix right before its first bags."""
    found: list[Step] = []
    made: set[str] = set()
    for station in book.plan.stations:
        if station.cut in book.mixes and station.cut not in made:
            made.add(station.cut)
            found.append(_next(book, found, station, ()))
        found.append(_next(book, found, station, station.bags))
    return tuple(found)


def _next(book: BagBook, before: Sequence[Step], station: Station, bags: tuple[int, ...]) -> Step:
    """The step that comes after others; only the very first begins clean already."""
    clean_first = bool(before) and cleans_between(book, before[-1], station)
    return Step(len(before) + 1, station.phase, station.cut, bags, clean_first=clean_first)


def cleans_between(book: BagBook, one: Step | Station, after: Station) -> bool:
    """Whether to clean down after one cut and before the next: where a phase begins or the species change."""
    return one.phase != after.phase or _species(book, one.cut) != _species(book, after.cut)


def _species(book: BagBook, name: str) -> frozenset[str]:
    """The species in a cut or mix."""
    return frozenset(species for cut in book.cuts_in(name) for species in cut.species_names)


def working_order(book: BagBook, steps: Sequence[Step]) -> Iterator[Block]:
    """A table for every phase: what to do, into how many bags."""
    phases = alike(steps, lambda step: step.phase)
    cuts = [cut.name for cut in fed_cuts(book.scenario, book.plan)]
    for place, phase in enumerate(phases, start=1):
        which = f", phase {place} of {len(phases)}: {dogs_text(_dogs(book, phase))}" if len(phases) > 1 else ""
        rows, note = tuple(_rows(book, phase)), _avoided(book, phase, cuts)
        yield Table("working_order", f"Working order{which}", COLUMNS, rows, note=note, tick=True)


COLUMNS = (
    Column("step", "Step"),
    Column("to_do", "Do"),
    Column("bag_count", "Bags", Holds.COUNT),
    Column("weight_g", "Weight", Holds.GRAMS),
    Column("phase", "Phase", Holds.COUNT, shown=False),
)


def _rows(book: BagBook, phase: Sequence[Step]) -> Iterator[tuple[Cell, ...]]:
    """The steps of a phase, with cleaning down where it is due."""
    for step in phase:
        if step.clean_first:
            yield ("", CLEAN_DOWN, None, None, step.phase)
        yield (str(step.number), _to_do(book, step), len(step.bags) or None, step_g(book, step), step.phase)


def _to_do(book: BagBook, step: Step) -> str:
    """The cut that goes into bags, or the mix that is made."""
    if step.bags:
        return step.cut
    return f"make {step.cut}: {counted(len(book.mixes[step.cut].tubs), 'tub')}, see the batch cards"


def step_g(book: BagBook, step: Step) -> int:
    """What is weighed in a step."""
    if not step.bags:
        return book.mixes[step.cut].grams
    return sum(book.plan.bags[place].grams_of(step.cut) for place in step.bags)


def _dogs(book: BagBook, phase: Sequence[Step]) -> tuple[str, ...]:
    """The dogs whose bags are filled in a phase."""
    return tuple(dict.fromkeys(book.plan.bags[place].dog for step in phase for place in step.bags))


def _avoided(book: BagBook, phase: Sequence[Step], cuts: Sequence[str]) -> str:
    """Who in a phase must not eat what, of all that is fed."""
    dogs = [book.dogs[name] for name in _dogs(book, phase)]
    avoided = [(dog.name, tuple(cut for cut in cuts if dog.avoids(book.cuts[cut]))) for dog in dogs]
    groups = alike((one for one in avoided if one[1]), lambda one: one[1])
    return " ".join(f"{dogs_text([one[0] for one in group])} must not eat {listed(group[0][1])}." for group in groups)
