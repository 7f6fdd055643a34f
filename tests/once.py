"""What was planned already in this run of the tests: the same scenario is searched for once, and audited every time.

Searching is most of what tests cost, and many look at another paper of the same plan. What is kept is what comes before
the audit, for the scenario as it was read: with a changed dog or price it is searched for anew. Tests that put
something in the place of a part of the program get the real thing: see `conftest`.
"""

from collections.abc import Callable, Hashable
from typing import Any

from raworder import workflow
from raworder.solving.search import CHEAPEST_HANDIEST, SearchGoal
from raworder.solving.solver import Settings
from raworder.trade.plan import NoPlan, Unsolved
from raworder.trade.scenario import Scenario

LONG_S = 10
"""A time limit of as much changes nothing about a search that came to its end; a shorter one is what is tested."""


class Once:
    """Stands in the place of the searches for an order and for order and bags; off, it passes everything on."""

    def __init__(self) -> None:
        self.on = False
        self._kept: dict[Hashable, Any] = {}
        self._carried_out, self._ordered = workflow._plan_with_bags, workflow._find_order

    def install(self) -> None:
        """Take the place of both."""
        workflow._plan_with_bags, workflow._find_order = self.carried_out, self.ordered

    def carried_out(self, scenario: Scenario, settings: Settings, began: float) -> Any:
        """The order with its bags."""
        return self._found(("bags", scenario), settings, lambda: self._carried_out(scenario, settings, began))

    def ordered(self, scenario: Scenario, settings: Settings, wanted: SearchGoal = CHEAPEST_HANDIEST) -> Any:
        """The order alone."""
        return self._found((wanted, scenario), settings, lambda: self._ordered(scenario, settings, wanted))

    def _found(self, what: tuple[Hashable, ...], settings: Settings, search: Callable[[], Any]) -> Any:
        """What was found before; else what the search finds, which is kept where more time would find the same."""
        if not self.on or (settings.time_limit_s or LONG_S) < LONG_S:
            return search()
        key = (*what, settings.solver, settings.most_nodes)
        found = self._kept.get(key) or search()
        if _is_final(found):
            self._kept[key] = found
        return found


def _is_final(found: Any) -> bool:
    """Whether it is proved, one way or the other."""
    if isinstance(found, NoPlan):
        return True
    return not isinstance(found, Unsolved) and getattr(found, "plan", found).proof.proved


ONCE = Once()
