"""Charts, for people who would rather look than read: each shows the numbers of a table beside it."""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from raworder.reporting.words import PRINTED, Meal, count_text, join_names, subject_text
from raworder.trade.cuts import Measure, Subject
from raworder.trade.document import Chart, ChartKind, Holds, Mark
from raworder.trade.scenario import Scenario
from raworder.trade.units import about_grams_text, day_text


def shares_chart(names: Sequence[str], meal: Meal) -> Chart:
    """The range asked for every part and cap of a dog, and where in it the share given lies."""
    targets = (
        (target.part.value, Subject(Measure.PART, target.part.value), target.low, target.high)
        for target in meal.dog.targets
    )
    caps = ((f"{subject_text(cap.subject)}, capped", cap.subject, Fraction(0), cap.most) for cap in meal.dog.caps)
    marks = tuple(
        Mark(label, share, low, high)
        for label, subject, low, high in (*targets, *caps)
        if (share := meal.share_of(subject)) or high
    )
    outside = [mark.label for mark in marks if not _inside(mark)]
    within = f"outside: {join_names(outside)}" if outside else "all are within"
    says = (
        f"{count_text(len(marks), 'share')} of what is eaten, each on a scale of its own: the band is what was asked "
        f"for, the diamond what is given; {within}."
    )
    # Each share has a scale of its own: on one scale a liver's 4 to 6 % could not be seen beside a muscle's 76 to 84 %.
    return Chart(f"{join_names(names)}: asked and given", ChartKind.RANGES, Holds.SHARE, marks, says)


def freezer_chart(scenario: Scenario, evenings: Sequence[tuple[date, int]]) -> Chart:
    """What is in the freezer evening by evening, under the line of its room."""
    marks = tuple(Mark(day_text(day), grams) for day, grams in evenings)
    fullest_on, most_g = max(evenings, key=lambda pair: pair[1])
    last_g = evenings[-1][1]
    unit, room_g = scenario.weight_unit, scenario.room_g
    held = "" if room_g is None else f" of {about_grams_text(room_g, unit)} of room"
    says = (
        f"In the freezer evening by evening: most on {day_text(fullest_on)}, {about_grams_text(most_g, unit)}{held}; "
        f"{about_grams_text(last_g, unit)} on the last evening."
    )
    return Chart("The freezer fills and empties", ChartKind.DAYS, Holds.ABOUT_GRAMS, marks, says, room_g, "room")


def _inside(mark: Mark) -> bool:
    """Whether a share is in its range, going by what is printed of both."""
    low, high, share = (Fraction(number or 0) for number in (mark.low, mark.high, mark.value))
    return low - PRINTED <= share <= high + PRINTED
