"""Analyses: what 100 g as bought holds, from a table, from what is stated, with what is estimated for bone.

**Source:** sums worked out by hand beside the numbers; 4, 9 and 4 kcal a gram by FEDIAF 2018 Annex 1 section 2.2.1 b,
read in a second-hand copy. The foods are invented.
"""

from fractions import Fraction

from raworder.reading.limits import Bone, analysis, find_nutrient, supplement_analysis
from raworder.reading.reference import KnownNutrients, in_our_unit
from raworder.trade.nutrients import Analysis, BoneCalcium, BoneEstimate

TWO_PERCENT = BoneCalcium("invented", Fraction(2, 100), Fraction(1, 100), Fraction(4, 100), Fraction(22, 10))


def bone(share: Fraction, *ends: Fraction) -> Bone:
    """Bone of 2 % calcium, perhaps 1 to 4 %, of which there may be more or less."""
    least, most = ends or (share, share)
    return Bone(share, (least, most), TWO_PERCENT)


def a_known(**values: int) -> KnownNutrients:
    """What a table knows of 100 g of the edible portion."""
    return KnownNutrients(tuple((key, Fraction(amount)) for key, amount in values.items()), (), "a table")


def of(found: Analysis) -> dict[str, Fraction]:
    return dict(found.values)


def test_bone_leaves_less_of_the_edible_portion() -> None:
    found = analysis(a_known(zinc=4, protein=20), bone(Fraction(1, 4)), None, {})
    assert of(found) == {"protein": 15, "zinc": 3}


def test_bone_brings_an_estimate_of_calcium_and_phosphorus() -> None:
    # 25 g of bone at 2 % hold 500 mg of calcium and a 2.2th of that of phosphorus
    found = analysis(a_known(calcium=20, phosphorus=200), bone(Fraction(1, 4)), None, {})
    assert of(found) == {"calcium": 515, "phosphorus": 150 + 500 / Fraction(22, 10)}
    assert found.bone_calcium == TWO_PERCENT
    calcium, phosphorus = found.estimates
    assert calcium == BoneEstimate("calcium", Fraction(500), Fraction(250), Fraction(1_000))
    assert phosphorus == BoneEstimate("phosphorus", *(Fraction(mg * 10, 22) for mg in (500, 250, 1_000)))


def test_where_the_share_of_bone_is_in_doubt_the_ends_of_the_estimate_are_further_apart() -> None:
    found = analysis(
        a_known(calcium=20, phosphorus=200), bone(Fraction(1, 4), Fraction(1, 5), Fraction(2, 5)), None, {}
    )
    assert found.of("calcium") == 515
    # 20 g of bone at 1 %, and 40 g at 4 %
    assert found.estimates[0] == BoneEstimate("calcium", Fraction(500), Fraction(200), Fraction(1_600))
    assert found.estimates[1].most == Fraction(16_000, 22)


def test_where_the_table_knows_no_calcium_bone_makes_none_known() -> None:
    found = analysis(a_known(zinc=4), bone(Fraction(1, 4)), None, {})
    assert found.of("calcium") is None
    assert (found.estimates, found.bone_calcium) == ((), None)


def test_what_is_given_wins_and_holds_its_bone_already() -> None:
    given = {"calcium": Fraction(900), "zinc": Fraction(7)}
    found = analysis(a_known(calcium=20, phosphorus=200, zinc=4), bone(Fraction(1, 4)), None, given)
    assert (found.of("calcium"), found.of("zinc")) == (900, 7)
    assert [estimate.nutrient for estimate in found.estimates] == ["phosphorus"]
    assert found.of("phosphorus") == 150 + 500 / Fraction(22, 10)
    assert found.given == ("calcium", "zinc")


def test_energy_is_4_9_and_4_kcal_and_fibre_gives_none() -> None:
    found = analysis(a_known(protein=20, fat=10, carbohydrate=5, fibre=2), bone(Fraction(0)), None, {})
    assert found.of("energy") == 4 * 20 + 9 * 10 + 4 * 3


def test_a_stated_fat_counts_in_the_energy() -> None:
    found = analysis(a_known(protein=20, fat=10, carbohydrate=0), bone(Fraction(1, 4)), Fraction(12, 100), {})
    assert (found.of("fat"), found.of("energy")) == (12, 4 * 15 + 9 * 12)


def test_energy_that_is_given_is_not_reckoned_and_without_protein_none_is_known() -> None:
    known = a_known(protein=20, fat=10, carbohydrate=0)
    assert analysis(known, bone(Fraction(0)), None, {"energy": Fraction(99)}).of("energy") == 99
    assert analysis(None, bone(Fraction(0)), Fraction(12, 100), {}).of("energy") is None
    assert analysis(None, bone(Fraction(0)), Fraction(12, 100), {}).of("fat") == 12


def test_a_sum_is_known_where_all_its_members_are() -> None:
    assert analysis(a_known(epa=1, dha=2), bone(Fraction(0)), None, {}).of("epa_dha") == 3
    assert analysis(a_known(epa=1), bone(Fraction(0)), None, {}).of("epa_dha") is None
    assert analysis(a_known(epa=1), bone(Fraction(0)), None, {"epa_dha": Fraction(9)}).of("epa_dha") == 9


def test_a_step_of_a_supplement_holds_its_part_of_what_is_analysed() -> None:
    # 0.5 g of a powder of which 100 g hold 60 mg of iodine
    found = supplement_analysis({"iodine": Fraction(60_000)}, Fraction(100), Fraction(1, 2))
    assert found.of("iodine") == 300


def test_units_are_those_of_the_nutrient() -> None:
    assert in_our_unit(Fraction(1), "g", "calcium") == 1_000
    assert in_our_unit(Fraction(100), "IU", "vitamin_a") == 30
    assert in_our_unit(Fraction(100), "IU", "vitamin_d") == Fraction(5, 2)
    assert in_our_unit(Fraction(100), "IU", "vitamin_e") == 67
    assert in_our_unit(Fraction(100), "IU", "zinc") is None
    assert in_our_unit(Fraction(1), "kcal", "zinc") is None
    assert in_our_unit(Fraction(1), "g", "energy") is None


def test_names_are_known_whatever_their_case() -> None:
    found = find_nutrient("epa AND dha")
    assert found is not None
    assert found.key == "epa_dha"
    assert find_nutrient("zink") is None
