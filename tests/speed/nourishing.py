"""What sums of nutrients take: `python -m tests.speed.nourishing`.

200 dogs, 60 cuts and all nutrients, told as data: seconds of the sums alone, of everything beside bounds, and the ratio
of the sums to the same sums by two plain loops over a tenth of the dogs, times ten, in the same run. Machines differ:
compare ratios.

**Source:** own measurements; no outside source.
"""

import json
import sys
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from random import Random
from time import perf_counter

from raworder.nourishing.nourishment import assess_nutrition
from raworder.nourishing.sums import food_sums_by_dog
from raworder.reading.reference import read_needs, read_profiles
from raworder.trade.nutrients import NUTRIENTS, Analysis
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests.builders import a_cut, a_dog, a_plan, a_portion, a_scenario

DOGS, CUTS, PART = 200, 60, 10


def kennel() -> tuple[Scenario, Plan]:
    """Dogs that each eat of every cut, all of which is known."""
    random = Random(1)
    cuts = []
    for number in range(CUTS):
        values = tuple((one.key, Fraction(random.randint(1, 10**6), 10**3)) for one in NUTRIENTS)
        cuts.append(replace(a_cut(f"cut {number}"), analysis=Analysis(values)))
    dogs = [replace(a_dog(f"dog {number}"), profile="AAFCO adult maintenance") for number in range(DOGS)]
    portions = [a_portion(dog.name, cut.name, random.randint(1, 900)) for dog in dogs for cut in cuts]
    scenario = replace(a_scenario(dogs=dogs, cuts=cuts), profiles=read_profiles(), needs=read_needs())
    return scenario, a_plan(portions=portions)


def by_loops(scenario: Scenario, plan: Plan) -> list[Fraction]:
    """The same sums by two plain loops, for a part of the dogs."""
    cuts = {cut.name: cut.analysis for cut in scenario.cuts}
    some = {dog.name for dog in scenario.dogs[: DOGS // PART]}
    mine = [(one.batch_g, cuts[one.cut]) for one in plan.portions if one.dog in some]
    return [sum(((analysis.of(one.key) or 0) * grams for grams, analysis in mine), Fraction(0)) for one in NUTRIENTS]


def seconds(run: Callable[[], object]) -> float:
    """The least of three runs."""
    taken = []
    for _ in range(3):
        began = perf_counter()
        run()
        taken.append(perf_counter() - began)
    return min(taken)


def main() -> None:
    """Print what was measured."""
    scenario, plan = kennel()
    sums_s, loops_s = seconds(lambda: food_sums_by_dog(scenario, plan)), seconds(lambda: by_loops(scenario, plan))
    whole_s = seconds(lambda: assess_nutrition(scenario, plan))
    found = {
        "dogs": DOGS,
        "cuts": CUTS,
        "nutrients": len(NUTRIENTS),
        "sums_s": round(sums_s, 3),
        "beside_bounds_s": round(whole_s, 3),
        "sums_to_loops": round(sums_s / (loops_s * PART), 3),
    }
    sys.stdout.write(f"{json.dumps(found, indent=2)}\n")


if __name__ == "__main__":
    main()
