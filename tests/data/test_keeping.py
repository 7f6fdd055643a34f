"""How long raw food keeps in a refrigerator: the table's figures against published ones, and its rows against the cuts.

**Source:** FDA Refrigerator & Freezer Storage Chart, March 2018, at 40 F (4 C) and 0 F (-18 C); for fish the
FightBAC/FSIS sheet of August 2006; for a power cut USDA FSIS; all read in second-hand copies. They are for human
kitchens. Rows without a source of their own are common practice, and none of them may keep longer than the published
row that it is taken after.
"""

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from raworder.reading.reference import read_cold_times, read_keeping
from raworder.trade.scenario import Keeping
from tests.builders import a_cut, a_scenario

DATA = Path(__file__).resolve().parents[2] / "data"

PUBLISHED = {
    "ground meat": (1, 2),
    "stew meat": (1, 2),
    "variety meats": (1, 2),
    "giblets": (1, 2),
    "raw yolks and whites": (2, 4),
    "chicken or turkey, whole and parts": (1, 2),
    "fresh fish": (1, 2),
    "steaks, chops and roasts": (3, 5),
}
"""Days by the name of the published row, as read there; steaks, chops and roasts all have the same."""

SEEN = {
    "minced and stewing meat": "ground meat",
    "heart, liver, kidney and tongue": "variety meats",
    "gizzard": "giblets",
    "egg out of its shell": "raw yolks and whites",
    "chicken and turkey": "chicken or turkey, whole and parts",
    "fish": "fresh fish",
    "cuts of beef, lamb and pork": "steaks, chops and roasts",
}
"""Rows of the table, each with the published row it holds."""

TAKEN = {
    "trim": "stew meat",
    "own cuts that do not say their kind": "ground meat",
    "other organs and offal": "variety meats",
    "other birds": "chicken or turkey, whole and parts",
    "rabbit": "chicken or turkey, whole and parts",
    "shellfish and squid": "fresh fish",
    "cuts of other red meat": "steaks, chops and roasts",
}
"""Rows that no source speaks of, each with the published row it is taken after: common practice, no source."""

OWN = {"vegetables and berries": (3, 5), "anything else": (1, 2)}
"""Rows of our own: common practice, no source."""

MONTHS = {
    "ground meat": (3, 4),
    "stew meat": (3, 4),
    "variety meats": (3, 4),
    "giblets": (3, 4),
    "raw yolks and whites": (12, 12),
    "chicken or turkey, whole and parts": (9, 9),
    "fresh fish": (3, 6),
    "steaks, chops and roasts": (4, 6),
}
"""Months in a freezer by the name of the published row: of chicken and turkey those of parts, as a whole one keeps 12;
of steaks (6 to 12), chops (4 to 6) and roasts (4 to 12) those of chops, which keep shortest."""

PUBLISHERS = ("FDA Refrigerator & Freezer Storage Chart, March 2018, ", "FightBAC/FSIS sheet, August 2006, ")


def table(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


ROWS = {row["what"]: row for row in table("keeping.csv")}


def days(row: dict[str, str]) -> tuple[int, int]:
    return int(row["refrigerator_least_days"]), int(row["refrigerator_most_days"])


def months(row: dict[str, str]) -> tuple[int, int] | None:
    least, most = row["freezer_least_months"], row["freezer_most_months"]
    return (int(least), int(most)) if least or most else None


def listed(cell: str) -> list[str]:
    return cell.split("; ") if cell else []


def keeping_of(kind: str, species: str) -> Keeping:
    """What the program takes for a cut of that kind and species."""
    found = replace(a_scenario(), keeping=read_keeping()).keeping_of(a_cut("a cut", species=species, kind=kind))
    assert found is not None
    return found


def test_every_row_is_checked_here() -> None:
    assert set(ROWS) == {*SEEN, *TAKEN, *OWN}
    assert len(ROWS) == len(table("keeping.csv"))


@pytest.mark.parametrize(("what", "published"), SEEN.items())
def test_a_row_that_was_seen_is_as_published(what: str, published: str) -> None:
    assert days(ROWS[what]) == PUBLISHED[published]
    assert ROWS[what]["provenance"] == "seen"
    assert ROWS[what]["source"].startswith(PUBLISHERS)
    assert published in ROWS[what]["source"]
    assert ROWS[what]["source"].endswith("(read in a second-hand copy)")


@pytest.mark.parametrize(("what", "published"), TAKEN.items())
def test_a_row_taken_after_another_keeps_as_long_and_says_so(what: str, published: str) -> None:
    assert days(ROWS[what]) == PUBLISHED[published]


@pytest.mark.parametrize("what", ROWS)
def test_months_in_a_freezer_are_as_published_and_none_stand_where_none_are(what: str) -> None:
    published = {**SEEN, **TAKEN}.get(what)
    assert months(ROWS[what]) == (MONTHS[published] if published else None)


@pytest.mark.parametrize("what", [*TAKEN, *OWN])
def test_a_row_without_a_source_says_so(what: str) -> None:
    assert ROWS[what]["provenance"] == "memory"
    assert ROWS[what]["source"].endswith("common practice, no source")


@pytest.mark.parametrize(("what", "usual"), OWN.items())
def test_a_row_of_our_own_is_as_meant(what: str, usual: tuple[int, int]) -> None:
    assert days(ROWS[what]) == usual


def test_the_last_row_alone_speaks_of_everything_else_and_is_the_most_careful() -> None:
    rows = table("keeping.csv")
    assert [row["what"] for row in rows if not row["kinds"] and not row["species"]] == [rows[-1]["what"]]
    assert days(rows[-1]) == min(map(days, rows))


def test_no_kind_and_no_species_stands_in_two_rows() -> None:
    for column in ("kinds", "species"):
        words = [word for row in table("keeping.csv") for word in listed(row[column])]
        assert len(words) == len(set(words))
        assert all(listed(row[column]) == sorted(listed(row[column])) for row in ROWS.values())


def test_every_cut_of_the_table_finds_a_row_of_its_own() -> None:
    found = {row["cut"]: keeping_of(row["kind"], row["species"]).what for row in table("cuts.csv")}
    assert [cut for cut, what in found.items() if what == "anything else"] == []
    of_own_cuts = {"anything else", "own cuts that do not say their kind", "cuts of other red meat"}
    assert set(found.values()) == set(ROWS) - of_own_cuts


@pytest.mark.parametrize(
    ("kind", "species", "usual"),
    [
        ("mince", "beef", (1, 2)),
        ("mince", "turkey", (1, 2)),
        ("stewing meat", "lamb", (1, 2)),
        ("trim", "venison", (1, 2)),
        ("liver", "beef", (1, 2)),
        ("spleen", "lamb", (1, 2)),
        ("neck", "chicken", (1, 2)),
        ("neck", "lamb", (3, 5)),
        ("breast", "duck", (1, 2)),
        ("breast", "beef", (3, 5)),
        ("egg", "chicken", (2, 4)),
        ("whole fish", "perch", (1, 2)),
        ("fish fillet", "salmon", (1, 2)),
        ("muscle", "rabbit", (1, 2)),
        ("muscle", "venison", (3, 5)),
        ("leafy vegetable", "plant", (3, 5)),
        ("own", "beef", (1, 2)),
        ("rib", "kangaroo", (1, 2)),
    ],
)
def test_what_a_cut_is_decides_before_whom_it_is_from(kind: str, species: str, usual: tuple[int, int]) -> None:
    found = keeping_of(kind, species)
    assert (found.least_days, found.most_days) == usual


def test_the_hours_and_degrees_of_a_power_cut_are_as_published() -> None:
    # Source: USDA FSIS as quoted on 28 August 2012: 48 h full, 24 h half full, 4 h refrigerator, 40 F; 40 F is 4.4 C
    cold = read_cold_times()
    assert (cold.full_freezer_h, cold.half_full_freezer_h, cold.refrigerator_h) == (48, 24, 4)
    assert (cold.refreeze_c, cold.refreeze_f) == (4, 40)
    assert all(source.startswith("USDA FSIS") for source in cold.sources)
    assert [row["provenance"] for row in table("power_cut.csv")] == ["seen"] * 5
