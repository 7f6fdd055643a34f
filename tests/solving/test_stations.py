"""Few stations and few clean-downs decide between equally cheap plans, and change no cost.

All names and prices are invented. **Source:** sums by hand beside the numbers; the plan's own bags.
"""

from dataclasses import replace
from random import Random

import pytest

from raworder.solving.search import (
    BILL,
    COST,
    HANDINESS,
    STABLE_PICK,
    SearchGoal,
    Solved,
    no_further_rows,
    search,
    units_bought,
)
from raworder.solving.solver import Settings, SolverName
from raworder.solving.stations import station_values
from raworder.trade.cuts import Measure
from raworder.trade.scenario import Offer, Scenario
from raworder.workflow import Plan, plan_batch
from tests import builders as b
from tests.drawn import few
from tests.outside.invented import invented

LAMB, PORK = b.a_cut("lamb trim", species="lamb"), b.a_cut("pork trim", species="pork")
UNCOUNTED = SearchGoal((COST, BILL, replace(HANDINESS, counts=no_further_rows), STABLE_PICK))
"""The search as it was before stations counted."""


def bought(scenario: Scenario, wanted: SearchGoal | None = None, solver: SolverName = SolverName.HIGHS) -> set[str]:
    """The offers that are bought in the handiest of the cheapest orders."""
    solved = search(scenario, Settings(solver), *([wanted] if wanted else []))
    assert isinstance(solved, Solved)
    return {offer.key for offer in solved.problem.offers if units_bought(solved.problem, offer, solved.found)}


def two_cuts_or_one() -> Scenario:
    """3.5 kg at 2.40 a kilogram, 8.40: a pack of 2 kg beef and one of 1.5 kg lamb, or seven of 500 g pork."""
    offers = [
        b.an_offer("beef trim", key="beef", pack_g=2_000, price="4.80", available=1),
        b.an_offer("lamb trim", key="lamb", pack_g=1_500, price="3.60", available=1),
        b.an_offer("pork trim", key="pork", pack_g=500, price="1.20"),
    ]
    return b.a_scenario(days=7, cuts=(b.TRIM, LAMB, PORK), offers=offers)


@pytest.mark.parametrize("solver", list(SolverName))
def test_a_station_fewer_is_worth_more_than_five_packs(solver: SolverName) -> None:
    """Two stations and two packs are 0.22, one and seven 0.17; without stations two packs are fewer than seven."""
    assert bought(two_cuts_or_one(), solver=solver) == {"pork"}
    assert bought(two_cuts_or_one(), UNCOUNTED, solver) == {"beef", "lamb"}


def test_a_stop_fewer_is_worth_more_than_a_station() -> None:
    """Beside heart from the butcher, pork is a stop more, 0.5 and 0.17; beef and lamb are there too, 0.22."""
    scenario = two_cuts_or_one()
    beef, lamb, pork = scenario.offers
    heart = b.an_offer("beef heart", key="heart", pack_g=3_500, price=1, available=1)
    far = replace(
        scenario,
        cuts=(*scenario.cuts, b.HEART),
        dogs=(*scenario.dogs, b.a_dog_in_care("Sorrel", {"beef heart": 3_500}, days=7)),
        suppliers=(b.a_supplier(b.HOLLOW_LANE), b.a_supplier(b.FENWICK)),
        offers=(beef, lamb, replace(pork, supplier=b.FENWICK), heart),
    )
    assert bought(far) == {"beef", "lamb", "heart"}
    assert bought(replace(far, offers=(beef, lamb, pork, heart))) == {"pork", "heart"}


def avoiding() -> Scenario:
    """Bruno must not have pork. Maple's 3.5 kg are one pack of pork or seven of lamb, at the same price."""
    dogs = [b.a_dog("Maple", days=7), b.a_dog("Bruno", days=7, avoid=[b.a_subject(Measure.SPECIES, "pork")])]
    offers = [
        b.an_offer("beef trim", key="beef", pack_g=3_500, price=1, available=1),
        b.an_offer("pork trim", key="pork", pack_g=3_500, price="8.40", available=1),
        b.an_offer("lamb trim", key="lamb", pack_g=500, price="1.20"),
    ]
    return b.a_scenario(days=7, dogs=dogs, cuts=(b.TRIM, LAMB, PORK), offers=offers)


@pytest.mark.parametrize("solver", list(SolverName))
def test_a_clean_down_fewer_is_worth_more_than_six_packs(solver: SolverName) -> None:
    """Two stations either way; pork is 0.01 and a clean-down of 0.2, lamb 0.07."""
    assert bought(avoiding(), solver=solver) == {"beef", "lamb"}
    assert bought(avoiding(), UNCOUNTED, solver) == {"beef", "pork"}


@few("seed", range(20), 4)
def test_counting_stations_changes_no_cost_and_counts_what_the_counter_works(seed: int) -> None:
    """Random scenarios: the same total, and as many stations and phases as the bags that are filled from it."""
    scenario = invented(Random(seed))
    counted, plain = search(scenario, Settings()), search(scenario, Settings(), UNCOUNTED)
    if not isinstance(counted, Solved) or not isinstance(plain, Solved):
        assert type(counted) is type(plain)
        return
    assert counted.cost.value == pytest.approx(plain.cost.value, abs=1e-4)
    switches = [*counted.problem.fed.values(), *counted.problem.cleaned.values()]
    values = station_values(counted.problem, counted.found)
    assert {one.name: round(counted.found[one.name]) for one in switches} == {
        one.name: values[one.name] for one in switches
    }
    plan = plan_batch(scenario, Settings())
    if isinstance(plan, Plan) and plan.proof.proved and not plan.mixes:
        assert len({station.cut for station in plan.stations}) <= sum(
            values[one.name] for one in counted.problem.fed.values()
        )
        phases = max(station.phase for station in plan.stations)
        assert phases - 1 == sum(values[one.name] for one in counted.problem.cleaned.values())


def test_many_dogs_have_no_stations_counted() -> None:
    scenario = b.a_scenario(days=7, dogs=[b.a_dog(f"dog {number}", days=7) for number in range(9)])
    solved = search(scenario, Settings(), whole=False)
    assert isinstance(solved, Solved)
    assert not solved.problem.fed


def trim_sold_as(*offers: Offer) -> Scenario:
    """7 kg of trim for one dog, 2.00 a kilogram however it is sold."""
    return b.a_scenario(cuts=(b.TRIM,), offers=offers)


def by_weight(key: str, available_g: int | None = None) -> Offer:
    """Trim in steps of 50 g, of which a shop sells 100 g at least."""
    return b.an_offer_by_weight(key=key, unit_g=50, least_g=100, price_per_kg=2, available_g=available_g)


def test_a_line_by_weight_is_one_line_and_not_as_many_as_it_has_steps() -> None:
    """One line by weight stands against seven packs of 1 kg."""
    packs = b.an_offer(key="packs", pack_g=1_000, price="2.00")
    assert bought(trim_sold_as(by_weight("weighed"), packs)) == {"weighed"}


def test_two_lines_by_weight_are_more_than_one_pack() -> None:
    """4 kg and 3 kg by weight are two lines, and a pack of 7 kg is one."""
    whole = b.an_offer(key="whole", pack_g=7_000, price="14.00")
    assert bought(trim_sold_as(by_weight("some", 4_000), by_weight("rest", 3_000), whole)) == {"whole"}
