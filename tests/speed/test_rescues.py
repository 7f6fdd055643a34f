"""The invented rescues: the same text for a seed, read without a mistake, as large as was asked, and with an order."""

from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from raworder.reading.scenario_file import read_scenario_text
from raworder.solving.search import Solved, search
from raworder.solving.solver import Settings
from raworder.trade.findings import Severity
from raworder.trade.scenario import Scenario
from tests.speed.rescues import NEEDED, SIZES, Size, rescue_text

SMALL = Size(20, 16, 2)


def read(text: str) -> Scenario:
    reading = read_scenario_text(text, Path("rescue.yaml"))
    assert not [finding for finding in reading.findings if finding.severity is Severity.ERROR]
    assert reading.scenario is not None
    return reading.scenario


@pytest.mark.parametrize("words", [{}, {"by_energy": True}, {"tubs": True}], ids=["percent", "energy", "tubs"])
def test_a_rescue_is_read_without_a_mistake_and_is_as_large_as_was_asked(words: dict[str, bool]) -> None:
    size = SIZES["45"]
    scenario = read(rescue_text(size, **words))
    assert (len(scenario.dogs), len(scenario.offers), len(scenario.suppliers)) == (45, size.offers, size.suppliers)
    assert all(dog.free_grams for dog in scenario.dogs if dog.care is None) == bool(words.get("by_energy"))
    assert bool(scenario.portioning.working == "tub") == bool(words.get("tubs"))


@pytest.mark.slow
@pytest.mark.parametrize("name", ["400", "2000"])
def test_a_large_rescue_is_read_without_a_mistake(name: str) -> None:
    scenario = read(rescue_text(SIZES[name]))
    assert (len(scenario.dogs), len(scenario.offers)) == (SIZES[name].dogs, SIZES[name].offers)


def test_a_seed_gives_the_same_text_each_time_and_another_seed_another() -> None:
    assert rescue_text(SMALL, seed=7) == rescue_text(SMALL, seed=7)
    assert rescue_text(SMALL, seed=7) != rescue_text(SMALL, seed=8)


def test_dogs_of_a_kind_are_alike_in_all_but_name_and_live_in_one_kennel() -> None:
    scenario = read(rescue_text(Size(60, 16, 2, kinds=6)))
    kinds = Counter(replace(dog, name="") for dog in scenario.dogs if dog.care is None)
    kennels = Counter(dog.kennel for dog in scenario.dogs if dog.care is None)
    assert sorted(kinds.values()) == sorted(kennels.values())
    assert len(kennels) == 6
    assert sum(dog.care is not None for dog in scenario.dogs) == 2


def test_no_two_dogs_have_one_name_however_many_they_are() -> None:
    names = [line.split(",")[0] for line in rescue_text(Size(4000, 16, 2)).splitlines() if "{name:" in line]
    assert len(set(names)) == len(names) == 4000


def test_what_every_dog_can_be_fed_of_is_always_sold() -> None:
    for seed in range(20):
        sold = rescue_text(SMALL, seed=seed)
        assert all(f"cut: {one.cut}, pack" in sold for one in NEEDED)


@pytest.mark.slow
@pytest.mark.parametrize("by_energy", [False, True])
def test_there_is_an_order_for_it(by_energy: bool) -> None:
    for seed in range(4):
        scenario = read(rescue_text(SMALL, seed=seed, by_energy=by_energy))
        assert isinstance(search(scenario, Settings(time_limit_s=60), whole=False), Solved)
