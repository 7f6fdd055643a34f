"""`on_hand: book` reads as the lots written out, before and after the batch is entered; names of cuts are read back.

**Source:** the house's own rules; all names and amounts are invented.
"""

from datetime import date
from pathlib import Path

import pytest

from raworder.book.entering import drawn, everything_thrown, filled, found, ordered
from raworder.reading.offers import cut_as_said
from raworder.reading.scenario_file import Reading, read_scenario
from raworder.trade.fingerprint import fingerprint
from raworder.trade.kept import EntryKind
from tests.book.entered import a_batch, a_found_lot, a_used_lot, enter
from tests.reading.written import a_text, cut_of, reading_of, scenario_of, slugs

JANUARY, DECEMBER = date(2027, 1, 9), date(2026, 12, 1)
TITLE = "title: a batch with a book"
DOGS = """\
  - {name: Maple, owner: Ada, weight: 20 kg, ration: 2.5 %, targets: prey model}
  - {name: Fern, owner: Bo, weight: 10 kg, ration: 2.5 %, targets: prey model}"""
CUTS = """\
  - {cut: chicken neck, bone: 28 %, pack: 1 kg, price: 2.40}
  - {cut: beef trim, price: 6.20 per kg}"""
WRITTEN = """\
on_hand:
  - {cut: beef heart, weight: 350 g, frozen: 2027-01-09, owner: Ada}
  - {cut: beef heart, weight: 500 g}
  - {cut: chicken neck, bone: 28 %, weight: 900 g, frozen: 2026-12-01}
  - {cut: beef trim, fat: 12 %, rich: yes, weight: 250 g, frozen: 2027-01-09}"""


def a_folder(tmp_path: Path) -> Path:
    """A folder with a book of the lots of `WRITTEN`, and crumbs that nobody keeps."""
    enter(
        tmp_path / "book.sqlite",
        found(a_found_lot("beef heart", 500), "", "EUR"),
        found(a_found_lot("beef heart", 400, JANUARY), "Ada", "EUR"),
        found(a_found_lot("chicken neck (bone 28 %)", 900, DECEMBER), "", "EUR"),
        found(a_found_lot("beef trim (fat 12 %, rich)", 250, JANUARY), "", "EUR"),
        found(a_found_lot("lamb liver", 9, JANUARY), "", "EUR"),
        drawn(2, EntryKind.FED, 50),
    )
    return tmp_path


def text(on_hand: str) -> str:
    return a_text(dogs=DOGS, cuts=CUTS, more=f"{TITLE}\n{on_hand}")


def read_with_book(folder: Path, more: str = "", dogs: str = DOGS, cuts: str = CUTS) -> Reading:
    return reading_of(folder, a_text(dogs=dogs, cuts=cuts, more=f"{TITLE}\non_hand: book\n{more}"))


def test_what_the_book_holds_reads_as_if_it_were_written(tmp_path: Path) -> None:
    (tmp_path / "written").mkdir()
    written = scenario_of(tmp_path / "written", text(WRITTEN))
    reading = read_with_book(a_folder(tmp_path))
    assert reading.findings == ()
    assert reading.scenario is not None
    assert reading.scenario.on_hand == written.on_hand
    assert fingerprint(reading.scenario) == fingerprint(written)


def test_it_reads_as_before_once_its_batch_and_what_came_after_is_entered(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    before = read_with_book(folder).scenario
    used = [a_used_lot("beef heart", 500, 500), a_used_lot("beef heart", 350, 350, frozen_on=JANUARY, owner="Ada")]
    batch = a_batch((), (), used, title="a batch with a book")
    enter(folder / "book.sqlite", ordered(batch, "an order"), filled(batch, "a batch"), everything_thrown)
    assert read_with_book(folder).scenario == before
    other = reading_of(folder, text("on_hand: book").replace("with a book", "of another name")).scenario
    assert other is not None
    assert other.on_hand == ()


def test_only_what_is_there_on_the_day_of_filling_counts(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    enter(folder / "book.sqlite", found(a_found_lot("beef heart", 700), "", "EUR"), day=0)
    usual, earlier = (read_with_book(folder, more).scenario for more in ("", "portioning: {day: 2027-02-04}"))
    assert usual is not None
    assert earlier is not None
    assert (len(usual.on_hand), earlier.on_hand) == (4, ())


def test_a_lot_of_an_owner_without_a_dog_is_left_out(tmp_path: Path) -> None:
    reading = read_with_book(a_folder(tmp_path), dogs=DOGS.replace("Ada", "Ida"))
    (finding,) = reading.findings
    assert (finding.slug, finding.place.line) == ("lot-left-out", 10)
    assert finding.message == "lot 2 of the book, beef heart, is left out: `Ada` has no dog here"
    assert reading.scenario is not None
    assert [lot.owner for lot in reading.scenario.on_hand] == ["", "", ""]


def test_a_lot_of_a_cut_that_nobody_knows_here_is_left_out(tmp_path: Path) -> None:
    enter(tmp_path / "book.sqlite", found(a_found_lot("market mix", 500), "", "EUR"))
    reading = read_with_book(tmp_path)
    assert slugs(reading) == ["lot-left-out"]
    assert "lot 1 of the book, market mix, is left out: no cut of this scenario" in reading.findings[0].message
    mix = "own_cuts: [{cut: market mix, species: beef, parts: {muscle: 100 %}, fat: 12 %}]"
    found_here = read_with_book(tmp_path, mix)
    assert found_here.findings == ()
    assert found_here.scenario is not None
    assert [lot.cut for lot in found_here.scenario.on_hand] == ["market mix"]


def test_without_a_book_that_can_be_read_it_is_an_error_at_its_place(tmp_path: Path) -> None:
    reading = read_with_book(tmp_path)
    (finding,) = reading.findings
    assert (finding.slug, finding.place.line, finding.place.column) == ("no-stock-in-book", 10, 10)
    assert reading.scenario is None
    (tmp_path / "book.sqlite").write_text("no book " * 200)
    assert [finding.slug for finding in read_with_book(tmp_path).findings] == ["no-stock-in-book"]


def test_a_word_that_is_not_book_is_refused(tmp_path: Path) -> None:
    for word in ("Book", "books", "the book", "''"):
        assert reading_of(tmp_path, text(f"on_hand: {word}")).scenario is None


VARIANTS = (
    "cut: chicken neck",
    "cut: chicken neck, bone: 28 %",
    "cut: chicken neck, bone: 0 %",
    "cut: chicken neck, bone: 36.5 %, fat: 8.25 %",
    "cut: chicken neck, bone: 20 %, fat: 30 %, piece: 91 g, rich: no",
    "cut: beef trim, fat: 3 %, rich: yes",
    "cut: beef heart, rich: no",
)


@pytest.mark.parametrize("fields", VARIANTS)
def test_a_name_with_what_was_said_reads_back_as_the_same_cut(fields: str, tmp_path: Path) -> None:
    cut = cut_of(tmp_path, f"{fields}, pack: 1 kg, price: 2.40")
    name, said = cut_as_said(cut.name)
    again = ", ".join(f"{key}: {value}" for key, value in (("cut", name), *said))
    assert cut_of(tmp_path, f"{again}, pack: 1 kg, price: 2.40") == cut


@pytest.mark.parametrize(
    "name", ["chicken neck", "kale (own)", "mix (bone 5 %, and more)", "beef trim (own analysis)", "mix (rich) (rich)"]
)
def test_a_name_that_says_nothing_of_the_sort_stays_whole(name: str) -> None:
    assert cut_as_said(name) == (name, ())


def test_a_book_without_lots_has_nothing_on_hand(tmp_path: Path) -> None:
    enter(tmp_path / "book.sqlite", everything_thrown)
    reading = read_with_book(tmp_path)
    assert reading.scenario is not None
    assert reading.scenario.on_hand == ()
    assert read_scenario(tmp_path / "scenario.yaml").findings == ()
