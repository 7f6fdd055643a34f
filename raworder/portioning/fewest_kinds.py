"""One dog's bags, of as few kinds as can be found: by arithmetic, by what dogs fed alike got, and by solving."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations, groupby

import pulp

from raworder.portioning.bag_amounts import RoughAmounts, settle_amounts
from raworder.portioning.bag_choice import BagSolving, choose_kinds, settle_steps
from raworder.portioning.bag_needs import MOST_KINDS, Need, Pattern, counts_of, patterns
from raworder.portioning.bag_problem import PER_PIECE, burden, pose_model
from raworder.portioning.bag_rules import BagRules, Contents, Dealing, PatternRules, Spread
from raworder.trade.bags import Bag, Filling
from raworder.trade.rulebook import WEEK_DAYS
from raworder.trade.scenario import Slot

KINDS_COUNTED_OUT = 4
"""The lower bound on the number of kinds is counted out below this only; from here on this is the bound."""

DEALINGS_TRIED = 4
"""So many ways to deal out the pieces are tried where another dog's bags are followed."""


@dataclass(frozen=True, slots=True)
class FilledBags:
    """A dog's bags in order, with a lower bound on the number of kinds."""

    bags: tuple[Bag, ...]
    least_kinds: int

    @property
    def kinds(self) -> int:
        """How many kinds of bag there are."""
        return len({bag.kind for bag in self.bags})


@dataclass(frozen=True, slots=True)
class DogContents:
    """What the kinds of bag of a dog hold, and how burdensome that is: weighings, and pieces in the fullest bags."""

    need: Need
    pattern: Pattern
    contents: Contents

    @property
    def kinds(self) -> int:
        """How many kinds of bag there are in the pattern."""
        return len(set(self.pattern))

    @property
    def burden(self) -> float:
        """Weighings into bags, top-ups aside, plus PER_PIECE for each piece in the fullest bag."""
        often = 0.0
        for part, spread in zip(self.need.others, self.contents, strict=True):
            bags = sum(self.pattern.count(kind) for kind in spread.kinds)
            often += PER_PIECE * max(spread.counts) if part.whole else bags
        return often


@dataclass
class FedAlike:
    """What was found for the dogs of a group so far, which others follow."""

    found: list[DogContents] = field(default_factory=list)

    def of_kinds(self, kinds: int, bags: int) -> list[DogContents]:
        """What dogs with this many bags got of this many kinds."""
        return [other for other in self.found if other.kinds == kinds and len(other.pattern) == bags]


def fill_bags(need: Need, solve: BagSolving, alike: FedAlike | None = None) -> FilledBags | None:
    """The dog's bags, of as few kinds as can be found; None where no filling is found, even with every bag different.

    Among patterns with the same number of kinds, the fewest weighings and the evenest pieces win, then the first one.
    But where bags of a dog fed alike can be followed with no more burden, they are: the counter sees the same kinds.
    Once it is late, fewer patterns are tried.
    """
    known, rules = alike or FedAlike(), BagRules(need)
    # "Fewest kinds" as the objective of one programme did not close; a small programme per pattern takes 10 ms.
    for kinds, tried in groupby(_patterns_to_try(need, solve), key=lambda pattern: len(set(pattern))):
        others = known.of_kinds(kinds, len(need.slots)) if rules.weighed else []
        followed = _follow(rules, others, solve)
        if followed and any(followed.burden <= other.burden for other in others):
            return FilledBags(_read_bags(followed), _least_kinds(need))
        found = _fill_best(rules, tried, followed, solve)
        if found is not None:
            known.found.append(found)
            return FilledBags(_read_bags(found), _least_kinds(need))
    return None


def can_be_filled(need: Need, solve: BagSolving) -> bool:
    """Whether a filling of the dog's bags is found when every bag may be different."""
    under = PatternRules(BagRules(need), tuple(range(len(need.slots))))
    return _solve(under, None, solve, thorough=True) is not None


def _patterns_to_try(need: Need, solve: BagSolving) -> Iterator[Pattern]:
    """Patterns with one kind, then two, and so on; last of all, every bag its own kind.

    Once it is late, only the evenest of each number is tried. Every bag its own kind takes longest to solve.
    """
    bags, week = len(need.slots), WEEK_DAYS * need.dog.meals
    for kinds in range(1, min(MOST_KINDS, bags) + 1):
        for number, pattern in enumerate(patterns(bags, kinds, week)):
            if number and solve.is_late():
                break
            yield pattern
    yield tuple(range(bags))


def _follow(rules: BagRules, others: Sequence[DogContents], solve: BagSolving) -> DogContents | None:
    """Contents like those of another dog, in this dog's amounts; None where they do not fit."""
    for other in others:
        rough, under = _scale(other, rules.need), rules.under(other.pattern)
        tried = _nearest_dealings(under, rough) if rough else []
        settled = (settle_amounts(under, dealing, rough or ()) for dealing in tried)
        contents = next(filter(None, settled), None) or (settle_steps(under, solve, rough) if tried else None)
        if contents:
            return DogContents(rules.need, other.pattern, contents)
    return None


def _scale(other: DogContents, need: Need) -> RoughAmounts | None:
    """Another dog's amounts in proportion to what this one eats; None where it eats something else that is weighed."""
    held = {part.name: (part, spread) for part, spread in zip(other.need.others, other.contents, strict=True)}
    if any(part.name not in held for part in need.others if not part.whole):
        return None
    nothing = (0,) * len(set(other.pattern))
    rough = []
    for part in need.others:
        if part.name in held:
            like, spread = held[part.name]
            grams = (count * like.unit_g * part.total_g // like.total_g for count in spread.counts)
            rough.append(tuple(max(some, min(count, 1)) for some, count in zip(grams, spread.counts, strict=True)))
        else:
            rough.append(nothing)
    return tuple(rough)


def _nearest_dealings(under: PatternRules, rough: RoughAmounts) -> list[Dealing]:
    """A few ways to deal out the pieces: the fewest in the fullest bags first, then what is nearest to the amounts."""
    units_g = [under.rules.need.others[place].unit_g for place in under.rules.whole]

    def off_g(dealing: Dealing) -> int:
        """How many grams bags are off."""
        wanted = [rough[place] for place in under.rules.whole]
        ways = zip(units_g, dealing, wanted, strict=True)
        return sum(
            abs(unit_g * count - grams) for unit_g, way, some in ways for count, grams in zip(way, some, strict=True)
        )

    dealings = under.dealings or ()
    return sorted(dealings, key=lambda dealing: (sum(map(max, dealing)), off_g(dealing)))[:DEALINGS_TRIED]


def _fill_best(
    rules: BagRules, tried: Iterable[Pattern], best: DogContents | None, solve: BagSolving
) -> DogContents | None:
    """The least burdensome filling under any of these patterns, if there is a better one than `best`."""
    fitting = (pattern for pattern in tried if _pieces_fit(rules.need, pattern))
    unsettled: list[tuple[float, PatternRules]] = []
    for under in map(rules.under, fitting):
        if _may_be_better(under, best):
            found = _fill_pattern(under, best, solve)
            if isinstance(found, DogContents):
                best = found
            elif found is not None:
                unsettled.append((found, under))
    # Where no scale steps were found yet, finding any takes longest; it is worth it only below the best.
    for least, under in sorted(unsettled, key=lambda bounded: bounded[0]):
        if best is None or least < best.burden:
            contents = settle_steps(under, solve, below=best.burden if best else None)
            best = DogContents(rules.need, under.pattern, contents) if contents else best
    return best


def _may_be_better(under: PatternRules, best: DogContents | None) -> bool:
    """Whether arithmetic alone does not rule out a filling with a lower burden than `best`."""
    return under.is_last_resort or (under.dealings != () and (best is None or _least_burden(under) < best.burden))


def _fill_pattern(under: PatternRules, best: DogContents | None, solve: BagSolving) -> DogContents | float | None:
    """The least burdensome contents under a pattern, a lower bound on them, or None where no better than `best`."""
    if under.is_last_resort:
        return _solve(under, best, solve, thorough=True)
    if under.dealings and not under.rules.weighed:
        pieces = tuple(Spread(way, (0,) * len(way)) for way in under.dealings[0])
        return DogContents(under.rules.need, under.pattern, pieces)
    choice = choose_kinds(under, solve, best.burden if best else None)
    if choice is None:
        return None
    contents = settle_amounts(under, choice.dealing, choice.rough) or settle_steps(under, solve, choice.rough)
    return DogContents(under.rules.need, under.pattern, contents) if contents else choice.burden


def _least_burden(under: PatternRules) -> float:
    """No filling under a pattern has a lower burden: every cut by itself in the fewest bags that can hold it."""
    pieces = sum(map(max, under.dealings[0])) if under.dealings else 0
    rest_g, places = under.rules.most_rest_g, range(len(under.sizes))
    often = 0
    for place in under.rules.weighed:
        most_g = [size * grams + rest_g for size, grams in zip(under.sizes, under.most_g[place], strict=True)]
        some = (kinds for number in places for kinds in combinations(places, number + 1))
        total_g = under.rules.need.others[place].total_g
        bags = (
            sum(under.sizes[kind] for kind in kinds) for kinds in some if sum(most_g[kind] for kind in kinds) >= total_g
        )
        often += min(bags, default=len(under.pattern))
    return PER_PIECE * pieces + often


def _solve(under: PatternRules, best: DogContents | None, solve: BagSolving, *, thorough: bool) -> DogContents | None:
    """What the bags hold in the solution of the whole model, if one that is better than `best` is found."""
    problem = pose_model(under, best.burden if best else None)
    if not solve(problem.lp, burden(problem), thorough):
        return None
    contents = tuple(
        Spread(
            tuple(_whole_value(problem.count.get((kind, part.name))) for kind in problem.kinds),
            tuple(_whole_value(problem.rest.get((kind, part.name))) for kind in problem.kinds),
        )
        for part in under.rules.need.others
    )
    return DogContents(under.rules.need, under.pattern, contents)


def _whole_value(unknown: pulp.LpVariable | None) -> int:
    """The solved value of an unknown as a whole number; 0 where there is no such unknown."""
    return 0 if unknown is None else round(unknown.varValue or 0.0)


def _least_kinds(need: Need) -> int:
    """A lower bound on the number of kinds, from whole pieces alone; all ways with up to three kinds are tried."""
    most = min(KINDS_COUNTED_OUT, len(need.slots))
    return next((kinds for kinds in range(1, most) if _can_be_dealt(need, kinds)), most)


def _can_be_dealt(need: Need, kinds: int) -> bool:
    """Whether there is any way to deal whole pieces out to this many kinds of bag."""
    whole = [ingredient.total_g // ingredient.unit_g for ingredient in need.others if ingredient.whole]
    ways = counts_of(len(need.slots), kinds)
    return any(all(_is_sum_of_counts(pieces, set(counts)) for pieces in whole) for counts in ways)


def _pieces_fit(need: Need, pattern: Pattern) -> bool:
    """Whether the whole pieces can be dealt out so that bags of a kind hold the same number."""
    counts = {pattern.count(kind) for kind in set(pattern)}
    return all(
        _is_sum_of_counts(ingredient.total_g // ingredient.unit_g, counts)
        for ingredient in need.others
        if ingredient.whole
    )


def _is_sum_of_counts(pieces: int, counts: set[int]) -> bool:
    """Whether the pieces are a sum of the counts, each taken any number of times (as coins make an amount)."""
    reached = {0}
    for sum_ in range(1, pieces + 1):
        if any(sum_ - count in reached for count in counts):
            reached.add(sum_)
    return pieces in reached


def _read_bags(found: DogContents) -> tuple[Bag, ...]:
    """The bags as they are filled, in whole grams; kinds are named in order of their first bag."""
    last = {kind: place for place, kind in enumerate(found.pattern)}  # later places overwrite earlier ones
    fillings = {(kind, rest): tuple(_fillings(found, kind, rest=rest)) for kind in last for rest in (False, True)}
    names: dict[object, str] = {}
    named: dict[int, str] = {}
    for kind in dict.fromkeys(found.pattern):
        # Kinds filled alike share a name, unless the last bag of one takes a rest.
        like = fillings[kind, False]
        has_rest = like != fillings[kind, True]
        named[kind] = names.setdefault((like, kind if has_rest else None), kind_name(len(names)))
    return tuple(
        _bag(found.need, slot, named[kind], fillings[kind, last[kind] == place])
        for place, (kind, slot) in enumerate(zip(found.pattern, found.need.slots, strict=True))
    )


def _bag(need: Need, slot: Slot, name: str, others: tuple[Filling, ...]) -> Bag:
    """One bag, topped up to its weight."""
    top_up = Filling(need.top_up.name, slot.grams - sum(filling.grams for filling in others))
    return Bag(need.dog.name, slot.day, slot.meal, name, (*others, top_up), top_up.cut)


def _fillings(found: DogContents, kind: int, *, rest: bool) -> Iterator[Filling]:
    """What goes into a bag of a kind before the top-up; with `rest`, what only its last bag takes as well."""
    for part, spread in zip(found.need.others, found.contents, strict=True):
        grams = spread.counts[kind] * part.unit_g + (spread.rests_g[kind] if rest else 0)
        if grams:
            yield Filling(part.name, grams, spread.counts[kind] if part.whole else 0)


def kind_name(number: int) -> str:
    """Letters for a kind of bag, from 0.

    >>> kind_name(0), kind_name(25), kind_name(26)
    ('A', 'Z', 'AA')
    """
    letter = chr(ord("A") + number % 26)
    return kind_name(number // 26 - 1) + letter if number >= 26 else letter
