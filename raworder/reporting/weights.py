"""What dogs weigh: each one's trend, what is proposed for its next ration, and its weighings."""

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

from raworder.reporting.words import paper, short_share
from raworder.trade.document import (
    Block,
    Cell,
    Chart,
    ChartKind,
    Column,
    Document,
    Holds,
    Mark,
    Paragraph,
    Points,
    Table,
)
from raworder.trade.scenario import Scenario
from raworder.trade.units import day_text, grams_text, share_text
from raworder.trade.weight_trend import NextRation, Step, Trend

HOW = (
    "The change a week is the line that fits the weighings of the last twelve weeks best.",
    (
        "A new ration is a proposal, not a prescription: one step of 5 % (our own choice), within what is published, "
        "never below the energy at rest. Weigh again after two weeks."
    ),
    "A dog in care, one that loses weight unasked and a puppy that does not gain belong to the veterinarian.",
)


def weights(scenario: Scenario, rations: Sequence[NextRation], *, in_full: bool = False) -> Document:
    """Each dog's weight, trend and next ration; `in_full` with every weighing."""
    return paper(scenario, "weights", "Weights", _blocks(scenario, rations, in_full=in_full))


def _blocks(scenario: Scenario, rations: Sequence[NextRation], *, in_full: bool) -> Iterator[Block]:
    """Who is to see the veterinarian, a row for each dog, then the weighings."""
    if not rations:
        yield Paragraph("The book has no weighings yet.")
        return
    to_vet = tuple(_vet_text(ration) for ration in rations if ration.step is Step.VET)
    if to_vet:
        yield Points("to_vet", "See the veterinarian", to_vet)
    yield Table("trends", "", TREND_COLUMNS, tuple(_row(scenario, ration) for ration in rations))
    for ration in rations if in_full else ():
        if len(ration.trend.weighings) > 1:
            yield _chart(scenario, ration.trend)
    rows = tuple(
        (weighing.dog, weighing.day, weighing.grams) for ration in rations for weighing in ration.trend.weighings
    )
    yield Table("weighings", "Every weighing", WEIGHING_COLUMNS, rows, shown=in_full)
    sources = dict.fromkeys(source for ration in rations for source in ration.sources)
    yield Points("how", "How this is worked out", HOW, tuple(sources))


def _vet_text(ration: NextRation) -> str:
    """Which dog, and why; nothing is computed for it."""
    return f"{ration.trend.dog}: {ration.why}."


TREND_COLUMNS = (
    Column("dog", "Dog"),
    Column("weight_g", "Weighs", Holds.GRAMS),
    Column("weighed_on", "On", Holds.DATE),
    Column("weekly_share", "A week", shown=False, holds=Holds.SHARE),
    Column("weekly", "A week, weighings"),
    Column("step", "Step", shown=False),
    Column("ration_g", "Ration", Holds.GRAMS, shown=False),
    Column("ration_kcal", "Ration", Holds.COUNT, shown=False),
    Column("next_ration", "Next ration"),
)
WEIGHING_COLUMNS = (
    Column("dog", "Dog"),
    Column("day", "Day", Holds.DATE),
    Column("weight_g", "Weight", Holds.GRAMS),
)


def _row(scenario: Scenario, ration: NextRation) -> tuple[Cell, ...]:
    """A dog as a row."""
    newest = ration.trend.newest
    about = (ration.trend.dog, newest.grams, newest.day, ration.trend.weekly, _weekly_text(ration.trend))
    return (*about, ration.step.value, ration.grams, ration.kcal, _ration_text(scenario, ration))


def _weekly_text(trend: Trend) -> str:
    """The change a week, with its sign, and of how many weighings it is."""
    if trend.weekly is None:
        return f"unknown, from {len(trend.recent)}"
    sign = "+" if trend.weekly > 0 else "-"
    change = share_text(abs(trend.weekly))
    return f"{'' if change == '0.0 %' else sign}{change}, from {len(trend.recent)}"


TO_DO: Mapping[Step, str] = MappingProxyType(
    {
        Step.REACHED: "Take `goal` out of the scenario: {why}.",
        Step.GROWS: "Nothing is proposed for a growing dog. Write its weight into the scenario.",
        Step.VET: "See the veterinarian.",
        Step.WAIT: "Weigh again: {why}.",
        Step.UNKNOWN: "None: {why}.",
        Step.KEEP: "Keep it: {why}.",
        Step.MORE: "Try {amount} a day, {change} more: {why}.",
        Step.LESS: "Try {amount} a day, {change} less: {why}.",
    }
)
"""What to do about the next ration, by its step."""


def _ration_text(scenario: Scenario, ration: NextRation) -> str:
    """What to do about the next ration."""
    amount = f"{ration.kcal} kcal" if ration.grams is None else grams_text(ration.grams, scenario.weight_unit)
    return TO_DO[ration.step].format(amount=amount, change=short_share(abs(ration.changed)), why=ration.why)


def _chart(scenario: Scenario, trend: Trend) -> Chart:
    """A dog's weighings as columns by day."""
    marks = tuple(Mark(day_text(weighing.day), weighing.grams) for weighing in trend.weighings)
    lightest, heaviest = (
        grams_text(end(weighing.grams for weighing in trend.weighings), scenario.weight_unit) for end in (min, max)
    )
    says = f"{trend.dog}'s weight on {len(marks)} days, from {lightest} to {heaviest}."
    return Chart(f"{trend.dog}'s weight", ChartKind.DAYS, Holds.ABOUT_GRAMS, marks, says)
