"""The printed bill as an aim: whole grams, lines and taxes rounded as they are printed, and what is proved of it.

All scenarios are invented. **Source:** arithmetic; sums stand beside the numbers.
"""

import pickle
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from raworder.reporting.summary import proof_text
from raworder.solving import search as searching
from raworder.solving.billing import PROVED_WITHIN, bill_at, least_bill, no_scraps, whole_values
from raworder.solving.cheapest import LEFT_OUT_BY_SHARING, cheapest
from raworder.solving.search import CHEAPEST_HANDIEST, OFFER_SMALLER_PIECES, PIECES_LEFT_OUT, Solved, build, search
from raworder.solving.solver import Ending, Outcome, Settings
from raworder.trade.bags import Portioning, Working
from raworder.trade.cuts import Measure, Part
from raworder.trade.dogs import Target
from raworder.trade.plan import Allocation, NoPlan, Plan, Unsolved
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch
from tests import builders as b
from tests.builders import Number

MEAT = {"lean chuck": "beef", "lamb shank": "lamb", "pork loin": "pork"}
GRAM = Portioning(scale_step_g=1, least_portion_g=1)


def sold_to_the_gram(prices: Mapping[str, Number], daily_g: int = 333, days: int = 7, **supplier: Number) -> Scenario:
    """One dog that eats muscle, sold to the gram at one butcher."""
    muscle = Target(Part.MUSCLE, Fraction(1), Fraction(1))
    return b.a_scenario(
        days=days,
        dogs=[b.a_dog(daily_g=daily_g, days=days, targets=[muscle])],
        cuts=[b.a_cut(cut, species=MEAT[cut]) for cut in MEAT],
        offers=[b.an_offer_by_weight(cut, key=cut, price_per_kg=price) for cut, price in prices.items()],
        suppliers=[b.a_supplier(**supplier)],
        portioning=GRAM,
    )


def ordered(scenario: Scenario) -> Plan:
    plan = order_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    return plan


def test_a_dearer_offer_beside_does_not_raise_the_bill() -> None:
    """The case `tiny_lines_2`, with other names: 23 g of a dearer meat were bought, and 9.42 paid.

    2331 g at 3.84 are 8.95104, billed 8.95; 5 % of it are 0.4475, billed 0.45.
    """
    dearer = {"lean chuck": "4.22", "lamb shank": "3.84", "pork loin": "5.12"}
    alone = {"lamb shank": "3.84"}
    for prices in (dearer, alone):
        plan = ordered(sold_to_the_gram(prices, minimum_order=5, sales_tax="5/100"))
        assert plan.total == Decimal("9.40")
        assert [(line.offer, line.units) for line in plan.lines] == [("lamb shank", 2331)]
        assert plan.proof.least_bill == plan.total


def test_the_sentence_of_proof_names_the_sum_that_is_printed_and_no_other() -> None:
    scenario = sold_to_the_gram({"lean chuck": "4.22", "lamb shank": "3.84"}, minimum_order=5, sales_tax="5/100")
    assert proof_text(scenario, ordered(scenario)) == (
        "Proved: no order that follows your rules costs less than 9.40 EUR."
    )


def test_a_line_that_saves_nothing_falls_away() -> None:
    """100 g at 3.84 are 38.4, billed 38; 99 g with 1 g at 4.22, billed 0, are 38 as well."""
    plan = ordered(sold_to_the_gram({"lean chuck": "4.22", "lamb shank": "3.84"}, daily_g=100, days=1))
    assert [(line.offer, line.units) for line in plan.lines] == [("lamb shank", 100)]


def test_a_line_that_saves_a_cent_is_bought() -> None:
    """101 g at 3.84 are 38.784, billed 39; 1 g at 4.22 is billed 0, and 100 g 38."""
    plan = ordered(sold_to_the_gram({"lean chuck": "4.22", "lamb shank": "3.84"}, daily_g=101, days=1))
    assert plan.total == Decimal("0.38")
    assert sum(line.units for line in plan.lines) == 101


def test_every_cut_that_is_weighed_gets_its_least_portion_where_bills_are_rounded() -> None:
    offers = {"lean chuck": "4.22", "lamb shank": "3.84"}
    given = sold_to_the_gram(offers)
    dog = replace(given.dogs[0], avoid=(b.a_subject(Measure.SPECIES, "lamb"),))
    scenario = replace(given, dogs=(given.dogs[0], replace(dog, name="Fern")), cuts=(*given.cuts, b.NECK))
    problem = build(scenario, scraps=frozenset({("Maple", "lean chuck")}))
    before = dict(problem.taken)
    assert [*before] == [("Maple", "lean chuck")]
    rows = [name for name, _ in no_scraps(problem)]
    taken = {("Maple", "lean chuck"), ("Maple", "lamb shank"), ("Maple", "pork loin"), ("Fern", "lean chuck")}
    assert set(problem.taken) == {*taken, ("Fern", "pork loin")}
    assert problem.taken["Maple", "lean chuck"] is before["Maple", "lean chuck"]
    assert len(rows) == 2 * (len(problem.taken) - len(before))  # the rows of what was held came with it


def test_a_line_that_saves_a_cent_is_not_bought_for_less_than_a_portion() -> None:
    """1 g at 4.22 for one of 101 g at 3.84 would save a cent; of 5 g or more, there is none that does.

    Both lines would have to be billed down: 38.784 and 0.038 for each gram at 4.22 are 38 for less than 6 g, and 5 g
    are 2.11 and 96 g 36.864, billed 37.
    """
    scenario = sold_to_the_gram({"lean chuck": "4.22", "lamb shank": "3.84"}, daily_g=101, days=1)
    plan = ordered(replace(scenario, portioning=replace(GRAM, least_portion_g=5)))
    assert (plan.total, plan.proof.least_bill) == (Decimal("0.39"), Decimal("0.39"))


def test_what_costs_nothing_is_proved_to_cost_nothing() -> None:
    problem = build(sold_to_the_gram({"lean chuck": "4.22"}))
    for least_cost, bill in (("0", "0.00"), ("0.004", "0.00"), ("0.03", "0.03")):
        assert least_bill(problem, float(least_cost), None) == Decimal(bill)


def test_what_is_printed_of_an_order_is_known_before_it_is_solved_for() -> None:
    """125 g at 4.00 are 0.50, whose 5 % are 2.5 cents, billed 3: 53 cents."""
    solved = search(sold_to_the_gram({"lean chuck": 4}, daily_g=125, days=1, sales_tax="5/100"), Settings())
    assert isinstance(solved, Solved)
    assert bill_at(solved.problem, whole_values(solved.problem, solved.found)) == 53


@pytest.mark.parametrize(("price", "total"), [("5.00", "0.51"), ("4.99", "0.50")])
def test_half_a_minor_unit_is_billed_up(price: str, total: str) -> None:
    """101 g at 5.00 are 50.5; at 4.99 they are 50.399."""
    plan = ordered(sold_to_the_gram({"lean chuck": price}, daily_g=101, days=1))
    assert (plan.total, plan.proof.least_bill) == (Decimal(total), Decimal(total))


def test_sales_tax_is_rounded_half_up_on_what_stands_on_the_bill() -> None:
    """125 g at 4.00 are 0.50, whose 5 % are 2.5 cents, billed 3; at 3.92 they are 0.49 and 2.45, billed 2."""
    for price, total in (("4.00", "0.53"), ("3.92", "0.51")):
        plan = ordered(sold_to_the_gram({"lean chuck": price}, daily_g=125, days=1, sales_tax="5/100"))
        assert (plan.total, plan.proof.least_bill) == (Decimal(total), Decimal(total))


def test_one_gram_more_is_bought_where_it_makes_delivery_free() -> None:
    """101 g at 5.00 are 50.5, billed 51; free from 0.52, reached by 103 g, 51.5."""
    scenario = sold_to_the_gram({"lean chuck": 5}, daily_g=101, days=1, delivery=1, free_delivery_from="0.52")
    plan = ordered(scenario)
    assert (plan.total, plan.lines[0].units) == (Decimal("0.52"), 103)


def test_the_step_of_a_price_counts_whole_grams() -> None:
    """From 150 g on 3.00 a kilogram: 150 g for 0.45, where 101 g at 5.00 are 0.51."""
    scenario = sold_to_the_gram({"lean chuck": 5}, daily_g=101, days=1)
    stepped = b.an_offer_by_weight("lean chuck", key="lean chuck", price_per_kg=5, breaks_g={150: 3})
    plan = ordered(replace(scenario, offers=(stepped,)))
    assert (plan.total, plan.lines[0].units) == (Decimal("0.45"), 150)


def test_where_nothing_is_rounded_the_bill_is_not_asked_for() -> None:
    scenario = b.a_scenario(offers=[b.an_offer(key="trim", price="2.40")])
    solved = search(scenario, Settings())
    assert isinstance(solved, Solved)
    assert list(solved.outcomes) == ["cost", "handy", "picked"]
    assert ordered(scenario).proof.least_bill == Decimal("16.80")


def test_a_bill_that_was_not_proved_is_shown_with_what_was_proved_of_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """The exact cost of 2331 g at 3.84 is 8.95104, with 5 % of it 9.398592.

    Each of three lines and the tax may take off half a cent: 9.378592, and so 9.38.
    """
    real = searching.minimise

    def stopped(*given: Any, **more: Any) -> Outcome:
        outcome = real(*given, **more)
        is_bill = more["gap"] == PROVED_WITHIN  # the aim is known by its gap
        return replace(outcome, ending=Ending.FEASIBLE, bound=None) if is_bill else outcome

    monkeypatch.setattr(searching, "minimise", stopped)
    scenario = sold_to_the_gram({"lean chuck": "4.22", "lamb shank": "3.84", "pork loin": "5.12"}, sales_tax="5/100")
    plan = ordered(scenario)
    assert plan.proof.proved
    assert (plan.total, plan.proof.least_bill) == (Decimal("9.40"), Decimal("9.38"))
    assert proof_text(scenario, plan) == (
        "Proved: no order that follows your rules costs less than 9.38 EUR; this one costs 9.40 EUR, "
        "as lines and sales tax are rounded to 0.01 EUR and meat is sold in whole grams."
    )


def test_a_budget_holds_for_the_printed_bill() -> None:
    scenario = sold_to_the_gram({"lean chuck": "4.22", "lamb shank": "3.84"}, minimum_order=5, sales_tax="5/100")
    assert ordered(replace(scenario, budget=b.euros("9.40"))).total == Decimal("9.40")
    assert isinstance(order_batch(replace(scenario, budget=b.euros("9.39")), Settings()), NoPlan)


def test_a_budget_is_searched_for_to_the_end_where_the_bill_was_not_proved(monkeypatch: pytest.MonkeyPatch) -> None:
    """The branches that were allowed did not do; then all are looked at, and it is known whether there is one."""
    real = searching.minimise

    def without_luck(lp: Any, of: Any, settings: Settings, **more: Any) -> Outcome:
        outcome = real(lp, of, settings, **more)
        is_limited = settings.most_nodes is not None and more["gap"] == PROVED_WITHIN
        return replace(outcome, ending=Ending.FEASIBLE, bound=0.0) if is_limited else outcome

    monkeypatch.setattr(searching, "minimise", without_luck)
    scenario = sold_to_the_gram({"lean chuck": "4.22", "lamb shank": "3.84"}, minimum_order=5, sales_tax="5/100")
    assert isinstance(order_batch(replace(scenario, budget=b.euros("9.39")), Settings()), NoPlan)


def test_where_no_order_in_whole_grams_fits_the_freezer_amounts_are_rounded_instead() -> None:
    """9 % bone of 2331 g is 209.79 g and the rest 2121.21 g: whole grams to cover both weigh 2332."""
    bone = b.a_cut("bony end", species="goat", parts={Part.BONE: 1})
    meat = b.a_cut("lean chuck")
    dog = b.a_dog(daily_g=333, days=7, targets=[b.a_target(low="9/100", high="9/100")])
    offers = [b.an_offer_by_weight(cut.name, key=cut.name) for cut in (bone, meat)]
    scenario = b.a_scenario(days=7, dogs=[dog], cuts=(bone, meat), offers=offers, portioning=GRAM)
    assert sum(line.units for line in ordered(scenario).lines) == 2332
    assert sum(line.units for line in ordered(replace(scenario, room_g=2331)).lines) == 2331


def test_an_order_that_rounding_alone_puts_above_the_budget_proves_nothing() -> None:
    """At 1.46 a kilogram 210 g and 2121 g cost 0.3066 and 3.09666, billed 0.31 and 3.10; together 3.40326, not 3.41."""
    bone = b.a_cut("bony end", species="goat", parts={Part.BONE: 1})
    meat = b.a_cut("lean chuck")
    dog = b.a_dog(daily_g=333, days=7, targets=[b.a_target(low="9/100", high="9/100")])
    offers = [b.an_offer_by_weight(cut.name, key=cut.name, price_per_kg="1.46") for cut in (bone, meat)]
    scenario = b.a_scenario(days=7, dogs=[dog], cuts=(bone, meat), offers=offers, portioning=GRAM, room_g=2331)
    assert ordered(scenario).total == Decimal("3.41")
    answer = order_batch(replace(scenario, budget=b.euros("3.40")), Settings())
    assert isinstance(answer, Unsolved)
    assert answer.why == "the best order found comes to 3.41 EUR, which is above the budget"


def test_every_order_with_a_bill_in_it_is_told_in_whole_numbers() -> None:
    scenario = sold_to_the_gram({"lean chuck": "4.22", "lamb shank": "3.84", "pork loin": "3.85"}, sales_tax="7/100")
    solved = search(scenario, Settings(), CHEAPEST_HANDIEST)
    assert isinstance(solved, Solved)
    printed = solved.problem.printed
    assert set(printed.grams) == set(printed.line) == set(printed.goods) == {"lean chuck", "lamb shank", "pork loin"}
    whole = [one for group in (printed.grams, printed.goods, printed.tax) for one in group.values()]
    assert all(abs(solved.found[one.name] - round(solved.found[one.name])) < 1e-5 for one in whole)


def test_what_is_wanted_means_the_same_in_another_process() -> None:
    """Questions are pickled on their way to other processes; there the bill must still be known as the bill."""
    scenario = b.a_scenario(offers=[b.an_offer_by_weight(price_per_kg="6.23")], dogs=[b.a_dog(daily_g=333)])
    sent = pickle.loads(pickle.dumps(CHEAPEST_HANDIEST))
    here, there = (cheapest(scenario, Settings(), wanted) for wanted in (CHEAPEST_HANDIEST, sent))
    assert here == there
    assert isinstance(there, Allocation)
    assert there.proof.least_bill is not None
    solved = search(scenario, Settings(), sent)
    assert isinstance(solved, Solved)
    assert solved.problem.printed.grams


def only_bill(settings: Settings, more: dict[str, Any]) -> bool:
    """Whether what is asked for is the least bill, with branches limited; the aim is known by its gap."""
    return settings.most_nodes is not None and more["gap"] == PROVED_WITHIN


def test_a_dearer_order_that_a_stopped_search_for_the_bill_found_is_not_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once 223.58 was paid where 218.41 had been found before; our own audit withheld the plan."""
    real = searching.minimise

    def dearest(lp: Any, of: Any, settings: Settings, **more: Any) -> Outcome:
        if not only_bill(settings, more):
            return real(lp, of, settings, **more)
        outcome = real(lp, -1 * of, Settings())
        return Outcome(Ending.FEASIBLE, -(outcome.value or 0.0), 0.0, "Node limit reached")

    monkeypatch.setattr(searching, "minimise", dearest)
    scenario = sold_to_the_gram({"lean chuck": "4.22", "lamb shank": "3.84", "pork loin": "5.12"}, sales_tax="5/100")
    plan = ordered(scenario)
    assert plan.total == Decimal("9.40")
    assert plan.proof.proved


def test_a_budget_is_searched_for_also_where_the_search_for_the_bill_found_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """525 g at 3.84 cost 2.016, billed 2.02; 524 g at 3.84 and 1 g at 3.85 are billed 2.01 and 0.00."""
    real = searching.minimise

    def without_luck(lp: Any, of: Any, settings: Settings, **more: Any) -> Outcome:
        if only_bill(settings, more):
            return Outcome(Ending.NOTHING, None, None, "Node limit reached")
        return real(lp, of, settings, **more)

    monkeypatch.setattr(searching, "minimise", without_luck)
    scenario = sold_to_the_gram({"lean chuck": "3.84", "lamb shank": "3.85"}, daily_g=75)
    assert ordered(scenario).total == Decimal("2.02")
    assert ordered(replace(scenario, budget=b.euros("2.01"))).total == Decimal("2.01")


@pytest.mark.parametrize(("dogs", "price"), [(1, "1.46"), (2, "1.18")])
def test_a_budget_that_dogs_fed_from_a_tub_cannot_keep_to_is_no_plan(dogs: int, price: str) -> None:
    """Both lines are billed up; once it was said that larger pieces had been left out, where there were none at all."""
    bone = b.a_cut("bony end", species="goat", parts={Part.BONE: 1})
    meat = b.a_cut("lean chuck")
    maple = b.a_dog(daily_g=333, days=7, targets=[b.a_target(low="9/100", high="9/100")])
    scenario = b.a_scenario(
        days=7,
        dogs=[maple, replace(maple, name="Juniper")][:dogs],
        cuts=(bone, meat),
        offers=[b.an_offer_by_weight(cut.name, key=cut.name, price_per_kg=price) for cut in (bone, meat)],
        portioning=replace(GRAM, working=Working.TUB),
    )
    least = ordered(scenario).total
    assert ordered(replace(scenario, budget=least)).total == least
    below = replace(scenario, budget=least - scenario.currency.minor)
    assert isinstance(order_batch(below, Settings()), NoPlan)


def test_an_order_with_larger_pieces_is_not_said_to_be_impossible_for_want_of_money() -> None:
    """Pip's tub leaves out necks, which its bags could hold; with them the order would be within the budget."""
    pip = b.a_dog("Pip", daily_g=74, days=7, targets=[b.a_target(Part.MUSCLE, "1/2", 1)])
    scenario = b.a_scenario(
        days=7,
        dogs=[pip],
        cuts=[b.NECK, b.TRIM],
        offers=[b.an_offer(b.NECK.name, key="neck", price=1), b.an_offer(b.TRIM.name, key="trim", pack_g=100, price=9)],
        portioning=Portioning(working=Working.TUB, most_a_day=()),
    )
    dear = ordered(scenario)
    assert dear.remarks == (LEFT_OUT_BY_SHARING,)
    answer = order_batch(replace(scenario, budget=dear.total - scenario.currency.minor), Settings())
    assert answer == Unsolved(PIECES_LEFT_OUT, OFFER_SMALLER_PIECES)


@pytest.mark.parametrize(("budget", "kind"), [("22.56", Plan), ("22.55", NoPlan)])
def test_a_budget_that_only_parts_of_a_gram_could_keep_to_is_no_plan(budget: str, kind: type) -> None:
    """2121.21 g at 10.63 a kilogram would cost 22.5485, billed 22.55; 2122 g cost 22.55686, billed 22.56."""
    bone = b.a_cut("bony end", species="goat", parts={Part.BONE: 1})
    meat = b.a_cut("lean chuck")
    scenario = b.a_scenario(
        days=7,
        dogs=[b.a_dog(daily_g=333, days=7, targets=[b.a_target(low="9/100", high="9/100")])],
        cuts=(bone, meat),
        offers=[b.an_offer_by_weight(meat.name, key=meat.name, price_per_kg="10.63")],
        on_hand=[b.on_hand(bone.name, 300)],
        portioning=GRAM,
        budget=b.euros(budget),
    )
    assert isinstance(order_batch(scenario, Settings()), kind)
