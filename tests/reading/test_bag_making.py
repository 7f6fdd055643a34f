"""How bags are made, from the fields of `portioning`."""

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.trade.bags import USUAL_MOST_A_DAY, Portioning, Working
from raworder.trade.cuts import Measure, Part, Subject
from tests.reading.written import DOG, KALE, a_text, reading_of, scenario_of, slugs

NECK = "{cut: turkey neck, pack: 1 kg, price: 2.00}"
BONY_NECK = "{cut: turkey neck, pack: 1 kg, price: 2.00, bone: 42.5 %}"
RIB = "{cut: lamb rib, pack: 1 kg, price: 3.00, piece: 95 g}"
CUTS = "\n".join(f"  - {one}" for one in (NECK, BONY_NECK, RIB, KALE))


def portioning_of(folder: Path, fields: str, cuts: str = CUTS) -> Portioning:
    return scenario_of(folder, a_text(cuts=cuts, more=f"portioning: {{{fields}}}")).portioning


def found_in(folder: Path, fields: str, more: str = "") -> list[str]:
    return slugs(reading_of(folder, a_text(cuts=CUTS, more=f"portioning: {{{fields}}}\n{more}")))


def test_nothing_said_is_what_is_usual(tmp_path: Path) -> None:
    assert scenario_of(tmp_path, a_text()).portioning == Portioning()
    assert portioning_of(tmp_path, "working: each cut") == Portioning()


def test_what_is_usual_is_what_the_guide_says() -> None:
    """Common practice, no source: steps of 5 g and two of them at least, 5 % by hand, 0.5 % a week, tubs of 5 kg."""
    usual = Portioning()
    assert (usual.working, usual.scale_step_g, usual.least_portion_g) == (Working.EACH_CUT, 5, 10)
    assert (usual.bag_tolerance, usual.week_allowance) == (Fraction(5, 100), Fraction(5, 1000))
    assert (usual.tub_g, usual.scale_g, usual.freezes_g, usual.day) == (5_000, 5_000, None, None)
    assert usual.divided == frozenset()
    assert {subject.word or subject.measure: int(most * 100) for subject, most in usual.most_a_day} == {
        "bone": 30,
        "liver": 20,
        "other organ": 20,
        "vegetables": 20,
        "berries": 10,
        "heart": 30,
        "fat": 25,
    }


def test_every_field_is_read(tmp_path: Path) -> None:
    fields = (
        "working: tub, scale_step: 2 g, least_portion: 6 g, bag_tolerance: 4 %, week_allowance: 0 %, "
        "most_a_day: {bone: 25 %}, divided: [lamb rib], tub: 8 kg, scale: 6 kg, freezes: 10 kg, day: 2027-02-04"
    )
    made = portioning_of(tmp_path, fields)
    assert made.working is Working.TUB
    assert (made.scale_step_g, made.least_portion_g) == (2, 6)
    assert (made.bag_tolerance, made.week_allowance) == (Fraction(4, 100), 0)
    assert (made.tub_g, made.scale_g, made.freezes_g) == (8000, 6000, 10_000)
    assert made.day == date(2027, 2, 4)


@pytest.mark.parametrize(("step", "grams"), [("2 g", 2), ("0.1 oz", 3), ("0.5 g", 1), ("1 oz", 28)])
def test_the_least_portion_is_two_steps_of_the_scale_if_not_said(tmp_path: Path, step: str, grams: int) -> None:
    # 0.1 oz is 2.835 g and 1 oz is 28.35 g
    made = portioning_of(tmp_path, f"scale_step: {step}")
    assert (made.scale_step_g, made.least_portion_g) == (grams, 2 * grams)


def test_the_day_most_is_merged_over_the_usual_one(tmp_path: Path) -> None:
    most = dict(portioning_of(tmp_path, "most_a_day: {bone: 25 %, fat: none, Beef: 50 %, heart: 30 %}").most_a_day)
    usual = dict(USUAL_MOST_A_DAY)
    assert most.pop(Subject(Measure.PART, Part.BONE)) == Fraction(1, 4)
    assert most.pop(Subject(Measure.SPECIES, "beef")) == Fraction(1, 2)
    assert {**usual, **most} == usual
    assert set(usual) - set(most) == {Subject(Measure.FAT, ""), Subject(Measure.PART, Part.BONE)}


@pytest.mark.parametrize(
    ("named", "divided"),
    [
        ("turkey neck", {"turkey neck", "turkey neck (bone 42.5 %)"}),
        ('"Turkey Neck (bone 42.5 %)"', {"turkey neck (bone 42.5 %)"}),
        ("lamb rib", {"lamb rib (piece 95 g)"}),
    ],
)
def test_a_divided_cut_is_found_with_all_its_variants(tmp_path: Path, named: str, divided: set[str]) -> None:
    scenario = scenario_of(tmp_path, a_text(cuts=CUTS, more=f"portioning: {{divided: [{named}]}}"))
    assert scenario.portioning.divided == divided
    whole = [cut.name for cut in scenario.cuts if scenario.portioning.whole_piece_g(cut)]
    assert set(whole) == {"turkey neck", "turkey neck (bone 42.5 %)", "lamb rib (piece 95 g)"} - divided


def test_a_divided_cut_may_be_on_hand_alone(tmp_path: Path) -> None:
    more = "on_hand: [{cut: chicken neck, weight: 1 kg}]\nportioning: {divided: [chicken neck]}"
    assert scenario_of(tmp_path, a_text(more=more)).portioning.divided == {"chicken neck"}


@pytest.mark.parametrize(
    ("named", "slug"),
    [("turky neck", "unknown-cut"), ("kale", "needless-division"), ("duck neck", "needless-division")],
)
def test_a_cut_that_needs_no_dividing_is_told(tmp_path: Path, named: str, slug: str) -> None:
    assert found_in(tmp_path, f"divided: [{named}]") == [slug]


def test_a_divided_cut_whose_offer_is_in_error_is_not_called_needless(tmp_path: Path) -> None:
    cuts = f"  - {KALE}\n  - {{cut: duck neck, pack: 1 kg, price: dear}}"
    assert slugs(reading_of(tmp_path, a_text(cuts=cuts, more="portioning: {divided: [duck neck]}"))) == ["bad-value"]


@pytest.mark.parametrize(
    ("fields", "found"),
    [
        ("scale_step: 100 g", []),
        ("scale_step: 101 g", ["coarse-scale"]),
        ("scale_step: 500 g", ["coarse-scale"]),
        ("scale_step: 501 g", ["unusable-scale"]),
        ("scale: 500 g", []),
        ("scale: 499 g", ["unusable-scale"]),
        ("working: tub, tub: 500 g", []),
        ("working: tub, tub: 499 g", ["unusable-scale"]),
        ("tub: 5 kg", ["unused-value"]),
        ("least_portion: 5 g", []),
        ("least_portion: 4 g", ["portion-off-scale"]),
        ("least_portion: 12 g", ["portion-off-scale"]),
        ("scale_step: 4 g, least_portion: 12 g", []),
        ("scale_step: 4 g, least_portion: 10 g", ["portion-off-scale"]),
    ],
)
def test_scales_tubs_and_least_portions_are_doubted_at_their_bounds(
    tmp_path: Path, fields: str, found: list[str]
) -> None:
    assert found_in(tmp_path, fields) == found


@pytest.mark.parametrize(
    ("day", "found"),
    [
        ("2027-02-07", ["portioned-out-of-time"]),
        ("2027-02-06", []),
        ("2027-02-03", []),
        ("2027-02-02", ["portioned-early"]),
        ("2027-01-23", ["portioned-early"]),
        ("2027-01-22", ["portioned-out-of-time"]),
    ],
)
def test_the_day_of_filling_is_near_the_batch(tmp_path: Path, day: str, found: list[str]) -> None:
    assert found_in(tmp_path, f"day: {day}") == found


def test_a_portion_off_the_scale_is_told_the_next_that_is_on_it(tmp_path: Path) -> None:
    reading = reading_of(tmp_path, a_text(more="portioning: {least_portion: 12 g}"))
    assert reading.findings[0].help == "write `15 g`, or a finer `scale_step`"


def test_what_follows_from_a_field_in_error_is_not_told_as_well(tmp_path: Path) -> None:
    assert found_in(tmp_path, "scale_step: 4, least_portion: 12 g") == ["no-unit"]
    assert found_in(tmp_path, "working: tubs, tub: 5 kg") == ["unknown-choice"]
    text = a_text(batch="{starts: soon}", more="portioning: {day: 2027-02-05}")
    assert slugs(reading_of(tmp_path, text)) == ["bad-date"]


def test_a_day_most_of_a_kind_looks_for_mixes_that_hide_it(tmp_path: Path) -> None:
    mix = "own_cuts: [{cut: moor mix, kind: mince, species: beef, bone: 0 %, fat: 9 %}]"
    assert found_in(tmp_path, "most_a_day: {heart: 20 %}", mix) == ["unseen-ingredients"]
    assert found_in(tmp_path, "most_a_day: {bone: 20 %}", mix) == []


def test_a_weight_as_the_most_of_a_day_is_answered_with_a_share(tmp_path: Path) -> None:
    text = a_text(more="portioning: {most_a_day: {beef heart: 200 g}}")
    (found,) = reading_of(tmp_path, text).findings
    assert (found.slug, found.message) == ("bad-value", "`200 g` is not a share")
    assert "200 %" not in found.help
    assert "such as `10 %`" in found.help


def test_what_is_divided_is_refused_where_it_is_toxic(tmp_path: Path) -> None:
    assert found_in(tmp_path, "divided: [onion]") == ["toxic-food"]


def test_meals_and_kennels_are_the_dogs_own_or_those_of_all(tmp_path: Path) -> None:
    fields = DOG.replace("{name: Maple,", "{")[1:-1]
    dogs = (
        f"  - {{name: Maple, kennel: North, meals: 3, {fields}}}\n  - {{name: Pip, {fields}}}\n"
        "  - {name: Vera, care: ill, vet_amounts: {kale: 10 g}}"
    )
    maple, pip, vera = scenario_of(tmp_path, a_text(dogs=dogs, more="all_dogs: {meals: 2}")).dogs
    assert (maple.meals, pip.meals, vera.meals) == (3, 2, 2)
    assert (maple.kennel, pip.kennel) == ("North", "")
    assert scenario_of(tmp_path, a_text()).dogs[0].meals == 1


def test_a_field_in_error_takes_no_other_with_it(tmp_path: Path) -> None:
    assert sorted(found_in(tmp_path, "scale_step: 4, divided: [moon cheese]")) == ["no-unit", "unknown-cut"]
