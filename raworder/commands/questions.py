"""Commands that ask: each needs many plans and answers with one paper."""

import sys
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from raworder.commands import console
from raworder.commands.console import Outputs
from raworder.commands.desk import (
    FILE,
    Exit,
    asking,
    assume_profile,
    documents_of,
    exit_of,
    hand_out_alone,
    prints_papers,
    read,
    reads_scenario,
    shows_findings,
)
from raworder.trade.outputs import place_in_print

if TYPE_CHECKING:
    from raworder.studies.asking import Ask
    from raworder.trade.document import Document
    from raworder.trade.plan import NoPlan, Plan, Unsolved
    from raworder.trade.scenario import Scenario

    Study = Callable[[Scenario, Plan, Ask], Document]


@dataclass(frozen=True, slots=True)
class How:
    """Who works questions out, and where the paper goes."""

    workers: int | None
    cluster: str | None
    where: Outputs


def asks(command: Callable[..., None]) -> Callable[..., None]:
    """The options of every command of inquiry: who works questions out, and where the paper goes."""
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
    from raworder.studies.reasons import reasons as told
    from raworder.workflow import plan_batch

    checked = read(scenario)
    with asking(how["workers"], how["cluster"]) as ask:
        answer = ask([Task("plan", plan_batch, (checked, ask.settings))]).get("plan")
        if answer is None:
            raise KeyboardInterrupt
        _hand_out(told(checked, ask, answer), ask, How(**how), exit_of(answer))


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
        _study(scenarios[0], How(**how), suppliers)
    checked = [(str(path), read(path)) for path in scenarios]
    with asking(how["workers"], how["cluster"]) as ask:
        _hand_out(compare_variants(checked, ask), ask, How(**how))


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

    checked = read(scenario)
    _known("--supplier", suppliers, [supplier.name for supplier in checked.suppliers])
    _known("--cut", cuts, [cut.name for cut in checked.cuts])
    _studied(checked, How(**how), lambda *asked: prices_to_ask(*asked, suppliers=suppliers, cuts=cuts))


@click.command()
@reads_scenario
@asks
def instead(scenario: Path, **how: Any) -> None:
    """Print a card: what to buy if a line is sold out.

    For the shop, where something is missing: the cheapest that mends the order, a second choice, or what breaks.
    """
    from raworder.studies.substitutes import substitutes

    _study(scenario, How(**how), substitutes)


@click.command()
@reads_scenario
@asks
def worth(scenario: Path, **how: Any) -> None:
    """Find out what easing each rule a little would save.

    For each rule at its limit, what one step of loosening it would save.
    """
    from raworder.studies.worth_of_one_more import worth_of_one_more

    _study(scenario, How(**how), worth_of_one_more)


@click.command()
@reads_scenario
@click.option("--profile", metavar="NAME", help="The profile for all dogs, instead of their own.")
@asks
def gaps(scenario: Path, profile: str | None, **how: Any) -> None:
    """Find out what filling each nutrient gap costs.

    For each bound that the food misses as far as is known, the cheapest order that meets it; then all of them together.
    """
    from raworder.studies.gaps import gaps as told

    checked = read(scenario)
    _studied(assume_profile(checked, profile) if profile else checked, How(**how), told)


@click.command()
@reads_scenario
@click.option("--within", default="2 %", show_default=True, metavar="PERCENT", help="How much more it may cost.")
@asks
def nicer(scenario: Path, within: str, **how: Any) -> None:
    """Find nicer orders for nearly the same money.

    The order with most species, with least left over, with fewest packs and lines, with fewest stops.
    """
    from raworder.studies.same_money import same_money
    from raworder.trade.units import UnitError, read_percent

    try:
        share = read_percent(within)
    except UnitError as error:
        raise click.BadParameter(f"{error}; write a percentage, such as `2 %`", param_hint="--within") from None
    _study(scenario, How(**how), lambda *asked: same_money(*asked, within=share))


@click.command()
@reads_scenario
@click.argument("changes", nargs=-1, required=True, metavar="CHANGE...")
@asks
def whatif(scenario: Path, changes: Sequence[str], **how: Any) -> None:
    """Find out what a change would cost.

    Each CHANGE is in words and quotes, and is shown by itself beside the plan as it is: "price of beef +10 %", "one
    more like Maple", "without Juniper", "Maple away 3 days", "everyone on BARF", "room 20 kg", "budget 50.00".
    """
    from raworder.studies.what_if import ChangeError, changes_of, what_if

    checked = read(scenario)
    try:
        read_changes = changes_of(checked, changes)
    except ChangeError as error:
        raise click.BadParameter(f"{error}; {error.help}", param_hint="CHANGE") from None
    _studied(checked, How(**how), lambda *asked: what_if(*asked, changes=read_changes))


def _known(option: str, names: Sequence[str], known: Sequence[str]) -> None:
    """Refuse a name that the scenario does not know."""
    for name in names:
        if name not in known:
            raise click.BadParameter(f"`{name}` is not in the scenario; it has {', '.join(known)}", param_hint=option)


CARD, PRICES = "what_instead", "prices_to_ask"
"""The keys of the papers that can go with a plan: what to buy instead, and the prices to ask for."""


def further_papers(scenario: "Scenario", plan: "Plan", keys: Collection[str]) -> "dict[str, Document]":
    """The papers of further questions about a plan, by key."""
    if not keys:
        return {}
    from raworder.studies.prices_to_ask import prices_to_ask
    from raworder.studies.substitutes import substitutes

    studies: dict[str, Study] = {CARD: substitutes, PRICES: prices_to_ask}
    with asking() as ask:
        found = {key: study(scenario, plan, ask) for key, study in studies.items() if key in keys}
        if ask.interrupted:
            raise KeyboardInterrupt
    return found


def put_beside(documents: "Sequence[Document]", beside: "Sequence[Document]") -> "Sequence[Document]":
    """The papers of a plan with others among them, in the order in which they are printed."""
    return sorted((*documents, *beside), key=lambda document: place_in_print(document.key))


def _study(scenario: Path, how: How, study: "Study") -> NoReturn:
    """Read the scenario and answer the question."""
    _studied(read(scenario), how, study)


def _studied(scenario: "Scenario", how: How, study: "Study") -> NoReturn:
    """Answer the question about the cheapest order; where there is none, tell why."""
    from raworder.trade.plan import Plan

    with asking(how.workers, how.cluster) as ask:
        base = _base(scenario, ask)
        if isinstance(base, Plan):
            _hand_out(study(scenario, base, ask), ask, how)
    documents, code = documents_of(scenario, base, lambda _: ())
    console.print_documents(documents, code.name.lower(), as_json=how.where.as_json)
    sys.exit(code)


def _base(scenario: "Scenario", ask: "Ask") -> "Plan | NoPlan | Unsolved":
    """The cheapest order, from which every question starts."""
    from raworder.studies.asking import Task
    from raworder.workflow import order_batch

    found = ask([Task("base", order_batch, (scenario, ask.settings))])
    if not found:
        raise KeyboardInterrupt
    return found["base"]


def _hand_out(document: "Document", ask: "Ask", how: How, code: Exit = Exit.PLAN) -> NoReturn:
    """Write and print the paper, and end; after an interrupt it says that it is partial, and no file is written."""
    ask.close()
    if ask.interrupted:
        console.print_documents([_partial(document, ask)], Exit.INTERRUPTED.name.lower(), as_json=how.where.as_json)
        raise KeyboardInterrupt
    hand_out_alone(document, how.where, code)


def _partial(document: "Document", ask: "Ask") -> "Document":
    """The paper, which says first that it is partial."""
    from raworder.trade.document import Paragraph

    says = f"Partial: interrupted after {ask.answered} of {ask.asked} questions. What is not told here was not asked."
    return replace(document, blocks=(Paragraph(says), *document.blocks))
