"""What if: changes read from words, sums by hand, against solving the changed scenario, and what always holds.

All names, prices and amounts are invented.

**Source:** arithmetic, sums beside the numbers; the changed scenarios solved by themselves.
"""

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from raworder.reading.patterns import PATTERNS, targets
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask
from raworder.studies.changes import Away, Change, OneMore, Price, offers_named
from raworder.studies.what_if import FORMS, ChangeError, changes_of, read_change, still_cheapest, what_if
from raworder.trade.cuts import Part
from raworder.trade.document import Document
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch
from tests import builders as b
from tests.drawn import few
from tests.nourishing.fed import a_food
from tests.outside.invented import invented
from tests.reading.written import a_text, scenario_of
from tests.studies.tables import row_of, rows_of
from tests.studies.telling import told

TWO_DOGS = b.a_scenario(
    # 7000 g and 3500 g of trim at 2.40 a kilogram: 11 packs, 26.40, 28 dog-days
    dogs=[b.a_dog("Maple"), b.a_dog("Juniper", daily_g=250)],
)
SHOP = b.a_scenario(
    cuts=[b.TRIM, b.HEART, b.NECK, b.MINCE],
    offers=[
        b.an_offer("beef trim", key="trim", supplier=b.FENWICK, code="F10"),
        b.an_offer("beef trim", key="more trim", pack_g=5_000, price="11.00"),
        b.an_offer("beef heart", key="heart"),
        b.an_offer("chicken neck", key="neck", item="necks, frozen"),
        b.an_offer("farm mince", key="mince"),
    ],
)
EVERYTHING = {"trim", "more trim", "heart", "neck", "mince"}


def studied(scenario: Scenario, *words: str) -> tuple[Document, Ask]:
    ask = Ask()
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    return what_if(scenario, base, ask, changes=changes_of(scenario, words)), ask


def changed(words: str, scenario: Scenario = TWO_DOGS) -> Scenario:
    return read_change(words, scenario).apply_to(scenario)


def test_each_change_costs_what_it_does_by_hand() -> None:
    paper, _ = studied(TWO_DOGS, "price of beef +10 %", "without Juniper", "one more like juniper", "Maple away 4 days")
    found = {row["change"]: (row["cost"], row["difference"]) for row in rows_of(paper, "costs")}
    assert found == {
        "as it is": (Decimal("26.40"), Decimal(0)),
        "price of beef +10 % (1 offer)": (Decimal("29.04"), Decimal("2.64")),  # 11 x 2.64
        "without Juniper": (Decimal("16.80"), Decimal("-9.60")),  # 7 packs
        "one more like Juniper": (Decimal("33.60"), Decimal("7.20")),  # 14 kg
        "Maple away the last 4 days": (Decimal("21.60"), Decimal("-4.80")),  # 5000 + 3500 g, 9 packs
        "all together": (Decimal("23.76"), Decimal("-2.64")),  # another Juniper for Juniper: 9 x 2.64
    }
    assert row_of(paper, "costs", "without Juniper")["cost_per_dog_day"] == Decimal("1.20")  # 16.80 / 14


def test_all_changes_together_come_last() -> None:
    paper, _ = studied(TWO_DOGS, "price of beef +10 %", "without Juniper")
    last = rows_of(paper, "costs")[-1]
    assert (last["change"], last["cost"]) == ("all together", Decimal("18.48"))  # 7 x 2.64


def test_changes_about_the_same_are_not_put_together() -> None:
    paper, _ = studied(TWO_DOGS, "budget 50.00", "budget 20.00")
    assert "all together" not in {row["change"] for row in rows_of(paper, "costs")}
    assert "not tried together" in told(paper)


def test_what_changes_in_the_order_is_told_in_packs() -> None:
    paper, _ = studied(TWO_DOGS, "without Juniper")
    row = row_of(paper, "changes", "without Juniper")
    assert (row["moved"], row["to_buy_before"], row["to_buy_after"]) == ("less", "11 packs of 1 kg", "7 packs of 1 kg")


def test_no_plan_says_what_is_lacking() -> None:
    paper, _ = studied(TWO_DOGS, "everyone on BARF", "room 9 kg")
    remark = row_of(paper, "costs", "everyone on BARF")["remark"]
    assert str(remark).startswith("no plan: no bone for all dogs; no liver for all dogs")
    # 10.5 kg are eaten
    assert row_of(paper, "costs", "room 9 kg")["remark"] == "no plan: too little room for all dogs, by 1.5 kg"


def test_a_budget_needs_no_solve_and_says_what_is_above_it() -> None:
    paper, ask = studied(TWO_DOGS, "budget 26.39", "any room")
    assert row_of(paper, "costs", "budget 26.39 EUR")["remark"] == "above the budget of 26.39 EUR"
    assert ask.asked == 0


def test_an_interrupt_leaves_what_is_known_without_solving() -> None:
    base = order_batch(TWO_DOGS, Settings())
    assert isinstance(base, Plan)
    typed = changes_of(TWO_DOGS, ["without Juniper", "budget 50.00"])
    paper = what_if(TWO_DOGS, base, Ask(interrupted=True), changes=typed)
    assert [row["change"] for row in rows_of(paper, "costs")] == ["as it is", "budget 50.00 EUR"]


def test_a_price_stays_exact_and_is_read_in_minor_units() -> None:
    scenario = b.a_scenario(offers=[b.an_offer(price="2.45", breaks={5: "2.05"})])
    (offer,) = changed("price of beef trim -7.5 %", scenario).offers
    # 2.45 x 0.925 = 2.26625, 2.05 x 0.925 = 1.89625
    assert [step.unit_price for step in offer.steps] == [Fraction("2.26625"), Fraction("1.89625")]
    assert [step.listed for step in offer.steps] == [Decimal("2.27"), Decimal("1.90")]


@pytest.mark.parametrize(
    ("word", "keys"),
    [
        ("everything", EVERYTHING),
        ("beef", {"trim", "more trim", "heart"}),  # the mince is of beef and pork
        ("Beef Trim", {"trim", "more trim"}),
        ("beef trim at fenwick wholesale", {"trim"}),
        (b.HOLLOW_LANE, {"more trim", "heart", "neck", "mince"}),
        ("heart", {"heart"}),
        ("beef hearts", {"heart"}),
        ("mince", {"mince"}),
        ("f10", {"trim"}),
        ("necks, frozen", {"neck"}),
    ],
)
def test_a_word_means_a_supplier_a_cut_a_species_a_kind_or_a_line(word: str, keys: set[str]) -> None:
    assert {one.key for one in offers_named(word, SHOP).offers} == keys


def test_mixed_products_are_told_to_be_left_as_they_are() -> None:
    assert "mixed products left as they are" in read_change("price of beef +5 %", SHOP).says
    assert "mixed" not in read_change("price of chicken +5 %", SHOP).says


@pytest.mark.parametrize(
    ("words", "message", "remedy"),
    [
        ("price of beff trim +5 %", "nothing on the lists is called `beff trim`", "did you mean `beef trim`?"),
        ("price of heart at Fenwick Wholesale +5 %", "`Fenwick Wholesale` sells no `heart`", "it is sold by"),
        ("price of beef 5 %", "the sign is missing", "write `price of beef +5 %` or"),
        ("price of beef -100 %", "cannot fall by 100 %", "less than 100 %"),
        ("price of beef +1,5 %", "`1,5` has a comma", "1.5"),
        ("without Mapel", "no dog is called `Mapel`", "did you mean `Maple`?"),
        ("without Maple", "there is no dog left", "name a dog of several"),
        ("Maple away 14 days", "`Maple` is fed on 14 days", "name 1 to 13 days"),
        ("Maple away 0 days", "`Maple` is fed on 14 days", "name 1 to 13 days"),
        ("Maple on keto", "`keto` is no pattern", "`prey model`, `BARF`"),
        ("room 20", "`20` has no unit", "`20 kg`"),
        ("budget 5.005", "finer than", "at most 2 decimals"),
        ("ration of Mapel 500 g", "no dog is called `Mapel`", "did you mean `Maple`?"),
        ("ration of Maple", "`Maple` names no ration", "ration of DOG 520 g"),
        ("ration of Maple 500", "`500` has no unit", "`500 g`"),
        ("ration of Maple 500 kcal/kg", "not a ration in energy", "`900 kcal`"),
        ("ration of Maple 5 % of adult weight", "no puppy with an adult weight", "`520 g` or `900 kcal`"),
        ("ration of Maple 11 kg", "comes to 11 kg a day", "check the number"),  # more than half of 20 kg
        ("ration of Maple 51 %", "comes to 10.2 kg a day", "check the number"),
        ("ration of Maple 20001 kcal", "comes to 20001 kcal a day", "check the number"),
        ("ration of Maple 0.1 kcal", "comes to 0 kcal a day", "check the number"),
        ("more of everything", "no change that can be asked about", "price of beef"),
    ],
)
def test_a_change_that_cannot_be_read_says_what_to_do(words: str, message: str, remedy: str) -> None:
    with pytest.raises(ChangeError) as refused:
        read_change(words, SHOP)
    assert message in str(refused.value)
    assert remedy in refused.value.help


BONE = "vet_asked_for_no_bone: yes, "
RATIONS = (
    "weight: 20 kg, ration: 2.5 %",
    "weight: 20 kg, ration: 520 g, away: [2027-02-08 to 2027-02-09]",
    "weight: 20 kg, ration: 900 kcal",
    "weight: 20 kg, ration: 110 kcal/kg^0.75, away: [2027-02-08]",
    "weight: 20 kg, ration: 900 kcal, treats: 50 kcal",
    "weight: 9 kg, goal: lose, ideal_weight: 8 kg, ration: 2.5 %",
    "weight: 9 kg, puppy: yes, adult_weight: 20 kg, ration: 3 % of adult weight",
)


@pytest.mark.parametrize(
    ("fields", "ration"),
    [
        (fields, ration)
        for ration in ("2.4 %", "431 g", "1400 kcal", "96.5 kcal/kg^0.75")
        for fields in RATIONS
        if "treats" not in fields or "kcal" in ration  # reading refuses that, as the change does
    ],
)
def test_a_changed_ration_is_what_the_scenario_file_would_say(fields: str, ration: str, tmp_path: Path) -> None:
    """Read with the other ration, or read and then changed: the same dog but for the words."""
    cuts = "  - {cut: beef trim, price: 3.00 per kg}\n  - {cut: beef heart, price: 4.00 per kg}"
    before = scenario_of(
        tmp_path, a_text(f"  - {{name: Maple, targets: {{muscle: 50 % to 100 %}}, {BONE}{fields}}}", cuts)
    )
    other = re.sub(r"ration: [^,]+", f"ration: {ration}", fields)
    after = scenario_of(
        tmp_path, a_text(f"  - {{name: Maple, targets: {{muscle: 50 % to 100 %}}, {BONE}{other}}}", cuts)
    )
    (changed_dog,), (read_dog,) = changed(f"ration of maple {ration}", before).dogs, after.dogs
    assert replace(changed_dog, ration_says=read_dog.ration_says) == read_dog
    assert changed_dog.ration_says == ration


def test_a_ration_in_energy_costs_what_the_food_for_it_does() -> None:
    """500 g of trim a day hold 1000 kcal: 7 kg at 3.00 are 21.00; 1400 kcal need 700 g, 9.8 kg, 29.40."""
    trim = a_food("trim", {"energy": 200})
    scenario = b.a_scenario(cuts=(trim,), offers=[b.an_offer_by_weight("trim", price_per_kg=3)])
    paper, _ = studied(scenario, "ration of Maple 1400 kcal", "ration of Maple 700 g")
    costs = {row["change"]: (row["cost"], row["difference"]) for row in rows_of(paper, "costs")}
    assert costs == {
        "as it is": (Decimal("21.00"), Decimal(0)),
        "ration of Maple 1400 kcal": (Decimal("29.40"), Decimal("8.40")),
        "ration of Maple 700 g": (Decimal("29.40"), Decimal("8.40")),
    }
    assert "not tried together" in told(paper)  # both set the same ration
    assert "Treats that are given in grams are not taken off" in told(paper)


def test_a_name_that_ends_in_a_number_is_told_from_the_ration() -> None:
    scenario = b.a_scenario(dogs=[b.a_dog("dog 1"), b.a_dog("dog 12")])
    first, second = changed("ration of dog 12 300 g", scenario).dogs
    assert (first.daily_g, second.daily_g) == (500, 300)


def test_treats_in_energy_stay_and_a_ration_in_grams_beside_them_is_refused(tmp_path: Path) -> None:
    fields = "name: Maple, weight: 20 kg, ration: 900 kcal, treats: 50 kcal, targets: {muscle: 50 % to 100 %}"
    scenario = scenario_of(tmp_path, a_text(f"  - {{{fields}}}", "  - {cut: beef trim, price: 3.00 per kg}"))
    (dog,) = changed("ration of Maple 1000 kcal", scenario).dogs
    assert dog.energy is not None
    assert (dog.energy.day_kcal, dog.treats_kcal) == ((950,) * 14, 50)
    for words, message in (("500 g", "are in kcal and this ration is not"), ("40 kcal", "as much as this ration")):
        with pytest.raises(ChangeError, match=message):
            read_change(f"ration of Maple {words}", scenario)


def test_a_dog_of_unknown_weight_has_no_ration_by_weight() -> None:
    scenario = b.a_scenario(dogs=[b.a_dog(weight_g=0)])
    for ration in ("2 %", "110 kcal/kg^0.75"):
        with pytest.raises(ChangeError, match="weight of `Maple` is not known"):
            read_change(f"ration of Maple {ration}", scenario)
    assert changed("ration of Maple 400 g", scenario).dogs[0].batch_g == 5_600


def test_a_dog_in_care_keeps_to_the_veterinarian() -> None:
    scenario = b.a_scenario(dogs=[b.a_dog_in_care("Sorrel", {"beef trim": 1_001}), b.a_dog()])
    with pytest.raises(ChangeError, match="in care"):
        read_change("ration of Sorrel 200 g", scenario)
    with pytest.raises(ChangeError, match="in care"):
        read_change("Sorrel on BARF", scenario)
    sorrel, maple = changed("everyone on BARF", scenario).dogs
    assert sorrel == scenario.dogs[0]
    assert (maple.targets, maple.targets_named) == (targets(PATTERNS["BARF"]), "BARF")
    *_, another = changed("one more like sorrel", scenario).dogs
    assert (another.name, another.vet_amounts) == ("another Sorrel", sorrel.vet_amounts)
    away, _ = changed("Sorrel away 7 days", scenario).dogs
    assert away.vet_amounts[0].batch_g == 500  # half of 1001, whole grams given down
    assert (sum(away.day_g), away.batch_g, away.days) == (500, 500, 7)
    assert away.day_g[7:] == (0,) * 7


def test_a_dog_that_is_away_is_fed_before_as_it_was() -> None:
    maple, juniper = changed("Maple away for 3 days").dogs
    assert maple.day_g == (500,) * 11 + (0,) * 3
    assert (maple.days, maple.batch_g, maple.daily_g) == (11, 5_500, 500)
    assert juniper == TWO_DOGS.dogs[1]


def test_a_second_dog_more_has_a_name_of_its_own() -> None:
    twice = changed("one more like Maple", changed("one more like Maple"))
    assert [dog.name for dog in twice.dogs] == ["Maple", "Juniper", "another Maple", "another Maple 2"]


def test_every_form_that_is_shown_can_be_read() -> None:
    for form in FORMS:
        words = form.replace("SUPPLIER", b.FENWICK).replace("DOG", "Maple")
        scenario = replace(SHOP, dogs=TWO_DOGS.dogs)
        assert isinstance(read_change(words, scenario), Change)


def test_dearer_goods_that_reach_a_minimum_order_are_solved_again() -> None:
    # Fenwick's minimum is 5: at 2.40 three packs are needed, at 2.64 two would do
    scenario = b.a_scenario(
        suppliers=[b.a_supplier(b.FENWICK, minimum_order=5)], offers=[b.an_offer(supplier=b.FENWICK)]
    )
    base = b.a_plan(lines=(), bills=())
    assert not still_cheapest(scenario, base, changed("price of beef +10 %", scenario))
    plain = replace(scenario, suppliers=(b.a_supplier(b.FENWICK),))
    assert still_cheapest(plain, base, changed("price of beef +10 %", plain))
    assert not still_cheapest(plain, base, changed("price of beef -10 %", plain))


def test_room_is_only_plain_while_the_order_fits_and_it_was_not_less_before() -> None:
    scenario, base = b.a_scenario(room_g=8_000), b.a_plan()  # 7 kg are bought
    assert still_cheapest(scenario, base, changed("room 7 kg", scenario))
    assert not still_cheapest(scenario, base, changed("room 6.999 kg", scenario))
    assert not still_cheapest(scenario, base, changed("room 9 kg", scenario))


@few("seed", [3, 7, 9, 17, 19], 2)
def test_every_row_is_what_solving_the_changed_scenario_gives(seed: int) -> None:
    scenario = replace(invented(Random(seed)), budget=None)
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    changes = _some_changes(scenario, Random(seed))
    paper = what_if(scenario, base, Ask(), changes=changes)
    for change in changes:
        order = order_batch(change.apply_to(scenario), Settings())
        cost = row_of(paper, "costs", change.says)["cost"]
        assert cost == (order.total if isinstance(order, Plan) else None)


@few("seed", [3, 7, 9, 11, 13, 17], 2)
def test_without_thresholds_a_price_up_makes_nothing_cheaper_and_a_price_down_nothing_dearer(seed: int) -> None:
    invented_one = replace(invented(Random(seed)), budget=None)
    plain = tuple(replace(one, minimum_order=Decimal(0), free_delivery_from=None) for one in invented_one.suppliers)
    scenario = replace(invented_one, suppliers=plain)
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    names = [one.name for one in scenario.suppliers]
    paper = what_if(scenario, base, Ask(), changes=changes_of(scenario, _up_and_down(names)))
    slack = scenario.currency.minor * (len(scenario.offers) + 3)  # every line and tax may be rounded
    for row in rows_of(paper, "costs")[1:]:
        assert isinstance(row["cost"], Decimal)
        assert row["cost"] >= base.total - slack if "+" in str(row["change"]) else row["cost"] <= base.total + slack


def _up_and_down(names: list[str]) -> list[str]:
    return [f"price of {name} {way} %" for name in names for way in ("+13", "-13")]


def _some_changes(scenario: Scenario, random: Random) -> tuple[Change, ...]:
    """A change of every kind that needs a solve."""
    offer, dog = random.choice(scenario.offers), random.choice(scenario.dogs)
    key = frozenset({offer.key})
    return (
        Price("up", frozenset({"a"}), key, Fraction(13, 10)),
        Price("down", frozenset({"b"}), key, Fraction(6, 10)),
        OneMore("one more", frozenset(), dog),
        Away("away", frozenset({"c"}), dog.name, 2),
    )


def test_a_part_that_is_asked_for_by_a_pattern_is_in_its_targets() -> None:
    asked = {one.part: one.low for one in changed("Maple on prey model").dogs[0].targets}
    assert asked[Part.BONE] == Fraction(8, 100)
