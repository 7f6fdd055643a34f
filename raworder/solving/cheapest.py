"""The cheapest order: searched for with pieces whole, or, where dogs are many, before pieces are shared out."""

from collections.abc import Collection
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from time import monotonic

from raworder.solving.groups import counts_bags_coarsely, leaves_out_by_energy, leaves_out_by_sharing
from raworder.solving.many_dogs import WIDENING, find_near, search_around, share_order
from raworder.solving.search import (
    BUILDING_TOOK_ALL_TIME,
    CHEAPEST_HANDIEST,
    COST,
    Impossible,
    LateError,
    SearchGoal,
    Solved,
    allocation_of,
    build,
    search,
    units_by_offer,
)
from raworder.solving.solver import Settings
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
    and shared out in whole pieces; where that fails, it is searched again with pieces counted in the model. With more
    dogs than are proved to the cent, an order near the cheapest is enough.
    """
    try:
        if not scenario.solved_by_groups:
            return _add_remarks(_to_allocation(search(scenario, settings, wanted), settings), _bag_remarks(scenario))
        if scenario.proved_to_the_cent or settings.prove or wanted.aims[0] != COST:
            return _prove_for_many(scenario, settings, wanted)
        near = find_near(scenario, settings, wanted)
    except LateError:
        return BUILDING_TOOK_ALL_TIME
    return _add_remarks(_to_allocation(near, settings), _bag_remarks(scenario))


def _prove_for_many(scenario: Scenario, settings: Settings, wanted: SearchGoal) -> Allocation | Impossible | Unsolved:
    """The cheapest order shared out in whole pieces; where that fails, the cheapest with pieces counted."""
    began = monotonic()
    order = search(scenario, settings, wanted, whole=False)
    if not isinstance(order, Solved):
        return _to_allocation(order, settings)
    shared = share_order(scenario, order, settings.left_since(began))
    if shared is not None:
        return _add_remarks(_to_allocation(shared, settings), _bag_remarks(scenario))
    if wanted.aims[0] == COST:
        problem = build(scenario, until=settings.ends_at(began))
        near = search_around(replace(order, problem=problem), settings.left_since(began), WIDENING[:2])
        start = units_by_offer(near) if isinstance(near, Solved) else ()
        wanted = replace(wanted, start=start, known_bound=order.cost.bound)
    counted = _to_allocation(search(scenario, settings.left_since(began), wanted), settings)
    return _add_remarks(counted, (_pieces_remark(scenario, order), *_bag_remarks(scenario)))


def _to_allocation(solved: Solved | Impossible | Unsolved, settings: Settings) -> Allocation | Impossible | Unsolved:
    """The allocation, if there is a solution; anything else as it is."""
    return allocation_of(solved, settings) if isinstance(solved, Solved) else solved


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
