"""The order of many dogs: what the cheapest costs without whole pieces, and then an order with them near that.

To prove such an order to the cent takes hours; to find one within a fifth of a percent takes seconds, as orders with
whole pieces lie beside the cheapest one without: most packs are the same, a few more or fewer. Every search ends at a
gap or after so many branches, never by a clock, so that the order is the same on every machine.
"""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from time import monotonic

import pulp

from raworder.solving.bag_room import limits_by_build
from raworder.solving.billing import no_scraps
from raworder.solving.constraints import NamedRows
from raworder.solving.groups import Group, leaves_out_pieces
from raworder.solving.objective import HANDINESS_GAP, cost, cost_gap, cost_slack, handiness
from raworder.solving.problem import GRAMS_PER_KG, Problem, row_name, total
from raworder.solving.search import (
    COST,
    CRUMB,
    Impossible,
    Scraps,
    SearchGoal,
    Solved,
    add_named_row,
    allocation_of,
    build,
    confirm_impossible,
    explain_unsolved,
    limit_to_part,
    scraps_of,
    start_of,
    units_by_offer,
)
from raworder.solving.sharing import (
    GIVING_WAY,
    energy_rows,
    fix_purchases,
    let_row_be_missed,
    misses_by_pieces_only,
    sharing_objective,
)
from raworder.solving.solver import NOTHING, Ending, Outcome, Settings, minimise, values_of
from raworder.trade.as_fed import as_allotted
from raworder.trade.plan import MILLION, NEAR_ENOUGH, Unsolved
from raworder.trade.scenario import Scenario

BOUND_WITHIN = 0.001
"""How near the order without whole pieces is proved: half of what is near enough, so that pieces have the rest."""

SEEN_ALL = 0.0002
"""The gap, as a share of the cost, at which a search around an order has seen all that is there."""

SHARING_NODES = 20
"""Branches after which sharing out ends: it need not miss the ranges by the least, only by no more than pieces need."""

MOST_PARTINGS = 4
"""How often pieces are shared out anew as the bags of some dogs could not be filled."""

CRUMB_KG = CRUMB / MILLION / GRAMS_PER_KG
"""What is less is nothing, but for the solver's tolerance."""

NO_LIMIT = 1e12
"""More money than any order costs."""

FAR_SHARE = 0.002
"""How far beyond what is near enough an order without scraps is far away."""

HANDY_NODES = 20
"""Branches after which the search for a handier order of that cost ends."""

HANDY_PER_DOG = 0.02
"""The gap for it: 20 g left over for each dog."""


@dataclass(frozen=True, slots=True)
class Around:
    """Where orders are looked for: within so many packs of an order, None for any; with its suppliers and price steps.

    The search ends after `most_nodes` branches; without it, at the first order found.
    """

    packs: int | None
    keeps_switches: bool
    most_nodes: int | None


ANY_ORDER_AT_ALL = Around(None, False, None)
"""Where any order with whole pieces is good enough, if none was found before."""

SAME_PURCHASE, SAME_SUPPLIERS = Around(0, True, 100), Around(4, True, 200)
BESIDE, ANYWHERE = Around(2, False, 200), Around(None, False, 500)
"""Where an order is looked for that gives no dog a scrap."""

WIDENING = (Around(4, True, 100), Around(4, False, 300), Around(None, False, 2000), ANY_ORDER_AT_ALL)
"""Where orders with whole pieces are looked for, in turn, until one is near enough. Closer by (2 packs) fewer are near
enough; a bound proved to 0.05 % takes longer than it saves."""


def find_near(scenario: Scenario, settings: Settings, wanted: SearchGoal) -> Solved | Impossible | Unsolved:
    """An order with whole pieces whose cost is within `NEAR_ENOUGH` of its bound, or the nearest that was found.

    Dogs whose bags cannot be filled from it are fed as groups of their own, and it is searched for again.
    """
    began = monotonic()
    divided = order_without_pieces(scenario, settings, wanted)
    if not isinstance(divided, Solved):
        return divided
    stopped = settings.is_stopped
    if stopped:  # there is an order, but not one with whole pieces yet: to find any takes seconds
        settings = replace(settings, stop=None)
    left = settings.left_since(began)
    found = None if _frees_grams(divided.problem) else share_order(scenario, divided, left)
    if found is None:
        areas = (WIDENING[0], ANY_ORDER_AT_ALL) if stopped else WIDENING
        searched = search_around(divided, settings.left_since(began), areas, bounds=True)
        if not isinstance(searched, Solved):
            return _confirmed(searched, scenario, settings.left_since(began), wanted)
        found = searched
    return _fill_bags_of_all(scenario, found, settings.left_since(began), wanted)


def _fill_bags_of_all(scenario: Scenario, order: Solved, settings: Settings, wanted: SearchGoal) -> Solved:
    """The order changed until the bags of all dogs can be filled, as far as that is quickly done.

    Dogs whose bags cannot be filled become groups of their own, with pieces that fit them: of the same purchase, or
    else of another.
    """
    began, apart, found = monotonic(), frozenset[str](), order
    for _ in range(MOST_PARTINGS):
        without = frozenset(wanted.unfilled(allocation_of(found, settings)))
        if without <= apart or settings.left_since(began).time_is_up:
            break
        apart |= without
        left = settings.left_since(began)
        again = share_order(scenario, order, left, apart) or _search_parted(scenario, order, left, wanted, apart)
        if again is None:
            break
        found = again
    return found


def _search_parted(
    scenario: Scenario, order: Solved, settings: Settings, wanted: SearchGoal, apart: frozenset[str]
) -> Solved | None:
    """An order near this one in which these dogs are groups of their own, whose pieces fit every one of them."""
    groups = _part_groups(order.problem.groups, apart)
    problem = build(scenario, groups=groups)
    tight = _part_groups(allotted_groups(scenario, order), apart)
    for name, row in (*wanted.also(problem), *fit_every_dog(problem, tight, apart)):
        add_named_row(problem.lp, name, row)
    found = search_around(replace(order, problem=problem), settings, (*WIDENING[:2], ANY_ORDER_AT_ALL))
    return found if isinstance(found, Solved) else None


def _part_groups(groups: Iterable[Group], apart: frozenset[str]) -> tuple[Group, ...]:
    """The groups, with these dogs as groups of their own."""
    parts = [
        (group, tuple(dog for dog in group.dogs if (dog.name in apart) is is_apart))
        for group in groups
        for is_apart in (False, True)
    ]
    return tuple(replace(group, name=dogs[0].name, dogs=dogs) for group, dogs in parts if dogs)


def _confirmed(
    nothing: Impossible | Unsolved, scenario: Scenario, settings: Settings, wanted: SearchGoal
) -> Impossible | Unsolved:
    """That nothing was found; that nothing can be is made sure of where pieces were left out."""
    if isinstance(nothing, Impossible) and leaves_out_pieces(scenario):
        return confirm_impossible(scenario, settings, wanted, whole=True)
    return nothing


def order_without_pieces(scenario: Scenario, settings: Settings, wanted: SearchGoal) -> Solved | Impossible | Unsolved:
    """The cheapest order if pieces could be divided, nearly proved; its problem counts pieces again afterwards."""
    began = monotonic()
    problem = build(scenario, until=settings.ends_at(began))
    for name, constraint in wanted.also(problem):
        add_named_row(problem.lp, name, constraint)
    with _divided_pieces(problem):
        outcome = minimise(problem.lp, cost(problem), limit_to_part(settings.left_since(began)), gap_share=BOUND_WITHIN)
        if outcome.ending is Ending.INFEASIBLE:
            left, coarse = settings.left_since(began), leaves_out_pieces(scenario)
            return confirm_impossible(scenario, left, wanted, whole=False) if coarse else Impossible()
        if not outcome.solved:
            return explain_unsolved(settings, outcome)
        solved = _solved_near(problem, outcome)
        # where nothing can be shared out, what is bought changes again, and what is handy with it
        return solved if _frees_grams(problem) else _make_handy(solved, settings.left_since(began))


def _frees_grams(problem: Problem) -> bool:
    """Whether some dogs' grams are free: their orders leave nothing over, so no pieces can be shared out of them."""
    return any(group.free_grams for group in problem.groups)


@contextmanager
def _divided_pieces(problem: Problem) -> Iterator[None]:
    """The problem while pieces may be divided."""
    counts = (*problem.pieces.values(), *problem.drawn.values())
    for count in counts:
        count.cat = pulp.LpContinuous
    try:
        yield
    finally:
        for count in counts:
            count.cat = pulp.LpInteger


def _solved_near(problem: Problem, outcome: Outcome) -> Solved:
    """The solution just found, proved only as far as its bound goes."""
    proved = outcome.value is not None and outcome.value <= (outcome.bound or 0.0) + cost_gap(problem)
    ending = Ending.OPTIMAL if proved else Ending.FEASIBLE
    return Solved(problem, values_of(problem.lp), {COST.key: replace(outcome, ending=ending)}, near_is_enough=True)


def _make_handy(solved: Solved, settings: Settings) -> Solved:
    """The handiest order that costs no more, as far as few branches show it."""
    problem, most = solved.problem, solved.cost.value or 0.0
    row = cost(problem) <= most + cost_slack(problem, most)
    add_named_row(problem.lp, "keep_cost", row)
    limited = replace(settings, most_nodes=HANDY_NODES, until_found_s=None)  # an order is there already
    gap = HANDY_PER_DOG * sum(len(group.dogs) for group in problem.groups)
    outcome = minimise(problem.lp, handiness(problem), limited, gap=gap, start=solved.found)
    row.changeRHS(NO_LIMIT)  # later searches may cost more
    return replace(solved, found=values_of(problem.lp)) if outcome.solved else solved


def share_order(
    given: Scenario, order: Solved, settings: Settings, apart: frozenset[str] = frozenset()
) -> Solved | None:
    """An order shared out to the groups in whole pieces; None where that cannot be done.

    Dogs whose grams were free get the grams found by the order. Dogs `apart` are groups of their own, whose pieces fit
    every one of them.
    """
    began = monotonic()
    scenario = as_allotted(given, allocation_of(order, settings))
    groups = _part_groups(allotted_groups(given, order), apart)
    problem = build(scenario, giving_way=GIVING_WAY, groups=groups, until=settings.ends_at(began))
    fix_purchases(problem, order.found)
    for name, constraint in energy_rows(problem):
        problem.missed.append(let_row_be_missed(problem, constraint, len(problem.missed)))
        add_named_row(problem.lp, name, constraint)
    for name, row in fit_every_dog(problem, groups, apart):
        add_named_row(problem.lp, name, row)
    while True:
        limited = replace(settings.left_since(began), most_nodes=SHARING_NODES)
        outcome = minimise(problem.lp, sharing_objective(problem), limited, gap=HANDINESS_GAP)
        shared = replace(order, problem=problem, found=values_of(problem.lp))
        if not outcome.solved or not misses_by_pieces_only(problem, shared.found):
            return None
        if not (scraps := _new_scraps(shared)):
            return replace(shared, found={**order.found, **shared.found})
        _forbid_scraps(problem, scraps)


def allotted_groups(scenario: Scenario, order: Solved) -> tuple[Group, ...]:
    """The order's own groups, with the grams found for dogs fed by energy.

    Those grams, once they are whole, would part dogs that the order feeds alike.
    """
    dogs = {dog.name: dog for dog in as_allotted(scenario, allocation_of(order, Settings())).dogs}
    return tuple(replace(group, dogs=tuple(dogs[dog.name] for dog in group.dogs)) for group in order.problem.groups)


def fit_every_dog(problem: Problem, groups: Iterable[Group], apart: frozenset[str]) -> NamedRows:
    """Rows that leave every dog's part of the pieces of such a group small enough for its own bags and days."""
    # no rule, as the dogs of a group need not share its pieces evenly: it must not count for the bound
    for group in (group for group in groups if group.dogs[0].name in apart and not group.care):
        least: dict[tuple[tuple[str, int], ...], float] = {}
        for limits, dogs in limits_by_build(group.dogs, problem.scenario):
            for limit in limits:
                times = tuple(sorted(limit.times.items()))
                most = float(limit.most / group.part_of(dogs[0]))
                least[times] = min(least.get(times, most), most)
        for number, (times, most) in enumerate(least.items()):
            pieces = total((problem.pieces[group.dogs[0].name, cut], float(count)) for cut, count in times)
            yield row_name("fits", group.name, str(number)), pieces <= most


def _forbid_scraps(problem: Problem, scraps: Scraps) -> None:
    """Forbid these scraps from here on."""
    for name, row in no_scraps(problem, sorted(scraps)):
        add_named_row(problem.lp, name, row)
    for pair in scraps & problem.taken.keys():
        problem.taken[pair].cat = pulp.LpInteger


def _allow_scraps(problem: Problem, scraps: Scraps) -> None:
    """Allow these scraps again: a switch that may be in between forbids nothing."""
    for pair in scraps:
        problem.taken[pair].cat = pulp.LpContinuous


def _forbidden_scraps(problem: Problem) -> Scraps:
    """The scraps that are forbidden now."""
    return frozenset(pair for pair, switch in problem.taken.items() if switch.cat == pulp.LpInteger)


def search_around(
    divided: Solved, settings: Settings, areas: Iterable[Around] = WIDENING, *, bounds: bool = False
) -> Solved | Impossible | Unsolved:
    """An order with whole pieces around one without them; looked for further and further away until it is near enough.

    Unsolved where branches run out before any is found. With `bounds` the problem holds nothing beyond the rules, so a
    search of all orders may raise the bound.
    """
    began, problem, start = monotonic(), divided.problem, NOTHING
    found: list[Solved] = []
    bound, outcome = divided.cost.bound or 0.0, divided.cost
    for around in areas:
        if found and (around is ANY_ORDER_AT_ALL or settings.left_since(began).time_is_up):
            break
        enough = _near_enough(problem, bound)
        with _kept_around(problem, divided.found, around):
            outcome = _minimise_cost(problem, around, enough, start, settings.left_since(began))
        if around.packs is None and outcome.ending is Ending.INFEASIBLE:
            return Impossible()
        if around.packs is None and bounds:
            bound = max(bound, outcome.bound or 0.0)
        if outcome.solved:
            found.append(_solved_near(problem, outcome))
            start = found[-1].found
            if _value_of(found[-1]) <= enough:
                break
    if not found:
        return explain_unsolved(settings, outcome)
    best = min(found, key=_value_of)
    return _bounded(_without_scraps(best, _near_enough(problem, bound), settings.left_since(began)), bound)


def _bounded(order: Solved, bound: float) -> Solved:
    """The order with the best bound on its cost, and proved only as far as that goes, not a bound on some orders."""
    value = _value_of(order)
    ending = Ending.OPTIMAL if value <= bound + cost_gap(order.problem) else Ending.FEASIBLE
    return replace(order, outcomes={COST.key: replace(order.cost, ending=ending, bound=min(bound, value))})


def _near_enough(problem: Problem, bound: float) -> float:
    """The cost that is near enough to a bound; what rounding can add to it is left over."""
    return bound + max(float(NEAR_ENOUGH) * bound - problem.most_rounded_off, 0.0)


def _value_of(solved: Solved) -> float:
    """What an order costs."""
    return solved.cost.value or 0.0


@contextmanager
def _kept_around(problem: Problem, found: Mapping[str, float], around: Around) -> Iterator[None]:
    """The problem while no more is open than belongs to the area."""
    switches = (problem.use, problem.free, problem.step, problem.ordered)
    kept = [switch for held in switches for switch in held.values()] if around.keeps_switches else []
    packs = around.packs
    whole = [buy for buy in problem.buy.values() if buy.cat == pulp.LpInteger and packs is not None]
    bounds = [(unknown, unknown.lowBound, unknown.upBound) for unknown in (*kept, *whole)]
    for switch in kept:
        switch.lowBound = switch.upBound = round(found[switch.name])
    for buy in whole:
        bought = round(found[buy.name])
        buy.lowBound, buy.upBound = max(bought - (packs or 0), 0), min(bought + (packs or 0), buy.upBound)
    try:
        yield
    finally:
        for unknown, low, high in bounds:
            unknown.lowBound, unknown.upBound = low, high


def _without_scraps(order: Solved, enough: float, settings: Settings) -> Solved:
    """The order, or one near it in which no dog gets a scrap of a cut.

    Mostly the same purchase can be fed without. Else other orders are looked for, and once more elsewhere where that
    led far away.
    """
    began, problem = monotonic(), order.problem
    if not _new_scraps(order):
        return order
    if fed := _feed_without_scraps(order, enough, settings):
        return fed
    before = _forbidden_scraps(problem)
    found = _forbid_one_by_one(order, BESIDE, enough, settings.left_since(began))
    if _value_of(found) <= enough * (1 + FAR_SHARE) and not scraps_of(found):
        return found
    _allow_scraps(problem, _forbidden_scraps(problem) - before)
    other = _forbid_one_by_one(order, SAME_SUPPLIERS, enough, settings.left_since(began))
    return min((found, other), key=lambda order: (bool(scraps_of(order)), _value_of(order)))


def _forbid_one_by_one(order: Solved, beside: Around, enough: float, settings: Settings) -> Solved:
    """An order without scraps; which of them another would give shows only then, so each is forbidden as it appears."""
    began, found = monotonic(), order
    while scraps := _new_scraps(found):
        _forbid_scraps(order.problem, scraps)
        start = start_of(order.problem, units_by_offer(found))
        left, areas = settings.left_since(began), (SAME_PURCHASE, beside, ANYWHERE, ANY_ORDER_AT_ALL)
        other = next(filter(None, (_search_in(found, area, enough, start, left) for area in areas)), None)
        if other is None:
            break  # as where time is up; the audit tells of scraps
        found = other
    return found


def _feed_without_scraps(order: Solved, enough: float, settings: Settings) -> Solved | None:
    """The same purchase fed without a scrap of any cut that is eaten at all; None where that is not soon found."""
    problem = order.problem
    amounts = [(group.name, cut.name, eat) for group in problem.fed_by_rules() for cut, eat in problem.eaten(group)]
    eaten = {cut for _, cut, eat in amounts if order.found[eat.name] >= CRUMB_KG}
    before = _forbidden_scraps(problem)
    _forbid_scraps(problem, {(group, cut) for group, cut, _ in amounts if cut in eaten})
    start = start_of(problem, units_by_offer(order))
    found = _search_in(order, SAME_PURCHASE, enough, start, settings)
    _allow_scraps(problem, _forbidden_scraps(problem) - before)
    return found


def _search_in(
    order: Solved, around: Around, enough: float, start: Mapping[str, float], settings: Settings
) -> Solved | None:
    """The order found in an area around another, if any."""
    with _kept_around(order.problem, order.found, around):
        outcome = _minimise_cost(order.problem, around, enough, start, settings)
    return _solved_near(order.problem, outcome) if outcome.solved else None


def _minimise_cost(
    problem: Problem, around: Around, enough: float, start: Mapping[str, float], settings: Settings
) -> Outcome:
    """How the search for a cost that is near enough ended, after no more branches than the area allows."""
    target = NO_LIMIT if around is ANY_ORDER_AT_ALL else enough
    limited = replace(settings, most_nodes=around.most_nodes)
    return minimise(problem.lp, cost(problem), limited, gap_share=SEEN_ALL, target=target, start=start)


def _new_scraps(found: Solved) -> Scraps:
    """The scraps that some dog would get, and that are not forbidden yet."""
    return scraps_of(found) - _forbidden_scraps(found.problem)
