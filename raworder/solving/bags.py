"""Solving for bags: small integer programmes that portioning poses, hundreds of them for one plan."""

import pulp

from raworder.solving.solver import Settings, minimise

NEAR_ENOUGH = 0.01
"""How near to the fewest weighings is near enough: less than a piece more or less in the fullest bag."""

MOST_NODES = 20
"""A search ends after so many branches: that there is a solution is found at once, that none is better takes long."""


def solve_bags(lp: pulp.LpProblem, objective: pulp.LpAffineExpression) -> bool:
    """Whether the programme has a solution; its unknowns then hold the one with the least objective."""
    return minimise(lp, objective, Settings(most_nodes=MOST_NODES), gap=NEAR_ENOUGH).solved
