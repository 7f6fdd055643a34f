"""What is wrong or doubtful about a plan, on both sides of each limit, the worst first.

**Source:** worked out by hand beside the numbers; foods and dogs are invented. The published needs are those of the
table of needs: FEDIAF 95 kcal for each kg^0.75 of a grown dog, AAHA 2021 63 kcal of one that is to lose weight.
The limits themselves are our own choice, no source.
"""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.nourishing.nourishment import assess_nutrition
from raworder.portioning.keeping import keep_cold
from raworder.reporting.doubts import doubts, growth_warnings, worst_doubts
from raworder.reporting.food_doubts import Doubt
from raworder.trade.as_fed import as_fed
from raworder.trade.batch_facts import BatchFacts
from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import Dog, Goal, OtherFood
from raworder.trade.findings import Place
from raworder.trade.nutrients import Bound, Grade, Profile
from raworder.trade.plan import Cures, DearerOrder, Plan
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.nourishing.fed import NECK, TRIM, UNKNOWN, a_food, eats, fed_with, least, most, ratio
from tests.worked_out import UNPAID

MILD = fed_with()
"""Maple, 20 kg: 95 kcal for each of 9.4574 kg^0.75 are 898.5 kcal a day, 14 days of 6289 g at 200 kcal in 100 g."""


def found(scenario: Scenario, plan: Plan, key: str = "") -> list[Doubt]:
    """The doubts about a plan, those with that key where one is named."""
    fed = as_fed(scenario, plan)
    facts = BatchFacts(fed, keep_cold(fed, plan), UNPAID)
    whole = replace(plan, nourished=assess_nutrition(fed, plan), worked_out=facts)
    return [doubt for doubt in doubts(fed, whole) if not key or doubt.key == key]


def sentences(scenario: Scenario, plan: Plan, key: str) -> list[str]:
    return [doubt.sentences for doubt in found(scenario, plan, key)]


def test_a_dog_below_nine_tenths_of_its_need_is_underfed_and_the_ration_is_told() -> None:
    # 9/10 of 898.5 kcal are 808.6 a day: 5660.5 g over 14 days
    assert sentences(MILD, eats(neck=2_830, trim=2_830), "energy-low") == [
        "Maple is underfed: 809 kcal a day, 89 % of the least published. Write `ration: 898 kcal`."
    ]
    assert sentences(MILD, eats(neck=2_831, trim=2_830), "energy-low") == []


def test_a_dog_that_is_to_lose_weight_is_held_against_what_that_needs() -> None:
    # 63 kcal for each of 8 kg^0.75, 16 kg, are 504 kcal; 1764 g are 252 kcal a day
    dog = replace(b.a_dog(), goal=Goal.LOSE, ideal_weight_g=16_000)
    (says,) = sentences(fed_with(dog=dog), eats(trim=1_764), "energy-low")
    assert (
        says
        == "Maple is underfed: 252 kcal a day, 50 % of what it needs to lose weight safely. Write `ration: 504 kcal`."
    )


def test_the_ration_leaves_room_for_what_the_dog_eats_beside_the_plan() -> None:
    # 100 kcal of 898.5 come from elsewhere
    dog = replace(b.a_dog(), other_food=OtherFood(Fraction(100)))
    (says,) = sentences(fed_with(dog=dog), eats(trim=3_500), "energy-low")
    assert says.startswith("Maple is underfed: 600 kcal a day, 67 %")
    assert says.endswith("Write `ration: 798 kcal`.")


def test_treats_by_weight_must_be_in_kcal_too_as_the_reader_takes_no_mixture() -> None:
    dog = replace(b.a_dog(), treats_g=Fraction(10))
    (says,) = sentences(fed_with(dog=dog), eats(trim=3_500), "energy-low")
    assert says.endswith("Write `ration: 898 kcal`, and its treats in kcal.")


def test_what_enough_costs_stands_behind_the_dogs() -> None:
    cures = Cures(enough=DearerOrder(Decimal("50.72"), Decimal("11.13")), rations=(("Maple", 900),))
    first, price = sentences(MILD, replace(eats(trim=3_500), cures=cures), "energy-low")
    assert first.endswith("Write `ration: 900 kcal`.")
    assert price == "Fed enough, the cheapest order costs 50.72 EUR, 11.13 EUR more."
    assert [doubt.more for doubt in found(MILD, replace(eats(trim=3_500), cures=cures), "energy-low")] == [
        None,
        Decimal("11.13"),
    ]
    cheaper = replace(cures, enough=DearerOrder(Decimal("70.18"), Decimal("-7.74")))  # grams are free then
    *_, price = sentences(MILD, replace(eats(trim=3_500), cures=cheaper), "energy-low")
    assert price == "Fed enough, the cheapest order costs 70.18 EUR, 7.74 EUR less."
    above = replace(
        cures, enough=DearerOrder(Decimal(70), Decimal(20), proved=False, why="above the budget of 60.00 EUR")
    )
    *_, price = sentences(MILD, replace(eats(trim=3_500), cures=above), "energy-low")
    assert price == (
        "Fed enough, the cheapest order costs 70.00 EUR, at most 20.00 EUR more, above the budget of 60.00 EUR."
    )


def many(dogs: Iterable[Dog], grams: Iterable[int]) -> tuple[Scenario, Plan]:
    """Several dogs that eat so much trim."""
    listed = tuple(dogs)
    portions = [b.a_portion(dog.name, "trim", amount) for dog, amount in zip(listed, grams, strict=True)]
    return replace(MILD, dogs=tuple(replace(dog, profile="invented adult") for dog in listed)), b.a_plan(
        portions=portions
    )


def test_more_than_three_underfed_dogs_are_told_in_one_line_with_one_ration_for_all() -> None:
    dogs = [b.a_dog(f"dog {number}") for number in range(5)]
    scenario, plan = many(dogs, (3_145, 4_402, 5_031, 5_346, 6_300))  # 50, 70, 80, 85 and 100 %
    assert sentences(scenario, plan, "energy-low") == [
        "4 of 5 dogs are underfed: 50 to 85 % of the least published. Write `ration: 95 kcal/kg^0.75` under `all_dogs`."
    ]
    three = many(dogs[:4], (3_145, 4_402, 5_031, 6_300))
    assert len(sentences(*three, "energy-low")) == 3


def test_dogs_that_need_another_ration_than_most_are_counted() -> None:
    dogs = [b.a_dog(f"dog {number}") for number in range(3)] + [replace(b.a_dog("dog 3"), activity="active")]
    scenario, plan = many(dogs, [3_145] * 4)
    (says,) = sentences(scenario, plan, "energy-low")
    assert says.startswith("All 4 dogs are underfed: 38 to 50 % of")
    assert says.endswith("under `all_dogs`; `raworder nourish FILE` says what the other 1 must get.")
    unlike = [
        replace(dog, activity=activity) for dog, activity in zip(dogs, ("", "low", "active", "working"), strict=True)
    ]
    (says,) = sentences(*many(unlike, [3_145] * 4), "energy-low")
    assert says.endswith("Write each `ration` in kcal; `raworder nourish FILE` says what each dog needs.")


PUPPY = replace(b.a_dog("Rosie", weight_g=16_000, puppy=True), adult_weight_g=30_000, place=Place("s.yaml", 7, 5))
"""16 of 30 kg, more than half: 175 kcal for each of 8 kg^0.75 are 1400 kcal; at 200 kcal in 100 g 9800 g are enough."""


@pytest.mark.parametrize(("grams", "warned"), [(8_819, True), (8_821, False)])
def test_a_growing_dog_below_nine_tenths_is_in_danger_and_comes_first(grams: int, *, warned: bool) -> None:
    scenario, plan = many([b.a_dog(), PUPPY], (3_500, grams))
    energy = found(scenario, plan, "energy-low")
    assert [doubt.dogs for doubt in energy] == [("Rosie",), ("Maple",)] if warned else [("Maple",)]
    assert (energy[0].grade is Grade.DANGER) is warned
    fed = as_fed(scenario, plan)
    warnings = growth_warnings(fed, replace(plan, nourished=assess_nutrition(fed, plan)))
    assert [finding.slug for finding in warnings] == ["growing-dog-underfed"] * warned
    for finding in warnings:
        assert finding.place == PUPPY.place
        assert finding.message == "Rosie, a growing dog, is underfed: 1260 kcal a day, 89 % of the least published"
        assert finding.help == "write `ration: 1400 kcal`"
        assert not finding.refuses


def test_food_of_unknown_energy_is_said_to_be_unknown_and_no_dog_underfed_by_it() -> None:
    # 2279 g of trim are 326 kcal a day, and the mince could hold as much as fat
    plan = eats(trim=2_279, mystery_mince=3_881)
    assert sentences(MILD, plan, "energy-unknown") == [
        "Whether Maple gets enough is not known: the energy is known of 37 % of the food. Weigh every week."
    ]
    assert sentences(MILD, plan, "energy-low") == []
    assert sentences(MILD, eats(trim=6_300, mystery_mince=3_881), "energy-unknown") == []  # enough already


def test_a_dog_in_care_is_not_judged() -> None:
    scenario = replace(MILD, dogs=(b.a_dog_in_care("Sorrel", {"trim": 1_400}),))
    assert found(scenario, b.a_plan(portions=(b.a_portion("Sorrel", "trim", 1_400),))) == []


def test_calcium_of_a_growing_dog_outside_its_profile_is_the_worst_of_all() -> None:
    # trim alone holds 50 mg of calcium in 1000 kcal, of 100 asked for
    scenario = fed_with(least("calcium", 100), dog=replace(b.a_dog(), puppy=True, adult_weight_g=30_000))
    first, *_ = found(scenario, eats(trim=12_600))
    assert first.key == "calcium-low-growing"
    assert first.sentences.startswith(
        "Danger: Maple, a growing dog, gets 50 % of the recommended minimum of calcium (invented adult): 50 mg per "
        "1000 kcal, at least 100 mg, calcium to phosphorus 0.05. Puppies on boneless raw meat were lamed."
    )


@pytest.mark.parametrize(
    ("bound", "key", "says"),
    [
        (least("calcium", 50), "calcium-low", ""),
        (least("calcium", 63), "calcium-low", "Maple gets 79 % of the recommended minimum of calcium"),
        (most("calcium", 50), "calcium-high", ""),
        (most("calcium", 39), "calcium-high", "Maple gets 29 % more than the maximum of calcium (invented adult)"),
        (ratio(low=1), "ca-p-low", "Maple gets 5 % of the recommended minimum of calcium for its phosphorus"),
        (least("zinc", 1_000), "short", "Maple gets too little zinc (2 % of the recommended minimum)."),
        (least("zinc", 25), "short", ""),
    ],
)
def test_a_bound_that_is_missed_is_told_with_how_far(bound: object, key: str, says: str) -> None:
    # trim holds 50 mg of calcium in 1000 kcal, and 10 mg beside 200 mg of phosphorus; 25 mg of zinc in 1000 kcal
    scenario = fed_with(bound)  # type: ignore[arg-type] # a Bound, as the builders give
    doubts_found = [doubt.says for doubt in found(scenario, eats(trim=6_300), key)]
    assert len(doubts_found) == bool(says)
    assert all(told.startswith(says) for told in doubts_found)


def test_many_dogs_short_of_calcium_are_told_in_one_line() -> None:
    scenario = fed_with(least("calcium", 100))
    dogs = [replace(scenario.dogs[0], name=f"dog {number}") for number in range(5)]
    plan = b.a_plan(portions=[b.a_portion(dog.name, "trim", 6_300) for dog in dogs])
    (says,) = [doubt.says for doubt in found(replace(scenario, dogs=tuple(dogs)), plan, "calcium-low")]
    assert says == "5 dogs get too little calcium: 50 % of the recommended minimum."


def test_growing_dogs_are_told_apart_from_grown_ones() -> None:
    scenario = fed_with(least("calcium", 100))
    dogs = [replace(scenario.dogs[0], name=name, puppy=name == "Rosie") for name in ("Maple", "Rosie")]
    plan = b.a_plan(portions=[b.a_portion(dog.name, "trim", 12_600) for dog in dogs])
    both = replace(scenario, dogs=tuple(dogs))
    (grown,), (growing,) = found(both, plan, "calcium-low"), found(both, plan, "calcium-low-growing")
    assert (grown.dogs, growing.dogs) == (("Maple",), ("Rosie",))
    assert "supplement" in grown.cure
    assert "none is computed for a growing dog" in growing.cure


def test_slow_shortages_are_one_line_the_worst_first_behind_all_else_of_their_grade() -> None:
    """In 1000 kcal of trim: 25 mg of zinc, no vitamin A, nothing known of copper; 50 mg of calcium."""
    scenario = fed_with(least("zinc", 200), least("vitamin_a", 10), least("copper", 5), least("calcium", 100))
    dogs = (scenario.dogs[0], replace(scenario.dogs[0], name="Juniper"))
    plan = b.a_plan(portions=[b.a_portion(dog.name, "trim", 6_300) for dog in dogs])
    everything = found(replace(scenario, dogs=dogs), plan)
    (short,) = [doubt for doubt in everything if doubt.key == "short"]
    assert short.says == (
        "Maple and Juniper get too little vitamin A (nothing of the recommended minimum) and zinc (12 %)."
    )
    assert short.cure == "Liver holds most vitamin A. `raworder gaps FILE` prices what is listed."
    assert [doubt.key for doubt in everything] == ["calcium-low", "short", "one-sided"]


def test_calcium_that_may_be_too_little_for_one_dog_and_too_much_for_another_is_told_apart() -> None:
    """NECK holds 3.75 to 7.25 g in 1000 kcal; Juniper's profile has a maximum within that, Maple's a minimum."""
    scenario = fed_with(least("calcium", 4_000), cuts=(NECK,))
    upper = Profile("invented upper adult", (most("calcium", 7_000),))
    dogs = (scenario.dogs[0], replace(scenario.dogs[0], name="Juniper", profile=upper.name))
    both = replace(scenario, dogs=dogs, profiles=(*scenario.profiles, upper))
    plan = b.a_plan(portions=[b.a_portion(dog.name, "neck", 6_300) for dog in dogs])
    cures = {doubt.dogs: doubt.cure for doubt in found(both, plan, "calcium-unsure")}
    assert cures == {
        ("Maple",): "Take no bone away, and add no calcium on this figure.",
        ("Juniper",): "Add no calcium, and rather give less bone.",
    }


PORK = replace(TRIM, name="pork trim", cautions=("raw-pork",))
LAMB = replace(TRIM, name="lamb trim", cautions=("sheep-meat-tapeworm",))


def in_bags(*cuts: str, days: Iterable[int]) -> Plan:
    """One bag of 450 g a day for each of these days, filled with these cuts alike."""
    listed = tuple(days)
    each = 450 // len(cuts)
    bags = [b.a_bag([b.a_filling(cut, each) for cut in cuts], day=day) for day in listed]
    return b.a_plan(portions=[b.a_portion("Maple", cut, each * len(listed)) for cut in cuts], bags=bags)


def test_meat_that_cannot_be_frozen_for_long_enough_is_told_with_its_bags() -> None:
    # pork needs 20 days, and no batch of 14 has them; sheep needs 10, so the last bags are frozen for long enough
    scenario = fed_with(cuts=(PORK, LAMB, TRIM))
    pork, lamb = found(scenario, in_bags("pork trim", "lamb trim", days=range(14)), "waiting")
    assert pork.sentences == (
        "Pork trim has to be frozen for 20 days before feeding (14 of 14 bags). "
        "Buy it frozen (`comes_frozen: 20 days`)."
    )
    # filled the day before and moved on the day before it is fed, the eleventh bag is frozen for just ten days
    assert lamb.says == "Lamb trim has to be frozen for 10 days before feeding (10 of 14 bags)."
    assert found(scenario, in_bags("trim", days=range(14)), "waiting") == []


def test_meat_that_lay_in_the_freezer_for_long_enough_does_not_wait() -> None:
    scenario = replace(fed_with(cuts=(PORK, TRIM)), on_hand=(b.on_hand("pork trim", 6_300, b.STARTS.replace(month=1)),))
    plan = replace(in_bags("pork trim", days=range(14)), lots_used=(b.LotUse(0, 6_300),))
    assert found(scenario, plan, "waiting") == []


@pytest.mark.parametrize(
    ("order", "says"),
    [
        (DearerOrder(Decimal(20), Decimal("0.26")), "Without it the order costs 0.26 EUR more."),
        (DearerOrder(Decimal(20), Decimal("0.26"), proved=False), "Without it the order costs at most 0.26 EUR more."),
        (None, "No order follows your rules without it."),
    ],
)
def test_what_it_costs_to_do_without_is_told_where_it_is_known(order: DearerOrder | None, says: str) -> None:
    plan = replace(in_bags("pork trim", days=range(14)), cures=Cures(without={"waiting": order}))
    (waiting,) = found(fed_with(cuts=(PORK, TRIM)), plan, "waiting")
    assert waiting.cure.endswith(says)
    assert waiting.more == (order.more if order else None)


def test_no_price_is_told_of_doing_without_what_a_veterinarian_gave() -> None:
    scenario = fed_with(cuts=(PORK, TRIM), dog=b.a_dog_in_care("Maple", {"pork trim": 6_300}))
    order = DearerOrder(Decimal(20), Decimal(0))
    plan = replace(in_bags("pork trim", days=range(14)), cures=Cures(without={"waiting": order}))
    (waiting,) = found(scenario, plan, "waiting")
    assert waiting.cure == "Buy it frozen (`comes_frozen: 20 days`)."
    assert (waiting.cuts, waiting.more) == ((), None)


HERRING = a_food("herring", {"energy": 200}, species="herring", cautions=("thiaminase-fish",))


@pytest.mark.parametrize(("herring_g", "there"), [(315, False), (316, True)])
def test_a_twentieth_of_fish_that_destroys_thiamine_is_no_doubt_and_more_is(herring_g: int, *, there: bool) -> None:
    told = found(fed_with(cuts=(HERRING, TRIM)), eats(herring=herring_g, trim=6_300 - herring_g), "thiamin-destroyed")
    assert bool(told) is there


def test_a_danger_is_told_with_its_share_and_the_price_of_avoiding_it() -> None:
    plan = eats(herring=756, trim=5_544)
    scenario = fed_with(cuts=(HERRING, TRIM))
    (danger,) = found(scenario, plan, "thiamin-destroyed")
    assert danger.says == "12 % of what Maple eats is herring, which destroys thiamine."
    assert danger.cure == "Cap it under `caps`, or leave it out."
    priced = replace(plan, cures=Cures(without={"thiamin-destroyed": DearerOrder(Decimal(20), Decimal("0.84"))}))
    (danger,) = found(scenario, priced, "thiamin-destroyed")
    assert (danger.cure, danger.more) == ("Without it the order costs 0.84 EUR more.", Decimal("0.84"))


@pytest.mark.parametrize(
    ("bound", "key", "says"),
    [
        # trim is given 12 mg of copper, 50 mg of calcium and 25 mg of zinc in 1000 kcal
        (least("copper", 2), "copper-high", "get too much copper: 6.0 times the recommended minimum."),
        (most("calcium", 40), "calcium-high", "get too much calcium: 25 % more than the maximum."),
        (least("calcium", 20_000), "calcium-low", "get too little calcium: less than 1 % of the recommended minimum."),
        (least("zinc", "25.1"), "short", "get too little zinc (99 % of the recommended minimum)."),
    ],
)
def test_several_dogs_off_a_bound_are_told_how_far_and_of_what(bound: Bound, key: str, says: str) -> None:
    trim = a_food("trim", {"energy": 200, "calcium": 10, "phosphorus": 200, "zinc": 5, "copper": "2.4"})
    scenario = fed_with(bound, cuts=(trim,))
    dogs = (scenario.dogs[0], replace(scenario.dogs[0], name="Juniper"))
    plan = b.a_plan(portions=[b.a_portion(dog.name, "trim", 6_300) for dog in dogs])
    (doubt,) = found(replace(scenario, dogs=dogs), plan, key)
    assert doubt.says == f"Maple and Juniper {says}"


def test_what_a_veterinarian_is_to_be_asked_about_is_told_once_for_all_dogs() -> None:
    # neck is two fifths bone: far above the 15 % that is usual
    scenario, plan = many([b.a_dog(), b.a_dog("Juniper")], (0, 0))
    plan = b.a_plan(portions=[b.a_portion(dog.name, "neck", 6_300) for dog in scenario.dogs])
    (bone,) = found(scenario, plan, "bone-high")
    assert bone.says.startswith("40.0 % of what Maple eats is bone: much bone, above 15 %, can block a gut")
    assert bone.says.endswith(". The same goes for Juniper.")
    assert bone.dogs == ("Maple", "Juniper")


@pytest.mark.parametrize(("trim_g", "says"), [(2_520, []), (2_583, ["41 % of what Maple eats is trim."])])
def test_a_cut_that_is_more_than_two_fifths_of_the_food_makes_it_one_sided(trim_g: int, says: list[str]) -> None:
    others = tuple(a_food(name, {"energy": 200}) for name in ("beef", "duck"))
    rest_g = (6_300 - trim_g) // 2
    plan = eats(trim=trim_g, beef=rest_g, duck=6_300 - trim_g - rest_g)
    assert [doubt.says for doubt in found(fed_with(cuts=(TRIM, *others)), plan, "one-sided")] == says


def test_a_mixed_product_is_no_single_cut() -> None:
    mix = replace(TRIM, name="mix", ingredients=(TRIM, NECK))
    assert found(fed_with(cuts=(mix,)), eats(mix=6_300), "one-sided") == []


def test_dogs_share_a_line_on_the_same_cut() -> None:
    scenario, plan = many([b.a_dog(), b.a_dog("Juniper")], (6_300, 6_300))
    (says,) = sentences(scenario, plan, "one-sided")
    assert says == "100 % of what Maple and Juniper eat is trim. Cap it under `caps`, or offer other cuts."


def test_liver_at_its_most_is_told_last() -> None:
    liver = a_food("liver", {"energy": 200}, kind="liver", parts={Part.LIVER: 1})
    dog = b.a_dog(targets=(b.a_target(Part.LIVER, "4/100", "6/100"),))
    *_, last = found(fed_with(dog=dog, cuts=(liver, TRIM)), eats(liver=378, trim=5_922))
    assert last.says == "6 % of what Maple eats is liver, the most that it may have."
    below = found(fed_with(dog=dog, cuts=(liver, TRIM)), eats(liver=350, trim=5_950), "liver-near-limit")
    assert below == []


def a_mess() -> tuple[Scenario, Plan]:
    """A dog that is underfed on one-sided pork, which has to wait, with herring."""
    cuts: tuple[Cut, ...] = (PORK, HERRING, UNKNOWN)
    plan = in_bags("pork trim", days=range(14))
    return fed_with(cuts=cuts), replace(
        plan, portions=(b.a_portion("Maple", "pork trim", 3_000), b.a_portion("Maple", "herring", 1_000))
    )


def test_the_worst_comes_first_and_three_things_are_enough_for_a_screen() -> None:
    everything = found(*a_mess())
    assert [doubt.key for doubt in everything] == [
        "thiamin-destroyed",
        "energy-low",
        "bone-low",
        "waiting",
        "one-sided",
    ]
    assert [doubt.key for doubt in worst_doubts(everything)] == ["thiamin-destroyed", "energy-low", "bone-low"]


def test_several_dogs_off_the_same_way_are_told_by_how_far_and_beside_what() -> None:
    """1250 and 1500 kcal a day of at most 1182; calcium of at most 39 mg in 1000 kcal, where 50 are."""
    scenario, plan = many([b.a_dog(), b.a_dog("Juniper")], (8_750, 10_500))
    (energy,) = found(scenario, plan, "energy-high")
    assert energy.says == "Maple and Juniper get too much energy: up to 27 % more than the most published."
    limited = replace(scenario, profiles=(Profile("invented adult", (most("calcium", 39),)),))
    (calcium,) = found(limited, plan, "calcium-high")
    assert calcium.says == "Maple and Juniper get too much calcium: 29 % more than the maximum."


def test_of_many_dogs_likewise_the_others_are_counted() -> None:
    dogs = [b.a_dog(f"dog {number}") for number in range(6)]
    scenario, _ = many(dogs, [0] * 6)
    for count, whom in ((5, "dog 1, dog 2, dog 3 and dog 4"), (6, "5 more dogs")):
        plan = b.a_plan(portions=[b.a_portion(dog.name, "neck", 6_300) for dog in dogs[:count]])
        (bone,) = found(scenario, plan, "bone-high")
        assert bone.says.endswith(f"can block a gut. The same goes for {whom}.")
