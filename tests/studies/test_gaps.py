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
from raworder.studies import gaps as study
from raworder.studies.asking import Ask, Pool
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
    assert rows_of(paper, "gaps")[0]["how"] == (
        "no order within the other rules: nothing offered brings enough of it beside them"
    )
    text = told(paper)
    assert "The 2 that can be filled, together, cost more" in text
    assert "Together: 49.00 EUR; " in text


def test_one_gap_that_can_be_filled_is_not_put_together() -> None:
    assert "together" not in told(paper_of(asked(ZINC, COPPER))).casefold()


def test_gaps_that_clash_are_told_not_to_go_together() -> None:
    # each alone is within 46.50, both are 49.00
    text = told(paper_of(asked(ZINC, IODINE, budget="46.50")))
    assert "The 2 that can be filled by themselves, together: no order within the other rules" in text


def test_dogs_that_miss_the_same_bound_share_a_line() -> None:
    # twice 14 tablets are 28 of one pack
    paper = paper_of(asked(ZINC, dogs=("Maple", "Juniper")))
    assert [(row["dogs"], row["more"]) for row in rows_of(paper, "gaps")] == [("all dogs", Decimal("3.00"))]


def test_of_what_not_enough_is_known_nothing_is_asked() -> None:
    ask = Ask()
    paper = paper_of(asked(least("selenium", 1), least("zinc", 20)), ask)
    assert ask.asked == 0
    assert "No bound of a profile is missed as far as it is known." in told(paper)
    assert "Not enough is known to say anything of: selenium." in told(paper)


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
def test_a_dog_in_care_has_no_gap() -> None:
    scenario = asked(ZINC)
    sorrel = b.a_dog_in_care("Sorrel", {"trim": 1_000})
    assert "No bound of a profile is missed" in told(paper_of(replace(scenario, dogs=(sorrel,))))


def test_food_of_which_nothing_is_known_makes_a_gap_unknown() -> None:
    scenario = asked(ZINC)
    cuts = (replace(TRIM, analysis=Analysis()), replace(HEART, analysis=Analysis()))
    assert "No bound of a profile is missed" in told(paper_of(replace(scenario, cuts=cuts)))


def test_a_nutrient_that_the_food_destroys_is_told_and_not_asked() -> None:
    scenario = asked(least("thiamin", 5))
    herring = a_food("trim", {"energy": 200, "thiamin": "1/2"}, cautions=("thiaminase-fish",))
    cuts = tuple(herring if cut.name == "trim" else cut for cut in scenario.cuts)
    paper = paper_of(replace(scenario, cuts=cuts))
    assert "thiamin at least 5 mg per 1000 kcal for Maple is missed, and more of it would not help: trim" in told(paper)
    assert not any(block for block in paper.blocks if getattr(block, "key", "") == "gaps")


def test_a_day_that_holds_too_little_is_told_with_what_to_do_and_not_asked() -> None:
    # a dog of 30 kg, 1218 kcal published, gets 1000: 20 mg of zinc meet 20 for 1000 kcal, 24.4 are due a day
    scenario = asked(least("zinc", 20))
    heavy = replace(scenario, dogs=(replace(scenario.dogs[0], weight_g=30_000),))
    ask = Ask()
    text = told(paper_of(heavy, ask))
    assert ask.asked == 0
    assert "No bound of a profile is missed" not in text
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
