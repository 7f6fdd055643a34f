"""What is bought already stays bought, and beside it no more things are bought than allowed; by hand, all invented.

**Source:** arithmetic; sums stand beside the numbers.
"""

from raworder.solving.constraints import AtLeastThese, Units
from raworder.solving.search import Impossible, SearchGoal, Solved, search, units_bought
from raworder.solving.solver import Settings
from raworder.trade.scenario import Scenario
from tests import builders as b


def bought(scenario: Scenario, units: Units, most_things: int | None = None) -> dict[str, float]:
    solved = search(scenario, Settings(), SearchGoal(also=AtLeastThese(units, most_things)))
    assert isinstance(solved, Solved)
    counts = {one.key: units_bought(solved.problem, one, solved.found) for one in solved.problem.offers}
    return {key: count for key, count in counts.items() if count}


def test_what_is_bought_already_stays_bought_though_something_else_is_cheaper() -> None:
    """3.5 kg: two dear packs of 1 kg are there, two cheap ones make up the rest."""
    scenario = b.a_scenario(days=7, offers=[b.an_offer(key="dear", price=9), b.an_offer(key="cheap", price=1)])
    assert bought(scenario, ()) == {"cheap": 4}
    assert bought(scenario, (("dear", 2),)) == {"dear": 2, "cheap": 2}


def test_grams_and_price_steps_are_counted_as_bought() -> None:
    """1500 of 3500 g are there, cut to the gram: 9.00 and two packs, 2.00; all from the counter would be 17.50."""
    counter = b.an_offer_by_weight(key="counter", price_per_kg=6, breaks_g={3_000: 5})
    scenario = b.a_scenario(days=7, offers=[counter, b.an_offer(key="pack", price=1)])
    found = bought(scenario, (("counter", 1_500),))
    assert abs(found.pop("counter") - 1_500) < 0.01
    assert found == {"pack": 2}


def test_no_more_things_are_bought_beside_it_than_allowed() -> None:
    """Two small lots at 1.00 do for 2 kg; as one thing it is the dear one. More of what is bought is a thing."""
    offers = [b.an_offer(key=key, price=1, available=1) for key in ("a", "b")] + [b.an_offer(key="dear", price=5)]
    scenario = b.a_scenario(days=4, offers=offers)
    assert bought(scenario, (), 2) == {"a": 1, "b": 1}
    assert bought(scenario, (), 1) == {"dear": 2}
    assert bought(scenario, (("a", 1),), 1) == {"a": 1, "b": 1}
    assert isinstance(search(scenario, Settings(), SearchGoal(also=AtLeastThese((), 0))), Impossible)
