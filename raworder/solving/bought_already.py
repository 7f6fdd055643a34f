"""What is bought already, and how many things at most may still be bought beside it."""

from dataclasses import dataclass

import pulp

from raworder.solving.nutrient_rules import Named
from raworder.solving.problem import Problem, most_units, units_per_buy
from raworder.solving.unknowns import named, total
from raworder.trade import Offer

Units = tuple[tuple[str, int], ...]
"""Offers by their keys, with units of each."""


@dataclass(frozen=True, slots=True)
class BoughtAlready:
    """What must hold beside the rules: at least so many units are bought, and more of no more than `most_things`."""

    units: Units
    most_things: int | None = None

    def __call__(self, problem: Problem) -> Named:
        """A constraint for every offer, and where things are limited a switch for each that is bought beyond it."""
        least = dict(self.units)
        switches = []
        for number, offer in enumerate(problem.offers):
            units = least.get(offer.key, 0)
            bought = [(amount, 1.0) for _, _, amount in problem.bought(offer)]
            if units:
                yield named("bought_already", offer.key), total(bought) >= units / units_per_buy(offer)
            if self.most_things is not None and _more(problem, offer, units) > 0:
                beyond = problem.lp.add_variable(f"beyond_{number}", 0, 1, pulp.LpBinary)
                most = total([*bought, (beyond, -_more(problem, offer, units))])
                yield f"beyond_{number}_most", most <= units / units_per_buy(offer)
                switches.append((beyond, 1.0))
        if switches:
            yield "beyond_things", total(switches) <= self.most_things


def _more(problem: Problem, offer: Offer, units: int) -> float:
    """How much more than so many units can be bought, in what the model counts."""
    return (most_units(problem, offer) - units) / units_per_buy(offer)
