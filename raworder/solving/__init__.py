"""Solving: a Scenario in, the cheapest Allocation with its proof out, or the reasons why there is none."""
