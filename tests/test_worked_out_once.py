"""What follows from a plan is worked out once, whatever papers are made of it; counted by wrapping, not by time.

The household is invented. **Source:** the house's own rules; no outside source.
"""

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import raworder
from raworder import workflow
from raworder.portioning import bearing, keeping
from raworder.reporting import all_papers as page
from raworder.reporting import all_papers as papers
from raworder.reporting import bag_book
from raworder.studies.settling import settle_bills
from raworder.trade.plan import Plan, PlanWithheldError
from raworder.workflow import complete
from tests import builders as b
from tests.auditing.bagged import FORTNIGHT, FORTNIGHT_PLAN
from tests.planned import planned

Count = Callable[[Any, str], None]


@pytest.fixture(name="times")
def _times() -> Counter[str]:
    """How often each function was called."""
    return Counter()


@pytest.fixture(name="count")
def _count(times: Counter[str], monkeypatch: pytest.MonkeyPatch) -> Count:
    """Lets calls of a function be counted."""

    def count(module: Any, name: str) -> None:
        real = getattr(module, name)

        def counted(*given: Any, **named: Any) -> Any:
            times[name] += 1
            return real(*given, **named)

        monkeypatch.setattr(module, name, counted)

    return count


def test_a_plan_is_completed_by_working_each_thing_out_once(times: Counter[str], count: Count) -> None:
    for module, name in ((keeping, "journeys"), (keeping, "lots_of")):
        count(module, name)
    assert isinstance(complete(FORTNIGHT, FORTNIGHT_PLAN), Plan)
    assert (times["journeys"], times["lots_of"]) == (1, 1)


def test_a_page_works_nothing_out_and_makes_one_book_of_its_bags(times: Counter[str], count: Count) -> None:
    plan = planned("owner").plan
    for module, name in ((page, "bag_book"), (bag_book, "bag_book"), (workflow, "facts_of")):
        count(module, name)
    for module, name in (
        (keeping, "journeys"),
        (keeping, "lots_of"),
        (bearing, "eaten_parts"),
        (bearing, "left_parts"),
    ):
        count(module, name)
    page.page_papers(plan, {"settle": (settle_bills(plan),)})
    papers.papers(plan)
    assert times == {"bag_book": 1}


def test_papers_of_the_bags_share_one_book(times: Counter[str], count: Count) -> None:
    count(papers, "bag_book")
    papers.bag_papers(planned("owner").plan)
    assert times == {"bag_book": 1}


def test_a_plan_of_which_nothing_was_worked_out_has_no_papers() -> None:
    with pytest.raises(LookupError, match="nothing was worked out"):
        papers.papers(b.a_plan())


def test_a_plan_whose_facts_are_at_fault_is_withheld(monkeypatch: pytest.MonkeyPatch) -> None:
    def kept_too_long(*given: Any) -> Any:
        cold = keeping.keep_cold(*given)
        return replace(cold, journeys=tuple(replace(one, keeps_days=30) for one in cold.journeys))

    monkeypatch.setattr(workflow, "keep_cold", kept_too_long)
    with pytest.raises(PlanWithheldError) as withheld:
        complete(FORTNIGHT, FORTNIGHT_PLAN)
    assert {breach.rule for breach in withheld.value.breaches} == {"keeps"}


def test_only_one_module_says_that_a_scenario_is_fed() -> None:
    # mypy demands a `FedScenario` of everything that reckons with rations beside a plan; nobody else may make one
    makers = {
        path.stem
        for path in Path(raworder.__path__[0]).rglob("*.py")
        if re.search(r"(?<!\w)FedScenario\(|cast\(.*FedScenario", path.read_text(encoding="utf-8"))
    }
    assert makers == {"as_fed"}
