"""Suppliers side by side: against sums by hand, against every choice of suppliers, and what always holds.

All names, prices and amounts are invented.

**Source:** arithmetic, sums beside the numbers; CBC on every choice of suppliers.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import combinations, pairwise
from random import Random

import pytest

from raworder.solving.solver import Settings, SolverName
from raworder.studies.asking import Ask
from raworder.studies.orders import find_order, lacks_on_lists, lacks_text
from raworder.studies.suppliers import keep_suppliers, suppliers
from raworder.trade.cuts import Measure, Part
from raworder.trade.document import Document
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch
from tests import builders as b
from tests.drawn import few
from tests.outside.invented import invented
from tests.studies.tables import row_of, rows_of
from tests.studies.telling import told

TWO_PARTS = b.a_dog(daily_g=500, days=14, targets=[b.a_target(Part.LIVER, "10/100", "10/100")])
THREE = b.a_scenario(
    # 7000 g, a tenth of it liver: 700 g of liver and 6300 g of trim
    dogs=[TWO_PARTS],
    cuts=[b.TRIM, b.LIVER],
    suppliers=[
        b.a_supplier(b.HOLLOW_LANE, delivery="2.00"),
        b.a_supplier(b.FENWICK, delivery="1.00"),
        b.a_supplier(b.TIDEWELL, list_date=date(2026, 12, 7)),
    ],
    offers=[
        b.an_offer_by_weight("beef trim", supplier=b.HOLLOW_LANE, unit_g=100, price_per_kg="5.00"),
        b.an_offer_by_weight("lamb liver", supplier=b.HOLLOW_LANE, unit_g=100, price_per_kg="9.00"),
        b.an_offer_by_weight("beef trim", supplier=b.FENWICK, unit_g=100, price_per_kg="4.00"),
        b.an_offer_by_weight("lamb liver", supplier=b.TIDEWELL, unit_g=100, price_per_kg="3.00"),
    ],
)
"""Hollow Lane alone: 31.50 + 6.30 + 2.00 = 39.80. Fenwick and Tidewell: 25.20 + 1.00 + 2.10 = 28.30, the cheapest.
Hollow Lane and Fenwick: 25.20 + 1.00 + 6.30 + 2.00 = 34.50. Hollow Lane and Tidewell: 31.50 + 2.00 + 2.10 = 35.60."""


def studied(scenario: Scenario) -> tuple[Document, Plan, Ask]:
    ask = Ask()
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    return suppliers(scenario, base, ask), base, ask


def test_each_supplier_alone_costs_what_it_does_by_hand_or_lacks_what_it_does_not_sell() -> None:
    paper, base, _ = studied(THREE)
    assert base.total == Decimal("28.30")
    hollow_lane = row_of(paper, "alone", b.HOLLOW_LANE)
    assert hollow_lane["cost"] == Decimal("39.80")
    assert hollow_lane["difference"] == Decimal("11.50")  # 39.80 - 28.30
    assert hollow_lane["cost_per_dog_day"] == Decimal("2.84")  # 39.80 / 14 = 2.842...
    assert row_of(paper, "alone", b.FENWICK)["remark"] == "no plan: no liver for Maple"
    assert row_of(paper, "alone", b.FENWICK)["cost"] is None


def test_more_stops_are_told_until_they_make_nothing_cheaper() -> None:
    paper, _, _ = studied(THREE)
    rows = rows_of(paper, "stops")
    assert [(row["most_stops"], row["suppliers"], row["cost"]) for row in rows] == [
        (1, b.HOLLOW_LANE, Decimal("39.80")),
        (2, f"{b.FENWICK}, {b.TIDEWELL}", Decimal("28.30")),
    ]


@pytest.mark.parametrize(
    ("per_kg", "best", "cost"),
    [
        ("12.00", b.FENWICK, "34.60"),  # 25.20 + 0.7 kg x 12.00 + 1.00, less than 39.80
        ("20.00", b.HOLLOW_LANE, "39.80"),  # less than 25.20 + 0.7 kg x 20.00 + 1.00 = 40.20
    ],
)
def test_the_best_one_stop_is_the_cheapest_of_those_that_do_alone(per_kg: str, best: str, cost: str) -> None:
    liver = b.an_offer_by_weight("lamb liver", supplier=b.FENWICK, unit_g=100, price_per_kg=per_kg)
    paper, _, _ = studied(replace(THREE, offers=(*THREE.offers, liver)))
    first = rows_of(paper, "stops")[0]
    assert (first["most_stops"], first["suppliers"], first["cost"]) == (1, best, Decimal(cost))


def test_each_supplier_missing_costs_what_it_does_by_hand() -> None:
    paper, _, _ = studied(THREE)
    costs = {row["without"]: row["cost"] for row in rows_of(paper, "missing")}
    assert costs == {
        b.HOLLOW_LANE: Decimal("28.30"),  # nothing is bought there
        b.FENWICK: Decimal("35.60"),
        b.TIDEWELL: Decimal("34.50"),
    }


def test_what_the_cheapest_order_decides_is_not_solved_again() -> None:
    _, _, ask = studied(THREE)
    # Fenwick alone is ruled out by its list, Hollow Lane missing changes nothing, one stop is the best alone: left are
    # Hollow Lane alone, Tidewell alone, Fenwick missing, Tidewell missing
    assert ask.asked == 4


def test_a_list_is_old_from_61_days_on() -> None:
    # from 2026-12-07 to 2027-02-06 are 24 + 31 + 6 = 61 days
    assert "61 days old" in told(studied(THREE)[0])
    newer = replace(THREE, suppliers=tuple(replace(one, list_date=date(2026, 12, 8)) for one in THREE.suppliers))
    assert "days old" not in told(studied(newer)[0])


def test_the_limit_on_suppliers_is_told_and_does_not_end_the_table_of_stops() -> None:
    limited = replace(THREE, most_suppliers=1)
    paper, base, ask = studied(limited)
    assert base.total == Decimal("39.80")
    assert [row["cost"] for row in rows_of(paper, "stops")] == [Decimal("39.80"), Decimal("28.30")]
    assert "at most 1 supplier" in told(paper)
    assert ask.asked == 3  # any number of them, one without Hollow Lane, Tidewell alone
    assert row_of(paper, "missing", b.HOLLOW_LANE)["cost"] is None


def test_the_budget_limits_no_row_but_what_is_above_it_is_told() -> None:
    paper, _, _ = studied(replace(THREE, budget=Decimal("35.00")))
    assert row_of(paper, "missing", b.FENWICK)["remark"] == "above the budget of 35.00 EUR"
    assert row_of(paper, "missing", b.FENWICK)["cost"] == Decimal("35.60")
    assert row_of(paper, "missing", b.TIDEWELL)["remark"] == ""


def test_an_interrupt_leaves_what_is_known_without_solving() -> None:
    base = order_batch(THREE, Settings())
    assert isinstance(base, Plan)
    paper = suppliers(THREE, base, Ask(interrupted=True))
    assert [row["without"] for row in rows_of(paper, "missing")] == [b.HOLLOW_LANE]
    assert "nothing cheaper" not in told(paper)


def test_the_lists_show_what_is_lacking_for_whom() -> None:
    avoiding = b.a_dog("Juniper", targets=[b.a_target(Part.BONE)], avoid=[b.a_subject(Measure.SPECIES, "chicken")])
    patient = b.a_dog_in_care("Sorrel", {"lamb liver": 300})
    scenario = b.a_scenario(
        dogs=[b.a_dog("Maple", targets=[b.a_target(Part.BONE)]), avoiding, patient],
        cuts=[b.NECK, b.TRIM, b.LIVER],
        offers=[b.an_offer("chicken neck"), b.an_offer("lamb liver", pack_g=100, available=2)],
    )
    text = lacks_text(scenario, lacks_on_lists(scenario))
    assert text == "no bone for Juniper; too little lamb liver for Sorrel, by 100 g"  # 300 given, 2 x 100 there


def test_all_that_is_eaten_must_find_room_first() -> None:
    # 7000 g are eaten, 5000 g fit
    scenario = b.a_scenario(room_g=5_000)
    assert lacks_text(scenario, lacks_on_lists(scenario)) == "too little room for Maple, by 2 kg"


def test_room_in_the_way_is_told_where_whole_packs_need_more_than_is_eaten() -> None:
    # 7000 g in packs of 4 kg are 8 kg
    scenario = b.a_scenario(offers=[b.an_offer(pack_g=4_000)], room_g=7_500)
    assert lacks_text(scenario, find_order(scenario, Settings()).lacks) == "too little room for Maple"


def test_what_is_missed_at_the_least_is_told_in_grams() -> None:
    # a tenth of 7000 g must be liver, 700 g; there are 400
    scenario = b.a_scenario(
        dogs=[TWO_PARTS],
        cuts=[b.TRIM, b.LIVER],
        offers=[b.an_offer("beef trim"), b.an_offer("lamb liver", pack_g=400, available=1)],
    )
    assert lacks_text(scenario, find_order(scenario, Settings()).lacks) == "too little liver for Maple, by 300 g"


def test_more_than_eight_dogs_are_compared_before_pieces_are_shared_out() -> None:
    dogs = [replace(TWO_PARTS, name=f"dog {number}") for number in range(9)]
    paper, base, _ = studied(replace(THREE, dogs=tuple(dogs)))
    assert "before whole pieces are shared out" in told(paper)
    # nine times 6300 g of trim and 700 g of liver: 56.7 x 4 + 1 + 6.3 x 3
    assert base.total == Decimal("246.70")
    # 56.7 x 5 + 6.3 x 9 + 2
    assert row_of(paper, "alone", b.HOLLOW_LANE)["cost"] == Decimal("342.20")


def test_trips_count_in_the_order_and_under_more_and_have_a_column_of_their_own() -> None:
    """Two stops are 28.30 and trips of 8.00 and 9.00; Hollow Lane alone is 39.80 and a trip of 1.00, the cheapest."""
    trips = {b.HOLLOW_LANE: "1.00", b.FENWICK: "8.00", b.TIDEWELL: "9.00"}
    far = replace(THREE, suppliers=tuple(replace(one, trip=Decimal(trips[one.name])) for one in THREE.suppliers))
    paper, base, _ = studied(far)
    assert (base.total, base.trips) == (Decimal("39.80"), Decimal("1.00"))
    alone = row_of(paper, "alone", b.HOLLOW_LANE)
    assert (alone["cost"], alone["trips"], alone["difference"]) == (Decimal("39.80"), Decimal("1.00"), Decimal(0))
    without = row_of(paper, "missing", b.HOLLOW_LANE)
    assert (without["cost"], without["trips"]) == (Decimal("28.30"), Decimal("17.00"))
    assert without["difference"] == Decimal("4.50")
    assert "counts what the trips cost you too" in told(paper)
    assert "trips" not in row_of(studied(THREE)[0], "alone", b.HOLLOW_LANE)


@few("seed", [3, 4, 7, 9, 12, 13], 2)
def test_every_row_is_what_another_solver_finds_for_every_choice_of_suppliers(seed: int) -> None:
    scenario = replace(invented(Random(seed)), budget=None, most_suppliers=None)
    paper, _, _ = studied(scenario)
    names = [one.name for one in scenario.suppliers]
    chosen = {
        frozenset(few): _bound(keep_suppliers(scenario, few)) for most in (1, 2, 3) for few in combinations(names, most)
    }
    for name in names:
        _agrees(counted(row_of(paper, "alone", name)), chosen[frozenset({name})])
        _agrees(counted(row_of(paper, "missing", name)), chosen[frozenset(names) - {name}])
    for row in rows_of(paper, "stops"):
        _agrees(counted(row), min(cost for few, cost in chosen.items() if len(few) <= int(str(row["most_stops"]))))


@few("seed", [3, 39, 46, 60, 92, 99], 2)
def test_no_supplier_missing_makes_it_cheaper_and_no_stop_more_dearer(seed: int) -> None:
    scenario = invented(Random(seed))
    assert scenario.budget is not None or scenario.most_suppliers is not None
    paper, base, _ = studied(scenario)
    cent = scenario.currency.minor * (len(scenario.offers) + 3)  # every line and tax may be rounded
    missing = [cost for row in rows_of(paper, "missing") if isinstance(cost := counted(row), Decimal)]
    assert all(cost >= base.counted - cent for cost in missing)
    costs = [cost for row in rows_of(paper, "stops") if isinstance(cost := counted(row), Decimal)]
    assert costs
    assert all(later <= earlier + cent for earlier, later in pairwise(costs))
    assert costs[-1] <= base.counted + cent


def counted(row: Mapping[str, object]) -> object:
    """What a row costs with its trips; None where there is no plan."""
    cost, trips = row["cost"], row.get("trips", Decimal(0))
    return cost + trips if isinstance(cost, Decimal) and isinstance(trips, Decimal) else None


def _bound(scenario: Scenario) -> Decimal:
    """The exact least cost by the other solver; infinite where there is no order."""
    order = order_batch(scenario, Settings(SolverName.CBC))
    return order.proof.bound if isinstance(order, Plan) else Decimal("Infinity")


def _agrees(told_cost: object, bound: Decimal) -> None:
    """Whether the told cost is that of the exact one, but for the rounding of lines and taxes."""
    if not isinstance(told_cost, Decimal):
        assert told_cost is None
        assert bound == Decimal("Infinity")
    else:
        assert abs(told_cost - bound) <= Decimal("0.10")
