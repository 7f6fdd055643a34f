"""What is to be copied is bare and does nothing where it is pasted. **Source:** our own rules; no outside source."""

from raworder.rendering.clean import is_hostile
from raworder.rendering.values import plain
from raworder.trade.document import Paragraph, Points, Verbatim
from tests.rendering.hell import HELL, NAMES, a_document


def test_one_text_is_bare() -> None:
    assert plain(a_document(Verbatim("Hollow Lane Butcher", "one\ntwo"))) == "one\ntwo\n"


def test_several_stand_under_their_titles() -> None:
    told = plain(a_document(Verbatim("A", "one"), Verbatim("B", "two")))
    assert told == "== A ==\none\n\n== B ==\ntwo\n"


def test_sentences_are_told_and_all_else_is_not() -> None:
    assert plain(a_document(Paragraph("Nothing."), Points("key", "title", ("item",)))) == "Nothing.\n"
    assert plain(a_document(Paragraph("Nothing.", "To buy"))) == "To buy\n\nNothing.\n"
    assert plain(a_document()) == ""


def test_names_from_hell_do_nothing() -> None:
    told = plain(a_document(*(Verbatim(name, name) for name in NAMES))) + "".join(map(plain, HELL))
    assert not any(is_hostile(one) for one in told if one != "\n")
