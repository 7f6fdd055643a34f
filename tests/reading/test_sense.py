"""Whether a scenario makes sense as a whole."""

from pathlib import Path

import pytest

from tests.reading.written import DOG, KALE, a_text, reading_of, slugs


@pytest.mark.parametrize(("list_date", "old"), [("2026-12-08", 0), ("2026-12-07", 1), ("2027-03-01", 0)])
def test_a_list_older_than_sixty_days_is_doubted(tmp_path: Path, list_date: str, old: int) -> None:
    more = f"suppliers: [{{name: Fell Farm, list_date: {list_date}, cuts: [{KALE}]}}]"
    assert slugs(reading_of(tmp_path, a_text(more=more))) == ["old-price-list"] * old


@pytest.mark.parametrize("place", ["cut", "item", "own cut", "made of", "on hand", "vet"])
def test_toxic_food_is_refused_wherever_it_is_named(tmp_path: Path, place: str) -> None:
    own = "own_cuts: [{{cut: {cut}, species: plant, bone: 0 %, fat: 0 %{more}}}]"
    text = {
        "cut": a_text(cuts=f"  - {KALE}\n  - {{cut: red onion, price: 1 per kg}}"),
        "item": a_text(cuts="  - {cut: kale, item: kale & onions, price: 1 per kg}"),
        "own cut": a_text(more=own.format(cut="onion mix", more="")),
        "made of": a_text(more=own.format(cut="moor mix", more=", made_of: [onion]")),
        "on hand": a_text(more="on_hand: [{cut: onion rings, weight: 1 kg}]"),
        "vet": a_text(dogs="  - {name: Vera, care: ill, vet_amounts: {onion: 1 g}}"),
    }[place]
    reading = reading_of(tmp_path, text)
    assert slugs(reading) == ["toxic-food"]
    assert "source: " in reading.findings[0].note


def test_sums_are_left_alone_where_something_was_lost(tmp_path: Path) -> None:
    reading = reading_of(tmp_path, a_text(dogs="  - {name: Maple, weight: 20}", cuts="  - {cut: kale, price: 3,00}"))
    assert set(slugs(reading)) == {"no-unit", "comma-in-number"}


def test_a_batch_in_error_gives_no_findings_about_days(tmp_path: Path) -> None:
    dogs = f"  - {DOG.replace('name: Maple', 'name: Maple, away: [2027-02-10]')}"
    more = "on_hand: [{cut: kale, weight: 1 kg, frozen: 2026-12-20}]"
    reading = reading_of(tmp_path, a_text(dogs=dogs, more=more, batch="{starts: 06.02.2027}"))
    assert slugs(reading) == ["bad-date"]


def test_defaults_in_error_are_not_called_missing(tmp_path: Path) -> None:
    dogs = "  - {name: Maple, weight: 20 kg}"
    reading = reading_of(tmp_path, a_text(dogs=dogs, more="all_dogs: {ration: 2.5, targets: prey model}"))
    assert slugs(reading) == ["no-unit"]


@pytest.mark.parametrize(
    ("variety", "refused"),
    [
        ("{species: 4, each_at_least: 25 %}", 0),
        ("{species: 5, each_at_least: 25 %}", 1),
        ("{each_at_least: 25 %, most_of_one: 24 %}", 1),
        ("{most_of_one: 0 %}", 1),
    ],
)
def test_a_variety_that_cannot_be_is_refused(tmp_path: Path, variety: str, refused: int) -> None:
    assert slugs(reading_of(tmp_path, a_text(more=f"variety: {variety}"))) == ["variety-not-whole"] * refused
