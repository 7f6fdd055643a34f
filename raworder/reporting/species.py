"""The animal species that a dog eats, and what was asked of them."""

from collections.abc import Iterator
from fractions import Fraction

from raworder.cuts import PLANT, Cut, Measure, Subject
from raworder.document import Column, Holds, Table
from raworder.reporting.books import Meal
from raworder.reporting.room import short_share
from raworder.reporting.words import listed
from raworder.trade import Variety


def species(meal: Meal, variety: Variety) -> Table:
    """The animal species of one dog, and what was asked of them."""
    names = dict.fromkeys(name for cut, _ in meal.cuts for name in cut.species_names if name != PLANT)
    rows = tuple((name, _surely(meal, name), _at_most(meal, name), meal.dog.name) for name in names)
    asked = asked_of_species(variety)
    note = f"Asked: {asked}." if asked else ""
    doubtful = any(row[1] != row[2] for row in rows)
    return Table("species", "species", _species_columns(doubtful=doubtful), rows, note=note)


def _species_columns(*, doubtful: bool) -> tuple[Column, ...]:
    """One share for people, or two where a mixed product does not say how much of a species is in it."""
    return (
        Column("species", "Species"),
        Column("surely_share", "Surely" if doubtful else "Given", Holds.SHARE),
        Column("possibly_share", "Possibly", Holds.SHARE, shown=doubtful),
        Column("dog", "Dog", shown=False),
    )


def _surely(meal: Meal, name: str) -> Fraction:
    """The share of a species where a mixed product of unknown shares counts nothing."""
    return meal.share(tuple(sum(_known_shares(cut, name), Fraction(0)) for cut, _ in meal.cuts))


def _known_shares(cut: Cut, name: str) -> Iterator[Fraction]:
    """What is known to be of a species in a cut."""
    return (one.share for one in cut.species if one.species == name and one.share is not None)


def _at_most(meal: Meal, name: str) -> Fraction:
    """The share of a species where a mixed product of unknown shares counts whole."""
    return meal.share_of(Subject(Measure.SPECIES, name))


def asked_of_species(variety: Variety) -> str:
    """What is asked of the species, in words; nothing where nothing is."""
    asks = []
    if variety.least_species:
        least = f" of at least {short_share(variety.least_share)} each" if variety.least_share else ""
        asks.append(f"at least {variety.least_species} species{least}")
    if variety.most_share < 1:
        asks.append(f"none above {short_share(variety.most_share)}")
    return listed(asks)
