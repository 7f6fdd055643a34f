"""What a dog's weighings suggest for its next ration: kept, or one small step within what is published.

For a dog in a veterinarian's care, one that loses weight that it should keep, and a puppy that does not gain, nothing
is computed: it is to see the veterinarian.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from math import ceil, floor

from raworder.nourishing.needs import STEP_KCAL, TYPICAL_KCAL_PER_G, body_of, least_due_kcal, published_need
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog, Goal
from raworder.trade.kept import KeptBag
from raworder.trade.nutrients import NeedRow
from raworder.trade.units import share_text
from raworder.trade.weight_trend import NextRation, Step, Trend

STEADY = Fraction(1, 100)
"""A weight that changes by no more than this a week is kept. Source: our own choice."""

LOSES = (Fraction(5, 1000), Fraction(2, 100))
"""What a dog that is to lose weight should lose a week, as a share of its weight. Source: `LOSES_SOURCE`."""

LOSES_SOURCE = "Abood, Tips for Successful Weight Loss in Dogs and Cats, vcacanada.com (0.5 to 2 % a week)"

GAINS = Fraction(2, 100)
"""A dog that is to gain weight should gain no more than this a week. Source: our own choice, as for losing."""

LOST = Fraction(5, 100)
"""A recent loss of more than this, where none was wanted, is for the veterinarian. Source: our own choice."""

STEP = Fraction(5, 100)
"""By how much a ration is changed at once; then the dog is weighed again. Source: our own choice."""

TYPICAL: Fraction = sum((lean + fat for lean, fat in TYPICAL_KCAL_PER_G.values()), Fraction(0)) / (
    2 * len(TYPICAL_KCAL_PER_G)
)
"""The energy of typical food in kcal per gram, midway: what grams count as where nobody knows what is in them."""


def food_kcal_per_g(dog: str, bags: Iterable[KeptBag], cuts: Mapping[str, Cut]) -> Fraction | None:
    """The energy of a gram of what is in a dog's bags; None without bags, or where the energy of a cut is not known."""
    eaten = [content for bag in bags if bag.dog == dog for content in bag.contents]
    grams = sum(some_g for _, some_g in eaten)
    kcal = Fraction(0)
    for name, some_g in eaten:
        known = cuts[name].kcal_per_g if name in cuts else None
        if known is None:
            return None
        kcal += known * some_g
    return kcal / grams if kcal else None


def next_ration(
    dog: Dog | None, trend: Trend, needs: Mapping[str, NeedRow], scale_step_g: int, kcal_per_g: Fraction | None = None
) -> NextRation:
    """What is proposed for a dog; None is one that is not in the scenario. The rows of needs are by their key.

    `kcal_per_g` is the energy of its food, where that is known.
    """
    step, why = _step(dog, trend)
    sources = (LOSES_SOURCE,) if dog and dog.goal is Goal.LOSE and trend.weekly is not None else ()
    asked = NextRation(trend, step, why, sources=sources)
    if dog is None or step not in {Step.MORE, Step.LESS}:
        return asked
    return _within_published(dog, asked, needs, scale_step_g, TYPICAL if kcal_per_g is None else kcal_per_g)


def _step(dog: Dog | None, trend: Trend) -> tuple[Step, str]:
    """Which step a dog's trend asks for, and why."""
    if dog is None or not dog.daily_g or not dog.days:
        return Step.UNKNOWN, "it is not fed in this scenario"
    if dog.care is not None:
        return Step.VET, f"in care ({dog.care}), so the veterinarian gives the amounts"
    if dog.puppy and (trend.has_just_lost or (trend.weekly is not None and trend.weekly <= 0)):
        return Step.VET, "a puppy that does not gain weight"
    if trend.lost > LOST and not dog.puppy and dog.goal is not Goal.LOSE:
        return Step.VET, f"it has lost {share_text(trend.lost)} of its weight, and nobody wanted it to"
    if trend.weekly is None:
        return Step.WAIT, "a trend needs three weighings within twelve weeks"
    return (Step.GROWS, "it is growing") if dog.puppy else _grown_step(dog, trend, trend.weekly)


def _grown_step(dog: Dog, trend: Trend, weekly: Fraction) -> tuple[Step, str]:
    """Which step the trend of a healthy grown dog asks for, by what is to become of its weight."""
    match dog.goal:
        case Goal.LOSE:
            return _while_losing(dog, trend, weekly)
        case Goal.GAIN:
            return _while_gaining(dog, trend, weekly)
        case _:
            return _while_keeping(weekly)


def _while_keeping(weekly: Fraction) -> tuple[Step, str]:
    """The step for a dog that is to keep its weight."""
    if abs(weekly) <= STEADY:
        return Step.KEEP, "its weight is steady"
    return (Step.MORE, "it loses weight") if weekly < 0 else (Step.LESS, "it gains weight")


def _while_losing(dog: Dog, trend: Trend, weekly: Fraction) -> tuple[Step, str]:
    """The step for a dog that is to lose weight."""
    if dog.ideal_weight_g and trend.newest.grams <= dog.ideal_weight_g:
        return Step.REACHED, "it has its ideal weight"
    least, most = LOSES
    if -weekly < least:
        return Step.LESS, "it does not lose weight" if weekly >= 0 else "it loses weight too slowly"
    return (Step.MORE, "it loses weight too fast") if -weekly > most else (Step.KEEP, "it loses weight as it should")


def _while_gaining(dog: Dog, trend: Trend, weekly: Fraction) -> tuple[Step, str]:
    """The step for a dog that is to gain weight."""
    if dog.ideal_weight_g and trend.newest.grams >= dog.ideal_weight_g:
        return Step.REACHED, "it has its ideal weight"
    if weekly <= 0:
        return Step.MORE, "it does not gain weight"
    return (Step.LESS, "it gains weight too fast") if weekly > GAINS else (Step.KEEP, "it gains weight as it should")


def _within_published(
    dog: Dog, asked: NextRation, needs: Mapping[str, NeedRow], scale_step_g: int, kcal_per_g: Fraction
) -> NextRation:
    """The new ration, a whole step or as much of it as stays within what is published; the veterinarian where none is.

    It is never below the energy at rest, which every plan holds beside.
    """
    body = replace(body_of(dog), weight_g=asked.trend.newest.grams)
    need = published_need(body, needs)
    if need is None or dog.other_food.as_much:
        return replace(asked, step=Step.VET, why=f"{asked.why}, and nothing is published to go by")
    asked = replace(asked, sources=(*asked.sources, *(row.source for row in need.rows)))
    least = max(dog.other_food.due_from_plan(need.low), least_due_kcal(body, dog.other_food, needs))
    most = dog.other_food.due_from_plan(need.high)
    kcal = dog.energy.batch_kcal / dog.days if dog.energy else dog.daily_g * kcal_per_g
    times = max(1 - STEP, least / kcal) if asked.step is Step.LESS else min(1 + STEP, most / kcal)
    return _rounded(dog, asked, times, scale_step_g)


def _rounded(dog: Dog, asked: NextRation, times: Fraction, scale_step_g: int) -> NextRation:
    """The ration so many times, in whole steps of kcal or of the scale that stay within what is published."""
    now, step = (dog.energy.batch_kcal / dog.days, STEP_KCAL) if dog.energy else (dog.daily_g, scale_step_g)
    is_less = asked.step is Step.LESS
    amount = (ceil if is_less else floor)(now * times / step) * step
    if amount < now if is_less else amount > now:
        grams, kcal = (None, amount) if dog.energy else (amount, None)
        return replace(asked, grams=grams, kcal=kcal, changed=amount / now - 1)
    if abs(times - 1) == STEP:
        return replace(asked, step=Step.KEEP, why=f"{asked.why}, but a small step cannot be weighed")
    end = "less than now is below" if is_less else "more than now is above"
    return replace(asked, step=Step.VET, why=f"{asked.why}, and {end} what is published")
