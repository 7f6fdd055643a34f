"""Every study of a scenario with a ration in energy, a rule on a nutrient and supplements.

All names, prices and amounts are invented. **Source:** arithmetic, sums beside the numbers.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.giving_way.family import one_step_looser
from raworder.reading.rations import least_day_g
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask
from raworder.studies.differences import cost_at, packs_bought, replace_lists, supplement_rows
from raworder.studies.prices_to_ask import prices_to_ask
from raworder.studies.same_money import same_money
from raworder.studies.side_by_side import compare_variants
from raworder.studies.substitutes import substitutes
from raworder.studies.suppliers import suppliers
from raworder.studies.what_if import changes_of, what_if
from raworder.studies.worth_of_one_more import one_day_longer, worth_of_one_more
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.document import Document, Facts
from raworder.trade.dogs import Cap, EnergyRation
from raworder.trade.nutrients import NutrientLimit, Per, Supplement
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario, SupplementOffer
from raworder.workflow import order_batch
from tests import builders as b
from tests.nourishing.fed import a_food
from tests.studies.tables import row_of, rows_of
from tests.studies.telling import told
from tests.supplemented import an_analysis

# 1 kcal and 0.02 mg of zinc a gram, 20 mg in 1000 kcal; heart is as much, but twice the zinc
TRIM = a_food("trim", {"energy": 100, "zinc": 2})
HEART = a_food("heart", {"energy": 100, "zinc": 4}, kind="heart")
TABLET = Supplement("zinc tablets", "tablet", Fraction(1), an_analysis({"zinc": 5}), 2)
CORNER = "Corner Store"

# 1000 kcal a day for 14 days are 14 kg of trim, 42.00; they hold 20 mg of zinc a day, and a tablet makes 25:
# 14 tablets, a pack of 20 for 2.00 and a delivery of 1.00; 45.00 in all
MAPLE = replace(b.a_dog(), nutrient_limits=(NutrientLimit("zinc", Per.MCAL, Fraction(25)),))


def by_energy(kcal: int) -> Scenario:
    """Maple by so many kcal a day; two lists of food, one of tablets."""
    energy = EnergyRation((Fraction(kcal),) * 14)
    day_g = least_day_g(MAPLE, energy, (TRIM, HEART))
    dog = replace(MAPLE, energy=energy, day_g=day_g, batch_g=sum(day_g), daily_g=Fraction(day_g[0]))
    scenario = b.a_scenario(
        dogs=[dog],
        cuts=(TRIM, HEART),
        offers=[
            b.an_offer_by_weight("trim", price_per_kg=3),
            b.an_offer_by_weight("heart", supplier=b.FENWICK, price_per_kg=9),
        ],
        suppliers=(b.a_supplier(b.HOLLOW_LANE), b.a_supplier(b.FENWICK), b.a_supplier(CORNER, delivery=1)),
    )
    tablets = SupplementOffer("tablets", CORNER, TABLET.name, TABLET.name, 20, b.euros(2))
    return replace(scenario, supplements=(TABLET,), supplement_offers=(tablets,))


SCENARIO = by_energy(1_000)


def ordered(scenario: Scenario = SCENARIO) -> Plan:
    """The cheapest order."""
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    return base


def asked(*words: str, scenario: Scenario = SCENARIO) -> Document:
    """The paper of what would be."""
    return what_if(scenario, ordered(scenario), Ask(), changes=changes_of(scenario, words))


def test_the_order_is_as_worked_out_by_hand() -> None:
    plan = ordered()
    assert (plan.total, {one.cut: one.batch_g for one in plan.portions}) == (Decimal("45.00"), {"trim": 14_000})
    assert [(one.supplement, one.steps_a_day) for one in plan.doses] == [("zinc tablets", 1)]


@pytest.mark.parametrize(
    ("change", "cost", "more"),
    [
        # 11 days: 33.00 and the same pack
        ("Maple away 3 days", "36.00", "-9.00"),
        # 28 tablets are two packs: 84.00 + 4.00 + 1.00
        ("one more like Maple", "89.00", "44.00"),
        ("price of trim +10 %", "49.20", "4.20"),
        # the pack at 3.00
        ("price of zinc tablets +50 %", "46.00", "1.00"),
        (f"price of zinc tablets at {CORNER} +50 %", "46.00", "1.00"),
        (f"price of {CORNER} +50 %", "46.00", "1.00"),
        ("price of everything +50 %", "67.00", "22.00"),
    ],
)
def test_what_would_be_is_reckoned_in_energy_and_whole_packs(change: str, cost: str, more: str) -> None:
    row = rows_of(asked(change), "costs")[1]
    assert (row["cost"], row["difference"]) == (Decimal(cost), Decimal(more))


def test_packs_that_move_are_told_beside_the_food() -> None:
    rows = rows_of(asked("one more like Maple"), "changes")
    assert [(row["moved"], row["cut"], row["to_buy_before"], row["to_buy_after"]) for row in rows] == [
        ("more", "trim", "14 kg by weight", "28 kg by weight"),
        ("more", "zinc tablets", "1 pack of 20 tablets", "2 packs of 20 tablets"),
    ]


def test_tablets_that_are_done_without_are_told_as_gone() -> None:
    # a quarter of heart, 3.5 kg, would cost 21.00 more; at 3.05 a kilogram heart is dearer than trim by 0.175, and the
    # tablets are done without
    paper = asked("price of heart -66 %", "budget 45.00")
    text = told(paper)
    assert "Budget 45.00 EUR: the order stays the same." in text
    rows = [row for row in rows_of(paper, "changes") if row["cut"] == "zinc tablets"]
    # by itself, and with the budget beside it
    assert [(row["moved"], row["units_before"], row["units_after"]) for row in rows] == [("gone", 1, 0)] * 2


def test_an_order_in_which_packs_alone_differ_is_another_order() -> None:
    plan = ordered()
    two = replace(plan, supplement_lines=(replace(plan.supplement_lines[0], units=2),))
    assert list(supplement_rows("so", (SCENARIO, plan), (SCENARIO, two))) == [
        ("so", "more", "zinc tablets", CORNER, "1 pack of 20 tablets", "2 packs of 20 tablets", 1, 2)
    ]
    assert not list(supplement_rows("so", (SCENARIO, plan), (SCENARIO, plan)))


def test_a_supplier_that_is_missing_takes_its_supplements_along() -> None:
    # without tablets a quarter of heart: 10.5 x 3 + 3.5 x 9 = 63.00
    paper = suppliers(SCENARIO, ordered(), Ask())
    missing = {next(iter(row.values())): row["cost"] for row in rows_of(paper, "missing")}
    assert missing[CORNER] == Decimal("63.00")
    assert missing[b.FENWICK] == Decimal("45.00")


def facts(paper: Document) -> dict[str, object]:
    """Facts by key."""
    return {one.key: one.value for block in paper.blocks if isinstance(block, Facts) for one in block.items}


def test_one_day_more_is_a_days_energy_more() -> None:
    # 15 tablets are still one pack, so a kilogram of trim at 3.00
    longer = one_day_longer(SCENARIO)
    assert longer is not None
    (dog,) = longer.dogs
    assert dog.energy is not None
    assert (dog.days, dog.energy.batch_kcal) == (15, Fraction(15_000))
    assert ordered(longer).total - ordered().total == Decimal("3.00")
    assert Decimal("3.00") in facts(worth_of_one_more(SCENARIO, ordered(), Ask())).values()


def test_a_little_less_of_a_nutrient_is_worth_what_it_saves() -> None:
    # 5 % less of 24 mg asks for 22.8 still: nothing; of 21 mg for 19.95, which trim holds: the tablets are saved
    limit = NutrientLimit("zinc", Per.MCAL, Fraction(21))
    scenario = replace(SCENARIO, dogs=(replace(SCENARIO.dogs[0], nutrient_limits=(limit,)),))
    paper = worth_of_one_more(scenario, ordered(scenario), Ask())
    (row,) = [row for block in ("worth", "savings") for row in _rows(paper, block) if row["rule"] == "nutrient"]
    assert (row["cost_then"], row["saves"]) == (Decimal("42.00"), Decimal("3.00"))
    assert "zinc at least 25 mg per 1000 kcal for Maple (5 % less of that)" in told(
        worth_of_one_more(SCENARIO, ordered(), Ask())
    )


def _rows(paper: Document, key: str) -> list[dict[str, object]]:
    """The rows of the tables of that key, if there are any."""
    keys = {getattr(block, "key", "") for block in paper.blocks}
    return [dict(row) for row in rows_of(paper, key)] if key in keys else []


def test_how_near_a_share_is_to_its_limit_is_told_by_what_is_eaten() -> None:
    """Least grams are by the densest food: half of what is eaten, so that shares must not be of them."""
    dense = a_food("suet", {"energy": 900, "zinc": 18}, kind="suet")
    heart_at_most = Cap(Subject(Measure.KIND, "heart"), Fraction(3, 10))
    liver = replace(HEART, parts=((Part.LIVER, Fraction(1)),), kind="liver", name="liver")
    dog = replace(
        SCENARIO.dogs[0],
        targets=(b.a_target(Part.LIVER, "5/100", "10/100"),),
        caps=(heart_at_most,),
        nutrient_limits=(),
        batch_g=1_554,
        day_g=(111,) * 14,
    )
    scenario = b.a_scenario(
        dogs=[dog],
        cuts=(TRIM, liver, dense),
        offers=[
            b.an_offer_by_weight("trim", price_per_kg=3),
            b.an_offer_by_weight("liver", price_per_kg=9),
            b.an_offer_by_weight("suet", price_per_kg=90),
        ],
    )
    plan = ordered(scenario)
    # a twentieth of 14 kg
    assert plan.eaten_g("Maple", "liver") == 700
    near = {(one.limit, one.step): one.is_near for one in one_step_looser(scenario, plan) if one.rule == "part_share"}
    assert near == {
        ("liver at least 5.0 % for Maple", "1 percentage point less"): True,
        ("liver at most 10.0 % for Maple", "1 percentage point more"): False,
    }


def test_prices_to_ask_for_count_with_tablets() -> None:
    # with heart the tablets' 3.00 are saved for 3.5 kg of it: worth it up to 3.00 more than trim for 3.5 kg, 3.857
    row = row_of(prices_to_ask(SCENARIO, ordered(), Ask(), cuts=("heart",)), "not_bought", b.FENWICK)
    assert row["asked"] == Decimal("3.85")


def test_what_to_buy_instead_keeps_the_rules_on_nutrients() -> None:
    # without trim 14 kg of heart, 126.00, hold 40 mg of zinc a day, and no tablets are needed: 81.00 more
    assert (
        "heart, 14 kg by weight, 9 per kg, at Fenwick Wholesale; 1 pack of 20 tablets of zinc tablets fewer, at Corner "
        "Store | 81.00 |"
    ) in told(substitutes(SCENARIO, ordered(), Ask()))


def test_what_to_buy_instead_tells_of_packs_that_it_needs() -> None:
    # 14 kg of heart, 42.00, need no tablets; without it 14 kg of trim, 56.00, and a pack with its delivery, 3.00
    offers = [b.an_offer_by_weight("trim", price_per_kg=4), b.an_offer_by_weight("heart", price_per_kg=3)]
    scenario = replace(SCENARIO, offers=tuple(offers))
    plan = ordered(scenario)
    assert (plan.total, plan.supplement_lines) == (Decimal("42.00"), ())
    assert ("trim, 14 kg by weight, 4 per kg; 1 pack of 20 tablets of zinc tablets, at Corner Store | 17.00 |") in told(
        substitutes(scenario, plan, Ask())
    )


def test_nicer_orders_are_looked_for_with_energy_and_supplements() -> None:
    paper = same_money(SCENARIO, ordered(), Ask(), within=Fraction(1, 2))
    rows = {row["order"]: row for row in rows_of(paper, "same_money")}
    assert rows["cheapest"]["total"] == Decimal("45.00")
    assert all(Decimal(str(row["total"])) <= Decimal("67.50") for row in rows.values())


def test_scenarios_side_by_side_tell_of_packs_and_their_prices() -> None:
    dearer = replace(SCENARIO, supplement_offers=(replace(SCENARIO.supplement_offers[0], price=b.euros(3)),))
    text = told(compare_variants([("one", SCENARIO), ("other", dearer)], Ask()))
    assert "other buys the same as one." in text
    assert "Corner Store: zinc tablets, 1 pack of 20 tablets: 3.00 EUR, not 2.00 EUR" in text
    assert "The price lists of other are those of one." not in text
    assert "The order of one costs 46.00 EUR at the prices of other." in text


def test_lists_without_supplements_are_put_in_place_of_those_with_some() -> None:
    plain = replace(SCENARIO, supplements=(), supplement_offers=(), suppliers=SCENARIO.suppliers[:2])
    made = replace_lists(SCENARIO, plain)
    assert made.supplement_offers == ()
    assert ordered(made).total == Decimal("63.00")
    assert "1 pack of 20 tablets" in told(compare_variants([("one", SCENARIO), ("other", plain)], Ask()))
    assert ordered(replace_lists(plain, SCENARIO)).total == Decimal("45.00")


def test_an_order_with_packs_costs_its_bills_at_its_own_prices() -> None:
    plan = ordered()
    units = {line.offer: line.units for line in plan.lines}
    assert cost_at(SCENARIO, units, packs_bought(SCENARIO, plan)) == plan.total
    assert cost_at(SCENARIO, units) == Decimal("42.00")
    assert cost_at(replace(SCENARIO, supplement_offers=()), units, packs_bought(SCENARIO, plan)) is None
    few = replace(SCENARIO, supplement_offers=(replace(SCENARIO.supplement_offers[0], available=0),))
    assert cost_at(few, units, packs_bought(SCENARIO, plan)) is None
