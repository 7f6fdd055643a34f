"""The law of bags by plain loops over finished bags, written apart from the builders and the judges.

**Source:** the sentences of the rulebook about bags; nothing is taken from the code but the nouns and its constants.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction

from raworder.trade.bags import Bag, Portioning
from raworder.trade.cuts import Cut, Measure, Subject
from raworder.trade.dogs import Dog
from raworder.trade.rulebook import REST_STEPS, WEEK_DAYS
from tests.builders import STARTS


@dataclass(frozen=True)
class Fed:
    """One dog, what it gets over the batch of every cut, and its bags."""

    dog: Dog
    portions_g: Mapping[Cut, int]
    portioning: Portioning
    bags: Sequence[Bag]
    shared_pieces: bool = False

    def grams(self, bag: Bag, subject: Subject) -> Fraction:
        """What counts for a subject in a bag."""
        cuts = {cut.name: cut for cut in self.portions_g}
        return sum((subject.share_in(cuts[one.cut]) * one.grams for one in bag.fillings), Fraction(0))


def broken(fed: Fed) -> list[str]:
    """Every rule of bags that is broken, with where."""
    rules = (_sums, _portions, _weights, _pieces, _least, _kinds, _weeks, _days)
    return [said for rule in rules for said in rule(fed)]


def _fed_days(fed: Fed) -> list[tuple[int, int]]:
    """The days fed, from 0, with their rations."""
    return [(day, grams) for day, grams in enumerate(fed.dog.day_g) if grams > 0]


def _sums(fed: Fed) -> Iterator[str]:
    """One bag for every day fed and meal, in order, no cut twice in one, nothing empty."""
    due = [(STARTS + timedelta(days=day), meal) for day, _ in _fed_days(fed) for meal in range(1, fed.dog.meals + 1)]
    if [(bag.day, bag.meal) for bag in fed.bags] != due:
        yield "sum: bags are not one for every day and meal"
    for bag in fed.bags:
        names = [one.cut for one in bag.fillings]
        if len(set(names)) < len(names) or bag.dog != fed.dog.name:
            yield f"sum: {bag}"
        if any(one.grams < 1 for one in bag.fillings):
            yield f"sum: something empty in {bag}"


def _portions(fed: Fed) -> Iterator[str]:
    for cut, portion_g in fed.portions_g.items():
        held_g = 0
        for bag in fed.bags:
            for one in bag.fillings:
                if one.cut == cut.name:
                    held_g += one.grams
        if held_g != portion_g:
            yield f"sum: {held_g} g of {cut.name} where {portion_g} g are due"


def _weights(fed: Fed) -> Iterator[str]:
    step_g, rations = fed.portioning.scale_step_g, dict(_fed_days(fed))
    for bag in fed.bags:
        due = Fraction(rations[(bag.day - STARTS).days], fed.dog.meals)
        if abs(bag.grams - due) > step_g:
            yield f"bag_weight: {bag.grams} g where {due} g are due"
    for bags, week_g in _running(fed):
        if abs(sum(bag.grams for bag in bags) - week_g) > step_g:
            yield f"bag_weight: a week from {bags[0].day}"


def _pieces(fed: Fed) -> Iterator[str]:
    cuts = {cut.name: cut for cut in fed.portions_g}
    for bag in fed.bags:
        for one in bag.fillings:
            piece_g = fed.portioning.whole_piece_g(cuts[one.cut])
            if piece_g is None and one.pieces:
                yield f"whole_pieces: {one} is counted"
            if piece_g is not None and (one.pieces < 1 or one.grams != one.pieces * piece_g):
                yield f"whole_pieces: {one}"


def _least(fed: Fed) -> Iterator[str]:
    for bag in fed.bags:
        for one in bag.fillings:
            if one.pieces == 0 and one.grams < fed.portioning.least_portion_g:
                yield f"least_portion: {one}"


def _kinds(fed: Fed) -> Iterator[str]:
    """Bags of a kind are filled alike but for the top-up, and in scale steps; the last takes what is left."""
    step_g = fed.portioning.scale_step_g
    if len({bag.topped_up for bag in fed.bags}) != 1:
        yield "scale_step: more than one top-up"
    for kind in dict.fromkeys(bag.kind for bag in fed.bags):
        mine = [
            [(one.cut, one.grams, one.pieces) for one in bag.fillings if one.cut != bag.topped_up]
            for bag in fed.bags
            if bag.kind == kind
        ]
        for contents in mine[:-1]:
            if sorted(contents) != sorted(mine[0]):
                yield f"scale_step: kind {kind} is not alike: {contents}"
            if any(pieces == 0 and grams % step_g for _, grams, pieces in contents):
                yield f"scale_step: kind {kind} is not in steps: {contents}"
        last, first = sorted(mine[-1]), sorted(mine[0])
        if [(cut, pieces) for cut, _, pieces in last] != [(cut, pieces) for cut, _, pieces in first]:
            yield f"scale_step: the last of kind {kind} holds something else: {last}"
        elif any(abs(one[1] - other[1]) > REST_STEPS * step_g for one, other in zip(last, first, strict=True)):
            yield f"scale_step: the last of kind {kind} is too far off: {last}"


def _running(fed: Fed) -> Iterator[tuple[list[Bag], int]]:
    """The bags and the ration of any seven days running on which the dog is fed."""
    days = _fed_days(fed)
    for first in range(len(days) - WEEK_DAYS + 1):
        week = days[first : first + WEEK_DAYS]
        dates = {STARTS + timedelta(days=day) for day, _ in week}
        yield [bag for bag in fed.bags if bag.day in dates], sum(grams for _, grams in week)


def _weeks(fed: Fed) -> Iterator[str]:
    ranges = [("week_share", Subject(Measure.PART, one.part), one.low, one.high) for one in fed.dog.targets]
    ranges += [("week_cap", one.subject, Fraction(0), one.most) for one in fed.dog.caps]
    for bags, week_g in _running(fed):
        for key, subject, low, high in ranges:
            counts = sum((fed.grams(bag, subject) for bag in bags), Fraction(0))
            allowance = fed.portioning.week_allowance * week_g + _uneven_g(fed, subject)
            if not low * week_g - allowance <= counts <= high * week_g + allowance:
                yield f"{key}: {float(counts)} g of {subject} from {bags[0].day}"


def _uneven_g(fed: Fed, subject: Subject) -> Fraction:
    """What one piece, or one least portion, of every cut but the top-up changes in exchange for that."""
    top_up = next(cut for cut in fed.portions_g if cut.name == fed.bags[0].topped_up)
    uneven = Fraction(0)
    for cut in fed.portions_g:
        piece_g = fed.portioning.whole_piece_g(cut)
        unit_g = fed.portioning.least_portion_g if piece_g is None else piece_g * (2 if fed.shared_pieces else 1)
        uneven += unit_g * abs(subject.share_in(cut) - subject.share_in(top_up))
    return uneven


def _days(fed: Fed) -> Iterator[str]:
    """No day over the most, or five thirds of what the dog's rules allow, or if they say nothing, of what it eats."""
    eaten_g = sum(bag.grams for bag in fed.bags)
    for day in dict.fromkeys(bag.day for bag in fed.bags):
        bags = [bag for bag in fed.bags if bag.day == day]
        for subject, usual in fed.portioning.most_a_day:
            own = [one.high for one in fed.dog.targets if Subject(Measure.PART, one.part) == subject]
            own += [one.most for one in fed.dog.caps if one.subject == subject]
            if not own:
                own = [sum((fed.grams(bag, subject) for bag in fed.bags), Fraction(0)) / eaten_g]
            most = min(Fraction(1), max([usual, *(Fraction(5, 3) * one for one in own)]))
            if sum((fed.grams(bag, subject) for bag in bags), Fraction(0)) > most * sum(bag.grams for bag in bags):
                yield f"day_most: {subject} on {day}"
