"""Where food stands beside bounds: never more is said than is known.

**Source:** sums worked out by hand beside the numbers; the bounds are invented. No outside source.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from raworder.nourishing.nourishment import assess_nutrition
from raworder.trade.dogs import Care, Dog, EnergyRation, Goal, OtherFood
from raworder.trade.nutrients import (
    Analysis,
    BoneCalcium,
    Bound,
    ComparedBound,
    DogNutrition,
    NutrientLimit,
    Per,
    RatioLimit,
    Standing,
)
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.trade.units import metabolic_kg
from tests.builders import a_dog, a_dog_in_care
from tests.nourishing.fed import BROILER, TRIM, a_food, eats, fed_with, least, most, ratio


def told(scenario: Scenario, plan: Plan) -> DogNutrition:
    """What is told of Maple."""
    (one,) = assess_nutrition(scenario, plan)
    return one


def beside(bound: Bound, plan: Plan) -> ComparedBound:
    """The one bound beside what Maple eats."""
    (found,) = told(fed_with(bound), plan).beside
    return found


def test_amounts_are_told_a_day_and_for_1000_kcal() -> None:
    # 7000 g of trim in 14 days: 500 g a day, 25 mg of zinc, 1000 kcal
    line = told(fed_with(), eats(trim=7_000)).line("zinc")
    assert (line.day, line.per_mcal, line.coverage) == (25, 25, 1)


def test_twice_as_much_food_doubles_a_day_and_leaves_1000_kcal_as_they_are() -> None:
    once, twice = (told(fed_with(), eats(trim=grams)).line("zinc") for grams in (3_500, 7_000))
    assert (twice.day, twice.per_mcal) == (2 * once.day, once.per_mcal)


@pytest.mark.parametrize(
    ("bound", "standing"),
    [
        (least("zinc", 25), Standing.MEETS),
        (least("zinc", 26), Standing.BELOW),
        (most("zinc", 25), Standing.MEETS),
        (most("zinc", 24), Standing.ABOVE),
    ],
)
def test_all_is_known(bound: Bound, standing: Standing) -> None:
    found = beside(bound, eats(trim=7_000))
    assert found.standing is standing
    assert found.of_bound == Fraction(25) / bound.amount


@pytest.mark.parametrize(
    ("bound", "standing"),
    [
        (least("zinc", 20), Standing.MEETS),  # what is known already reaches it
        (least("zinc", 26), Standing.UNKNOWN),
        (most("zinc", 24), Standing.ABOVE),
        (most("zinc", 26), Standing.UNKNOWN),
    ],
)
def test_too_little_is_known(bound: Bound, standing: Standing) -> None:
    # of 90 % of the food zinc is known, of 80 % it is not
    plan = eats(trim=7_000, mystery_mince=3_000)
    scenario = fed_with(bound)
    mystery = scenario.cut("mystery mince")
    energy = replace(mystery, analysis=replace(mystery.analysis, values=(("energy", Fraction(0)),)))
    known = replace(scenario, cuts=tuple(energy if cut is mystery else cut for cut in scenario.cuts))
    (found,) = told(known, plan).beside
    assert found.standing is standing


def test_nine_tenths_of_the_food_is_enough() -> None:
    scenario = fed_with(least("zinc", 26))
    for grams, standing in ((777, Standing.BELOW), (778, Standing.UNKNOWN)):
        (found,) = told(scenario, eats(trim=7_000, mystery_mince=grams)).beside
        assert found.standing is standing


def test_food_of_unknown_energy_may_give_as_much_as_fat() -> None:
    # 950 g of trim a day give 1900 kcal and 47.5 mg of zinc, 50 g of something up to 450 kcal: 20.2 to 25 for 1000 kcal
    plan = eats(trim=13_300, mystery_mince=700)
    for bound, standing in (
        (least("zinc", 20), Standing.MEETS),
        (least("zinc", 21), Standing.UNKNOWN),
        (least("zinc", 26), Standing.BELOW),
        (most("zinc", 20), Standing.ABOVE),
        (most("zinc", 24), Standing.UNKNOWN),
        (most("zinc", 25), Standing.MEETS),
    ):
        assert beside(bound, plan).standing is standing


def test_where_energy_is_not_known_nothing_is_missed() -> None:
    assert told(fed_with(least("zinc", 1)), eats(mystery_mince=7_000)).beside == ()
    for bound in (least("zinc", 26), least("zinc", 20), most("zinc", 20), most("zinc", 26)):
        # of half the food neither energy nor zinc is known: 25 mg for 1000 kcal of the other half say nothing
        assert beside(bound, eats(trim=3_500, mystery_mince=3_500)).standing is Standing.UNKNOWN


@pytest.mark.parametrize(
    ("amount", "standing"),
    # 500 g of neck: 5500 mg of calcium for 1000 kcal, 5000 of it an estimate at 2 %; from 1.3 to 2.7 % 3750 to 7250
    [(3_750, Standing.MEETS), (3_751, Standing.UNKNOWN), (7_250, Standing.UNKNOWN), (7_251, Standing.BELOW)],
)
def test_a_bound_inside_the_estimate_for_bone_is_left_open(amount: int, standing: Standing) -> None:
    found = beside(least("calcium", amount), eats(neck=7_000))
    assert found.standing is standing
    line = told(fed_with(), eats(neck=7_000)).line("calcium")
    assert (line.day, line.least_day, line.most_day) == (5_500, 3_750, 7_250)
    assert [5_000 * share / BROILER.share + 500 for share in (BROILER.least, BROILER.most)] == [3_750, 7_250]


def test_the_ratio_has_a_range_where_bone_is_estimated() -> None:
    (line, _) = told(fed_with(ratio(low=1), ratio(high=2)), eats(neck=7_000)).ratios
    assert line.ratio == Fraction(5_500, 4_000)
    # at 1.3 % there are 3750 mg of calcium and 4000 - 0.35 x 5000 / 2.2 of phosphorus
    assert line.least == pytest.approx(Fraction(3_750) / (4_000 - Fraction(35, 100) * 5_000 / Fraction(22, 10)))
    assert line.most == pytest.approx(Fraction(7_250) / (4_000 + Fraction(35, 100) * 5_000 / Fraction(22, 10)))
    assert [one.standing for one in line.beside] == [Standing.MEETS, Standing.MEETS]


def test_a_ratio_without_any_of_the_other_is_not_told() -> None:
    (_, omega) = told(fed_with(), eats(trim=7_000)).ratios
    assert omega.ratio is None


def test_a_dog_in_care_gets_amounts_and_neither_need_nor_bound_nor_anything_to_mind() -> None:
    dog = replace(a_dog_in_care("Maple", {"trim": 7_000}), care=Care.PREGNANT)
    one = told(fed_with(least("zinc", 26), dog=dog), eats(trim=7_000))
    assert one.line("zinc").day == 25
    assert (one.energy, one.beside, one.minded, one.profile) == (None, (), (), "")


def test_a_dog_of_unknown_weight_has_no_need() -> None:
    assert told(fed_with(dog=a_dog(weight_g=0)), eats(trim=7_000)).energy is None


STATED = Fraction(8, 100)


def stated_bone(scenario: Scenario, low: Fraction, high: Fraction) -> Scenario:
    """The scenario with bone of a stated share of calcium, of which 500 g of neck hold 20 000 mg at 8 %."""
    bone = BoneCalcium("all", (low + high) / 2, low, high, Fraction(22, 10))
    neck = a_food("neck", {"energy": 200, "calcium": 4_100}, bone_calcium_mg=4_000, bone=bone)
    cuts = tuple(neck if cut.name == "neck" else cut for cut in scenario.cuts)
    return replace(scenario, cuts=cuts, bone_calcium=(bone,))


def test_calcium_of_bone_that_is_stated_is_taken_at_what_was_stated() -> None:
    line = told(stated_bone(fed_with(), STATED, STATED), eats(neck=7_000)).line("calcium")
    assert (line.least_day, line.day, line.most_day) == (20_500, 20_500, 20_500)
    line = told(stated_bone(fed_with(), Fraction(6, 100), Fraction(10, 100)), eats(neck=7_000)).line("calcium")
    assert (line.least_day, line.day, line.most_day) == (15_500, 20_500, 25_500)


HERRING = a_food("herring", {"energy": 200, "thiamin": 1}, cautions=("thiaminase-fish",))
THIAMIN_TRIM = a_food("trim", {"energy": 200, "thiamin": 1})


@pytest.mark.parametrize(
    ("grams", "bound", "standing"),
    [
        # 5 mg of thiamin in 1000 kcal, as the tables have it
        ({"trim": 7_000}, least("thiamin", 4), Standing.MEETS),
        ({"herring": 7_000}, least("thiamin", 4), Standing.UNKNOWN),
        ({"trim": 6_999, "herring": 1}, least("thiamin", 4), Standing.UNKNOWN),
        ({"herring": 7_000}, least("thiamin", 6), Standing.BELOW),  # an enzyme makes none
        ({"herring": 7_000}, most("thiamin", 6), Standing.MEETS),
        ({"herring": 7_000}, most("thiamin", 4), Standing.UNKNOWN),
    ],
)
def test_thiamin_beside_fish_that_destroys_it_is_not_known(
    grams: dict[str, int], bound: Bound, standing: Standing
) -> None:
    found = told(fed_with(bound, cuts=(THIAMIN_TRIM, HERRING)), eats(**grams))
    assert [one.standing for one in found.beside] == [standing]
    assert found.line("thiamin").destroyed_by == (("herring",) if "herring" in grams else ())


def ruled(*limits: NutrientLimit | RatioLimit) -> Scenario:
    """Maple with rules of its own, beside a profile that says nothing."""
    plain = fed_with(cuts=(replace(THIAMIN_TRIM, analysis=TRIM.analysis), HERRING))
    dog = replace(
        plain.dogs[0],
        nutrient_limits=tuple(one for one in limits if isinstance(one, NutrientLimit)),
        ratio_limits=tuple(one for one in limits if isinstance(one, RatioLimit)),
    )
    return replace(plain, dogs=(dog,))


# 500 g of trim a day: 25 mg of zinc, 50 of calcium and 1000 of phosphorus, and 1000 kcal
@pytest.mark.parametrize(
    ("limit", "given", "standing"),
    [
        (NutrientLimit("zinc", Per.MCAL, low=Fraction(25)), 25, Standing.MEETS),
        (NutrientLimit("zinc", Per.MCAL, low=Fraction("25.12")), 25, Standing.MEETS),  # whole grams
        (NutrientLimit("zinc", Per.MCAL, low=Fraction("25.13")), 25, Standing.BELOW),
        (NutrientLimit("zinc", Per.DAY, high=Fraction("24.87")), 25, Standing.ABOVE),
        (NutrientLimit("zinc", Per.DAY, high=Fraction("24.88")), 25, Standing.MEETS),
        (NutrientLimit("iodine", Per.DAY, low=Fraction(1)), 0, Standing.UNKNOWN),
        (RatioLimit("calcium", "phosphorus", low=Fraction(1)), Fraction(1, 20), Standing.BELOW),
        (RatioLimit("calcium", "phosphorus", high=Fraction(1)), Fraction(1, 20), Standing.MEETS),
    ],
)
def test_a_rule_of_the_scenario_has_its_line(
    limit: NutrientLimit | RatioLimit, given: Fraction, standing: Standing
) -> None:
    (line,) = told(ruled(limit), eats(trim=7_000)).rules
    assert line.limit == limit
    assert line.beside is not None
    assert (line.beside.given, line.beside.standing) == (given, standing)


def test_a_rule_with_two_ends_has_two_lines_and_one_on_thiamin_is_not_known_beside_herring() -> None:
    rules = (NutrientLimit("zinc", Per.DAY, Fraction(1), Fraction(2)), NutrientLimit("thiamin", Per.MCAL, Fraction(1)))
    low, high, thiamin = told(ruled(*rules), eats(herring=7_000)).rules
    assert (low.bound.is_upper, high.bound.is_upper) == (False, True)
    assert thiamin.beside is not None
    assert thiamin.beside.standing is Standing.UNKNOWN
    assert thiamin.destroyed_by == ("herring",)


def test_a_rule_for_1000_kcal_of_food_without_energy_has_its_line_all_the_same() -> None:
    scenario = ruled(NutrientLimit("zinc", Per.MCAL, Fraction(1)))
    blank = a_food("trim", {"zinc": 5})
    (line,) = told(replace(scenario, cuts=(blank,)), eats(trim=7_000)).rules
    assert (line.beside, line.coverage) == (None, 0)


NEEDED = Fraction(95) * metabolic_kg(Fraction(20_000)) / 1000
"""The least published for Maple, in thousands of kcal a day: 95 x 20^0.75, 898.5 kcal (FEDIAF 2018)."""


@pytest.mark.parametrize(
    ("grams", "bound", "standing"),
    [
        # 25 mg of zinc in 1000 kcal; 400 g a day are 800 kcal and 20 mg, and 24 mg for 1000 kcal are 21.6 for 898.5
        (5_600, least("zinc", 24), Standing.LITTLE_A_DAY),
        (5_600, least("zinc", 22), Standing.MEETS),
        (5_600, least("zinc", 26), Standing.BELOW),
        (7_000, least("zinc", 24), Standing.MEETS),
        # half a percent is forgiven: 20 mg are 99.6 and 99.4 % of what these come to
        (5_600, least("zinc", "22.35"), Standing.MEETS),
        (5_600, least("zinc", "22.4"), Standing.LITTLE_A_DAY),
    ],
)
def test_too_little_food_holds_too_little_a_day_though_1000_kcal_hold_enough(
    grams: int, bound: Bound, standing: Standing
) -> None:
    found = beside(bound, eats(trim=grams))
    assert found.standing is standing
    assert found.due_day == bound.amount * NEEDED
    assert found.given == 25


def test_a_maximum_and_a_ratio_have_no_amount_that_is_due_a_day() -> None:
    compared = told(fed_with(most("zinc", 26), ratio(low=1)), eats(neck=1_000, trim=4_600)).beside
    assert [found.due_day for found in compared] == [None, None]


def test_a_dog_of_unknown_weight_is_judged_by_1000_kcal_alone() -> None:
    (found,) = told(fed_with(least("zinc", 24), dog=a_dog(weight_g=0)), eats(trim=1_400)).beside
    assert (found.standing, found.due_day) == (Standing.MEETS, None)


@pytest.mark.parametrize(
    ("amount", "standing"),
    # 400 g of neck a day hold 3000 to 5800 mg of calcium; in 1000 kcal 3750 to 7250; 898.5 kcal are due
    [(3_750, Standing.MEETS), (6_450, Standing.UNKNOWN), (6_500, Standing.LITTLE_A_DAY), (7_251, Standing.BELOW)],
)
def test_a_day_is_too_little_only_if_it_is_at_the_upper_end_of_the_estimate_for_bone(
    amount: int, standing: Standing
) -> None:
    assert beside(least("calcium", amount), eats(neck=5_600)).standing is standing


@pytest.mark.parametrize(("treats", "standing"), [(60, Standing.LITTLE_A_DAY), (120, Standing.MEETS)])
def test_what_treats_hold_is_not_known_so_with_many_of_them_a_day_is_not_judged(
    treats: int, standing: Standing
) -> None:
    """Beside 800 kcal from the plan, 60 are 7 % of all and 120 are 13 %."""
    dog = replace(a_dog(), energy=EnergyRation((Fraction(800),) * 14, True), treats_kcal=Fraction(treats))
    (found,) = told(fed_with(least("zinc", 24), dog=dog), eats(trim=5_600)).beside
    assert found.standing is standing


@pytest.mark.parametrize(
    ("dog", "kcal"),
    [
        # AAHA 2021: 63 x 16^0.75; FEDIAF: 110 and 95 x 16^0.75; FEDIAF 2021: 210 up to half of the adult weight
        (replace(a_dog(weight_g=20_000), goal=Goal.LOSE, ideal_weight_g=16_000), 504),
        (replace(a_dog(weight_g=16_000), activity="moderate"), 880),
        (replace(a_dog(weight_g=10_000), goal=Goal.GAIN, ideal_weight_g=16_000), 760),
        (replace(a_dog(weight_g=16_000, puppy=True), adult_weight_g=40_000), 1_680),
    ],
)
def test_what_is_due_a_day_goes_with_the_energy_published_for_the_dog(dog: Dog, kcal: int) -> None:
    (found,) = told(fed_with(least("zinc", 20), dog=dog), eats(trim=2_800)).beside
    assert found.due_day == Fraction(20 * kcal, 1000)


SOME, AS_MUCH = OtherFood(Fraction(350)), OtherFood(as_much=True)
KNOWN = OtherFood(
    Fraction(350), daily_g=Fraction(100), analysis=Analysis((("energy", Fraction(350)), ("zinc", Fraction(10))))
)


@pytest.mark.parametrize(
    ("other", "kcal", "zinc_mg", "known"),
    [
        # 400 g of trim a day give 800 kcal and 20 mg of zinc
        (SOME, 1_150, 20, Fraction(400, 575)),
        (AS_MUCH, 1_600, 20, Fraction(1, 2)),
        (KNOWN, 1_150, 30, Fraction(1)),
    ],
)
def test_other_food_counts_as_energy_and_what_it_holds_is_known_only_by_its_analysis(
    other: OtherFood, kcal: int, zinc_mg: int, known: Fraction
) -> None:
    found = told(fed_with(least("zinc", 28), dog=replace(a_dog(), other_food=other)), eats(trim=5_600))
    assert found.energy is not None
    assert (found.energy.day, found.energy.other) == (kcal, kcal - 800)
    zinc = found.line("zinc")
    assert (zinc.day, zinc.coverage, zinc.per_mcal) == (zinc_mg, known, Fraction(zinc_mg * 1000, kcal))
    # 28 mg for 1000 kcal are missed by all that is known, but only where enough is known is that said
    assert found.beside[0].standing is (Standing.BELOW if other is KNOWN else Standing.UNKNOWN)


def test_a_rule_counts_the_plans_food_alone() -> None:
    rule = NutrientLimit("zinc", Per.MCAL, Fraction(25))
    for other in (SOME, AS_MUCH, KNOWN):
        dog = replace(a_dog(), other_food=other, nutrient_limits=(rule,))
        (line,) = told(fed_with(dog=dog), eats(trim=5_600)).rules
        assert line.beside is not None
        assert (line.beside.given, line.beside.standing, line.coverage) == (25, Standing.MEETS, 1)


def test_as_much_again_of_unknown_energy_is_as_unknown_as_the_plans_food() -> None:
    # 400 g of trim and 100 g of unknown energy a day: 800 kcal and up to 900 more, and as much again
    found = told(fed_with(dog=replace(a_dog(), other_food=AS_MUCH)), eats(trim=5_600, mystery_mince=1_400))
    assert found.energy is not None
    assert (found.energy.day, found.energy.most_day) == (1_600, 3_400)
    assert found.line("energy").coverage == Fraction(4, 5)


def test_as_much_energy_again_is_as_much_as_food_and_treats_together() -> None:
    energy = EnergyRation((Fraction(800),) * 14, True)
    dog = replace(a_dog(), energy=energy, treats_kcal=Fraction(100), other_food=AS_MUCH)
    found = told(fed_with(dog=dog), eats(trim=5_600))
    assert found.energy is not None
    assert (found.energy.other, found.line("energy").day) == (900, 1_700)
