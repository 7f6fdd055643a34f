"""Doubts about what the food may do: each thing once for all growing dogs and once for all others."""

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.words import MOST_NAMED, capitalised, count_text, dogs_text, join_names
from raworder.trade.nutrients import Grade, VetConcern, grade_of
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.trade.units import over_text, share_text, short_text

SHORT = "short"
"""The key of the doubt about nutrients that are missed only after months: what fills one mostly fills the others."""

PRICED = " `raworder gaps FILE` prices what is listed."
"""What to do next about what is short."""

GROWING = "-growing"
"""The end of the key of a doubt about growing dogs: they are told apart, as it is worse for them."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something wrong or doubtful about a plan: what it is about (`key`), for whom, a sentence and its cure.

    The more `points`, the worse; as with what a dog's food may do. Where doing without `cuts` would cure it, what that
    costs can be asked; see `Cures.without`. `more` is what an order that cures it costs more, where one is known.
    `slow` harm comes of months; `sources` are those of the limits.
    """

    key: str
    points: int
    dogs: tuple[str, ...]
    says: str
    cure: str = ""
    cuts: tuple[str, ...] = ()
    more: Decimal | None = None
    slow: bool = False
    sources: tuple[str, ...] = ()

    @property
    def grade(self) -> Grade:
        """How bad it is."""
        return grade_of(self.points)

    @property
    def sentences(self) -> str:
        """All that is said of it; a danger is called one."""
        danger = "Danger: " if self.grade is Grade.DANGER else ""
        return f"{danger}{self.says} {self.cure}".strip()

    @property
    def graded(self) -> str:
        """The same with its grade, whatever it is."""
        return f"{capitalised(self.grade)}: {self.says} {self.cure}".strip()


def food_doubts(scenario: Scenario, plan: Plan, but_for: Collection[str]) -> Iterator[Doubt]:
    """What the food may do, but for concerns of these keys, in the order of the first dog that it concerns."""
    grows = {dog.name: dog.puppy for dog in scenario.dogs}
    alike: dict[tuple[str, bool, str], list[tuple[str, VetConcern]]] = {}
    for food in plan.nourished:
        for concern in food.minded:
            key = SHORT if concern.is_short else concern.key
            # what to do differs from dog to dog where calcium may be too little for the one and too much for the other
            advice = concern.advice if key == "calcium-unsure" else ""
            if key not in but_for:
                alike.setdefault((key, grows[food.dog], advice), []).append((food.dog, concern))
    yield from (_put_together(key, found, growing=growing) for (key, growing, _), found in alike.items())


def _put_together(key: str, found: Sequence[tuple[str, VetConcern]], *, growing: bool) -> Doubt:
    """The same concern of several dogs as one doubt."""
    dogs = tuple(dict.fromkeys(dog for dog, _ in found))
    who = _dogs_text(dogs, growing=growing)
    ordered = sorted(found, key=lambda pair: (-pair[1].points, pair[1].of_bound))
    same, others = [concern for _, concern in ordered], [dog for dog in dogs if dog != ordered[0][0]]
    worst, is_short = same[0], key == SHORT
    says = _shortages_text(who, len(dogs), same) if is_short else _likewise_text(who, others, same)
    priced = PRICED if is_short else ""
    sources = tuple(dict.fromkeys(source for concern in same for source in concern.sources))
    key, cure = f"{key}{GROWING * growing}", f"{worst.advice}{priced}"
    return Doubt(key, worst.points, dogs, says, cure, slow=worst.slow, sources=sources)


def _likewise_text(who: str, others: Sequence[str], same: Sequence[VetConcern]) -> str:
    """The same concern of the dog that is worst off, and of `others`; or of all in a line, where a bound is missed."""
    worst = same[0]
    if others and worst.bound:
        return f"{who} get {worst.what}: {_off_text(same)}."
    whom = join_names(others) if len(others) <= MOST_NAMED else count_text(len(others), "more dog")
    likewise = f" The same goes for {whom}." if others else ""
    return f"{worst.says}.{likewise}"


def _shortages_text(who: str, dogs: int, same: Sequence[VetConcern]) -> str:
    """What dogs are short of that harms slowly, by name, the worst first."""
    by_what: dict[str, list[Fraction]] = {}
    for concern in same:
        by_what.setdefault(concern.what.removeprefix("too little "), []).append(concern.of_bound)
    first, *others = ((name, ends_text(shares, short_text)) for name, shares in by_what.items())
    named = [f"{first[0]} ({first[1]} of {same[0].bound})", *(f"{name} ({share})" for name, share in others)]
    return f"{who} {'gets' if dogs == 1 else 'get'} too little {join_names(named)}."


def _dogs_text(dogs: Sequence[str], *, growing: bool) -> str:
    """The dogs in a sentence; that they grow is told."""
    if len(dogs) == 1:
        return f"{dogs[0]}, a growing dog," if growing else dogs[0]
    return f"{len(dogs)} growing dogs" if growing else dogs_text(dogs)


def _off_text(same: Sequence[VetConcern]) -> str:
    """How far several dogs are off a bound: `3 to 40 % of the recommended minimum`."""
    shares, bound = [concern.of_bound for concern in same], same[0].bound
    if min(shares) < 1:
        return f"{ends_text(shares, short_text)} of {bound}"
    return f"{'up to ' if len(set(shares)) > 1 else ''}{over_text(max(shares))} {bound}"


def _in_percent(share: Fraction) -> str:
    """A share in whole percent."""
    return share_text(share, 0)


def ends_text(shares: Sequence[Fraction], in_words: Callable[[Fraction], str] = _in_percent) -> str:
    """Several shares by the least and the most of them: `60 to 79 %`."""
    least, most = in_words(min(shares)), in_words(max(shares))
    return most if least == most else f"{least.removesuffix(' %')} to {most}"
