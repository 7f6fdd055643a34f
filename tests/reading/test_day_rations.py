"""What a dog eats on each day of the batch."""

from fractions import Fraction
from itertools import accumulate
from math import floor
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.reading.rations import Daily, days_in_care_g, days_of_batch_g, mean_g
from raworder.trade.dogs import VetAmount
from tests.reading.written import a_text, dog_of, reading_of, scenario_of, slugs

PREY = "targets: prey model"


def test_a_constant_ration_comes_to_what_it_always_did(tmp_path: Path) -> None:
    dog = dog_of(tmp_path, f"weight: 0.7 kg, ration: 3.07 %, {PREY}")
    assert dog.daily_g == Fraction("21.49")
    assert dog.batch_g == floor(Fraction("21.49") * 14) == 300
    assert dog.day_g == (21, 21, 22, 21, 22, 21, 22, 21, 22, 21, 22, 21, 22, 21)


def test_a_ration_rises_in_equal_steps_to_the_last_day(tmp_path: Path) -> None:
    # 400 g, 420 g, 440 g, 460 g
    dog = dog_of(tmp_path, f"ration: 400 g, ration_by_end: 460 g, {PREY}", batch="{starts: 2027-02-06, days: 4}")
    assert dog.day_g == (400, 420, 440, 460)
    assert (dog.batch_g, dog.daily_g) == (1720, 430)
    assert dog.ration_says == "400 g as given, rising to 460 g on the last day"


def test_a_ration_falls_too_and_goes_on_while_the_dog_is_away(tmp_path: Path) -> None:
    fields = f"ration: 460 g, ration_by_end: 400 g, away: [2027-02-07], {PREY}"
    dog = dog_of(tmp_path, fields, batch="{starts: 2027-02-06, days: 4}")
    assert dog.day_g == (460, 0, 420, 400)
    assert (dog.days, dog.batch_g, dog.daily_g) == (3, 1280, Fraction(1280, 3))
    assert dog.ration_says.endswith("falling to 400 g on the last day")


@pytest.mark.parametrize(
    ("fields", "first", "last", "says"),
    [
        ("weight: 5 kg, puppy: yes, ration: 8 %, weight_by_end: 6 kg", 400, 480, "8 % of 5 kg, rising to 8 % of 6 kg"),
        ("weight: 5 kg, puppy: yes, ration: 8 %, ration_by_end: 9 %", 400, 450, "8 % of 5 kg, rising to 9 % of 5 kg"),
        ("weight: 20 kg, ration: 2 %, ration_by_end: 460 g", 400, 460, "2 % of 20 kg, rising to 460 g"),
        ("weight: 20 kg, ration: 400 g, ration_by_end: 2.5 %", 400, 500, "400 g as given, rising to 2.5 % of 20 kg"),
        (
            "weight: 22 kg, goal: lose, ideal_weight: 20 kg, ration: 2.5 %, ration_by_end: 2 %",
            500,
            400,
            "2.5 % of ideal weight 20 kg, falling to 2 % of ideal weight 20 kg",
        ),
        (
            "weight: 5 kg, puppy: yes, adult_weight: 20 kg, ration: 2 % of adult weight, ration_by_end: 2.4 %",
            400,
            480,
            "2 % of adult weight 20 kg, rising to 2.4 % of adult weight 20 kg",
        ),
    ],
)
def test_a_share_by_the_end_is_of_the_same_weight(
    tmp_path: Path, fields: str, first: int, last: int, says: str
) -> None:
    dog = dog_of(tmp_path, f"{fields}, {PREY}", batch="{starts: 2027-02-06, days: 2}")
    assert dog.day_g == (first, last)
    assert dog.ration_says == f"{says} on the last day"


def test_treats_are_taken_off_every_day(tmp_path: Path) -> None:
    fields = f"ration: 400 g, ration_by_end: 460 g, treats: 30 g, {PREY}"
    dog = dog_of(tmp_path, fields, batch="{starts: 2027-02-06, days: 4}")
    assert dog.day_g == (370, 390, 410, 430)
    assert dog.ration_says == "400 g as given, rising to 460 g on the last day, less 30 g of treats"


def test_the_ration_of_all_dogs_may_change_for_one(tmp_path: Path) -> None:
    dogs = "  - {name: Maple, ration_by_end: 420 g}\n  - {name: Pip}"
    more = "all_dogs: {ration: 400 g, targets: prey model}"
    maple, pip = scenario_of(tmp_path, a_text(dogs=dogs, more=more, batch="{starts: 2027-02-06, days: 2}")).dogs
    assert (maple.day_g, pip.day_g) == ((400, 420), (400, 400))


@pytest.mark.parametrize(("by_end", "found"), [("520 g", []), ("521 g", ["steep-ration"]), ("400 g", [])])
def test_a_change_of_more_than_thirty_percent_is_doubted(tmp_path: Path, by_end: str, found: list[str]) -> None:
    dogs = f"  - {{name: Maple, ration: 400 g, ration_by_end: {by_end}, {PREY}}}"
    assert slugs(reading_of(tmp_path, a_text(dogs=dogs))) == found


def test_a_batch_of_one_day_has_no_later_day_to_change_by(tmp_path: Path) -> None:
    dogs = f"  - {{name: Maple, ration: 400 g, ration_by_end: 460 g, {PREY}}}"
    reading = reading_of(tmp_path, a_text(dogs=dogs, batch="{starts: 2027-02-06, days: 1}"))
    assert slugs(reading) == ["unused-value"]
    assert reading.scenario is not None
    assert reading.scenario.dogs[0].day_g == (400,)


def test_amounts_in_care_are_spread_evenly_over_the_days_that_are_fed(tmp_path: Path) -> None:
    # 10.5 g over 3 days are 31 g: 10, 10, 11; 200 g over 3 days are 600 g
    dogs = "  - {name: Vera, care: nursing, vet_amounts: {kale: 10.5 g, chard: 200 g}, away: [2027-02-07]}"
    cuts = "  - {cut: kale, price: 3.00 per kg}\n  - {cut: chard, price: 3.00 per kg}"
    (dog,) = scenario_of(tmp_path, a_text(dogs=dogs, cuts=cuts, batch="{starts: 2027-02-06, days: 4}")).dogs
    assert dog.day_g == (210, 0, 210, 211)
    assert dog.batch_g == 631


RATIONS = st.fractions(min_value=1, max_value=2000, max_denominator=97)


@pytest.mark.slow
@given(RATIONS, st.none() | RATIONS, st.lists(st.booleans(), min_size=1, max_size=60))
def test_days_add_up_to_the_batch_and_each_is_its_ration_within_a_gram(
    first: Fraction, last: Fraction | None, there: list[bool]
) -> None:
    days = len(there)
    fed = tuple(day for day, is_there in enumerate(there) if is_there)
    daily = Daily(first, "", last)
    end = first if last is None or days == 1 else last
    exact = [first + (end - first) * day / max(days - 1, 1) for day in range(days)]
    day_g = days_of_batch_g(daily, fed, days)
    assert len(day_g) == days
    assert all(grams == 0 for day, grams in enumerate(day_g) if day not in fed)
    assert all(abs(day_g[day] - exact[day]) < 1 for day in fed)
    assert sum(day_g) == floor(sum(exact[day] for day in fed))
    assert list(accumulate(day_g)) == [floor(sum(exact[day] for day in fed if day <= end)) for end in range(days)]
    assert not fed or mean_g(daily, fed, days) * len(fed) == sum(exact[day] for day in fed)


@pytest.mark.slow
@given(st.lists(st.integers(0, 5000), min_size=1, max_size=4), st.lists(st.booleans(), min_size=1, max_size=60))
def test_days_in_care_add_up_to_what_was_given(amounts: list[int], there: list[bool]) -> None:
    fed = tuple(day for day, is_there in enumerate(there) if is_there)
    given_g = tuple(VetAmount(str(cut), grams) for cut, grams in enumerate(amounts))
    day_g = days_in_care_g(given_g, fed, len(there))
    assert sum(day_g) == (sum(amounts) if fed else 0)
    fed_g = [day_g[day] for day in fed]
    assert not fed or max(fed_g) - min(fed_g) <= len(amounts)
