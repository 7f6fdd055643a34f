"""The household page: all that one owner of a shared order needs, on one sheet of paper."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from raworder.reporting.bag_book import BagBook, NumberedBag, bag_book, bags_by_dog, bags_text, numbers_text
from raworder.reporting.cautions import numbered_cautions, only_about
from raworder.reporting.doubts import OWN_FREEZER, doubts
from raworder.reporting.food_doubts import Doubt
from raworder.reporting.fridge_door import RULES_SOURCES, feeding_rules
from raworder.reporting.own_freezer import AtHome, at_home, fetching_sentences, late_bags, own_freezer_text
from raworder.reporting.thaw_plan import bags_to_keep_back
from raworder.reporting.words import capitalised, count_text, days_text, join_names, paper, with_batch_number
from raworder.trade.as_fed import of_dogs
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import Grade
from raworder.trade.plan import Cures, Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import CautionPlace, FedScenario, Scenario
from raworder.trade.units import day_text

HERE = (CautionPlace.BOWL, CautionPlace.HOME)
"""Where an owner acts who does not fill the bags."""

MOST_LINES = 5
"""So many lines stand under what to take care of, so that a fortnight fits on one page; other doubts are counted."""


@dataclass(frozen=True, slots=True)
class Dues:
    """An owner's part of the bills, and the payments that settle it: to whom, and from whom, how much."""

    food: Decimal
    left_over: Decimal
    delivery: Decimal
    tax: Decimal
    pays: tuple[tuple[str, Decimal], ...] = ()
    gets: tuple[tuple[str, Decimal], ...] = ()

    @property
    def total(self) -> Decimal:
        """The whole part."""
        return self.food + self.left_over + self.delivery + self.tax


@dataclass(frozen=True, slots=True)
class Alone:
    """What the cheapest order for one owner's dogs alone costs; None where there is none, and `why`."""

    total: Decimal | None
    why: str = ""


def household_page(plan: Plan, owner: str, dues: Dues, alone: Alone | None = None) -> Document:
    """An owner's dogs, bags, days, freezer, cautions and money; `alone` where it is known."""
    scenario = plan.facts.scenario
    names = tuple(dog.name for dog in scenario.dogs if dog.owner == owner)
    book, home, batch = bag_book(plan).of_dogs(names), at_home(scenario, plan, owner), scenario.batch
    blocks = (
        Paragraph(" ".join((f"Fed {days_text(batch.starts, batch.ends)}.", *fetching_sentences(scenario, home)))),
        _dogs_table(book),
        *bags_to_keep_back(book, home.journeys),
        *_days_table(home),
        *_cautions(book, home),
        Points("rules", "When you feed", tuple(feeding_rules(book)), RULES_SOURCES),
        *_money(scenario, dues, alone),
    )
    return with_batch_number(scenario, paper(scenario, "household", f"{owner}: {join_names(names)}", blocks))


def _dogs_table(book: BagBook) -> Table:
    """Each dog with its food a day and its bags."""
    kcal = {food.dog: half_up(food.energy.day) for food in book.plan.nourished if food.energy and food.energy.is_known}
    bags = {dog.name: numbered for dog, numbered in bags_by_dog(book)}
    dogs = [dog for dog in book.scenario.dogs if book.is_about(dog.name)]
    rows = tuple(_dog_row(dog, kcal.get(dog.name), bags.get(dog.name, ())) for dog in dogs)
    columns = (
        Column("dog", "Dog"),
        Column("day_g", "Food a day", Holds.GRAMS),
        Column("day_kcal", "Kcal a day", Holds.COUNT, shown=any(dog.name in kcal for dog in dogs)),
        Column("bags", "Bags"),
        Column("kinds", "Kinds"),
        Column("batch_g", "Weight", Holds.GRAMS),
    )
    return Table("own_dogs", "Your dogs and their bags", columns, rows)


def _dog_row(dog: Dog, kcal: int | None, bags: Sequence[NumberedBag]) -> tuple[Cell, ...]:
    """A dog with its bags: their numbers, how many there are of each kind, and what they weigh."""
    kinds = Counter(numbered.bag.kind for numbered in bags)
    counted = ", ".join(f"{kind} {count_text(count, 'bag')}" for kind, count in sorted(kinds.items()))
    numbers, batch_g = numbers_text(bag.number for bag in bags), sum(numbered.bag.grams for numbered in bags)
    return (dog.name, half_up(dog.daily_g), kcal, numbers, counted, batch_g)


def _days_table(home: AtHome) -> Iterator[Table]:
    """Day by day, from when the bags are fetched, what to feed and what to thaw, with a box to tick."""
    here = [journey for journey in home.journeys if journey.bag.day >= home.fetched_on]
    fed = [(journey.bag.day, journey.number) for journey in here]
    moved = [(day, journey.number) for journey in here if (day := journey.moves_on) and day >= home.fetched_on]
    days = sorted({day for day, _ in (*fed, *moved)})
    rows = tuple((day, _on_day(fed, day), _on_day(moved, day)) for day in days)
    columns = (
        Column("day", "Day", Holds.DAY),
        Column("feed", "Feed bags"),
        Column("thaw", "Move to the refrigerator"),
    )
    if rows:
        yield Table("own_days", "Your days", columns, rows, tick=True)


def _on_day(bags: Sequence[tuple[date, int]], day: date) -> str:
    """The numbers of the bags of a day."""
    return numbers_text(number for on, number in bags if on == day)


def _cautions(book: BagBook, home: AtHome) -> Iterator[Points]:
    """What to take care of with these dogs and bags, and nothing about others."""
    found = [doubt for doubt in doubts(*_of_owner(book, home)) if doubt.key != OWN_FREEZER]
    own = [" ".join(text)] if (text := own_freezer_text(book.scenario, home, "Your")) else []
    first, last = [*_late_lines(home), *own], tuple(_caution_lines(book))
    dangers = sum(doubt.grade is Grade.DANGER for doubt in found)
    shown = found[: max(MOST_LINES - len(first) - len(last), dangers, 1)]
    lines = (*first, *map(_doubt_line, shown), *_more_lines(len(found) - len(shown)), *last)
    if lines:
        yield Points("own_cautions", "Take care", lines)


def _doubt_line(doubt: Doubt) -> str:
    """What is doubtful, and what to do; not what to write into the file, as that is for whoever plans."""
    return doubt.graded.replace(doubt.cure, "").strip() if "`" in doubt.cure else doubt.graded


def _caution_lines(book: BagBook) -> Iterator[str]:
    """What these dogs' food asks of whoever feeds it."""
    eaten = {portion.cut for portion in book.plan.portions if portion.batch_g and book.is_about(portion.dog)}
    own = {dog.name for dog in book.scenario.dogs if book.is_about(dog.name)}
    for entry in only_about(eaten | own, numbered_cautions(book.scenario, book.plan)):
        if entry.caution.place in HERE:
            yield f"{capitalised(entry.about)}: {entry.caution.do}."


def _late_lines(home: AtHome) -> Iterator[str]:
    """Bags that must be thawing, or be fed, before they are fetched."""
    if late := late_bags(home):
        bags, first = bags_text(late), min(late.values())
        yield (
            f"{capitalised(bags)} must be in a refrigerator from {day_text(first)} on, before you fetch them. Ask for "
            "it where the bags are filled."
        )
    fed = [journey.number for journey in home.journeys if journey.bag.day < home.fetched_on]
    if fed:
        yield f"{capitalised(bags_text(fed))}: fed before you fetch the others. Agree with who fills the bags."


def _more_lines(count: int) -> Iterator[str]:
    """That there is more to read, and where; nothing where there is not."""
    if count > 0:
        yield f"{count_text(count, 'more note')} with the cautions of the whole order."


def _of_owner(book: BagBook, home: AtHome) -> tuple[FedScenario, Plan]:
    """Scenario and plan with the dogs of one owner alone, so that nothing is said of others."""
    plan, facts = book.plan, book.facts
    scenario = of_dogs(facts.scenario, book.only or ())
    return scenario, replace(
        plan,
        portions=tuple(portion for portion in plan.portions if book.is_about(portion.dog)),
        nourished=tuple(food for food in plan.nourished if book.is_about(food.dog)),
        worked_out=replace(facts, scenario=scenario, cold=replace(facts.cold, journeys=home.journeys)),
        cures=Cures(),
    )


def _money(scenario: Scenario, dues: Dues, alone: Alone | None) -> Iterator[Block]:
    """The owner's part, whom to pay, and what sharing saves."""
    text = scenario.currency.text
    parts = (("food", dues.food), ("left over", dues.left_over), ("delivery", dues.delivery), ("sales tax", dues.tax))
    of = ", ".join(f"{name} {text(amount)}" for name, amount in parts if amount)
    pays = [f"Pay {name} {text(amount)}." for name, amount in dues.pays]
    gets = [f"{name} pays you {text(amount)}." for name, amount in dues.gets]
    saved = [_saved_text(scenario, dues, alone)] if alone else []
    if alone and any(not lot.owner for lot in scenario.on_hand):
        saved.append("That is reckoned without what is on hand for all.")
    part = f"Your part of the order is {text(dues.total)}{f': {of}' if of else ''}."
    yield Paragraph(" ".join([*pays, *gets, part, *saved]), "Your money")


def _saved_text(scenario: Scenario, dues: Dues, alone: Alone) -> str:
    """What sharing saves against going alone."""
    if alone.total is None:
        return f"Alone you could not order: {alone.why}."
    text, saved = scenario.currency.text, alone.total - dues.total
    if saved <= 0:
        return f"Alone you would pay {text(alone.total)}: sharing saves you nothing this time."
    return f"Alone you would pay {text(alone.total)}: sharing saves you {text(saved)}."
