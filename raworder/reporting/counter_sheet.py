"""The counter sheet: all that a person needs to fill the bags, in the order in which it is needed."""

from collections.abc import Iterator, Sequence
from types import MappingProxyType

from raworder.document import Block, Cell, Column, Document, Holds, Points, Table
from raworder.plan import Plan
from raworder.reporting.bag_book import BagBook, Numbered, bag_book
from raworder.reporting.bag_list import kind_text
from raworder.reporting.bag_words import bags_text, numbers_text
from raworder.reporting.books import alike
from raworder.reporting.counter_stations import stations
from raworder.reporting.counter_steps import steps_of, working_order
from raworder.reporting.freezing import too_slow
from raworder.reporting.freezing_lots import lots_of
from raworder.reporting.mise_en_place import mise_en_place
from raworder.reporting.thaw_plan import to_mind
from raworder.reporting.thawing import Journey, Way, journeys
from raworder.reporting.words import paper
from raworder.trade import Scenario

CAUTIONS = (
    "Begin with clean boards, knives, scale and hands. Clean down wherever the sheet says so.",
    "Take out one cut at a time. Raw food stays out of the refrigerator at most 2 hours, 1 hour above 32 C (90 F).",
    "Bones stay raw: never cook them. Stay with a dog while it eats bones.",
    "Local rules on raw food come before this sheet.",
)
CAUTIONS_SOURCES = (
    'two hours: US extension sheet "Safe thawing practices", which repeats USDA; publisher not verified',
    "cooked bone: FDA warning via dvm360.com",
    "all else: common practice, no source",
)
WHERE_TO = MappingProxyType(
    {
        Way.REFRIGERATOR: "refrigerator",
        Way.FREEZER: "freezer, see the freezing sheet",
        Way.NO_TIME: "refrigerator, but read the thaw plan first",
    }
)
STEPS = (
    "Weighed amounts: bag on the scale, set it to 0, put in.",
    "`Top up to`, `fill to`: set the scale to 0 with an empty bag, put the bag to fill there, add up to the weight.",
    "`The rest` is all that is left of the cut.",
)
KIND_COLUMNS = (
    Column("dog", "Dog"),
    Column("kind", "Kind"),
    Column("bag_count", "Bags", Holds.COUNT),
    Column("filling", "Filling"),
    Column("give_or_take_g", "Give or take", Holds.GRAMS, shown=False),
    Column("bags", "Bag numbers", shown=False),
)


def counter_sheet(scenario: Scenario, plan: Plan) -> Document:
    """Mise en place, working order, the stations one by one, and what every kind of bag holds in the end."""
    return paper(scenario, "counter_sheet", "Counter sheet", _blocks(bag_book(scenario, plan)))


def _blocks(book: BagBook) -> Iterator[Block]:
    """From the empty counter to the refrigerator."""
    yield Points("cautions", "Clean and cold", CAUTIONS, CAUTIONS_SOURCES)
    every = journeys(book)
    slow = tuple(too_slow(lots_of(book, every)))
    if slow:
        yield Points("too_slow", "Before you begin", slow)
    yield from to_mind(book, every)
    yield from mise_en_place(book)
    steps = steps_of(book)
    yield from working_order(book, steps)
    yield Points("how", "At every step", (*STEPS, _about(book)))
    yield from stations(book, steps)
    yield _kinds(book)
    yield _where_to(every)


def _about(book: BagBook) -> str:
    """What to do where the scale cannot show an amount."""
    return f"`About`: the scale shows steps of {book.scenario.portioning.scale_step_g} g; the nearest is near enough."


def _kinds(book: BagBook) -> Table:
    """What every kind of bag holds, to look at when it is full."""
    groups = alike(book.numbered, lambda one: (one.bag.dog, one.bag.kind))
    rows = tuple(_kind(book, group) for group in groups)
    note = "Write what each bag weighs into the bag list."
    return Table("kinds", "What is in each kind of bag", KIND_COLUMNS, rows, note=note)


def _kind(book: BagBook, group: Sequence[Numbered]) -> tuple[Cell, ...]:
    """One kind: its bags, its filling, and how far off a bag may be."""
    bags = [one.bag for one in group]
    tolerances_g = [book.tolerance_g(bag) for bag in bags]
    give_or_take_g = min((grams for grams in tolerances_g if grams is not None), default=None)
    off = "" if give_or_take_g is None else f", give or take {book.on_scale(give_or_take_g)}"
    filling = f"{kind_text(book, bags, 'its weight in the bag list')}{off}{_but(book, group)}"
    numbers = numbers_text(one.number for one in group)
    return (bags[0].dog, bags[0].kind, len(bags), filling, give_or_take_g, numbers)


def _but(book: BagBook, group: Sequence[Numbered]) -> str:
    """Which bags of a kind take other amounts than the first."""
    found = alike(group, lambda one: book.otherwise(one.bag, group[0].bag))
    told = ((some, book.otherwise(some[0].bag, group[0].bag)) for some in found)
    return "".join(f"; but {bags_text(one.number for one in some)}: {amounts}" for some, amounts in told if amounts)


def _where_to(every: Sequence[Journey]) -> Table:
    """Where the full bags go."""
    groups = alike(every, lambda one: one.way)
    rows = tuple((WHERE_TO[group[0].way], numbers_text(one.number for one in group), len(group)) for group in groups)
    columns = (Column("where_to", "Where to"), Column("bags", "Bags"), Column("bag_count", "Count", Holds.COUNT))
    return Table("where_to", "When they are full, at once", columns, rows, tick=True)
