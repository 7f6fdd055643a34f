"""Energy in words: what is fed a day beside what is published."""

from raworder.dogs import Dog
from raworder.nourishment import EnergyLine
from raworder.units import half_up, share_text

UNKNOWN = "known of none of its food"
"""What is said of energy where it is known of no food at all."""


def energy_text(line: EnergyLine, dog: Dog) -> str:
    """Energy fed beside the published range, resting energy and what was measured, for a veterinarian."""
    recalled = f" ({line.trust.says})" if line.trust.says else ""
    weight = "its ideal weight" if dog.ideal_weight_g else "this weight"
    return (
        f"{_fed(line, dog)}. Published for {line.applies}: "
        f"{range_text(line)} kcal{recalled}. At rest a dog of {weight} needs {half_up(line.resting)} kcal. Needs "
        f"measured in dogs of all kinds were {half_up(line.measured)} kcal on average, with a standard deviation of "
        f"{half_up(line.spread)}."
    )


def _fed(line: EnergyLine, dog: Dog) -> str:
    """What is fed a day, what of it are treats, of how much food it is known, and as a share of its weight."""
    if not line.coverage:
        return UNKNOWN
    known = "" if line.is_known else f", known of {share_text(line.coverage, 0)} of its food"
    of_weight = f", {dog.share_of_weight}" if dog.share_of_weight else ""
    treats = f", {half_up(line.treats)} of them in treats" if line.treats else ""
    return f"{'' if line.is_known else 'at least '}{half_up(line.day)} kcal a day are fed{treats}{known}{of_weight}"


def fed_text(line: EnergyLine) -> str:
    """Energy fed a day, as far as it is known: `energy known of 37 % of its food: at least 154 kcal a day`."""
    if not line.coverage:
        return f"energy {UNKNOWN}"
    kcal = f"{half_up(line.day)} kcal a day"
    return kcal if line.is_known else f"energy known of {share_text(line.coverage, 0)} of its food: at least {kcal}"


def range_text(line: EnergyLine) -> str:
    """The published range: `965 to 1117`."""
    low, high = half_up(line.low), half_up(line.high)
    return f"{low} to {high}" if low != high else str(low)
