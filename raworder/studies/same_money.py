"""Same money, nicer: orders for little more than the cheapest that spare a person work, in all or in one thing."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import astuple, dataclass, replace
from decimal import Decimal
from fractions import Fraction
from time import monotonic
from types import MappingProxyType

from raworder.reporting.words import count_text, join_names, paper
from raworder.solving.compared import is_near_enough
from raworder.solving.nicer import (
    COMPROMISE,
    MINUTES,
    NICER_GOALS,
    CostWithin,
    EnergyKept,
    least_counted_share,
    nicer_goal,
)
from raworder.solving.search import HANDINESS, SearchGoal, Start
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
from raworder.studies.orders import Order, comparable_base, nearness, order_before_sharing, start_of
from raworder.trade.as_fed import fed_cuts, fed_g
from raworder.trade.cuts import Cut
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.trade.plan import NoPlan, Plan
from raworder.trade.rounding import half_up
from raworder.trade.rulebook import ROUNDING_G
from raworder.trade.scenario import Scenario
from raworder.trade.units import metabolic_kg, share_text

WITHIN = Fraction(2, 100)
"""How much dearer a nicer order may be, as a share of the cheapest. Source: own choice."""

LITTLE = min(WITHIN, Fraction(2, 100))
"""How much dearer an order may be that is told in one line under the total. Source: own choice."""

SPARE_NODES = 500
"""The search for that line ends after this many branches of each aim; the shipped scenarios of few dogs need fewer."""

LESS_ENERGY = Fraction(1, 100)
"""A dog is fed less where it gets so much less energy; below that it is chance. Source: own choice."""

MOST_NAMED = 3
"""The most dogs of which it is told what they get less."""

ONE_KG = Fraction(1)
"""The weight of a dog of unknown weight, where dogs are put in order."""

HOW_WEIGHED = (
    f"Work is counted in minutes: {MINUTES['stops']} for a stop, {MINUTES['clean_downs']} for a clean-down, "
    f"{MINUTES['stations']} for a cut to handle, {MINUTES['bought']} for a different cut to buy, {MINUTES['lines']} "
    f"for a line, {MINUTES['packs']} for a pack, {MINUTES['left_kg']} for a kilogram left over; one more species is "
    f"worth {-MINUTES['species']}. Source: own choice."
)


@dataclass(frozen=True, slots=True)
class Figures:
    """An order in numbers. A species or a cut counts from a share of all that is fed; see `solving/nicer.py`.

    `packs` leaves out what is cut to weight, `weighed` are the cuts that are fed but not in whole pieces, `bought` the
    different cuts that are bought. `stations` are the cuts that are fed at all, and `clean_downs` those between dogs
    that must not eat the same of them; both are None where dogs are many, as no model counts them then.
    """

    species: int
    cuts: int
    left_g: int
    packs: int
    lines: int
    stops: int
    weighed: int
    bought: int
    stations: int | None = None
    clean_downs: int | None = None

    @property
    def bother(self) -> Fraction:
        """The minutes that the order is taken to cost a person, as `solving/nicer.py` weighs one bother and another."""
        counted: dict[str, int | Fraction] = {
            "stops": self.stops,
            "clean_downs": self.clean_downs or 0,
            "stations": self.stations or 0,
            "bought": self.bought,
            "lines": self.lines,
            "packs": self.packs,
            "left_kg": Fraction(self.left_g, 1000),
            "species": self.species,
        }
        return sum((Fraction(MINUTES[key] * count) for key, count in counted.items()), Fraction(0))

    def better_is_more(self, key: str) -> tuple[int | Fraction, ...]:
        """How well the order does by one wish of `WISHES`; larger is better, the first number counts first."""
        match key:
            case "compromise":
                return (-self.bother,)
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
    fed, by_hand = fed_cuts(scenario, plan), not scenario.solved_by_groups
    return Figures(
        species=sum(_counts(scenario, plan, _known_shares(scenario, name)) for name in scenario.species()),
        cuts=sum(_counts(scenario, plan, ((cut.name, Fraction(1)),)) for cut in fed),
        left_g=sum(leftover.total_g for leftover in plan.leftovers),
        packs=sum(line.units for line in plan.lines if not offers[line.offer].by_weight),
        lines=len(plan.lines),
        stops=len(plan.bills),
        weighed=sum(scenario.portioning.whole_piece_g(cut) is None for cut in fed),
        bought=len({offers[line.offer].cut for line in plan.lines}),
        stations=len(fed) if by_hand else None,
        clean_downs=_clean_downs(scenario, plan, fed) if by_hand else None,
    )


def _clean_downs(scenario: Scenario, plan: Plan, fed: Iterable[Cut]) -> int:
    """How often everything is cleaned down: between dogs that must not eat the same of what is fed."""
    eating = {portion.dog for portion in plan.portions}
    avoided = {frozenset(cut.name for cut in fed if dog.avoids(cut)) for dog in scenario.dogs if dog.name in eating}
    return max(len(avoided) - 1, 0)


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
        COMPROMISE: "best compromise",
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
    granted = {key for key, order in orders.items() if _is_best_known(order) and key not in better} | set(nicer.best)
    answered = [key for key, order in nicer.found.items() if order is not None]
    blocks = (
        Paragraph(_limit_text(scenario, base, nicer)),
        *_compromise_text(scenario, base, better.get(COMPROMISE)),
        _side_by_side(scenario, base, better),
        *_less_fed(scenario, base, better),
        *_wishes_left(
            [key for key in WISHES if key in granted], [key for key in answered if key not in {*better, *granted}]
        ),
        *_changes(scenario, base, better),
        *_not_shared(scenario, (base, *better.values())),
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
        f"The cheapest order costs {money.text(base.total)}. Here are others for at most {money.text(nicer.limit)}"
        f"{budget}: the one that is least work in all, then the best for one wish at a time."
    )


def _compromise_text(scenario: Scenario, base: Plan, order: Plan | None) -> Iterator[Paragraph]:
    """What the best compromise spares, in words."""
    spared = None if order is None else spared_by(scenario, base, order)
    if spared is not None:
        yield Paragraph(f"Best compromise, {spared.says}.")
        yield Paragraph(HOW_WEIGHED)


def _less_fed(scenario: Scenario, base: Plan, better: Mapping[str, Plan]) -> Iterator[Paragraph]:
    """The dogs that an order feeds less energy than the cheapest does, those first that get least for their weight."""
    before = fed_kcal(scenario, base)
    for key, order in better.items():
        after = fed_kcal(scenario, order)
        less = [dog for dog in scenario.dogs if after[dog.name] < before[dog.name] * (1 - LESS_ENERGY)]
        less.sort(key=lambda dog: (after[dog.name] / max(metabolic_kg(Fraction(dog.need_weight_g)), ONE_KG), dog.name))
        named = [
            f"{dog.name} {half_up(after[dog.name])} kcal a day instead of {half_up(before[dog.name])}"
            for dog in less[:MOST_NAMED]
        ]
        rest = f", and {count_text(len(less) - MOST_NAMED, 'more dog')}" if len(less) > MOST_NAMED else ""
        if less:
            yield Paragraph(f"{WISHES[key].capitalize()} feeds less energy: {'; '.join(named)}{rest}.")


def _side_by_side(scenario: Scenario, base: Plan, better: Mapping[str, Plan]) -> Table:
    """The cheapest order and the nicer ones with all their figures."""
    rows = [
        _row("cheapest", scenario, base, base),
        *(_row(_name(key, plan), scenario, base, plan) for key, plan in better.items()),
    ]
    return Table("same_money", "", _columns(scenario), tuple(rows), note=_note(scenario))


def _name(key: str, order: Plan) -> str:
    """The wish in words, with `not proved` where a better order may exist."""
    return WISHES[key] + ("" if _is_best_known(order) else ", not proved")


def _is_best_known(order: Plan) -> bool:
    """Whether no order grants the wish better; what it costs may be only near the least."""
    return order.proof.proved or (order.proof.near_is_enough and not order.proof.why)


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
        Column("bought", "Cuts bought", Holds.COUNT, shown=False),
        Column("stations", "Stations", Holds.COUNT, shown=False),
        Column("clean_downs", "Clean-downs", Holds.COUNT, shown=False),
    )


def _row(name: str, scenario: Scenario, base: Plan, order: Plan) -> tuple[Cell, ...]:
    """One order."""
    figures = astuple(figures_of(scenario, order))
    return (name, order.total, costs_more(scenario, base, order), *figures)


def _note(scenario: Scenario) -> str:
    """What the figures count."""
    return (
        f"A species or a cut counts from {share_text(least_counted_share(scenario))} of all that is fed. `Packs` "
        "leaves out what is cut to weight, `To weigh` what is fed in whole pieces."
    )


def _wishes_left(granted: Sequence[str], unproved: Sequence[str]) -> Iterator[Paragraph]:
    """The wishes that have no row, and why."""
    if granted:
        names = join_names([WISHES[key] for key in granted])
        yield Paragraph(f"The cheapest order is as good as any here by: {names}.")
    if unproved:
        names = join_names([WISHES[key] for key in unproved])
        yield Paragraph(f"Nothing better was found, but that is not proved, by: {names}.")


def _not_shared(scenario: Scenario, orders: Iterable[Plan]) -> Iterator[Paragraph]:
    """That whole pieces were not shared out, where dogs are many, and how near to the cheapest orders are."""
    if scenario.solved_by_groups:
        yield Paragraph(" ".join((NOT_SHARED, *nearness(scenario, orders))))


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


@dataclass(frozen=True, slots=True)
class Spared:
    """What an order for little more spares: how much dearer it is, and how many stops, different cuts and lines fewer.

    A number below zero is so many more.
    """

    more: Decimal
    stops: int
    cuts: int
    lines: int

    @property
    def says(self) -> str:
        """It in words: `for 0.41 more: 1 stop fewer, 3 cuts fewer, but 1 line more`.

        Lines are left out where each cut is one.
        """
        counts = {"stop": self.stops, "cut": self.cuts, "line": self.lines if self.lines != self.cuts else 0}
        fewer = ", ".join(f"{count_text(count, noun)} fewer" for noun, count in counts.items() if count > 0)
        more = ", ".join(f"{count_text(-count, noun)} more" for noun, count in counts.items() if count < 0)
        price = f"for {self.more} more" if self.more else "for the same money"
        return f"{price}: {', but '.join(filter(None, (fewer, more)))}"


def spared_by(scenario: Scenario, base: Plan, order: Plan) -> Spared | None:
    """What an order spares beside another; None where it has no stop, no cut and no line fewer, or more bother."""
    before, after = figures_of(scenario, base), figures_of(scenario, order)
    spared = Spared(
        costs_more(scenario, base, order),
        before.stops - after.stops,
        before.bought - after.bought,
        before.lines - after.lines,
    )
    is_less = after.bother < before.bother and max(spared.stops, spared.cuts, spared.lines) > 0
    return spared if is_less else None


def spare_for_little(scenario: Scenario, plan: Plan, settings: Settings) -> Spared | None:
    """What the best compromise for at most LITTLE more spares, with no dog fed less energy than the plan feeds it.

    None where nothing is spared, and where the search is not proved. It ends after so many branches, and by no clock
    unless `settings` have a time limit. `scenario` is as it was read: grams of energy rations are open.
    """
    goal = NICER_GOALS[COMPROMISE]
    wanted = replace(
        goal,
        aims=tuple(aim for aim in goal.aims if aim != HANDINESS),  # counts are all that is told
        also=EnergyKept(goal.also, _energy_kept(scenario, plan)),
        start=start_of(plan),
    )
    limited = replace(settings, most_nodes=settings.most_nodes or SPARE_NODES)
    order = _find_within(scenario, most_to_pay(scenario, plan, LITTLE), wanted, limited)
    return spared_by(scenario, plan, order) if isinstance(order, Plan) and order.proof.proved else None


def _energy_kept(scenario: Scenario, plan: Plan) -> tuple[tuple[str, Fraction], ...]:
    """The kcal over the batch that every dog keeps: what the plan feeds it, but for what makes no difference."""
    days = {dog.name: dog.days for dog in scenario.dogs}
    return tuple((name, kcal * days[name] * (1 - LESS_ENERGY)) for name, kcal in fed_kcal(scenario, plan).items())


def fed_kcal(scenario: Scenario, plan: Plan) -> dict[str, Fraction]:
    """What every dog gets a day from a plan in kcal, as far as that is known."""
    kcal = {dog.name: Fraction(0) for dog in scenario.dogs}
    density = {cut.name: cut.kcal_per_g or Fraction(0) for cut in scenario.cuts}
    for portion in plan.portions:
        kcal[portion.dog] += portion.batch_g * density[portion.cut]
    return {dog.name: kcal[dog.name] / max(dog.days, 1) for dog in scenario.dogs}


NEAR_THE_LIMIT = "orders within a rounding of the limit were not searched"
"""Why an order is not proved to be the nicest, where the first one found came to more than the limit."""


def same_money(scenario: Scenario, base: Plan, ask: Ask, *, within: Fraction = WITHIN) -> Document:
    """The paper: for every wish the nicest order that costs at most a share more than the cheapest.

    Asks one question for every wish that the cheapest order does not grant already.
    """
    if is_near_enough(scenario, ask.settings):
        base = comparable_base(scenario, base, ask)
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
    """The nicest order whose printed total keeps to the limit."""
    return _find_within(scenario, limit, replace(nicer_goal(scenario, key), start=start), settings)


def _find_within(scenario: Scenario, limit: Decimal, wanted: SearchGoal, settings: Settings) -> Order:
    """The best order by some aims whose printed total keeps to the limit.

    The search knows lines before they are rounded. Where rounded ones exceed the limit, it searches well below it.
    """
    began, scenario = monotonic(), replace(scenario, budget=limit)
    if is_near_enough(scenario, settings):  # what lies within a rounding of the limit is not worth a second search
        below = replace(wanted, also=CostWithin(wanted.also, limit))
        return order_before_sharing(scenario, settings, below)
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
