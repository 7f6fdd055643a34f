"""Names: when two are the same, and which known one was probably meant."""

import difflib
import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass


def normalise_name(text: str) -> str:
    """The name in NFC with single spaces."""
    return unicodedata.normalize("NFC", " ".join(text.split()))


def fold_name(text: str) -> str:
    """What two spellings of one name have in common: NFC, single spaces, case folded.

    >>> fold_name("Beef  Heart") == fold_name("beef heart")
    True
    """
    return unicodedata.normalize("NFC", normalise_name(text).casefold())


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that looks most like it, if one looks much like it; it is a suggestion and never a match.

    >>> nearest("chicken nek", ["chicken neck", "beef trim"]), nearest("chicken feet", ["chicken feed", "chicken foot"])
    ('chicken neck', 'chicken foot')
    """
    close = _alike(word, known, 1, 0.7)
    return close[0] if close else None


def closest(word: str, known: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """Known words that look like it, the likest first: suggestions, never a match.

    >>> closest("chicken necks", ["beef trim", "chicken back", "chicken neck", "duck neck"])
    ('chicken neck', 'chicken back')
    """
    return _alike(word, known, most, 0.65)


def _alike(word: str, known: Iterable[str], most: int, cutoff: float) -> tuple[str, ...]:
    """The known words that it may be the plural of, and then those that look like it."""
    words = sorted(known)
    singular = [singular for singular in singulars(fold_name(word)) if singular in words]
    alike = difflib.get_close_matches(fold_name(word), words, n=most, cutoff=cutoff)
    return tuple(dict.fromkeys((*singular, *alike)))[:most]


def singulars(name: str) -> Iterator[str]:
    """What the name may be the plural of.

    >>> list(singulars("turkey necks")), list(singulars("duck feet"))
    (['turkey neck'], ['duck foot'])
    """
    for plural, singular in (("feet", "foot"), ("ies", "y"), ("es", ""), ("s", "")):
        if name.endswith(plural):
            yield name.removesuffix(plural) + singular


def did_you_mean(word: str, known: Iterable[str], otherwise: str) -> str:
    """One remedy for an unknown word: the nearest known one, or what to do when none is near."""
    close = nearest(word, known)
    return f"did you mean `{close}`?" if close else otherwise


def join_in_backticks(words: Iterable[str], joiner: str = "or") -> str:
    """Words in backticks as a person lists them.

    >>> join_in_backticks(["kg", "lb"])
    '`kg` or `lb`'
    """
    *most, last = [f"`{word}`" for word in words]
    return f"{', '.join(most)} {joiner} {last}" if most else last


def holds_words(name: str, words: str) -> bool:
    """Whether the words stand in the name as whole words, with or without a plural s, hyphens being spaces.

    >>> holds_words("red onions, diced", "onion"), holds_words("blackcurrant", "currant")
    (True, False)
    >>> holds_words("wild-boar trim", "wild boar")
    True
    """
    return holds_spaced(space_words(name), space_words(words))


def holds_spaced(name: str, words: str) -> bool:
    """The same of a name and words that are spaced already."""
    return words in name and re.search(rf"\b{re.escape(words)}(?:s|es)?\b", name) is not None


def space_words(name: str) -> str:
    """The name folded, with one space for all that is neither letter nor digit."""
    return " ".join(re.split(r"[\W_]+", fold_name(name))).strip()


_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "œ": "oe", "æ": "ae", "ø": "oe"})


def fold_words(text: str) -> tuple[str, ...]:
    """The words of a name without digits, accents and case; umlauts are written out.

    >>> fold_words("Hähnchenhälse (5 kg) o. Kn.")
    ('haehnchenhaelse', 'kg', 'o', 'kn')
    """
    plain = unicodedata.normalize("NFC", text).casefold().translate(_UMLAUTS)
    letters = "".join(sign for sign in unicodedata.normalize("NFD", plain) if not unicodedata.combining(sign))
    return tuple(word for word in re.split(r"[\W_]+", letters) if word.isalpha())


SMALL_WORDS = frozenset(("a", "an", "for", "from", "in", "its", "of", "on", "s", "the", "their", "with"))
"""Words that may stand between others without parting them; `s` is what is left of `cow's`."""


@dataclass(frozen=True, slots=True)
class NameWords:
    """The words of a name without small ones, each with what it may be the plural of; `every` holds them all."""

    forms: tuple[frozenset[str], ...]
    every: frozenset[str]

    def hold(self, wanted: tuple[str, ...]) -> bool:
        """Whether the words of a phrase stand side by side in the name, in any order.

        >>> name_words("Cherries, with stones").hold(phrase("cherry stone"))
        True
        >>> [name_words(name).hold(phrase("green potato")) for name in ("raw potato, green", "potato and green bean")]
        [True, False]
        """
        if not self.every.issuperset(wanted):  # hundreds of phrases are asked of each name of a price list
            return False
        size = len(wanted)
        starts = range(len(self.forms) - size + 1)
        return any(_is_made_of(self.forms[start : start + size], wanted) for start in starts)


def name_words(name: str) -> NameWords:
    """The words of a name, to look for phrases in."""
    words = [word for word in space_words(name).split() if word not in SMALL_WORDS]
    forms = tuple(frozenset((word, *singulars(word))) for word in words)
    return NameWords(forms, frozenset().union(*forms))


def phrase(words: str) -> tuple[str, ...]:
    """Words to look for in a name, without small ones.

    >>> phrase("cream of tartar")
    ('cream', 'tartar')
    """
    return tuple(word for word in space_words(words).split() if word not in SMALL_WORDS)


def _is_made_of(forms: tuple[frozenset[str], ...], wanted: tuple[str, ...]) -> bool:
    """Whether these words are just those that are wanted."""
    return all(any(word in form for form in forms) for word in wanted)
