"""Proposals for the next ration: small steps within published needs, and nothing computed for whom none should be.

All dogs and weights are invented. **Source:** FEDIAF's 95 kcal and AAHA's 53 kcal per kg^0.75 as lowest needs, worked
out by hand.
"""

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest

from raworder.nourishing.next_ration import LOST, STEP, food_kcal_per_g, next_ration
from raworder.reading.reference import read_needs
from raworder.trade.dogs import Care, Dog, EnergyRation, Goal, OtherFood
from raworder.trade.kept import Weighing
from raworder.trade.weight_trend import NextRation, Step, trends
from tests import builders as b
from tests.reporting.samples_of_book import BAGS

NEEDS = {row.key: row for row in read_needs()}
SIXTEEN = replace(b.a_dog("Maple", weight_g=16_000, daily_g=600), resting_kcal=Fraction(560))
"""16 kg to the power 0.75 is 8: at rest 560 kcal, published from 760 to 1000 kcal."""

STEADY, UP, DOWN = (16_000, 16_010, 15_990), (16_000, 16_300, 16_600), (16_600, 16_300, 16_000)


def proposal(dog: Dog | None, grams: tuple[int, ...], kcal_per_g: Fraction | None = Fraction(3, 2)) -> NextRation:
    """What is proposed after weighings a week apart."""
    made = [Weighing("Maple", b.STARTS + timedelta(7 * place), weight) for place, weight in enumerate(grams)]
    return next_ration(dog, trends(made)[0], NEEDS, 5, kcal_per_g)


def by_energy(kcal: int, **others: object) -> Dog:
    """The dog with a ration in energy."""
    dog = replace(SIXTEEN, energy=EnergyRation((Fraction(kcal),) * 14))
    return replace(dog, **others)  # type: ignore[arg-type]  # fields by name


def test_a_steady_weight_keeps_its_ration() -> None:
    assert proposal(SIXTEEN, STEADY).step is Step.KEEP


def test_a_dog_that_gains_gets_one_step_less_and_one_that_loses_one_more() -> None:
    less, more = proposal(SIXTEEN, UP), proposal(SIXTEEN, DOWN)
    assert (less.step, less.grams, less.kcal) == (Step.LESS, 570, None)  # 600 x 0.95
    assert (more.step, more.grams) == (Step.MORE, 630)  # 600 x 1.05
    assert (less.changed, more.changed) == (-STEP, STEP)
    assert less.sources
    assert "FEDIAF" in less.sources[0]


def test_a_ration_in_energy_stays_in_energy_and_within_what_is_published() -> None:
    # at 16.6 kg the least is 95 x 8.224 = 781.3 kcal: 800 may fall to 785 alone, not to 760
    assert (proposal(by_energy(800), UP).step, proposal(by_energy(800), UP).kcal) == (Step.LESS, 785)
    assert proposal(by_energy(780), UP).step is Step.VET
    # at 16 kg the most is 125 x 8 = 1000 kcal
    assert proposal(by_energy(980), DOWN).kcal == 1_000
    assert proposal(by_energy(1_000), DOWN).step is Step.VET


def test_the_energy_of_the_food_decides_how_far_grams_may_fall() -> None:
    # 600 g of 1.3 kcal are 780 kcal, less than the 781.3 that are published
    assert proposal(SIXTEEN, UP, Fraction(13, 10)).step is Step.VET
    assert proposal(SIXTEEN, UP, None).grams == 570  # typical food, 1.55 kcal


def test_other_food_counts_with_the_ration() -> None:
    assert proposal(by_energy(700, other_food=OtherFood(Fraction(100))), UP).kcal == 685  # 781.3 - 100
    assert proposal(by_energy(700, other_food=OtherFood(as_much=True)), UP).step is Step.VET


def test_a_step_that_no_scale_shows_is_none() -> None:
    tiny = replace(b.a_dog("Maple", weight_g=1_000, daily_g=70))
    small = proposal(tiny, (1_000, 980, 960))
    assert (small.step, small.grams) == (Step.KEEP, None)
    assert "too small" in small.why or "cannot be weighed" in small.why


@pytest.mark.parametrize("care", Care)
@pytest.mark.parametrize("weights", [STEADY, UP, DOWN, (16_000,)])
def test_nothing_is_computed_for_a_dog_in_care(care: Care, weights: tuple[int, ...]) -> None:
    found = proposal(replace(SIXTEEN, care=care), weights)
    assert (found.step, found.grams, found.kcal) == (Step.VET, None, None)


def test_a_loss_that_nobody_wanted_goes_to_the_veterinarian() -> None:
    lost = 20_000 - int(20_000 * LOST)
    assert proposal(SIXTEEN, (20_000, 19_500, lost)).step is Step.MORE  # just five in a hundred
    found = proposal(SIXTEEN, (20_000, 19_500, lost - 1))
    assert (found.step, found.grams) == (Step.VET, None)
    to_gain = replace(SIXTEEN, goal=Goal.GAIN, ideal_weight_g=21_000)
    assert proposal(to_gain, (20_000, 19_500, lost - 1)).step is Step.VET


@pytest.mark.parametrize(
    ("weights", "step"),
    [
        ((3_000, 3_200, 3_500), Step.GROWS),
        ((3_000, 3_000, 3_000), Step.VET),
        ((3_000, 3_010, 2_950), Step.VET),
        ((3_000, 3_200), Step.WAIT),
        ((3_000, 2_900), Step.VET),
        ((3_000, 3_400, 3_800, 3_600), Step.VET),  # it gained before
    ],
)
def test_a_puppy_is_to_gain_and_nothing_is_computed_for_it(weights: tuple[int, ...], step: Step) -> None:
    found = proposal(replace(SIXTEEN, puppy=True), weights)
    assert (found.step, found.grams, found.kcal) == (step, None, None)


@pytest.mark.parametrize(
    ("weights", "step"),
    [
        ((30_000, 29_700, 29_400), Step.KEEP),  # 1 % a week
        ((30_000, 29_950, 29_900), Step.LESS),  # 0.2 %
        ((30_000, 30_100, 30_200), Step.LESS),
        ((30_000, 29_000, 28_000), Step.MORE),  # 3.4 %
        ((25_000, 24_500, 24_000), Step.REACHED),
    ],
)
def test_a_dog_that_is_to_lose_weight_loses_half_to_two_in_a_hundred_a_week(
    weights: tuple[int, ...], step: Step
) -> None:
    # Source: Abood, vcacanada.com: 0.5 to 2 % a week. 24 kg to the power 0.75 is 10.84: 53 to 73 kcal are 575 to 792
    dog = by_energy(700, goal=Goal.LOSE, ideal_weight_g=24_000)
    found = proposal(dog, weights)
    assert found.step is step
    assert any("Abood" in source for source in found.sources)
    assert (found.kcal is None) == (step not in {Step.MORE, Step.LESS})


def test_a_dog_that_loses_weight_never_gets_less_than_is_published_for_it() -> None:
    # AAHA's middle of 63 kcal x 10.84 is 683: below that there is no step
    stuck = (30_000, 29_990, 29_980)
    assert proposal(by_energy(680, goal=Goal.LOSE, ideal_weight_g=24_000), stuck).step is Step.VET


@pytest.mark.parametrize(
    ("weights", "step"),
    [
        ((16_000, 16_000, 16_000), Step.MORE),
        ((16_000, 16_100, 16_200), Step.KEEP),
        ((16_000, 16_500, 17_000), Step.LESS),
        ((19_800, 19_900, 20_000), Step.REACHED),
    ],
)
def test_a_dog_that_is_to_gain_weight_gains_slowly(weights: tuple[int, ...], step: Step) -> None:
    # of the ideal weight: 20 kg to the power 0.75 is 9.457, so that 898 to 1182 kcal are published
    found = proposal(by_energy(1_000, goal=Goal.GAIN, ideal_weight_g=20_000), weights)
    assert found.step is step


def test_two_weighings_are_enough_to_see_that_much_is_lost() -> None:
    assert proposal(SIXTEEN, (16_000, 14_400)).step is Step.VET
    assert proposal(SIXTEEN, (16_000, 15_300)).step is Step.WAIT
    assert proposal(by_energy(700, goal=Goal.LOSE, ideal_weight_g=14_000), (16_000, 14_400)).step is Step.WAIT


def test_a_dog_that_is_not_fed_here_gets_no_proposal() -> None:
    assert proposal(None, UP).step is Step.UNKNOWN


def test_the_energy_of_food_is_that_of_its_cuts_and_unknown_where_one_is() -> None:
    cuts = {"beef heart": b.a_cut("beef heart", kcal=100), "chicken neck": b.a_cut("chicken neck", kcal=200)}
    assert food_kcal_per_g("Maple", BAGS, cuts) == Fraction(175, 100)  # a quarter of heart
    assert food_kcal_per_g("Maple", BAGS, {**cuts, "beef heart": b.a_cut("beef heart")}) is None
    assert food_kcal_per_g("Rowan", BAGS, cuts) is None
