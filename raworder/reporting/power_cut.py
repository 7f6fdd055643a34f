"""What to do in a power cut, what is in the freezer then, and a sheet for the insurer."""

from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.kept_food import bag_table, lot_source, money_parts
from raworder.reporting.words import count_text, dogs_text, join_names, paper
from raworder.trade.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Points, Table
from raworder.trade.kept import BatchAccount, KeptBag, Stock
from raworder.trade.rounding import half_up
from raworder.trade.scenario import ColdTimes, Scenario
from raworder.trade.units import grams_text

FULL = Fraction(9, 10)
"""From this share of its room on a freezer counts as full. Source: our own choice, as packages never fill all of it."""

HALF = Fraction(1, 2)


def power_cut(scenario: Scenario, stock: Stock, cold: ColdTimes, hours: int | None, owner: str = "") -> Document:
    """The rule, whether so many hours without power are within it, and what is in the freezer.

    With an owner it is about that one's freezer, and the stock is that one's already.
    """
    return paper(scenario, "power_cut", "Power cut", _blocks(scenario, stock, cold, hours, owner))


def _at_home(scenario: Scenario) -> set[str]:
    """The owners who have a freezer of their own, or fetch their bags."""
    return {each.name for each in scenario.owners if each.room_g or each.collects}


def _share_full(scenario: Scenario, stock: Stock, owner: str) -> Fraction | None:
    """How full the freezer is; what owners fetch or have in freezers of their own does not keep that of all cold."""
    rooms_g = {each.name: each.room_g for each in scenario.owners}
    room_g = rooms_g.get(owner) if owner else scenario.room_g
    if not room_g:
        return None
    elsewhere = set() if owner else _at_home(scenario)
    there_g = sum(lot.left_g for lot in stock.lots if lot.owner not in elsewhere)
    there_g += sum(bag.grams for bag in stock.bags if bag.owner not in elsewhere)
    return min(Fraction(there_g, room_g), Fraction(1))


def _blocks(scenario: Scenario, stock: Stock, cold: ColdTimes, hours: int | None, owner: str) -> Iterator[Block]:
    """What to do now and later, then the food."""
    yield Points("now", "Now", tuple(_to_do_now(cold)))
    yield Paragraph(_this_freezer(cold, _share_full(scenario, stock, owner), hours), "This freezer")
    in_one = not owner and not _at_home(scenario)
    yield Points("afterwards", "When the power is back", _to_do_later(cold, in_one=in_one), cold.sources)
    if stock.grams:
        yield _cut_table(stock)
    if stock.bags:
        yield bag_table(scenario, stock.day, stock.bags)
    if not stock.grams:
        yield Paragraph("The book has nothing in the freezer.")


def _to_do_now(cold: ColdTimes) -> Iterator[str]:
    """What holds while there is no power."""
    yield "Keep the door shut. Every look costs cold."
    yield (
        f"Shut, a full freezer stays cold for about {cold.full_freezer_h} hours, one that is half full for about "
        f"{cold.half_full_freezer_h}, and a refrigerator for about {cold.refrigerator_h}."
    )
    yield "Write down when the power went."


def _to_do_later(cold: ColdTimes, *, in_one: bool) -> tuple[str, ...]:
    """What to keep and what to throw away afterwards; all at once only where all of it lies in one freezer."""
    at_most = f"{cold.refreeze_c} C ({cold.refreeze_f} F)"
    everything = ', or "everything thrown away"' if in_one else ""
    return (
        f"Freeze again only what has ice crystals in it still, or is at {at_most} or colder.",
        "Throw away all else. Never try it by smell or taste, and do not feed it.",
        f"What lay thawing in the refrigerator is lost after {cold.refrigerator_h} hours.",
        f'Then enter what is gone: `raworder note SCENARIO "bags 12-15 thrown away"`{everything}.',
    )


def _this_freezer(cold: ColdTimes, share: Fraction | None, hours: int | None) -> str:
    """How full the freezer is, how long it stays cold for that, and whether the hours are within."""
    half_h = cold.half_full_freezer_h
    if share is None:
        says = "Look how full it is. With `freezer: {room: 60 kg}` in the scenario this page would say so."
        return f"{says}{_verdict(hours, half_h, ', if it is half full')}"
    full = f"By the book it is {half_up(share * 100)} % full"
    if share >= FULL:
        return f"{full}: count on {cold.full_freezer_h} hours.{_verdict(hours, cold.full_freezer_h)}"
    if share >= HALF:
        return f"{full}: count on {half_h} hours, as if half full.{_verdict(hours, half_h)}"
    return f"{full}. If nothing else is in it, count on less than {half_h} hours.{_verdict(hours, 0)}"


def _verdict(hours: int | None, limit_h: int, where: str = "") -> str:
    """Whether so many hours are within a limit, after a space; nothing where nobody said how many."""
    if hours is None:
        return ""
    so_far = f" {count_text(hours, 'hour')} without power"
    if hours <= limit_h:
        return f"{so_far} {'is' if hours == 1 else 'are'} within that{where}: keep it shut."
    return f"{so_far} may be too long: when the power is back, check every bag as said below."


CUT_COLUMNS = (
    Column("cut", "Cut"),
    Column("loose_g", "Loose", Holds.ABOUT_GRAMS),
    Column("in_bags_g", "In bags", Holds.ABOUT_GRAMS),
    Column("weight_g", "Together", Holds.ABOUT_GRAMS),
)


def _cut_table(stock: Stock) -> Table:
    """What there is of each cut, loose and in bags, with the sum."""
    loose_g, in_bags_g = Counter[str](), Counter[str]()
    for lot in stock.lots:
        loose_g[lot.cut] += lot.left_g
    for bag in stock.bags:
        in_bags_g.update(dict(bag.contents))
    cuts = sorted({*loose_g, *in_bags_g})
    rows = tuple((cut, loose_g[cut] or None, in_bags_g[cut] or None, loose_g[cut] + in_bags_g[cut]) for cut in cuts)
    sums = ("All", loose_g.total(), in_bags_g.total(), stock.grams)
    return Table("by_cut", "What is in it", CUT_COLUMNS, rows, totals=(sums,))


CLAIM_COLUMNS = (
    Column("food", "Food"),
    Column("weight_g", "Weight", Holds.GRAMS),
    Column("supplier", "Bought from"),
    Column("bought_on", "Bought", Holds.DATE),
    Column("cost", "Cost", Holds.MONEY),
)
SIGNED = (
    Column("name", "Name", Holds.BLANK),
    Column("signed_on", "Day", Holds.BLANK),
    Column("signature", "Signature", Holds.BLANK),
)


def insurer_sheet(scenario: Scenario, stock: Stock, batches: Sequence[BatchAccount]) -> Document:
    """A list of the food with where and when it was bought and what it cost, to be signed for an insurer."""
    return paper(scenario, "insurer_sheet", "Food in the freezer", _claim(scenario, stock, batches))


def _claim(scenario: Scenario, stock: Stock, batches: Sequence[BatchAccount]) -> Iterator[Block]:
    """The day, the food, the sum, and room to sign."""
    facts = (
        Fact("day", "In the freezer on", stock.day, Holds.DATE),
        Fact("weight_g", "Weight", stock.grams, Holds.GRAMS),
    )
    yield Facts("claim", facts)
    foods = [*_loose(stock), *_bagged(scenario, stock, batches)]
    costs = money_parts(scenario, [worth for _, worth in foods])
    rows = tuple((*about, cost) for (about, _), cost in zip(foods, costs, strict=True))
    total = ("All", stock.grams, None, None, sum(costs, Decimal(0)))
    yield Table("claimed", "", CLAIM_COLUMNS, rows, totals=(total,))
    yield Paragraph(
        f"Worked out from receipts in the book, in {scenario.currency.code}, each with its part of delivery and sales "
        "tax. Food in bags has the day on which they were filled. What was found without a receipt costs nothing here."
    )
    yield Table("", "", SIGNED, ((None, None, None),))


Claimed = tuple[tuple[Cell, ...], Fraction]
"""What is said of some food, and what it cost exactly."""


def _loose(stock: Stock) -> Iterator[Claimed]:
    """The loose food, lot by lot."""
    for lot in sorted(stock.lots, key=lambda lot: (lot.cut, lot.bought_on, lot.number)):
        name = f"{lot.cut} ({lot.item})" if lot.item and lot.item != lot.cut else lot.cut
        yield (name, lot.left_g, lot_source(lot), lot.bought_on), lot.left_worth


def _bagged(scenario: Scenario, stock: Stock, batches: Sequence[BatchAccount]) -> Iterator[Claimed]:
    """The bags, batch by batch."""
    accounts = {batch.number: batch for batch in batches}
    for number in dict.fromkeys(bag.batch for bag in stock.bags):
        bags = [bag for bag in stock.bags if bag.batch == number]
        account = accounts.get(number)
        sellers = join_names([bill.supplier for bill in account.bills]) if account else ""
        worth = sum((bag.worth for bag in bags), Fraction(0))
        yield (_bags_words(scenario, bags), sum(bag.grams for bag in bags), sellers, bags[0].filled_on), worth


def _bags_words(scenario: Scenario, bags: Sequence[KeptBag]) -> str:
    """How many bags for which dogs, and what is in them."""
    inside = Counter[str]()
    for bag in bags:
        inside.update(dict(bag.contents))
    foods = ", ".join(f"{grams_text(grams, scenario.weight_unit)} {cut}" for cut, grams in sorted(inside.items()))
    return f"{count_text(len(bags), 'bag')} for {dogs_text(dict.fromkeys(bag.dog for bag in bags))}: {foods}"
