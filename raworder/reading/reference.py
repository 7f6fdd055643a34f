"""The reference tables: cuts, cautions, keeping times and foods toxic to dogs, each with its sources."""

import csv
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from raworder.cuts import Cut, Part, SpeciesShare
from raworder.reading.names import folded, holds_spaced, spaced
from raworder.reading.shipped import data_text
from raworder.trade import Caution, Keeping

COOKED = (
    "cooked", "boiled", "roasted", "baked", "smoked", "grilled", "fried", "braised", "stewed", "steamed"
)  # fmt: skip
"""Words that tell of cooking; a `roast` is a raw cut too. Source: common practice, no source."""

COOKED_BONE = "cooked bone"
"""The row of the table of dangerous foods that bone is refused by when it has been cooked."""


@dataclass(frozen=True, slots=True)
class ReferenceCut:
    """A cut of the table, its other names, and the source of each of its figures."""

    cut: Cut
    also_called: tuple[str, ...]
    parts_source: str
    fat_source: str
    piece_source: str
    ndb_no: str


@dataclass(frozen=True, slots=True)
class ToxicFood:
    """A food that is dangerous to dogs, and the words by which it is known in a scenario."""

    food: str
    words: tuple[str, ...]
    hazard: str
    advice: str
    threshold: str
    source: str
    provenance: str


@cache
def read_cuts() -> tuple[ReferenceCut, ...]:
    """The cuts of the reference table, in its order."""
    return tuple(_reference_cut(row) for row in table_rows("cuts.csv"))


def cuts_with(word: str) -> tuple[ReferenceCut, ...]:
    """The cuts that are called so; if none is, those whose name, other names, species or kind hold the word."""
    wanted = folded(word)
    cuts = read_cuts()
    called = tuple(one for one in cuts if wanted in {folded(name) for name in (one.cut.name, *one.also_called)})
    return called or tuple(one for one in cuts if any(wanted in folded(name) for name in _told_of(one)))


def _told_of(one: ReferenceCut) -> Iterator[str]:
    """Everything a cut may be looked up by."""
    yield from (one.cut.name, *one.also_called, *one.cut.species_names, one.cut.kind)


@cache
def read_cautions() -> tuple[Caution, ...]:
    """The cautions of the reference table, in its order."""
    return tuple(
        Caution(row["key"], row["applies"], row["heading"], row["says"], row["source"])
        for row in table_rows("cautions.csv")
    )


@cache
def read_keeping() -> tuple[Keeping, ...]:
    """How long raw food keeps in a refrigerator; the first row that speaks of a cut counts, the last of all others."""
    return tuple(
        Keeping(
            what=row["what"],
            kinds=frozenset(_several(row["kinds"])),
            species=frozenset(_several(row["species"])),
            least_days=int(row["refrigerator_least_days"]),
            most_days=int(row["refrigerator_most_days"]),
            source=row["source"],
        )
        for row in table_rows("keeping.csv")
    )


@cache
def read_toxic_foods() -> tuple[ToxicFood, ...]:
    """The foods that are refused in a scenario, in the table's order."""
    return tuple(
        ToxicFood(
            food=row["food"],
            words=tuple(map(spaced, _several(row["words"]))),
            hazard=row["hazard"],
            advice=row["advice"],
            threshold=row["threshold"],
            source=row["source"],
            provenance=row["provenance"],
        )
        for row in table_rows("toxic_foods.csv")
    )


def toxic_food(name: str, foods: Iterable[ToxicFood]) -> ToxicFood | None:
    """The food that the name holds the words of, if any; bone in any way cooked is one of them."""
    said = spaced(name)
    meant = f"{said} {COOKED_BONE}" if says_cooked(said) and holds_spaced(said, "bone") else said
    return next((food for food in foods if any(holds_spaced(meant, words) for words in food.words)), None)


def says_cooked(name: str) -> bool:
    """Whether the name tells of cooking."""
    said = spaced(name)
    return any(holds_spaced(said, word) for word in COOKED)


def table_rows(name: str) -> Iterator[Mapping[str, str]]:
    """The rows of a table of the reference data, by column."""
    return iter(csv.DictReader(data_text(name).splitlines(keepends=True), strict=True))


def _reference_cut(row: Mapping[str, str]) -> ReferenceCut:
    sources = dict.fromkeys(row[name] for name in ("parts_source", "fat_source", "piece_source") if row[name])
    cut = Cut(
        name=row["cut"],
        species=(SpeciesShare(row["species"], Fraction(1)),),
        kind=row["kind"],
        parts=_parts(row["parts"]),
        fat_share=Fraction(row["fat_pct"]) / 100,
        rich=row["rich"] == "yes",
        piece_g=int(row["piece_g"]) if row["piece_g"] else None,
        cautions=_several(row["cautions"]),
        source="; ".join(sources),
    )
    return ReferenceCut(
        cut, _several(row["also_called"]), row["parts_source"], row["fat_source"], row["piece_source"], row["ndb_no"]
    )


def _parts(cell: str) -> tuple[tuple[Part, Fraction], ...]:
    """Parts in the trade's order from `muscle 64; bone 36`."""
    shares = {Part(name): Fraction(percent) / 100 for name, percent in (one.rsplit(" ", 1) for one in _several(cell))}
    return tuple((part, shares[part]) for part in Part if shares.get(part))


def _several(cell: str) -> tuple[str, ...]:
    return tuple(one.strip() for one in cell.split(";") if one.strip())
