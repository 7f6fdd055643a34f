"""Bags: how containers are filled at the counter, and what is in them.

A bag is what one dog eats from one container. Cuts with bone come in whole pieces; everything else is weighed, and one
cut, or a mix, tops the bag up to its weight. Grams are whole, shares are fractions of one.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

from raworder.trade.cuts import GROUND, Cut, Measure, Part, Subject


class Working(StrEnum):
    """How bags are filled: each cut weighed into each bag, or all weighed cuts mixed in a tub first."""

    EACH_CUT = "each cut"
    TUB = "tub"


USUAL_MOST_A_DAY: tuple[tuple[Subject, Fraction], ...] = (
    (Subject(Measure.PART, Part.BONE), Fraction(30, 100)),
    (Subject(Measure.PART, Part.LIVER), Fraction(20, 100)),
    (Subject(Measure.PART, Part.OTHER_ORGAN), Fraction(20, 100)),
    (Subject(Measure.PART, Part.VEGETABLES), Fraction(20, 100)),
    (Subject(Measure.PART, Part.BERRIES), Fraction(10, 100)),
    (Subject(Measure.KIND, "heart"), Fraction(30, 100)),
    (Subject(Measure.FAT, ""), Fraction(25, 100)),
)
"""The largest share of a day's food that each of these may be. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Portioning:
    """How bags are made.

    `bag_tolerance` is how far a bag filled by hand may be off, as a share of its weight; planned bags are exact to a
    scale step. `week_allowance` is how far a part's share of a week's food may leave its range, beyond what whole
    pieces and least portions make uneven; the larger it is, the fewer kinds of bag there are. `most_a_day` limits what
    is in one day's food. Cuts named in `divided` may be cut up. A tub holds at most `tub_g` and is weighed on a scale
    that takes `scale_g`. `freezes_g` is what the freezer can freeze in a day. The bags are filled on `day`, or on the
    day before the batch where it is None.
    """

    working: Working = Working.EACH_CUT
    scale_step_g: int = 5
    least_portion_g: int = 10
    bag_tolerance: Fraction = Fraction(5, 100)
    week_allowance: Fraction = Fraction(1, 200)
    most_a_day: tuple[tuple[Subject, Fraction], ...] = USUAL_MOST_A_DAY
    divided: frozenset[str] = frozenset()
    tub_g: int = 5_000
    scale_g: int = 5_000
    freezes_g: int | None = None
    day: date | None = None

    def whole_piece_g(self, cut: Cut) -> int | None:
        """The weight of a piece of a cut that is fed in whole pieces; None for what is weighed.

        What has bone in it stays whole; a knife goes through everything else.
        """
        stays_whole = cut.part_share(Part.BONE) > 0 and cut.kind != GROUND and cut.name not in self.divided
        return cut.piece_g if stays_whole else None


@dataclass(frozen=True, slots=True)
class Filling:
    """Grams of one cut or mix in a bag, as `pieces` whole pieces, or weighed where `pieces` is 0."""

    cut: str
    grams: int
    pieces: int = 0


@dataclass(frozen=True, slots=True)
class Bag:
    """One container: its dog, day and meal (from 1), and what is in it.

    Bags of a dog with the same `kind` are filled alike, with two exceptions: `topped_up`, the cut or mix that goes in
    last, brings each bag to its own weight, and the last bag of a kind takes what is left of a cut. `topped_up` is
    empty where every amount is given, as for a dog in a veterinarian's care.
    """

    dog: str
    day: date
    meal: int
    kind: str
    fillings: tuple[Filling, ...]
    topped_up: str = ""

    @property
    def grams(self) -> int:
        """What the bag weighs."""
        return sum(filling.grams for filling in self.fillings)

    def grams_of(self, cut: str) -> int:
        """Grams of one cut or mix in it."""
        return sum(filling.grams for filling in self.fillings if filling.cut == cut)


@dataclass(frozen=True, slots=True)
class Tub:
    """One tub of a mix: its number from 1, and what goes in."""

    number: int
    contents: tuple[Filling, ...]

    @property
    def grams(self) -> int:
        """What the tub holds."""
        return sum(filling.grams for filling in self.contents)


@dataclass(frozen=True, slots=True)
class Mix:
    """All weighed cuts of dogs fed alike, mixed in tubs; `contents` is the whole mix, `tubs` what goes into each tub.

    No cut has the name of a mix.
    """

    name: str
    dogs: tuple[str, ...]
    contents: tuple[Filling, ...]
    tubs: tuple[Tub, ...]

    @property
    def grams(self) -> int:
        """What the whole mix weighs."""
        return sum(filling.grams for filling in self.contents)


@dataclass(frozen=True, slots=True)
class Station:
    """One cut or mix at the counter, and the bags it goes into in working order, as places in the plan's bags.

    `phase` counts from 1. Between phases everything is cleaned down, as some dogs must not eat what is handled in
    another phase.
    """

    phase: int
    cut: str
    bags: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class NextWeighing:
    """The next weighing: put in `target_g`; the plan said `planned_g`. `station` and `bag` are places in the plan.

    `pieces` are whole pieces to count and then weigh, 0 for what is weighed out. Where a bag is topped up,
    `bag_to_g` is what the whole bag should weigh afterwards. `is_last` says that the dog gets no more of this cut.
    """

    station: int
    bag: int
    dog: str
    cut: str
    planned_g: int
    target_g: int
    pieces: int = 0
    bag_to_g: int | None = None
    is_last: bool = False
