"""The working order at the counter: steps, cut by cut, and where everything is cleaned down."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from raworder.document import Block, Cell, Column, Holds, Table
from raworder.reporting.bag_book import BagBook, dogs_text
from raworder.reporting.books import alike, fed_cuts
from raworder.reporting.words import counted, listed

CLEAN_DOWN = "clean down: boards, knives, scale, hands"


@dataclass(frozen=True, slots=True)
class Step:
    """One step: a cut or mix into bags, by their places in the plan, or a mix into its tubs, which has no bags."""

    number: int
    phase: int
    cut: str
    bags: tuple[int, ...] = ()


def steps_of(book: BagBook) -> tuple[Step, ...]:
    """The stations in order, with the making of a mix right before its first bags."""
    found: list[Step] = []
    made: set[str] = set()
    for station in book.plan.stations:
        if station.cut in book.mixes and station.cut not in made:
            made.add(station.cut)
            found.append(Step(len(found) + 1, station.phase, station.cut))
        found.append(Step(len(found) + 1, station.phase, station.cut, station.bags))
    return tuple(found)


def working_order(book: BagBook, steps: Sequence[Step]) -> Iterator[Block]:
    """A table for every phase: what to do, into how many bags."""
    phases = alike(steps, lambda step: step.phase)
    cuts = [cut.name for cut in fed_cuts(book.scenario, book.plan)]
    for place, phase in enumerate(phases, start=1):
        which = f", phase {place} of {len(phases)}: {dogs_text(_dogs(book, phase))}" if len(phases) > 1 else ""
        rows = tuple(_rows(book, phase, is_first=place == 1))
        yield Table(
            "working_order", f"Working order{which}", COLUMNS, rows, note=_avoided(book, phase, cuts), tick=True
        )


COLUMNS = (
    Column("step", "Step"),
    Column("to_do", "Do"),
    Column("bag_count", "Bags", Holds.COUNT),
    Column("weight_g", "Weight", Holds.GRAMS),
    Column("phase", "Phase", Holds.COUNT, shown=False),
)


def _rows(book: BagBook, phase: Sequence[Step], *, is_first: bool) -> Iterator[tuple[Cell, ...]]:
    """The steps of a phase, with cleaning down before it and wherever the species changes."""
    species = None if is_first else frozenset[str]()
    for step in phase:
        its_species = frozenset(name for cut in book.cuts_in(step.cut) for name in cut.species_names)
        if species not in {None, its_species}:
            yield ("", CLEAN_DOWN, None, None, step.phase)
        species = its_species
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
