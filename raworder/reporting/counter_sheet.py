"""The counter sheet: all that is needed to fill the bags, in working order; and the batch cards for tubs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from types import MappingProxyType

from raworder.reporting.bag_book import BagBook, NumberedBag, bag_book, bags_text, dogs_or_count, numbers_text
from raworder.reporting.bag_list import kind_text
from raworder.reporting.cautions import asked_at, numbered_cautions
from raworder.reporting.freezing import before_filling
from raworder.reporting.mise_en_place import mise_en_place
from raworder.reporting.words import count_text, group_alike, join_names, paper
from raworder.trade.as_fed import fed_cuts, fed_g
from raworder.trade.bags import Bag, Filling, Mix, NextWeighing, Station, Tub
from raworder.trade.batch_facts import BagWay, Journey
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import CautionPlace
from raworder.trade.units import day_text, grams_text

CLEAN_DOWN = "clean down: boards, knives, scale, hands"
"""What is done between steps; the kitchen page has a shorter word for it."""


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


def working_steps(book: BagBook) -> tuple[Step, ...]:
    """The stations in order, with the making of a mix right before its first bags."""
    steps: list[Step] = []
    mixes_made: set[str] = set()
    for station in book.plan.stations:
        if station.cut in book.mixes and station.cut not in mixes_made:
            mixes_made.add(station.cut)
            steps.append(_next_step(book, steps, station, ()))
        steps.append(_next_step(book, steps, station, station.bags))
    return tuple(steps)


def _next_step(book: BagBook, earlier: Sequence[Step], station: Station, bags: tuple[int, ...]) -> Step:
    """The step that follows the earlier ones; the very first needs no cleaning before it."""
    clean_first = bool(earlier) and needs_cleaning(book, earlier[-1], station)
    return Step(len(earlier) + 1, station.phase, station.cut, bags, clean_first=clean_first)


def needs_cleaning(book: BagBook, before: Step | Station, after: Station) -> bool:
    """Whether to clean down between two cuts: where a phase begins or the species change."""
    return before.phase != after.phase or _species(book, before.cut) != _species(book, after.cut)


def _species(book: BagBook, name: str) -> frozenset[str]:
    """The species in a cut or mix."""
    return frozenset(species for cut in book.cuts_in(name) for species in cut.species_names)


def working_order(book: BagBook, steps: Sequence[Step]) -> Iterator[Block]:
    """A table for every phase: what to do, into how many bags."""
    phases = group_alike(steps, lambda step: step.phase)
    cuts = [cut.name for cut in fed_cuts(book.scenario, book.plan)]
    for place, phase in enumerate(phases, start=1):
        phase_text = (
            f", phase {place} of {len(phases)}: {dogs_or_count(_phase_dogs(book, phase))}" if len(phases) > 1 else ""
        )
        rows, note = tuple(_step_rows(book, phase)), avoidance_text(book, phase, cuts)
        yield Table("working_order", f"Working order{phase_text}", STEP_COLUMNS, rows, note=note, tick=True)


STEP_COLUMNS = (
    Column("step", "Step"),
    Column("to_do", "Do"),
    Column("bag_count", "Bags", Holds.COUNT),
    Column("weight_g", "Weight", Holds.ABOUT_GRAMS),
    Column("phase", "Phase", Holds.COUNT, shown=False),
)


def _step_rows(book: BagBook, phase: Sequence[Step]) -> Iterator[tuple[Cell, ...]]:
    """The steps of a phase, with cleaning down where it is due."""
    for step in phase:
        if step.clean_first:
            yield ("", CLEAN_DOWN, None, None, step.phase)
        yield (str(step.number), _to_do(book, step), len(step.bags) or None, step_g(book, step), step.phase)


def _to_do(book: BagBook, step: Step) -> str:
    """The cut that goes into bags, or the mix that is made."""
    if step.bags:
        return step.cut
    return f"make {step.cut}: {count_text(len(book.mixes[step.cut].tubs), 'tub')}, see the batch cards"


def step_g(book: BagBook, step: Step) -> int:
    """What is weighed in a step."""
    if not step.bags:
        return book.mixes[step.cut].grams
    return sum(book.plan.bags[place].grams_of(step.cut) for place in step.bags)


def _phase_dogs(book: BagBook, phase: Sequence[Step]) -> tuple[str, ...]:
    """The dogs whose bags are filled in a phase."""
    return tuple(dict.fromkeys(book.plan.bags[place].dog for step in phase for place in step.bags))


def avoidance_text(book: BagBook, phase: Sequence[Step], cuts: Sequence[str]) -> str:
    """Which dogs of a phase must not eat which of the cuts that are fed."""
    dogs = [book.dogs[name] for name in _phase_dogs(book, phase)]
    by_dog = [(dog.name, tuple(cut for cut in cuts if dog.avoids(book.cuts[cut]))) for dog in dogs]
    groups = group_alike((item for item in by_dog if item[1]), lambda item: item[1])
    return " ".join(
        f"{dogs_or_count([item[0] for item in group])} must not eat {join_names(group[0][1])}." for group in groups
    )


STATION_COLUMNS = (
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
    """What one step puts into one bag; `each` says it as it is done at the scale."""

    number: int
    bag: Bag
    filling: Filling
    each: str

    @property
    def may_be_rest(self) -> bool:
        """Whether the rest of a cut may go in whatever it weighs, as the top-up makes up for it."""
        return bool(self.bag.topped_up) and self.filling.cut != self.bag.topped_up and not self.filling.pieces


def station_tables(book: BagBook, steps: Sequence[Step]) -> Iterator[Block]:
    """A table for every step; what is left of each cut is counted down from step to step."""
    left_g = _counter_stock_g(book)
    last = {step.cut: step.number for step in steps}
    for step in steps:
        if not step.bags:
            yield _mix_paragraph(book, step)  # takes its cuts now; later steps fill bags with it
            for filling in book.mixes[step.cut].contents:
                left_g[filling.cut] -= filling.grams
            continue
        helpings = tuple(_helping(book, step, place) for place in step.bags)
        rows = tuple(_station_rows(step, helpings, left_g[step.cut]))
        left_g[step.cut] -= step_g(book, step)
        rest = _left_text(book, left_g[step.cut]) if step.number == last[step.cut] else ""
        note = " ".join(sentence for sentence in (rest, fine_scale_note(book, step)) if sentence)
        yield Table("stations", _station_title(book, step, helpings), STATION_COLUMNS, rows, note=note, tick=True)


def _counter_stock_g(book: BagBook) -> dict[str, int]:
    """The grams of every cut and mix at the counter; what is on hand and not fed stays in the freezer."""
    at_counter_g = fed_g(book.scenario, book.plan) | {mix.name: mix.grams for mix in book.plan.mixes}
    for leftover in book.plan.leftovers:
        at_counter_g[leftover.cut] += leftover.bought_g
    return at_counter_g


def _mix_paragraph(book: BagBook, step: Step) -> Paragraph:
    """The sentence that says to make a mix now."""
    mix = book.mixes[step.cut]
    return Paragraph(
        f"{_step_text(step)}: make {mix.name}, {book.about_grams(mix.grams)} in {count_text(len(mix.tubs), 'tub')}. "
        "Follow the batch cards."
    )


def _helping(book: BagBook, step: Step, place: int) -> Helping:
    """What a step puts into the bag at a place."""
    bag = book.plan.bags[place]
    filling = next(filling for filling in bag.fillings if filling.cut == step.cut)
    return Helping(place + 1, bag, filling, _each_text(book, bag, filling))


def _each_text(book: BagBook, bag: Bag, filling: Filling) -> str:
    """How much goes into a bag, as it is done at the scale: `40 g`, `2 pieces`, `top up to 550 g`."""
    if filling.cut == bag.topped_up:
        how = "top up" if len(bag.fillings) > 1 else "fill"
        return f"{how} to {_about_text(book, bag.grams)}"
    if filling.pieces:
        return count_text(filling.pieces, "piece")
    return _about_text(book, filling.grams) if bag.topped_up else book.grams(filling.grams)


def _about_text(book: BagBook, grams: int) -> str:
    """Grams, with `about` where the scale cannot show them exactly."""
    about = "about " if grams % book.scenario.portioning.scale_step_g else ""
    return f"{about}{book.grams(grams)}"


def _station_rows(step: Step, helpings: Sequence[Helping], left_g: int) -> Iterator[tuple[Cell, ...]]:
    """A row for the bags of a kind that get the same amount, with what is left of the cut after it."""
    for group in group_alike(helpings, lambda helping: (helping.bag.dog, helping.bag.kind, helping.each)):
        first = group[0]
        total_g = sum(helping.filling.grams for helping in group)
        left_g -= total_g
        the_rest = "the rest, " if not left_g and len(group) == 1 and first.may_be_rest else ""
        numbers = numbers_text(helping.number for helping in group)
        cells = (first.bag.dog, first.bag.kind, numbers, f"{the_rest}{first.each}", len(group), total_g, left_g)
        yield (*cells, step.number, step.phase, step.cut, first.filling.pieces)


def _step_text(step: Step) -> str:
    """The number of a step, preceded by cleaning down where that is due."""
    return f"Clean down, then step {step.number}" if step.clean_first else f"Step {step.number}"


def _station_title(book: BagBook, step: Step, helpings: Sequence[Helping]) -> str:
    """The step, the cut, and all that is needed of it."""
    pieces = sum(helping.filling.pieces for helping in helpings)
    needed = f"{count_text(pieces, 'piece')}, " if pieces else ""
    return f"{_step_text(step)}: {step.cut}, {needed}{book.about_grams(step_g(book, step))}"


def _left_text(book: BagBook, left_g: int) -> str:
    """What is left over of a cut in the end."""
    return f"Left over: {book.grams(left_g)}, back to the freezer." if left_g else "Nothing is left."


def fine_scale_note(book: BagBook, step: Step | None = None) -> str:
    """The note to use a finer scale for a veterinarian's amounts that the usual one cannot show, in one step or all."""
    scale_step_g = book.scenario.portioning.scale_step_g
    dogs = dict.fromkeys(
        bag.bag.dog
        for bag in book.numbered
        for filling in bag.bag.fillings
        if not bag.bag.topped_up and filling.grams % scale_step_g and _is_put_in(step, bag, filling)
    )
    return (
        f"As the veterinarian gave it, {join_names(tuple(dogs))}: use a scale that shows {book.grams(1)}."
        if dogs
        else ""
    )


def _is_put_in(step: Step | None, bag: NumberedBag, filling: Filling) -> bool:
    """Whether a filling goes into a bag in a step; any does where no step is named."""
    return step is None or (filling.cut == step.cut and bag.number - 1 in step.bags)


SCALE_READS = MappingProxyType(
    {"kg": "the grams that were put in", "lb": "the ounces that were put in (`1.4`, `2 lb 3`)"}
)
"""What is typed at the scale, by the unit that people read."""


def how_to_type(plan: Plan) -> str:
    """What a person reads when weighing begins."""
    reads = SCALE_READS[plan.facts.scenario.weight_unit]
    return f"Type {reads}. Just press Enter if it was the target. `back` undoes the last entry, `stop` ends for now.\n"


def station_head(plan: Plan, station: int) -> str:
    """Which cut comes next, for how many bags, and whether to clean down first."""
    here = plan.stations[station]
    book = bag_book(plan)
    must_clean = station > 0 and needs_cleaning(book, plan.stations[station - 1], here)
    grams = sum(plan.bags[place].grams_of(here.cut) for place in here.bags)
    cleaning = f"{CLEAN_DOWN.capitalize()}.\n" if must_clean else ""
    return f"\n{cleaning}{here.cut}: {book.about_grams(grams)} into {count_text(len(here.bags), 'bag')}\n"


def weighing_question(plan: Plan, due: NextWeighing) -> str:
    """What to put into which bag, as a question that is answered by the grams that were put in."""
    bag = plan.bags[due.bag]
    meal = f" meal {bag.meal}" if any(other.meal > 1 for other in plan.bags if other.dog == bag.dog) else ""
    unit = plan.facts.scenario.weight_unit
    target = grams_text(due.target_g, unit)
    what = f"{due.pieces} x {due.cut}, about {target}" if due.pieces else f"put in {target}"
    total = "" if due.bag_to_g is None else f", the bag then weighs {grams_text(due.bag_to_g, unit)}"
    return f"  bag {due.bag + 1} {bag.dog} {day_text(bag.day)}{meal} {bag.kind}: {what}{total} > "


def progress_text(done: int, total: int) -> str:
    """How many of the weighings are done, and what to do then."""
    if done >= total:
        enter = "raworder enter SCENARIO --record FILE, with the same plan or receipt"
        return f"\nAll {total} weighings are done.\nInto the book: {enter}\n"
    return f"\n{done} of {total} weighings are done; the same command goes on here.\n"


HOW_TO_WEIGH = (
    "A card for each tub. Weigh in this order without setting the scale back, then mix well before filling any bag."
)
TARE = "tare: empty tub on the scale, set it to 0"


def batch_cards(book: BagBook) -> Document | None:
    """A card for every tub; None where nothing is mixed."""
    if not book.plan.mixes:
        return None
    return paper(book.scenario, "batch_cards", "Batch cards", _card_blocks(book))


def _card_blocks(book: BagBook) -> Iterator[Block]:
    """How to weigh, then the tubs of every mix."""
    yield Paragraph(f"{HOW_TO_WEIGH} The scale shows steps of {_scale_step(book)}: the nearest is near enough.")
    for mix in book.plan.mixes:
        yield Paragraph(
            f"{mix.name}, {book.grams(mix.grams)} in all, is for {join_names(mix.dogs)}, and for no other dog."
        )
        yield from (_card(book, mix, tub) for tub in mix.tubs)


def _card(book: BagBook, mix: Mix, tub: Tub) -> Table:
    """One tub: the tare, then cut by cut."""
    contents = [filling for filling in tub.contents if filling.grams]
    readings_g = accumulate(filling.grams for filling in contents)
    columns = (
        Column("cut", "Put in"),
        Column("weight_g", "Weight", Holds.GRAMS),
        Column("scale_g", "Scale shows", Holds.GRAMS),
        Column("mix", "Mix", shown=False),
        Column("tub", "Tub", Holds.COUNT, shown=False),
    )
    rows: list[tuple[Cell, ...]] = [(TARE, None, 0, mix.name, tub.number)]
    for filling, scale_g in zip(contents, readings_g, strict=True):
        rows.append((filling.cut, filling.grams, scale_g, mix.name, tub.number))
    title = f"{mix.name}, tub {tub.number} of {len(mix.tubs)}: {book.grams(tub.grams)}"
    return Table("batch_cards", title, columns, tuple(rows), tick=True)


CLEAN_AND_COLD = (
    "Begin with clean boards, knives, scale and hands. Clean down wherever the sheet says so.",
    "Take out one cut at a time. Raw food stays out of the refrigerator at most 2 hours, 1 hour above 32 C (90 F).",
)
TWO_HOURS = 'two hours: US extension sheet "Safe thawing practices", which repeats USDA; publisher not verified'
CLEAN_AND_COLD_SOURCES = (TWO_HOURS, "all else: common practice, no source")
HERE = (CautionPlace.FREEZER, CautionPlace.COUNTER, CautionPlace.BOWL)
"""What cautions ask to be done at these places is told on this sheet."""

WHERE_TO = MappingProxyType(
    {
        BagWay.REFRIGERATOR: "refrigerator",
        BagWay.FREEZER: "freezer, see the freezing sheet",
        BagWay.NO_TIME: "refrigerator, but read the thaw plan first",
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


def counter_sheet(book: BagBook) -> Document:
    """Mise en place, working order, the stations one by one, and what every kind of bag holds in the end."""
    return paper(book.scenario, "counter_sheet", "Counter sheet", _blocks(book))


def _blocks(book: BagBook) -> Iterator[Block]:
    """The work in order, from the empty counter to the full bags in the refrigerator."""
    yield Points("cautions", "Clean and cold", CLEAN_AND_COLD, CLEAN_AND_COLD_SOURCES)
    yield from asked_at(HERE, numbered_cautions(book.scenario, book.plan))
    yield from before_filling(book)
    yield from mise_en_place(book)
    steps = working_steps(book)
    yield from working_order(book, steps)
    yield Points("how", "At every step", (*STEPS, _scale_note(book)))
    yield from station_tables(book, steps)
    yield _kind_table(book)
    yield _destination_table(book.journeys)


def _scale_note(book: BagBook) -> str:
    """What to do where the scale cannot show an amount."""
    return f"`About`: the scale shows steps of {_scale_step(book)}; the nearest is near enough."


def _scale_step(book: BagBook) -> str:
    """The step of the scale as people read weights."""
    return book.grams(book.scenario.portioning.scale_step_g)


def _kind_table(book: BagBook) -> Table:
    """What every kind of bag holds, to look at when it is full."""
    groups = group_alike(book.numbered, lambda bag: (bag.bag.dog, bag.bag.kind))
    rows = tuple(_kind_row(book, group) for group in groups)
    note = "Write what each bag weighs into the bag list."
    return Table("kinds", "What is in each kind of bag", KIND_COLUMNS, rows, note=note)


def _kind_row(book: BagBook, group: Sequence[NumberedBag]) -> tuple[Cell, ...]:
    """The row of one kind: its bags, its filling, and how far off a bag may be."""
    bags = [bag.bag for bag in group]
    tolerances_g = [book.tolerance_g(bag) for bag in bags]
    give_or_take_g = min((grams for grams in tolerances_g if grams is not None), default=None)
    tolerance = "" if give_or_take_g is None else f", give or take {book.grams(give_or_take_g)}"
    filling = f"{kind_text(book, bags, 'its weight in the bag list')}{tolerance}{_exceptions_text(book, group)}"
    numbers = numbers_text(bag.number for bag in group)
    return (bags[0].dog, bags[0].kind, len(bags), filling, give_or_take_g, numbers)


def _exceptions_text(book: BagBook, group: Sequence[NumberedBag]) -> str:
    """The bags of a kind that take other amounts than the first, with those amounts."""
    groups = group_alike(group, lambda bag: book.changes_text(bag.bag, group[0].bag))
    changes = ((bags, book.changes_text(bags[0].bag, group[0].bag)) for bags in groups)
    return "".join(f"; but {bags_text(bag.number for bag in bags)}: {amounts}" for bags, amounts in changes if amounts)


def _destination_table(journeys: Sequence[Journey]) -> Table:
    """Where the full bags go."""
    groups = group_alike(journeys, lambda journey: journey.way)
    rows = tuple(
        (WHERE_TO[group[0].way], numbers_text(journey.number for journey in group), len(group)) for group in groups
    )
    columns = (Column("where_to", "Where to"), Column("bags", "Bags"), Column("bag_count", "Count", Holds.COUNT))
    return Table("where_to", "When they are full, at once", columns, rows, tick=True)
