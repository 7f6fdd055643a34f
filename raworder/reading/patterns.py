"""The patterns of the trade and the caps that hold unless the scenario says otherwise.

Source of every figure here: common practice, no source. The point values are muscle 80, bone 10, liver 5, other organ 5
for the prey model, and muscle 70, bone 10, vegetables up to 7, berries up to 3, liver 5, other organ 5 for BARF; ranges
lie around them.
"""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from types import MappingProxyType

from raworder.trade.cuts import Cut, Measure, Part, Subject
from raworder.trade.dogs import Cap, Target


def _percent(**ranges: tuple[int, int]) -> Mapping[Part, tuple[Fraction, Fraction]]:
    named = {Part[name.upper()]: (Fraction(low, 100), Fraction(high, 100)) for name, (low, high) in ranges.items()}
    return MappingProxyType(named)


PATTERNS: Mapping[str, Mapping[Part, tuple[Fraction, Fraction]]] = MappingProxyType(
    {
        "prey model": _percent(muscle=(76, 84), bone=(8, 12), liver=(4, 6), other_organ=(4, 6)),
        "BARF": _percent(
            muscle=(66, 74), bone=(8, 12), liver=(4, 6), other_organ=(4, 6), vegetables=(6, 7), berries=(2, 3)
        ),
    }
)
"""Ranges by pattern; parts not named are kept out.

BARF's plant part is 8 to 10 % together, vegetables up to 7 and berries up to 3. A target is about one part, so the two
are given ranges whose sums cannot leave 8 to 10 %. Source: common practice, no source.
"""

FREE: Mapping[Part, tuple[Fraction, Fraction]] = MappingProxyType({Part.MUSCLE: (Fraction(0), Fraction(1))})
"""What own targets start from: muscle free, every other part kept out unless it is named."""


PRACTICE, OWN_CHOICE = "common practice, no source", "our own choice"


def _cap(measure: Measure, word: str, percent: int, source: str = PRACTICE) -> Cap:
    return Cap(Subject(measure, word), Fraction(percent, 100), source)


ALWAYS_CAPPED = (_cap(Measure.FAT, "", 15), _cap(Measure.KIND, "heart", 10))
"""The caps of every dog. Source: common practice, no source."""

CAPPED_WHERE_OFFERED = (
    _cap(Measure.KIND, "lung", 10),
    _cap(Measure.KIND, "tripe", 25),
    _cap(Measure.KIND, "egg", 10),
    _cap(Measure.THIAMINASE, "", 10),
    _cap(Measure.KIND, "gizzard", 15, OWN_CHOICE),
    _cap(Measure.KIND, "tongue", 15, OWN_CHOICE),
)
"""The caps of every dog where there is any of it; they are lean and cheap, or one-sided in quantity.

Source: as each says.
"""


def default_caps(cuts: Iterable[Cut]) -> tuple[Cap, ...]:
    """The caps that hold unless the scenario says otherwise, where these cuts are sold or on hand."""
    there = tuple(cuts)
    return (*ALWAYS_CAPPED, *(cap for cap in CAPPED_WHERE_OFFERED if any(cap.subject.share_in(cut) for cut in there)))


LEAST_SPECIES_SHARE = Fraction(5, 100)
"""The share from which a species counts, where variety is asked for without one. Source: common practice, no source."""


def targets(start: Mapping[Part, tuple[Fraction, Fraction]]) -> tuple[Target, ...]:
    """A target for every part, in the trade's order."""
    return tuple(Target(part, *start.get(part, (Fraction(0), Fraction(0)))) for part in Part)
