"""Charts, for people who would rather look than read: each shows the numbers of a table beside it."""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.words import PRINTED, Meal, count_text, join_names, subject_text
from raworder.trade.cuts import Measure, Subject
from raworder.trade.document import Chart, ChartKind, Holds, Mark, Number
from raworder.trade.scenario import Scenario
from raworder.trade.units import about_grams_text, day_text, share_text

MOST_BARS = 12
"""At most this many bars are drawn, as nobody looks at more."""


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


def costs_chart(title: str, costs: Sequence[tuple[str, Decimal]], scenario: Scenario) -> Chart:
    """What was paid, bar by bar, in the order of the table; the largest alone where there are very many."""
    # The largest are picked, then put back into the order of the table.
    drawn = sorted(sorted(costs, key=lambda pair: -pair[1])[:MOST_BARS], key=costs.index)
    total, (name, most) = sum((cost for _, cost in costs), Decimal(0)), max(costs, key=lambda pair: pair[1])
    share = f", {share_text(Fraction(most) / Fraction(total))} of {scenario.currency.text(total)}" if total else ""
    left_out = f" {count_text(len(costs) - len(drawn), 'smaller one')} left out." if len(drawn) < len(costs) else ""
    marks = tuple(Mark(label, cost) for label, cost in drawn)
    return Chart(title, ChartKind.BARS, Holds.MONEY, marks, f"Most is paid for {name}{share}.{left_out}")


def freezer_chart(scenario: Scenario, evenings: Sequence[tuple[date, int]]) -> Chart:
    """What is in the freezer evening by evening, under the line of its room."""
    marks = tuple(Mark(day.isoformat(), grams) for day, grams in evenings)
    fullest_on, most_g = max(evenings, key=lambda pair: pair[1])
    last_g = evenings[-1][1]
    unit, room_g = scenario.weight_unit, scenario.room_g
    held = "" if room_g is None else f" of {about_grams_text(room_g, unit)} of room"
    says = (
        f"In the freezer evening by evening: most on {day_text(fullest_on)}, {about_grams_text(most_g, unit)}{held}; "
        f"{about_grams_text(last_g, unit)} on the last evening."
    )
    return Chart("The freezer fills and empties", ChartKind.DAYS, Holds.ABOUT_GRAMS, marks, says, room_g, "room")


def prices_chart(title: str, prices: Sequence[tuple[str, Number, Number]], verb: str) -> Chart:
    """The listed price of each offer and the price at which the answer changes; of many, the first."""
    marks = tuple(Mark(label, turning_price, low=listed) for label, listed, turning_price in prices[:MOST_BARS])
    left_out = (
        f" {count_text(len(prices) - len(marks), 'more offer')} in the table." if len(marks) < len(prices) else ""
    )
    says = (
        f"The outlined bar is the listed price, the filled one the price at which it is {verb}, each in parts of its "
        f"own listed price.{left_out}"
    )
    return Chart(title, ChartKind.MOVES, Holds.MONEY, marks, says)


def costs_of_parts(scenario: Scenario, paid: Mapping[str, Fraction]) -> tuple[tuple[str, Fraction], ...]:
    """What was paid for every part, dearest first: a cut's cost is split by the weight of its parts."""
    cuts = {cut.name: cut for cut in scenario.cuts}
    by_part: dict[str, Fraction] = {}
    for name, cost in paid.items():
        parts = cuts[name].parts if name in cuts else ()
        whole = sum((share for _, share in parts), Fraction(0))
        # What is no cut is a supplement, which has no parts.
        shares = [(part.value, share / whole) for part, share in parts if share] or [("supplements", Fraction(1))]
        for part, share in shares:
            by_part[part] = by_part.get(part, Fraction(0)) + cost * share
    return tuple(sorted(by_part.items(), key=lambda pair: (-pair[1], pair[0])))


def _inside(mark: Mark) -> bool:
    """Whether a share is in its range, going by what is printed of both."""
    low, high, share = (Fraction(number or 0) for number in (mark.low, mark.high, mark.value))
    return low - PRINTED <= share <= high + PRINTED
