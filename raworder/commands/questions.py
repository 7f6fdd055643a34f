"""Commands that ask: each needs many plans and answers with one paper."""

import sys
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Any, NoReturn

import click

from raworder.commands import console
from raworder.commands.console import Exit, Outputs
from raworder.commands.desk import (
    FILE,
    accept_content,
    answer_documents,
    assume_profile,
    exit_code,
    hand_out_paper,
    load_scenario,
    open_ask,
    prints_papers,
    reads_scenario,
    shows_findings,
    solve_progress,
)
from raworder.trade.outputs import place_in_print

if TYPE_CHECKING:
    from raworder.studies.asking import Ask
    from raworder.studies.list_changes import ListComparison
    from raworder.trade.document import Document
    from raworder.trade.plan import NoPlan, Plan, Unsolved
    from raworder.trade.scenario import Scenario
    from raworder.trade.units import Currency

    Study = Callable[[Scenario, Plan, Ask], Document]


@dataclass(frozen=True, slots=True)
class Inquiry:
    """Which workers answer the questions, and where the paper goes."""

    workers: int | None
    cluster: str | None
    where: Outputs


def asks(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command that asks many questions the options for workers, and those for its paper."""
    for option in (
        click.option("--cluster", metavar="ADDRESS", help="Let the workers of this scheduler answer."),
        click.option("--workers", type=click.IntRange(1), metavar="N", help="Processes; one a core if not said."),
    ):
        command = option(command)
    return prints_papers(command)


@click.command()
@reads_scenario
@asks
def reasons(scenario: Path, **how: Any) -> None:
    """Find out why there is no plan, and what would help.

    What the lists show before any solving, the single changes that help with their least amounts, or the fewest rules
    that must give way together, and the rules that clash.
    """
    from raworder.studies.asking import Task
    from raworder.studies.plain_facts import no_plan_at_once
    from raworder.studies.reasons import reasons as find_reasons
    from raworder.workflow import plan_batch

    checked = load_scenario(scenario)
    with open_ask(how["workers"], how["cluster"]) as ask:
        no_plan = no_plan_at_once(checked)
        answer = no_plan or ask([Task("plan", plan_batch, (checked, ask.settings))]).get("plan")
        if answer is None:
            raise KeyboardInterrupt
        _finish(find_reasons(checked, ask, answer), ask, Inquiry(**how), exit_code(answer))


@click.command()
@click.argument("scenarios", type=FILE, nargs=-1, required=True, metavar="SCENARIO...")
@shows_findings
@asks
def compare(scenarios: Sequence[Path], **how: Any) -> None:
    """Compare suppliers, or several scenarios.

    With one file: each supplier alone, the best one, two and more stops, each supplier missing. With several: what each
    costs, what changed in the order and in the price lists.
    """
    from raworder.studies.side_by_side import compare_variants
    from raworder.studies.suppliers import suppliers

    if len(scenarios) == 1:
        _read_and_answer(scenarios[0], Inquiry(**how), suppliers)
    checked = [(str(path), load_scenario(path)) for path in scenarios]
    with open_ask(how["workers"], how["cluster"]) as ask:
        _finish(compare_variants(checked, ask), ask, Inquiry(**how))


@click.command()
@click.argument("lists", type=FILE, nargs=2, metavar="OLD NEW")
@click.option("--scenario", type=FILE, metavar="FILE", help="What it does to this plan, which names one of the lists.")
@click.option("--names", type=FILE, metavar="FILE", help="The supplier's names file; one beside a list if not said.")
@click.option("--earlier", type=FILE, multiple=True, metavar="LIST", help="A still older list; repeatable.")
@click.option("--currency", metavar="CODE", help="The currency of all prices, where the lists leave it open.")
@shows_findings
@asks
def changes(
    lists: tuple[Path, Path],
    scenario: Path | None,
    names: Path | None,
    earlier: Sequence[Path],
    currency: str | None,
    **how: Any,
) -> None:
    """Find out what changed on a supplier's list, and its cost.

    Item by item, by the supplier's code first and then by name: dearer, cheaper, in another pack, sold out, gone, new,
    and with earlier lists what is back. With a scenario, what your plan costs with the old list and with the new.
    """
    from raworder.studies.list_changes import list_changes
    from raworder.studies.side_by_side import effect_of_lists

    _refuse_scenarios(lists)
    plans = _plans_with(scenario, lists) if scenario else None
    book = names or (_names_file_of(scenario, lists) if scenario else _names_file_beside(lists))
    compared = _read_lists((*lists, *earlier), book, currency, plans)
    with open_ask(how["workers"], how["cluster"]) as ask:
        cost = tuple(effect_of_lists(*plans, ask)) if plans else ()
        _finish(list_changes(compared, cost), ask, Inquiry(**how))


def _plans_with(path: Path, lists: tuple[Path, Path]) -> "tuple[Scenario, Scenario]":
    """The scenario with the old list and with the new; the command ends, with the reasons, where there is none."""
    from raworder.reading.scenario_file import read_scenario

    old, new = (each.resolve() for each in lists)
    readings = [read_scenario(path, instead) for instead in ({new: old}, {old: new})]
    # what a list says beside its prices is on the paper, so that warnings would say it twice
    before, now = (accept_content(each.scenario, () if each.scenario else each.findings) for each in readings)
    return before, now


def _names_file_of(scenario: Path, lists: tuple[Path, Path]) -> Path | None:
    """The names file that the scenario has for one of the lists; a usage error where it names neither."""
    from raworder.reading.scenario_file import price_lists_of

    named = price_lists_of(scenario)
    found = [named[path] for path in map(Path.resolve, lists) if path in named]
    if not found:
        raise click.UsageError(
            f"`{scenario}` names neither list; write one of them as the `price_list` of its supplier"
        )
    return found[0]


def _refuse_scenarios(lists: Sequence[Path]) -> None:
    """Raise a usage error where a scenario is given as a list."""
    if any(path.suffix.lower() in {".yaml", ".yml"} for path in lists):
        both = " ".join(map(quote, map(str, lists)))
        raise click.UsageError(f"`changes` compares two price lists; for scenarios: raworder compare {both}")


def _names_file_beside(lists: tuple[Path, Path]) -> Path | None:
    """The names file beside the new list, else that beside the old one; None where there is none."""
    from raworder.commands.list_interview import names_path_of

    return next((path for path in (names_path_of(each, each) for each in reversed(lists)) if path.exists()), None)


def _money_of(code: str | None, plans: "Sequence[Scenario] | None", shown: Collection[str]) -> "Currency":
    """The currency that was named, or that of the scenario, or that the lists show; a usage error where none is."""
    from raworder.reading.currencies import read_currency
    from raworder.trade.units import UnitError

    if plans and not code:
        return plans[0].currency
    code = code or (next(iter(shown)) if len(shown) == 1 else None)
    if not code:
        why = "the sign on the lists is that of several currencies" if shown else "nothing says what the prices are in"
        raise click.UsageError(f"{why}: add --currency, such as `--currency EUR`")
    try:
        return read_currency(code)
    except UnitError as error:
        raise click.BadParameter(f"{error}; {error.help}", param_hint="--currency") from None


def _read_lists(
    paths: Sequence[Path], book: Path | None, currency: str | None, plans: "Sequence[Scenario] | None"
) -> "ListComparison":
    """The old list, the new one and earlier ones, read with their names file; the command ends where one cannot be."""
    from raworder.reading.files import plain_file
    from raworder.reading.named_lists import list_currencies, read_supplier_list
    from raworder.reading.names_files import read_names_file
    from raworder.reading.notes import Notes
    from raworder.studies.list_changes import ListComparison
    from raworder.trade.supplier_list import SupplierNames

    first, notes = Notes(), Notes()
    names = read_names_file(book, notes) if book else SupplierNames()
    files = tuple(map(plain_file, paths))
    shown = [list_currencies(file, names.layout, first) for file in files] if names and not (currency or plans) else []
    if notes.refuse or first.refuse:
        accept_content(None, (*notes.all(), *first.all()))
    money = _money_of(currency, plans, frozenset.intersection(*filter(None, shown)) if any(shown) else ())
    read = [read_supplier_list(file, names, money.code, notes) if names else None for file in files]
    lists = [each for each in read if each]
    old, new, *earlier = accept_content(lists if len(lists) == len(paths) else None, notes.all())
    return ListComparison(old, new, money, plans[0].weight_unit if plans else "kg", tuple(earlier))


@click.command()
@reads_scenario
@click.option("--supplier", "suppliers", multiple=True, metavar="NAME", help="Only what this one sells; repeatable.")
@click.option("--cut", "cuts", multiple=True, metavar="NAME", help="Only this cut; repeatable.")
@asks
def prices(scenario: Path, suppliers: Sequence[str], cuts: Sequence[str], **how: Any) -> None:
    """Find the prices to ask for.

    For what is not bought the price below which it would be, for what is bought the price above which it would not.
    """
    from raworder.studies.prices_to_ask import prices_to_ask

    checked = load_scenario(scenario)
    _check_names("--supplier", suppliers, [supplier.name for supplier in checked.suppliers])
    _check_names("--cut", cuts, [cut.name for cut in checked.cuts])
    _answer(checked, Inquiry(**how), lambda *arguments: prices_to_ask(*arguments, suppliers=suppliers, cuts=cuts))


@click.command()
@reads_scenario
@asks
def instead(scenario: Path, **how: Any) -> None:
    """Print a card: what to buy if a line is sold out.

    For the shop, where something is missing: the cheapest that mends the order, a second choice, or what breaks.
    """
    from raworder.studies.substitutes import substitutes

    _read_and_answer(scenario, Inquiry(**how), substitutes)


@click.command()
@reads_scenario
@asks
def worth(scenario: Path, **how: Any) -> None:
    """Find out what easing each rule a little would save.

    For each rule at its limit, what one step of loosening it would save.
    """
    from raworder.studies.worth_of_one_more import worth_of_one_more

    _read_and_answer(scenario, Inquiry(**how), worth_of_one_more)


@click.command()
@reads_scenario
@click.option("--profile", metavar="NAME", help="The profile for all dogs, instead of their own.")
@asks
def gaps(scenario: Path, profile: str | None, **how: Any) -> None:
    """Find out what filling each nutrient gap costs.

    For each dog below its published energy and each bound that the food misses as far as is known, the cheapest order
    that meets it; then all of them together.
    """
    from raworder.studies.gaps import gaps as price_gaps

    checked = load_scenario(scenario)
    _answer(assume_profile(checked, profile) if profile else checked, Inquiry(**how), price_gaps)


@click.command()
@reads_scenario
@click.option("--within", default="2 %", show_default=True, metavar="PERCENT", help="How much more it may cost.")
@asks
def nicer(scenario: Path, within: str, **how: Any) -> None:
    """Find nicer orders for nearly the same money.

    The best compromise; then the order with most species, with least left over, with fewest packs and lines, with
    fewest stops.
    """
    from raworder.studies.same_money import same_money
    from raworder.trade.units import UnitError, read_percent

    try:
        share = read_percent(within)
    except UnitError as error:
        raise click.BadParameter(f"{error}; write a percentage, such as `2 %`", param_hint="--within") from None
    _read_and_answer(scenario, Inquiry(**how), lambda *arguments: same_money(*arguments, within=share))


@click.command()
@reads_scenario
@click.argument("changes", nargs=-1, required=True, metavar="CHANGE...")
@asks
def whatif(scenario: Path, changes: Sequence[str], **how: Any) -> None:
    """Find out what a change would cost.

    Each CHANGE is in words and quotes, and is shown by itself beside the plan as it is: "price of beef +10 %", "one
    more like Maple", "without Juniper", "Maple away 3 days", "ration of Maple 965 kcal", "everyone on BARF", "room
    20 kg", "budget 50.00".
    """
    from raworder.studies.what_if import ChangeError, changes_of, what_if

    checked = load_scenario(scenario)
    try:
        read_changes = changes_of(checked, changes)
    except ChangeError as error:
        raise click.BadParameter(f"{error}; {error.help}", param_hint="CHANGE") from None
    _answer(checked, Inquiry(**how), lambda *arguments: what_if(*arguments, changes=read_changes))


def _check_names(option: str, names: Sequence[str], known: Sequence[str]) -> None:
    """Raise a usage error for a name that the scenario does not have."""
    for name in names:
        if name not in known:
            raise click.BadParameter(f"`{name}` is not in the scenario; it has {', '.join(known)}", param_hint=option)


CARD, PRICES = "what_instead", "prices_to_ask"
"""The keys of the papers that can go with a plan: what to buy instead, and the prices to ask for."""


def further_papers(scenario: "Scenario", plan: "Plan", keys: Collection[str]) -> "dict[str, Document]":
    """The papers with these keys that need further solves for a plan."""
    if not keys:
        return {}
    from raworder.studies.prices_to_ask import prices_to_ask
    from raworder.studies.substitutes import substitutes

    studies: dict[str, Study] = {CARD: substitutes, PRICES: prices_to_ask}
    with open_ask() as ask:
        papers = {key: study(scenario, plan, ask) for key, study in studies.items() if key in keys}
        if ask.interrupted:
            raise KeyboardInterrupt
    return papers


def add_papers(documents: "Sequence[Document]", extra_papers: "Sequence[Document]") -> "Sequence[Document]":
    """The papers of a plan and the extra ones, in the order of print."""
    return sorted((*documents, *extra_papers), key=lambda document: place_in_print(document.key))


def _read_and_answer(scenario: Path, how: Inquiry, study: "Study") -> NoReturn:
    """Read the scenario, answer the question about it, and end."""
    _answer(load_scenario(scenario), how, study)


def _answer(scenario: "Scenario", how: Inquiry, study: "Study") -> NoReturn:
    """Answer the question about the cheapest order and end; where there is none, print why."""
    from raworder.trade.plan import Plan

    with open_ask(how.workers, how.cluster) as ask:
        base = _cheapest_order(scenario, ask)
        if isinstance(base, Plan):
            _finish(study(scenario, base, ask), ask, how)
    documents, code = answer_documents(scenario, base, lambda _: ())
    console.print_documents(documents, code.name.lower(), as_json=how.where.as_json)
    sys.exit(code)


def _cheapest_order(scenario: "Scenario", ask: "Ask") -> "Plan | NoPlan | Unsolved":
    """The cheapest order, which every question compares with; KeyboardInterrupt where it was interrupted."""
    from raworder.studies.asking import Task
    from raworder.studies.plain_facts import no_plan_at_once
    from raworder.workflow import order_batch

    if no_plan := no_plan_at_once(scenario):
        return no_plan
    settings = ask.settings if ask.engine else replace(ask.settings, progress=solve_progress())  # a worker tells nobody
    answers = ask([Task("base", order_batch, (scenario, settings))])
    if not answers:
        raise KeyboardInterrupt
    return answers["base"]


def _finish(document: "Document", ask: "Ask", how: Inquiry, code: Exit = Exit.PLAN) -> NoReturn:
    """Write and print the paper, and end; after an interrupt it is printed as partial, and no file is written."""
    ask.close()
    if ask.interrupted:
        console.print_documents(
            [_mark_partial(document, ask)], Exit.INTERRUPTED.name.lower(), as_json=how.where.as_json
        )
        raise KeyboardInterrupt
    hand_out_paper(document, how.where, code)


def _mark_partial(document: "Document", ask: "Ask") -> "Document":
    """The paper with a first line that says it is partial."""
    from raworder.trade.document import Paragraph

    says = f"Partial: interrupted after {ask.answered} of {ask.asked} questions. What is not told here was not asked."
    return replace(document, blocks=(Paragraph(says), *document.blocks))
