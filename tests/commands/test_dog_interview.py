"""A ration in energy is proposed for each dog that `start` asks about. All names and prices are invented.

**Source:** the figures are those of FEDIAF's table of activity and of growth, and of AAHA 2021 for weight loss, which
`tests/outside/test_energy_need.py` holds against what is printed; 16 kg to the power 0.75 is 8, 81 kg is 27.
"""

from pathlib import Path

import pytest

from raworder.reading.scenario_file import read_scenario
from tests.commands.running import Ended, told
from tests.commands.test_start import FRAME, SOLD, loaded, typed

SELLS = (
    "Hollow Lane", "", "chicken neck", "1 kg", "2.40", "beef trim", "", "6.20 per kg", "lamb liver", "400 g", "1.90",
    "beef kidney", "", "3.60 per kg", "", "",
)  # fmt: skip
"""The answers for a supplier of all that a dog needs."""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Where a scenario is to be."""
    return tmp_path / "mine.yaml"


def asked(file: Path, *of_dog: str) -> tuple[Ended, dict[str, object]]:
    """The command with these answers about one dog, and that dog as it is written; it must not eat nothing else."""
    ended = typed(file, "EUR", "2027-02-06", "", "", "Maple", *of_dog, "", "no", *SELLS)
    assert ended.code == 0, ended.stderr
    return ended, only_dog(file)


def only_dog(file: Path) -> dict[str, object]:
    """The dog in the file, without its name and what it must not eat."""
    (dog,) = loaded(file)["dogs"]  # type: ignore[misc]  # as written
    return {field: value for field, value in dog.items() if field not in {"name", "targets", "avoid"}}


@pytest.mark.slow
def test_enter_takes_the_energy_that_is_proposed_and_the_scenario_plans_at_once(file: Path) -> None:
    ended, dog = asked(file, "16 kg", "", "", "", "", "", "")
    assert dog == {"weight": "16 kg", "activity": "low", "ration": "760 kcal"}
    assert "Proposed for Maple: 760 kcal a day\n  95 kcal x kg^0.75, low activity < 1 h/day" in ended.stdout
    assert "on typical food 430 g to 550 g, 2.7 to 3.4 % of its weight\n" in ended.stdout
    assert "A dog may need a third more or less" in ended.stdout
    assert "    ration: 760 kcal  # 95 kcal x kg^0.75, low activity < 1 h/day (walking on lead), FEDIAF\n" in (
        file.read_text()
    )
    planned = told("plan", file, "--all")
    assert planned.code == 0, planned.stderr
    assert "760 kcal a day (published 760 to 880)" in planned.stdout


def test_a_dog_takes_at_most_four_answers_more_than_its_name_and_weight_and_each_has_a_default(file: Path) -> None:
    ended, _ = asked(file, "16 kg", "", "", "", "", "", "")
    about_dog = ended.stdout.partition("Weight, such as")[2].partition("What it must not eat")[0]
    answered = [line for line in about_dog.splitlines() if line.endswith(("]: ", "(Enter: none): "))]
    # ill, growth or goal, activity, other food, pattern, ration: ill and pattern were asked before
    assert len(answered) - 2 == 4


@pytest.mark.parametrize(
    ("answers", "written", "figure"),
    [
        (("", "working", "", ""), {"activity": "working", "ration": "1200 kcal"}, "150 kcal x kg^0.75, 3-6 h/day"),
        (
            ("growing", "40 kg", "", ""),
            {"puppy": True, "adult_weight": "40 kg", "ration": "1680 kcal"},
            "210 kcal x kg^0.75, up to 50 % of adult weight, FEDIAF",
        ),
        (
            ("growing", "16 kg", "", ""),
            {"puppy": True, "adult_weight": "16 kg", "ration": "1065 kcal"},
            "formula for puppies, NRC 2006",
        ),
        (
            ("gain", "20 kg", "moderate", "", ""),
            {"goal": "gain", "ideal_weight": "20 kg", "activity": "moderate", "ration": "1045 kcal"},
            "110 kcal x kg^0.75, 1-3 h/day low impact",
        ),
        (
            ("", "", "350 kcal", ""),
            {"activity": "low", "ration": "410 kcal", "other_food": "350 kcal"},
            "less 350 kcal of other food",
        ),
        (("", "", "half", ""), {"activity": "low", "ration": "380 kcal", "other_food": "half"}, "less half of other"),
        (
            ("", "", "90 g at 380 kcal", ""),
            {
                "activity": "low",
                "ration": "420 kcal",
                "other_food": {"weight": "90 g", "analysis": {"energy": "380 kcal"}},
            },
            "less 90 g at 380 kcal of other food",
        ),
    ],
)
def test_what_is_said_of_a_dog_decides_what_is_proposed(
    file: Path, answers: tuple[str, ...], written: dict[str, object], figure: str
) -> None:
    ended, dog = asked(file, "16 kg", "", *answers, "")
    assert dog == {"weight": "16 kg", **written}
    assert figure in ended.stdout
    scenario = read_scenario(file).scenario
    assert scenario is not None
    (read,) = scenario.dogs
    assert read.energy is not None
    assert read.resting_kcal is not None
    assert all(read.other_food.with_plan(kcal) >= read.resting_kcal for kcal in read.energy.day_kcal)


def test_a_dog_that_is_to_lose_weight_gets_what_is_published_for_its_ideal_weight(file: Path) -> None:
    ended, dog = asked(file, "90 kg", "", "lose", "81 kg", "", "", "")
    assert dog == {"weight": "90 kg", "goal": "lose", "ideal_weight": "81 kg", "ration": "1705 kcal"}
    assert "63 kcal x kg^0.75, weight loss, of the ideal weight, AAHA 2021" in ended.stdout
    assert "% of its ideal weight" in ended.stdout


@pytest.mark.slow
@pytest.mark.parametrize(("said", "written"), [("2.5 %", "2.5 %"), ("410 g", "410 g"), ("800 kcal", "800 kcal")])
def test_percent_grams_and_other_energy_stay_what_was_typed(file: Path, said: str, written: str) -> None:
    _, dog = asked(file, "16 kg", "", "", "", "", "", said)
    assert dog["ration"] == written
    assert "FEDIAF" not in file.read_text()
    assert told("plan", file).code == 0


@pytest.mark.parametrize(
    ("answers", "least", "below"),
    [
        (("", "", ""), "560 kcal", "559 kcal"),
        (("", "", ""), "70 kcal/kg^0.75", "69 kcal/kg^0.75"),
        (("lose", "12 kg", ""), "342 kcal", "341 kcal"),
        (("", "", "160 kcal"), "400 kcal", "399 kcal"),
        (("", "", "half"), "280 kcal", "279 kcal"),
        (("", "", ""), "261 g", "260 g"),
        (("", "", ""), "1.63 %", "1.62 %"),
    ],
)
def test_no_ration_below_the_energy_at_rest_is_written(
    file: Path, answers: tuple[str, ...], least: str, below: str
) -> None:
    """At rest 8 x 70 kcal; for weight loss to 12 kg 53 x 6.447; 560 kcal in grams as rich as the caps allow, 2.15."""
    ended, dog = asked(file, "16 kg", "", *answers, "", below, least)
    assert dog["ration"] == least
    assert ended.stderr.startswith(f"`{below}` is ")
    assert "see `vet_asked_for_less`\n" in ended.stderr


def test_after_back_another_activity_gives_another_proposal(file: Path) -> None:
    ended, dog = asked(file, "16 kg", "", "", "", "back", "active", "", "", "back", "", "")
    assert (dog["activity"], dog["ration"]) == ("active", "1000 kcal")
    assert ended.stdout.count("Proposed for Maple") == 2


def test_weights_of_typical_food_are_in_the_unit_of_the_papers(file: Path) -> None:
    ended = typed(file, "EUR", "2027-02-06", "", "lb", "Maple", "48 lb", *[""] * 7, "no", *SELLS)
    assert ended.code == 0, ended.stderr
    assert "on typical food 1 lb 3 oz to 1 lb 8.3 oz, " in ended.stdout


@pytest.mark.slow
@pytest.mark.parametrize(
    ("line", "answers"),
    [
        ("Maple, 22 kg, low", ("22 kg", "", "", "", "", "", "")),
        ("Maple, 9 kg, puppy, adult weight 31 kg, BARF", ("9 kg", "", "growing", "31 kg", "", "BARF", "")),
        ("Maple, 24 kg, lose, ideal weight 20 kg", ("24 kg", "", "lose", "20 kg", "", "", "")),
        ("Maple, 22 kg, active, other food half", ("22 kg", "", "", "active", "half", "", "")),
    ],
)
def test_an_option_without_a_ration_gets_the_same_proposal(file: Path, line: str, answers: tuple[str, ...]) -> None:
    ended, _ = asked(file, *answers)
    proposed = ended.stdout.partition("Proposed for Maple")[2].partition("Food a day")[0]
    other = file.parent / "other.yaml"
    sold = [word.replace("Fenwick Market Stall", "Hollow Lane").replace("Lane Butcher", "Lane") for word in SOLD]
    by_option = told("start", other, *FRAME, "--dog", line, *sold)
    assert other.read_text() == file.read_text()
    assert proposed in by_option.stdout
    printed = told("start", "-", *FRAME, "--dog", line, *sold)
    assert printed == Ended(0, file.read_text(), "")


def test_a_dog_whose_other_food_is_all_it_needs_is_asked_again(file: Path) -> None:
    ended, dog = asked(file, "16 kg", "", "", "", "760 kcal", "755 kcal", "750 kcal", "", "")
    assert (dog["other_food"], dog["ration"]) == ("750 kcal", "10 kcal")
    assert "`760 kcal` of other food is already all that is published for `Maple`: write less of it" in ended.stderr


@pytest.mark.slow
@pytest.mark.parametrize("energy", ["", "190 kcal"])
def test_a_cut_described_for_a_list_has_its_energy_and_is_fed_to_a_dog_fed_by_energy(file: Path, energy: str) -> None:
    """Without its energy a dog fed by energy would get none of it, and nothing else here is muscle without bone."""
    prices = file.parent / "nordhof.csv"
    prices.write_text("Artikel;Preis/kg\nchicken neck;2,40\nWurfmix;6,20\nlamb liver;4,80\nbeef kidney;3,60\n")
    columns = ("Artikel", "Preis/kg", "", "")
    own = ("own", "beef", "mince", "muscle", "12 %", energy)
    of_dog = ("Maple", "16 kg", *[""] * 7, "no")
    ended = typed(file, "EUR", "2027-02-06", "", "", *of_dog, "Nordhof", str(prices), *columns, *own, "")
    assert ended.code == 0, ended.stderr
    (cut,) = loaded(file)["own_cuts"]  # type: ignore[misc]  # as written
    assert cut["analysis"] == {"energy": energy or "182 kcal"}
    planned = told("plan", file)
    assert planned.code == 0, planned.stderr
    assert "energy-not-known" not in planned.stderr
