"""What filling each gap of a profile costs.

**Source:** worked out by hand beside the numbers; all foods, bounds and prices are invented.
"""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.reading.reference import read_needs
from raworder.reporting.nutrition_words import bound_text
from raworder.solving.solver import Settings
from raworder.studies import enough_food
from raworder.studies import gaps as study
from raworder.studies.asking import Ask, Pool
from raworder.studies.enough_food import ENERGY_NODES, FedEnough, fed_enough
from raworder.studies.gaps import Gap, gaps, gaps_of, require_bounds
from raworder.trade.document import Document
from raworder.trade.dogs import OtherFood
from raworder.trade.nutrients import (
    Analysis,
    Bound,
    NutrientLimit,
    Per,
    Profile,
    RatioLimit,
    Standing,
    Supplement,
    Trust,
)
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario, SupplementOffer
from raworder.workflow import order_batch, with_nourishment
from tests import builders as b
from tests.nourishing.fed import a_food, least, most, ratio
from tests.studies.tables import rows_of
from tests.studies.telling import told
from tests.supplemented import SHELL, an_analysis

# in 1000 kcal of trim are 20 mg of zinc and 900 mg of phosphorus; of heart 40 and 500
TRIM = a_food("trim", {"energy": 200, "zinc": 4, "calcium": 10, "phosphorus": 180, "iodine": 0, "copper": 0})
HEART = a_food("heart", {"energy": 200, "zinc": 8, "calcium": 10, "phosphorus": 100, "iodine": 0, "copper": 0})
TABLET = Supplement("zinc tablets", "tablet", Fraction(1), an_analysis({"zinc": 5}), 2)
KELP = Supplement("kelp powder", "g", Fraction(1), an_analysis({"iodine": 60}), 3)
SUPPLEMENTS = (
    (TABLET, SupplementOffer("tablets", b.HOLLOW_LANE, TABLET.name, TABLET.name, 100, b.euros(3))),
    (KELP, SupplementOffer("kelp", b.HOLLOW_LANE, KELP.name, KELP.name, 250, b.euros(4))),
    (
        replace(SHELL, on_hand_steps=0),
        SupplementOffer("shell", b.HOLLOW_LANE, SHELL.name, SHELL.name, 30, b.euros("2.50")),
    ),
)
ZINC, IODINE, COPPER = least("zinc", 25), least("iodine", 50), least("copper", 1)


def asked(
    *bounds: Bound,
    dogs: Iterable[str] = ("Maple",),
    supplements: Iterable[tuple[Supplement, SupplementOffer]] = SUPPLEMENTS,
    budget: str | None = None,
) -> Scenario:
    """Dogs of 500 g a day for 14 days, 1000 kcal a day; trim at 6.00 a kilogram and heart at 10.00."""
    fed = [replace(b.a_dog(name), profile="invented adult") for name in dogs]
    offers = [b.an_offer_by_weight("trim", price_per_kg=6), b.an_offer_by_weight("heart", price_per_kg=10)]
    scenario = b.a_scenario(dogs=fed, cuts=(TRIM, HEART), offers=offers, budget=budget)
    given = tuple(supplements)
    return replace(
        scenario,
        profiles=(Profile("invented adult", bounds),),
        needs=read_needs(),
        supplements=tuple(one for one, _ in given),
        supplement_offers=tuple(offer for _, offer in given),
    )


def ordered(scenario: Scenario) -> Plan:
    """The cheapest order: trim alone."""
    base = order_batch(scenario, Settings())
    assert isinstance(base, Plan)
    return base


def paper_of(scenario: Scenario, ask: Ask | None = None) -> Document:
    """The paper of gaps."""
    return gaps(scenario, ordered(scenario), ask or Ask())


def costs(paper: Document) -> list[tuple[object, ...]]:
    """What is asked, what is fed, what it costs then and more."""
    return [(row["bound"], row["given"], row["cost"], row["more"]) for row in rows_of(paper, "gaps")]


def test_a_gap_is_filled_by_a_supplement_where_that_is_cheapest() -> None:
    # 7 kg of trim are 42.00; a tablet of 5 mg a day fills 20 to 25, 14 of a pack at 3.00
    paper = paper_of(asked(ZINC))
    assert costs(paper) == [("zinc at least 25 mg per 1000 kcal", 20, Decimal("45.00"), Decimal("3.00"))]
    (row,) = rows_of(paper, "gaps")
    assert row["how"] == "1 tablet of zinc tablets a day for Maple; 1 pack of 100 tablets of zinc tablets"


def test_a_gap_is_filled_by_food_where_nothing_is_given_beside() -> None:
    # a quarter of heart, 1750 g: 5.25 x 6 + 1.75 x 10 = 49.00
    paper = paper_of(asked(ZINC, supplements=()))
    assert costs(paper) == [("zinc at least 25 mg per 1000 kcal", 20, Decimal("49.00"), Decimal("7.00"))]
    (row,) = rows_of(paper, "gaps")
    assert row["how"] == "trim 5.25 kg by weight; heart 1.75 kg by weight"


def test_too_much_of_something_is_a_gap_too() -> None:
    # 900 - 400 x <= 800 from a quarter of heart
    assert costs(paper_of(asked(most("phosphorus", 800)))) == [
        ("phosphorus at most 800 mg per 1000 kcal", 900, Decimal("49.00"), Decimal("7.00"))
    ]


def test_a_ratio_is_filled_in_whole_steps() -> None:
    # a day holds 50 mg of calcium and 900 of phosphorus; 50 + 380 n >= 900 + 3 n from 3 g on: 42 g, two packs of 30
    paper = paper_of(asked(ratio(low=1)))
    assert costs(paper) == [("calcium to phosphorus at least 1", Fraction(1, 18), Decimal("47.00"), Decimal("5.00"))]


def test_what_nothing_offered_brings_is_told_and_the_rest_put_together() -> None:
    # zinc 3.00 and iodine, a gram of kelp a day, 4.00: together 7.00; copper is in nothing
    paper = paper_of(asked(ZINC, IODINE, COPPER))
    assert [row[3] for row in costs(paper)] == [None, Decimal("3.00"), Decimal("4.00")]
    assert rows_of(paper, "gaps")[0]["how"] == "nothing on your lists brings enough of it within your other rules"
    text = told(paper)
    assert "The 2 that can be filled, together, cost more" in text
    assert "Together: 49.00 EUR; " in text


def test_one_gap_that_can_be_filled_is_not_put_together() -> None:
    assert "together" not in told(paper_of(asked(ZINC, COPPER))).casefold()


def test_gaps_that_clash_are_told_not_to_go_together() -> None:
    # each alone is within 46.50, both are 49.00
    text = told(paper_of(asked(ZINC, IODINE, budget="46.50")))
    assert "The 2 that can be filled one by one, together: no order that follows your other rules" in text


def test_dogs_that_miss_the_same_bound_share_a_line() -> None:
    # twice 14 tablets are 28 of one pack
    paper = paper_of(asked(ZINC, dogs=("Maple", "Juniper")))
    assert [(row["dogs"], row["more"]) for row in rows_of(paper, "gaps")] == [("all dogs", Decimal("3.00"))]


def test_of_what_not_enough_is_known_nothing_is_asked() -> None:
    ask = Ask()
    paper = paper_of(asked(least("selenium", 1), least("zinc", 20)), ask)
    assert ask.asked == 0
    assert "As far as is known, the food misses no published figure." in told(paper)
    assert "Too little is known to judge these: selenium." in told(paper)


def test_a_bound_that_is_recalled_is_marked_and_others_are_not() -> None:
    paper = paper_of(asked(least("zinc", 25, Trust.MEMORY), IODINE))
    assert [row["bound"] for row in rows_of(paper, "gaps")] == [
        "zinc at least 25 mg per 1000 kcal †",
        "iodine at least 50 ug per 1000 kcal",
    ]
    assert [row["trust"] for row in rows_of(paper, "gaps")] == ["memory", "seen"]
    assert "† this bound is recalled, not checked against the original." in told(paper)
    assert "†" not in told(paper_of(asked(ZINC)))


def test_a_gap_that_costs_nothing_says_how_it_is_filled() -> None:
    # heart as cheap as trim, and what is handier is bought
    scenario = asked(ZINC, supplements=((replace(TABLET, on_hand_steps=20), SUPPLEMENTS[0][1]),))
    (row,) = rows_of(paper_of(scenario), "gaps")
    assert (row["more"], row["how"]) == (Decimal(0), "1 tablet of zinc tablets a day for Maple")


def test_by_a_pool_the_paper_is_that_of_the_line() -> None:
    scenario = asked(ZINC, IODINE, COPPER)
    pool = Ask(engine=Pool(2), workers=2)
    try:
        assert paper_of(scenario, pool) == paper_of(scenario)
        assert pool.answered == 4
    finally:
        pool.close()


@pytest.mark.slow
def test_an_interrupt_leaves_what_was_answered_and_says_that_it_is_not_all(monkeypatch: pytest.MonkeyPatch) -> None:
    scenario, calls = asked(ZINC, IODINE, most("phosphorus", 800)), []
    base, answer = ordered(scenario), study.order_that_meets

    def tired(*given: object) -> object:
        calls.append(given)
        if len(calls) == 2:
            raise KeyboardInterrupt
        return answer(*given)  # type: ignore[arg-type]  # what the study gives

    monkeypatch.setattr(study, "order_that_meets", tired)
    ask = Ask()
    paper = gaps(scenario, base, ask)
    assert ask.interrupted
    # phosphorus comes before zinc and iodine
    assert costs(paper) == [("phosphorus at most 800 mg per 1000 kcal", 900, Decimal("49.00"), Decimal("7.00"))]
    assert "This is not all: 2 gaps could not be tried in time." in told(paper)


def test_a_bound_stands_beside_a_rule_of_the_dogs_own() -> None:
    scenario = asked(ZINC)
    own = NutrientLimit("zinc", Per.MCAL, Fraction(10), Fraction(30))
    ratios = (RatioLimit("calcium", "phosphorus", high=Fraction(2)),)
    (dog,) = scenario.dogs
    scenario = replace(scenario, dogs=(replace(dog, nutrient_limits=(own,), ratio_limits=ratios),))
    asked_of = [Gap("invented adult", bound, ("Maple",), ()) for bound in (ZINC, most("zinc", 40), ratio(low=1))]
    (bound,) = require_bounds(scenario, asked_of).dogs
    assert bound.nutrient_limits == (NutrientLimit("zinc", Per.MCAL, Fraction(25), Fraction(30)),)
    assert bound.ratio_limits == (RatioLimit("calcium", "phosphorus", Fraction(1), Fraction(2)),)


def test_a_dog_that_misses_nothing_gets_no_rule() -> None:
    scenario = asked(ZINC, dogs=("Maple", "Juniper"))
    changed = require_bounds(scenario, [Gap("invented adult", ZINC, ("Juniper",), ())])
    assert changed.dogs[0] == scenario.dogs[0]
    assert changed.dogs[1].nutrient_limits == (ZINC.limit,)


@pytest.mark.slow
def test_gaps_are_found_by_where_bounds_stand() -> None:
    scenario = asked(ZINC, least("selenium", 1), least("zinc", 20))
    plan = with_nourishment(scenario, ordered(scenario))
    assert [gap.bound for gap in gaps_of(plan.nourished, (Standing.BELOW, Standing.ABOVE))] == [ZINC]
    (unknown,) = gaps_of(plan.nourished, (Standing.UNKNOWN,))
    assert (bound_text(unknown.bound), unknown.dogs) == ("selenium at least 1 ug per 1000 kcal", ("Maple",))


@pytest.mark.slow
def test_no_calcium_is_computed_for_a_growing_dog() -> None:
    """Trim holds 50 mg of calcium in 1000 kcal, and 1 to 18 of phosphorus; zinc is asked about all the same."""
    scenario = asked(least("calcium", 1_000), ratio(low=1), ZINC, dogs=("Maple", "Rosie"))
    maple, rosie = scenario.dogs
    paper = paper_of(replace(scenario, dogs=(maple, replace(rosie, puppy=True))))
    asked_for = [(row["bound"], row["dogs"]) for row in rows_of(paper, "gaps")]
    assert ("calcium at least 1000 mg per 1000 kcal", "Maple") in asked_for
    assert ("zinc at least 25 mg per 1000 kcal", "all dogs") in asked_for
    assert not any("calcium" in str(bound) and dogs != "Maple" for bound, dogs in asked_for)
    assert "Calcium and phosphorus for Rosie were not asked about" in told(paper)
    fine = asked(least("calcium", 10), dogs=("Rosie",))
    assert "not asked about" not in told(paper_of(replace(fine, dogs=(replace(fine.dogs[0], puppy=True),))))


@pytest.mark.slow
def test_no_gap_of_a_growing_dog_is_filled_by_a_supplement_with_calcium() -> None:
    """A gram of bone meal holds more phosphorus and magnesium than any food, and 300 mg of calcium."""
    held = an_analysis({"calcium": 300, "phosphorus": 140, "magnesium": 50, "zinc": 5})
    meal = Supplement("bone meal", "g", Fraction(1), held, 30)
    offer = SupplementOffer("meal", b.HOLLOW_LANE, meal.name, meal.name, 500, b.euros(1))
    scenario = asked(least("phosphorus", 1_000), ZINC, dogs=("Maple", "Rosie"), supplements=[(meal, offer)])
    maple, rosie = scenario.dogs
    grown = told(paper_of(replace(scenario, dogs=(maple,))))
    assert "bone meal a day for Maple" in grown
    growing = paper_of(replace(scenario, dogs=(replace(rosie, puppy=True),)))
    asked_for = [str(row["bound"]) for row in rows_of(growing, "gaps")]
    assert "zinc at least 25 mg per 1000 kcal" in asked_for
    assert not any("phosphorus" in bound for bound in asked_for)
    assert "bone meal" not in told(growing)
    assert "nor supplements with calcium: for a growing dog no amount is computed" in told(growing)
    assert "bone meal a day for Maple" in told(paper_of(replace(scenario, dogs=(maple, replace(rosie, puppy=True)))))


def test_a_dog_in_care_has_no_gap() -> None:
    scenario = asked(ZINC)
    sorrel = b.a_dog_in_care("Sorrel", {"trim": 1_000})
    assert "the food misses no published figure" in told(paper_of(replace(scenario, dogs=(sorrel,))))


def test_food_of_which_nothing_is_known_makes_a_gap_unknown() -> None:
    scenario = asked(ZINC)
    cuts = (replace(TRIM, analysis=Analysis()), replace(HEART, analysis=Analysis()))
    assert "the food misses no published figure" in told(paper_of(replace(scenario, cuts=cuts)))


def test_a_nutrient_that_the_food_destroys_is_told_and_not_asked() -> None:
    scenario = asked(least("thiamin", 5))
    herring = a_food("trim", {"energy": 200, "thiamin": "1/2"}, cautions=("thiaminase-fish",))
    cuts = tuple(herring if cut.name == "trim" else cut for cut in scenario.cuts)
    paper = paper_of(replace(scenario, cuts=cuts))
    assert "thiamin at least 5 mg per 1000 kcal for Maple is missed, but more of it would not help: trim" in told(paper)
    assert not any(block for block in paper.blocks if getattr(block, "key", "") == "gaps")


# Energy: a dog of 16 kg has 8 kg^0.75; the published range begins at 95 kcal each, 760 a day. Sources in
# `data/energy.csv`: FEDIAF's table of activity, low activity.
LEAST_16_KG = 95 * 8


def fed_by(grams: dict[str, int], *, budget: str | None = None, fat_price: int = 50) -> Scenario:
    """Dogs of 16 kg that eat so much trim a day, 200 kcal a 100 g at 6.00 a kilogram; fat has 800 at 50.00."""
    dogs = [replace(b.a_dog(name, weight_g=16_000, daily_g=daily_g)) for name, daily_g in grams.items()]
    offers = [b.an_offer_by_weight("trim", price_per_kg=6), b.an_offer_by_weight("fat", price_per_kg=fat_price)]
    cuts = (TRIM, a_food("fat", {"energy": 800}))
    return replace(b.a_scenario(dogs=dogs, cuts=cuts, offers=offers, budget=budget), needs=read_needs())


def enough(scenario: Scenario, settings: Settings = Settings()) -> FedEnough | None:  # noqa: B008 - it is frozen
    """What feeding enough costs, beside the cheapest order."""
    return fed_enough(scenario, ordered(scenario), settings)


def test_feeding_enough_costs_the_food_for_the_published_energy() -> None:
    """250 g a day are 500 kcal and 3.5 kg, 21.00; 760 kcal are 380 g, 5.32 kg, 31.92."""
    found = enough(fed_by({"Maple": 250}))
    assert found == FedEnough(Decimal("31.92"), Decimal("10.92"), (("Maple", LEAST_16_KG),), proved=True)


def test_feeding_enough_may_cost_less_where_fatter_food_is_cheap() -> None:
    """By grams trim at 6.00 is cheapest, 21.00; by energy fat at 7.00 is: 760 kcal are 95 g a day, 1.33 kg, 9.31."""
    assert enough(fed_by({"Maple": 250}, fat_price=5)) is None  # all is fat already, 2000 kcal a day
    found = enough(fed_by({"Maple": 250}, fat_price=7))
    assert found is not None
    assert (found.total, found.more) == (Decimal("9.31"), Decimal("-11.69"))


@pytest.mark.parametrize(("grams", "is_below"), [(341, True), (342, False)])
def test_a_dog_counts_as_fed_enough_from_nine_tenths_on(grams: int, is_below: bool) -> None:
    """Nine tenths of 760 are 684 kcal, 342 g."""
    assert (enough(fed_by({"Maple": grams})) is not None) is is_below


def test_all_that_are_below_are_fed_enough_together_and_the_others_as_they_were() -> None:
    """Twice 31.92, and 400 g for Bruno, 5.6 kg, 33.60."""
    scenario = fed_by({"Maple": 250, "Bruno": 400, "Juniper": 300})
    found = enough(scenario)
    assert found is not None
    assert found.rations == (("Maple", 760), ("Juniper", 760))
    assert found.total == Decimal("97.44")
    assert found.more == found.total - ordered(scenario).total


def test_the_least_is_rounded_to_whole_kilocalories() -> None:
    scenario = fed_by({"Maple": 250})
    (dog,) = scenario.dogs
    found = enough(replace(scenario, dogs=(replace(dog, weight_g=22_000),)))
    assert found is not None
    assert found.rations == (("Maple", 965),)  # 95 x 22^0.75 = 965.03


def test_what_a_dog_eats_beside_the_plan_is_left_out_of_the_ration_that_feeds_it_enough() -> None:
    """100 of 760 kcal come from elsewhere: 660 are 330 g of trim a day, 4.62 kg, 27.72."""
    scenario = fed_by({"Maple": 250})
    (dog,) = scenario.dogs
    found = enough(replace(scenario, dogs=(replace(dog, other_food=OtherFood(Fraction(100))),)))
    assert found is not None
    assert (found.rations, found.total) == ((("Maple", 660),), Decimal("27.72"))


def test_an_order_above_the_budget_is_told_as_such() -> None:
    found = enough(fed_by({"Maple": 250}, budget="31.91"))
    assert found is not None
    assert (found.total, found.why) == (Decimal("31.92"), "above the budget of 31.91 EUR")
    within = enough(fed_by({"Maple": 250}, budget="31.92"))
    assert within is not None
    assert within.why == ""


def test_where_there_is_too_little_food_there_is_no_figure() -> None:
    scenario = fed_by({"Maple": 250})
    scarce = tuple(replace(offer, available=4_000) for offer in scenario.offers[:1])  # 5320 g of trim are needed
    assert enough(replace(scenario, offers=scarce)) is None


def test_a_dog_in_care_is_never_fed_by_the_published_need() -> None:
    scenario = fed_by({"Maple": 380})
    sorrel = b.a_dog_in_care("Sorrel", {"trim": 500}, weight_g=16_000)
    assert enough(replace(scenario, dogs=(*scenario.dogs, sorrel))) is None


def test_feeding_enough_ends_by_branches_not_by_a_clock_and_without_proof_says_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    scenario, given = fed_by({"Maple": 250}), []
    base, search = ordered(scenario), enough_food.order_before_sharing

    def doubt(fed: Scenario, settings: Settings, *more: object, **named: object) -> object:
        given.append(settings)
        order = search(fed, settings, *more, **named)  # type: ignore[arg-type] # what the study gives
        assert isinstance(order, Plan)
        return replace(order, proof=replace(order.proof, proved=False))

    monkeypatch.setattr(enough_food, "order_before_sharing", doubt)
    assert fed_enough(scenario, base, Settings()) is None
    assert fed_enough(scenario, base, Settings(most_nodes=7)) is None
    assert given == [Settings(most_nodes=ENERGY_NODES), Settings(most_nodes=7)]


def test_gaps_begin_with_the_energy_that_dogs_lack() -> None:
    """21.00 and 21.00; each alone 10.92 more, both 21.84."""
    paper = paper_of(fed_by({"Maple": 250, "Juniper": 250}))
    assert [(row["bound"], row["dogs"], row["given"], row["more"]) for row in rows_of(paper, "gaps")] == [
        ("energy at least 760 kcal a day", "Maple", 500, Decimal("10.92")),
        ("energy at least 760 kcal a day", "Juniper", 500, Decimal("10.92")),
        ("energy at least as published", "all dogs", None, Decimal("21.84")),
    ]
    assert rows_of(paper, "gaps")[0]["how"] == "trim 8.82 kg by weight"  # 5.32 + 3.5 kg


def test_energy_just_below_the_published_is_a_gap_and_the_published_is_none() -> None:
    assert [row["given"] for row in rows_of(paper_of(fed_by({"Maple": 379})), "gaps")] == [758]
    assert "the food misses no published figure" in told(paper_of(fed_by({"Maple": 380})))


def test_energy_that_the_budget_forbids_is_told_with_the_rules() -> None:
    (row,) = rows_of(paper_of(fed_by({"Maple": 250}, budget="25.00")), "gaps")
    assert (row["cost"], row["how"]) == (None, "no order that follows your other rules, room and budget")


def test_many_underfed_dogs_get_one_row_together() -> None:
    names = {f"dog {number}": 250 for number in range(9)}
    (row,) = rows_of(paper_of(fed_by(names)), "gaps")
    assert (row["bound"], row["dogs"]) == ("energy at least as published", "all dogs")
    assert row["more"] == 9 * Decimal("10.92")


def test_a_day_that_holds_too_little_is_told_with_what_to_do_and_not_asked() -> None:
    # a dog of 30 kg, 1218 kcal published, gets 1000: 20 mg of zinc meet 20 for 1000 kcal, 24.4 are due a day
    scenario = asked(least("zinc", 20))
    heavy = replace(scenario, dogs=(replace(scenario.dogs[0], weight_g=30_000),))
    ask = Ask()
    text = told(paper_of(heavy, ask))
    assert ask.asked == 1  # only what feeding it enough costs
    assert "the food misses no published figure" not in text
    assert "zinc at least 20 mg per 1000 kcal for Maple is met, or could be, but a day's food holds less" in text
    assert "feed more first, then ask again" in text


def test_of_a_dog_that_eats_other_food_too_no_gap_is_asked_and_why_is_told() -> None:
    scenario = asked(ZINC, dogs=("Maple", "Juniper"))
    known = Analysis((("energy", Fraction(100)), ("zinc", Fraction(0))))
    other = OtherFood(Fraction(100), daily_g=Fraction(100), analysis=known)
    maple, juniper = scenario.dogs
    paper = paper_of(replace(scenario, dogs=(replace(maple, other_food=other), juniper)))
    # 1000 kcal of trim for Juniper alone: a tablet a day, as for one dog
    assert [(row["dogs"], row["more"]) for row in rows_of(paper, "gaps")] == [("Juniper", Decimal("3.00"))]
    assert "What Maple would need more of was not looked for" in told(paper)
