"""The fridge door: a fortnight at a glance, which bag goes to which dog on which day, and what to thaw."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from raworder.reporting.bag_book import BagBook, NumberedBag, bags_by_dog
from raworder.reporting.balanced_weeks import bags_too_full, full_days
from raworder.reporting.cautions import asked_here, numbered_cautions
from raworder.reporting.nutrition_words import doses_text
from raworder.reporting.thaw_plan import COLD_WATER_SOURCE, FEW_BAGS, bags_or_days, bags_to_keep_back, forgot_to_thaw
from raworder.reporting.words import count_text, days_text, group_alike, join_names, paper
from raworder.trade.batch_facts import BagWay, Journey
from raworder.trade.cuts import GROUND, Part
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.dogs import Dog
from raworder.trade.scenario import CautionPlace
from raworder.trade.units import day_text

AWAY = "(away)"
HOW = (
    "Tick what was fed and what was moved. Thaw in the refrigerator, on a tray on the lowest shelf, never on the "
    "counter: it takes a full day, so move the bags in the morning."
)
BONES = (
    "Never cook, bake or warm a bag: cooked bone splinters. A dog that chokes, strains, has a hard belly or vomits "
    "again and again needs a veterinarian at once: ______________"
)
HANDS = (
    "Children, pregnant women, old and ill people do not handle raw food or the bowls. Wash hands, bowls and surfaces "
    "with hot water and soap after every feeding. Local rules on raw food come first."
)
RULES_SOURCES = (
    f"cold water: {COLD_WATER_SOURCE}",
    "cooked bone: FDA warning via dvm360.com",
    "all else: from memory, not looked up",
)
WHOSE = "Give a dog no bag but its own, and nothing else."


def fridge_door(book: BagBook) -> Document:
    """Days down, dogs or kennels across, each bag with a box to tick, and the bags to move on every day."""
    return paper(book.scenario, "fridge_door", "Fridge door", _blocks(book), at_arms_length=True)


def _blocks(book: BagBook) -> Iterator[Block]:
    """How it is used, what to keep back, the days, and what always holds."""
    batch = book.scenario.batch
    yield Paragraph(f"{days_text(batch.starts, batch.ends)}. {HOW}")
    yield from bags_to_keep_back(book, book.journeys)
    yield from full_days(book)
    yield day_table(book)
    yield Points("rules", "When you feed", tuple(feeding_rules(book)), RULES_SOURCES)
    yield from asked_here(CautionPlace.BOWL, numbered_cautions(book.scenario, book.plan))
    yield _program_table(book)


def feeding_rules(book: BagBook) -> Iterator[str]:
    """What whoever feeds must know: what to give beside the bags, whose food is whose, and what to take care of."""
    for dog, _ in bags_by_dog(book):
        if not book.groups_dogs and (doses := doses_text(book.scenario, book.plan, dog.name)):
            yield f"{dog.name}: {join_names(doses)} beside the bag."
    if any(dog.meals > 1 for dog, _ in bags_by_dog(book)) and not book.groups_dogs:
        yield "Several bags of a dog on a day stand in the order of its meals."
    cared_for = [dog.name for dog, _ in bags_by_dog(book) if dog.care]
    if cared_for:
        yield f"{join_names(cared_for)}: fed as the veterinarian said. Change nothing without the veterinarian."
    yield f"{WHOSE} {_kept_text(book)} {forgot_to_thaw(book)}"
    if any(_has_bones(book, filling.cut) for bag in book.numbered for filling in bag.bag.fillings):
        yield BONES
    yield HANDS
    if book.only is None:
        yield f"Order the next batch by {day_text(book.scenario.batch.order_by)}."


def _kept_text(book: BagBook) -> str:
    """How long a bag keeps that was not fed on its day: what keeps shortest says it for all."""
    days = min(((journey.feed_by - journey.bag.day).days for journey in book.journeys), default=0)
    if days < 1:
        return "Throw away what is not fed on its day: some bags keep no longer."
    return f"What is not fed on its day keeps {count_text(days, 'day')} more in the refrigerator, then throw it away."


def _has_bones(book: BagBook, name: str) -> bool:
    """Whether a cut, or something in a mix, has bone in it that is not ground."""
    return any(cut.part_share(Part.BONE) > 0 and cut.kind != GROUND for cut in book.cuts_in(name))


@dataclass(frozen=True, slots=True)
class _Across:
    """Who shares a column: a dog, or the dogs of a kennel; `under` says what one bag weighs."""

    name: str
    dogs: frozenset[str]
    under: str = ""


def day_table(book: BagBook, title: str = "") -> Table:
    """A row for each day, from the filling of the bags to the last day fed."""
    across = _columns(book)
    fed: dict[tuple[str, date], list[NumberedBag]] = {}
    for bag in book.numbered:
        fed.setdefault((bag.bag.dog, bag.bag.day), []).append(bag)
    moved = {group[0].moves_on: group for group in group_alike(book.journeys, lambda journey: journey.moves_on)}
    before = sorted(day for day in (*moved, book.scenario.portioned_on) if day and day < book.scenario.batch.starts)
    days = (*dict.fromkeys(before), *book.scenario.batch.each_day())
    rows = tuple(
        (
            day,
            *(_bags_fed(book, eaters, day, fed) for eaters in across),
            "; ".join(_to_move(book, day, moved.get(day, ()))),
        )
        for day in days
    )
    columns = (
        Column("day", "Day", Holds.DAY),
        *(Column(f"bags_{place}", eaters.name, Holds.TICKS, under=eaters.under) for place, eaters in enumerate(across)),
        Column("thaw", "Thaw today", Holds.TICKS, under="freezer to refrigerator"),
    )
    return Table("", title, columns, rows)


def _columns(book: BagBook) -> tuple[_Across, ...]:
    """Every dog; where dogs are many every kennel, or all of them together."""
    by_dog = list(bags_by_dog(book))
    if not book.groups_dogs:
        return tuple(_Across(dog.name, frozenset({dog.name}), _weights_text(book, bags)) for dog, bags in by_dog)
    kennels = group_alike((dog for dog, _ in by_dog), lambda dog: dog.kennel)
    return tuple(_kennel(group, many=len(kennels) > 1) for group in kennels)


def _kennel(dogs: Sequence[Dog], *, many: bool) -> _Across:
    """The dogs of a kennel; those of none are called so where others have one."""
    name = dogs[0].kennel or ("No kennel" if many else "All dogs")
    return _Across(name, frozenset(dog.name for dog in dogs), count_text(len(dogs), "dog"))


def _weights_text(book: BagBook, bags: Sequence[NumberedBag]) -> str:
    """What a bag of a dog weighs, from the lightest to the heaviest."""
    weights_g = sorted({book.weight_g(bag.bag) for bag in bags})
    if len(weights_g) == 1:
        return book.grams(weights_g[0])
    return f"{book.grams(weights_g[0])} to {book.grams(weights_g[-1])}"


def _bags_fed(
    book: BagBook, eaters: _Across, day: date, fed: Mapping[tuple[str, date], Sequence[NumberedBag]]
) -> str | None:
    """The bags fed on a day, by number and kind; of a kennel how many they are; that a dog is away; nothing before."""
    if day < book.scenario.batch.starts:
        return None
    bags = [bag for dog in book.scenario.dogs if dog.name in eaters.dogs for bag in fed.get((dog.name, day), ())]
    if not bags:
        return AWAY
    if book.groups_dogs:
        return count_text(len(bags), "bag")
    return "; ".join(f"{bag.number} {bag.bag.kind}" for bag in bags)


def _to_move(book: BagBook, day: date, moved: Sequence[Journey]) -> Iterator[str]:
    """What goes into the refrigerator on a day, each to be ticked: what was just filled, then what is frozen."""
    if day == book.scenario.portioned_on:
        fresh = [journey for journey in book.journeys if journey.way is not BagWay.FREEZER]
        if fresh:
            yield f"{bags_or_days(book, fresh)} straight from the counter"
    for group in group_alike(moved, lambda journey: journey.bag.day if len(moved) > FEW_BAGS else None):
        yield bags_or_days(book, group)


def _program_table(book: BagBook) -> Table:
    """A row for every dog and meal, for programs."""
    columns = (
        Column("day", "Day", Holds.DAY),
        Column("dog", "Dog"),
        Column("kennel", "Kennel"),
        Column("meal", "Meal", Holds.COUNT),
        Column("bag", "Bag", Holds.COUNT),
        Column("kind", "Kind"),
        Column("weight_g", "Weight", Holds.GRAMS),
        Column("mind", "Take care"),
        Column("moves_on", "Moved on", Holds.DAY),
    )
    too_full, journeys = bags_too_full(book), {journey.number: journey for journey in book.journeys}
    rows = tuple(
        _program_row(book, journeys[bag.number], too_full.get(bag.number, ""))
        for bag in sorted(book.numbered, key=lambda bag: (bag.bag.day, bag.number))
    )
    return Table("feeding", "Feeding", columns, rows, shown=False)


def _program_row(book: BagBook, journey: Journey, too_full: str) -> tuple[Cell, ...]:
    """The row of one bag."""
    bag, dog = journey.bag, book.dogs[journey.bag.dog]
    weight_g = book.weight_g(bag)
    return (bag.day, bag.dog, dog.kennel, bag.meal, journey.number, bag.kind, weight_g, too_full, journey.moves_on)
