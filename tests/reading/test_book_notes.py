"""What a person tells the book in a few words, and what is said to words that come to nothing.

**Source:** the house's own rules; names are invented.
"""

from pathlib import Path

import pytest

from raworder.book.entering import filled, found
from raworder.book.kitchen_book import open_book
from raworder.reading.book_notes import SAYINGS, Saying, read_note
from raworder.trade.units import UnitError
from tests.book.entered import a_batch as a_kept_batch
from tests.book.entered import a_day, a_found_lot, a_lot, a_new_bag, bags_of, enter, lots_of
from tests.builders import SMALL


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A book with lots 1 to 4 and bags 1 to 20."""
    book = tmp_path / "book.sqlite"
    bags = [a_new_bag(label, (("beef trim", 40),)) for label in range(1, 21)]
    enter(book, filled(a_kept_batch([a_lot(used_g=800)], bags), "a batch"))
    enter(book, *(found(a_found_lot("beef heart", 500), "", "EUR") for _ in range(3)))
    return book


def told(path: Path, words: str) -> str:
    """What the entry says that the words come to."""
    (number,) = enter(path, read_note(words, SMALL), day=0)
    with open_book(path) as book:
        return book.entries()[number - 1].says


SAID = (
    ("Maple weighs 22.4 kg", "Maple weighs 22.4 kg"),
    ("  maple  WEIGHS 40 lb", "Maple weighs 18.144 kg"),
    ("bag 7 fed", "batch B0, bag 7: fed"),
    ("bags 12-15 thrown away", "batch B0, bags 12-15: thrown away"),
    ("bags 1, 3 - 5,20 of batch b0 Kept", "batch B0, bags 1, 3-5, 20: not fed, kept"),
    ("lot 3 thrown away", "lot 3, beef heart: 500 g thrown away"),
    ("lot 3 120 g fed", "lot 3, beef heart: 120 g fed"),
    ("lot 1 0.1 kg fed", "lot 1, beef trim: 100 g fed"),
    ("lot 3 holds 450 g", "lot 3, beef heart: 450 g left"),
    ("lot 3 holds 0 g", "lot 3, beef heart: 0 g left"),
    ("lot 3 is marked L2217", "lot 3, beef heart: marked L2217"),
    ("found 500 g of beef heart", "beef heart: 500 g found"),
    ("found 0.5kg of Beef Heart, frozen since 2027-01-09 for ada", "beef heart: 500 g found"),
    ("found 1 lb of duck neck for Bo", "duck neck: 454 g found"),
    ("everything thrown away", "everything in the freezer thrown away"),
    ("entry 4 is wrong", "entry 4 was wrong: beef heart: 500 g found"),
    ("entry 4 was wrong", "entry 4 was wrong: beef heart: 500 g found"),
)


@pytest.mark.parametrize(("words", "says"), SAID)
def test_words_come_to_an_entry(words: str, says: str, path: Path) -> None:
    assert told(path, words) == says


@pytest.mark.parametrize("saying", SAYINGS, ids=lambda saying: saying.example)
def test_every_example_that_people_are_given_is_understood(saying: Saying, path: Path) -> None:
    assert told(path, saying.example)


def test_what_was_found_has_its_day_and_owner(path: Path) -> None:
    told(path, "found 500 g of beef heart, frozen since 2027-01-09, for ada")
    lot = lots_of(path)[-1]
    assert (lot.cut, lot.grams, lot.owner, lot.currency) == ("beef heart", 500, "Ada", "EUR")
    assert (lot.frozen_on.isoformat() if lot.frozen_on else "", lot.bought_on) == ("2027-01-09", a_day(0))


def test_bags_are_those_of_the_numbers(path: Path) -> None:
    told(path, "bags 1, 3-5 fed")
    assert [bag.label for bag in bags_of(path) if bag.fate] == [1, 3, 4, 5]


REFUSED = (
    ("", "is nothing that the book can be told; write it as one of these: `Maple weighs 22.4 kg`"),
    ("lot three fed", "is nothing that the book can be told"),
    ("lot 3 thrown", "is nothing that the book can be told"),
    ("Mapel weighs 20 kg", "no dog is called `Mapel`; did you mean `Maple`?"),
    ("Rex weighs 20 kg", "no dog is called `Rex`; they are `Maple`, `Juniper` and `Sorrel`"),
    ("Maple weighs 20", "`20` has no unit"),
    ("Maple weighs 20,5 kg", "has a comma"),
    ("bags 5-3 fed", "`5-3` is no number of a bag; write them as on the labels, such as `3, 12-15`"),
    ("bag 0 fed", "`0` is no number of a bag"),
    ("bags 3,,4 fed", "`` is no number of a bag"),
    ("bags 1-2-3 fed", "`1-2-3` is no number of a bag"),
    ("bags 1-20000 fed", "`1-20000` is no number of a bag"),
    (f"bags {'9' * 5000} fed", "is no number of a bag"),
    ("lot 3 1,5 kg fed", "has a comma"),
    ("found 500 g of beef hart", "beef hart"),
    ("found 500 g of beef heart for Zed", "no owner is called `Zed`"),
    ("found 500 g of beef heart, frozen since 2027-02-30", "`2027-02-30` is not a day"),
    ("lot 3 is marked a\u202eb", "leave it out"),
)


@pytest.mark.parametrize(("words", "said"), REFUSED)
def test_words_that_come_to_nothing_are_answered_with_what_to_write(words: str, said: str) -> None:
    with pytest.raises(UnitError) as caught:
        read_note(words, SMALL)
    assert said in f"{caught.value}; {caught.value.help}"
    assert caught.value.help
