"""Judges of what a dog eats from bag to bag: every bag, every day, and any seven days running on which it is fed.

They judge no dog under a veterinarian's care, whose amounts are as given; a dog fed on fewer than seven days has no
weeks.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from itertools import accumulate

from raworder.auditing.books import Books, CountedShares, DogBags, common_shares, total_grams
from raworder.trade.bags import Mix
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.dogs import DAY_OVER_BATCH, Dog
from raworder.trade.plan import Breach
from raworder.trade.rounding import half_up
from raworder.trade.rulebook import WEEK_DAYS
from raworder.trade.units import share_text


@dataclass(frozen=True, slots=True)
class SubjectShares:
    """The share of every cut and mix that counts as one subject, and the grams that rounding may have changed."""

    by_name: Mapping[str, Fraction]
    rounding_g: Fraction

    def counted_in(self, dog_bags: DogBags) -> CountedShares:
        """The shares of what is in a dog's bags, over one common denominator; unknown names count as nothing."""
        return common_shares({name: self.by_name.get(name, Fraction(0)) for name in dog_bags.held_g})


@dataclass(frozen=True, slots=True)
class Week:
    """Seven fed days running: the first day, the grams due, those that count, and the grams it may be off by."""

    starts: date
    due_g: int
    counts_g: Fraction
    allowance_g: Fraction

    def says(self, what: str, asked: str) -> str:
        """How much counts and what is asked, in words."""
        counts = f"{half_up(self.counts_g)} g, {_share(self.counts_g / self.due_g)}, of {self.due_g} g count as {what}"
        return f"from {self.starts} on, {counts}; {asked}, give or take {half_up(self.allowance_g)} g"


def bag_weight(books: Books) -> Iterator[Breach]:
    """A bag weighs its meal to within a scale step, and so do seven days running; something weighed tops it up."""
    step_g = books.scenario.portioning.scale_step_g
    for dog_bags in _dogs_with_bags(books):
        yield from _check_bags(books, dog_bags)
        held_g, due_g = _week_sums(dog_bags.day_total_g), _week_sums(dog_bags.due_g)
        for day, held, due in zip(dog_bags.fed_days, held_g, due_g, strict=False):
            if abs(held - due) > step_g:
                says = f"from {day} on, seven days' bags weigh {held} g where {due} g are due; {step_g} g more or less"
                yield Breach("bag_weight", dog_bags.dog.name, f"{says} are allowed")


def week_share(books: Books) -> Iterator[Breach]:
    """Over any seven days running each part's share stays in its range, give or take what whole pieces allow."""
    parts = {part: _subject_shares(books, Subject(Measure.PART, part)) for part in Part}
    for dog_bags in _dogs_with_bags(books):
        for target in dog_bags.dog.targets:
            for week in _weeks(books, dog_bags, parts[target.part]):
                if week.counts_g + week.allowance_g < target.low * week.due_g:
                    says = week.says(target.part, f"at least {_share(target.low)} is asked")
                    yield Breach("week_share", dog_bags.dog.name, says)
                if week.counts_g - week.allowance_g > target.high * week.due_g:
                    says = week.says(target.part, f"at most {_share(target.high)} is asked")
                    yield Breach("week_share", dog_bags.dog.name, says)


def week_cap(books: Books) -> Iterator[Breach]:
    """Over any seven days running what is capped stays at its share, give or take what whole pieces allow."""
    subjects = dict.fromkeys(limit.subject for dog in books.scenario.dogs for limit in dog.caps)
    capped = {subject: _subject_shares(books, subject) for subject in subjects}
    for dog_bags in _dogs_with_bags(books):
        for limit in dog_bags.dog.caps:
            what = limit.subject.word or limit.subject.measure
            for week in _weeks(books, dog_bags, capped[limit.subject]):
                if week.counts_g - week.allowance_g > limit.most * week.due_g:
                    says = week.says(what, f"at most {_share(limit.most)} is allowed")
                    yield Breach("week_cap", dog_bags.dog.name, says)


def day_most(books: Books) -> Iterator[Breach]:
    """No day's food holds more than the most of bone, organs, plants, heart or fat; here rounding is no excuse."""
    portioning = books.scenario.portioning
    shares = {subject: _subject_shares(books, subject) for subject, _ in portioning.most_a_day}
    for dog_bags in _dogs_with_bags(books):
        counted_in = {subject: share.counted_in(dog_bags) for subject, share in shares.items()}
        eaten = {subject: _eaten_share(counts, dog_bags) for subject, counts in counted_in.items()}
        for subject, usual in portioning.most_a_day:
            most = _most_a_day(dog_bags.dog, subject, usual, eaten[subject])
            counts = counted_in[subject]
            days = zip(dog_bags.fed_days, _day_counts(counts, dog_bags), dog_bags.day_total_g, strict=True)
            for day, count, total_g in days:
                if count * most.denominator > most.numerator * total_g * counts.of:
                    grams = half_up(Fraction(count, counts.of))
                    what = subject.word or subject.measure
                    says = f"on {day}, {grams} g of {total_g} g count as {what}; the most is {_share(most)}"
                    yield Breach("day_most", dog_bags.dog.name, says)


def _most_a_day(dog: Dog, subject: Subject, usual: Fraction, eaten: Fraction) -> Fraction:
    """The largest share of a day's food: the usual, or five thirds of what the dog's rules allow over the batch.

    Where its rules do not limit the subject, five thirds of what it eats over the batch.
    """
    allowed = [cap.most for cap in dog.caps if cap.subject == subject]
    allowed = allowed or [target.high for target in dog.targets if Subject(Measure.PART, target.part) == subject]
    return min(max(usual, DAY_OVER_BATCH * (allowed[0] if allowed else eaten)), Fraction(1))


def _eaten_share(counts: CountedShares, dog_bags: DogBags) -> Fraction:
    """The share of all that is in a dog's bags that counts; 0 where they weigh nothing."""
    total_g = sum(dog_bags.day_total_g)
    return Fraction(sum(_day_counts(counts, dog_bags)), counts.of * total_g) if total_g > 0 else Fraction(0)


def _dogs_with_bags(books: Books) -> Iterator[DogBags]:
    """The bags of every dog whose bags are planned here; a dog without bags is for the judge `bag_sum`."""
    planned = (books.bags[dog.name] for dog in books.dogs_not_in_care)
    return (dog_bags for dog_bags in planned if dog_bags.bags)


def _check_bags(books: Books, dog_bags: DogBags) -> Iterator[Breach]:
    """Bags that are off their meal by more than a scale step, and bags without what should top them up."""
    step_g, meals = books.scenario.portioning.scale_step_g, dog_bags.dog.meals
    due_g = dict(zip(dog_bags.fed_days, dog_bags.due_g, strict=True))
    for bag in dog_bags.bags:
        day_g = due_g.get(bag.day)
        if day_g is None:
            continue
        held_g = total_grams(bag.fillings)
        if bag.topped_up and all(filling.cut != bag.topped_up for filling in bag.fillings):
            yield Breach("bag_weight", dog_bags.dog.name, f"nothing tops up its bag of {bag.day}, meal {bag.meal}")
        if abs(held_g * meals - day_g) > step_g * meals:
            says = f"its bag of {bag.day}, meal {bag.meal}, weighs {held_g} g"
            yield Breach("bag_weight", dog_bags.dog.name, f"{says} where {half_up(Fraction(day_g, meals))} g are due")


def _weeks(books: Books, dog_bags: DogBags, shares: SubjectShares) -> Iterator[Week]:
    """Every week of a dog, with the grams that count in it."""
    counts = shares.counted_in(dog_bags)
    step_g = books.scenario.portioning.scale_step_g * shares.by_name.get(dog_bags.topped_up, Fraction(0))
    always_g = _unit_allowance_g(books, dog_bags, shares) + shares.rounding_g + step_g
    sums = zip(dog_bags.fed_days, _week_sums(dog_bags.due_g), _week_sums(_day_counts(counts, dog_bags)), strict=False)
    for starts, due_g, count in sums:
        allowance_g = books.scenario.portioning.week_allowance * due_g + always_g
        yield Week(starts, due_g, Fraction(count, counts.of), allowance_g)


def _unit_allowance_g(books: Books, dog_bags: DogBags, shares: SubjectShares) -> Fraction:
    """The grams by which what counts changes if one unit of every cut takes the place of what tops the bags up.

    A unit is a piece or a least portion; it counts twice where pieces are shared among dogs, even for a dog that got
    none.
    """
    top_up = shares.by_name.get(dog_bags.topped_up, Fraction(0))
    shared = books.shared_pieces.get(dog_bags.dog.name, ())
    return sum(
        (
            _unit_g(books, name) * (2 if name in shared else 1) * abs(shares.by_name.get(name, Fraction(0)) - top_up)
            for name in dict.fromkeys((*_held_beside_top_up(dog_bags), *shared))
        ),
        Fraction(0),
    )


def _held_beside_top_up(dog_bags: DogBags) -> Iterator[str]:
    """The names in a dog's bags apart from what tops them up; none where the bags have no top-up."""
    return (name for name in dog_bags.held_g if dog_bags.topped_up and name != dog_bags.topped_up)


def _unit_g(books: Books, name: str) -> int:
    """The grams in which the amount of a cut or mix in a bag goes up or down: a piece, or the least portion."""
    return books.pieces_g.get(name, books.scenario.portioning.least_portion_g)


def _subject_shares(books: Books, subject: Subject) -> SubjectShares:
    """The share of every cut and mix that counts, and the grams that rounding may have changed."""
    of_cuts = {cut: entry.counts.get(subject, Fraction(0)) for cut, entry in books.table.items()}
    of_mixes = {mix.name: _mix_share(mix, of_cuts) for mix in books.plan.mixes}
    rounding_g = books.counted(subject).allowance_g(books.cuts_handled)
    return SubjectShares({**of_mixes, **of_cuts}, rounding_g)


def _mix_share(mix: Mix, of_cuts: Mapping[str, Fraction]) -> Fraction:
    """The share of a mix that counts: the mean over its contents by weight."""
    counts_g = sum((of_cuts.get(filling.cut, Fraction(0)) * filling.grams for filling in mix.contents), Fraction(0))
    mixed_g = total_grams(mix.contents)
    return counts_g / mixed_g if mixed_g else Fraction(0)


def _day_counts(counts: CountedShares, dog_bags: DogBags) -> tuple[int, ...]:
    """The grams that count on every fed day, times the denominator `counts.of`."""
    totals = [0] * len(dog_bags.fed_days)
    for name, count in counts.counts.items():
        for index, grams in enumerate(dog_bags.held_g[name]):
            totals[index] += count * grams
    return tuple(totals)


def _week_sums(by_day: tuple[int, ...]) -> tuple[int, ...]:
    """The sums of every seven entries running."""
    sums = tuple(accumulate(by_day, initial=0))
    return tuple(after - before for before, after in zip(sums, sums[WEEK_DAYS:], strict=False))


def _share(share: Fraction) -> str:
    """A share in words."""
    return share_text(share, 3)
