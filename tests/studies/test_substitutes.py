"""The card tells for every line the cheapest repair of all, or what is missed without one.

**Source:** enumeration of all orders of tiny scenarios, see `tests/studies/tiny_orders.py`; other cases by hand, the
sums beside them.
"""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest

from raworder.solving.solver import Settings
from raworder.studies import substitutes as substitutes_paper
from raworder.studies.asking import Ask, Task
from raworder.studies.substitutes import FEW_THINGS, Repair, repair, substitutes
from raworder.trade.cuts import Part
from raworder.trade.document import Document, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch
from tests import builders as b
from tests.drawn import few
from tests.outside.invented import invented, tiny
from tests.studies.tiny_orders import feeding_orders, orders_of

CENT = Decimal("0.01")
MOST_ORDERS = 15_000
FEASIBLE = (3, 7, 9, 13, 17, 19)
"""Seeds of invented scenarios that can be fed."""


def base_of(scenario: Scenario) -> Plan:
    found = order_batch(scenario, Settings())
    assert isinstance(found, Plan)
    return found


def shown(document: Document) -> list[tuple[object, ...]]:
    """What people read: none of, instead, more."""
    tables = [one for one in document.blocks if isinstance(one, Table) and one.key == "what_instead"]
    return [row[:3] for one in tables for row in one.rows]


def two_livers(**changes: object) -> Scenario:
    """3.5 kg with 10 % liver, 350 g: trim in packs of 1 kg, four of them; liver of two kinds, 1.00 and 1.30."""
    dog = b.a_dog(days=7, targets=[b.a_target(Part.LIVER, "1/10", "1/10")])
    other = replace(b.LIVER, name="beef liver", species=b.TRIM.species)
    offers = [
        b.an_offer("beef trim", price=3),
        b.an_offer("lamb liver", pack_g=400, price=1),
        b.an_offer("beef liver", supplier=b.FENWICK, pack_g=400, price="1.30"),
    ]
    scenario = b.a_scenario(days=7, dogs=[dog], cuts=(b.TRIM, b.LIVER, other), offers=offers)
    return replace(scenario, **changes)  # type: ignore[arg-type] # fields by name


@few("block", range(4), 1)
def test_every_repair_is_the_cheapest_of_all_orders_that_hold_what_was_bought(block: int) -> None:
    """First and second choices against enumeration; where it finds none, neither do we."""
    repaired = impossible = 0
    for seed in range(block * 12, block * 12 + 12):
        scenario = with_others(tiny(Random(seed)))
        base = order_batch(scenario, Settings())
        if not isinstance(base, Plan) or orders_of(scenario) > MOST_ORDERS:
            continue
        everything = feeding_orders(scenario)
        for line in base.lines:
            planned = tuple((one.offer, one.units) for one in base.lines if one != line)
            first = repair(scenario, planned, (line.offer,), Settings())
            gone = (line.offer, *(key for key, _ in first.instead))
            second = repair(scenario, planned, gone, Settings())
            for found, missing in ((first, gone[:1]), (second, gone)):
                least = min(
                    (one.exact for one in everything if holds(scenario, one.packs, planned, missing)), default=None
                )
                assert (found.total is None) == (least is None), (seed, missing)
                if found.total is not None and least is not None:
                    assert abs(Fraction(found.total) - least) <= Fraction(CENT), (seed, missing)
                repaired += least is not None
                impossible += least is None
    assert repaired > 3
    assert impossible > 3


def with_others(scenario: Scenario) -> Scenario:
    """Every cut in large packs too, a little dearer."""
    seller = scenario.suppliers[-1].name
    large = [b.an_offer(cut.name, key=f"large {cut.name}", supplier=seller, price="6.10") for cut in scenario.cuts]
    return replace(scenario, offers=(*scenario.offers, *large))


def holds(
    scenario: Scenario, packs: Sequence[int], planned: tuple[tuple[str, int], ...], gone: tuple[str, ...]
) -> bool:
    """At least what was planned, and of what is gone no more than that."""
    least = dict(planned)
    return all(
        n == least.get(offer.key, 0) if offer.key in gone else n >= least.get(offer.key, 0)
        for offer, n in zip(scenario.offers, packs, strict=True)
    )


def test_the_card_tells_first_and_second_choice_and_then_what_is_missed() -> None:
    """The other liver costs 0.30 more. Without both there are 0 g of 350 g; without trim there is nothing but liver."""
    scenario = two_livers()
    rows = shown(substitutes(scenario, base_of(scenario), Ask()))
    trim, lamb = rows  # a second line for lamb would only say that there is nothing else
    assert lamb == (
        "lamb liver, 1 pack of 400 g",
        f"beef liver, 1 pack of 400 g, 1.30 per pack, at {b.FENWICK}",
        Decimal("0.30"),
    )
    assert trim[:1] == ("beef trim, 4 packs of 1 kg",)
    assert trim[2] is None
    # all that can be had is liver: 90 % of 3500 g too much
    assert trim[1] == "no substitute on these lists: liver would be 3.15 kg too much"


def test_what_is_not_needed_any_more_is_left_and_its_price_saved() -> None:
    """Two packs were planned by hand where one does: without the second line nothing is missing, and 1.30 is saved."""
    scenario = two_livers()
    extra = b.a_line(scenario.offers[2].key, 1, "1.30")
    base = base_of(scenario)
    bills = (b.a_bill(b.HOLLOW_LANE, "13.00"), b.a_bill(b.FENWICK, "1.30"))
    rows = shown(substitutes(scenario, replace(base, lines=(*base.lines, extra), bills=bills), Ask()))
    assert rows[-1] == ("beef liver, 1 pack of 400 g", "nothing: all rules are kept without it", Decimal("-1.30"))


def test_a_repair_above_the_budget_is_told_with_what_it_is_above() -> None:
    """12.00 for trim and 1.00 for liver; with the other liver 13.30, which is 0.20 over 13.10."""
    scenario = two_livers(budget=Decimal("13.10"))
    rows = shown(substitutes(scenario, base_of(scenario), Ask()))
    assert str(rows[1][1]).endswith("(0.20 EUR over the budget)")
    assert rows[1][2] == Decimal("0.30")


def test_what_a_veterinarian_gave_is_not_replaced() -> None:
    offers = [b.an_offer(), b.an_offer("lamb liver", price=9)]
    dogs = [b.a_dog(days=7), b.a_dog_in_care("Sorrel", {"lamb liver": 200}, days=7)]
    scenario = b.a_scenario(days=7, dogs=dogs, cuts=(b.TRIM, b.LIVER), offers=offers)
    rows = dict(row[:2] for row in shown(substitutes(scenario, base_of(scenario), Ask())))
    asks = "ask the veterinarian, who said that Sorrel must get 200 g of lamb liver"
    assert rows["lamb liver, 1 pack of 1 kg"] == asks


def test_a_minimum_order_in_the_way_is_told_as_that() -> None:
    """Fenwick sells for 20.00 and more, but of its only liver there is one pack for 1.30."""
    suppliers = (b.a_supplier(b.HOLLOW_LANE), b.a_supplier(b.FENWICK, minimum_order=20))
    scenario = two_livers(suppliers=suppliers)
    offers = (*scenario.offers[:2], replace(scenario.offers[2], available=1))
    scenario = replace(scenario, offers=offers)
    rows = shown(substitutes(scenario, base_of(scenario), Ask()))
    assert "a minimum order or what is whole in packs and pieces is in the way" in str(rows[1][1])


def test_more_of_a_planned_line_is_told_as_more_at_the_price_of_the_whole_line() -> None:
    """Two kinds of trim, 2.00 while there are two packs and then 3.00, from 4 packs 2.55: all four cost 10.20."""
    other = replace(b.TRIM, name="lamb trim")
    offers = [
        b.an_offer("beef trim", price=2, available=2),
        b.an_offer("lamb trim", price=3, breaks={4: "2.55"}),
    ]
    scenario = b.a_scenario(days=7, cuts=(b.TRIM, other), offers=offers)
    rows = shown(substitutes(scenario, base_of(scenario), Ask()))
    # planned are 2 x 2.00 + 2 x 3.00 = 10.00; 4 x 2.55 = 10.20 costs 0.20 more
    assert rows[0] == (
        "beef trim, 2 packs of 1 kg",
        "lamb trim, 2 packs of 1 kg more, 2.55 per pack, from 4 packs",
        Decimal("0.20"),
    )


def test_no_more_than_a_few_things_are_asked_for_where_a_few_do() -> None:
    """Four lots of 1 kg at 2.00 replace 4 kg cheapest; but one thing at 9.00 is gathered at once."""
    cuts = [replace(b.TRIM, name=f"trim {n}") for n in range(6)]
    offers = [b.an_offer("trim 0", price="1.90")]
    offers += [b.an_offer(f"trim {n}", price=2, available=1) for n in range(1, 5)]
    offers += [b.an_offer("trim 5", pack_g=4_000, price=9)]
    scenario = b.a_scenario(days=8, cuts=cuts, offers=offers)
    base = base_of(scenario)
    assert [line.units for line in base.lines] == [4]
    found = repair(scenario, (), (base.lines[0].offer,), Settings())
    assert found.instead == ((offers[-1].key, 1),)
    assert found.total == 9
    without = repair(scenario, (), (base.lines[0].offer, offers[-1].key), Settings())
    assert len(without.instead) == 4 > FEW_THINGS
    assert without.total == 8


@pytest.mark.slow
def test_what_is_missing_is_told_whatever_the_most_cuts() -> None:
    """Trim and liver are two cuts; without liver, all that is left to buy are three, and none is liver."""
    dog = b.a_dog(targets=[b.a_target(Part.LIVER, "5/100", "10/100")])
    cuts = (b.TRIM, b.LIVER, b.HEART, b.a_cut("lamb shoulder", species="lamb", kind="shoulder"))
    scenario = b.a_scenario(dogs=[dog], cuts=cuts, most_cuts=2)
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    (gone,) = (offer.key for offer in scenario.offers if offer.cut == "lamb liver")
    planned = tuple((line.offer, line.units) for line in base.lines if line.offer != gone)
    (missed,) = repair(scenario, planned, (gone,), Settings()).missed
    assert missed.subject.word == "liver"


@pytest.mark.slow
def test_what_was_bought_is_kept_and_no_repair_breaks_a_rule() -> None:
    """The audit stands behind every repair; here that none is below the cheapest order, and none sells what is gone."""
    repairs = 0
    for seed in FEASIBLE:
        scenario = invented(Random(seed))
        base = order_batch(scenario, Settings())
        if not isinstance(base, Plan):
            continue
        for line in base.lines:
            planned = tuple((one.offer, one.units) for one in base.lines if one != line)
            found = repair(scenario, planned, (line.offer,), Settings())
            keys = [key for key, _ in found.instead]
            assert line.offer not in keys
            if found.total is not None:
                repairs += 1
                kept = sum((one.goods for one in base.lines if one != line), Decimal(0))
                assert found.total >= max(kept - CENT * len(base.lines), Decimal(0))
                if base.proof.proved:
                    assert found.total + found.trips >= base.counted - CENT * (len(base.lines) + 4)
            else:
                assert found.missed or found.why
    assert repairs > 8


def test_after_an_interrupt_the_card_tells_what_there_is() -> None:
    scenario = two_livers()
    document = substitutes(scenario, base_of(scenario), _Interrupted(1))
    assert [row[1] for row in shown(document)][-1] == "not worked out"


class _Interrupted(Ask):
    """Gives so many answers, then none."""

    def __init__(self, answers: int) -> None:
        super().__init__()
        self._answers = answers

    def __call__(self, tasks: Sequence[Task[Repair]]) -> dict[str, Repair]:  # type: ignore[override] # of one kind here
        found = super().__call__(tasks[: self._answers])
        self.interrupted = True
        return found


def test_nothing_to_buy_needs_no_card_and_no_question() -> None:
    scenario = b.a_scenario(days=7, on_hand=[b.on_hand(grams=3_500)])
    ask = Ask()
    assert shown(substitutes(scenario, base_of(scenario), ask)) == []
    assert ask.asked == 0


def test_programs_read_every_thing_that_is_bought_instead() -> None:
    document = substitutes(two_livers(), base_of(two_livers()), Ask())
    lines = next(one for one in document.blocks if isinstance(one, Table) and one.key == "what_instead_lines")
    assert not lines.shown
    assert lines.rows == ((b.HOLLOW_LANE, "lamb liver", "first", b.FENWICK, "beef liver", "beef liver", "", 1, 400),)


def test_many_dogs_are_repaired_without_sharing_pieces_and_the_card_says_so() -> None:
    dogs = [b.a_dog(f"dog {n}", days=7) for n in range(9)]
    other = replace(b.TRIM, name="lamb trim")
    scenario = b.a_scenario(
        days=7, dogs=dogs, cuts=(b.TRIM, other), offers=[b.an_offer(), b.an_offer("lamb trim", price=3)]
    )
    document = substitutes(scenario, base_of(scenario), Ask())
    # 9 x 3.5 kg are 31.5 kg, 32 packs at 0.60 more
    assert shown(document)[0][2] == Decimal("19.20")
    assert document.blocks[-1].text == substitutes_paper.NOT_SHARED  # type: ignore[union-attr] # a paragraph
