"""Questions that take a while, for workers to work out; invented."""

import os
import time
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from raworder.solving.solver import Settings
from raworder.studies.asking import Task
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch
from tests import builders as b


def slow_order(scenario: Scenario, seconds: float, marks: str) -> Plan:
    """The order, after a while; every attempt leaves a mark of who worked."""
    with (Path(marks) / "attempts").open("a", encoding="utf-8") as file:
        file.write(f"{os.getpid()} {scenario.title}\n")
    time.sleep(seconds)
    found = order_batch(scenario, Settings())
    assert isinstance(found, Plan)
    return found


def order_tasks(count: int, seconds: float, marks: Path) -> list[Task[Plan]]:
    """So many scenarios of the invented small household, with one day more each."""
    return [Task(f"question {number}", slow_order, (_titled(number), seconds, str(marks))) for number in range(count)]


def _titled(number: int) -> Scenario:
    return replace(b.SMALL, title=f"question {number}", budget=Decimal(1000 + number))


def deadly(once: str) -> str:
    """Kill who works on it, the first time."""
    if not Path(once).exists():
        Path(once).touch()
        os.kill(os.getpid(), 9)
    return "survived"


def always_deadly() -> None:
    """Kill who works on it, every time."""
    os.kill(os.getpid(), 9)


def square(number: int) -> int:
    """A quick answer."""
    return number * number


def interrupt(number: int) -> int:
    """Answer the first two; at the third the person has had enough."""
    if number >= 2:
        raise KeyboardInterrupt
    return number
