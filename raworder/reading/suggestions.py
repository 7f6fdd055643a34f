"""What a name on a supplier's list says of species and part, and the cuts of ours that may be suggested for it.

Suggestions only: which cut a name is, a person says. A name with a word for an organ is only suggested cuts of that
organ, and one that names two parts or two species is a mix and is suggested nothing.
"""

import csv
import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import combinations
from types import MappingProxyType

from raworder.reading.catalogue import Catalogue
from raworder.reading.names import closest, fold_words, singulars
from raworder.reading.reference import data_text
from raworder.trade.cuts import Cut, Part

MOST_SUGGESTED = 3

ORGAN, PART = 9, 6
"""From these weights on a word for a kind binds: those for organs, and those for other parts."""

NAMED = 4
"""From this weight on a word of a cut's name tells it from others; words of less weight say how it was cut."""

COMPOUNDING = MappingProxyType({"English": 4, "German": 3, "Dutch": 3})
"""The languages that write words in one, each with the letters that a part of such a word has at least."""

LINKS = ("ens", "en", "er", "es", "e", "n", "s")
"""What may stand between the parts of a German or Dutch word, and after the last. Source: from memory, not looked up.
"""


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a word says: `species`, `kind`, a word of the cut's `name`, `not for dogs`, or `nothing`."""

    word: str
    says: str
    means: tuple[str, ...]
    weight: int


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The meanings of phrases by their folded words, and of the parts of words written in one."""

    phrases: Mapping[tuple[str, ...], tuple[Meaning, ...]]
    parts: Mapping[str, tuple[Meaning, ...]]
    longest: int


@cache
def read_cut_words() -> Vocabulary:
    """The shipped table of words."""
    phrases: dict[tuple[str, ...], tuple[Meaning, ...]] = {}
    parts: dict[str, tuple[Meaning, ...]] = {}
    for row in csv.DictReader(data_text("cut_words.csv").splitlines(), strict=True):
        for word in row["words"].split("; "):
            meaning = Meaning(word, row["says"], tuple(filter(None, row["means"].split("; "))), int(row["weight"]))
            least = COMPOUNDING.get(row["language"], 99)
            for key in _spellings(word):
                if not word.startswith("-"):
                    phrases[key] = (*phrases.get(key, ()), meaning)
                if len(key) == 1 and len(key[0]) >= least:
                    parts[key[0]] = (*parts.get(key[0], ()), meaning)
    return Vocabulary(MappingProxyType(phrases), MappingProxyType(parts), max(map(len, phrases)))


def _spellings(word: str) -> set[tuple[str, ...]]:
    """The folded words, with umlauts written out or their dots left away."""
    bare = "".join(sign for sign in unicodedata.normalize("NFD", word) if not unicodedata.combining(sign))
    return {fold_words(word), fold_words(bare)}


@dataclass(frozen=True)  # no slots: what all cuts are held against is worked out once
class NameMeaning:
    """What a name says of the food; `barred` are organs that stand somewhere in a word.

    `strange` are the words that say nothing known.
    """

    words: tuple[str, ...]
    meanings: tuple[Meaning, ...]
    barred: tuple[Meaning, ...] = ()
    strange: tuple[str, ...] = ()

    @property
    def not_for_dogs(self) -> str:
        """The first word that marks what is not bought for dogs; empty where there is none."""
        return next((meaning.word for meaning in self.meanings if meaning.says == "not for dogs"), "")

    @cached_property
    def species(self) -> frozenset[str]:
        """The species that all words for one agree on; a mere hint counts where no word names one."""
        named = [meaning for meaning in self.meanings if meaning.says == "species"]
        strong = [meaning for meaning in named if meaning.weight > 1]
        return _agreed(strong or named)

    @cached_property
    def names_species(self) -> bool:
        """Whether any word names or hints at a species."""
        return any(meaning.says == "species" for meaning in self.meanings)

    @cached_property
    def kind_weight(self) -> int:
        """The weight of the words for a kind that count; 0 where there is none."""
        return max((meaning.weight for meaning in self.meanings if meaning.says == "kind"), default=0)

    @cached_property
    def kinds(self) -> frozenset[str]:
        """The kinds that the name can be of; none where it names two parts."""
        binding = [meaning for meaning in self.meanings if meaning.says == "kind" and meaning.weight >= PART]
        if binding:
            return _agreed((*binding, *self.barred))
        named = [m for m in self.meanings if m.says == "kind" and m.weight == self.kind_weight]
        return frozenset() if self.barred else frozenset(kind for meaning in named for kind in meaning.means)

    @cached_property
    def cut_words(self) -> Mapping[str, int]:
        """The words of a cut's name that it says, with their weights."""
        said = ((word, m.weight) for m in self.meanings if m.says == "name" for word in fold_words(m.means[0]))
        return {**dict.fromkeys(self.words, 1), **dict(said)}

    @cached_property
    def tells_name(self) -> bool:
        """Whether it holds a word that tells one cut from others of its species and kind."""
        return any(meaning.says == "name" and meaning.weight >= NAMED for meaning in self.meanings)


def _agreed(meanings: Sequence[Meaning]) -> frozenset[str]:
    """What all of them can mean."""
    sets = [frozenset(meaning.means) for meaning in meanings]
    return frozenset.intersection(*sets) if sets else frozenset()


_FAT_WORD = r"(?:fett(?:gehalt)?|fat|vet|(?:de )?grasa|(?:de )?graisses?)"
_FAT_HELD = re.compile(
    rf"[0-9][0-9.,]* ?% ?{_FAT_WORD}\b|\b{_FAT_WORD}:? (?:max\.? |ca\.? |bis )?[0-9][0-9.,]* ?%", re.IGNORECASE
)
"""How much fat a name says that something holds: `12 % Fett`, `fat max. 20 %`."""


def name_meaning(name: str) -> NameMeaning:
    """What the words of a name say, the longest phrases first; how much fat something holds does not make it fat."""
    words, vocabulary = fold_words(_FAT_HELD.sub(" ", name)), read_cut_words()
    meanings: list[Meaning] = []
    barred: list[Meaning] = []
    strange: list[str] = []
    at = 0
    while at < len(words):
        for length in range(min(vocabulary.longest, len(words) - at), 0, -1):
            if found := _phrase(words[at : at + length], vocabulary):
                meanings.extend(found)
                break
        else:
            length, (known, inside) = 1, _compound(words[at])
            meanings.extend(known)
            barred.extend(inside)
            strange.extend([] if known else [words[at]])
        at += length
    return NameMeaning(words, tuple(meanings), tuple(barred), tuple(strange))


def _phrase(words: tuple[str, ...], vocabulary: Vocabulary) -> tuple[Meaning, ...]:
    """The meanings of words side by side, of which the last may be a plural."""
    for last in (words[-1], *singulars(words[-1])):
        if found := vocabulary.phrases.get((*words[:-1], last)):
            return found
    return ()


def _compound(word: str) -> tuple[tuple[Meaning, ...], tuple[Meaning, ...]]:
    """The meanings of the parts of a word written in one, if it is made of known ones, and the organs inside it.

    Organs bar all else even if the word can be split without them: `forel + levers` is `forelle + vers` too.
    """
    parts = read_cut_words().parts
    known = tuple(meaning for piece in _split(word, parts) for meaning in parts[piece])
    inside = (meaning for piece in parts if piece in word for meaning in parts[piece])
    return known, tuple(meaning for meaning in inside if meaning.says == "kind" and meaning.weight >= ORGAN)


def _split(word: str, parts: Mapping[str, object]) -> tuple[str, ...]:
    """The parts that make up the whole word, as long ones as can be; none where something is left over.

    >>> _split("rinderherz", {"rinder": 1, "rind": 1, "herz": 1}), _split("herzhaft", {"herz": 1})
    (('rinder', 'herz'), ())
    """
    best: dict[int, tuple[int, tuple[str, ...]]] = {0: (0, ())}
    for end in range(1, len(word) + 1):
        for start in (start for start in range(end) if start in best):
            score, pieces = best[start]
            piece = word[start:end]
            if piece in parts:
                found = (score + (end - start) ** 2, (*pieces, piece))
            elif pieces and piece in LINKS and not _ends_in_link(word, start, pieces):
                found = (score, pieces)
            else:
                continue
            if end not in best or found[0] > best[end][0]:
                best[end] = found
    return best.get(len(word), (0, ()))[1]


def _ends_in_link(word: str, at: int, pieces: tuple[str, ...]) -> bool:
    """Whether what stands before that place is a link already."""
    return not word[:at].endswith(pieces[-1])


def suggest_cuts(name: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Up to three of our cuts that a name may be, the likeliest first: suggestions, never a match.

    Likeness helps where no word of the name is known: it may be one of our names with a mistake in it.
    """
    said = name_meaning(name)
    is_strange = not said.meanings and not said.barred
    return likely_cuts(said, catalogue) or (closest(name, catalogue.by_name) if is_strange else ())


def likely_cuts(said: NameMeaning, catalogue: Catalogue) -> tuple[str, ...]:
    """Up to three of our cuts that a name may be by what its words mean, the likeliest first."""
    named = _named_cuts(said, catalogue)
    if said.not_for_dogs and not any(fold_words(said.not_for_dogs)[0] in fold_words(cut) for cut in named):
        return ()
    scores = {cut.name: _score(cut, said, named) for cut in _candidates(said, named, catalogue)}
    least = 0 if max(scores.values(), default=0) >= NAMED else min(scores.values(), default=0)
    fitting = (cut for cut, score in scores.items() if score >= least)
    return tuple(sorted(fitting, key=lambda cut: (-scores[cut], cut))[:MOST_SUGGESTED])


def _candidates(said: NameMeaning, named: Mapping[str, int], catalogue: Catalogue) -> Iterator[Cut]:
    """The cuts that nothing in the name speaks against, where it says enough."""
    fitting = [cut for cut in catalogue.cuts if _fits(cut, said)]
    is_one_of_few = said.names_species and not said.kind_weight and len(fitting) <= MOST_SUGGESTED
    if _says_enough(said) or is_one_of_few:
        yield from fitting
    else:
        yield from (cut for cut in fitting if cut.name in named)


def _says_enough(said: NameMeaning) -> bool:
    """Whether a name says more than a species or a manner of cutting: a part, meat of a species, a cut's own word."""
    is_part = said.kind_weight >= PART and said.kinds != {"muscle"}
    return is_part or said.tells_name or (said.names_species and said.kind_weight > 0)


def _fits(cut: Cut, said: NameMeaning) -> bool:
    """Whether nothing that the name says speaks against the cut."""
    if said.names_species and not set(cut.species_names) <= said.species:
        return False
    if (said.kind_weight or said.barred) and cut.kind not in said.kinds:
        return False
    if "boneless" in said.cut_words and cut.part_share(Part.BONE):
        return False
    return not (said.cut_words.keys() >= _BONE_IN and "boneless" in fold_words(cut.name))


_BONE_IN = frozenset(fold_words("bone-in"))


def _score(cut: Cut, said: NameMeaning, named: Mapping[str, int]) -> int:
    """How much of the cut's name was said, less what was not."""
    given = fold_words(" ".join((cut.kind, *cut.species_names)))
    own = (word for word in fold_words(cut.name) if word not in given)
    return sum(said.cut_words.get(word, -2) + 1 for word in own) + 3 * named.get(cut.name, 0)


def _named_cuts(said: NameMeaning, catalogue: Catalogue) -> Mapping[str, int]:
    """The cuts whose whole name stands in the name, each with the number of words of it."""
    found: dict[str, int] = {}
    for start, end in combinations(range(len(said.words) + 1), 2):
        *first, last = said.words[start:end]
        for word in (last, *singulars(last)):
            for cut in catalogue.names_by_words.get((*first, word), ()):
                found[cut] = max(found.get(cut, 0), end - start)
    return MappingProxyType(found)
