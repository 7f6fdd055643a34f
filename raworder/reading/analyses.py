"""Analyses: what 100 g of a cut as bought holds, from the tables and from what the scenario gives."""

from collections.abc import Iterable, Mapping
from fractions import Fraction

from raworder.nutrients import (
    CALCIUM_TO_PHOSPHORUS_OF_BONE,
    KCAL_PER_G,
    NUTRIENTS,
    Analysis,
    Nutrient,
)
from raworder.reading.names import folded
from raworder.reading.nutrient_tables import Known

MG_IN_100_G = 100_000


def analysis(
    known: Known | None,
    bone_share: Fraction,
    fat_share: Fraction | None,
    given: Mapping[str, Fraction],
    bone_calcium: Fraction,
) -> Analysis:
    """What is known of 100 g as bought.

    The tables speak of the edible portion; with bone there is less of it, and an estimate of the bone's calcium and
    phosphorus. `fat_share`, if stated, is of the weight as bought. What is `given` is of 100 g as bought, bone in it,
    and wins over all else.
    """
    values = {key: amount * (1 - bone_share) for key, amount in known.values} if known else {}
    if fat_share is not None:
        values["fat"] = fat_share * 100
    bone_mg = bone_share * bone_calcium * MG_IN_100_G
    for key, added in (("calcium", bone_mg), ("phosphorus", bone_mg / CALCIUM_TO_PHOSPHORUS_OF_BONE)):
        if key in values:
            values[key] += added
    whole = with_sums({**values, **given}, given)
    estimated = bone_mg if "calcium" in values and "calcium" not in given else Fraction(0)
    borrowed = tuple(key for key in (known.borrowed if known else ()) if key not in given)
    sources = (known.source if known else "", "the scenario" if given or fat_share is not None else "")
    return Analysis(whole, estimated, borrowed, tuple(given), "; ".join(filter(None, sources)))


def supplement_analysis(given: Mapping[str, Fraction], of_units: Fraction, step_units: Fraction) -> Analysis:
    """What one step of a supplement holds, where so much is given of so many units."""
    values = {key: amount * step_units / of_units for key, amount in given.items()}
    return Analysis(with_sums(values, given), given=tuple(given), source="the scenario")


def nutrient_called(name: str) -> Nutrient | None:
    """The nutrient of that name, whatever its case."""
    return next((one for one in NUTRIENTS if folded(one.name) == folded(name)), None)


def with_sums(values: Mapping[str, Fraction], given: Iterable[str]) -> tuple[tuple[str, Fraction], ...]:
    """The values with energy and the sums whose members are all known, in the order of the nutrients.

    Bone gives no energy. Fibre is no part of the carbohydrate that gives energy; unknown, it is taken for none.
    """
    whole = dict(values)
    for one in NUTRIENTS:
        if one.made_of and one.key not in given and all(key in values for key in one.made_of):
            whole[one.key] = sum((values[key] for key in one.made_of), Fraction(0))
    if "energy" not in given and all(key in values for key in KCAL_PER_G):
        digested = dict(
            values, carbohydrate=max(values["carbohydrate"] - values.get("fibre", Fraction(0)), Fraction(0))
        )
        whole["energy"] = sum((digested[key] * kcal for key, kcal in KCAL_PER_G.items()), Fraction(0))
    return tuple((one.key, whole[one.key]) for one in NUTRIENTS if one.key in whole)
