"""The kitchen page: kinds of bag across, cuts down in working order, and where the full bags go."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate

from raworder.reporting.bag_book import PLAIN_PLURALS, BagBook, NumberedBag, bags_text, dogs_or_count, numbers_text
from raworder.reporting.cautions import asked_here, numbered_cautions
from raworder.reporting.counter_sheet import TWO_HOURS, Step, avoidance_text, fine_scale_note, working_steps
from raworder.reporting.freezing import before_filling
from raworder.reporting.mise_en_place import bag_size_g, bought_leftovers_text, half_thaw_evening, lots_to_thaw
from raworder.reporting.thaw_plan import bags_or_days
from raworder.reporting.words import count_text, group_alike, join_names, paper
from raworder.trade.as_fed import fed_cuts
from raworder.trade.bags import Filling, Mix, Tub
from raworder.trade.batch_facts import THAWS_A_DAY_G, BagWay, Journey
from raworder.trade.document import Block, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.rounding import half_up
from raworder.trade.scenario import CautionPlace, OnHand
from raworder.trade.units import day_text

WASH = "Wash boards, knives, scale and hands"
"""What is done where the next cut must not touch what was there before."""

MOST_ACROSS = 8
"""With more kinds of bag than this in a phase they stand down the page, and the cuts across."""

LAST_BAG = (
    "The last bag of a kind takes a little more or less of a cut than the others: its label, or the bag list, says how "
    "much."
)
CLEAN_AND_COLD = (
    "Begin with clean boards, knives, scale and hands. Take out one cut at a time: raw food stays out of the "
    "refrigerator at most 2 hours, 1 hour above 32 C (90 F)."
)


def kitchen(book: BagBook) -> Document:
    """All that is needed to fill the bags: what to lay out, what goes into which kind of bag, where the bags go."""
    return paper(book.scenario, "kitchen", "Kitchen", _blocks(book), at_arms_length=True)


def _blocks(book: BagBook) -> Iterator[Block]:
    """What to have ready, what to keep back, the tubs, the bags, and what to do with them."""
    yield Paragraph(what_to_have_ready(book))
    yield from before_filling(book)
    yield from bag_tables(book)
    yield bag_notes(book)
    yield then_points(book)
    yield from asked_here(CautionPlace.COUNTER, numbered_cautions(book.scenario, book.plan))


def what_to_have_ready(book: BagBook) -> str:
    """When the bags are filled, how many of which size, and what to half-thaw the evening before."""
    sizes = Counter(bag_size_g(book.weight_g(bag.bag), book.scenario.weight_unit) for bag in book.numbered)
    counts = join_names([f"{number} for up to {book.grams(size_g)}" for size_g, number in sorted(sizes.items())])
    day = f"{day_text(book.scenario.portioned_on)}: {count_text(len(book.numbered), 'bag')}, {counts}."
    lots = [f"{book.grams(use.used_g)} of {_whose(lot)}{lot.cut}" for lot, use in lots_to_thaw(book)]
    frozen = [*lots, *(["what was bought frozen"] if book.plan.lines else [])]
    if not frozen or book.only is not None:
        return day
    evening, block = day_text(half_thaw_evening(book)), book.about_grams(THAWS_A_DAY_G)
    return (
        f"{day} On the evening of {evening} move {join_names(frozen)} to the refrigerator, to half-thaw; blocks of "
        f"more than {block} a day earlier."
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
    """A part for dogs whose food may touch, after another of whom it may not: tubs of mixes first, then the bags."""
    cuts = [cut.name for cut in fed_cuts(book.scenario, book.plan)]
    phases = group_alike(working_steps(book), lambda step: step.phase)
    parts = [(phase, kinds) for phase in phases if (kinds := _kinds_filled(book, phase))]
    for place, (phase, kinds) in enumerate(parts, start=1):
        dogs = dogs_or_count(tuple(dict.fromkeys(kind.bags[0].bag.dog for kind in kinds)))
        title = f"Part {place} of {len(parts)}: {dogs}" if len(parts) > 1 else ""
        wash = f"{WASH}. " if place > 1 else ""
        mixes = [book.mixes[step.cut] for step in phase if not step.bags and book.only is None]
        for mix in mixes:
            yield _tub_table(book, mix, f"{wash}{title}{'. ' if title else ''}")
            title, wash = "", f"{WASH}. "
        table = _kinds_down if len(kinds) > MOST_ACROSS else _kinds_across
        yield table(book, f"{wash}{title}".rstrip(), _bag_steps(phase), kinds, avoidance_text(book, phase, cuts))


def _kinds_filled(book: BagBook, phase: Sequence[Step]) -> tuple[KindOfBag, ...]:
    """The kinds of bag that something goes into in a phase."""
    places = {at for step in phase for at in step.bags}
    return kinds_of_bag(bag for bag in book.numbered if bag.number - 1 in places)


def _bag_steps(phase: Sequence[Step]) -> tuple[Step, ...]:
    """The steps that fill bags; one whose mix is made right before it is washed for as the making was."""
    making = {step.cut: step.clean_first for step in phase if not step.bags}
    return tuple(
        replace(step, clean_first=step.clean_first or making.get(step.cut, False)) for step in phase if step.bags
    )


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
    whole = [filling for filling in fillings if filling.pieces]
    pieces, weighed_g = sum(f.pieces for f in whole), sum(f.grams for f in fillings if not f.pieces)
    counted = [_pieces_text(book, whole[0], pieces)] if whole else []
    return join_names([*counted, *([book.grams(weighed_g)] if weighed_g else [])])


def _tub_table(book: BagBook, mix: Mix, before: str) -> Table:
    """Every tub of a mix, cut by cut: what the scale shows, beginning with the empty tub at 0."""
    tubs = group_alike(mix.tubs, lambda tub: _readings_g(book, mix, tub))
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
    scale_g = [_readings_g(book, mix, alike[0]) for alike in tubs]
    rows = tuple(
        (filling.cut, *(book.grams(readings_g[place]) for readings_g in scale_g), book.grams(filling.grams))
        for place, filling in enumerate(mix.contents)
    )
    tub_count = count_text(len(mix.tubs), "tub")
    title = f"{before}{mix.name}, {book.grams(mix.grams)} in {tub_count}: for {join_names(mix.dogs)} alone"
    note = "Set the scale to 0 with the empty tub on it. Add cut by cut until it shows this, then mix well."
    return Table("", title, columns, rows, note=note, tick=True)


def _readings_g(book: BagBook, mix: Mix, tub: Tub) -> tuple[int, ...]:
    """What the scale shows after each cut of a tub, in its steps: the last tub of a mix takes what that leaves."""
    step_g, held_g = book.scenario.portioning.scale_step_g, {filling.cut: filling.grams for filling in tub.contents}
    readings_g = accumulate(held_g.get(filling.cut, 0) for filling in mix.contents)
    return tuple(half_up(Fraction(grams, step_g)) * step_g for grams in readings_g)


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
        yield f"Straight to the refrigerator: {_bags_named(book, fresh)}."
    lots = book.facts.cold.lots
    if frozen and not lots:
        others = "All others" if fresh else "All bags"
        yield f"{others} into the freezer, thin and flat; what is fed last goes in first."
    for lot in lots:
        numbers = {load.number for load in lot.loads}
        bags = bags_or_days(book, [journey for journey in frozen if journey.number in numbers])
        if bags or book.only is None:
            yield f"Freeze on {day_text(lot.day)}: {bags or 'what is left over'}."
    if ways[BagWay.NO_TIME]:
        yield f"Keep back, as said above: {_bags_named(book, ways[BagWay.NO_TIME])}."
    if book.only is None and (rest := bought_leftovers_text(book)):
        yield f"Left over, back to the freezer: {rest}."


def _bags_named(book: BagBook, journeys: Sequence[Journey]) -> str:
    """Bags at a glance, after the word for them where they are named by number."""
    bags = bags_or_days(book, journeys)
    noun = "" if bags.startswith("all") else "bag " if len(journeys) == 1 else "bags "
    return f"{noun}{bags}"
