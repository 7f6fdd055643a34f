"""Every study by a pool of processes: all that is asked and answered can be sent, and the paper is that of the line.

All scenarios are invented. **Source:** the answers in line are the reference.
"""

from collections.abc import Iterator
from fractions import Fraction

import pytest

from raworder.reading.scenario_file import read_scenario
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask, Pool
from raworder.studies.prices_to_ask import prices_to_ask
from raworder.studies.reasons import reasons
from raworder.studies.same_money import same_money
from raworder.studies.side_by_side import compare_variants
from raworder.studies.substitutes import substitutes
from raworder.studies.suppliers import suppliers
from raworder.studies.what_if import changes_of, what_if
from raworder.studies.worth_of_one_more import worth_of_one_more
from raworder.trade.document import Document
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch
from tests.commands.running import SCENARIOS
from tests.drawn import few


def scenario(name: str) -> Scenario:
    found = read_scenario(SCENARIOS / f"{name}.yaml").scenario
    assert found is not None
    return found


def told(study: str, ask: Ask) -> Document:
    owner = scenario("owner")
    base = order_batch(owner, Settings())
    assert isinstance(base, Plan)
    match study:
        case "reasons":
            return reasons(scenario("impossible"), ask)
        case "variants":
            return compare_variants([("one", owner), ("other", scenario("owner_spring"))], ask)
        case "same_money":
            return same_money(owner, base, ask, within=Fraction(1, 100))
        case "what_if":
            return what_if(owner, base, ask, changes=changes_of(owner, ["price of beef +10 %", "one more like Maple"]))
        case _:
            plain = {one.__name__: one for one in (prices_to_ask, substitutes, suppliers, worth_of_one_more)}
            return plain[study](owner, base, ask)


@pytest.fixture(scope="module")
def by_a_pool() -> Iterator[Ask]:
    ask = Ask(engine=Pool(2), workers=2)
    yield ask
    ask.close()


@pytest.mark.slow
@few(
    "study",
    [
        "prices_to_ask",
        "reasons",
        "same_money",
        "substitutes",
        "suppliers",
        "variants",
        "what_if",
        "worth_of_one_more",
    ],
    4,
)
def test_a_study_by_a_pool_is_that_of_the_line(study: str, by_a_pool: Ask) -> None:
    before = by_a_pool.answered
    assert told(study, by_a_pool) == told(study, Ask())
    assert by_a_pool.answered > before
