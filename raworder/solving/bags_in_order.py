"""Bags in the order: every bag of some dogs as part of the order's model, where counting pieces was not enough.

A bag here is a little looser than at the counter: grams need not be whole, and it may hold less than a least portion
unless `to_the_portion` says otherwise. So no order that can be portioned is lost, and if this model has no solution,
there is no order with bags at all.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

import pulp

from raworder.solving.constraints import NamedRows
from raworder.solving.groups import Group
from raworder.solving.problem import GRAMS_PER_KG, Problem, total
from raworder.trade.cuts import Measure, Subject
from raworder.trade.dogs import DAY_OVER_BATCH
from raworder.trade.rulebook import WEEK_DAYS
from raworder.trade.scenario import slots_of


@dataclass(frozen=True, slots=True)
class BagsInOrder:
    """Constraints beyond the rules: what each of these dogs eats can be spread over its bags. Each is fed by itself.

    For dogs in `to_the_portion`, a bag holds nothing of a cut or at least the least portion; each pair takes a switch.
    """

    dogs: frozenset[str] = frozenset()
    to_the_portion: frozenset[str] = frozenset()

    def with_bags_of(self, dogs: frozenset[str]) -> "BagsInOrder":
        """The same with more dogs; those that are in it already get least portions as well."""
        return BagsInOrder(self.dogs | dogs, self.to_the_portion | (self.dogs & dogs))

    def __call__(self, problem: Problem) -> NamedRows:
        """The bags of every one of the dogs, under the rules of bags."""
        for number, group in enumerate(problem.fed_by_rules()):
            if group.name in self.dogs and len(group.dogs) == 1:
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
        self._contents = {place: tuple(self._bag_unknowns(place)) for place in range(len(self._slots))}
        self._tops_up = {cut.name: self._switch("tops_up", at) for at, cut in enumerate(self._weighed)}
        self._there = {cut.name: self._unknown(f"there_{at}", 1) for at, cut in enumerate(self._cuts)}

    def rows(self) -> NamedRows:
        """Every rule of bags for this dog, but that of least portions."""
        yield from self._sum_rows()
        yield from self._top_up_rows()
        for number, (subject, low, high) in enumerate(self._ranges()):
            yield from self._week_rows(f"{self._key}_week_{number}", subject, low, high)
        for number, (subject, usual) in enumerate(self._rules.most_a_day):
            yield from self._day_rows(f"{self._key}_day_{number}", subject, usual)

    def least_portions(self) -> NamedRows:
        """A bag holds nothing of what is weighed, or at least the least portion."""
        least_kg = self._rules.least_portion_g / GRAMS_PER_KG
        for place, held in self._contents.items():
            for at, (name, kg, _) in enumerate(held):
                if not self._piece_g[name]:
                    taken = self._switch(f"taken_{place}", at)
                    yield f"{self._key}_least_{place}_{at}_low", total([(kg, 1), (taken, -least_kg)]) >= 0
                    yield f"{self._key}_least_{place}_{at}_high", total([(kg, 1), (taken, -kg.upBound)]) <= 0

    def _unknown(self, words: str, most: float | None, category: str = pulp.LpContinuous) -> pulp.LpVariable:
        return self._problem.lp.add_variable(f"{self._key}_{words}", 0, most, category)

    def _switch(self, words: str, number: int) -> pulp.LpVariable:
        return self._unknown(f"{words}_{number}", 1, pulp.LpBinary)

    def _bag_unknowns(self, place: int) -> Iterator[tuple[str, pulp.LpVariable, float]]:
        """What one bag holds of each cut: the unknown, and the kilograms that one of what it counts weighs."""
        most_g = self._most_g(place)
        room_g = most_g - self._rules.least_portion_g
        for at, cut in enumerate(self._cuts):
            piece_g = self._piece_g[cut.name]
            if piece_g is None:
                yield cut.name, self._unknown(f"kg_{place}_{at}", float(most_g / GRAMS_PER_KG)), 1.0
            elif piece_g <= room_g:
                pieces = self._unknown(f"pieces_{place}_{at}", room_g // piece_g, pulp.LpInteger)
                yield cut.name, pieces, piece_g / GRAMS_PER_KG

    def _most_g(self, place: int) -> Fraction:
        """The most that a bag can weigh."""
        if not self._group.free_grams:
            return Fraction(self._slots[place].grams)
        return self._part_of_batch(place) * self._problem.most_food_g[self._group.name] + self._rules.scale_step_g

    def _part_of_batch(self, place: int) -> Fraction:
        """A bag's part of all that the dog eats, where its days are given in energy."""
        energy, meals = self._dog.energy, self._dog.meals
        fed_kcal = [kcal for kcal in energy.day_kcal if kcal] if energy else []
        return fed_kcal[self._slots[place].fed_day] / self._group.need_kcal / meals

    def _due_kg(self, places: Iterable[int], grams: int) -> pulp.LpAffineExpression:
        """The weight due in some bags: these grams, or where grams are free, the bags' part of all that is eaten."""
        if not self._group.free_grams:
            return pulp.LpAffineExpression(constant=grams / GRAMS_PER_KG)
        part = float(sum((self._part_of_batch(place) for place in places), Fraction(0)))
        return total((kg, part) for _, kg in self._problem.eaten(self._group))

    def _counted_kg(self, places: Iterable[int], subject: Subject | None = None) -> pulp.LpAffineExpression:
        """The kilograms in some bags, or how many of them count for a subject."""
        share = {cut.name: 1.0 if subject is None else float(subject.share_in(cut)) for cut in self._cuts}
        return total((unknown, kg * share[name]) for place in places for name, unknown, kg in self._contents[place])

    def _sum_rows(self) -> NamedRows:
        """A dog's bags hold exactly its portions, and each has its due weight.

        Where grams are free the weight may be off by a scale step, as it is rounded to steps only once it is known.
        """
        for at, cut in enumerate(self._cuts):
            in_bags = [(value, -kg) for held in self._contents.values() for name, value, kg in held if name == cut.name]
            yield f"{self._key}_sum_{at}", total([(self._problem.eat_kg[self._group.name, cut.name], 1), *in_bags]) == 0
        off_kg = self._rules.scale_step_g / GRAMS_PER_KG if self._group.free_grams else 0.0
        for place, slot in enumerate(self._slots):
            off = self._counted_kg([place]) - self._due_kg([place], slot.grams)
            yield f"{self._key}_weight_{place}_low", off >= -off_kg
            yield f"{self._key}_weight_{place}_high", off <= off_kg

    def _top_up_rows(self) -> NamedRows:
        """One weighed cut tops up every bag, with at least a least portion; `there` is 0 for a cut it gets none of."""
        least_kg = self._rules.least_portion_g / GRAMS_PER_KG
        yield f"{self._key}_tops_up", total((value, 1) for value in self._tops_up.values()) == 1
        for place, held in self._contents.items():
            for at, (name, kg, _) in enumerate(held):
                if name in self._tops_up:
                    row = total([(kg, 1), (self._tops_up[name], -least_kg)])
                    yield f"{self._key}_topped_up_{place}_{at}", row >= 0
        for at, cut in enumerate(self._cuts):
            eaten = self._problem.eat_kg[self._group.name, cut.name]
            least = (self._piece_g[cut.name] or self._rules.least_portion_g) / GRAMS_PER_KG
            yield f"{self._key}_there_{at}", total([(eaten, 1), (self._there[cut.name], -least)]) >= 0

    def _unit_kg(self, name: str) -> float:
        """How uneven a cut may make a week, in kilograms: a piece (two if shared out), or a least portion."""
        shared = 2 if self._piece_g[name] and self._problem.scenario.shares_pieces else 1
        return shared * (self._piece_g[name] or self._rules.least_portion_g) / GRAMS_PER_KG

    def _ranges(self) -> Iterator[tuple[Subject, Fraction, Fraction]]:
        """The ranges and caps that hold over every week."""
        yield from ((Subject(Measure.PART, target.part), target.low, target.high) for target in self._dog.targets)
        yield from ((cap.subject, Fraction(0), cap.most) for cap in self._dog.caps)

    def _week_rows(self, key: str, subject: Subject, low: Fraction, high: Fraction) -> NamedRows:
        """Over any seven days running a share stays in its range, give or take the allowance for unevenness."""
        uneven_kg = self._unknown(f"uneven_{key}", None)
        shares = {cut.name: float(subject.share_in(cut)) for cut in self._cuts}
        yield from self._uneven_rows(key, uneven_kg, shares)
        step_kg = self._rules.scale_step_g / GRAMS_PER_KG
        steps = total((tops_up, step_kg * shares[name]) for name, tops_up in self._tops_up.items())
        for first, (places, week_g) in enumerate(self._week_runs()):
            counted_kg, due_kg = self._counted_kg(places, subject), self._due_kg(places, week_g)
            give_or_take = uneven_kg + steps + float(self._rules.week_allowance) * due_kg
            if low > 0:
                yield f"{key}_{first}_low", counted_kg + give_or_take - float(low) * due_kg >= 0
            if high < 1:
                yield f"{key}_{first}_high", counted_kg - give_or_take - float(high) * due_kg <= 0

    def _uneven_rows(self, key: str, uneven_kg: pulp.LpVariable, shares: dict[str, float]) -> NamedRows:
        """The allowance is at most one unit of each cut that is there, in exchange for the cut that tops up."""
        most_kg = sum(map(self._unit_kg, shares))
        for at, (name, tops_up) in enumerate(self._tops_up.items()):
            off = [
                (there, -self._unit_kg(word) * abs(shares[word] - shares[name])) for word, there in self._there.items()
            ]
            # big-M: for a cut that does not top up the bags, the row is wider by most_kg and so demands nothing
            yield f"{key}_uneven_{at}", total([(uneven_kg, 1), (tops_up, most_kg), *off]) <= most_kg

    def _week_runs(self) -> Iterator[tuple[list[int], int]]:
        """Any seven days running: their bags, and their rations added up in grams, as far as these are known."""
        fed_g = [grams for grams in self._dog.day_g if grams]
        for first in range(len(fed_g) - WEEK_DAYS + 1):
            week = range(first, first + WEEK_DAYS)
            places = [place for place, slot in enumerate(self._slots) if slot.fed_day in week]
            yield places, sum(fed_g[day] for day in week)

    def _day_rows(self, key: str, subject: Subject, usual: Fraction) -> NamedRows:
        """No day's food holds more than the most.

        Where no rule of the dog limits the subject, the most is a multiple of its share in all the dog's food.
        """
        most = next(share for limited, share in self._dog.most_a_day(self._rules, None) if limited == subject)
        above: pulp.LpVariable | None = None
        if most == 1 > usual and not any(limited == subject for limited, _, _ in self._ranges()):
            if self._group.free_grams:
                return  # a share of what is not known yet is no linear row
            most, above = usual, self._unknown(f"above_{key}", 1)
            yield from self._above_usual_rows(key, above, subject, usual)
        for fed_day in sorted({slot.fed_day for slot in self._slots}) if most < 1 else ():
            places = [place for place, slot in enumerate(self._slots) if slot.fed_day == fed_day]
            over_kg = self._counted_kg(places, subject) - float(most) * self._counted_kg(places)
            if above is not None:
                over_kg -= above * (sum(self._slots[place].grams for place in places) / GRAMS_PER_KG)
            yield f"{key}_{fed_day}", over_kg <= 0

    def _above_usual_rows(self, key: str, above: pulp.LpVariable, subject: Subject, usual: Fraction) -> NamedRows:
        """How far a day's share may exceed the usual: up to a multiple of its share in all food, if that is more."""
        # Else a ration could be required that no days can hold. The switch makes it a maximum of the two.
        switch, batch_kg = self._switch(f"above_{key}", 0), self._group.ration_g / GRAMS_PER_KG
        eaten = [
            (kg, -float(DAY_OVER_BATCH * subject.share_in(cut)) / batch_kg)
            for cut, kg in self._problem.eaten(self._group)
        ]
        yield f"{key}_above", total([(above, 1), (switch, 1), *eaten]) <= float(1 - usual)
        yield f"{key}_above_switch", total([(above, 1), (switch, -1)]) <= 0
