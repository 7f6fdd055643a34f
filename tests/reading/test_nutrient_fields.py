"""Rations in energy, rules on nutrients, analyses, profiles and supplements as a scenario says them.

**Source:** sums worked out by hand beside the numbers; the scenarios are invented. No outside source.
"""

import random
from dataclasses import replace
from decimal import Decimal, getcontext
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.quantities import NutrientAmount, read_nutrient_amount
from raworder.reading.rations import densest_kcal_per_g, least_day_g
from raworder.reading.scenario_file import read_scenario
from raworder.trade.cuts import Part
from raworder.trade.dogs import Dog, EnergyRation
from raworder.trade.nutrients import NutrientLimit, Per, RatioLimit, Trust
from raworder.trade.scenario import Scenario
from raworder.trade.units import metabolic_kg
from tests.builders import a_cut, a_dog, prey_model
from tests.supplemented import OIL, SHELL, an_analysis

SOUND = Path(__file__).resolve().parents[1] / "hostile" / "valid" / "nutrients.yaml"
TEXT = SOUND.read_text(encoding="utf-8")


def read(tmp_path: Path, *changes: tuple[str, str]) -> Scenario:
    """The sound scenario with some of its text changed."""
    text = TEXT
    for find, put in changes:
        assert text.count(find) == 1, find
        text = text.replace(find, put)
    path = tmp_path / "scenario.yaml"
    path.write_text(text, encoding="utf-8")
    found = read_scenario(path)
    assert found.scenario is not None, found.findings
    return found.scenario


def dog(scenario: Scenario, name: str) -> Dog:
    return next(one for one in scenario.dogs if one.name == name)


def test_a_ration_by_metabolic_weight_less_treats(tmp_path: Path) -> None:
    bramble = dog(read(tmp_path), "Bramble")
    assert bramble.energy is not None
    # 110 x 12^0.75 are 709.2
    assert set(bramble.energy.day_kcal) == {110 * metabolic_kg(Fraction(12_000)) - 40}
    assert bramble.treats_kcal == 40
    assert bramble.ration_says == "110 kcal/kg^0.75 of 12 kg, 709 kcal a day, less 40 kcal of treats"
    assert bramble.free_grams


def test_a_ration_in_kilocalories_goes_to_its_end_in_equal_steps(tmp_path: Path) -> None:
    fern = dog(read(tmp_path), "Fern")
    assert fern.energy is not None
    assert fern.energy.day_kcal == tuple(200 + Fraction(20 * day, 13) for day in range(14))


def test_a_ration_goes_with_the_ideal_weight_where_it_is_to_change(tmp_path: Path) -> None:
    bramble = dog(
        read(tmp_path, ("    weight: 12 kg\n", "    weight: 12 kg\n    goal: lose\n    ideal_weight: 10 kg\n")),
        "Bramble",
    )
    assert bramble.energy is not None
    assert bramble.energy.day_kcal[0] == 110 * metabolic_kg(Fraction(10_000)) - 40


def test_a_ration_goes_with_the_weight_by_the_end(tmp_path: Path) -> None:
    bramble = dog(read(tmp_path, ("    weight: 12 kg\n", "    weight: 12 kg\n    weight_by_end: 13 kg\n")), "Bramble")
    assert bramble.energy is not None
    assert bramble.energy.day_kcal[-1] == 110 * metabolic_kg(Fraction(13_000)) - 40


def test_days_away_have_no_energy(tmp_path: Path) -> None:
    fern = dog(read(tmp_path, ("    weight: 4 kg\n", "    weight: 4 kg\n    away: [2027-02-07]\n")), "Fern")
    assert fern.energy is not None
    assert [day for day, kcal in enumerate(fern.energy.day_kcal) if not kcal] == [1]
    assert (fern.days, fern.day_g[1]) == (13, 0)


def test_rules_on_nutrients_are_those_of_all_dogs_and_the_own(tmp_path: Path) -> None:
    scenario = read(tmp_path)
    bramble, fern, moss = scenario.dogs
    assert bramble.nutrient_limits == (
        NutrientLimit("zinc", Per.MCAL, Fraction(15), None),
        NutrientLimit("epa_dha", Per.DAY, Fraction(1, 10), Fraction(28, 10)),
    )
    assert bramble.ratio_limits == (RatioLimit("calcium", "phosphorus", Fraction(8, 10), Fraction(2)),)
    assert [limit.nutrient for limit in fern.nutrient_limits] == ["epa_dha"]
    assert (moss.nutrient_limits, moss.ratio_limits, moss.profile, moss.energy) == ((), (), "", None)


def test_profiles_activity_and_fat_are_read(tmp_path: Path) -> None:
    scenario = read(tmp_path)
    bramble, fern, _ = scenario.dogs
    assert (bramble.profile, fern.profile) == ("FEDIAF adult 110", "moor rule")
    assert (bramble.activity, bramble.used_to_fat) == ("moderate", Fraction(9, 100))
    own = next(one for one in scenario.profiles if one.name == "moor rule")
    assert [(one.amount, one.is_upper, one.trust) for one in own.bounds] == [
        (18, False, Trust.GIVEN),
        (30, True, Trust.GIVEN),
    ]


@pytest.mark.parametrize(
    ("more", "profile"),
    [
        ("", "AAFCO adult maintenance"),
        ("    puppy: yes\n", "AAFCO growth and reproduction"),
        ("    puppy: yes\n    adult_weight: 31.7 kg\n", "AAFCO growth and reproduction"),
        ("    puppy: yes\n    adult_weight: 31.8 kg\n", "AAFCO large-size growth"),
    ],
)
def test_a_dog_without_a_profile_is_shown_beside_that_of_its_age(more: str, profile: str, tmp_path: Path) -> None:
    changes = (("  profile: FEDIAF adult 110\n", ""), ("    weight: 12 kg\n", f"    weight: 12 kg\n{more}"))
    assert dog(read(tmp_path, *changes), "Bramble").profile == profile


def test_cuts_have_the_table_the_stated_and_the_given(tmp_path: Path) -> None:
    scenario = read(tmp_path)
    mince, heart = scenario.cut("moor mince").analysis, scenario.cut("beef heart (own analysis)").analysis
    # 200 IU of vitamin A are 60 ug; the fat is the cut's
    assert (mince.of("energy"), mince.of("vitamin_a"), mince.of("fat"), mince.of("copper")) == (190, 60, 12, None)
    assert heart.of("iodine") == 3
    assert heart.of("zinc") == Fraction("1.70")  # USDA SR28 13321


def test_supplements_are_read_by_steps(tmp_path: Path) -> None:
    scenario = read(tmp_path)
    oil, tablets = scenario.supplements
    # 360 and 240 mg in two capsules
    assert oil.analysis.of("epa_dha") == Fraction(3, 10)
    assert (oil.unit, oil.most_steps, oil.on_hand_steps, oil.species) == ("capsule", 6, 40, ("salmon",))
    assert (tablets.analysis.of("zinc"), tablets.most_steps) == (15, 1)
    by_name = {one.supplement: one for one in scenario.supplement_offers}
    assert (by_name["sea oil"].steps, by_name["sea oil"].supplier, by_name["sea oil"].available) == (120, "Fenwick", 3)
    assert (by_name["zinc tablets"].supplier, by_name["zinc tablets"].price) == ("your list", Decimal("6.00"))


def test_powders_are_given_in_parts_of_a_gram(tmp_path: Path) -> None:
    given = "per: 100 g\n    step: 0.5 g\n    analysis: {zinc: 1500 mg}\n    most_a_day: 2 g"
    put = f"pack: 0.25 kg\n    price: 6.00\n    {given}"
    find = "pack: 60 tablets\n    price: 6.00\n    analysis: {zinc: 15 mg}\n    most_a_day: 1 tablet"
    tablets = read(tmp_path, (find, put)).supplement("zinc tablets")
    assert (tablets.unit, tablets.step, tablets.most_steps) == ("g", Fraction(1, 2), 4)
    assert tablets.analysis.of("zinc") == Fraction(15, 2)


def test_one_supplement_in_two_packs_is_one_supplement(tmp_path: Path) -> None:
    again = (
        "  - {supplement: zinc tablets, supplier: Fenwick, pack: 200 tablets, price: 15.00, analysis: {zinc: 15 mg}, "
        "most_a_day: 1 tablet}\nprofiles:\n"
    )
    scenario = read(tmp_path, ("profiles:\n", again))
    assert [one.name for one in scenario.supplements] == ["sea oil", "zinc tablets"]
    assert sorted(one.steps for one in scenario.supplement_offers if one.supplement == "zinc tablets") == [60, 200]


def test_a_dog_refuses_supplements_by_name_and_by_species(tmp_path: Path) -> None:
    scenario = read(tmp_path, ("    treats: 40 kcal\n", "    treats: 40 kcal\n    avoid: [salmon]\n"))
    assert dog(scenario, "Bramble").refuses(scenario.supplement("sea oil"))
    assert not dog(scenario, "Bramble").refuses(scenario.supplement("zinc tablets"))
    assert not dog(scenario, "Fern").refuses(scenario.supplement("sea oil"))


def test_a_growing_dog_is_given_no_calcium_of_which_no_rule_says_how_much() -> None:
    zinc = NutrientLimit("zinc", Per.MCAL, Fraction(20))
    for puppy, limits, refused in (
        (True, {"nutrient_limits": (zinc,)}, True),
        (False, {"nutrient_limits": (zinc,)}, False),
        (True, {"nutrient_limits": (zinc, NutrientLimit("calcium", Per.MCAL, Fraction(3_000)))}, False),
        (True, {"ratio_limits": (RatioLimit("calcium", "phosphorus", Fraction(1)),)}, False),
    ):
        fed = replace(a_dog(puppy=puppy), **limits)  # type: ignore[arg-type] # limits of two kinds
        assert fed.refuses(SHELL) is refused
        assert not fed.refuses(OIL)


@pytest.mark.parametrize("grams", [1, 999, 4_000, 12_345, 70_000, 1_000_000])
def test_metabolic_weight_is_the_power_of_three_quarters(grams: int) -> None:
    getcontext().prec = 40
    power = (Decimal(grams) / 1000) ** Decimal("0.75")
    found = metabolic_kg(Fraction(grams))
    assert 0 <= Fraction(power) - found < Fraction(1, 10**9)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(40))
def test_no_mixture_within_the_rules_is_denser_than_the_bound(seed: int) -> None:
    chance = random.Random(seed)
    parts = ({Part.MUSCLE: 1}, {Part.MUSCLE: "3/5", Part.BONE: "2/5"}, {Part.LIVER: 1}, {Part.OTHER_ORGAN: 1})
    cuts = [
        replace(
            a_cut(f"cut {n}", parts=chance.choice(parts)), analysis=an_analysis({"energy": chance.randint(50, 400)})
        )
        for n in range(3)
    ]
    eater = a_dog(targets=prey_model())
    bound = densest_kcal_per_g(eater, cuts)
    for first in range(0, 101, 4):
        for second in range(0, 101 - first, 4):
            shares = [Fraction(one, 100) for one in (first, second, 100 - first - second)]
            inside = all(
                sum(share * cut.part_share(one.part) for share, cut in zip(shares, cuts, strict=True)) <= one.high
                for one in eater.targets
            )
            if inside:
                density = sum(share * (cut.kcal_per_g or 0) for share, cut in zip(shares, cuts, strict=True))
                assert density <= bound


def test_the_least_grams_are_the_energy_in_the_densest_mixture() -> None:
    cut = replace(a_cut(), analysis=an_analysis({"energy": 200}))
    assert least_day_g(a_dog(), EnergyRation((Fraction(500), Fraction(0), Fraction(501))), [cut]) == (250, 0, 250)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(30))
def test_nothing_written_as_a_limit_gives_a_traceback(seed: int, tmp_path: Path) -> None:
    chance = random.Random(seed)
    words = [
        "at least",
        "at most",
        "to",
        "15",
        "0.1",
        "mg",
        "g",
        "IU",
        "kcal",
        "per 1000 kcal",
        "a day",
        "none",
        "%",
        "-1",
    ]
    text = " ".join(chance.choices(words, k=chance.randint(1, 6)))
    path = tmp_path / "scenario.yaml"
    path.write_text(TEXT.replace("at least 15 mg per 1000 kcal", f'"{text}"'), encoding="utf-8")
    found = read_scenario(path)
    assert (found.scenario is None) == any(one.refuses for one in found.findings)


@pytest.mark.parametrize(("said", "kcal"), [("418.4 kJ", 100), ("150 kcal", 150)])
def test_a_kilocalorie_is_4_184_kilojoules(said: str, kcal: int) -> None:
    # Source: the thermochemical calorie is 4.184 J by definition; from memory, not looked up.
    assert read_nutrient_amount(said) == NutrientAmount(Fraction(kcal), "kcal")
