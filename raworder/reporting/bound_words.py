"""Bounds on nutrients and ratios in words, and where food stands beside them."""

from collections.abc import Iterable

from raworder.nourishment import Beside, Standing
from raworder.nutrients import Bound, NutrientLimit, nutrient_of
from raworder.units import amount_text

SPANS = "could be either"
"""What stands where the estimate for bone lies on both sides of a bound."""

DESTROYED = "not known, enzyme"
"""What stands where an enzyme in the food destroys the nutrient."""


def stands_text(beside: Iterable[Beside], *, spans: bool, destroyed: bool) -> str:
    """Where it stands beside its bounds, in a word; what is missed comes before what is not known."""
    found = {one.standing for one in beside}
    for standing in (Standing.BELOW, Standing.ABOVE, Standing.UNKNOWN, Standing.MEETS):
        if standing in found:
            unknown = DESTROYED if destroyed else SPANS if spans else standing.value
            return unknown if standing is Standing.UNKNOWN else standing.value
    return ""


def bound_text(bound: Bound) -> str:
    """A bound in words: `zinc at least 20 mg per 1000 kcal`, `calcium to phosphorus at most 2`."""
    word, limit = ("at most" if bound.is_upper else "at least"), bound.limit
    unit = f" {nutrient_of(limit.nutrient).unit} {limit.per}" if isinstance(limit, NutrientLimit) else ""
    return f"{about_text(bound)} {word} {amount_text(bound.amount)}{unit}"


def about_text(bound: Bound) -> str:
    """What a bound is about: `zinc`, `calcium to phosphorus`."""
    limit = bound.limit
    if isinstance(limit, NutrientLimit):
        return nutrient_of(limit.nutrient).name
    return f"{nutrient_of(limit.over).name} to {nutrient_of(limit.under).name}"
