"""Solving for bags: small integer programmes that portioning poses, hundreds of them for one plan."""

from collections.abc import Callable
from dataclasses import replace

import pulp

from raworder.solving.solver import LEAST_S, Settings, minimise

NEAR_ENOUGH = 0.01
"""How near to the fewest weighings is near enough: less than a piece more or less in the fullest bag."""

FEW_NODES, MANY_NODES = 20, 1_000
"""A search ends after so many branches: that there is a solution is found at once, that none is better takes long.
Where every bag is filled by itself it is the last resort, and a solution may be hard to find."""


class TimeIsUpError(Exception):
    """The time limit came while bags were filled."""


def bag_solver(settings: Settings, began: float) -> Callable[[pulp.LpProblem, pulp.LpAffineExpression, bool], bool]:
    """What tells whether a programme has a solution, which its unknowns then hold, with the least objective.

    It is HiGHS that solves, whoever solves for the order. TimeIsUpError once the time limit, counted from when it
    `began`, is over.
    """

    def solve(lp: pulp.LpProblem, objective: pulp.LpAffineExpression, thorough: bool) -> bool:
        """Search a little, and where nothing is found and it is asked to, thoroughly."""
        left = settings.left_since(began).time_limit_s
        if left is not None and left <= LEAST_S:
            raise TimeIsUpError
        limited = Settings(time_limit_s=left, most_nodes=FEW_NODES)
        if minimise(lp, objective, limited, gap=NEAR_ENOUGH).solved:
            return True
        return thorough and minimise(lp, objective, replace(limited, most_nodes=MANY_NODES), gap=NEAR_ENOUGH).solved

    return solve
