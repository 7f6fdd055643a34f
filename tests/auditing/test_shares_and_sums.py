"""Shares within a gram of their ends, what a dog must not eat, worth and rounding, and checks against the outside."""

import random
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest

from raworder.auditing.checks import audit
from raworder.trade.bags import Portioning, Working
from raworder.trade.cuts import Cut, Measure, Part, Subject
from raworder.trade.dogs import Care, Dog
from raworder.trade.plan import LotUse, Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Offer, Scenario, Variety
from raworder.trade.units import GRAMS_PER, Currency
from tests.builders import (
    HOLLOW_LANE,
    KIDNEY,
    LIVER,
    MINCE,
    NECK,
    TRIM,
    a_bill,
    a_cap,
    a_cut,
    a_dog,
    a_dog_in_care,
    a_leftover,
    a_line,
    a_plan,
    a_scenario,
    a_subject,
    a_supplier,
    a_target,
    an_offer,
    an_offer_by_weight,
    euros,
    on_hand,
    portions_g,
)


def one_dog(
    dog: Dog,
    cuts: tuple[Cut, ...],
    eaten_g: dict[str, int],
    variety: Variety | None = None,
    portioning: Portioning | None = None,
) -> tuple[Scenario, Plan]:
    """A scenario and a plan where one dog eats up what is on hand, so that only shares can be wrong."""
    lots = tuple(on_hand(cut, grams) for cut, grams in eaten_g.items())
    scenario = a_scenario(dogs=(dog,), cuts=cuts, offers=(), on_hand=lots, variety=variety, portioning=portioning)
    used = tuple(LotUse(index, lot.grams) for index, lot in enumerate(lots))
    return scenario, a_plan(lines=(), bills=(), portions=portions_g({dog.name: eaten_g}), lots_used=used)


def blamed(scenario: Scenario, plan: Plan) -> set[str]:
    """The keys of the rules that are broken."""
    return {breach.rule for breach in audit(scenario, plan)}


def test_a_quarter_of_neck_with_two_fifths_bone_gives_a_tenth_of_bone() -> None:
    # Source: Pearson's square, (0.40 - 0.10) : (0.10 - 0) is 3 : 1, so 25 and 75 %
    dog = a_dog(daily_g=100, days=40, targets=(a_target(Part.BONE, "1/10", "1/10"),))
    assert blamed(*one_dog(dog, (NECK, TRIM), {"chicken neck": 1_000, "beef trim": 3_000})) == set()
    assert blamed(*one_dog(dog, (NECK, TRIM), {"chicken neck": 1_003, "beef trim": 2_997})) == {"part_share"}
    assert blamed(*one_dog(dog, (NECK, TRIM), {"chicken neck": 997, "beef trim": 3_003})) == {"part_share"}


def test_a_dog_of_40_lb_eats_the_ounces_of_the_worked_example() -> None:
    # common practice, no source: 3 % of 40 lb is 19.2 oz a day, at 80/10/5/5 that is 15.36, 1.92, 0.96 and 0.96 oz
    daily_oz = {"beef trim": "15.36", "ground bone": "1.92", "lamb liver": "0.96", "beef kidney": "0.96"}
    eaten_g = {cut: half_up(Fraction(ounces) * 14 * GRAMS_PER["oz"]) for cut, ounces in daily_oz.items()}
    shares = {Part.MUSCLE: "80/100", Part.BONE: "10/100", Part.LIVER: "5/100", Part.OTHER_ORGAN: "5/100"}
    dog = a_dog(
        daily_g=40 * GRAMS_PER["lb"] * Fraction(3, 100),
        targets=(a_target(part, share, share) for part, share in shares.items()),
    )
    cuts = (TRIM, a_cut("ground bone", kind="bone", parts={Part.BONE: 1}), LIVER, KIDNEY)
    assert blamed(*one_dog(dog, cuts, eaten_g)) == set()
    swapped = eaten_g | {"lamb liver": eaten_g["lamb liver"] + 2, "beef kidney": eaten_g["beef kidney"] - 2}
    assert blamed(*one_dog(dog, cuts, swapped)) == {"part_share"}


@pytest.mark.parametrize(("neck_g", "broken"), [(333, set()), (334, set()), (335, {"part_share"})])
def test_a_share_may_miss_its_end_by_a_gram_of_each_cut_that_counts(neck_g: int, broken: set[str]) -> None:
    # 2/15 of 1000 g is 133.3 g of bone, 333.3 g of neck; 334 g hold 133.6 g, 335 g hold 134 g
    dog = a_dog(daily_g=100, days=10, targets=(a_target(Part.BONE, 0, "2/15"),))
    assert blamed(*one_dog(dog, (NECK, TRIM), {"chicken neck": neck_g, "beef trim": 1_000 - neck_g})) == broken


@pytest.mark.parametrize(("heart_g", "broken"), [(100, set()), (101, set()), (102, {"cap"})])
def test_a_cap_may_be_passed_by_a_gram_of_each_cut_that_counts(heart_g: int, broken: set[str]) -> None:
    heart = a_cut("beef heart", kind="heart")
    dog = a_dog(daily_g=100, days=10, caps=(a_cap(),))
    assert blamed(*one_dog(dog, (heart, TRIM), {"beef heart": heart_g, "beef trim": 1_000 - heart_g})) == broken


@pytest.mark.parametrize(("lamb_g", "broken"), [(200, set()), (199, set()), (198, {"variety"})])
def test_a_species_counts_from_a_gram_under_its_least(lamb_g: int, broken: set[str]) -> None:
    dog = a_dog(daily_g=100, days=10)
    wanted = Variety(least_species=2, least_share=Fraction(1, 5))
    eaten_g = {"lamb liver": lamb_g, "beef trim": 1_000 - lamb_g}
    assert blamed(*one_dog(dog, (LIVER, TRIM), eaten_g, variety=wanted)) == broken


@pytest.mark.parametrize(("beef_g", "broken"), [(600, set()), (601, set()), (602, {"variety"})])
def test_no_species_is_above_the_most_by_more_than_a_gram(beef_g: int, broken: set[str]) -> None:
    dog = a_dog(daily_g=100, days=10)
    wanted = Variety(most_share=Fraction(3, 5))
    eaten_g = {"lamb liver": 1_000 - beef_g, "beef trim": beef_g}
    assert blamed(*one_dog(dog, (LIVER, TRIM), eaten_g, variety=wanted)) == broken


SHARED, OWN = Portioning(working=Working.TUB), Portioning(working=Working.EACH_CUT)
"""Pieces that are counted for dogs together and shared out, and pieces that are planned for each dog."""


@pytest.mark.parametrize(
    ("neck_g", "portioning", "broken"),
    [
        # bone of 1000 g to 2/15, 133.3 g: with 0.4 g 334 g of neck; one and a half of 60 g have 36 g, 424 g of neck
        (334, OWN, set()),
        (335, OWN, {"part_share"}),
        (424, SHARED, set()),
        (425, SHARED, {"part_share"}),
        # from 1/10 on, 100 g: 99.6 g, 249 g of neck; one and a half of 60 g less, 159 g
        (249, OWN, set()),
        (248, OWN, {"part_share"}),
        (159, SHARED, set()),
        (158, SHARED, {"part_share"}),
        # cut up they are no pieces
        (335, replace(SHARED, divided=frozenset({"chicken neck"})), {"part_share"}),
    ],
)
def test_a_share_may_miss_its_end_by_a_piece_where_pieces_are_shared(
    neck_g: int, portioning: Portioning, broken: set[str]
) -> None:
    dog = a_dog(daily_g=100, days=10, targets=(a_target(Part.BONE, "1/10", "2/15"),))
    eaten_g = {"chicken neck": neck_g, "beef trim": 1_000 - neck_g}
    assert blamed(*one_dog(dog, (NECK, TRIM), eaten_g, portioning=portioning)) == broken


@pytest.mark.parametrize(
    ("wing_g", "portioning", "broken"),
    [(336, OWN, set()), (337, OWN, {"cap"}), (386, SHARED, set()), (387, SHARED, {"cap"})],
)
def test_a_cap_may_be_passed_by_a_piece_of_each_cut_and_the_cut_most_unlike_it(
    wing_g: int, portioning: Portioning, broken: set[str]
) -> None:
    # fat is 0.3 of wing, 0.15 of trim and 0.05 of liver. 600 - wing of trim and 400 g of liver: 0.15 x wing + 110 g.
    # At most 160 g with 0.5 g: 336.7 g of wing; 30 g of wing in place of liver are 7.5 g more: 386.7 g
    wing = a_cut(
        "duck wing", species="duck", kind="wing", parts={Part.MUSCLE: "1/2", Part.BONE: "1/2"}, fat="3/10", piece_g=20
    )
    dog = a_dog(daily_g=100, days=10, caps=(a_cap(Measure.FAT, "", "16/100"),))
    eaten_g = {"duck wing": wing_g, "beef trim": 600 - wing_g, "lamb liver": 400}
    assert blamed(*one_dog(dog, (wing, TRIM, LIVER), eaten_g, portioning=portioning)) == broken


@pytest.mark.parametrize(
    ("neck_g", "wanted", "shared"),
    [(691, Variety(most_share=Fraction(3, 5)), 90), (109, Variety(2, Fraction(1, 5)), -90)],
)
def test_variety_may_miss_by_a_piece_where_pieces_are_shared(neck_g: int, wanted: Variety, shared: int) -> None:
    # 600 g of chicken at most, with a gram and one and a half necks; 200 g at least, less so much
    dog, one_more = a_dog(daily_g=100, days=10), 1 if shared > 0 else -1

    def found(grams: int, portioning: Portioning) -> set[str]:
        eaten_g = {"chicken neck": grams, "beef trim": 1_000 - grams}
        return blamed(*one_dog(dog, (NECK, TRIM), eaten_g, variety=wanted, portioning=portioning))

    assert found(neck_g, SHARED) == set()
    assert found(neck_g + one_more, SHARED) == {"variety"}
    assert found(neck_g - shared, OWN) == set()
    assert found(neck_g - shared + one_more, OWN) == {"variety"}


def test_a_dog_that_eats_nothing_else_has_nothing_to_share_a_piece_for() -> None:
    dog = a_dog(daily_g=100, days=10, targets=(a_target(Part.BONE, 0, "399/1000"),))
    assert blamed(*one_dog(dog, (NECK, TRIM), {"chicken neck": 1_000}, portioning=SHARED)) == {"part_share"}
    eaten_g = {"chicken neck": 1_000, "beef trim": 0}
    assert blamed(*one_dog(dog, (NECK, TRIM), eaten_g, portioning=SHARED)) == {"part_share"}


@pytest.mark.parametrize(("others", "broken"), [(7, {"part_share"}), (8, set())])
def test_pieces_are_shared_where_more_than_eight_dogs_eat(others: int, broken: set[str]) -> None:
    dog = a_dog(daily_g=100, days=10, targets=(a_target(Part.BONE, 0, "2/15"),))
    scenario, plan = one_dog(dog, (NECK, TRIM), {"chicken neck": 394, "beef trim": 606 + 10 * others})
    more = tuple(a_dog(f"dog {index}", daily_g=1, days=10) for index in range(others))
    away = a_dog("dog away", daily_g=0, days=10)
    portions = {"Maple": {"chicken neck": 394, "beef trim": 606}} | {one.name: {"beef trim": 10} for one in more}
    scenario = replace(scenario, dogs=(dog, *more, away))
    assert blamed(scenario, replace(plan, portions=portions_g(portions))) == broken


def test_a_species_of_unknown_share_counts_whole_for_the_most_and_nothing_for_the_least() -> None:
    dog = a_dog(daily_g=100, days=10)
    eaten_g = {"farm mince": 500, "lamb liver": 500}
    most, least = Variety(most_share=Fraction(2, 5)), Variety(2, Fraction(1, 10))
    scenario, plan = one_dog(dog, (MINCE, LIVER), eaten_g, variety=most)
    assert {breach.says.split(" as ")[1].split(",")[0] for breach in audit(scenario, plan)} == {"beef", "lamb", "pork"}
    assert blamed(*one_dog(dog, (MINCE, LIVER), eaten_g, variety=least)) == {"variety"}


def test_a_plant_is_no_species_of_variety() -> None:
    kale = a_cut("kale", species="plant", kind="leaf", parts={Part.VEGETABLES: 1})
    dog = a_dog(daily_g=100, days=10)
    eaten_g = {"kale": 500, "beef trim": 500}
    assert blamed(*one_dog(dog, (kale, TRIM), eaten_g, variety=Variety(2, Fraction(1, 10)))) == {"variety"}
    assert blamed(*one_dog(dog, (kale, TRIM), eaten_g, variety=Variety(1, Fraction(1, 2), Fraction(1, 2)))) == set()


@pytest.mark.parametrize(
    "subject",
    [
        a_subject(Measure.SPECIES, "pork"),
        a_subject(Measure.CUT, "pork mince"),
        a_subject(Measure.KIND, "mince"),
        a_subject(Measure.CUT, "farm mince"),
        a_subject(Measure.PART, "muscle"),
    ],
    ids=lambda subject: f"{subject.measure} {subject.word}",
)
def test_what_must_not_be_eaten_is_found_in_a_mixed_product(subject: Subject) -> None:
    dog = a_dog(daily_g=100, days=10, avoid=(subject,))
    assert blamed(*one_dog(dog, (MINCE,), {"farm mince": 1_000})) == {"avoid"}


@pytest.mark.parametrize(("neck_g", "broken"), [(0, set()), (1, {"avoid"})])
def test_a_single_gram_of_what_must_not_be_eaten_is_too_much(neck_g: int, broken: set[str]) -> None:
    dog = a_dog(daily_g=100, days=10, avoid=(a_subject(),))
    assert blamed(*one_dog(dog, (NECK, TRIM), {"chicken neck": neck_g, "beef trim": 1_000 - neck_g})) == broken


def test_a_single_gram_that_the_veterinarian_did_not_give_is_too_much() -> None:
    patient = replace(a_dog_in_care("Sorrel", {"beef trim": 999}), batch_g=1_000)
    assert blamed(*one_dog(patient, (NECK, TRIM), {"chicken neck": 1, "beef trim": 999})) == {"vet_amount"}
    forgotten = a_dog_in_care("Sorrel", {"beef trim": 999, "chicken neck": 1})
    assert blamed(*one_dog(replace(forgotten, batch_g=999), (NECK, TRIM), {"beef trim": 999})) == {"vet_amount"}


def test_a_single_gram_from_nowhere_is_found() -> None:
    scenario, plan = one_dog(a_dog(daily_g=100, days=10), (NECK, TRIM), {"chicken neck": 1, "beef trim": 999})
    without = replace(scenario, on_hand=scenario.on_hand[1:])
    assert blamed(without, replace(plan, lots_used=(LotUse(0, 999),))) == {"supply"}
    assert blamed(scenario, replace(plan, lots_used=(LotUse(1, 999),))) == {"supply"}


def test_a_lot_of_a_cut_that_nobody_eats_stays_whole() -> None:
    scenario, plan = one_dog(a_dog(daily_g=100, days=10), (NECK, TRIM), {"beef trim": 1_000})
    scenario = replace(scenario, on_hand=(*scenario.on_hand, on_hand("chicken neck", 100)))
    assert blamed(scenario, plan) == {"supply"}
    assert blamed(scenario, replace(plan, leftovers=(a_leftover("chicken neck", on_hand_g=100),))) == set()


def test_a_share_is_told_in_grams_and_percent() -> None:
    dog = a_dog(daily_g=100, days=10, targets=(a_target(),))
    (breach,) = audit(*one_dog(dog, (NECK, TRIM), {"chicken neck": 125, "beef trim": 875}))
    assert breach.says == "50 g, 5.000 %, of 1000 g eaten count as bone, at least 8.000 % is asked"


def test_a_negative_portion_is_told_without_a_mistake_of_our_own() -> None:
    dog = a_dog(daily_g=0, batch_g=0, targets=(a_target(),))
    scenario = a_scenario(dogs=(dog,), cuts=(NECK, TRIM))
    plan = a_plan(lines=(), bills=(), portions=portions_g({"Maple": {"chicken neck": -9, "beef trim": 9}}))
    assert blamed(scenario, plan) == {"ration", "part_share", "supply", "variety"}


def test_a_dog_under_care_has_no_shares_but_is_spared_what_it_must_not_eat() -> None:
    patient = replace(
        a_dog(daily_g=100, days=10, targets=(a_target(),), caps=(a_cap(Measure.FAT, "", 0),), avoid=(a_subject(),)),
        care=Care.PREGNANT,
    )
    scenario, plan = one_dog(patient, (NECK,), {"chicken neck": 1_000}, variety=Variety(2, Fraction(1, 2)))
    assert blamed(scenario, plan) == {"vet_amount", "avoid"}


def bought(offer: Offer, units: int, goods: Decimal, *, tax: Decimal, rate: str) -> tuple[Scenario, Plan]:
    """A scenario and a plan that buys and feeds so many units of one offer."""
    grams = units * offer.unit_g
    scenario = a_scenario(
        dogs=(a_dog(daily_g=grams, days=1),), offers=(offer,), suppliers=(a_supplier(HOLLOW_LANE, sales_tax=rate),)
    )
    return scenario, a_plan(
        lines=(a_line(offer.key, units, goods),),
        bills=(a_bill(HOLLOW_LANE, goods, tax=tax),),
        portions=portions_g({"Maple": {offer.cut: grams}}),
    )


@pytest.mark.slow
def test_goods_and_tax_are_rounded_as_the_standard_decimal_arithmetic_rounds_half_up() -> None:
    # Source: Python's `decimal`, which implements the General Decimal Arithmetic Specification; ROUND_HALF_UP
    chance = random.Random(2)
    for _ in range(200):
        grams, cents = chance.randrange(5, 20_000, 5), chance.randint(100, 2_000)
        offer = an_offer_by_weight(price_per_kg=Decimal(cents).scaleb(-2))
        goods = (Decimal(cents).scaleb(-2) * grams / 1000).quantize(Decimal("0.01"), ROUND_HALF_UP)
        tax = (goods * Decimal("0.075")).quantize(Decimal("0.01"), ROUND_HALF_UP)
        assert blamed(*bought(offer, grams, goods, tax=tax, rate="75/1000")) == set()
        scenario, plan = bought(offer, grams, goods, tax=tax + Decimal("0.01"), rate="75/1000")
        assert blamed(scenario, plan) == {"bill"}


@pytest.mark.parametrize(("units", "goods"), [(4, "12.40"), (5, "14.50"), (9, "26.10"), (10, "25.00")])
def test_the_price_is_that_of_the_step_the_count_falls_in(units: int, goods: str) -> None:
    offer = an_offer(price="3.10", breaks={5: "2.90", 10: "2.50"})
    assert blamed(*bought(offer, units, euros(goods), tax=euros(0), rate="0")) == set()
    assert blamed(*bought(offer, units, euros(goods) + euros("0.10"), tax=euros(0), rate="0")) == {"price_break"}


def test_worth_is_the_average_price_of_all_that_was_bought_of_the_cut() -> None:
    packs, loose = an_offer(pack_g=1_000, price="4.00"), an_offer_by_weight(price_per_kg="6.00")
    scenario = a_scenario(dogs=(a_dog(daily_g=2_000, days=1),), offers=(packs, loose), on_hand=(on_hand(grams=300),))
    plan = a_plan(
        lines=(a_line(packs.key, 1, "4.00"), a_line(loose.key, 1_000, "6.00")),
        bills=(a_bill(HOLLOW_LANE, "10.00"),),
        portions=portions_g({"Maple": {"beef trim": 2_000}}),
        lots_used=(LotUse(0, 300),),
        leftovers=(a_leftover(bought_g=300, worth="1.50"),),  # 300 x 10.00 / 2000
    )
    assert audit(scenario, plan) == ()
    assert blamed(scenario, replace(plan, leftovers=(a_leftover(bought_g=300, worth="1.20"),))) == {"supply"}
    assert blamed(scenario, replace(plan, leftovers=(a_leftover(on_hand_g=300),), lots_used=())) == {"supply"}


@pytest.mark.parametrize(
    ("worths", "rules"),
    [
        (("0.50", "0.50", "0.49"), set()),
        (("0.49", "0.50", "0.50"), set()),
        (("0.50", "0.50", "0.50"), {"supply"}),
        (("0.49", "0.49", "0.50"), {"supply"}),
        (("0.51", "0.49", "0.49"), {"supply"}),
    ],
)
def test_worths_are_rounded_up_or_down_and_add_up_to_the_rounded_sum(worths: tuple[str, ...], rules: set[str]) -> None:
    """Half of 0.99 three times is 1.485: 1.49 together, and neither 0.51 nor 0.48 for any."""
    cuts = [a_cut(name) for name in ("beef trim", "beef heart", "lamb liver")]
    offers = [an_offer(cut=cut.name, pack_g=1_000, price="0.99") for cut in cuts]
    plan = a_plan(
        lines=tuple(a_line(offer.key, 1, "0.99") for offer in offers),
        bills=(a_bill(HOLLOW_LANE, "2.97"),),
        portions=portions_g({"Maple": {cut.name: 500 for cut in cuts}}),
        leftovers=tuple(a_leftover(cut.name, bought_g=500, worth=one) for cut, one in zip(cuts, worths, strict=True)),
    )
    scenario = a_scenario(cuts=cuts, dogs=(a_dog(daily_g=1_500, days=1),), offers=offers)
    assert blamed(scenario, plan) == rules


def test_a_currency_without_minor_units_is_rounded_to_whole_ones() -> None:
    offer = an_offer(pack_g=500, price="250")
    scenario = a_scenario(
        currency=Currency("JPY", 0),
        dogs=(a_dog(daily_g=500, days=1),),
        offers=(offer,),
        suppliers=(a_supplier(HOLLOW_LANE, sales_tax="1/100"),),
    )
    plan = a_plan(
        lines=(a_line(offer.key, 1, 250),),
        bills=(a_bill(HOLLOW_LANE, 250, tax=3),),  # 2.5, half up
        portions=portions_g({"Maple": {"beef trim": 500}}),
    )
    assert audit(scenario, plan) == ()
    assert blamed(scenario, replace(plan, bills=(a_bill(HOLLOW_LANE, 250, tax=2),))) == {"bill"}
