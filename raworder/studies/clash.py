"""The rules that clash: so few that leaving out any one of them lets the others be met."""

from collections.abc import Callable, Sequence

from raworder.solving.demands import Demand

AT_FIRST = 4
"""What is not needed is looked for in parts: at first so many of the whole, then halves of these."""


def clash(
    demands: Sequence[Demand], helping: Sequence[Demand], is_impossible: Callable[[Sequence[Demand]], bool]
) -> tuple[Demand, ...]:
    """Of the demands some that cannot be met together, though they can without any one of them.

    `helping` are those without each of which all others can be met; none where the demands do not clash.
    Those that have muscle give way with them are looked at again, as others might clash without them.
    """
    if helping and is_impossible(helping):
        kept, sure = list(helping), [demand for demand in helping if not demand.frees_muscle]
    elif is_impossible(demands):
        kept, sure = list(demands), [demand for demand in helping if not demand.frees_muscle]
    else:
        return ()
    size = max(len(kept) // AT_FIRST, 1)
    while True:
        kept = _without_parts(kept, sure, size, is_impossible)
        if size == 1:
            return tuple(kept)
        size //= 2


def _without_parts(
    kept: list[Demand], sure: Sequence[Demand], size: int, is_impossible: Callable[[Sequence[Demand]], bool]
) -> list[Demand]:
    """What is left when parts of that size are left out, the last first, as long as the rest clashes."""
    end = len(kept)
    while end > 0:
        part = [demand for demand in kept[max(end - size, 0) : end] if demand not in sure]
        rest = [demand for demand in kept if demand not in part]
        if part and is_impossible(rest):
            kept = rest
        end -= size
    return kept
