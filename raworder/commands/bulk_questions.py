"""Questions about many items of a list at once: whole groups, telling words, and what says nothing of ours."""

from collections import Counter
from dataclasses import dataclass, replace
from textwrap import fill
from typing import TYPE_CHECKING

from raworder.commands import console
from raworder.commands.interview import Dialogue, Question

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from raworder.reading.catalogue import Catalogue
    from raworder.reading.likely_items import LikelyItem, SortedItems

MANY = 30
"""From this many new items on they are asked about in bulk (own choice)."""

MOST_LISTED, MOST_EXAMPLES = 40, 3
"""The groups or words that one question lists, and the names that stand for many."""


@dataclass(frozen=True, slots=True)
class BulkAnswers:
    """What a person said of many items at once: groups and words that are never for dogs, and items that are not.

    `passed_over` are the items of those groups and with those words. `to_ask` are the items to ask about one by one,
    the likeliest first; None where items are few, or nobody is asked.
    """

    to_ask: "tuple[LikelyItem, ...] | None" = None
    no_groups: tuple[str, ...] = ()
    no_words: tuple[str, ...] = ()
    passed_over: "tuple[LikelyItem, ...]" = ()
    never: "tuple[LikelyItem, ...]" = ()


def ask_in_bulk(talk: Dialogue, items: "SortedItems", catalogue: "Catalogue") -> BulkAnswers:
    """What a person says of the items of a long list, many at a time."""
    if items.count < MANY or not talk.is_put(_NEVER):
        return BulkAnswers()
    talk.say(f"\n{_summary(items, catalogue)}\n")
    groups = _ask_for_each(talk, "Groups with nothing that looks like a cut of ours", items.groups)
    words = _ask_for_each(talk, "Words for what is not bought for dogs", items.words)
    nameless, animals = ([item for item in items.rest if bool(item.said.species) is named] for named in (False, True))
    rest = _ask_for_rest(talk, nameless, "say nothing that we know", _REST)
    of_animals = _ask_for_rest(talk, animals, "name an animal and no part that we know", replace(_REST, default="no"))
    never = (*rest.passed_over, *of_animals.passed_over)
    looked_at = (*groups.looked_at, *words.looked_at, *of_animals.looked_at, *rest.looked_at)
    to_ask = (*items.likely, *looked_at)
    talk.say(f"\nNow {len(to_ask):,} one by one, the likeliest first; `rest` ends.\n" if to_ask else "\n")
    return BulkAnswers(to_ask, groups.words, words.words, (*groups.passed_over, *words.passed_over), never)


def _summary(items: "SortedItems", catalogue: "Catalogue") -> str:
    """How many items there are, by what their names say."""
    species = ", ".join(f"{count:,} {name}" for name, count in items.likely_by_species(catalogue).items())
    in_groups, with_words = (sum(map(len, rows.values())) for rows in (items.groups, items.words))
    counted = (
        (len(items.likely), f"look like cuts of ours{': ' if species else ''}{species}"),
        (in_groups, f"stand in {len(items.groups)} groups in which nothing does"),
        (with_words, "have a word for what is not bought for dogs"),
        (len(items.rest), "say nothing that we know, or name an animal alone"),
    )
    told = [f"{count:>7,}  {says}" for count, says in counted if count]
    lines = [fill(text, console.width(), subsequent_indent=" " * 9) for text in told]
    return "\n".join((f"{items.count:,} items that you have not named yet. By their names,", *lines))


_NEVER = Question("Never ask about these again? yes, no, or numbers of those to look at", "yes", of_list=True)


@dataclass(frozen=True, slots=True)
class _Chosen:
    """The words whose items are never asked about again, with those items, and the items that are to be looked at."""

    words: tuple[str, ...] = ()
    passed_over: "tuple[LikelyItem, ...]" = ()
    looked_at: "tuple[LikelyItem, ...]" = ()


def _ask_for_each(talk: Dialogue, title: str, by_word: "Mapping[str, Sequence[LikelyItem]]") -> _Chosen:
    """Which words a person never wants to be asked about again; after no their items are only left open."""
    if not by_word:
        return _Chosen()
    listed = list(by_word)[:MOST_LISTED]
    numbered = [f"{place} {word} ({len(by_word[word]):,})" for place, word in enumerate(listed, 1)]
    more = [f"and {len(by_word) - len(listed):,} more"] if len(by_word) > len(listed) else []
    talk.say(f"\n{title}:\n{_side_by_side((*numbered, *more))}\n")
    chosen = talk.ask(_NEVER, lambda said: _read_choice(said, len(listed)))
    if chosen is None:
        return _Chosen()
    kept = [listed[place - 1] for place in sorted(chosen)]
    words = tuple(word for word in by_word if word not in kept)
    passed_over, looked_at = (tuple(item for word in some for item in by_word[word]) for some in (words, kept))
    return _Chosen(words, passed_over, looked_at)


def _side_by_side(items: "Sequence[str]") -> str:
    """Items beside one another in lines that break between items alone."""
    lines = [""]
    for item in items:
        if lines[-1] and len(lines[-1]) + len(item) + 4 > console.width():
            lines.append("")
        lines[-1] += f"  {item}"
    return "\n".join(lines)


def _read_choice(text: str, most: int) -> frozenset[int] | None:
    """The numbers that were typed, none for yes; None for no; UnitError for all else."""
    from raworder.reading.answers import yes_or_no
    from raworder.trade.units import UnitError

    words = text.replace(",", " ").split()
    if not words or not all(word.isascii() and word.isdigit() for word in words):
        return frozenset() if yes_or_no(text) else None
    numbers = frozenset(int(word[:6]) for word in words)
    if not all(1 <= number <= most for number in numbers):
        raise UnitError(f"the numbers go from 1 to {most}", "type yes, no, or some of these numbers")
    return numbers


_REST = Question("Never ask about them again? yes, no, or a word to look at those with it", "yes", of_list=True)


def _ask_for_rest(talk: Dialogue, rest: "Sequence[LikelyItem]", says: str, question: Question) -> _Chosen:
    """The items that are never asked about again, and those with a word that a person wants to look at."""
    looked_at: list[LikelyItem] = []
    while rest:
        talk.say(f"\n{_describe_rest(rest, says)}\n")
        answer = talk.ask(question, _read_yes_no_or_word)
        if not isinstance(answer, str):
            return _Chosen((), tuple(rest) if answer else (), tuple(looked_at))
        found = [item for item in rest if answer in item.row.name.casefold()]
        talk.say(f"{len(found):,} have `{answer}` in their name; they come last.\n")
        looked_at += found
        rest = [item for item in rest if answer not in item.row.name.casefold()]
    return _Chosen((), (), tuple(looked_at))


def _read_yes_no_or_word(text: str) -> bool | str:
    """Yes or no, or the word that was typed, in small letters."""
    from raworder.reading.answers import yes_or_no
    from raworder.trade.units import UnitError

    try:
        return yes_or_no(text)
    except UnitError:
        return text.casefold()


def _describe_rest(rest: "Sequence[LikelyItem]", says: str) -> str:
    """How many items there are of a kind, by animal, with some of their names."""
    from raworder.rendering.clean import one_line

    animals = Counter(name for item in rest for name in sorted(item.said.species)[:1])
    named = ", ".join(f"{count:,} {name}" for name, count in animals.most_common())
    names = "; ".join(one_line(item.row.name) for item in rest[:MOST_EXAMPLES])
    return fill(f"{len(rest):,} items {says}{f' ({named})' if named else ''}, such as {names}.", console.width())


LEFT = Question("Never ask about those that are left again? yes or no", "no", of_list=True)
"""Asked after `rest`."""
