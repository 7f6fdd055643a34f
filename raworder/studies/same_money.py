"""Same money, nicer: orders for little more than the cheapest with more species, less left over, fewer stops."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import astuple, dataclass, replace
from decimal import Decimal
from fractions import Fraction
from time import monotonic
from types import MappingProxyType

from raworder.reporting.words import join_names, paper
from raworder.solving.nicer import NICER_GOALS, CostWithin, least_counted_share, nicer_goal
from raworder.solving.search import Start
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask, Task
from raworder.studies.differences import (
    bought_units,
    costs_more,
    line_change_columns,
    line_change_row,
    line_changes,
    supplement_rows,
)
from raworder.studies.orders import Order, order_before_sharing, start_of
from raworder.trade.as_fed import fed_cuts, fed_g
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.trade.plan import NoPlan, Plan
from raworder.trade.rulebook import ROUNDING_G
from raworder.trade.scenario import Scenario
from raworder.trade.units import share_text


@dataclass(frozen=True, slots=True)
class Figures:
    """An order in numbers. A species or a cut counts from a share of all that is fed; see `solving/nicer.py`.

    `packs` leaves out what is cut to weight, `weighed` are the cuts that are fed but not in whole pieces.
    """

    species: int
    cuts: int
    left_g: int
    packs: int
    lines: int
    stops: int
    weighed: int

    def better_is_more(self, key: str) -> tuple[int, ...]:
        """How well the order does by one wish of `WISHES`; larger is better, the first number counts first."""
        match key:
            case "species":
                return self.species, self.cuts
            case "left_over":
                return (-self.left_g,)
            case "packs_and_lines":
                return (-self.packs - self.lines,)
            case "stops":
                return (-self.stops,)
            case _:
                return (-self.weighed,)


def figures_of(scenario: Scenario, plan: Plan) -> Figures:
    """The figures of a plan."""
    offers = {offer.key: offer for offer in scenario.offers}
    fed = fed_cuts(scenario, plan)
    return Figures(
        species=sum(_counts(scenario, plan, _known_shares(scenario, name)) for name in scenario.species()),
        cuts=sum(_counts(scenario, plan, ((cut.name, Fraction(1)),)) for cut in fed),
        left_g=sum(leftover.total_g for leftover in plan.leftovers),
        packs=sum(line.units for line in plan.lines if not offers[line.offer].by_weight),
        lines=len(plan.lines),
        stops=len(plan.bills),
        weighed=sum(scenario.portioning.whole_piece_g(cut) is None for cut in fed),
    )


def _known_shares(scenario: Scenario, species: str) -> tuple[tuple[str, Fraction], ...]:
    """The cuts that are known to hold a species, with its share."""
    shares = ((cut.name, cut.known_share_of(species)) for cut in scenario.cuts)
    return tuple((name, share) for name, share in shares if share)


def _counts(scenario: Scenario, plan: Plan, counted: Iterable[tuple[str, Fraction]]) -> bool:
    """Whether enough of a species or cut is fed to count; a gram a portion is allowed for rounding."""
    fed, shares = fed_g(scenario, plan), dict(counted)
    eaten_g = sum((share * fed[cut] for cut, share in shares.items()), Fraction(0))
    portions = sum(portion.cut in shares for portion in plan.portions)
    return portions > 0 and eaten_g + ROUNDING_G * portions >= least_counted_share(scenario) * sum(fed.values())


NOT_SHARED = (
    "With so many dogs whole pieces were not shared out among them here: what an order costs is exact, but a dog may "
    "miss its ranges by what pieces demand, and rarely an order cannot be shared at all."
)

WISHES: Mapping[str, str] = MappingProxyType(
    {
        "species": "most species",
        "left_over": "least left over",
        "packs_and_lines": "fewest packs and lines",
        "stops": "fewest stops",
        "weighed": "fewest cuts to weigh",
    }
)
"""The wishes in words, by key."""


@dataclass(frozen=True, slots=True)
class Nicer:
    """The nicest order found for each wish, by its key, up to a `limit` that is a share above the cheapest.

    `best` are the wishes that the cheapest order itself grants as well as any; None stands for a missing answer.
    """

    within: Fraction
    limit: Decimal
    best: tuple[str, ...]
    found: Mapping[str, Order | None]


def nicer_orders(scenario: Scenario, base: Plan, nicer: Nicer) -> Document:
    """The paper: all figures side by side, the wishes granted already, and what changes for the others."""
    orders = {key: order for key, order in nicer.found.items() if isinstance(order, Plan)}
    better = {key: order for key, order in orders.items() if _is_better(scenario, base, key, order)}
    granted = {key for key, order in orders.items() if order.proof.proved and key not in better} | set(nicer.best)
    answered = [key for key, order in nicer.found.items() if order is not None]
    blocks = (
        Paragraph(_limit_text(scenario, base, nicer)),
        _side_by_side(scenario, base, better),
        *_wishes_left(
            [key for key in WISHES if key in granted], [key for key in answered if key not in {*better, *granted}]
        ),
        *_changes(scenario, base, better),
        *_not_shared(scenario),
    )
    return paper(scenario, "same_money", "Same money, nicer", blocks)


def _is_better(scenario: Scenario, base: Plan, key: str, order: Plan) -> bool:
    """Whether an order grants a wish better than the cheapest does."""
    return figures_of(scenario, order).better_is_more(key) > figures_of(scenario, base).better_is_more(key)


def _limit_text(scenario: Scenario, base: Plan, nicer: Nicer) -> str:
    """What was searched for, and up to which price."""
    money = scenario.currency
    budget = ", which is the budget" if nicer.limit == scenario.budget else f", {share_text(nicer.within)} more"
    return (
        f"The cheapest order costs {money.text(base.total)}. Orders for at most {money.text(nicer.limit)}{budget}, "
        "were searched for one wish at a time; of those that grant it best the cheapest is shown."
    )


def _side_by_side(scenario: Scenario, base: Plan, better: Mapping[str, Plan]) -> Table:
    """The cheapest order and the nicer ones with all their figures."""
    rows = [
        _row("cheapest", scenario, base, base),
        *(_row(_name(key, plan), scenario, base, plan) for key, plan in better.items()),
    ]
    return Table("same_money", "", _columns(scenario), tuple(rows), note=_note(scenario))


def _name(key: str, order: Plan) -> str:
    """The wish in words, with `not proved` where a better order may exist."""
    return WISHES[key] + ("" if order.proof.proved else ", not proved")


def _columns(scenario: Scenario) -> tuple[Column, ...]:
    """Money, then the figures."""
    code = scenario.currency.code
    return (
        Column("order", "Order"),
        Column("total", f"To pay {code}", Holds.MONEY),
        Column("costs_more", f"More {code}", Holds.MONEY),
        Column("species", "Species", Holds.COUNT),
        Column("cuts", "Cuts", Holds.COUNT),
        Column("left_g", "Left over", Holds.GRAMS),
        Column("packs", "Packs", Holds.COUNT),
        Column("lines", "Lines", Holds.COUNT),
        Column("stops", "Stops", Holds.COUNT),
        Column("weighed", "To weigh", Holds.COUNT),
    )


def _row(name: str, scenario: Scenario, base: Plan, order: Plan) -> tuple[Cell, ...]:
    """One order."""
    figures = astuple(figures_of(scenario, order))
    return (name, order.total, costs_more(scenario, base, order), *figures)


def _note(scenario: Scenario) -> str:
    """What the figures count."""
    return (
        f"A species or a cut counts from {share_text(least_counted_share(scenario))} of all that is fed. What is left "
        "over was on hand or is bought, and not fed. Packs leave out what is cut to weight; to weigh are the cuts that "
        "are fed, but not in whole pieces."
    )


def _wishes_left(granted: Sequence[str], unproved: Sequence[str]) -> Iterator[Paragraph]:
    """The wishes that have no row, and why."""
    if granted:
        names = join_names([WISHES[key] for key in granted])
        yield Paragraph(f"The cheapest order is as good as any within the limit by: {names}.")
    if unproved:
        names = join_names([WISHES[key] for key in unproved])
        yield Paragraph(f"Nothing better was found, but it is not proved that there is nothing, by: {names}.")


def _not_shared(scenario: Scenario) -> Iterator[Paragraph]:
    """That whole pieces were not shared out, where dogs are many."""
    if scenario.solved_by_groups:
        yield Paragraph(NOT_SHARED)


def _changes(scenario: Scenario, base: Plan, better: Mapping[str, Plan]) -> Iterator[Block]:
    """What each nicer order buys differently from the cheapest."""
    offers = {offer.key: offer for offer in scenario.offers}
    for key, order in better.items():
        lines = line_changes(offers, bought_units(base), bought_units(order))
        rows = (
            *(line_change_row(key, moved, scenario.weight_unit) for moved in lines),
            *supplement_rows(key, (scenario, base), (scenario, order)),
        )
        more = scenario.currency.text(costs_more(scenario, base, order))
        title = f"{WISHES[key].capitalize()}: {more} more"
        yield Table("same_money_changes", title, line_change_columns("wish"), rows)


NEAR_THE_LIMIT = "orders within a rounding of the limit were not searched"
"""Why an order is not proved to be the nicest, where the first one found came to more than the limit."""


def same_money(scenario: Scenario, base: Plan, ask: Ask, *, within: Fraction = Fraction(2, 100)) -> Document:
    """The paper: for every wish the nicest order that costs at most a share more than the cheapest.

    Asks one question for every wish that the cheapest order does not grant already.
    """
    limit = most_to_pay(scenario, base, within)
    figures = figures_of(scenario, base)
    open_ = [key for key in NICER_GOALS if not _is_best(figures, key)]
    orders = ask([Task(key, find_nicest, (scenario, limit, key, start_of(base), ask.settings)) for key in open_])
    best = tuple(key for key in NICER_GOALS if key not in open_)
    return nicer_orders(scenario, base, Nicer(within, limit, best, {key: orders.get(key) for key in open_}))


def most_to_pay(scenario: Scenario, base: Plan, within: Fraction) -> Decimal:
    """The limit in printed money: the cheapest order plus the share, rounded down, and at most the budget."""
    most = scenario.currency.rounded_down(Fraction(base.total) * (1 + within))
    return most if scenario.budget is None else min(most, scenario.budget)


def find_nicest(scenario: Scenario, limit: Decimal, key: str, start: Start, settings: Settings) -> Order:
    """The nicest order whose printed total keeps to the limit.

    The search knows lines before they are rounded. Where rounded ones exceed the limit, it searches well below it.
    """
    began = monotonic()
    scenario, wanted = replace(scenario, budget=limit), replace(nicer_goal(scenario, key), start=start)
    order = order_before_sharing(scenario, settings, wanted, handy=False)
    if not isinstance(order, NoPlan):
        return order
    below = replace(wanted, also=CostWithin(wanted.also, limit))
    order = order_before_sharing(scenario, settings.left_since(began), below, handy=False)
    if not isinstance(order, Plan):
        return order
    return replace(order, proof=replace(order.proof, proved=False, why=NEAR_THE_LIMIT))


def _is_best(figures: Figures, key: str) -> bool:
    """Whether no order can do better, without any solving."""
    return (key == "stops" and figures.stops <= 1) or (key == "left_over" and figures.left_g == 0)
