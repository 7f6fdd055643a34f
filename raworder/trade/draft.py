"""Drafts: a new scenario as a person typed it; each text has already been read as the field it is for."""

from dataclasses import dataclass

from raworder.trade.supplier_list import SupplierNames

MOST_NAMED, LONGEST_NAMED = 3, 80
"""The dogs and characters up to which a title names every dog; longer lists are counted instead."""


@dataclass(frozen=True, slots=True)
class DogDraft:
    """A dog as it was typed; a dog in `care` has a name, a weight and what it must not eat alone.

    `other_food` is `350 kcal`, `half` or `90 g at 380 kcal`, what 100 g hold. `ration_from` says where a ration comes
    from that was proposed.
    """

    name: str
    weight: str
    ration: str = ""
    pattern: str = ""
    avoid: tuple[str, ...] = ()
    care: str = ""
    activity: str = ""
    goal: str = ""
    ideal_weight: str = ""
    puppy: bool = False
    adult_weight: str = ""
    other_food: str = ""
    ration_from: str = ""


@dataclass(frozen=True, slots=True)
class OfferDraft:
    """An offer as it was typed: its cut, empty where that is still to be named, and its other fields by name."""

    cut: str
    fields: tuple[tuple[str, str], ...] = ()
    line: int = 0
    """Its line in the price list that it comes from."""


@dataclass(frozen=True, slots=True)
class UnreadRow:
    """A row of a price list that is no offer; `refused` where it could be read, but no scenario may hold it."""

    line: int
    row: str
    why: str
    refused: bool = False


@dataclass(frozen=True, slots=True)
class SupplierDraft:
    """A supplier as it was typed, with its offers or its price list, one of its own with the names file `list_names`.

    Where offers were drafted from a list of its own, `list_file` and `names_file` are where these lie, and `names` is
    what the names file is to hold.
    """

    name: str
    offers: tuple[OfferDraft, ...] = ()
    unread: tuple[UnreadRow, ...] = ()
    price_list: str = ""
    list_names: str = ""
    list_file: str = ""
    names_file: str = ""
    names: SupplierNames | None = None


@dataclass(frozen=True, slots=True)
class OwnCutDraft:
    """A cut that is not in the reference table, with its parts by name; `energy` is what 100 g hold, in kcal."""

    cut: str
    species: tuple[str, ...]
    parts: tuple[tuple[str, str], ...]
    kind: str = ""
    fat: str = ""
    energy: str = ""


@dataclass(frozen=True, slots=True)
class Draft:
    """A scenario as it was typed; each text has already been read as the field it is for."""

    currency: str
    starts: str
    days: str = "14"
    units: str = "kg"
    dogs: tuple[DogDraft, ...] = ()
    suppliers: tuple[SupplierDraft, ...] = ()
    own_cuts: tuple[OwnCutDraft, ...] = ()
    title: str = ""

    @property
    def named(self) -> str:
        """The title that was typed, or one made of the dogs' names, so that two people's batch numbers differ.

        >>> Draft("EUR", "2027-02-06", dogs=(DogDraft("Maple", "22 kg"), DogDraft("Juniper", "9 kg"))).named
        'Food for Maple and Juniper'
        """
        *most, last = [dog.name for dog in self.dogs] or [""]
        dogs = f"{', '.join(most)} and {last}" if most else last
        if len(self.dogs) > MOST_NAMED or len(dogs) > LONGEST_NAMED:
            dogs = f"{len(self.dogs)} dog{'s' if most else ''}"
        return self.title or (f"Food for {dogs}" if dogs else "")
