"""Two lines of the summary: energy beside the published need, and where the food stands beside a profile."""

from collections.abc import Iterator

from raworder.document import Fact
from raworder.nourishment import ENOUGH_KNOWN, Nourished, Standing
from raworder.plan import Plan
from raworder.reporting.energy_words import range_text
from raworder.reporting.words import MOST_NAMED, counted
from raworder.units import half_up


def nourishment_lines(plan: Plan) -> Iterator[Fact]:
    """The lines; none for dogs in care, nor where nothing is known."""
    told = [one for one in plan.nourished if one.energy is not None and one.energy.coverage >= ENOUGH_KNOWN]
    if told:
        yield Fact("energy", "Energy", _energy(told))
    beside = [one for one in plan.nourished if one.profile and one.beside]
    if beside:
        yield Fact("nutrients", "Nutrients", f"{_nutrients(beside)}; `raworder nourish` tells which")


def _energy(told: list[Nourished]) -> str:
    """What is fed a day beside what is published; many dogs are counted."""
    if len(told) > MOST_NAMED:
        low = sum(one.energy is not None and half_up(one.energy.day) < half_up(one.energy.low) for one in told)
        high = sum(one.energy is not None and half_up(one.energy.day) > half_up(one.energy.high) for one in told)
        return f"{counted(len(told), 'dog')}: {low} below and {high} above the range published for them"
    return ", ".join(
        f"{one.dog} {half_up(one.energy.day)} kcal a day (published {range_text(one.energy)})"
        for one in told
        if one.energy
    )


def _nutrients(beside: list[Nourished]) -> str:
    """How many bounds are missed or not known of, dog by dog; many dogs are put together."""
    if len(beside) > MOST_NAMED:
        return f"{counted(len(beside), 'dog')}: {_counts(beside)}"
    return ", ".join(f"{one.dog} {_counts([one])} of {one.profile}" for one in beside)


def _counts(some: list[Nourished]) -> str:
    found = [each.standing for one in some for each in one.beside]
    words = (
        (Standing.BELOW, "below the least"),
        (Standing.ABOVE, "above the most"),
        (Standing.UNKNOWN, "not known enough"),
    )
    return (
        ", ".join(f"{found.count(standing)} {word}" for standing, word in words if found.count(standing)) or "none off"
    )
