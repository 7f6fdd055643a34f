"""What questions take: `python -m tests.speed.studies [SCENARIO...]`.

For every study of a shipped scenario, told as data: how many solves it takes, counted in line, how many seconds side by
side on all cores, and the ratio of its time to one plan of the same scenario, measured in the same run. The other ways
to run must give the same paper; that is checked too. Machines differ: compare ratios.
"""

import json
import sys
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from time import perf_counter
from types import MappingProxyType
from typing import Any, Self

from raworder.reading.reference import scenario_paths
from raworder.reading.scenario_file import read_scenario
from raworder.solving import solver
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask, Task, count_cores
from raworder.studies.prices_to_ask import prices_to_ask
from raworder.studies.same_money import same_money
from raworder.studies.substitutes import substitutes
from raworder.studies.suppliers import suppliers
from raworder.studies.what_if import changes_of, what_if
from raworder.studies.worth_of_one_more import worth_of_one_more
from raworder.trade.document import Document
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch

SCENARIOS = ("household", "volunteer")
Study = Callable[[Scenario, Plan, Ask], Document]


def _nicer(scenario: Scenario, base: Plan, ask: Ask) -> Document:
    return same_money(scenario, base, ask, within=Fraction(2, 100))


def _what_if(scenario: Scenario, base: Plan, ask: Ask) -> Document:
    named = next(dog.name for dog in scenario.dogs if dog.care is None)
    words = (f"price of {scenario.suppliers[0].name} +10 %", f"one more like {named}", f"{named} away 3 days")
    return what_if(scenario, base, ask, changes=changes_of(scenario, words))


STUDIES: Mapping[str, Study] = MappingProxyType(
    {
        "compare": suppliers,
        "prices": prices_to_ask,
        "instead": substitutes,
        "worth": worth_of_one_more,
        "nicer": _nicer,
        "whatif": _what_if,
    }
)
"""The studies that solve, by their commands."""


class Counted:
    """Counts solves as long as it lasts."""

    def __enter__(self) -> Self:
        self.solves, self._real = 0, solver._solve_with_highs
        solver._solve_with_highs = self._noted
        return self

    def __exit__(self, *_: object) -> None:
        solver._solve_with_highs = self._real

    def _noted(self, *given: Any, **named: Any) -> Any:
        self.solves += 1
        return self._real(*given, **named)


def measured(scenario: Scenario, names: Sequence[str], *, in_line: bool) -> dict[str, Any]:
    """Every study of a scenario: its solves, its seconds side by side, and whether both ways give one paper."""
    began = perf_counter()
    base = order_batch(scenario, Settings())
    plan_s = perf_counter() - began
    assert isinstance(base, Plan)
    told: dict[str, Any] = {"one_order_s": round(plan_s, 2)}
    whole_s = 0.0
    for name in names:
        ask = Ask(workers=count_cores())
        ask([Task("base", order_batch, (scenario, ask.settings))])
        began = perf_counter()
        side_by_side = STUDIES[name](scenario, base, ask)
        took_s = perf_counter() - began
        ask.close()
        whole_s += took_s
        told[name] = {
            "questions": ask.answered - 1,
            "seconds": round(took_s, 2),
            "to_one_order": round(took_s / plan_s, 1),
        }
        if in_line:
            with Counted() as counted:
                same = repr(STUDIES[name](scenario, base, Ask())) == repr(side_by_side)
            told[name] |= {"solves": counted.solves, "same_paper": same}
    return told | {"all_s": round(whole_s, 2)}


def main() -> None:
    """Measure the scenarios named, or one of a household and one of a rescue; `--quick` counts no solves."""
    words = sys.argv[1:]
    wanted = [word for word in words if not word.startswith("--")] or SCENARIOS
    names = [word.removeprefix("--only=") for word in words if word.startswith("--only=")] or list(STUDIES)
    paths = {path.stem: path for path in scenario_paths()}
    for word in wanted:
        scenario = read_scenario(paths[word]).scenario
        assert scenario is not None
        said = {word: measured(scenario, names, in_line="--quick" not in words)}
        sys.stdout.write(json.dumps(said, indent=2) + "\n")


if __name__ == "__main__":
    main()
