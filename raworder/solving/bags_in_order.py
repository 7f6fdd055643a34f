"""Bags in the order: every bag of some dogs as part of the order's model, where counting pieces was not enough.

A bag is a little freer here than at the counter: grams need not be whole, and unless it is asked for, it may hold less
than a least portion of a cut. So no order that can be portioned is lost, and where there is no order with bags here,
there is none at all.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

import pulp

from raworder.cuts import Measure, Subject
from raworder.dogs import DAY_OVER_BATCH
from raworder.rulebook import WEEK_DAYS
from raworder.slots import slots_of
from raworder.solving.groups import Group
from raworder.solving.nutrient_rules import Named
from raworder.solving.problem import GRAMS_PER_KG, Problem
from raworder.solving.unknowns import total

Terms = list[tuple[pulp.LpVariable, float]]


@dataclass(frozen=True, slots=True)
class BagsInOrder:
    """What must hold beside the rules: what these dogs eat can be spread over their bags.

    They are dogs with grams of their own: none is fed from one mixture with others, none by energy alone. What a bag of
    those named in `to_the_portion` holds of a cut is at least the least portion, which takes a switch for each.
    """

    dogs: frozenset[str] = frozenset()
    to_the_portion: frozenset[str] = frozenset()

    def with_bags_of(self, dogs: frozenset[str]) -> "BagsInOrder":
        """The same with the bags of more dogs; of those that are among them already, to the least portion."""
        return BagsInOrder(self.dogs | dogs, self.to_the_portion | (self.dogs & dogs))

    def __call__(self, problem: Problem) -> Named:
        """The bags of every one of the dogs, under the rules of bags."""
        for number, group in enumerate(problem.fed_by_rules()):
            if group.name in self.dogs:
                bags = _Bags(problem, group, f"bags_{number}")
                yield from bags.rows()
                yield from bags.least_portions() if group.name in self.to_the_portion else ()


class _Bags:
    """One dog's bags as unknowns of the order: pieces counted, everything else in kilograms."""

    def __init__(self, problem: Problem, group: Group, key: str) -> None:
        self._problem, self._group, self._key, self._dog = problem, group, key, group.rules
        self._rules = problem.scenario.portioning
        self._slots = slots_of(self._dog, problem.scenario)
        self._cuts = [cut for cut in problem.cuts.values() if cut.name not in group.avoided]
        self._piece_g = {cut.name: self._rules.whole_piece_g(cut) for cut in self._cuts}
        self._weighed = [cut for cut in self._cuts if not self._piece_g[cut.name]]
        self._held = {place: tuple(self._in_bag(place)) for place in range(len(self._slots))}
        self._tops_up = {cut.name: self._switch("tops_up", at) for at, cut in enumerate(self._weighed)}
        self._there = {cut.name: self._unknown(f"there_{at}", 1) for at, cut in enumerate(self._cuts)}

    def rows(self) -> Named:
        """Every rule of bags for this dog."""
        yield from self._sums()
        yield from self._topped_up()
        for number, (subject, low, high) in enumerate(self._ranges()):
            yield from self._weeks(f"{self._key}_week_{number}", subject, low, high)
        for number, (subject, usual) in enumerate(self._rules.most_a_day):
            yield from self._days(f"{self._key}_day_{number}", subject, usual)

    def _unknown(self, words: str, most: float | None, category: str = pulp.LpContinuous) -> pulp.LpVariable:
        return self._problem.lp.add_variable(f"{self._key}_{words}", 0, most, category)

    def _switch(self, words: str, number: int) -> pulp.LpVariable:
        return self._unknown(f"{words}_{number}", 1, pulp.LpBinary)

    def _in_bag(self, place: int) -> Iterator[tuple[str, pulp.LpVariable, float]]:
        """What one bag holds of each cut: the unknown, and the kilograms that one of what it counts weighs."""
        slot_g, least_g = self._slots[place].grams, self._rules.least_portion_g
        for at, cut in enumerate(self._cuts):
            piece_g = self._piece_g[cut.name]
            if piece_g is None:
                yield cut.name, self._unknown(f"kg_{place}_{at}", slot_g / GRAMS_PER_KG), 1.0
            elif piece_g <= slot_g - least_g:
                most = (slot_g - least_g) // piece_g
                yield cut.name, self._unknown(f"pieces_{place}_{at}", most, pulp.LpInteger), piece_g / GRAMS_PER_KG

    def _kg(self, places: Iterable[int], subject: Subject | None = None) -> Terms:
        """The terms whose sum is the kilograms in some bags, or how many of them count for a subject."""
        share = {cut.name: 1.0 if subject is None else float(subject.share_in(cut)) for cut in self._cuts}
        return [
            (unknown, kg * share[name]) for place in places for name, unknown, kg in self._held[place] if share[name]
        ]

    def _sums(self) -> Named:
        """A dog's bags hold just its portions, and each weighs what it is to weigh."""
        for at, cut in enumerate(self._cuts):
            in_bags = [(one, -kg) for held in self._held.values() for name, one, kg in held if name == cut.name]
            eaten = self._problem.eat_kg[self._group.name, cut.name]
            yield f"{self._key}_sum_{at}", total([(eaten, 1), *in_bags]) == 0
        for place, slot in enumerate(self._slots):
            yield f"{self._key}_weight_{place}", total(self._kg([place])) == slot.grams / GRAMS_PER_KG

    def _topped_up(self) -> Named:
        """One weighed cut is in every bag, at least a least portion of it; what a dog gets nothing of is not there."""
        least_kg = self._rules.least_portion_g / GRAMS_PER_KG
        yield f"{self._key}_tops_up", total((one, 1) for one in self._tops_up.values()) == 1
        for place, held in self._held.items():
            for at, (name, kg, _) in enumerate(held):
                if name in self._tops_up:
                    row = total([(kg, 1), (self._tops_up[name], -least_kg)])
                    yield f"{self._key}_topped_up_{place}_{at}", row >= 0
        for at, cut in enumerate(self._cuts):
            eaten = self._problem.eat_kg[self._group.name, cut.name]
            least = (self._piece_g[cut.name] or self._rules.least_portion_g) / GRAMS_PER_KG
            yield f"{self._key}_there_{at}", total([(eaten, 1), (self._there[cut.name], -least)]) >= 0

    def least_portions(self) -> Named:
        """A bag holds nothing of what is weighed, or at least the least portion."""
        least_kg = self._rules.least_portion_g / GRAMS_PER_KG
        for place, held in self._held.items():
            for at, (name, kg, _) in enumerate(held):
                if not self._piece_g[name]:
                    taken = self._switch(f"taken_{place}", at)
                    yield f"{self._key}_least_{place}_{at}_low", total([(kg, 1), (taken, -least_kg)]) >= 0
                    yield f"{self._key}_least_{place}_{at}_high", total([(kg, 1), (taken, -kg.upBound)]) <= 0

    def _unit_kg(self, name: str) -> float:
        """The kilograms that make a week uneven: a piece, two where pieces are shared out, or a least portion."""
        shared = 2 if self._piece_g[name] and self._problem.scenario.shares_pieces else 1
        return shared * (self._piece_g[name] or self._rules.least_portion_g) / GRAMS_PER_KG

    def _ranges(self) -> Iterator[tuple[Subject, Fraction, Fraction]]:
        """The ranges and caps that hold over every week."""
        yield from ((Subject(Measure.PART, one.part), one.low, one.high) for one in self._dog.targets)
        yield from ((one.subject, Fraction(0), one.most) for one in self._dog.caps)

    def _weeks(self, key: str, subject: Subject, low: Fraction, high: Fraction) -> Named:
        """Over any seven days running a share stays in its range, give or take what is uneven."""
        uneven_kg = self._unknown(f"uneven_{key}", None)
        shares = {cut.name: float(subject.share_in(cut)) for cut in self._cuts}
        times = {
            name: 2 if piece_g and self._problem.scenario.shares_pieces else 1
            for name, piece_g in self._piece_g.items()
        }
        most_kg = sum(times[name] * self._unit_kg(name) for name in shares)
        for at, (name, tops_up) in enumerate(self._tops_up.items()):
            off = [(there, -self._unit_kg(one) * abs(shares[one] - shares[name])) for one, there in self._there.items()]
            yield f"{key}_uneven_{at}", total([(uneven_kg, 1), (tops_up, most_kg), *off]) <= most_kg
        step_kg = self._rules.scale_step_g / GRAMS_PER_KG
        steps = [(tops_up, step_kg * shares[name]) for name, tops_up in self._tops_up.items()]
        give_or_take = [(uneven_kg, 1.0), *steps]
        for first, (places, ration_kg) in enumerate(self._runs()):
            counted, always_kg = self._kg(places, subject), float(self._rules.week_allowance) * ration_kg
            if low > 0:
                yield f"{key}_{first}_low", total([*counted, *give_or_take]) >= float(low) * ration_kg - always_kg
            if high < 1:
                less = [(one, -kg) for one, kg in give_or_take]
                yield f"{key}_{first}_high", total([*counted, *less]) <= float(high) * ration_kg + always_kg

    def _runs(self) -> Iterator[tuple[list[int], float]]:
        """Any seven days running: their bags, and their rations added up in kilograms."""
        fed_g = [grams for grams in self._dog.day_g if grams]
        for first in range(len(fed_g) - WEEK_DAYS + 1):
            week = range(first, first + WEEK_DAYS)
            places = [place for place, slot in enumerate(self._slots) if slot.fed_day in week]
            yield places, sum(fed_g[day] for day in week) / GRAMS_PER_KG

    def _days(self, key: str, subject: Subject, usual: Fraction) -> Named:
        """No day's food holds more than the most; where no rule of the dog's speaks of it, than a multiple of all."""
        most = next(share for one, share in self._dog.most_a_day(self._rules, None) if one == subject)
        above = None if self._limits(subject) else self._unknown(f"above_{key}", 1)
        if above is not None:
            most, switch = usual, self._unknown(f"above_switch_{key}", 1, pulp.LpBinary)
            batch_kg = self._group.ration_g / GRAMS_PER_KG
            eaten = [
                (kg, -float(DAY_OVER_BATCH * subject.share_in(cut)) / batch_kg)
                for cut, kg in self._problem.eaten(self._group)
            ]
            yield f"{key}_above", total([(above, 1), (switch, 1), *eaten]) <= float(1 - usual)
            yield f"{key}_above_switch", total([(above, 1), (switch, -1)]) <= 0
        if most < 1:
            for fed_day in sorted({slot.fed_day for slot in self._slots}):
                places = [place for place, slot in enumerate(self._slots) if slot.fed_day == fed_day]
                day_kg = sum(self._slots[place].grams for place in places) / GRAMS_PER_KG
                more = [] if above is None else [(above, -day_kg)]
                yield f"{key}_{fed_day}", total([*self._kg(places, subject), *more]) <= float(most) * day_kg

    def _limits(self, subject: Subject) -> bool:
        """Whether a range or a cap of the dog's speaks of the subject."""
        return any(one == subject for one, _, _ in self._ranges())
