"""Sharing an order out in whole pieces: what was bought is fixed, and ranges give way by no more than pieces demand."""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

import pulp

from raworder.solving.constraints import NamedRows
from raworder.solving.groups import Group
from raworder.solving.objective import handiness
from raworder.solving.problem import GRAMS_PER_KG, Problem, row_name, total
from raworder.trade.cuts import Cut, Measure, Subject

GIVING_WAY = frozenset({"part_share", "cap", "resting_energy"})
"""The rules that may be missed when pieces are shared out; all others hold in full."""

PER_KG_GIVEN_WAY = 1000.0
"""The penalty per kilogram missed, against handiness: more than handiness could ever gain from it."""

NEARLY = 1e-6
"""Kilograms by which an amount sold to the gram may differ: solver tolerance."""


def let_row_be_missed(problem: Problem, constraint: pulp.LpConstraint, number: int) -> pulp.LpVariable:
    """Let a `>=` constraint be missed, by the unknown amount returned; the constraint is changed in place."""
    missed = problem.lp.add_variable(f"missed_{number}", 0)
    constraint.addInPlace(missed)
    return missed


def fix_purchases(problem: Problem, found: Mapping[str, float]) -> None:
    """Fix all purchases to those found."""
    for bought in problem.buy.values():
        amount = found.get(bought.name, 0.0)
        per_whole = 1 if bought.cat == pulp.LpInteger else GRAMS_PER_KG
        whole = round(amount * per_whole) / per_whole
        if bought.cat == pulp.LpInteger or abs(amount - whole) < NEARLY / GRAMS_PER_KG:  # so it stands on the bill
            bought.lowBound = bought.upBound = whole
        else:
            bought.lowBound, bought.upBound = max(amount - NEARLY, 0.0), amount + NEARLY
    for packs in problem.packs.values():
        packs.lowBound = packs.upBound = round(found.get(packs.name, 0.0))


def energy_rows(problem: Problem) -> NamedRows:
    """Rows that give each group with a ration in energy exactly that energy, in the grams found for it."""
    for group in _groups_by_energy(problem):
        needed_kg = group.ration_g / GRAMS_PER_KG
        eaten = [
            (eat, float((cut.kcal_per_g or 0) * group.ration_g / group.need_kcal)) for cut, eat in problem.eaten(group)
        ]
        yield row_name("ration", group.name, "energy", "low"), total(eaten) >= needed_kg
        yield row_name("ration", group.name, "energy", "high"), total((eat, -held) for eat, held in eaten) >= -needed_kg


def _groups_by_energy(problem: Problem) -> Iterator[Group]:
    """The groups for whose energy grams have been found."""
    return (group for group in problem.fed_by_rules() if group.rules.energy and not group.free_grams)


def sharing_objective(problem: Problem) -> pulp.LpAffineExpression:
    """The objective of sharing out: first how much the ranges are missed, then handiness."""
    return handiness(problem) + total((missed, PER_KG_GIVEN_WAY) for missed in problem.missed)


def misses_by_pieces_only(problem: Problem, found: Mapping[str, float]) -> bool:
    """Whether every group misses its ranges by at most half a piece of each cut fed in whole pieces.

    A dog alone in its group may miss them by a whole piece, as nothing is shared out further within the group.
    """
    return all(_is_by_pieces(problem, group, found) for group in problem.fed_by_rules())


def _is_by_pieces(problem: Problem, group: Group, found: Mapping[str, float]) -> bool:
    eaten = {cut: found.get(eat.name, 0.0) for cut, eat in problem.eaten(group)}
    cuts = [cut for cut, kg in eaten.items() if kg > NEARLY]
    times = 2 if len(group.dogs) == 1 else 1
    energy = _misses_energy_by_pieces(problem, group, eaten, times) and _misses_rest_by_pieces(
        problem, group, eaten, times
    )
    return energy and all(
        _missed_g(subject, low, high, group, eaten)
        <= times * _half_pieces_g(subject, cuts, problem) + NEARLY * GRAMS_PER_KG
        for subject, low, high in limits_of(group)
    )


def _misses_energy_by_pieces(problem: Problem, group: Group, eaten_kg: Mapping[Cut, float], times: int) -> bool:
    """Whether a ration in energy is missed by at most what half a piece of each cut changes."""
    if not group.rules.energy or group.free_grams:
        return True
    worth = {cut: float(cut.kcal_per_g or 0) for cut, kg in eaten_kg.items() if kg > NEARLY}
    missed_kcal = abs(sum(held * eaten_kg[cut] * GRAMS_PER_KG for cut, held in worth.items()) - float(group.need_kcal))
    return missed_kcal <= _kcal_of_pieces(problem, group, worth, times)


def _misses_rest_by_pieces(problem: Problem, group: Group, eaten_kg: Mapping[Cut, float], times: int) -> bool:
    """Whether energy at rest is missed by at most what half a piece of each cut changes."""
    due = float(group.resting_density)
    beyond = {
        cut: float(cut.kcal_per_g) - due for cut, kg in eaten_kg.items() if kg > NEARLY and cut.kcal_per_g is not None
    }
    over_kcal = sum(held * eaten_kg[cut] * GRAMS_PER_KG for cut, held in beyond.items())
    return group.rules.energy is not None or -over_kcal <= _kcal_of_pieces(problem, group, beyond, times)


def _kcal_of_pieces(problem: Problem, group: Group, worth: Mapping[Cut, float], times: int) -> float:
    """The energy that half a piece of each cut eaten can change, swapped for another cut, and whole grams."""
    half_pieces_kcal = sum(
        (problem.scenario.portioning.whole_piece_g(cut) or 0) / 2 * max(abs(held - other) for other in worth.values())
        for cut, held in worth.items()
    )
    # The grams found for energy are whole for each dog, so each can be off by up to a gram of the richest cut.
    rounding_kcal = max(map(abs, worth.values()), default=0.0) * len(group.dogs)
    return times * half_pieces_kcal + rounding_kcal


def limits_of(group: Group) -> Iterator[tuple[Subject, Fraction, Fraction]]:
    """Each subject of the group's ranges and caps, with the lowest and highest share."""
    yield from ((Subject(Measure.PART, target.part), target.low, target.high) for target in group.rules.targets)
    yield from ((cap.subject, Fraction(0), cap.most) for cap in group.rules.caps)


def _missed_g(subject: Subject, low: Fraction, high: Fraction, group: Group, eaten_kg: Mapping[Cut, float]) -> float:
    """Grams by which what counts is outside its range; where the ration is in energy, of what is eaten for it."""
    counted_g = sum(float(subject.share_in(cut)) * kg for cut, kg in eaten_kg.items()) * GRAMS_PER_KG
    ration_g = sum(eaten_kg.values()) * GRAMS_PER_KG if group.rules.energy else float(group.ration_g)
    return max(float(low) * ration_g - counted_g, counted_g - float(high) * ration_g)


def _half_pieces_g(subject: Subject, cuts: Iterable[Cut], problem: Problem) -> float:
    """Grams by which half a piece of each cut can change what counts, swapped for any other cut eaten."""
    shares = {cut: subject.share_in(cut) for cut in cuts}
    least, most = min(shares.values()), max(shares.values())
    pieces = ((problem.scenario.portioning.whole_piece_g(cut) or 0, share) for cut, share in shares.items())
    return float(sum(Fraction(piece_g, 2) * max(share - least, most - share) for piece_g, share in pieces))
