"""The tables of nutrients: what foods hold, what published profiles ask, and how much energy dogs need."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from types import MappingProxyType

from raworder.reading.reference import table_rows
from raworder.trade.nutrients import (
    NUTRIENTS,
    Bound,
    NeedRow,
    NutrientLimit,
    Per,
    Profile,
    RatioLimit,
    Trust,
    nutrient_of,
)

PER_IU: Mapping[str, Fraction] = MappingProxyType(
    {"vitamin_a": Fraction(3, 10), "vitamin_d": Fraction(25, 1000), "vitamin_e": Fraction(67, 100)}
)
"""How much of our unit an international unit is: ug of retinol, ug of vitamin D, mg of natural alpha-tocopherol.

Source: dietarysupplementdatabase.usda.nih.gov/conversions.html, ncc.umn.edu, dsid.od.nih.gov, as they stood when seen.
"""

PER_UNIT: Mapping[str, Fraction] = MappingProxyType(
    {"g": Fraction(1), "mg": Fraction(1, 1000), "ug": Fraction(1, 10**6), "kcal": Fraction(1)}
)
"""Grams in a unit of weight; energy stands for itself."""


@dataclass(frozen=True, slots=True)
class Known:
    """What the tables know of 100 g of the edible portion of a food, by nutrient key; sums and energy are not in it.

    `borrowed` are the keys whose values are from another table than the rest.
    """

    values: tuple[tuple[str, Fraction], ...]
    borrowed: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Foods:
    """The table of foods, its rows by NDB number, and what was borrowed for each from other tables.

    Rows are read as numbers only when they are asked for, as few of them ever are.
    """

    rows: Mapping[str, Mapping[str, str]]
    borrowed: Mapping[str, tuple[Mapping[str, str], ...]]

    def known(self, ndb_no: str) -> Known | None:
        """What is known of the food of that number; None where the table does not hold it."""
        row, more = self.rows.get(ndb_no), self.borrowed.get(ndb_no, ())
        if row is None:
            return None
        lent = {mapping["nutrient"]: Fraction(mapping["value"]) for mapping in more}
        source = "; ".join(dict.fromkeys((row["source"], *(mapping["source"] for mapping in more))))
        return Known(tuple({**dict(_values(row)), **lent}.items()), tuple(lent), source)


@cache
def read_foods() -> Foods:
    """The table of foods with what was borrowed from others."""
    borrowed: dict[str, tuple[Mapping[str, str], ...]] = {}
    for row in table_rows("nutrients_borrowed.csv"):
        borrowed[row["ndb_no"]] = (*borrowed.get(row["ndb_no"], ()), row)
    rows = {row["ndb_no"]: row for row in table_rows("nutrients.csv")}
    return Foods(MappingProxyType(rows), MappingProxyType(borrowed))


@cache
def read_profiles() -> tuple[Profile, ...]:
    """The published profiles, in the table's order."""
    bounds: dict[str, list[Bound]] = {}
    for row in table_rows("profiles.csv"):
        bounds.setdefault(row["profile"], []).append(_bound(row))
    return tuple(Profile(name, tuple(found)) for name, found in bounds.items())


@cache
def read_needs() -> tuple[NeedRow, ...]:
    """The published energy needs per kilogram to the power 0.75, in the table's order."""
    return tuple(
        NeedRow(
            key=row["key"],
            applies=row["applies_to"],
            low=Fraction(row["low"]),
            high=Fraction(row["high"]),
            trust=Trust(row["provenance"]),
            source=row["source"],
            activity=row["activity"],
            spread=Fraction(row["spread"] or 0),
        )
        for row in table_rows("energy.csv")
        if row["low"]
    )


def in_our_unit(amount: Fraction, unit: str, key: str) -> Fraction | None:
    """An amount of a nutrient in its own unit; None where the unit is not one of it."""
    ours = nutrient_of(key).unit
    if unit == "IU":
        return amount * PER_IU[key] if key in PER_IU else None
    if unit not in PER_UNIT or (unit == "kcal") != (ours == "kcal"):
        return None
    return amount * PER_UNIT[unit] / PER_UNIT[ours]


def _values(row: Mapping[str, str]) -> Iterator[tuple[str, Fraction]]:
    """The values of a row that are known."""
    for nutrient in NUTRIENTS:
        cell = row.get(f"{nutrient.key}_{nutrient.unit}", "")
        if cell:
            yield nutrient.key, Fraction(cell)


def _bound(row: Mapping[str, str]) -> Bound:
    """One row of a profile, its amount in our unit."""
    over, to, under = row["nutrient"].partition(" to ")
    is_upper, value = row["bound"] == "most", Fraction(row["value"])
    amount = value if to else in_our_unit(value, row["unit"].split()[0], over)
    low, high = (None, amount) if is_upper else (amount, None)
    written = row["value"] if to else f"{row['value']} {row['unit']}"
    limit = RatioLimit(over, under, low, high) if to else NutrientLimit(over, Per.MCAL, low, high)
    return Bound(limit, is_upper, written, Trust(row["provenance"]), row["source"], row["note"])
