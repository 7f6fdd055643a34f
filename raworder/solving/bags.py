"""Solving for bags: small integer programmes that portioning poses, hundreds of them for one plan."""

from collections.abc import Callable
from math import inf
from time import monotonic

import pulp

from raworder.solving.solver import LEAST_S, Settings, minimise

NEAR_ENOUGH = 0.01
"""How near to the fewest weighings is near enough: less than a piece more or less in the fullest bag."""

ANY_WILL_DO = 1e9
"""More than any two fillings are apart: the first one found is near enough."""

FEW_NODES, MANY_NODES = 20, 1_000
"""A search ends after so many branches: that there is a solution is found at once, that none is better takes long.
Where every bag is filled by itself it is the last resort, and a solution may be hard to find."""

PART_FOR_GOOD = 0.6
"""The part of the time there is for bags in which good ones are looked for; the rest is for any at all."""


class TimeIsUpError(Exception):
    """The time limit came while bags were filled."""


class BagSolver:
    """What tells whether a programme has a solution, which its unknowns then hold, with the least objective.

    It is HiGHS that solves, whoever solves for the order. The time limit is counted from when all `began`, by a `clock`
    that tells seconds; when a part of what is left of it now is over, it is late.
    """

    def __init__(self, settings: Settings, began: float, clock: Callable[[], float] = monotonic) -> None:
        self._clock = clock
        self._ends_at, self._late_at = inf, inf
        if settings.time_limit_s is not None:
            self._ends_at, now = began + settings.time_limit_s, clock()
            self._late_at = now + PART_FOR_GOOD * (self._ends_at - now)

    def is_late(self) -> bool:
        """Whether so little time is left that any bags will do."""
        return self._clock() >= self._late_at

    def __call__(self, lp: pulp.LpProblem, objective: pulp.LpAffineExpression, thorough: bool, /) -> bool:
        """Search a little, and where nothing is found and it is asked to, thoroughly; TimeIsUpError if time is over."""
        gap = ANY_WILL_DO if self.is_late() else NEAR_ENOUGH
        for most_nodes in (FEW_NODES, MANY_NODES) if thorough else (FEW_NODES,):
            limited = Settings(time_limit_s=self._left_s(), most_nodes=most_nodes)
            if minimise(lp, objective, limited, gap=gap).solved:
                return True
        self._left_s()  # what was not found for want of time is not known to be impossible
        return False

    def _left_s(self) -> float | None:
        """The time that is left; None where it is not limited."""
        if self._ends_at == inf:
            return None
        left_s = self._ends_at - self._clock()
        if left_s <= LEAST_S:
            raise TimeIsUpError
        return left_s
