"""Words that limit something, with their shares: what each is about, and which mean nothing."""

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction

from raworder.cuts import Measure, Subject
from raworder.reading.given import Given
from raworder.reading.names import did_you_mean, folded
from raworder.reading.notes import Sought
from raworder.reading.text import Text


def capped(written: Mapping[Text, Fraction | None], given: Given) -> dict[Subject, Fraction | None]:
    """The most of each subject, None where it is switched off; words that nobody knows are noted and left out."""
    subjects = {word: given.words.capped(word) for word in written}
    often = Counter(subjects.values())
    for word, subject in subjects.items():
        if subject is not None and often[subject] > 1:
            message = f"`{word}` is capped under another name too"
            given.notes.add("two-ways", message, word.place, "keep one of the two")
        elif subject is None and given.words.is_group(word):
            message = f"`{word}` is a group, and a cap is about one thing"
            help_ = "cap `bone`" if folded(word) == Measure.WHOLE_BONE else "cap each species of it by itself"
            given.notes.add("unknown-word", message, word.place, help_)
        elif subject is None:
            note_unknown_word(word, given)
    return {subject: written[word] for word, subject in subjects.items() if subject is not None}


def note_unknown_word(word: Text, given: Given) -> None:
    """Note that nobody knows the word, unless it was lost to an error before."""
    if given.was_lost(word):
        return
    if given.toxic(word):
        message = f"`{word}` is toxic to dogs and refused anywhere"
        given.notes.add("needless-word", message, word.place, "take it out")
        return
    otherwise = "name a part, a species, a kind or a cut; `raworder cuts` lists them"
    help_ = Sought(lambda: did_you_mean(word, given.words.known(), otherwise), otherwise)
    given.notes.add("unknown-word", f"nothing is called `{word}`", word.place, help_)
