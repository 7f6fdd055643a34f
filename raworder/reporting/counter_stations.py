"""The stations of the counter sheet: into which bags a cut goes, how much each, and what is left after it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from raworder.bags import Bag, Filling
from raworder.document import Block, Cell, Column, Holds, Paragraph, Table
from raworder.reporting.bag_book import BagBook
from raworder.reporting.bag_words import numbers_text
from raworder.reporting.books import alike, fed_g
from raworder.reporting.counter_steps import Step, step_g
from raworder.reporting.words import counted, listed

COLUMNS = (
    Column("dog", "Dog"),
    Column("kind", "Kind"),
    Column("bags", "Into bags"),
    Column("each", "Each"),
    Column("bag_count", "Bags", Holds.COUNT),
    Column("total_g", "Total", Holds.GRAMS),
    Column("left_g", "Left", Holds.GRAMS),
    Column("step", "Step", Holds.COUNT, shown=False),
    Column("phase", "Phase", Holds.COUNT, shown=False),
    Column("cut", "Cut", shown=False),
    Column("pieces_each", "Pieces each", Holds.COUNT, shown=False),
)


@dataclass(frozen=True, slots=True)
class Helping:
    """What one step puts into one bag, and in which words."""

    number: int
    bag: Bag
    filling: Filling
    each: str

    @property
    def may_be_rest(self) -> bool:
        """Whether it is weighed and need not be to the gram, as the top-up makes up for it."""
        return bool(self.bag.topped_up) and self.filling.cut != self.bag.topped_up and not self.filling.pieces


def stations(book: BagBook, steps: Sequence[Step]) -> Iterator[Block]:
    """A table for every step, with what is left of a cut counted down over all of them."""
    left_g = _at_first_g(book)
    last = {step.cut: step.number for step in steps}
    for step in steps:
        if not step.bags:
            yield _made(book, step)
            for one in book.mixes[step.cut].contents:
                left_g[one.cut] -= one.grams
            continue
        helpings = tuple(_helping(book, step, place) for place in step.bags)
        rows = tuple(_rows(step, helpings, left_g[step.cut]))
        left_g[step.cut] -= step_g(book, step)
        rest = _left_text(book, left_g[step.cut]) if step.number == last[step.cut] else ""
        note = " ".join(one for one in (rest, _finer(book, helpings)) if one)
        yield Table("stations", _title(book, step, helpings), COLUMNS, rows, note=note, tick=True)


def _at_first_g(book: BagBook) -> dict[str, int]:
    """What is at the counter of every cut and mix; what is on hand and not fed stays in the freezer."""
    there = fed_g(book.scenario, book.plan) | {mix.name: mix.grams for mix in book.plan.mixes}
    for one in book.plan.leftovers:
        there[one.cut] += one.bought_g
    return there


def _made(book: BagBook, step: Step) -> Paragraph:
    """That a mix is made now."""
    mix = book.mixes[step.cut]
    return Paragraph(
        f"{_start(step)}: make {mix.name}, {book.grams(mix.grams)} in {counted(len(mix.tubs), 'tub')}. "
        "Follow the batch cards."
    )


def _helping(book: BagBook, step: Step, place: int) -> Helping:
    """What a step puts into the bag at a place."""
    bag = book.plan.bags[place]
    filling = next(one for one in bag.fillings if one.cut == step.cut)
    return Helping(place + 1, bag, filling, _each(book, bag, filling))


def _each(book: BagBook, bag: Bag, filling: Filling) -> str:
    """How much goes into a bag, as one does it at the scale."""
    if filling.cut == bag.topped_up:
        how = "top up" if len(bag.fillings) > 1 else "fill"
        return f"{how} to {_about(book, bag.grams)}"
    if filling.pieces:
        return counted(filling.pieces, "piece")
    return _about(book, filling.grams) if bag.topped_up else book.on_scale(filling.grams)


def _about(book: BagBook, grams: int) -> str:
    """Grams, with a word where the scale cannot show them."""
    about = "about " if grams % book.scenario.portioning.scale_step_g else ""
    return f"{about}{book.on_scale(grams)}"


def _rows(step: Step, helpings: Sequence[Helping], left_g: int) -> Iterator[tuple[Cell, ...]]:
    """A row for the bags of a kind that get as much, with what is left after it."""
    for group in alike(helpings, lambda one: (one.bag.dog, one.bag.kind, one.each)):
        first = group[0]
        total_g = sum(one.filling.grams for one in group)
        left_g -= total_g
        rest = "the rest, " if not left_g and len(group) == 1 and first.may_be_rest else ""
        numbers = numbers_text(one.number for one in group)
        shown = (first.bag.dog, first.bag.kind, numbers, f"{rest}{first.each}", len(group), total_g, left_g)
        yield (*shown, step.number, step.phase, step.cut, first.filling.pieces)


def _start(step: Step) -> str:
    """The number of a step, after cleaning where that is due."""
    return f"Clean down, then step {step.number}" if step.clean_first else f"Step {step.number}"


def _title(book: BagBook, step: Step, helpings: Sequence[Helping]) -> str:
    """The step, the cut, and all that is needed of it."""
    pieces = sum(one.filling.pieces for one in helpings)
    needed = f"{counted(pieces, 'piece')}, " if pieces else ""
    return f"{_start(step)}: {step.cut}, {needed}{book.grams(step_g(book, step))}"


def _left_text(book: BagBook, left_g: int) -> str:
    """What is left over of a cut in the end."""
    return f"Left over: {book.grams(left_g)}, back to the freezer." if left_g else "Nothing is left."


def _finer(book: BagBook, helpings: Sequence[Helping]) -> str:
    """That a veterinarian's amounts are weighed to the gram, where the scale does not show them."""
    step_g = book.scenario.portioning.scale_step_g
    dogs = dict.fromkeys(one.bag.dog for one in helpings if not one.bag.topped_up and one.filling.grams % step_g)
    return f"As the veterinarian gave it, {listed(tuple(dogs))}: use a scale that shows 1 g." if dogs else ""
