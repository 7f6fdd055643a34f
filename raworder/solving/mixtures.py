"""Mixtures: what the food of a dog can be by its ranges and caps alone, as a small linear programme.

Amounts, packs and pieces are left out, so what no mixture reaches no order reaches. `least_cost` adds up the mixtures
of all dogs, with what there is and what it costs at least.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import pulp

from raworder.solving.solver import Ending, Outcome, Settings, minimise
from raworder.trade.cuts import Cut, Measure, Subject
from raworder.trade.dogs import Dog
from raworder.trade.scenario import Scenario

KCAL_TO = 1e-5
"""How exact the least and the most kcal in a gram are worked out."""

MOST_RATIOS = 50
"""The ratios tried for it at most; it takes about five."""


@dataclass(frozen=True, slots=True)
class End:
    """One end of a range, or a cap: the share of a subject is at least `level` where it `is_low`, else at most."""

    subject: Subject
    is_low: bool
    level: Fraction


def ends_of(dog: Dog) -> tuple[End, ...]:
    """The ends of a dog's ranges and its caps, those that ask for nothing left out."""
    of_ranges = (
        End(Subject(Measure.PART, target.part), is_low, target.low if is_low else target.high)
        for target in dog.targets
        for is_low in (True, False)
    )
    ends = [*of_ranges, *(End(cap.subject, is_low=False, level=cap.most) for cap in dog.caps)]
    return tuple(end for end in ends if (end.level > 0 if end.is_low else end.level < 1))


def is_mixture(ends: Iterable[End], cuts: Sequence[Cut]) -> bool:
    """Whether any mixture of the cuts keeps all these ends; true as well where the solver cannot tell."""
    lp, shares = _pose_mixture(ends, cuts)
    return minimise(lp, pulp.lpSum(0 * share for share in shares.values()), Settings()).ending is not Ending.INFEASIBLE


def clashing_ends(dog: Dog, cuts: Sequence[Cut]) -> tuple[End, ...]:
    """Ends that no mixture of the cuts keeps together, though it keeps the others without any one; else none."""
    kept = list(ends_of(dog))
    if not cuts or is_mixture(kept, cuts):
        return ()
    for end in tuple(kept):
        rest = [other for other in kept if other is not end]
        if not is_mixture(rest, cuts):
            kept = rest
    return tuple(kept)


def leanest_kcal_per_g(dog: Dog, cuts: Sequence[Cut]) -> float:
    """The least energy in a gram of known energy, in any mixture for a dog, or a trace less; 0 where it is not known.

    It is not known where no mixture is possible, nor where the solver does not say.
    """
    return _end_of_kcal(dog, cuts, 1) or 0.0


def richest_kcal_per_g(dog: Dog, cuts: Sequence[Cut]) -> float | None:
    """The most energy in a gram of known energy, in any mixture for a dog, or a trace more; None where not known.

    It is not known either where a mixture can do without any cut of known energy.
    """
    if any(cut.kcal_per_g is None for cut in cuts):
        lp, shares = _pose_mixture(ends_of(dog), cuts)
        known = pulp.lpSum(shares[cut.name] for cut in cuts if cut.kcal_per_g is not None)
        least = minimise(lp, known, Settings())
        if least.value is None or least.value < LEAST_KNOWN:
            return None
    return _end_of_kcal(dog, cuts, -1)


LEAST_KNOWN = 1e-3
"""The least share of known energy in every mixture from which on the most energy in a gram says something."""


def _end_of_kcal(dog: Dog, cuts: Sequence[Cut], sign: int) -> float | None:
    """The least (sign 1) or the most (sign -1) energy in a gram of known energy, with a trace in that direction."""
    lp, shares = _pose_mixture(ends_of(dog), cuts)
    known = {cut.name: float(cut.kcal_per_g) for cut in cuts if cut.kcal_per_g is not None}
    # Dinkelbach's way to the end of a ratio of two sums: each solve is for what is furthest beyond the ratio so far
    ratio = (max if sign == 1 else min)(known.values(), default=0.0)
    for _ in range(MOST_RATIOS):
        beyond = pulp.lpSum(sign * (held - ratio) * shares[name] for name, held in known.items())
        outcome = minimise(lp, beyond, Settings(), gap=KCAL_TO)
        if not outcome.solved or outcome.value is None:
            return None
        if outcome.value > -KCAL_TO:
            return ratio - sign * KCAL_TO
        ratio += sign * outcome.value / sum(shares[name].value() for name in known)
    return None


def _pose_mixture(ends: Iterable[End], cuts: Sequence[Cut]) -> tuple[pulp.LpProblem, Mapping[str, pulp.LpVariable]]:
    """The programme of a mixture and the share of each cut in it."""
    lp = pulp.LpProblem("mixture", pulp.LpMinimize)
    shares = {cut.name: lp.add_variable(f"share_{number}", 0, 1) for number, cut in enumerate(cuts)}
    for end in ends:
        counted = pulp.lpSum(float(end.subject.share_in(cut)) * shares[cut.name] for cut in cuts)
        lp.addConstraint(counted >= float(end.level) if end.is_low else counted <= float(end.level))
    lp.addConstraint(pulp.lpSum(shares.values()) == 1)
    return lp, shares


def least_cost(
    scenario: Scenario, kinds: Iterable[tuple[Sequence[Dog], Sequence[Cut]]], more_of: frozenset[str] = frozenset()
) -> Outcome:
    """What the food of all dogs costs at least, without packs, pieces, delivery, and rules on energy and nutrients.

    `kinds` are healthy dogs with the same ranges and caps, with the cuts that they may eat. Every plan costs as much at
    least, and where it is infeasible, there is no plan. In the scenario's currency; with `more_of` it is instead the
    least kilograms by which there must be more of these cuts.
    """
    lp, costs = pulp.LpProblem("least_cost", pulp.LpMinimize), []
    eaten: dict[str, list[pulp.LpVariable]] = {cut.name: [] for cut in scenario.cuts}
    for number, (dogs, cuts) in enumerate(kinds):
        _pose_kind(lp, number, dogs, [(cut, eaten[cut.name]) for cut in cuts])
    bought: dict[str, list[pulp.LpVariable]] = {cut: [] for cut in eaten}
    for number, offer in enumerate(offer for offer in scenario.offers if eaten.get(offer.cut)):
        most = None if offer.available is None else offer.grams(offer.available) / GRAMS_IN_KG
        bought[offer.cut].append(lp.add_variable(f"buy_{number}", 0, most))
        per_kg = min(step.unit_price for step in offer.steps) / offer.unit_g * GRAMS_IN_KG
        costs.append((bought[offer.cut][-1], 0.0 if more_of else float(per_kg)))
    for number, cut in enumerate(sorted(more_of)):
        bought[cut].append(lp.add_variable(f"more_{number}", 0))
        costs.append((bought[cut][-1], 1.0))
    for cut, amounts in eaten.items():
        if amounts:
            lp.addConstraint(pulp.lpSum(amounts) <= pulp.lpSum(bought[cut]) + scenario.on_hand_g(cut) / GRAMS_IN_KG)
    return minimise(lp, pulp.LpAffineExpression(costs), Settings())


GRAMS_IN_KG = 1000


def _pose_kind(
    lp: pulp.LpProblem, number: int, dogs: Sequence[Dog], eaten: Sequence[tuple[Cut, list[pulp.LpVariable]]]
) -> None:
    """Add to the programme what dogs with the same rules eat together, each cut in kilograms, and list it by cut."""
    amounts = [(cut, lp.add_variable(f"eat_{number}_{place}", 0)) for place, (cut, _) in enumerate(eaten)]
    for (_, of_cut), (_, amount) in zip(eaten, amounts, strict=True):
        of_cut.append(amount)
    if dogs[0].free_grams:
        kcal = sum((dog.energy.batch_kcal for dog in dogs if dog.energy), Fraction(0))
        energy = pulp.lpSum(float(cut.kcal_per_g or 0) * amount for cut, amount in amounts)
        lp.addConstraint(energy == float(kcal / GRAMS_IN_KG))
    else:
        lp.addConstraint(pulp.lpSum(amount for _, amount in amounts) == sum(dog.batch_g for dog in dogs) / GRAMS_IN_KG)
    for end in ends_of(dogs[0]):
        beyond = pulp.lpSum(float(end.subject.share_in(cut) - end.level) * amount for cut, amount in amounts)
        lp.addConstraint(beyond >= 0 if end.is_low else beyond <= 0)
