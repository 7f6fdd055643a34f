"""The cheapest order: searched for with pieces whole, or, where dogs are many, before pieces are shared out."""

from collections.abc import Collection
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from time import monotonic

from raworder.solving.groups import counts_bags_coarsely, leaves_out_by_energy, leaves_out_by_sharing
from raworder.solving.objective import HANDINESS_GAP
from raworder.solving.search import (
    BUILDING_TOOK_ALL_TIME,
    CHEAPEST_HANDIEST,
    Impossible,
    LateError,
    Scraps,
    SearchGoal,
    Solved,
    add_named_row,
    allocation_of,
    build,
    scraps_of,
    search,
    values_of,
)
from raworder.solving.sharing import (
    GIVING_WAY,
    energy_rows,
    fix_purchases,
    let_row_be_missed,
    misses_by_pieces_only,
    sharing_objective,
)
from raworder.solving.solver import Settings, minimise
from raworder.trade.as_fed import as_allotted
from raworder.trade.dogs import Dog, Target
from raworder.trade.plan import Allocation, Unsolved
from raworder.trade.scenario import Scenario

NARROWING_STEPS = (Fraction(1, 4), Fraction(1, 2), Fraction(3, 4))
"""How far each end of a range is moved towards its middle, as a part of the way, in successive tries."""

WIDE = Fraction(6, 100)
"""A range wider than this, such as the usual one for muscle, is left alone when ranges are narrowed."""


def narrow_ranges(scenario: Scenario, dogs: Collection[str], part_off: Fraction) -> Scenario:
    """The scenario with narrower target ranges for the dogs named; wide ranges, such as muscle's, stay."""
    return replace(
        scenario, dogs=tuple(_narrow_dog(dog, part_off) if dog.name in dogs else dog for dog in scenario.dogs)
    )


def _narrow_dog(dog: Dog, part_off: Fraction) -> Dog:
    return replace(dog, targets=tuple(_narrow_target(target, part_off) for target in dog.targets))


def _narrow_target(target: Target, part_off: Fraction) -> Target:
    """The range narrowed at both ends; one that is wide or starts at 0 stays."""
    if target.low == 0 or target.high - target.low > WIDE:
        return target
    less = (target.high - target.low) / 2 * part_off
    return Target(target.part, target.low + less, target.high - less)


MOST_NODES = 20
"""Branches after which sharing out ends: it need not miss the ranges by the least, only by no more than pieces need."""


COUNTED_COARSELY = (
    "The proof counts bags nearly alike as the smaller, as dogs are many and unlike: an order with a piece that just "
    "fits some dog's bag might be cheaper."
)
"""The remark when bags were counted coarsely, so that the proof leaves out some pieces."""

LEFT_OUT_BY_ENERGY = (
    "The proof is about pieces that fit the least food that can hold a dog's energy: an order with a larger piece "
    "might be cheaper."
)
"""The remark when grams are free and a piece was left out."""

LEFT_OUT_BY_SHARING = (
    "The proof is about pieces that fit every bag of a dog and are at most a quarter of its food, as dogs share them: "
    "an order with larger pieces might be cheaper."
)
"""The remark when pieces are shared out and one that a bag could hold was left out."""

LIMITS_OF_PROOF = frozenset({COUNTED_COARSELY, LEFT_OUT_BY_ENERGY, LEFT_OUT_BY_SHARING})
"""The remarks that limit the proof; they apply to every order of a scenario alike."""


def cheapest(
    scenario: Scenario, settings: Settings, wanted: SearchGoal = CHEAPEST_HANDIEST
) -> Allocation | Impossible | Unsolved:
    """The cheapest allocation with its proof; Impossible where there is none, Unsolved where the solver gave up.

    Of equally cheap ones it is the handiest, unless `wanted` says otherwise. With many dogs the order is found first
    and shared out in whole pieces; where that fails, it is searched again with pieces counted in the model.
    """
    began = monotonic()
    if not scenario.solved_by_groups:
        return _add_remarks(_to_allocation(search(scenario, settings, wanted), settings), _bag_remarks(scenario))
    order = search(scenario, settings, wanted, whole=False)
    if not isinstance(order, Solved):
        return _to_allocation(order, settings)
    try:
        shared = _share_order(scenario, order, settings.left_since(began))
    except LateError:
        return BUILDING_TOOK_ALL_TIME
    if shared is not None:
        merged = Solved(shared.problem, {**order.found, **shared.found}, order.outcomes)
        return _add_remarks(_to_allocation(merged, settings), _bag_remarks(scenario))
    counted = _to_allocation(search(scenario, settings.left_since(began), wanted), settings)
    return _add_remarks(counted, (_pieces_remark(scenario, order), *_bag_remarks(scenario)))


def _to_allocation(solved: Solved | Impossible | Unsolved, settings: Settings) -> Allocation | Impossible | Unsolved:
    """The allocation, if there is a solution; anything else as it is."""
    return allocation_of(solved, settings) if isinstance(solved, Solved) else solved


def _share_order(given: Scenario, order: Solved, settings: Settings) -> Solved | None:
    """An order shared out to the groups in whole pieces; None where that cannot be done.

    Dogs whose grams were free get the grams found by the order.
    """
    began = monotonic()
    scenario = as_allotted(given, allocation_of(order, settings))
    scraps: Scraps = frozenset()
    dogs = {dog.name: dog for dog in scenario.dogs}
    # the order's own groups: grams found for energy, once they are whole, would part dogs that the order feeds alike
    groups = [replace(group, dogs=tuple(dogs[dog.name] for dog in group.dogs)) for group in order.problem.groups]
    while True:
        until = settings.ends_at(began)
        problem = build(scenario, scraps=scraps, giving_way=GIVING_WAY, groups=groups, until=until)
        fix_purchases(problem, order.found)
        for name, constraint in energy_rows(problem):
            problem.missed.append(let_row_be_missed(problem, constraint, len(problem.missed)))
            add_named_row(problem.lp, name, constraint)
        limited = replace(settings.left_since(began), most_nodes=MOST_NODES)
        outcome = minimise(problem.lp, sharing_objective(problem), limited, gap=HANDINESS_GAP)
        solved = Solved(problem, values_of(problem.lp), {})
        if not outcome.solved or not misses_by_pieces_only(problem, solved.found):
            return None
        more = scraps_of(solved) - scraps
        if not more:
            return solved
        scraps |= more


def _add_remarks(
    found: Allocation | Impossible | Unsolved, remarks: tuple[str, ...]
) -> Allocation | Impossible | Unsolved:
    """The allocation, if there is one, with remarks for the person who reads the plan."""
    return replace(found, remarks=remarks) if isinstance(found, Allocation) else found


def _pieces_remark(scenario: Scenario, order: Solved) -> str:
    """The remark that a cheaper order would do if pieces could be divided."""
    money = scenario.currency
    before = money.text(money.rounded(Decimal(repr(order.cost.value or 0.0))))
    return f"An order for {before} would do if pieces could be divided; this one is found with pieces kept whole."


def _bag_remarks(scenario: Scenario) -> tuple[str, ...]:
    """The remarks on pieces that might fit but were left out, each with its reason."""
    reasons = (
        (COUNTED_COARSELY, counts_bags_coarsely),
        (LEFT_OUT_BY_SHARING, leaves_out_by_sharing),
        (LEFT_OUT_BY_ENERGY, leaves_out_by_energy),
    )
    return tuple(remark for remark, leaves_out in reasons if leaves_out(scenario))
