"""The kennel pages, for many dogs: what a kennel gets, which bags are whose, and what is different with which dog."""

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from raworder.reporting.bag_book import BagBook, NumberedBag, avoided_text, bags_by_dog, numbers_text
from raworder.reporting.kitchen import kinds_of_bag
from raworder.reporting.nutrition_words import doses_text
from raworder.reporting.words import count_text, group_alike, join_names, paper
from raworder.trade.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Points, Table
from raworder.trade.dogs import Dog
from raworder.trade.rounding import half_up

DogBags = tuple[Dog, tuple[NumberedBag, ...]]
"""A dog with its bags."""

COLUMNS = (
    Column("kennel", "Kennel", shown=False),
    Column("dog", "Dog"),
    Column("bags", "Bags"),
    Column("meals", "Meals a day", Holds.COUNT),
    Column("each", "A bag"),
    Column("day_g", "A day", Holds.GRAMS),
    Column("batch_g", "In all", Holds.GRAMS),
)


def kennels(book: BagBook) -> Document | None:
    """All kennels, one after the other; None where dogs are few."""
    pages = kennel_pages(book)
    blocks = (block for page in pages for block in (Paragraph("", page.title), *page.blocks))
    return paper(book.scenario, "kennels", "Kennels", blocks) if pages else None


def kennel_pages(book: BagBook) -> tuple[Document, ...]:
    """A page for each kennel; one for all dogs where no kennel is named, none where dogs are few."""
    if not book.groups_dogs:
        return ()
    groups = group_alike(bags_by_dog(book), lambda pair: pair[0].kennel)
    return tuple(_page(book, kennel) for kennel in groups)


def _page(book: BagBook, kennel: Sequence[DogBags]) -> Document:
    """The page of a kennel."""
    name = kennel[0][0].kennel or "Dogs without a kennel"
    title = f"{name}: {count_text(len(kennel), 'dog')}"
    return paper(book.scenario, "kennels", title, _blocks(book, kennel))


def _blocks(book: BagBook, kennel: Sequence[DogBags]) -> Iterator[Block]:
    """Totals, the bags of each dog, what is different with some dogs, then the weight of every cut."""
    bags = [bag for _, its_bags in kennel for bag in its_bags]
    total_g = sum(bag.bag.grams for bag in bags)
    days = len({bag.bag.day for bag in bags})
    yield Facts(
        "kennel",
        (
            Fact("bags", "Bags", len(bags), Holds.COUNT),
            Fact("batch_g", "In all", total_g, Holds.GRAMS),
            Fact("day_g", "A day, about", half_up(Fraction(total_g, days)), Holds.GRAMS),
        ),
    )
    rows = tuple(_row(book, *pair) for pair in kennel)
    sums: tuple[Cell, ...] = (None, "together", None, None, None, None, total_g)
    yield Table("kennels", "Whose bags they are", COLUMNS, rows, (sums,))
    different = tuple(text for dog, its_bags in kennel if (text := _different(book, dog, its_bags)))
    if different:
        yield Points("different", "Not like the others", different)
    yield _cut_table(bags, total_g)


def _row(book: BagBook, dog: Dog, bags: Sequence[NumberedBag]) -> tuple[Cell, ...]:
    """The bags of a dog, what one weighs, and what it gets a day and in all."""
    weights_g = sorted({book.weight_g(bag.bag) for bag in bags})
    each = " to ".join(dict.fromkeys((book.grams(weights_g[0]), book.grams(weights_g[-1]))))
    total_g = sum(bag.bag.grams for bag in bags)
    day_g = half_up(Fraction(total_g, dog.days))
    return (dog.kennel, dog.name, numbers_text(bag.number for bag in bags), dog.meals, each, day_g, total_g)


def _different(book: BagBook, dog: Dog, bags: Sequence[NumberedBag]) -> str:
    """What is different with a dog: care, what it avoids, days away, supplements; empty where nothing is."""
    away = book.scenario.batch.days - len({bag.bag.day for bag in bags})
    doses = doses_text(book.scenario, book.plan, dog.name)
    texts = (
        f"in a veterinarian's care ({dog.care.value}), fed as the veterinarian said" if dog.care else "",
        avoided_text(dog),
        f"away for {count_text(away, 'day')}" if away else "",
        f"{join_names(doses)} beside its bags" if doses else "",
        "a growing dog: its bags get heavier" if dog.puppy else "",
    )
    told = "; ".join(filter(None, texts))
    return f"{dog.name}: {told}." if told else ""


def _cut_table(bags: Sequence[NumberedBag], total_g: int) -> Table:
    """The weight of every cut and mix in the bags of a kennel."""
    weights_g: Counter[str] = Counter()
    for bag in bags:
        weights_g.update({filling.cut: filling.grams for filling in bag.bag.fillings})
    kinds = len(kinds_of_bag(bags))
    columns = (Column("cut", "Cut or mix"), Column("weight_g", "In all", Holds.GRAMS))
    note = f"{count_text(len(bags), 'bag')} of {count_text(kinds, 'kind')}: the kitchen page has what is in each."
    return Table(
        "kennel_cuts", "What is in them", columns, tuple(weights_g.most_common()), (("together", total_g),), note=note
    )
