"""Whether a dog's weights and its goal fit each other: most that do not are slips of the pen."""

from fractions import Fraction

from raworder.reading.form import AllDogsForm, DogForm
from raworder.reading.given import Given
from raworder.units import grams_text, half_up

LIKELY_WEIGHT_G = (Fraction(500), Fraction(120_000))
"""Outside these a dog's weight is doubted. Source: common practice, no source."""

FARTHEST_TIMES = 2
"""An ideal weight so many times the weight, or so small a part, is doubted. Source: common practice, no source."""


def note_weights(form: DogForm, common: AllDogsForm | None, given: Given) -> None:
    """Note every weight and goal that is doubtful or makes no sense, each where it is written."""
    _note_unlikely(form, given)
    _note_ideal_weight(form, given)
    _note_adult_weight(form, common, given)
    _note_goal(form, common, given)


def is_likely(weight_g: Fraction) -> bool:
    """Whether a dog may weigh so much."""
    low, high = LIKELY_WEIGHT_G
    return low <= weight_g <= high


def _are_far_apart(weight_g: Fraction, ideal_g: Fraction) -> bool:
    return not weight_g / FARTHEST_TIMES <= ideal_g <= weight_g * FARTHEST_TIMES


def _note_unlikely(form: DogForm, given: Given) -> None:
    for field in ("weight", "weight_by_end", "ideal_weight", "adult_weight"):
        grams = getattr(form, field)
        if grams is not None and not is_likely(grams):
            weight = grams_text(half_up(grams), given.weight_unit)
            message = f"{weight} is an unlikely weight for a dog"
            given.notes.add("unlikely-weight", message, form.at(field), "check the number and its unit")


def _note_ideal_weight(form: DogForm, given: Given) -> None:
    """Doubt an ideal weight that is not wanted or far off, and refuse one on the wrong side of the weight."""
    ideal, place = form.ideal_weight, form.at("ideal_weight")
    if ideal is None:
        return
    if form.goal == "keep":
        help_ = "add `goal: lose` or `goal: gain`, or take it out"
        given.notes.add("unused-value", "`ideal_weight` does not count while the goal is keep", place, help_)
    elif form.weight is not None and (ideal < form.weight) != (form.goal == "lose"):
        message = f"`{form.name}` is to {form.goal} weight, but its ideal weight says otherwise"
        given.notes.add("goal-against-weight", message, place, "check the goal and both weights")
    elif form.weight is not None and is_likely(form.weight) and is_likely(ideal) and _are_far_apart(form.weight, ideal):
        message = f"the ideal weight of `{form.name}` is far from its weight"
        given.notes.add("weights-far-apart", message, place, "check both weights and their units")


def _note_adult_weight(form: DogForm, common: AllDogsForm | None, given: Given) -> None:
    """Doubt an adult weight of a grown dog, and one below the weight of a puppy."""
    adult, place = form.adult_weight, form.at("adult_weight")
    if adult is None:
        return
    ration = form.ration or (common.ration if common else None)
    if not form.puppy and not (ration and ration.of_adult_weight):
        message = f"`{form.name}` is no puppy, so its adult weight does not count"
        given.notes.add("unused-value", message, place, "add `puppy: yes`, or take it out")
    elif form.puppy and form.weight is not None and adult < form.weight:
        message = f"the puppy `{form.name}` weighs more than it will when grown"
        given.notes.add("weights-far-apart", message, place, "check both weights and their units")


def _note_goal(form: DogForm, common: AllDogsForm | None, given: Given) -> None:
    """Refuse that a puppy is to lose weight, and doubt a goal that grams make count for nothing."""
    if form.goal == "keep" or form.care:
        return
    ration = form.ration or (common.ration if common else None)
    if form.puppy and form.goal == "lose":
        message = f"`{form.name}` is a puppy and is to lose weight"
        help_ = "take the goal out, and ask a veterinarian what the puppy needs"
        given.notes.add("puppy-to-lose", message, form.at("goal"), help_)
    elif ration is not None and ration.grams:
        message = f"`goal: {form.goal}` does not count while the ration is in grams"
        given.notes.add("unused-value", message, form.at("goal"), "give the ration in percent, or take the goal out")
