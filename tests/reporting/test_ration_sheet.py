"""The ration sheet: what a dog eats and what that holds, beside a profile, in plain numbers for its veterinarian.

**Source:** worked out by hand beside the numbers; all foods and bounds are invented.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from raworder.nourishing.nourishment import assess_nutrition
from raworder.rendering.terminal import terminal
from raworder.reporting.nutrition_words import SPANS
from raworder.reporting.ration_sheet import ration_screen, ration_sheet
from raworder.reporting.words import capitalised
from raworder.trade.as_fed import as_fed
from raworder.trade.document import Cell, Document, Points, Table
from raworder.trade.dogs import EnergyRation, Goal, OtherFood
from raworder.trade.nutrients import Analysis, BoneCalcium, NutrientLimit, Per, Trust
from raworder.trade.plan import Dose, Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import with_nourishment
from tests.builders import a_dog, a_dog_in_care, a_plan, a_portion, prey_model
from tests.nourishing.fed import NECK, TRIM, UNKNOWN, a_food, eats, fed_with, least, most, ratio
from tests.studies.tables import rows_of
from tests.studies.telling import told
from tests.supplemented import SUPPLEMENTED, SUPPLEMENTED_PLAN

VERDICTS = ("complete", "balanced", "adequate", "deficient", "safe", "healthy", "sufficient")

BOUNDS = (
    least("zinc", 25, Trust.MEMORY),
    most("zinc", 100),
    least("calcium", 1500),
    most("phosphorus", 1000),
    least("vitamin_a", 10),
    ratio(low="1/2"),
)
SCENARIO = fed_with(*BOUNDS)
# 150 g of neck and 350 g of trim a day, 300 + 700 = 1000 kcal
PLAN = eats(neck=2_100, trim=4_900)


def sheet(scenario: Scenario = SCENARIO, plan: Plan = PLAN) -> Document:
    """The paper of what was fed."""
    return ration_sheet(scenario, replace(plan, nourished=assess_nutrition(scenario, plan)))


def on_screen(scenario: Scenario) -> tuple[str, ...]:
    """What the first screen says of the one dog."""
    plan = replace(PLAN, nourished=assess_nutrition(scenario, PLAN))
    (points,) = (block for block in ration_screen(scenario, plan).blocks if isinstance(block, Points))
    return points.items


def test_the_screen_names_every_bound_that_is_missed_and_only_those() -> None:
    # zinc 20.5 of 25 mg, phosphorus 1900 of 1000, vitamin A known of no food, calcium could be 1500, as it is from bone
    said = " ".join(on_screen(SCENARIO))
    assert "82 % of the recommended minimum" in said
    assert "1 can't be judged: the food isn't analysed for vitamin A." in said
    assert "Above the maximum: phosphorus." in said
    assert "of calcium per 1000 kcal, as bone differs so much" in said
    assert "Could be above or below" not in said  # of calcium that is said once


def test_the_screen_says_where_nothing_is_short() -> None:
    assert on_screen(fed_with(least("zinc", 20)))[-1] == (
        "Nothing was found to be short or wrong, as far as the food is known."
    )


def row_of(paper: Document, name: str) -> dict[str, Cell]:
    """The row of a nutrient, by the columns for programs."""
    (found,) = (row for row in rows_of(paper, "nutrients") if str(row["nutrient"]).startswith(name))
    return found


def table(paper: Document, title: str) -> Table:
    """The first table that is titled so."""
    return next(one for one in paper.blocks if isinstance(one, Table) and one.title.startswith(title))


@pytest.mark.parametrize(
    ("name", "unit", "day", "per_mcal"),
    [
        ("energy", "kcal", 1000, None),
        ("zinc", "mg", Fraction(41, 2), Fraction(41, 2)),  # 2 x 1.5 + 5 x 3.5
        ("calcium, mg", "mg", 1685, 1685),  # 1100 x 1.5 + 10 x 3.5
        ("phosphorus", "mg", 1900, 1900),  # 800 x 1.5 + 200 x 3.5
        ("calcium to phosphorus", "times", None, Fraction(1685, 1900)),
    ],
)
def test_what_a_days_food_holds_is_told_exactly(name: str, unit: str, day: Cell, per_mcal: Cell) -> None:
    row = row_of(sheet(), name)
    assert (row["unit"], row["day"], row["per_1000_kcal"]) == (unit, day, per_mcal)


@pytest.mark.parametrize(
    ("name", "low", "high", "of_least", "stands"),
    [
        ("zinc", 25, 100, Fraction(41, 50), "below"),
        # at 1.3 % calcium in bone 1500 mg of it are 975: 1160 in all; at 2.7 % they are 2025: 2210
        ("calcium, mg", 1500, None, Fraction(1685, 1500), SPANS),
        ("phosphorus", None, 1000, None, "above"),
        # known of the trim alone, 70 %
        ("vitamin A", 10, None, 0, "not enough known"),
        ("calcium to phosphorus", Fraction(1, 2), None, Fraction(1685, 950), "meets it"),
    ],
)
def test_bounds_stand_beside_it(name: str, low: Cell, high: Cell, of_least: Cell, stands: str) -> None:
    row = row_of(sheet(), name)
    assert (row["least"], row["most"], row["of_least"], row["stands"]) == (low, high, of_least, stands)


def test_the_estimate_for_bone_is_told_with_both_its_ends() -> None:
    row = row_of(sheet(), "calcium, mg")
    assert (row["least_day"], row["most_day"]) == (1160, 2210)
    note = table(sheet(), "Maple: what it holds").note
    assert "bone are an estimate at 2.0 % calcium in bone of poultry (1.3 to 2.7 %): there is 1160 to 2210 mg" in note
    assert "can only be guessed" not in note


def test_a_bound_that_is_recalled_is_marked_where_it_is_shown_and_only_there() -> None:
    paper = sheet()
    assert str(row_of(paper, "zinc")["nutrient"]).endswith(" †")
    assert row_of(paper, "zinc")["bounds_trust"] == "memory, seen"
    assert "†" not in str(row_of(paper, "phosphorus")["nutrient"])
    note = "† a bound of it is recalled, not checked against the original."
    assert note in table(paper, "Maple: what it holds").note
    assert "†" not in told(sheet(fed_with(least("zinc", 25))))


def test_a_value_that_is_not_known_is_a_dash_and_no_nought() -> None:
    row = row_of(sheet(fed_with(least("iodine", 100))), "iodine")
    assert (row["day"], row["per_1000_kcal"], row["of_least"], row["known"]) == (None, None, None, 0)
    assert row["stands"] == "not enough known"


def test_food_of_which_nothing_is_known_lowers_what_is_known() -> None:
    row = row_of(sheet(plan=eats(trim=4_900, mystery_mince=2_100)), "zinc")
    assert (row["known"], row["stands"]) == (Fraction(7, 10), "not enough known")


def test_what_is_fed_on_a_day_adds_up_as_printed() -> None:
    # a third of 500 g each: 166.67, 166.67 and 166.67 are 167, 167 and 166
    scenario = fed_with(cuts=(NECK, TRIM, UNKNOWN))
    dog = replace(scenario.dogs[0], days=3)
    plan = eats(neck=500, trim=500, mystery_mince=500)
    fed = table(sheet(replace(scenario, dogs=(dog,)), plan), "Maple, 20 kg")
    assert [row[1] for row in fed.rows] == [167, 167, 166]
    assert fed.totals == (("together", 500, 1),)


def test_a_dog_in_care_has_no_need_and_no_bound_and_the_sheet_defers() -> None:
    sorrel = a_dog_in_care("Sorrel", {"trim": 1_400})
    scenario = replace(fed_with(*BOUNDS), dogs=(replace(sorrel, profile=""),))
    plan = a_plan(portions=(a_portion("Sorrel", "trim", 1_400),))
    paper = sheet(scenario, plan)
    text = told(paper)
    assert "Sorrel is in a veterinarian's care (ill), so no needs and no limits are worked out for it." in text
    assert "Energy:" not in text
    assert "to ask about" not in text
    assert {row["stands"] for row in rows_of(paper, "nutrients")} == {""}
    assert {row["least"] for row in rows_of(paper, "nutrients")} == {None}
    shown = {column.key for column in table(paper, "Sorrel: what it holds").columns}
    assert not shown & {"least", "of_least", "most", "stands"}


def test_what_is_given_beside_is_told() -> None:
    paper = ration_sheet(SUPPLEMENTED, with_nourishment(SUPPLEMENTED, SUPPLEMENTED_PLAN))
    text = told(paper)
    assert "Given beside it: 2 capsules of salmon oil a day and 2 g of egg shell powder a day." in text
    # 250 g of trim give 500 kcal, two capsules 18; calcium 25 + 2 x 380
    rows = {(row["dog"], row["nutrient"]): row["day"] for row in rows_of(paper, "nutrients")}
    assert (rows["Bramble", "energy, kcal"], rows["Bramble", "calcium, mg"]) == (518, 785)
    assert (rows["Fern", "energy, kcal"], rows["Fern", "calcium, mg"]) == (200, 10)


def test_every_dog_has_its_own_rows_for_programs() -> None:
    paper = ration_sheet(SUPPLEMENTED, with_nourishment(SUPPLEMENTED, SUPPLEMENTED_PLAN))
    assert list(dict.fromkeys(row["dog"] for row in rows_of(paper, "nutrients"))) == ["Bramble", "Fern"]


def test_every_source_is_named_once() -> None:
    (figures,) = (one for one in sheet().blocks if isinstance(one, Points) and one.key == "figures")
    assert len(figures.sources) == len(set(figures.sources))
    assert "an invented source" in figures.sources
    assert figures.sources[0].startswith("USDA National Nutrient Database for Standard Reference, Release 28")


def test_a_cut_of_which_the_analysis_is_borrowed_or_of_another_table_is_named_with_its_source() -> None:
    lent = replace(
        TRIM, analysis=replace(TRIM.analysis, source="borrowed from an invented cut; the scenario", borrowed=("zinc",))
    )
    own = replace(NECK, analysis=replace(NECK.analysis, source="SR28 00000; the scenario"))
    scenario = fed_with(*BOUNDS, cuts=(own, lent))
    paper = ration_sheet(scenario, replace(PLAN, nourished=assess_nutrition(scenario, PLAN)))
    (figures,) = (one for one in paper.blocks if isinstance(one, Points) and one.key == "figures")
    assert "trim: borrowed from an invented cut" in figures.sources
    assert "ANSES CIQUAL for what else is marked *" in figures.sources
    assert not any("neck" in source or "the scenario" in source for source in figures.sources)


def test_what_is_minded_is_something_to_ask_and_no_verdict() -> None:
    puppy = replace(a_dog(targets=prey_model(), puppy=True), adult_weight_g=40_000)
    for scenario in (SCENARIO, fed_with(*BOUNDS, dog=puppy)):
        # half of it, so 500 kcal a day
        words = told(sheet(scenario, eats(neck=1_050, trim=2_450))).casefold()
        assert "for the veterinarian of each dog" in words
        found = assess_nutrition(as_fed(scenario, eats(neck=1_050, trim=2_450)), eats(neck=1_050, trim=2_450))[0].minded
        (told_of,) = (
            block.items
            for block in sheet(scenario, eats(neck=1_050, trim=2_450)).blocks
            if isinstance(block, Points) and block.title.endswith(": what its food may do")
        )
        assert list(told_of) == [f"{capitalised(each.grade)}: {each.says}. {each.advice}" for each in found]
        assert not [word for word in VERDICTS if word in words]


def test_a_dose_of_another_dog_is_not_told() -> None:
    plan = replace(SUPPLEMENTED_PLAN, doses=(Dose("Fern", "egg shell powder", 1),))
    paper = ration_sheet(SUPPLEMENTED, with_nourishment(SUPPLEMENTED, plan))
    assert told(paper).count("Given beside it") == 1


def test_a_stated_share_of_calcium_in_bone_is_told_as_stated_and_no_range_of_others() -> None:
    stated = Fraction(8, 100)
    scenario = with_bone(BoneCalcium("poultry", stated, stated, stated, Fraction(2)))
    note = table(sheet(scenario), "Maple: what it holds").note
    assert "are counted at 8.0 % calcium in bone of poultry, as stated." in note
    assert "estimate" not in note
    assert row_of(sheet(scenario), "calcium, mg")["stands"] != SPANS
    ranged = with_bone(BoneCalcium("neck", Fraction(2, 100), Fraction(1, 100), Fraction(3, 100), Fraction(2)))
    # of 1685 mg 1500 are an estimate at 2 %
    told_of = "2.0 % calcium in bone of neck (1 to 3 %), as stated: there is 935 to 2435 mg"
    assert told_of in table(sheet(ranged), "Maple: what it holds").note


def with_bone(bone: BoneCalcium) -> Scenario:
    """The scenario with the bone of the neck reckoned so."""
    neck = a_food("neck", dict(NECK.analysis.values), bone_calcium_mg=1_000, bone=bone)  # type: ignore[arg-type] # what the builder takes
    return replace(SCENARIO, cuts=tuple(neck if cut.name == "neck" else cut for cut in SCENARIO.cuts))


def test_bone_of_several_groups_is_told_in_one_sentence_and_so_is_doubt_about_how_much_there_is() -> None:
    mammal, fish = (
        BoneCalcium(of, Fraction(8, 100), Fraction(4, 100), Fraction(12, 100), Fraction(2), Trust.DERIVED)
        for of in ("mammal", "fish")
    )
    rib, sprat = (
        a_food(name, {"energy": 200, "calcium": 1_100}, bone_calcium_mg=1_000, bone=bone)
        for name, bone in (("rib", mammal), ("sprat", fish))
    )
    rib = replace(rib, bone_range=(Fraction(20, 100), Fraction(30, 100)))
    note = table(sheet(fed_with(cuts=(NECK, rib, sprat)), eats(neck=1_400, rib=1_400, sprat=1_400)), "Maple: what").note
    bone = (
        "at 2.0 % calcium in bone of poultry (1.3 to 2.7 %) and 8.0 % calcium in bone of mammals and fish (4 to 12 %): "
    )
    assert bone in note
    assert "How much bone there is can only be guessed for rib (20 to 30 %)." in note


HERRING = a_food("herring", {"energy": 200, "thiamin": 1, "zinc": 5}, cautions=("thiaminase-fish",))
RULES = (
    NutrientLimit("zinc", Per.DAY, Fraction(1), Fraction(100)),
    NutrientLimit("thiamin", Per.MCAL, Fraction(1)),
    NutrientLimit("iodine", Per.DAY, Fraction(1)),
)


def test_every_rule_that_was_set_is_a_line_and_thiamin_beside_herring_is_not_known() -> None:
    plain = fed_with(least("thiamin", 4), cuts=(HERRING,))
    scenario = replace(plain, dogs=(replace(plain.dogs[0], nutrient_limits=RULES),))
    paper = sheet(scenario, eats(herring=7_000))
    assert [(row["rule"], row["fed"], row["known"], row["stands"]) for row in rows_of(paper, "rules")] == [
        ("zinc at least 1 mg a day", 25, 1, "meets it"),
        ("zinc at most 100 mg a day", 25, 1, "meets it"),
        ("thiamin at least 1 mg per 1000 kcal", 5, None, "not known: destroyed"),
        ("iodine at least 1 ug a day", 0, 0, "not enough known"),
    ]
    assert len(table(paper, "Maple: rules that you set").rows) == len(RULES) + 1
    row = row_of(paper, "thiamin")
    assert (row["stands"], row["known"], row["of_least"]) == ("not known: destroyed", None, None)
    assert "‡ herring can destroy thiamin" in table(paper, "Maple: what it holds").note


def test_where_no_rule_was_set_there_is_no_table_of_them() -> None:
    assert not any(isinstance(one, Table) and "rules" in one.title for one in sheet().blocks)


@pytest.mark.parametrize(("unknown_g", "is_told"), [(700, True), (800, False)])
def test_where_energy_is_not_known_enough_nothing_is_told_for_1000_kcal(unknown_g: int, *, is_told: bool) -> None:
    # zinc is known of the trim alone, 90 % of the food or less: 1000 kcal of known food are not 1000 kcal of the food
    row = row_of(sheet(plan=eats(trim=6_300, mystery_mince=unknown_g)), "zinc")
    assert row["day"] == Fraction(45, 2)
    assert (row["per_1000_kcal"] is not None, row["of_least"] is not None) == (is_told, is_told)


def seen(paper: Document, nutrient: str) -> dict[str, Cell]:
    """The row of a nutrient as people see it, by heading."""
    held = table(paper, "Maple: what it holds")
    (row,) = (row for row in held.rows if str(row[0]).startswith(nutrient))
    return dict(zip([column.heading for column in held.columns], row, strict=True))


def test_a_days_amount_stands_beside_the_least_for_the_energy_that_is_published() -> None:
    """800 kcal a day: 20 mg of zinc, 25 for 1000 kcal; 24 for the published 898.5 kcal are 21.56."""
    paper = sheet(fed_with(least("zinc", 24)), eats(trim=5_600))
    row = seen(paper, "zinc")
    assert list(row) == ["Nutrient", "A day", "Least a day", "In 1000 kcal", "Least", "Most", "Stands"]
    assert (row["A day"], row["In 1000 kcal"], row["Least"], row["Stands"]) == (20, 25, 24, "too little a day")
    assert isinstance(row["Least a day"], Fraction)
    assert abs(row["Least a day"] - Fraction("21.563")) < Fraction(1, 1000)
    assert row_of(paper, "zinc")["due_day"] == row["Least a day"]
    note = table(paper, "Maple: what it holds").note
    assert "`Least a day` goes with the least energy published for Maple, 898 kcal a day." in note
    assert (
        "`too little a day`: the minimum per 1000 kcal is met, or could be, but a day's food holds too little." in note
    )
    assert "Maple gets less energy than that: more food cures it." in note


def test_of_a_dog_that_is_fed_enough_nothing_is_too_little_a_day() -> None:
    paper = sheet(fed_with(least("zinc", 24)), eats(trim=7_000))
    assert seen(paper, "zinc")["Stands"] == "meets it"
    assert "too little" not in table(paper, "Maple: what it holds").note


def test_where_no_weight_is_known_the_columns_are_as_they_were() -> None:
    paper = sheet(fed_with(least("zinc", 24), dog=a_dog(weight_g=0)), eats(trim=5_600))
    assert list(seen(paper, "zinc")) == [
        "Nutrient", "A day", "In 1000 kcal", "Least", "Of it", "Most", "Known", "Stands",
    ]  # fmt: skip
    assert row_of(paper, "zinc")["due_day"] is None
    assert "Least a day" not in told(paper)


def test_what_is_not_known_of_all_the_food_says_so_beside_where_it_stands() -> None:
    scenario = fed_with(least("zinc", 20), least("vitamin_a", 10), least("iodine", 100))
    paper = sheet(scenario, eats(neck=700, trim=6_300))
    # zinc of all of it; vitamin A of the trim, 90 %, none at all in it; iodine of nothing
    assert seen(paper, "zinc")["Stands"] == "meets it"
    assert seen(paper, "vitamin A")["Stands"] == "below (90.0 % known)"
    assert seen(paper, "iodine")["Stands"] == "not known"
    part = sheet(scenario, eats(neck=2_100, trim=4_900))
    assert seen(part, "vitamin A")["Stands"] == "not enough known (70.0 %)"


def test_the_table_fits_a_terminal_of_80_columns() -> None:
    paper = sheet(fed_with(least("zinc", 24), most("vitamin_a", 100_000), least("pantothenic_acid", 3)))
    lines = terminal([paper], width=80, color=False).split("\n")
    assert max(map(len, lines)) <= 80
    assert any(line.startswith("pantothenic acid, mg") and line.endswith("not known") for line in lines)


KNOWN_FOOD = Analysis((("energy", Fraction(350)), ("zinc", Fraction(10))))


@pytest.mark.parametrize(
    ("other", "eaten", "known", "energy"),
    [
        (OtherFood(Fraction(350)), "350 kcal of other food a day. What it holds is not known", False,
         "1150 kcal a day are fed: 800 from this plan (2.5 % of its weight), 350 of other food."),
        (OtherFood(as_much=True), "as much energy again of other food a day. What it holds is not known", False,
         "1600 kcal a day are fed: 800 from this plan (2.5 % of its weight), 800 of other food."),
        (OtherFood(Fraction(350), daily_g=Fraction(100), analysis=KNOWN_FOOD),
         "350 kcal of other food a day. It counts by the analysis that you gave", True,
         "1150 kcal a day are fed: 800 from this plan (2.5 % of its weight), 350 of other food."),
    ],
)  # fmt: skip
def test_what_a_dog_eats_beside_the_plan_is_told(other: OtherFood, eaten: str, energy: str, *, known: bool) -> None:
    dog = replace(a_dog(daily_g=500), other_food=other, nutrient_limits=RULES[:1])
    paper = sheet(fed_with(least("zinc", 20), dog=dog), eats(trim=5_600))
    text = told(paper)
    assert f"Beside this food Maple eats {eaten}" in text
    assert f"Energy: {energy}" in text
    assert f"Ration: 2.5 % of 20 kg, beside {other.says}." in text
    assert (seen(paper, "zinc")["Stands"] == "meets it") is known
    rules = table(paper, "Maple: rules that you set")
    assert rules.note == "They count this plan's food, without what Maple eats beside it."


def test_a_dog_that_eats_nothing_else_is_told_nothing_of_it() -> None:
    text = told(sheet())
    assert "eside this" not in text
    assert "other food" not in text


def test_energy_is_told_as_food_other_food_and_treats_that_add_up() -> None:
    energy, other = EnergyRation((Fraction(800),) * 14, True), OtherFood(Fraction("99.5"))
    dog = replace(a_dog(daily_g=400), energy=energy, treats_kcal=Fraction("40.5"), other_food=other)
    # 800 + 40.5 + 99.5 are 940; 41 and 100 of it leave 799
    text = told(sheet(fed_with(dog=dog), eats(trim=5_600)))
    assert "940 kcal a day are fed: 799 from this plan (2.0 % of its weight), 100 of other food, 41 in treats." in text


def test_a_dog_that_is_to_lose_weight_stands_beside_what_is_published_for_that() -> None:
    dog = replace(a_dog(weight_g=20_000), goal=Goal.LOSE, ideal_weight_g=16_000)
    text = told(sheet(fed_with(least("zinc", 24), dog=dog), eats(trim=3_780)))
    assert "Published for weight loss, of the ideal weight: 504 to 584 kcal." in text
    assert "the least energy published for Maple, 504 kcal a day" in text
