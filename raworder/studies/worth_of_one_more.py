"""Worth of one more: what loosening each rule by one sensible step would save, found by solving again with it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from raworder.giving_way.demand import Looser
from raworder.giving_way.family import one_step_looser
from raworder.reporting.words import count_text, paper
from raworder.solving.compared import is_near_enough
from raworder.solving.search import ANY_CHEAPEST, CHEAPEST_HANDIEST, SearchGoal, Start
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask, Task
from raworder.studies.orders import comparable_base, cost_now_facts, nearness_text, order_before_sharing, start_of
from raworder.trade.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Points, Table
from raworder.trade.dogs import Dog, EnergyRation, VetAmount
from raworder.trade.plan import Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario

COLUMNS_NOTE = "`Then` is what the cheapest order would cost."
ONE_AT_A_TIME = (
    "Each step is tried alone: two together may save more or less than both. Nothing here says that you should ease a "
    "rule. Ranges and caps are there for the dogs' health: ask a veterinarian before you widen one."
)
MORE_TO_SPEND = "A larger budget saves nothing: this is already the cheapest order that follows your rules."
NOTHING_NEAR = "No rule that one step could ease is at its limit."
MANY_DOGS = (
    "With so many dogs only the rules that the order is near are tried, and the costs are those of orders before whole "
    "pieces are shared out."
)
NO_DAY_MORE = "For one day more in the batch no order was found that follows your rules."
A_DAY = "day"
"""The key of the question what one day more costs."""


@dataclass(frozen=True, slots=True)
class Worth:
    """A rule one step looser, with the cost then and what that saves; the cost is None where time ran out.

    `at_most` is the most that it may save where orders are only near the cheapest.
    """

    looser: Looser
    cost: Decimal | None
    saves: Decimal
    proved: bool
    at_most: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class OrderCost:
    """What an order costs, trips counted: as printed, exactly as far as proved, and whether it is, or near enough."""

    counted: Decimal
    bound: Decimal
    proved: bool
    most_off: Decimal = Decimal(0)


def worth_of_one_more(scenario: Scenario, base: Plan, ask: Ask) -> Document:
    """The paper: what one step of each rule would save, the largest saving first, and what one day more costs.

    Where dogs are few every rule is tried; where they are many, only those whose limit the order is near. Steps that
    save are solved once more for the handiest order, which is the one that would be printed; not where orders are only
    near the cheapest, as that alters the cost by cents.
    """
    is_near = is_near_enough(scenario, ask.settings)
    if is_near:
        base = comparable_base(scenario, base, ask)
    tried = {
        str(place): looser
        for place, looser in enumerate(one_step_looser(scenario, base))
        if looser.is_near or not scenario.solved_by_groups
    }
    start = start_of(base)
    costed = ask(_questions(scenario, tried.items(), start, ask.settings))
    saving = [
        (key, looser)
        for key, looser in tried.items()
        if key in costed and not is_near and _worth(scenario, base, looser, costed[key]).saves
    ]
    costed |= ask(
        [Task(key, cost_now, (looser.scenario, start, ask.settings, CHEAPEST_HANDIEST)) for key, looser in saving]
    )
    worths = [_worth(scenario, base, looser, costed[key]) for key, looser in tried.items() if key in costed]
    blocks = (
        *_savings(scenario, base, worths),
        *_a_day(scenario, base, costed),
        *_how_far(scenario, worths, len(tried), [base.proof.most_off(base.counted), *_most_off(costed)]),
    )
    return paper(scenario, "worth_of_one_more", "Worth of one more", blocks)


def cost_now(
    scenario: Scenario, start: Start, settings: Settings, wanted: SearchGoal = ANY_CHEAPEST
) -> OrderCost | None:
    """What the cheapest order costs, audited; None where there is none, or the time limit came first.

    Where dogs are many, it is the order before pieces are shared out: the same money, much less work.
    """
    order = order_before_sharing(scenario, settings, replace(wanted, start=start))
    if not isinstance(order, Plan):
        return None
    proof, counted = order.proof, order.counted
    return OrderCost(counted, proof.bound, proof.is_enough(counted), proof.most_off(counted))


def _questions(
    scenario: Scenario, tried: Iterable[tuple[str, Looser]], start: Start, settings: Settings
) -> Sequence[Task[OrderCost | None]]:
    """The questions: every rule one step looser, and one day longer."""
    questions = [Task(key, cost_now, (looser.scenario, start, settings)) for key, looser in tried]
    longer = one_day_longer(scenario)
    return [*questions, Task(A_DAY, cost_now, (longer, start, settings))] if longer else questions


def _worth(scenario: Scenario, base: Plan, looser: Looser, costed: OrderCost | None) -> Worth:
    """What a step saves; nothing where the exact costs of both orders are within half a minor unit, or may be."""
    # Printed totals of equally cheap orders can differ by a rounding, so the exact costs decide. Where they are only
    # near the cheapest, what is surely saved is what the dearest that the looser rule may cost is below the bound.
    if costed is None:
        return Worth(looser, None, Decimal(0), proved=False)
    is_exact = not base.proof.most_off(base.counted) and not costed.most_off
    surely = base.proof.bound - (costed.bound if is_exact else costed.counted)
    saves = Decimal(0) if surely <= scenario.currency.minor / 2 else max(base.counted - costed.counted, Decimal(0))
    at_most = Decimal(0) if is_exact else max(base.counted - costed.bound, Decimal(0))
    return Worth(looser, costed.counted, saves, costed.proved and base.proof.is_enough(base.counted), at_most)


def _savings(scenario: Scenario, base: Plan, worths: Sequence[Worth]) -> Iterator[Block]:
    """What the order costs now, the steps that save something, and a sentence on those that save nothing."""
    yield cost_now_facts(scenario, base)
    saving = sorted((worth for worth in worths if worth.saves), key=lambda worth: (-worth.saves, worth.looser.limit))
    if saving:
        yield _table(scenario, saving)
    yield from _sentences(scenario, worths)


def _most_off(costed: Mapping[str, OrderCost | None]) -> Iterator[Decimal]:
    """How far each cost can be off."""
    return (answer.most_off for answer in costed.values() if answer is not None)


def _how_far(scenario: Scenario, worths: Sequence[Worth], tried: int, off: Sequence[Decimal]) -> Iterator[Block]:
    """How far the figures hold, and whether some are missing."""
    if any(worth.saves for worth in worths):
        yield Paragraph(ONE_AT_A_TIME)
    if scenario.budget is not None:
        yield Paragraph(MORE_TO_SPEND)
    if scenario.solved_by_groups:
        yield Paragraph(" ".join((MANY_DOGS, *nearness_text(scenario, off))))
    if tried > len(worths):
        yield Paragraph(f"This is not all: {count_text(tried - len(worths), 'rule')} could not be tried in time.")
    elif not tried:
        yield Paragraph(NOTHING_NEAR)


def _table(scenario: Scenario, saving: Sequence[Worth]) -> Table:
    """The rules of which one step saves something."""
    code = scenario.currency.code
    columns = (
        Column("rule", "Rule", shown=False),
        Column("limit", "Your rule"),
        Column("step", "One step"),
        Column("cost_then", f"Then {code}", Holds.MONEY),
        Column("saves", f"Saves {code}", Holds.MONEY),
        Column("doubt", "Doubt", shown=any(not worth.proved for worth in saving)),
    )
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            worth.looser.rule,
            worth.looser.limit,
            worth.looser.step,
            worth.cost,
            worth.saves,
            "" if worth.proved else "not proved",
        )
        for worth in saving
    )
    return Table("worth", "Easing one rule by one step", columns, rows, note=COLUMNS_NOTE)


def _sentences(scenario: Scenario, worths: Sequence[Worth]) -> Iterator[Block]:
    """The rules of which one step saves nothing, and those not solved in time."""
    spared = [worth for worth in worths if not worth.saves and worth.cost is not None]
    nothing, most = (
        [_step_text(worth.looser) for worth in spared],
        max((worth.at_most for worth in spared), default=Decimal(0)),
    )
    unsolved = [_step_text(worth.looser) for worth in worths if worth.cost is None]
    if nothing:
        much = (
            f"nothing, or at most {scenario.currency.text(scenario.currency.rounded_up(most))}" if most else "nothing"
        )
        yield Points("nothing", f"One step of these would save {much}", tuple(nothing))
    if unsolved:
        yield Points("unsolved", "Not found in time", tuple(unsolved))


def _step_text(looser: Looser) -> str:
    """A rule and its step in words."""
    return f"{looser.limit} ({looser.step})"


def _a_day(scenario: Scenario, base: Plan, costed: Mapping[str, OrderCost | None]) -> Iterator[Block]:
    """What one day more costs, beside the average cost of a day."""
    if A_DAY not in costed:
        return
    longer = costed[A_DAY]
    if longer is None:
        yield Paragraph(NO_DAY_MORE)
        return
    average = scenario.currency.rounded(Fraction(base.counted) / scenario.batch.days)
    doubt = "" if longer.proved and base.proof.is_enough(base.counted) else ", not proved"
    more = Fact("day_more", f"One day more in the batch{doubt}", longer.counted - base.counted, Holds.MONEY)
    yield Facts("one_day_more", (more, Fact("day_average", "A day of the batch on average", average, Holds.MONEY)))


def one_day_longer(scenario: Scenario) -> Scenario | None:
    """The scenario with one more day for every dog that eats on the last day; None where none does.

    A dog in care goes on with a day's part of what the veterinarian prescribed.
    """
    if not any(dog.day_g and dog.day_g[-1] for dog in scenario.dogs):
        return None
    dogs = tuple(_fed_longer(dog) for dog in scenario.dogs)
    return replace(scenario, dogs=dogs, batch=replace(scenario.batch, days=scenario.batch.days + 1))


def _fed_longer(dog: Dog) -> Dog:
    """The dog with one day more; a dog that is away at the end stays away."""
    if not dog.day_g or not dog.day_g[-1]:
        return replace(dog, day_g=(*dog.day_g, 0), energy=_energy_longer(dog, Fraction(0))) if dog.day_g else dog
    given = tuple(
        VetAmount(vet_amount.cut, vet_amount.batch_g * (dog.days + 1) // dog.days) for vet_amount in dog.vet_amounts
    )
    more_g = sum(vet_amount.batch_g for vet_amount in given) - dog.batch_g if dog.care else half_up(dog.daily_g)
    mean_kcal = dog.energy.batch_kcal / dog.days if dog.energy else Fraction(0)
    return replace(
        dog,
        days=dog.days + 1,
        batch_g=dog.batch_g + more_g,
        day_g=(*dog.day_g, more_g),
        vet_amounts=given,
        energy=_energy_longer(dog, mean_kcal),
    )


def _energy_longer(dog: Dog, kcal: Fraction) -> EnergyRation | None:
    """The dog's ration in energy, if it has one, with these kilocalories on one day more."""
    return replace(dog.energy, day_kcal=(*dog.energy.day_kcal, kcal)) if dog.energy else None
