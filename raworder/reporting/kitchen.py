"""The kitchen page: kinds of bag across, cuts down in working order, and where the full bags go."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from raworder.reporting.bag_book import PLAIN_PLURALS, BagBook, NumberedBag, bags_text, dogs_or_count, numbers_text
from raworder.reporting.cautions import asked_at, numbered_cautions
from raworder.reporting.counter_sheet import Step, avoidance_text, fine_scale_note, working_steps
from raworder.reporting.freezing import slow_freezing_warnings
from raworder.reporting.mise_en_place import bag_size_g, half_thaw_evening, lots_to_thaw
from raworder.reporting.thaw_plan import bags_or_days, bags_to_keep_back
from raworder.reporting.words import count_text, group_alike, join_names, paper
from raworder.trade.as_fed import fed_cuts, left
from raworder.trade.bags import Filling, Mix
from raworder.trade.batch_facts import BagWay
from raworder.trade.document import Block, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.scenario import CautionPlace, OnHand
from raworder.trade.units import day_text

WASH = "Wash boards, knives, scale and hands"
"""What is done where the next cut must not touch what was there before."""

MOST_ACROSS = 8
"""With more kinds of bag than this in a phase they stand down the page, and the cuts across."""

MOST_LEFTOVERS = 6
"""More cuts left over than this are counted, not listed."""

LAST_BAG = "The last bag of a kind takes what is left of a cut, a little more or less than the others."
CLEAN_AND_COLD = (
    "Begin with clean boards, knives, scale and hands. Take out one cut at a time: raw food stays out of the "
    "refrigerator at most 2 hours, 1 hour above 32 C (90 F)."
)
TWO_HOURS = 'two hours: US extension sheet "Safe thawing practices", which repeats USDA; publisher not verified'


def kitchen(book: BagBook) -> Document:
    """All that is needed to fill the bags: what to lay out, what goes into which kind of bag, where the bags go."""
    return paper(book.scenario, "kitchen", "Kitchen", _blocks(book), at_arms_length=True)


def _blocks(book: BagBook) -> Iterator[Block]:
    """What to have ready, what to keep back, the tubs, the bags, and what to do with them."""
    yield Paragraph(what_to_have_ready(book))
    warnings = tuple(slow_freezing_warnings(book.facts.cold.lots))
    if warnings:
        yield Points("too_slow", "Before you begin", warnings)
    yield from bags_to_keep_back(book, book.journeys)
    yield from tub_tables(book)
    yield from bag_tables(book)
    yield bag_notes(book)
    yield then_points(book)
    yield from asked_at([CautionPlace.FREEZER, CautionPlace.COUNTER], numbered_cautions(book.scenario, book.plan))


def what_to_have_ready(book: BagBook) -> str:
    """When the bags are filled, how many of which size, and what to half-thaw the evening before."""
    sizes = Counter(bag_size_g(book.weight_g(bag.bag), book.scenario.weight_unit) for bag in book.numbered)
    counts = join_names([f"{number} for up to {book.grams(size_g)}" for size_g, number in sorted(sizes.items())])
    lots = [f"{book.grams(use.used_g)} of {_whose(lot)}{lot.cut}" for lot, use in lots_to_thaw(book)]
    evening, what = day_text(half_thaw_evening(book)), join_names([*lots, "what was bought frozen"])
    return (
        f"{day_text(book.scenario.portioned_on)}: {count_text(len(book.numbered), 'bag')}, {counts}. On the evening of "
        f"{evening} move {what} to the refrigerator, to half-thaw."
    )


def _whose(lot: OnHand) -> str:
    """Whose a lot is, before what it is; nothing where it is everybody's."""
    return f"{lot.owner}'s " if lot.owner else ""


@dataclass(frozen=True, slots=True)
class KindOfBag:
    """The bags of a dog that are filled alike."""

    bags: tuple[NumberedBag, ...]

    @property
    def name(self) -> str:
        """The dog and the letter of the kind: `Maple A`."""
        return f"{self.bags[0].bag.dog} {self.bags[0].bag.kind}"

    @property
    def numbers(self) -> str:
        """The numbers of the bags."""
        return numbers_text(bag.number for bag in self.bags)

    def filling(self, step: Step) -> Filling | None:
        """How much goes into each of them in a step; None where nothing does."""
        first = self.bags[0]
        if first.number - 1 not in step.bags:
            return None
        return next(filling for filling in first.bag.fillings if filling.cut == step.cut)


def kinds_of_bag(bags: Iterable[NumberedBag]) -> tuple[KindOfBag, ...]:
    """The kinds among some bags, dog by dog."""
    return tuple(map(KindOfBag, group_alike(bags, lambda bag: (bag.bag.dog, bag.bag.kind))))


def bag_tables(book: BagBook) -> Iterator[Table]:
    """A table for all dogs whose food may touch, after another of whom it may not."""
    phases = group_alike((step for step in working_steps(book) if step.bags), lambda step: step.phase)
    cuts = [cut.name for cut in fed_cuts(book.scenario, book.plan)]
    for place, phase in enumerate(phases, start=1):
        places = {at for step in phase for at in step.bags}
        kinds = kinds_of_bag(bag for bag in book.numbered if bag.number - 1 in places)
        if kinds:
            dogs = dogs_or_count(tuple(dict.fromkeys(kind.bags[0].bag.dog for kind in kinds)))
            title = f"Part {place} of {len(phases)}: {dogs}" if len(phases) > 1 else ""
            title = f"{WASH}. {title}" if place > 1 else title
            table = _kinds_down if len(kinds) > MOST_ACROSS else _kinds_across
            yield table(book, title, phase, kinds, avoidance_text(book, phase, cuts))


def _kinds_across(book: BagBook, title: str, phase: Sequence[Step], kinds: Sequence[KindOfBag], note: str) -> Table:
    """A row for each cut in working order, a column for each kind of bag; a rule where everything is washed."""
    columns = (
        Column("cut", "Cut"),
        *(Column(f"kind_{place}", kind.name, Holds.GRID, under=_under(book, kind)) for place, kind in enumerate(kinds)),
        Column("in_all", "In all", Holds.GRID),
    )
    steps = [step for step in phase if any(kind.filling(step) for kind in kinds)]
    rows = tuple(
        (_cut_text(step, kinds), *(_cell(book, kind, step) for kind in kinds), _in_all(book, step, kinds))
        for step in steps
    )
    between = tuple((place, f"{WASH}.") for place, step in enumerate(steps) if place and step.clean_first)
    return Table("", title, columns, rows, note=note, tick=True, between=between)


def _kinds_down(book: BagBook, title: str, phase: Sequence[Step], kinds: Sequence[KindOfBag], note: str) -> Table:
    """A row for each kind of bag, and the cuts across in working order; the weight to fill up to comes last."""
    steps = [step for step in phase if any(kind.filling(step) for kind in kinds)]
    columns = (
        Column("kind", "Dog and kind"),
        Column("bags", "Bags"),
        *(
            Column(f"cut_{place}", _cut_text(step, kinds), Holds.GRID, under=_above_column(place, step))
            for place, step in enumerate(steps)
        ),
    )
    rows = tuple((kind.name, kind.numbers, *(_cell(book, kind, step) for step in steps)) for kind in kinds)
    sums = ("in all", None, *(_in_all(book, step, kinds) for step in steps))
    return Table("", title, columns, rows, (sums,), note=note, tick=True)


def _above_column(place: int, step: Step) -> str:
    """That everything is washed before a cut, where it is."""
    return "wash first" if place and step.clean_first else ""


def _cut_text(step: Step, kinds: Sequence[KindOfBag]) -> str:
    """The cut, and that the bags are filled up with it where they are."""
    tops_up = any(kind.bags[0].bag.topped_up == step.cut and kind.filling(step) for kind in kinds)
    return f"{step.cut}: fill up to" if tops_up else step.cut


def _under(book: BagBook, kind: KindOfBag) -> str:
    """How many bags there are of a kind, what each weighs, and their numbers."""
    return f"{count_text(len(kind.bags), 'bag')}, {_weight_text(book, kind)}: {kind.numbers}"


def _weights_g(book: BagBook, kind: KindOfBag) -> list[int]:
    """What bags of a kind weigh: one weight, but where the last bag would be far off, from the most usual on."""
    counts = Counter(book.weight_g(bag.bag) for bag in kind.bags)
    return [grams for grams, _ in counts.most_common()]


def _weight_text(book: BagBook, kind: KindOfBag) -> str:
    """The weight of a bag of a kind, with a sign where some bags have another."""
    usual_g, *others_g = _weights_g(book, kind)
    return f"{book.grams(usual_g)}{'*' if others_g else ''}"


def _cell(book: BagBook, kind: KindOfBag, step: Step) -> str | None:
    """What a step puts into each bag of a kind: pieces, grams, or the weight to fill up to; None where nothing."""
    filling = kind.filling(step)
    if filling is None:
        return None
    if kind.bags[0].bag.topped_up == step.cut:
        return _weight_text(book, kind)
    return _pieces_text(book, filling, filling.pieces) if filling.pieces else book.grams(filling.grams)


def _pieces_text(book: BagBook, filling: Filling, pieces: int) -> str:
    """Pieces of a cut in a word: `2 necks`."""
    cut = book.cuts[filling.cut]
    return count_text(pieces, cut.kind if cut.kind in PLAIN_PLURALS else "piece")


def _in_all(book: BagBook, step: Step, kinds: Sequence[KindOfBag]) -> str:
    """All that the bags of these kinds take of a cut in a step."""
    places = frozenset(step.bags)
    fillings = [
        filling
        for kind in kinds
        for bag in kind.bags
        for filling in bag.bag.fillings
        if filling.cut == step.cut and bag.number - 1 in places
    ]
    pieces = sum(filling.pieces for filling in fillings)
    return _pieces_text(book, fillings[0], pieces) if pieces else book.grams(sum(f.grams for f in fillings))


def tub_tables(book: BagBook) -> Iterator[Table]:
    """A table for every mix, where the page is about all dogs."""
    return (_tub_table(book, mix) for mix in book.plan.mixes if book.only is None)


def _tub_table(book: BagBook, mix: Mix) -> Table:
    """Every tub of a mix, cut by cut: what the scale shows, beginning with the empty tub at 0."""
    tubs = group_alike(mix.tubs, lambda tub: tub.contents)
    columns = (
        Column("cut", "Put in"),
        *(
            Column(
                f"tub_{place}", _tubs_text([tub.number for tub in alike]), Holds.GRID, under=book.grams(alike[0].grams)
            )
            for place, alike in enumerate(tubs)
        ),
        Column("in_all", "In all", Holds.GRID),
    )
    scale_g = [
        tuple(accumulate(_grams_of(alike[0].contents, filling.cut) for filling in mix.contents)) for alike in tubs
    ]
    rows = tuple(
        (filling.cut, *(book.grams(readings_g[place]) for readings_g in scale_g), book.grams(filling.grams))
        for place, filling in enumerate(mix.contents)
    )
    title = (
        f"{mix.name}, {book.grams(mix.grams)} in {count_text(len(mix.tubs), 'tub')}: for {join_names(mix.dogs)} alone"
    )
    note = "Set the scale to 0 with the empty tub on it. Add cut by cut until it shows this, then mix well."
    return Table("", title, columns, rows, note=note, tick=True)


def _grams_of(contents: Iterable[Filling], cut: str) -> int:
    """Grams of a cut in a tub."""
    return sum(filling.grams for filling in contents if filling.cut == cut)


def _tubs_text(numbers: Sequence[int]) -> str:
    """Tubs by number."""
    return f"{'Tub' if len(numbers) == 1 else 'Tubs'} {numbers_text(numbers)}"


def bag_notes(book: BagBook) -> Points:
    """How to weigh, how far off a bag may be, and what is not alike."""
    return Points("notes", "", (*_how_to_weigh(book), *what_differs(book), CLEAN_AND_COLD), (TWO_HOURS,))


def _how_to_weigh(book: BagBook) -> Iterator[str]:
    """What to do at the scale, and how far off a bag may be."""
    step_g = book.scenario.portioning.scale_step_g
    yield (
        f"Bag on the scale, set it to 0, put in a cut. To fill up, weigh the whole bag. The scale shows steps of "
        f"{book.grams(step_g)}: the nearest is near enough."
    )
    tolerances_g = [grams for bag in book.numbered if (grams := book.tolerance_g(bag.bag)) is not None]
    if tolerances_g:
        least, most = book.grams(min(tolerances_g)), book.grams(max(tolerances_g))
        large = "" if least == most else f", a large one {most}"
        yield f"A bag may be {least} off{large}; let the next one even it out."


def what_differs(book: BagBook) -> Iterator[str]:
    """The bags that are not like the others of their kind, and amounts that need a finer scale."""
    kinds = kinds_of_bag(book.numbered)
    if any(_last_differs(kind) for kind in kinds):
        yield LAST_BAG
    fine = fine_scale_note(book)
    if fine:
        yield fine
    yield from (_other_weights(book, kind) for kind in kinds if len(_weights_g(book, kind)) > 1)


def _last_differs(kind: KindOfBag) -> bool:
    """Whether the last bag of a kind takes more or less of something than the others."""
    return kind.bags[-1].bag.fillings != kind.bags[0].bag.fillings


def _other_weights(book: BagBook, kind: KindOfBag) -> str:
    """A footnote on bags of a kind that have another weight than most of it."""
    usual_g, *others_g = _weights_g(book, kind)
    if len(others_g) > 2:
        least, most = min(usual_g, *others_g), max(usual_g, *others_g)
        return f"* {kind.name}: {book.grams(least)} to {book.grams(most)}, as its labels say."
    texts = []
    for grams in others_g:
        numbers = [bag.number for bag in kind.bags if book.weight_g(bag.bag) == grams]
        texts.append(f"{bags_text(numbers)} {book.grams(grams)}")
    return f"* {kind.name}: but {join_names(texts)}."


def then_points(book: BagBook) -> Points:
    """What to do when the bags are full."""
    return Points("then", "Then", tuple(_then(book)))


def _then(book: BagBook) -> Iterator[str]:
    """Where the full bags go, and what goes back to the freezer."""
    ways = {way: [journey for journey in book.journeys if journey.way is way] for way in BagWay}
    fresh, frozen = ways[BagWay.REFRIGERATOR], ways[BagWay.FREEZER]
    if fresh:
        yield f"Straight to the refrigerator: {bags_or_days(book, fresh)}."
    lots = book.facts.cold.lots
    if frozen and not lots:
        others = "All others" if fresh else "All bags"
        yield f"{others} into the freezer, thin and flat, what is fed last first: what is fed first lies on top."
    for lot in lots:
        numbers = {load.number for load in lot.loads}
        bags = bags_or_days(book, [journey for journey in frozen if journey.number in numbers])
        yield f"Freeze on {day_text(lot.day)}: {bags or 'what is left over'}."
    if ways[BagWay.NO_TIME]:
        yield f"To the refrigerator, but see what is said of them above: {bags_or_days(book, ways[BagWay.NO_TIME])}."
    if book.only is None and (rest := _left_text(book)):
        yield f"Left over, back to the freezer: {rest}."


def _left_text(book: BagBook) -> str:
    """What is left over of what was bought, without scraps that no bag could hold."""
    least_g = book.scenario.portioning.least_portion_g
    kept = [leftover for leftover in left(book.plan) if leftover.bought_g >= least_g]
    if len(kept) > MOST_LEFTOVERS:
        return f"{book.grams(sum(leftover.bought_g for leftover in kept))} of {count_text(len(kept), 'cut')}"
    return join_names([f"{book.grams(leftover.bought_g)} of {leftover.cut}" for leftover in kept])
