"""Soft demands: what may be missed at a price, put back into the model of a scenario that is without it."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

import pulp

from raworder.solving.constraints import Named
from raworder.solving.demands import MOST_OF_ONE, MOST_POINTS, SPECIES, Demand, End, altered, without
from raworder.solving.groups import Group
from raworder.solving.problem import GRAMS_PER_KG, Problem, kg_per_buy, named, total, units_per_buy
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.dogs import Target
from raworder.trade.scenario import Scenario

PIECEMEAL = frozenset({"supplier_count", "variety"})
"""Demands that can only be missed by whole numbers, unless it is a share."""

NOT_SOFT = frozenset({"whole_pieces", "least_portion", "day_most", "week_share", "nutrient", "nutrient_ratio"})
"""Demands that hold or do not; there is no missing them by a little in the model."""


@dataclass(frozen=True, slots=True)
class Soft:
    """Demands that may be missed; several only where a switch says which of them give way at all."""

    scenario: Scenario
    demands: tuple[Demand, ...]

    @property
    def switched(self) -> bool:
        """Whether it is asked which of several give way."""
        return len(self.demands) > 1

    @property
    def base(self) -> Scenario:
        """The scenario without what comes back soft; dogs that it bids differently are still told apart."""
        scenario = self.scenario
        for demand in self.demands:
            if demand.rule in {"cap", "part_share"}:
                share = Fraction(demand.level or 0)
                scenario = altered(scenario, demand, -share if demand.end is End.LOW else 1 + share)
                if demand.frees_muscle:
                    scenario = _muscle_freed(scenario, demand)
            elif demand.rule != "minimum_order" and demand.about != SPECIES:
                scenario = without(scenario, (demand,))
        return scenario

    def __call__(self, problem: Problem) -> Named:
        """The demands again, each with what it may be missed by."""
        more: dict[tuple[str, Part, End], list[pulp.LpVariable]] = {}
        for number, demand in enumerate(self.demands):
            missed = _miss(problem, demand, number)
            if self.switched:
                switch = problem.lp.add_variable(f"gives_way_{number}", 0, 1, pulp.LpBinary)
                yield f"gives_way_{number}", total([(missed, 1), (switch, -(missed.upBound or 0))]) <= 0
            if isinstance(demand.about, Target):
                yield from _note_range(problem, demand, number, missed, more)
            else:
                yield from _ROWS[demand.rule](problem, demand, missed)
        yield from self._ranges(problem, more)

    def _ranges(self, problem: Problem, more: Mapping[tuple[str, Part, End], list[pulp.LpVariable]]) -> Named:
        """Every end of a range that may give way, with all by which it may."""
        dogs = {dog.name: dog for dog in self.scenario.dogs}
        groups = {group.name: group for group in problem.groups}
        for (name, part, end), missed in more.items():
            target = next(target for target in dogs[name].targets if target.part is part)
            level = target.low if end is End.LOW else target.high
            if part is Part.MUSCLE and len(missed) > 1:
                yield named("muscle_moved", name, end), total((value, 1) for value in missed) <= float(MOST_POINTS)
            yield _within(problem, groups[name], _Limit(Subject(Measure.PART, part), end, level), missed)


def _miss(problem: Problem, demand: Demand, number: int) -> pulp.LpVariable:
    """By how much a demand is missed: never more than anything could."""
    whole = demand.rule in PIECEMEAL and demand.about != MOST_OF_ONE
    category = pulp.LpInteger if whole else pulp.LpContinuous
    missed = problem.lp.add_variable(f"missed_{number}", 0, _most_missed(problem, demand), category)
    problem.missed.append(missed)
    return missed


def _most_missed(problem: Problem, demand: Demand) -> float:
    """More than a demand can be missed by, or as much as it may be where dogs are fed by it."""
    if demand.rule in {"cap", "part_share"} or demand.about == MOST_OF_ONE:
        level = float(demand.level or 0)
        return min(level if demand.end is End.LOW else 1 - level, float(MOST_POINTS))
    if demand.rule == "pack_count":
        return sum(most for most, _ in _most_of(problem, str(demand.about)))
    everything = [(offer, most, price) for offer in problem.offers for most, price in _most_of(problem, offer.key)]
    if demand.rule == "budget":
        deliveries = sum(float(supplier.delivery) for supplier in problem.suppliers)
        return sum(most * price for _, most, price in everything) * 2 + deliveries
    if demand.rule == "room":
        return sum(most * kg_per_buy(offer) for offer, most, _ in everything)
    return float(len(problem.suppliers)) if demand.rule == "supplier_count" else float(demand.level or 0)


def _most_of(problem: Problem, key: str) -> list[tuple[float, float]]:
    """The most of an offer at each price, and the price."""
    offer = problem.scenario.offer(key)
    return [(bought.upBound or 0.0, price) for bought, price in problem.goods_of(offer)]


def _note_range(
    problem: Problem,
    demand: Demand,
    number: int,
    missed: pulp.LpVariable,
    more: dict[tuple[str, Part, End], list[pulp.LpVariable]],
) -> Named:
    """Note by what the range of a part may be missed by each group; muscle's may be by as much at its other end."""
    if not isinstance(demand.about, Target) or demand.end is None:
        return
    groups = [group for group in problem.fed_by_rules() if group.rules.name in demand.dogs]
    for group in groups:
        own, holds = _own(problem, group, missed)
        yield holds
        more.setdefault((group.name, demand.about.part, demand.end), []).append(own)
    if demand.frees_muscle:
        along = problem.lp.add_variable(f"along_{number}", 0, 1)
        yield f"along_{number}", total([(along, 1), (missed, -1)]) <= 0
        for group in groups:
            if any(target.part is Part.MUSCLE for target in group.rules.targets):
                more.setdefault((group.name, Part.MUSCLE, demand.other_end), []).append(along)


def own_miss(problem: Problem, group: Group, number: int) -> str:
    """The name of what one group misses a demand by, which is no more than the demand is missed by at all."""
    return f"missed_{number}_of_{problem.groups.index(group)}"


def _own(
    problem: Problem, group: Group, missed: pulp.LpVariable
) -> tuple[pulp.LpVariable, tuple[str, pulp.LpConstraint]]:
    """What a group misses a demand by, and what holds of it."""
    number = int(missed.name.rpartition("_")[2])
    own = problem.lp.add_variable(own_miss(problem, group, number), 0)
    return own, (f"{own.name}_most", total([(own, 1), (missed, -1)]) <= 0)


@dataclass(frozen=True, slots=True)
class _Limit:
    """One end of the range that a subject's share must stay in."""

    subject: Subject
    end: End
    level: Fraction


def _within(
    problem: Problem, group: Group, limit: _Limit, missed: Iterable[pulp.LpVariable]
) -> tuple[str, pulp.LpConstraint]:
    """What counts is inside one end of a range, as far as that is not missed."""
    sign, subject = (1 if limit.end is End.LOW else -1), limit.subject
    counted = [(eat, sign * float(subject.share_in(cut) - limit.level)) for cut, eat in problem.eaten(group)]
    given_way = [(value, group.ration_g / GRAMS_PER_KG) for value in missed]
    return named("soft", group.name, subject.measure, subject.word, limit.end), total([*counted, *given_way]) >= 0


def _muscle_freed(scenario: Scenario, demand: Demand) -> Scenario:
    """The scenario in which one end of muscle's range asks for nothing, by as much as tells dogs apart."""
    for dog in scenario.dogs:
        for target in dog.targets:
            level = target.low if demand.other_end is End.LOW else target.high
            if dog.name in demand.dogs and target.part is Part.MUSCLE and 0 < level < 1:
                own = Demand("part_share", level, target, demand.other_end, (dog.name,))
                scenario = altered(scenario, own, -level if demand.other_end is End.LOW else 1 + level)
    return scenario


def _budget(problem: Problem, demand: Demand, missed: pulp.LpVariable) -> Named:
    most = float(demand.level or 0) + problem.most_rounded_off
    yield "soft_budget", total([*((pay, 1) for pay in problem.pay.values()), (missed, -1)]) <= most


def _room(problem: Problem, demand: Demand, missed: pulp.LpVariable) -> Named:
    held_g = sum(lot.grams for lot in problem.scenario.on_hand)
    bought = ((amount, kg_per_buy(offer)) for offer in problem.offers for _, _, amount in problem.bought(offer))
    yield "soft_room", total([*bought, (missed, -1)]) <= (int(demand.level or 0) - held_g) / GRAMS_PER_KG


def _supplier_count(problem: Problem, demand: Demand, missed: pulp.LpVariable) -> Named:
    uses = ((use, 1) for use in problem.use.values())
    yield "soft_supplier_count", total([*uses, (missed, -1)]) <= int(demand.level or 0)


def _minimum_order(problem: Problem, demand: Demand, missed: pulp.LpVariable) -> Named:
    """The rule as it stands, missed: so that more than is fed may be bought to reach it."""
    problem.lp.get_constraint_by_name(named("minimum_order", str(demand.about))).addInPlace(missed)
    yield from ()


def _pack_count(problem: Problem, demand: Demand, missed: pulp.LpVariable) -> Named:
    offer = problem.scenario.offer(str(demand.about))
    bought = ((amount, 1) for _, _, amount in problem.bought(offer))
    most = int(demand.level or 0) / units_per_buy(offer)
    yield named("soft_pack_count", offer.key), total([*bought, (missed, -1)]) <= most


def _variety(problem: Problem, demand: Demand, missed: pulp.LpVariable) -> Named:
    """The species that are asked for, missed; or none above the most of one, missed."""
    for group in problem.fed_by_rules():
        if demand.about == SPECIES:
            problem.lp.get_constraint_by_name(named("variety", group.name, "species")).addInPlace(missed)
        else:
            for species in problem.scenario.species():
                limit = _Limit(Subject(Measure.SPECIES, species), End.HIGH, Fraction(demand.level or 0))
                yield _within(problem, group, limit, [missed])


def _cap(problem: Problem, demand: Demand, missed: pulp.LpVariable) -> Named:
    for group in problem.fed_by_rules():
        if group.rules.name in demand.dogs and isinstance(demand.about, Subject):
            own, holds = _own(problem, group, missed)
            yield holds
            yield _within(problem, group, _Limit(demand.about, End.HIGH, Fraction(demand.level or 0)), [own])


_ROWS: Mapping[str, Callable[[Problem, Demand, pulp.LpVariable], Named]] = MappingProxyType(
    {
        "budget": _budget,
        "room": _room,
        "supplier_count": _supplier_count,
        "minimum_order": _minimum_order,
        "pack_count": _pack_count,
        "variety": _variety,
        "cap": _cap,
    }
)
