"""The batch cards: for every tub of a mix what to weigh in which order, with what the scale then shows."""

from collections.abc import Iterator
from itertools import accumulate

from raworder.bags import Mix, Tub
from raworder.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.plan import Plan
from raworder.reporting.bag_book import BagBook, bag_book
from raworder.reporting.words import listed, paper
from raworder.trade import Scenario

HOW = "A card for each tub. Weigh in this order without setting the scale back, then mix well before filling any bag."
TARE = "tare: empty tub on the scale, set it to 0"


def batch_cards(scenario: Scenario, plan: Plan) -> Document | None:
    """A card for every tub; None where nothing is mixed."""
    if not plan.mixes:
        return None
    return paper(scenario, "batch_cards", "Batch cards", _blocks(bag_book(scenario, plan)))


def _blocks(book: BagBook) -> Iterator[Block]:
    """How to weigh, then the tubs of every mix."""
    step_g = book.scenario.portioning.scale_step_g
    yield Paragraph(f"{HOW} The scale shows steps of {step_g} g: the nearest is near enough.")
    for mix in book.plan.mixes:
        yield Paragraph(f"{mix.name}, {book.grams(mix.grams)} in all, is for {listed(mix.dogs)}, and for no other dog.")
        yield from (_card(book, mix, tub) for tub in mix.tubs)


def _card(book: BagBook, mix: Mix, tub: Tub) -> Table:
    """One tub: the tare, then cut by cut."""
    contents = [one for one in tub.contents if one.grams]
    shown = accumulate(one.grams for one in contents)
    columns = (
        Column("cut", "Put in"),
        Column("weight_g", "Weight", Holds.GRAMS),
        Column("scale_g", "Scale shows", Holds.GRAMS, shown=not book.in_pounds),
        Column("on_scale", "Scale shows", shown=book.in_pounds),
        Column("mix", "Mix", shown=False),
        Column("tub", "Tub", Holds.COUNT, shown=False),
    )
    rows: list[tuple[Cell, ...]] = [(TARE, None, 0, book.on_scale(0), mix.name, tub.number)]
    for one, scale_g in zip(contents, shown, strict=True):
        rows.append((one.cut, one.grams, scale_g, book.on_scale(scale_g), mix.name, tub.number))
    title = f"{mix.name}, tub {tub.number} of {len(mix.tubs)}: {book.grams(tub.grams)}"
    return Table("batch_cards", title, columns, tuple(rows), tick=True)
