"""The judges of energy, nutrients, ratios and supplements, on their boundaries; and no changed number passes.

**Source:** the scenario of `tests/supplemented.py`, whose sums stand beside its numbers; no outside source.
"""

import math
import random
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from raworder.auditing.books import open_books
from raworder.auditing.checks import JUDGES, audit
from raworder.auditing.nutrients_fed import Rounding
from raworder.trade.as_fed import as_fed
from raworder.trade.cuts import Cut, Measure
from raworder.trade.dogs import EnergyRation
from raworder.trade.nutrients import NutrientLimit, Per, RatioLimit
from raworder.trade.plan import Breach, Dose, Plan
from raworder.trade.scenario import Scenario
from tests.builders import HEART, NECK, TRIM, a_cut, a_dog, a_plan, a_scenario, a_subject, euros, portions_g
from tests.supplemented import BRAMBLE, OIL, SHELL, SUPPLEMENTED, SUPPLEMENTED_PLAN, an_analysis


def breaches(scenario: Scenario = SUPPLEMENTED, plan: Plan = SUPPLEMENTED_PLAN) -> tuple[Breach, ...]:
    return audit(as_fed(scenario, plan), plan)


def with_bramble(**changes: Any) -> Scenario:
    return replace(SUPPLEMENTED, dogs=(replace(BRAMBLE, **changes), SUPPLEMENTED.dogs[1]))


def fed(grams: int) -> Plan:
    """The plan by which Bramble eats so many grams instead of 3500; all else as it follows."""
    left = 5_000 - 1_400 - grams
    bramble, fern = SUPPLEMENTED_PLAN.portions
    worth = (Decimal(12) * left / 5_000).quantize(Decimal("0.01"))
    (leftover,) = SUPPLEMENTED_PLAN.leftovers
    return replace(
        SUPPLEMENTED_PLAN,
        portions=(replace(bramble, batch_g=grams), fern),
        leftovers=(replace(leftover, bought_g=left, worth=worth),),
    )


@pytest.mark.parametrize(("grams", "rules"), [(3_498, set()), (3_497, {"ration"}), (3_502, set()), (3_503, {"ration"})])
def test_energy_is_met_but_for_whole_grams(grams: int, rules: set[str]) -> None:
    # one gram of the one cut, and one of the most energy that is eaten: 4 kcal, 2 g
    assert {one.rule for one in breaches(plan=fed(grams))} == rules


def test_an_energy_ration_that_is_missed_tells_both_numbers() -> None:
    (breach,) = breaches(plan=fed(3_400))
    assert breach.says == "eats 6800 kcal but its ration over the batch is 7000 kcal"


# 140 mg of zinc in 7000 kcal of trim and 252 kcal of oil: 19.305 in 1000 kcal. A gram of trim is 0.04 mg and 2 kcal.
@pytest.mark.parametrize(("low", "is_broken"), [("19.30", False), ("19.32", True)])
def test_the_least_for_1000_kcal(low: str, is_broken: bool) -> None:
    limits = (NutrientLimit("zinc", Per.MCAL, Fraction(low)),)
    assert bool(breaches(with_bramble(nutrient_limits=limits))) is is_broken


@pytest.mark.parametrize(("high", "is_broken"), [("19.31", False), ("19.29", True)])
def test_the_most_for_1000_kcal(high: str, is_broken: bool) -> None:
    limits = (NutrientLimit("zinc", Per.MCAL, high=Fraction(high)),)
    found = breaches(with_bramble(nutrient_limits=limits))
    assert bool(found) is is_broken
    if is_broken:
        assert (
            found[0].says
            == "gets 19.305019 mg of zinc per 1000 kcal, at most 19.29 mg of zinc per 1000 kcal is allowed"
        )


@pytest.mark.parametrize(("low", "is_broken"), [("0.6", False), ("0.600001", True)])
def test_the_least_a_day(low: str, is_broken: bool) -> None:
    limits = (NutrientLimit("epa_dha", Per.DAY, Fraction(low)),)
    assert bool(breaches(with_bramble(nutrient_limits=limits))) is is_broken


# 785 mg of calcium and 456 of phosphorus a day; two grams of trim over the batch change next to nothing
@pytest.mark.parametrize(
    ("low", "high", "is_broken"), [("1.72", "1.73", False), ("1.73", None, True), (None, "1.71", True)]
)
def test_a_ratio_at_both_ends(low: str | None, high: str | None, is_broken: bool) -> None:
    limit = RatioLimit("calcium", "phosphorus", low and Fraction(low), high and Fraction(high))  # type: ignore[arg-type] # None or text
    assert bool(breaches(with_bramble(ratio_limits=(limit,)))) is is_broken


def told_of(limit: NutrientLimit | RatioLimit, eaten_g: Mapping[str, int], cuts: Iterable[Cut]) -> bool:
    """Whether a dog that eats so much is told of for the limit."""
    one, other = ((limit,), ()) if isinstance(limit, NutrientLimit) else ((), (limit,))
    dog = replace(a_dog(), nutrient_limits=one, ratio_limits=other)
    plan = a_plan(lines=(), bills=(), portions=portions_g({"Maple": eaten_g}))
    books = open_books(a_scenario(dogs=(dog,), cuts=cuts, offers=()), plan)
    return bool([*JUDGES["nutrient"](books), *JUDGES["nutrient_ratio"](books)])


@pytest.mark.slow
def test_a_bound_that_is_just_met_is_met_after_rounding_and_one_that_is_missed_by_a_fiftieth_is_not() -> None:
    chance, seen = random.Random(3), Counter[bool]()
    for _ in range(80):
        known = [{key: chance.randint(0, 900) for key in ("energy", "zinc", "iron")} for _ in range(4)]
        cuts = [replace(a_cut(f"cut {n}"), analysis=an_analysis(values)) for n, values in enumerate(known)]
        exact_g = [Fraction(chance.randint(40_000, 200_000), 100) for _ in cuts]
        gets = {key: sum(one[key] * grams / 100 for one, grams in zip(known, exact_g, strict=True)) for key in known[0]}
        rounded_g = {f"cut {n}": math.floor(grams) + chance.randint(0, 1) for n, grams in enumerate(exact_g)}
        if not all(gets.values()):
            continue
        a_day, in_mcal, ratio = gets["zinc"] / 14, 1000 * gets["zinc"] / gets["energy"], gets["zinc"] / gets["iron"]
        for off in (Fraction(0), Fraction(1, 50)):
            for low, high in ((1 + off, None), (None, 1 - off)):
                limits = (
                    NutrientLimit("zinc", Per.DAY, low and low * a_day, high and high * a_day),
                    NutrientLimit("zinc", Per.MCAL, low and low * in_mcal, high and high * in_mcal),
                    RatioLimit("zinc", "iron", low and low * ratio, high and high * ratio),
                )
                assert [told_of(one, rounded_g, cuts) for one in limits] == [bool(off)] * 3
                seen[bool(off)] += 1
    assert min(seen.values()) >= 100, seen


@pytest.mark.parametrize(
    ("low", "high", "is_told"), [("1", None, False), (None, "100", True), ("0", "0", True), (None, None, False)]
)
def test_where_no_energy_is_known_nothing_is_due_for_it_and_nothing_is_allowed(
    low: str | None, high: str | None, is_told: bool
) -> None:
    bounds = tuple(end and Fraction(end) for end in (low, high))
    for limit in (NutrientLimit("zinc", Per.MCAL, *bounds), RatioLimit("zinc", "iron", *bounds)):  # type: ignore[arg-type] # None or text
        assert told_of(limit, {"beef trim": 500}, (replace(a_cut(), analysis=an_analysis({"zinc": 4})),)) is is_told
        assert not told_of(limit, {"beef trim": 500}, (a_cut(),))


def test_a_gram_more_of_the_only_cut_changes_no_rate() -> None:
    cuts = (replace(a_cut(), analysis=an_analysis({"energy": 200, "zinc": 4})),)
    for low, is_told in (("20", False), ("20.000001", True)):
        assert told_of(NutrientLimit("zinc", Per.MCAL, Fraction(low)), {"beef trim": 500}, cuts) is is_told


def test_next_to_no_energy_is_rounded_too() -> None:
    # a gram of trim has 2 kcal; whole grams, one of trim and one of what counts most, may have made 4 kcal
    cuts = (replace(a_cut(), analysis=an_analysis({"energy": 200})), HEART)
    zinc = (cuts[0], replace(HEART, analysis=an_analysis({"zinc": 4})))
    for trim_g, is_told in ((2, False), (3, True)):
        eaten_g = {"beef trim": trim_g, "beef heart": 500 - trim_g}
        assert told_of(NutrientLimit("zinc", Per.MCAL, Fraction(15)), eaten_g, cuts) is is_told
    # 498 g of heart hold 19.92 mg of zinc, and 19.88 with a gram less; 2 g of trim and 2 g more hold 8 kcal: 2485
    for high, is_told in (("2485", False), ("2484", True)):
        limit = NutrientLimit("zinc", Per.MCAL, high=Fraction(high))
        assert told_of(limit, {"beef trim": 2, "beef heart": 498}, zinc) is is_told


def test_a_ratio_that_is_missed_tells_both_numbers() -> None:
    (breach,) = breaches(with_bramble(ratio_limits=(RatioLimit("calcium", "phosphorus", Fraction(2)),)))
    assert breach.says == "gets calcium to phosphorus at 1.721491, at least 2 is asked"


def test_grams_go_to_the_days_that_need_their_energy() -> None:
    # 7000 kcal in 3500 g: 200 kcal on the first day are 100 g of it
    by_day = EnergyRation((Fraction(200), Fraction(800), *(Fraction(500),) * 12))
    scenario = with_bramble(energy=by_day)
    assert breaches(scenario) == ()
    fed = as_fed(scenario, SUPPLEMENTED_PLAN)
    for day_g, rules in (((101, 399), {"ration"}), ((100, 400), set()), ((99, 401), {"ration"})):
        bramble = replace(fed.dogs[0], day_g=(*day_g, *(250,) * 12))
        assert {one.rule for one in audit(replace(fed, dogs=(bramble, fed.dogs[1])), SUPPLEMENTED_PLAN)} == rules


def test_what_is_not_known_meets_no_least() -> None:
    limits = (NutrientLimit("iodine", Per.MCAL, Fraction(1)),)
    assert {one.rule for one in breaches(with_bramble(nutrient_limits=limits))} == {"nutrient"}


@pytest.mark.parametrize(("low", "is_told"), [("4", False), ("4.02", True)])
def test_a_day_is_one_on_which_the_dog_is_fed(low: str, is_told: bool) -> None:
    # 700 g with 28 mg of zinc on seven of fourteen days; a gram more or less is 0.04 mg of the 28
    dog = replace(
        a_dog(batch_g=700),
        days=7,
        day_g=(100, 0) * 7,
        nutrient_limits=(NutrientLimit("zinc", Per.DAY, Fraction(low)),),
    )
    plan = a_plan(lines=(), bills=(), portions=portions_g({"Maple": {"beef trim": 700}}))
    books = open_books(a_scenario(dogs=(dog,), cuts=(THIAMIN_TRIM,), offers=()), plan)
    assert bool([*JUDGES["nutrient"](books)]) is is_told


SMELT = replace(a_cut("smelt", cautions=("thiaminase-fish",)), analysis=an_analysis({"energy": 100, "thiamin": 90}))
THIAMIN_TRIM = replace(a_cut(), analysis=an_analysis({"energy": 200, "thiamin": 1, "zinc": 4}))


@pytest.mark.parametrize(
    ("limit", "is_told"),
    [
        (NutrientLimit("thiamin", Per.DAY, Fraction(1, 1000)), True),
        (NutrientLimit("thiamin", Per.MCAL, Fraction(1, 1000)), True),
        # a most counts all that the tables know, destroyed or not
        (NutrientLimit("thiamin", Per.DAY, high=Fraction(1)), False),
        (NutrientLimit("zinc", Per.DAY, Fraction(1)), False),
        (RatioLimit("thiamin", "zinc", Fraction(1, 1000)), True),
        (RatioLimit("thiamin", "zinc", high=Fraction(90)), False),
        (RatioLimit("zinc", "thiamin", high=Fraction(90)), True),
        (RatioLimit("zinc", "thiamin", Fraction(1, 1000)), False),
    ],
    ids=str,
)
def test_a_gram_of_fish_leaves_no_thiamin_that_is_known(limit: NutrientLimit | RatioLimit, is_told: bool) -> None:
    cuts = (THIAMIN_TRIM, SMELT)
    assert told_of(limit, {"beef trim": 499, "smelt": 1}, cuts) is is_told
    assert not told_of(limit, {"beef trim": 499, "smelt": 0}, cuts)


@pytest.mark.parametrize(
    ("scenario", "doses", "says"),
    [
        (
            with_bramble(avoid=(a_subject(Measure.SPECIES, "salmon"),)),
            SUPPLEMENTED_PLAN.doses,
            "which it must not have",
        ),
        (
            with_bramble(puppy=True, ratio_limits=()),
            SUPPLEMENTED_PLAN.doses,
            "is given egg shell powder, which it must not have",
        ),
        (
            SUPPLEMENTED,
            (*SUPPLEMENTED_PLAN.doses, Dose("Fern", "egg shell powder", 1)),
            "none of its rules asks for any",
        ),
        (SUPPLEMENTED, (*SUPPLEMENTED_PLAN.doses, Dose("Bramble", "salmon oil", 1)), "twice over"),
        (SUPPLEMENTED, (*SUPPLEMENTED_PLAN.doses, Dose("Bramble", "kelp", 1)), "not in the scenario"),
        (SUPPLEMENTED, (*SUPPLEMENTED_PLAN.doses, Dose("Moss", "salmon oil", 1)), "not in the scenario"),
        (
            replace(SUPPLEMENTED, supplements=(replace(OIL, most_steps=1), SHELL)),
            SUPPLEMENTED_PLAN.doses,
            "of 1 at most",
        ),
        (
            replace(SUPPLEMENTED, supplements=(OIL, replace(SHELL, on_hand_steps=0))),
            (Dose("Bramble", "salmon oil", 2), Dose("Bramble", "egg shell powder", 3)),
            "42 steps are given but 30",
        ),
    ],
)
def test_what_is_given_wrongly_is_told(scenario: Scenario, doses: tuple[Dose, ...], says: str) -> None:
    found = [one for one in breaches(scenario, replace(SUPPLEMENTED_PLAN, doses=doses)) if one.rule == "supplement"]
    assert any(says in one.says for one in found), found


def test_just_as_many_steps_as_there_are_may_be_given() -> None:
    # 10 on hand and 30 bought are 40; 28 are given; with 18 bought and 10 on hand just as many
    (shell,) = (one for one in SUPPLEMENTED.supplement_offers if one.key == "shell")
    for steps, rules in ((18, set()), (17, {"supplement"})):
        offers = (SUPPLEMENTED.supplement_offers[0], replace(shell, steps=steps))
        assert {one.rule for one in breaches(replace(SUPPLEMENTED, supplement_offers=offers))} == rules


def changed_plans() -> Iterator[tuple[str, Plan]]:
    """The plan with each number of supplement lines, doses and bills changed by one step, up and down."""
    plan = SUPPLEMENTED_PLAN
    for number, line in enumerate(plan.supplement_lines):
        for name, other in (
            ("a pack more", replace(line, units=line.units + 1)),
            ("no pack", replace(line, units=0)),
            ("a cent more", replace(line, goods=line.goods + euros("0.01"))),
            ("a cent less", replace(line, goods=line.goods - euros("0.01"))),
            ("another offer", replace(line, offer="nobody's")),
        ):
            lines = list(plan.supplement_lines)
            lines[number] = other
            yield f"{line.offer}: {name}", replace(plan, supplement_lines=tuple(lines))
    yield "a line left out", replace(plan, supplement_lines=plan.supplement_lines[:1])
    yield "a line twice", replace(plan, supplement_lines=(*plan.supplement_lines, plan.supplement_lines[0]))
    for number, dose in enumerate(plan.doses):
        for steps in (0, -1, dose.steps_a_day - 1, 9):
            doses = list(plan.doses)
            doses[number] = replace(dose, steps_a_day=steps)
            yield f"{dose.supplement}: {steps} a day", replace(plan, doses=tuple(doses))
    for number, bill in enumerate(plan.bills):
        for field in ("goods", "delivery", "tax"):
            bills = list(plan.bills)
            bills[number] = replace(bill, **{field: getattr(bill, field) + euros("0.01")})
            yield f"{bill.supplier}: {field}", replace(plan, bills=tuple(bills))


@pytest.mark.parametrize(("name", "plan"), list(changed_plans()), ids=lambda one: one if isinstance(one, str) else "")
def test_no_changed_number_passes(name: str, plan: Plan) -> None:
    assert breaches(plan=plan), name


def test_more_packs_than_there_are_is_told() -> None:
    (oil, shell) = SUPPLEMENTED.supplement_offers
    offers = (replace(oil, available=0), shell)
    assert {one.rule for one in breaches(replace(SUPPLEMENTED, supplement_offers=offers))} == {"pack_count"}


def test_a_number_that_is_none_is_told_first() -> None:
    doses = (replace(SUPPLEMENTED_PLAN.doses[0], steps_a_day=True), SUPPLEMENTED_PLAN.doses[1])
    assert {one.rule for one in breaches(plan=replace(SUPPLEMENTED_PLAN, doses=doses))} == {"supplement"}


@pytest.mark.parametrize(("trim_g", "is_told"), [(2, False), (3, True)])
def test_what_whole_grams_may_have_brought_is_allowed_where_no_energy_is_known_too(trim_g: int, is_told: bool) -> None:
    # a gram of trim has 0.04 mg of zinc; a gram of the one cut, and one of what has most, may have made 0.08 mg
    cuts = (replace(a_cut(), analysis=an_analysis({"zinc": 4})),)
    limit = NutrientLimit("zinc", Per.MCAL, high=Fraction(0))
    assert told_of(limit, {"beef trim": trim_g}, cuts) is is_told


def test_pieces_of_which_nothing_is_known_are_rounded_too() -> None:
    """Nine dogs share necks of 60 g, of which no energy is known: 1.5 pieces of them, and a gram each of trim and more.

    A gram of trim brings 2: 1.5 x 60 x 2, and 2 for a gram bought, and 2 for the richest.
    """
    dogs = tuple(a_dog(f"Dog {number}") for number in range(9))
    scenario = a_scenario(dogs=dogs, cuts=(NECK, TRIM))
    plan = a_plan(portions=portions_g({dog.name: {"chicken neck": 600, "beef trim": 400} for dog in dogs}))
    rounding = Rounding(open_books(as_fed(scenario, plan), plan), dogs[0])
    assert rounding.sum_change({"beef trim": Fraction(2)}) == Fraction(3, 2) * 60 * 2 + 2 + 2


def test_a_growing_dog_may_be_given_calcium_where_a_rule_says_how_much() -> None:
    scenario = with_bramble(puppy=True)
    assert not [one for one in breaches(scenario, SUPPLEMENTED_PLAN) if one.rule == "supplement"]
