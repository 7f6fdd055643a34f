"""The stations of the counter sheet: into which bags a cut goes, how much each, and what is left after it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from raworder.bags import Bag, Filling
from raworder.document import Block, Cell, Column, Holds, Paragraph, Table
from raworder.reporting.bag_book import BagBook
from raworder.reporting.bag_words import numbers_text
from raworder.reporting.books import alike, fed_g
from raworder.reporting.counter_steps import Step, step_g
from raworder.reporting.words import counted

COLUMNS = (
    Column("dog", "Dog"),
    Column("kind", "Kind"),
    Column("bags", "Into bags"),
    Column("each", "Each"),
    Column("bag_count", "Bags", Holds.COUNT),
    Column("total_g", "Total", Holds.GRAMS),
    Column("left_g", "Left after this", Holds.GRAMS),
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


def stations(book: BagBook, steps: Sequence[Step]) -> Iterator[Block]:
    """A table for every step, with what is left of a cut counted down over all of them."""
    kinds, left_g = kinds_of(book), _at_first_g(book)
    last = {step.cut: step.number for step in steps}
    for step in steps:
        if not step.bags:
            yield _made(book, step)
            for one in book.mixes[step.cut].contents:
                left_g[one.cut] -= one.grams
            continue
        helpings = tuple(_helping(book, step, place, kinds) for place in step.bags)
        rows = tuple(_rows(step, helpings, left_g[step.cut]))
        left_g[step.cut] -= step_g(book, step)
        note = _left_text(book, left_g[step.cut]) if step.number == last[step.cut] else ""
        yield Table("stations", _title(book, step, helpings), COLUMNS, rows, note=note, tick=True)


def kinds_of(book: BagBook) -> dict[tuple[str, str], list[int]]:
    """The places of the bags of every kind of a dog, in order."""
    found: dict[tuple[str, str], list[int]] = {}
    for place, bag in enumerate(book.plan.bags):
        found.setdefault((bag.dog, bag.kind), []).append(place)
    return found


def takes_rest(book: BagBook, place: int, filling: Filling, like: Sequence[int]) -> bool:
    """Whether a bag is the last of its kind and gets another weight of a cut than the first: the rest of the dog's.

    Without a top-up every amount is a veterinarian's, and bags of a kind may differ by a gram.
    """
    bag, first = book.plan.bags[place], book.plan.bags[like[0]]
    is_weighed = bool(bag.topped_up) and filling.cut != bag.topped_up and not filling.pieces
    return is_weighed and place == like[-1] and filling.grams != first.grams_of(filling.cut)


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
        f"Step {step.number}: make {mix.name}, {book.grams(mix.grams)} in {counted(len(mix.tubs), 'tub')}. "
        "Follow the batch cards."
    )


def _helping(book: BagBook, step: Step, place: int, kinds: dict[tuple[str, str], list[int]]) -> Helping:
    """What a step puts into the bag at a place."""
    bag = book.plan.bags[place]
    filling = next(one for one in bag.fillings if one.cut == step.cut)
    like = kinds[bag.dog, bag.kind]
    return Helping(place + 1, bag, filling, _each(book, place, filling, like))


def _each(book: BagBook, place: int, filling: Filling, like: Sequence[int]) -> str:
    """How much goes into a bag, as one does it at the scale."""
    bag = book.plan.bags[place]
    if filling.cut == bag.topped_up:
        how = "top up" if len(bag.fillings) > 1 else "fill"
        return f"{how} to {book.grams(bag.grams)}"
    if filling.pieces:
        return counted(filling.pieces, "piece")
    grams = book.grams(filling.grams)
    return f"last bag: {grams}" if takes_rest(book, place, filling, like) else grams


def _rows(step: Step, helpings: Sequence[Helping], left_g: int) -> Iterator[tuple[Cell, ...]]:
    """A row for the bags of a kind that get as much, with what is left after it."""
    for group in alike(helpings, lambda one: (one.bag.dog, one.bag.kind, one.each)):
        first = group[0]
        total_g = sum(one.filling.grams for one in group)
        left_g -= total_g
        numbers = numbers_text(one.number for one in group)
        shown = (first.bag.dog, first.bag.kind, numbers, first.each, len(group), total_g, left_g)
        yield (*shown, step.number, step.phase, step.cut, first.filling.pieces)


def _title(book: BagBook, step: Step, helpings: Sequence[Helping]) -> str:
    """The step, the cut, and all that is needed of it."""
    pieces = sum(one.filling.pieces for one in helpings)
    needed = f"{counted(pieces, 'piece')}, " if pieces else ""
    return f"Step {step.number}: {step.cut}, {needed}{book.grams(step_g(book, step))}"


def _left_text(book: BagBook, left_g: int) -> str:
    """What is left over of a cut in the end; a gram that no scale in ounces shows is nothing."""
    left, nothing = book.grams(left_g), book.grams(0)
    return "Nothing is left." if left == nothing else f"Left over: {left}, back to the freezer."
