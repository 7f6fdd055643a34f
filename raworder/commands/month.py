"""Commands that ask the book: `stock`, `trace`, `powercut`, `history` and `weights`. None of them writes into it."""

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from raworder.commands import console
from raworder.commands.book_entries import names_book, names_day, read_book
from raworder.commands.console import Exit, Outputs
from raworder.commands.desk import (
    find_owner,
    hand_out_paper,
    known_name,
    load_scenario_quietly,
    prints_papers,
    reads_scenario,
    takes_owner,
)

if TYPE_CHECKING:
    from raworder.book.kitchen_book import KitchenBook
    from raworder.trade.document import Document
    from raworder.trade.kept import KeptBag
    from raworder.trade.scenario import Scenario
    from raworder.trade.weight_trend import NextRation


@click.command()
@reads_scenario
@takes_owner
@names_book
@names_day
@prints_papers
def stock(scenario: Path, owner: str | None, book: Path | None, day: date, where: Outputs) -> None:
    """Find out what is in the freezer, and for how long it is enough.

    What it cost, until which day each dog has bags and by when to order, the loose food by cut, and the bags.
    """
    from raworder.reading.reference import cuts_by_name
    from raworder.reporting.kept_food import stock_paper
    from raworder.trade.cover import covers

    checked = load_scenario_quietly(scenario)
    whose = find_owner(checked, owner) or ""
    with read_book(scenario, book, checked) as kept:
        held, batches = kept.stock(day).without_crumbs(), kept.batches()
    hand_out_paper(stock_paper(checked, held, covers(checked, held, batches), cuts_by_name(checked), whose), where)


@click.command()
@reads_scenario
@click.argument("words", nargs=-1, metavar="[WORDS...]")
@click.option("--bag", type=click.IntRange(min=1), metavar="N", help="What went into the bag with this label.")
@click.option("--batch", default="", metavar="NUMBER", help="Of this batch; of the last one if not said.")
@names_book
@names_day
@prints_papers
def trace(  # noqa: PLR0913, PLR0917 - one parameter for each option
    scenario: Path,
    words: Sequence[str],
    bag: int | None,
    batch: str,
    book: Path | None,
    day: date,
    where: Outputs,
) -> None:
    """Find out which bags hold what is recalled, and who ate of it.

    WORDS are a supplier, an item, a cut, `lot 3`, the mark on a pack, or the day it was bought; all of them must be
    true. With --bag the other way: what went into a bag, from whom and when.
    """
    from raworder.reading.lot_words import find_bag, find_lots, unmarked_alike
    from raworder.reporting.recall import bag_origin, recall

    if bool(words) == (bag is not None) or not all(word.strip() for word in words):
        raise click.UsageError("name what was bought, such as a supplier or the mark on the pack, or a bag with --bag")
    checked = load_scenario_quietly(scenario)
    with read_book(scenario, book, checked) as kept:
        if bag is None:
            found = kept.trace_lots([lot.number for lot in find_lots(words, kept.lots())])
            unmarked = unmarked_alike(found.lots, kept.lots())
            hand_out_paper(recall(checked, found, ", ".join(words), day, unmarked), where)
        chosen = find_bag(bag, batch, kept.bags())
        if chosen is None:
            raise click.UsageError(f"the book has no bag {bag}{f' of batch {batch}' if batch else ''}")
        hand_out_paper(bag_origin(checked, kept.trace_bag(chosen), day), where)


@click.command()
@reads_scenario
@click.option("--hours", type=click.IntRange(min=0), metavar="N", help="So many hours there has been no power.")
@takes_owner
@names_book
@names_day
@prints_papers
def powercut(  # noqa: PLR0913, PLR0917 - one parameter for each option
    scenario: Path, hours: int | None, owner: str | None, book: Path | None, day: date, where: Outputs
) -> None:
    """Find out what to do in a power cut, and what the freezer holds.

    What to keep and what to throw away, what is in the freezer and what it cost, and a sheet for the insurer. Keep the
    door shut.
    """
    from raworder.reading.reference import read_cold_times
    from raworder.reporting.kept_food import of_owner
    from raworder.reporting.power_cut import insurer_sheet, power_cut

    checked = load_scenario_quietly(scenario)
    whose = find_owner(checked, owner) or ""
    with read_book(scenario, book, checked) as kept:
        held, batches = kept.stock(day).without_crumbs(), kept.batches()
    if whose:
        held = of_owner(held, whose)
    rule = power_cut(checked, held, read_cold_times(), hours, whose)
    papers = [rule, insurer_sheet(checked, held, batches)] if held.grams else [rule]
    _hand_out(papers, where)


def _hand_out(papers: "Sequence[Document]", where: Outputs) -> None:
    """Write and print papers that carry no plan."""
    console.save_papers(papers, where)
    console.print_documents(papers, Exit.PLAN.name.lower(), as_json=where.as_json)


@click.command()
@reads_scenario
@click.argument("cut", default="")
@names_book
@prints_papers
def history(scenario: Path, cut: str, book: Path | None, where: Outputs) -> None:
    """Find out what a cut has cost, and whether it is dear now.

    Without a CUT, each cut of the scenario: last paid, mean, and today's list beside it.
    """
    from raworder.reporting.price_history import course_of, cut_history, price_history
    from raworder.trade.batch_account import listed_prices

    checked = load_scenario_quietly(scenario)
    listed = tuple(listed_prices(checked))
    with read_book(scenario, book, checked) as kept:
        points = kept.prices()
    if not cut:
        hand_out_paper(price_history(checked, points, listed), where)
    names = dict.fromkeys((*(known.name for known in checked.cuts), *(point.cut for point in points)))
    hand_out_paper(cut_history(checked, course_of(known_name("cut", cut, tuple(names)), points, listed)), where)


@click.command()
@reads_scenario
@click.argument("dog", default="")
@names_book
@prints_papers
def weights(scenario: Path, dog: str, book: Path | None, where: Outputs) -> None:
    """Find out how dogs' weights change, and what to feed next.

    A new ration is a proposal within published ranges. With a DOG, every weighing of it.
    """
    from raworder.reporting.weights import weights as weights_paper

    checked = load_scenario_quietly(scenario)
    with read_book(scenario, book, checked) as kept:
        weighed = kept.weighings()
        if dog:
            names = dict.fromkeys((*(known.name for known in checked.dogs), *(weighing.dog for weighing in weighed)))
            dog = known_name("dog", dog, tuple(names))
        rations = [ration for ration in _rations(checked, kept) if not dog or ration.trend.dog == dog]
    hand_out_paper(weights_paper(checked, rations, in_full=bool(dog)), where)


def _rations(scenario: "Scenario", kept: "KitchenBook") -> "Iterator[NextRation]":
    """What is proposed for every dog that was weighed, in the order of their names."""
    from raworder.nourishing.next_ration import food_kcal_per_g, next_ration
    from raworder.reading.reference import read_needs
    from raworder.trade.weight_trend import trends

    dogs = {dog.name: dog for dog in scenario.dogs}
    needs = {row.key: row for row in read_needs()}
    cuts = {cut.name: cut for cut in scenario.cuts}
    bags = kept.bags()
    for trend in trends(kept.weighings(), scenario.batch.starts):
        kcal_per_g = food_kcal_per_g(trend.dog, _last_batch(trend.dog, bags), cuts)
        yield next_ration(dogs.get(trend.dog), trend, needs, scenario.portioning.scale_step_g, kcal_per_g)


def _last_batch(dog: str, bags: "Sequence[KeptBag]") -> "list[KeptBag]":
    """The bags of the last batch that was filled for a dog."""
    last = max((bag.entry for bag in bags if bag.dog == dog), default=0)
    return [bag for bag in bags if bag.entry == last and bag.dog == dog]
