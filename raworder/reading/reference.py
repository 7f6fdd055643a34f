"""The shipped tables with their sources: cuts, nutrients, profiles, cautions, keeping, toxic foods."""

import csv
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from importlib import resources
from pathlib import Path
from types import MappingProxyType

from raworder.reading.names import NameWords, fold_name, holds_spaced, name_words, phrase, space_words
from raworder.trade.cuts import Cut, Part, SpeciesShare, is_rich
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
from raworder.trade.scenario import Caution, CautionPlace, ColdTimes, Keeping, Scenario


class NotShippedError(Exception):
    """The installation lacks its data: a fault of ours, not of the user."""


def data_text(name: str) -> str:
    """The text of a file of reference data, such as `cuts.csv`."""
    return (shipped_folder("data") / name).read_text(encoding="utf-8")


def scenario_paths() -> tuple[Path, ...]:
    """The example scenarios, by name."""
    return tuple(sorted(shipped_folder("scenarios").glob("*.yaml")))


def shipped_folder(name: str) -> Path:
    """The folder `data`, `scenarios` or `help`: in the package, or beside it in a checkout of this project alone."""
    package = Path(str(resources.files("raworder")))
    inside, beside = package / name, package.parent / name
    if inside.is_dir():
        return inside
    if beside.is_dir() and _is_checkout(package.parent):
        return beside
    raise NotShippedError(f"the installation has no folder {name}")


def _is_checkout(folder: Path) -> bool:
    project = folder / "pyproject.toml"
    return project.is_file() and 'name = "raworder"' in project.read_text(encoding="utf-8").splitlines()


COOKED = (
    "cooked", "boiled", "roasted", "baked", "smoked", "grilled", "fried", "braised", "stewed", "steamed"
)  # fmt: skip
"""Words that tell of cooking; a `roast` is a raw cut too. Source: common practice, no source."""

COOKED_BONE = "cooked bone"
"""The row of the table of dangerous foods that bone is refused by when it has been cooked."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a figure comes from, and how far it can be trusted; without `trust` there is no figure."""

    source: str
    trust: Trust | None


@dataclass(frozen=True, slots=True)
class ReferenceCut:
    """A cut of the table, its other names, and where each of its figures comes from.

    `ndb_no` is the number of its own row in the table of foods, `borrowed_from` that of the nearest food where it has
    none; without either its row goes by its name, if there is one. `analysis_source` says where the analysis is from
    where it is not from the row of that number.
    """

    cut: Cut
    also_called: tuple[str, ...]
    parts: Origin
    fat: Origin
    piece: Origin
    bone_range_source: str
    ndb_no: str
    borrowed_from: str
    analysis_source: str


@dataclass(frozen=True, slots=True)
class ToxicFood:
    """A food that is dangerous to dogs, and the words by which it is known in a scenario.

    A name with a word of `unless` is not of it, such as vinegar where cider is meant.
    """

    food: str
    words: tuple[tuple[str, ...], ...]
    unless: tuple[tuple[str, ...], ...]
    hazard: str
    advice: str
    source: str


@cache
def read_cuts() -> tuple[ReferenceCut, ...]:
    """The cuts of the reference table, in its order."""
    return tuple(_reference_cut(row) for row in table_rows("cuts.csv"))


def cuts_by_name(scenario: Scenario) -> Mapping[str, Cut]:
    """The cuts of the reference table and of a scenario by name, as the book also knows cuts of other months."""
    return {cut.name: cut for cut in (*(known.cut for known in read_cuts()), *scenario.cuts)}


def look_up_cuts(word: str) -> tuple[ReferenceCut, ...]:
    """The cuts of that name; if there is none, those whose name, other names, species or kind hold the word."""
    wanted = fold_name(word)
    cuts = read_cuts()
    called = tuple(cut for cut in cuts if wanted in {fold_name(name) for name in (cut.cut.name, *cut.also_called)})
    return called or tuple(cut for cut in cuts if any(wanted in fold_name(name) for name in _words_about(cut)))


def _words_about(cut: ReferenceCut) -> Iterator[str]:
    """All words by which a cut can be looked up."""
    yield from (cut.cut.name, *cut.also_called, *cut.cut.species_names, cut.cut.kind)


@cache
def read_cautions() -> tuple[Caution, ...]:
    """The cautions of the reference table, in its order."""
    return tuple(
        Caution(
            row["key"],
            row["applies"],
            row["heading"],
            row["hazard"],
            row["do"],
            CautionPlace(row["where"]),
            row["source"],
        )
        for row in table_rows("cautions.csv")
    )


@dataclass(frozen=True, slots=True)
class CautionRule:
    """The cuts that a caution is about: of some species and kinds, with bone, or by words of their name.

    It is not about those whose names hold words of `unless`, such as milk where meat is meant.
    """

    key: str
    species: frozenset[str]
    kinds: tuple[tuple[str, ...], ...]
    names: tuple[tuple[str, ...], ...]
    unless: tuple[tuple[str, ...], ...]
    asks_bone: bool

    def concerns(self, cut: Cut, words: NameWords) -> bool:
        """Whether it is about a cut, given the words of its name, kind and species; all that it asks must hold."""
        if any(map(words.hold, self.unless)):
            return False
        if any(map(words.hold, self.names)):
            return True
        asks = [
            *([not self.species.isdisjoint(cut.species_names)] if self.species else []),
            *([any(map(words.hold, self.kinds)) or self._is_part(cut)] if self.kinds else []),
            *([cut.part_share(Part.BONE) > 0] if self.asks_bone else []),
        ]
        return bool(asks) and all(asks)

    def _is_part(self, cut: Cut) -> bool:
        """Whether a part of the cut is called as one of the kinds: the liver in a mixed product."""
        # offal counts as muscle, so that muscle says nothing of the kind
        return any((part.value,) in self.kinds for part, share in cut.parts if share and part is not Part.MUSCLE)


@cache
def read_caution_rules() -> tuple[CautionRule, ...]:
    """What each caution about cuts is about, in the table's order."""
    return tuple(
        CautionRule(
            key=row["key"],
            species=frozenset(_several(row["species"])),
            kinds=tuple(map(phrase, _several(row["kinds"]))),
            names=tuple(map(phrase, _several(row["names"]))),
            unless=tuple(map(phrase, _several(row["unless"]))),
            asks_bone=row["bone"] == "yes",
        )
        for row in table_rows("cautions.csv")
        if row["applies"] == "cut"
    )


def with_cautions(cut: Cut) -> Cut:
    """The cut with the cautions that follow from its species, kind, name and bone, and those of all mixed into it."""
    words = name_words(f"{cut.name} {cut.kind} {' '.join(cut.species_names)}")
    keys = {rule.key for rule in read_caution_rules() if rule.concerns(cut, words)}
    return replace(cut, cautions=tuple(sorted(keys.union(*(inner.cautions for inner in cut.ingredients)))))


@cache
def species_with_cautions() -> frozenset[str]:
    """The species that some caution names, whether or not a cut of the table is of them."""
    return frozenset().union(*(rule.species for rule in read_caution_rules()))


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
            freezer_months=_months(row),
        )
        for row in table_rows("keeping.csv")
    )


def _months(row: Mapping[str, str]) -> tuple[int, int] | None:
    """The least and the most months that a row publishes for a freezer; None where it publishes none."""
    least, most = row["freezer_least_months"], row["freezer_most_months"]
    return (int(least), int(most)) if least and most else None


@cache
def read_cold_times() -> ColdTimes:
    """How long food stays cold in a power cut, and when it may be refrozen."""
    rows = {row["key"]: row for row in table_rows("power_cut.csv")}
    sources = tuple(dict.fromkeys(row["source"] for row in rows.values()))
    figure = {key: int(row["figure"]) for key, row in rows.items()}
    return ColdTimes(
        full_freezer_h=figure["full_freezer"],
        half_full_freezer_h=figure["half_full_freezer"],
        refrigerator_h=figure["refrigerator"],
        refreeze_c=figure["refreeze_at_most"],
        refreeze_f=figure["refreeze_at_most_fahrenheit"],
        sources=sources,
    )


@cache
def read_toxic_foods() -> tuple[ToxicFood, ...]:
    """The foods that are refused in a scenario, in the table's order."""
    return tuple(
        ToxicFood(
            food=row["food"],
            words=tuple(map(phrase, _several(row["words"]))),
            unless=tuple(map(phrase, _several(row["unless"]))),
            hazard=row["hazard"],
            advice=row["advice"],
            source=row["source"],
        )
        for row in table_rows("toxic_foods.csv")
    )


def toxic_food(name: str, foods: Iterable[ToxicFood]) -> ToxicFood | None:
    """The food that the name holds the words of in any order, if any; bone in any way cooked is one of them."""
    said = space_words(name)
    meant = f"{said} {COOKED_BONE}" if says_cooked(said) and holds_spaced(said, "bone") else said
    words = name_words(meant)
    named = (food for food in foods if any(map(words.hold, food.words)) and not any(map(words.hold, food.unless)))
    return next(named, None)


def says_cooked(name: str) -> bool:
    """Whether the name mentions cooking."""
    said = space_words(name)
    return any(holds_spaced(said, word) for word in COOKED)


def table_rows(name: str) -> Iterator[Mapping[str, str]]:
    """The rows of a table of the reference data, by column."""
    return iter(csv.DictReader(data_text(name).splitlines(keepends=True), strict=True))


def _reference_cut(row: Mapping[str, str]) -> ReferenceCut:
    parts, fat, piece = (_origin(row, figure) for figure in ("parts", "fat", "piece"))
    fat_share = Fraction(row["fat_pct"]) / 100
    cut = Cut(
        name=row["cut"],
        species=(SpeciesShare(row["species"], Fraction(1)),),
        kind=row["kind"],
        parts=_parts(row["parts"]),
        fat_share=fat_share,
        rich=is_rich(row["kind"], fat_share),
        piece_g=int(row["piece_g"]) if row["piece_g"] else None,
        source="; ".join(dict.fromkeys(origin.source for origin in (parts, fat, piece) if origin.source)),
        bone_range=_bone_range(row),
    )
    return ReferenceCut(
        cut=with_cautions(cut),
        also_called=_several(row["also_called"]),
        parts=parts,
        fat=fat,
        piece=piece,
        bone_range_source=row["bone_range_source"],
        ndb_no=row["ndb_no"],
        borrowed_from=row["borrowed_from"],
        analysis_source=row["analysis_source"],
    )


def _origin(row: Mapping[str, str], figure: str) -> Origin:
    """Where one figure of a cut comes from."""
    trust = row[f"{figure}_provenance"]
    return Origin(row[f"{figure}_source"], Trust(trust) if trust else None)


def _bone_range(row: Mapping[str, str]) -> tuple[Fraction, Fraction] | None:
    """The least and the most bone of a cut; None where its figure stands."""
    if not row["bone_least_pct"]:
        return None
    return Fraction(row["bone_least_pct"]) / 100, Fraction(row["bone_most_pct"]) / 100


def _parts(cell: str) -> tuple[tuple[Part, Fraction], ...]:
    """Parts in the trade's order from `muscle 64; bone 36`."""
    shares = {Part(name): Fraction(percent) / 100 for name, percent in (name.rsplit(" ", 1) for name in _several(cell))}
    return tuple((part, shares[part]) for part in Part if shares.get(part))


def _several(cell: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in cell.split(";") if part.strip())


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
class KnownNutrients:
    """What the tables know of 100 g of a food, by nutrient key; sums and energy are not in it.

    That is 100 g of the edible portion, or of the whole where `bone_in`: it was measured with its bone. `borrowed` are
    the keys whose values are from another table than the rest, or from another food.
    """

    values: tuple[tuple[str, Fraction], ...]
    borrowed: tuple[str, ...]
    source: str
    bone_in: bool = False

    def share_told(self, bone_share: Fraction) -> Fraction:
        """The share of the weight as bought that the values speak of."""
        return Fraction(1) if self.bone_in else 1 - bone_share

    def without_bone(self) -> "KnownNutrients":
        """The same without what bone is made of."""
        return replace(self, values=tuple(pair for pair in self.values if pair[0] not in {"calcium", "phosphorus"}))


@dataclass(frozen=True, slots=True)
class Foods:
    """The table of foods, its rows by NDB number, and what was borrowed for each from other tables.

    A row of no NDB number goes by the name of the cut that was measured. Rows are read as numbers only when they are
    asked for, as few of them ever are.
    """

    rows: Mapping[str, Mapping[str, str]]
    borrowed: Mapping[str, tuple[Mapping[str, str], ...]]

    def known(self, ndb_no: str) -> KnownNutrients | None:
        """What is known of the food of that number; None where the table does not hold it."""
        row, more = self.rows.get(ndb_no), self.borrowed.get(ndb_no, ())
        if row is None:
            return None
        lent = {mapping["nutrient"]: Fraction(mapping["value"]) for mapping in more}
        source = "; ".join(dict.fromkeys((row["source"], *(mapping["source"] for mapping in more))))
        values = tuple({**dict(_values(row)), **lent}.items())
        return KnownNutrients(values, tuple(lent), source, bone_in=row["bone_in"] == "yes")

    def known_of(self, cut: ReferenceCut | None) -> KnownNutrients | None:
        """What is known of a cut of the table, all of it borrowed where its row is that of another food."""
        found = self.known(cut.ndb_no or cut.borrowed_from or cut.cut.name) if cut else None
        if found is None or cut is None or not cut.borrowed_from:
            return found
        return replace(found, borrowed=tuple(key for key, _ in found.values), source=cut.analysis_source)


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
    limit = RatioLimit(over, under, low, high) if to else NutrientLimit(over, Per.MCAL, low, high)
    return Bound(limit, is_upper, Trust(row["provenance"]), row["source"])
