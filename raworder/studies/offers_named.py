"""Offers by a word of the trade: everything of a supplier, a cut, a species or a kind, or the one line of that code."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from raworder.cuts import Cut
from raworder.reading.names import folded, nearest, singulars
from raworder.trade import Offer, Scenario, SupplementOffer

EVERYTHING = "everything"
AT = " at "

Names = Callable[[Offer, Cut], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Meant:
    """The offers that are meant, and whether mixed products were left out; where none is, what is wrong."""

    offers: tuple[Offer, ...]
    mixed: bool = False
    wrong: str = ""
    help: str = ""


def offers_named(words: str, scenario: Scenario) -> Meant:
    """The offers that the words mean: the supplier's of that name, else of that cut, species, kind or code.

    `beef trim at Hollow Lane Butcher` narrows them down to one supplier. A species is that of cuts of nothing else.
    """
    what, at, supplier = words.rpartition(AT)
    if at and folded(supplier) in {folded(one.name) for one in scenario.suppliers}:
        meant = _named(what, scenario)
        here = tuple(one for one in meant.offers if folded(one.supplier) == folded(supplier))
        if here or not meant.offers:
            return Meant(here, meant.mixed, meant.wrong, meant.help)
        sellers = ", ".join(sorted({f"`{one.supplier}`" for one in meant.offers}))
        return Meant((), wrong=f"`{supplier}` sells no `{what}`", help=f"it is sold by {sellers}")
    return _named(words, scenario)


def supplements_named(words: str, scenario: Scenario) -> tuple[SupplementOffer, ...]:
    """The offers of supplements that the words mean: the supplier's of that name, else of that supplement or line.

    `sea oil at Hollow Lane Butcher` narrows them down to one supplier.
    """
    what, at, supplier = words.rpartition(AT)
    if at and folded(supplier) in {folded(one.name) for one in scenario.suppliers}:
        return tuple(one for one in supplements_named(what, scenario) if folded(one.supplier) == folded(supplier))
    if folded(words) == EVERYTHING:
        return scenario.supplement_offers
    by_name = [(one, (one.supplier, one.supplement, one.item, one.key)) for one in scenario.supplement_offers]
    return tuple(one for one, names in by_name if folded(words) in map(folded, names))


def _named(word: str, scenario: Scenario) -> Meant:
    """The offers by the first kind of name that the word, or its singular, is."""
    cuts = {cut.name: cut for cut in scenario.cuts}
    if folded(word) == EVERYTHING:
        return Meant(scenario.offers)
    for name in (folded(word), *singulars(folded(word))):
        for names in KINDS_OF_NAMES:
            offers = tuple(one for one in scenario.offers if name in map(folded, names(one, cuts[one.cut])))
            if offers:
                return Meant(offers, mixed=names is _species and _is_in_mixed(name, scenario, cuts))
    known = _known(scenario, cuts)
    close = nearest(word, known)
    help_ = f"did you mean `{known[close]}`?" if close else "name a supplier, cut, species or kind on your lists"
    return Meant((), wrong=f"nothing on the lists is called `{word}`", help=help_)


def _is_in_mixed(species: str, scenario: Scenario, cuts: Mapping[str, Cut]) -> bool:
    """Whether a mixed product that is sold holds the species too."""
    sold = (cuts[one.cut] for one in scenario.offers)
    return any(len(cut.species) > 1 and species in map(folded, cut.species_names) for cut in sold)


def _known(scenario: Scenario, cuts: Mapping[str, Cut]) -> dict[str, str]:
    """Every name that means something, by its folded form."""
    return {folded(name): name for one in scenario.offers for name in _all_names(one, cuts[one.cut])}


def _all_names(offer: Offer, cut: Cut) -> Iterator[str]:
    for names in KINDS_OF_NAMES:
        yield from (name for name in names(offer, cut) if name)


def _supplier(offer: Offer, _: Cut) -> tuple[str, ...]:
    return (offer.supplier,)


def _cut(offer: Offer, _: Cut) -> tuple[str, ...]:
    """The cut's name, with and without what the list states of it."""
    return (offer.cut, offer.cut.partition(" (")[0])


def _species(_: Offer, cut: Cut) -> tuple[str, ...]:
    """The species of a cut of one species."""
    return cut.species_names if len(cut.species) == 1 else ()


def _kind(_: Offer, cut: Cut) -> tuple[str, ...]:
    return (cut.kind,)


def _line(offer: Offer, _: Cut) -> tuple[str, ...]:
    """What names one line: the supplier's code and own name for it, and our key."""
    return (offer.code, offer.item, offer.key)


KINDS_OF_NAMES: tuple[Names, ...] = (_supplier, _cut, _species, _kind, _line)
"""What a word can be, the first that it is wins."""
