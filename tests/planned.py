"""The scenarios that are shipped, each read and planned once in a process, with all papers of its plan.

All their names, prices and figures are invented.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path

import pytest

from raworder.reading.scenario_file import read_scenario
from raworder.reporting.order import order_message
from raworder.solving.solver import Settings, SolverName
from raworder.trade.as_fed import as_fed
from raworder.trade.document import Document, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import Answer, plan_batch
from tests.drawn import Draw
from tests.worked_out import bag_papers, page_papers, papers, reminders, settle

SCENARIOS = Path(__file__).resolve().parents[1] / "scenarios"
LARGEST, WITHOUT_PLAN = "volunteer", "impossible"
NAMES = sorted(path.stem for path in SCENARIOS.glob("*.yaml"))
SMALLER = [name for name in NAMES if name not in {LARGEST, WITHOUT_PLAN}]
LARGE = [pytest.param(LARGEST, marks=[pytest.mark.slow, pytest.mark.long])]
SLOW = frozenset({"household", "kennel"})
EVERY_PLAN = [
    *(pytest.param(name, marks=pytest.mark.slow) if name in SLOW else name for name in SMALLER),
    *(LARGE if Draw.times > 1 else ()),
]
"""All that have a plan; the largest takes half a minute, so its papers are looked through on demand."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan with its scenario, in which grams are those of the plan."""

    scenario: Scenario
    plan: Plan


@cache
def scenario_of(name: str) -> Scenario:
    """A shipped scenario as it is read."""
    scenario = read_scenario(SCENARIOS / f"{name}.yaml").scenario
    assert scenario is not None
    return scenario


@cache
def _answer(name: str, solver: SolverName) -> Answer:
    return plan_batch(scenario_of(name), Settings(solver))


def answer_of(name: str, solver: SolverName = SolverName.HIGHS) -> Answer:
    """What the workflow answers to it."""
    return _answer(name, solver)


def planned(name: str, solver: SolverName = SolverName.HIGHS) -> Planned:
    """A shipped scenario that has a plan."""
    plan = answer_of(name, solver)
    assert isinstance(plan, Plan)
    return Planned(as_fed(scenario_of(name), plan), plan)


@dataclass(frozen=True, slots=True)
class Papers:
    """All that is printed of a plan."""

    order: tuple[Document, ...]
    bags: tuple[Document, ...]
    page: tuple[Document, ...]
    others: tuple[Document, ...]

    @property
    def every(self) -> tuple[Document, ...]:
        """All of them."""
        return (*self.order, *self.bags, *self.page, *self.others)

    def of(self, key: str) -> Document:
        """The first paper of that key; it must be there."""
        return next(one for one in self.every if one.key == key)


@cache
def papers_of(name: str) -> Papers:
    """The papers of a shipped scenario's plan; with who pays what where dogs have owners."""
    found = planned(name)
    scenario, plan = found.scenario, found.plan
    settled = (settle(scenario, plan),) if any(dog.owner for dog in scenario.dogs) else ()
    page = page_papers(scenario, plan, {one.key: one for one in settled})
    others = (*settled, order_message(scenario, plan), reminders(scenario, plan))
    return Papers(papers(scenario, plan), bag_papers(scenario, plan), page, others)


def tables(document: Document, key: str | None = None) -> Iterator[Table]:
    """The tables of a paper, of that key where one is named."""
    for block in document.blocks:
        if isinstance(block, Table) and key in {None, block.key}:
            yield block


def rows(document: Document, key: str) -> list[dict[str, object]]:
    """The rows of a paper's tables of that key, by the columns' keys."""
    names = ((table, [column.key for column in table.columns]) for table in tables(document, key))
    return [dict(zip(keys, row, strict=True)) for table, keys in names for row in table.rows]


def date_of(said: str, year: int) -> date:
    """The date of a day as people read it, `Sat 6 Feb`, in that year, in which its weekday must be right."""
    found = datetime.strptime(f"{said} {year}", "%a %d %b %Y").replace(tzinfo=UTC).date()
    assert f"{found:%a}" == said[:3]
    return found


def numbers(told: object) -> list[int]:
    """The numbers of bags as they are told: `1-2, 4` are 1, 2 and 4."""
    spans = [tuple(map(int, span.split("-"))) for span in str(told).split(", ")]
    return [number for span in spans for number in range(span[0], span[-1] + 1)]
