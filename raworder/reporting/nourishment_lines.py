"""Two lines of the summary: energy beside the published need, and where the food stands beside a profile."""

from collections.abc import Iterator

from raworder.document import Fact
from raworder.nourishment import Nourished, Standing
from raworder.plan import Plan
from raworder.reporting.energy_words import fed_text, range_text
from raworder.reporting.words import MOST_NAMED, counted
from raworder.units import half_up, share_text


def nourishment_lines(plan: Plan) -> Iterator[Fact]:
    """The lines; none for dogs in care, which have no profile."""
    told = [one for one in plan.nourished if one.profile]
    if told:
        yield Fact("energy", "Energy", _energy(told))
    beside = [one for one in plan.nourished if one.profile and one.beside]
    if beside:
        yield Fact("nutrients", "Nutrients", f"{_nutrients(beside)}; `raworder nourish` tells which")


def _energy(told: list[Nourished]) -> str:
    """What is fed a day beside what is published; many dogs are counted."""
    if len(told) <= MOST_NAMED:
        return ", ".join(f"{one.dog} {_of_one(one)}" for one in told)
    found = [one.energy.standing if one.energy else Standing.UNKNOWN for one in told]
    below, above, unknown = map(found.count, (Standing.BELOW, Standing.ABOVE, Standing.UNKNOWN))
    more = f", {unknown} not known" if unknown else ""
    return f"{counted(len(told), 'dog')}: {below} below and {above} above the range published for them{more}"


def _of_one(one: Nourished) -> str:
    """One dog's energy beside its range, or that no range is known without its weight."""
    if one.energy is not None:
        return f"{fed_text(one.energy)} (published {range_text(one.energy)})"
    line = one.line("energy")
    known = "" if line.coverage == 1 else f"known of {share_text(line.coverage, 0)} of its food: at least "
    return f"{known}{half_up(line.day)} kcal a day (what it needs is not known without its weight)"


def _nutrients(beside: list[Nourished]) -> str:
    """How many bounds are missed or not known of, dog by dog; many dogs are put together."""
    if len(beside) > MOST_NAMED:
        return f"{counted(len(beside), 'dog')}: {_counts(beside)}"
    return "; ".join(f"{one.dog}: {_counts([one])} ({one.profile})" for one in beside)


def _counts(some: list[Nourished]) -> str:
    found = [each.standing for one in some for each in one.beside]
    words = (
        (Standing.BELOW, "too low"),
        (Standing.ABOVE, "too high"),
        (Standing.UNKNOWN, "can't be judged"),
    )
    says = (f"{found.count(standing)} {word}" for standing, word in words if found.count(standing))
    return ", ".join(says) or "none too low or too high"
