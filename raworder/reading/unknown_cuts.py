"""What to do about a cut that nobody knows: which name was probably meant, or how to find one."""

import re
from collections.abc import Iterable

from raworder.reading.catalogue import Catalogue
from raworder.reading.names import did_you_mean, folded, singulars
from raworder.reading.words import species_named, words_of

VARIANT = re.compile(r"(?P<plain>.+) \((?P<stated>[^()]+)\)")
"""A cut's name with what an offer states of it, as it stands on the papers: `chicken neck (bone 28 %)`."""


def help_for_unknown_cut(name: str, catalogue: Catalogue, otherwise: str, more: Iterable[str] = ()) -> str:
    """One remedy: the singular, a cut of that species or kind, what the papers call so, the nearest name, or else."""
    for word in (folded(name), *singulars(folded(name))):
        if word in catalogue.by_name:
            return f"did you mean `{word}`?"
        if example := _example(word, catalogue):
            return f"name the cut, such as `{example}`; `raworder cuts {_looked_up(word, catalogue)}` lists them"
    return _written_out(name, catalogue) or did_you_mean(name, {*catalogue.by_name, *more}, otherwise)


def _example(word: str, catalogue: Catalogue) -> str:
    """A cut of the species or kind of that name, plain meat rather than offal; nothing where it names neither."""
    words, species = words_of(catalogue), species_named(word)
    if species not in words.species | words.kinds:
        return ""
    cuts = [cut for cut in catalogue.cuts if species in cut.species_names or cut.kind == species]
    called = [cut.name for cut in cuts if cut.name.startswith(f"{word} ")] or [cut.name for cut in cuts]
    return min(called, key=lambda name: (not name.endswith(" trim"), not name.endswith(" mince"), name))


def _looked_up(word: str, catalogue: Catalogue) -> str:
    """The word as the command line finds cuts by it, in quotes where it is two."""
    found = any(name.startswith(f"{word} ") for name in catalogue.by_name)
    called = word if found else species_named(word)
    return f'"{called}"' if " " in called else called


def _written_out(name: str, catalogue: Catalogue) -> str:
    """How to write what the papers call `chicken neck (bone 28 %, rich)`; nothing where it is no such name."""
    match = VARIANT.fullmatch(folded(name))
    if match is None or match["plain"] not in catalogue.by_name:
        return ""
    fields = [_field(one.strip()) for one in match["stated"].split(",")]
    return f"write `{{cut: {match['plain']}, {', '.join(fields)}}}`"


def _field(stated: str) -> str:
    """A field from what a name states: `bone: 28 %` from `bone 28 %`, `rich: no` from `not rich`."""
    if stated.endswith("rich"):
        return "rich: no" if stated.startswith("not") else "rich: yes"
    return stated.replace(" ", ": ", 1)
