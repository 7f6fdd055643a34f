"""Rules on nutrients that give way: what is told to write gives just what was tried, at the told cost.

All scenarios are invented. **Source:** the study's own promise, as for all other rules; levels by hand where told.
"""

from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType

import pytest

from raworder.giving_way.family import apply_changes
from raworder.giving_way.nutrient_ends import NutrientEnd
from raworder.giving_way.yaml_text import end_text, limits_text
from raworder.studies.reasons import reasons_paper
from raworder.trade.nutrients import NutrientLimit, Per, RatioLimit
from tests import builders as b
from tests.studies.giving_way import looked_into
from tests.studies.telling import told
from tests.studies.test_reasons_written import check_all_ways_out, read_back, ways_out

# 190 kcal, 3.8 mg of zinc: 20 mg in 1000 kcal; 190 IU of vitamin A: 1000 IU; calcium a tenth of phosphorus
CUTS = (
    "own_cuts:\n  - {cut: moor mince, species: beef, bone: 0 %, fat: 12 %, analysis: {energy: 190 kcal, zinc: 3.8 mg, "
    "vitamin A: 190 IU, calcium: 18 mg, phosphorus: 180 mg}}\n"
    "cuts:\n  - {cut: moor mince, price: 5.20 per kg}\n"
)
HEAD = "title: an invented scenario\ncurrency: EUR\nbatch: {starts: 2027-02-06, days: 14}\n"
SHARED = "ration: 2.5 %, targets: {muscle: 90 % to 100 %}"


def written(*dogs: str, more: str = "") -> str:
    """A scenario file of these dogs and one mince."""
    return f"{HEAD}{more}dogs:\n" + "".join(f"  - {{{dog}}}\n" for dog in dogs) + CUTS


def maple(nutrients: str = "", *, ration: str = SHARED) -> str:
    """A dog of 20 kg with these rules."""
    return f"name: Maple, weight: 20 kg, {ration}" + (f", nutrients: {{{nutrients}}}" if nutrients else "")


def juniper(nutrients: str = "") -> str:
    """A dog of 9 kg with these rules."""
    return f"name: Juniper, weight: 9 kg, {SHARED}" + (f", nutrients: {{{nutrients}}}" if nutrients else "")


ALL_ZINC = "all_dogs: {nutrients: {zinc: at least 30 mg per 1000 kcal}}\n"
WRITTEN: Mapping[str, str] = MappingProxyType(
    {
        "at least": written(maple("zinc: at least 30 mg per 1000 kcal")),
        "at most": written(maple("zinc: at most 12 mg per 1000 kcal")),
        "a range": written(maple("zinc: 30 mg to 40 mg per 1000 kcal")),
        "a day": written(maple("zinc: at most 15 mg a day")),
        "a ratio": written(maple("calcium to phosphorus: 1.1 to 1.8")),
        "a ratio from above": written(maple("calcium to phosphorus: at most 0.05")),
        "in international units": written(maple("vitamin A: at least 2000 IU per 1000 kcal")),
        "beside a rule that is met": written(
            maple("zinc: at least 30 mg per 1000 kcal, phosphorus: at most 2 g a day")
        ),
        "of all dogs": written(maple(), juniper(), more=ALL_ZINC),
        "of all dogs, and one's own": written(maple(), juniper("zinc: at least 40 mg per 1000 kcal"), more=ALL_ZINC),
        "of all dogs, and one has none": written(maple(), juniper("zinc: none"), more=ALL_ZINC),
        "of all dogs, beside one's own": written(maple(), juniper("phosphorus: at most 2 g a day"), more=ALL_ZINC),
        "two rules": written(maple("zinc: at least 30 mg per 1000 kcal, calcium to phosphorus: at least 1")),
        "by energy": written(
            maple("zinc: at least 30 mg per 1000 kcal", ration="ration: 900 kcal, targets: {muscle: 90 % to 100 %}")
        ),
        "by energy, a day": written(
            maple("zinc: at least 30 mg a day", ration="ration: 900 kcal, targets: {muscle: 90 % to 100 %}")
        ),
    }
)


@pytest.mark.slow
@pytest.mark.parametrize("name", WRITTEN)
def test_what_is_told_to_write_gives_the_scenario_that_was_tried_at_the_told_cost(name: str, tmp_path: Path) -> None:
    assert check_all_ways_out(WRITTEN[name], tmp_path) > 0


def first_way(name: str, folder: Path) -> list[Mapping[str, object]]:
    """The first way out that the paper tells, by its rows."""
    scenario = read_back(WRITTEN[name], folder)
    return next(ways_out(scenario, looked_into(scenario)))[1]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "nutrient", "most", "least"),
    # what there is, and how far beyond it a level is still the least change that a person would write
    [
        ("at least", "zinc", 20, 18),
        ("by energy", "zinc", 20, 18),
        ("a range", "zinc", 20, 18),
        ("in international units", "vitamin_a", 300, 270),
    ],
)
def test_the_least_that_a_rule_asks_falls_to_what_there_is(
    name: str, nutrient: str, most: int, least: int, tmp_path: Path
) -> None:
    scenario = read_back(WRITTEN[name], tmp_path)
    opened, _ = next(ways_out(scenario, looked_into(scenario)))
    (dog,) = apply_changes(scenario, opened.changes).dogs
    (limit,) = (one for one in dog.nutrient_limits if one.nutrient == nutrient)
    assert limit.low is not None
    assert least <= limit.low <= most


def test_the_other_end_of_a_range_stays(tmp_path: Path) -> None:
    (row,) = first_way("a range", tmp_path)
    assert str(row["write"]).endswith(" to 40 mg per 1000 kcal}")


def test_a_ratio_that_gives_way_keeps_its_most(tmp_path: Path) -> None:
    (row,) = first_way("a ratio", tmp_path)
    assert str(row["write"]).startswith("nutrients: {calcium to phosphorus: 0.")
    assert str(row["write"]).endswith(" to 1.8}")


def test_a_rule_that_is_met_is_written_again_as_it_was(tmp_path: Path) -> None:
    (row,) = first_way("beside a rule that is met", tmp_path)
    assert "phosphorus: at most 2000 mg a day" in str(row["write"])


@pytest.mark.slow
def test_only_the_dog_that_is_bound_changes(tmp_path: Path) -> None:
    scenario = read_back(WRITTEN["of all dogs, and one has none"], tmp_path)
    opened, _ = next(ways_out(scenario, looked_into(scenario)))
    before, after = scenario.dogs[1], apply_changes(scenario, opened.changes).dogs[1]
    assert before == after
    assert before.nutrient_limits == ()


@pytest.mark.parametrize("name", ["at least", "at most", "a ratio"])
def test_a_veterinarian_is_asked_before_a_rule_on_nutrients_gives_way(name: str, tmp_path: Path) -> None:
    scenario = read_back(WRITTEN[name], tmp_path)
    assert "veterinarian" in told(reasons_paper(scenario, looked_into(scenario)))


ZINC = NutrientLimit("zinc", Per.MCAL, Fraction(93, 10), Fraction(25))
RATIO = RatioLimit("calcium", "phosphorus", Fraction(11, 10))


def test_limits_are_written_as_they_are_read() -> None:
    assert limits_text((ZINC, RATIO), ("zinc", "vitamin d")) == (
        "nutrients: {zinc: 9.3 mg to 25 mg per 1000 kcal, calcium to phosphorus: at least 1.1, vitamin d: none}"
    )


@pytest.mark.parametrize(
    ("limit", "level", "is_most", "says"),
    [
        (ZINC, Fraction(93, 10), False, "zinc at least 9.3 mg per 1000 kcal"),
        (ZINC, Fraction(25), True, "zinc at most 25 mg per 1000 kcal"),
        (ZINC, None, False, "nothing is asked of zinc"),
        (RATIO, Fraction(11, 10), False, "calcium to phosphorus at least 1.1"),
        # of units that differ: one of our units over the other is a thousandth of the same weights
        (RatioLimit("zinc", "calcium", Fraction(1, 50)), Fraction(1, 50), False, "zinc to calcium at least 0.02"),
        (RatioLimit("protein", "zinc", Fraction(2)), Fraction(2), False, "protein to zinc at least 2000"),
    ],
)
def test_an_end_of_a_limit_is_told_in_words(
    limit: NutrientLimit | RatioLimit, level: Fraction | None, is_most: bool, says: str
) -> None:
    assert end_text(limit, level, is_most=is_most) == says


PUPPY = "name: Rosie, weight: 8 kg, puppy: yes, adult_weight: 30 kg, ration: 6 %, targets: {muscle: 90 % to 100 %}"
CALCIUM = "calcium: 3 g to 4 g per 1000 kcal, calcium to phosphorus: at least 1"


def test_the_calcium_of_a_growing_dog_clashes_but_never_gives_way(tmp_path: Path) -> None:
    """The mince has a tenth of a gram in 1000 kcal: less calcium for Maple helps it, and nothing helps Rosie."""
    both = f"nutrients: {{{CALCIUM}, zinc: at least 2 mg per 1000 kcal}}"
    scenario = read_back(written(f"{maple()}, {both}", f"{PUPPY}, {both}"), tmp_path)
    every = [demand for demand in NutrientEnd.all_of(scenario) if demand.word != "zinc"]
    assert [demand.dogs for demand in every] == [("Maple",)] * 3 + [("Rosie",)] * 3
    assert all(demand.levels(scenario) for demand in every[:3])
    assert not any(demand.levels(scenario) for demand in every[3:])
    assert all(demand.drop_from(scenario) != scenario for demand in every)  # so that a clash with it is named
    assert len({demand.key for demand in every}) == 6
    eased = [looser.limit for looser in NutrientEnd.one_step_looser(scenario, b.a_plan())]
    assert [limit for limit in eased if "Rosie" in limit] == ["zinc at least 2 mg per 1000 kcal for Maple and Rosie"]


def test_no_way_out_takes_calcium_from_a_growing_dog(tmp_path: Path) -> None:
    scenario = read_back(written(f"{PUPPY}, nutrients: {{{CALCIUM}}}"), tmp_path)
    paper = told(reasons_paper(scenario, looked_into(scenario)))
    assert "Any one of these makes a plan possible" not in paper
    assert "calcium at least 3000 mg per 1000 kcal for Rosie" in paper
