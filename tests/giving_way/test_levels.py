"""How far rules may give way, and that what is told is taken back as far as can be.

All names and figures are invented. **Source:** arithmetic, beside the numbers; the promises of the study's paper.
"""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.giving_way.demand import Demand, End, Loosening, SoftDemand
from raworder.giving_way.family import apply_changes, demands_of
from raworder.giving_way.ranges_and_caps import Cap, PartShare, goes_too_far
from raworder.reading.scenario_file import read_scenario
from raworder.solving.solver import Settings
from raworder.studies.reasons import Why
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Measure, Part
from raworder.trade.plan import NoPlan
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch
from tests import builders as b
from tests.studies.giving_way import STEPS, a_step_less, looked_into
from tests.studies.impossible import MARROW, fed, with_neck

POINTS = Fraction(1, 10)

BONE_BESIDE_MUSCLE = """
title: bone, fat and two animals (invented)
currency: KWD
batch: {starts: 2027-02-06, days: 14}
dogs:
  - {name: Maple, weight: 19 kg, ration: 2.5 %, targets: prey model, caps: {fat: 10 %, beef: 78 %}}
suppliers:
  - name: Hollow Lane
    cuts:
      - {cut: beef kidney, pack: 1 kg, price: 1.310}
      - {cut: chicken liver, pack: 1 kg, price: 1.651}
      - {cut: turkey neck, pack: 2.5 kg, price: 3.422}
      - {cut: beef trim, pack: 2.5 kg, price: 4.435}
  - name: Fenwick
    delivery: 0.589
    minimum_order: 9.602
    cuts:
      - {cut: beef kidney, price: 1.217 per kg}
      - {cut: pork kidney, pack: 2.5 kg, price: 3.291}
      - {cut: lamb liver, price: 1.072 per kg}
      - {cut: beef trim, price: 1.709 per kg}
      - {cut: chicken wing, pack: 2.5 kg, price: 4.606, available: 5}
freezer: {room: 16 kg}
variety: {species: 2, each_at_least: 10 %}
portioning: {divided: [chicken neck], most_a_day: {bone: 15 %}}
"""

MUSCLE_ALONE = """
title: too much beef for muscle (invented)
currency: JPY
batch: {starts: 2027-02-06, days: 10}
all_dogs: {caps: {fat: 13 %}}
dogs:
  - {name: Maple, weight: 30 kg, ration: 2.5 %, targets: {pattern: prey model, bone: 5 % to 12 %}}
  - name: Juniper
    weight: 15 kg
    ration: 2.5 %
    targets: {pattern: prey model, liver: 4 % to 9 %}
    caps: {fat: 15 %, beef: 60 %}
    avoid: [pork]
cuts:
  - {cut: turkey neck, price: 332 per kg}
  - {cut: beef kidney, pack: 500 g, price: 202}
  - {cut: beef heart, pack: 2.5 kg, price: 784}
  - {cut: beef trim, pack: 500 g, price: 168}
  - {cut: lamb liver, price: 355 per kg, available: 1400 g}
  - {cut: chicken wing, price: 809 per kg}
  - {cut: chicken liver, pack: 2.5 kg, price: 2928}
on_hand:
  - {cut: chicken liver, weight: 400 g, frozen: 2027-01-10}
budget: 7159
"""

FOUR_AT_ONCE = """
title: money, a minimum order, species and liver (invented)
currency: EUR
batch: {starts: 2027-02-06, days: 7}
dogs:
  - name: Maple
    weight: 26 kg
    ration: 2.5 %
    targets: {muscle: 60 % to 87 %, bone: 9 % to 10 %, liver: 4 % to 7 %}
suppliers:
  - name: Hollow Lane
    delivery: 4.49
    minimum_order: 48.00
    cuts:
      - {cut: beef heart, price: 6.10 per kg}
      - {cut: beef trim, pack: 2.5 kg, price: 12.56}
      - {cut: chicken neck, price: 2.14 per kg, available: 1000 g}
  - name: Fenwick
    delivery: 4.92
    minimum_order: 27.55
    cuts:
      - {cut: beef trim, pack: 400 g, price: 1.88, available: 1}
      - {cut: chicken neck, pack: 1 kg, price: 3.73}
on_hand:
  - {cut: chicken neck, weight: 500 g, frozen: 2027-01-10}
budget: 16.83
freezer: {room: 9 kg}
variety: {species: 3, most_of_one: 73 %}
"""

SMALL_DOGS = """
title: small dogs and large pieces (invented)
currency: JPY
least_purchase: {least: 1 g, step: 1 g}
batch: {starts: 2027-02-06, days: 10}
dogs:
  - name: Maple
    weight: 5 kg
    vet_asked_for_less: yes
    ration: 2.5 %
    targets: prey model
    caps: {fat: 15 %, beef: 32 %}
  - {name: Juniper, weight: 7 kg, vet_asked_for_less: yes, ration: 2.5 %, targets: prey model}
  - name: Sorrel
    weight: 5 kg
    vet_asked_for_less: yes
    ration: 2.5 %
    targets: {muscle: 64 % to 87 %, bone: 9 % to 10 %, liver: 4 % to 7 %}
cuts:
  - {cut: chicken liver, pack: 1 kg, price: 861}
  - {cut: beef trim, price: 477 per kg}
  - {cut: turkey neck, pack: 500 g, price: 492}
  - {cut: lamb liver, pack: 1 kg, price: 630}
  - {cut: pork kidney, pack: 2.5 kg, price: 772}
  - {cut: chicken wing, price: 920 per kg, available: 2100 g}
  - {cut: chicken neck, price: 887 per kg}
on_hand:
  - {cut: chicken neck, weight: 300 g, frozen: 2027-01-10}
hold: off
budget: 1978
"""


def written(text: str, folder: Path) -> Scenario:
    """The scenario of a file."""
    path = folder / "invented.yaml"
    path.write_text(text, encoding="utf-8")
    scenario = read_scenario(path).scenario
    assert scenario is not None
    return scenario


def changed_alone(why: Why) -> dict[tuple[str, str, End | None], Loosening]:
    """The single changes that open a plan, by rule, by what they are about and by end."""
    changes = (one.opened.changes[0] for one in why.menu if one.opened)
    return {(one.demand.rule, str(getattr(one.demand.about, "part", "")), one.demand.end): one for one in changes}


def the_only(scenario: Scenario, rule: str, end: End | None = None) -> Demand:
    """The only demand of that rule, and of that end."""
    (demand,) = [one for one in demands_of(scenario) if (one.rule, one.end) == (rule, end)]
    return demand


@pytest.mark.parametrize("missed", ["1/100", "95/1000", "98/1000", "1/10"])
@pytest.mark.parametrize("end", End)
def test_no_share_moves_by_more_than_ten_points_and_neither_does_muscle(missed: str, end: End) -> None:
    scenario = fed(b.a_dog(targets=[b.a_target(Part.BONE, "15/100", "25/100")]))
    demand = the_only(scenario, "part_share", end)
    assert isinstance(demand, SoftDemand)
    for change in demand.loosenings(scenario, Fraction(missed), Fraction(missed)):
        assert abs(Fraction(change.level or 0) - Fraction(demand.level or 0)) <= POINTS
        assert change.muscle <= POINTS


def test_a_share_between_two_steps_stops_at_the_step_before_ten_points() -> None:
    """A third and 10 points are 43.33 %; a person writes 43.3 %."""
    scenario = fed(b.a_dog(caps=[b.a_cap(Measure.FAT, "", "1/3")]))
    demand = the_only(scenario, "cap", End.HIGH)
    assert isinstance(demand, SoftDemand)
    *_, last = demand.loosenings(scenario, Fraction(9, 100), Fraction(0))
    assert last.level == Fraction(433, 1000)


@pytest.mark.parametrize(("each", "too_far"), [("5/100", False), ("6/100", True)])
def test_what_two_parts_move_muscle_by_is_added_up(each: str, too_far: bool) -> None:
    targets = [b.a_target(Part.MUSCLE, "1/2", "8/10"), b.a_target(), b.a_target(Part.LIVER, "1/10", "2/10")]
    scenario = fed(b.a_dog(targets=targets))
    lows = [one for one in demands_of(scenario) if one.end is End.LOW and one.frees_muscle]
    changes = [Loosening(one, Fraction(one.level or 0) - Fraction(1, 100), Fraction(each)) for one in lows]
    assert goes_too_far(scenario, apply_changes(scenario, changes)) is too_far


def test_where_muscle_would_move_by_more_than_ten_points_in_all_nothing_is_offered() -> None:
    """Trim alone is all muscle: 100 %, and the range ends at 88 %."""
    shares = {Part.BONE: ("6/100", "1/10"), Part.LIVER: ("6/100", "1/10")}
    targets = [b.a_target(Part.MUSCLE, "70/100", "88/100"), *(b.a_target(part, *ends) for part, ends in shares.items())]
    why = looked_into(fed(b.a_dog(targets=targets)))
    assert not changed_alone(why)
    assert why.together is None


@pytest.mark.slow
def test_the_most_of_a_day_is_told_by_the_least_that_is_enough() -> None:
    """A neck of 60 g is 24 g of bone; 24 of 75 g are 32 %, and usual is 30 %."""
    dog = b.a_dog(batch_g=1_050, daily_g=75, targets=[b.a_target(Part.BONE, "11/100", "15/100")])
    alone = changed_alone(looked_into(with_neck(dog)))
    assert alone["day_most", "", None].level == Fraction(32, 100)


@pytest.mark.slow
def test_no_day_of_more_than_half_bone_is_ever_proposed() -> None:
    """A rib of 100 g is 80 g of bone; 80 of 150 g are 53.3 %."""
    dog = b.a_dog(batch_g=2_100, daily_g=150, targets=[b.a_target(Part.BONE, "11/100", "15/100")])
    why = looked_into(fed(dog, cuts=(MARROW, b.TRIM)))
    assert [rule for rule, _, _ in changed_alone(why)] == ["whole_pieces"]


def test_rules_of_bags_go_no_further_than_ten_points_and_bone_to_the_half_of_a_day() -> None:
    scenario = b.a_scenario()
    for demand in demands_of(scenario):
        if demand.rule in {"day_most", "week_share"}:
            is_bone = demand.about == b.a_subject(Measure.PART, "bone")
            furthest = Fraction(1, 2) if is_bone else Fraction(demand.level or 0) + POINTS
            assert demand.levels(scenario)[-1] == furthest


def test_the_steps_between_what_is_asked_and_a_change_are_all_there() -> None:
    scenario = fed(budget=16, portioning=Portioning(least_portion_g=20))
    assert the_only(scenario, "least_portion").steps_before(scenario, 5) == range(3, 1, -1)
    assert the_only(scenario, "budget").steps_before(scenario, b.euros("16.04")) == range(1601, 1604)


@pytest.mark.slow
def test_a_change_is_taken_back_to_the_least_after_a_step_too_far(tmp_path: Path) -> None:
    scenario = written(BONE_BESIDE_MUSCLE, tmp_path)
    alone = changed_alone(looked_into(scenario))
    assert alone["part_share", "bone", End.HIGH].level == Fraction(19, 100)
    for change in alone.values():
        assert isinstance(plan_batch(apply_changes(scenario, [a_step_less(change)]), Settings()), NoPlan)
        if change.muscle:
            less = replace(change, muscle=change.muscle - STEPS["part_share"])
            assert isinstance(plan_batch(apply_changes(scenario, [less]), Settings()), NoPlan)


@pytest.mark.slow
def test_a_part_is_not_told_to_change_where_muscle_is_what_must(tmp_path: Path) -> None:
    """Muscle at 75.4 % opens a plan with all else as it is; so does bone at 13.1 %, with muscle as it is."""
    alone = changed_alone(looked_into(written(MUSCLE_ALONE, tmp_path)))
    assert {key: change.level for key, change in alone.items()} == {
        ("part_share", "muscle", End.LOW): Fraction(754, 1000),
        ("part_share", "bone", End.HIGH): Fraction(131, 1000),
        ("part_share", "other organ", End.LOW): Fraction(34, 1000),
        ("cap", "", End.HIGH): Fraction(606, 1000),
    }
    assert not any(change.muscle for change in alone.values())


@pytest.mark.slow
def test_where_two_species_are_enough_they_are_not_told_to_be_one(tmp_path: Path) -> None:
    together = looked_into(written(FOUR_AT_ONCE, tmp_path)).together
    assert together is not None
    assert together.opened is not None
    assert {change.demand.rule: change.level for change in together.opened.changes}["variety"] == 2


@pytest.mark.slow
def test_rules_that_need_not_give_way_are_left_out(tmp_path: Path) -> None:
    together = looked_into(written(SMALL_DOGS, tmp_path)).together
    assert together is not None
    assert together.opened is not None
    assert [change.demand.rule for change in together.opened.changes] == ["budget", "part_share", "whole_pieces"]


def test_the_least_bone_of_a_growing_dog_clashes_but_never_gives_way() -> None:
    target = b.a_target(Part.BONE, "10/100", "14/100")
    dogs = (b.a_dog("Maple", targets=(target,)), b.a_dog("Rosie", targets=(target,), puppy=True))
    scenario = b.a_scenario(dogs=dogs, cuts=(b.a_cut("neck", parts={Part.MUSCLE: "3/5", Part.BONE: "2/5"}),))
    least = [demand for demand in PartShare.all_of(scenario) if demand.end is End.LOW]
    assert [demand.dogs for demand in least] == [("Maple",), ("Rosie",)]
    grown, growing = least
    assert grown.key != growing.key  # as each is asked about by its key
    assert list(grown.loosenings(scenario, Fraction(2, 100), Fraction(0)))
    assert list(growing.loosenings(scenario, Fraction(2, 100), Fraction(0))) == []
    assert growing.drop_from(scenario) != scenario  # so that a clash with it is named
    muscle = b.a_target(Part.MUSCLE, "80/100", "95/100")
    others = replace(scenario, dogs=tuple(replace(dog, targets=(muscle,)) for dog in dogs))
    assert [demand.dogs for demand in PartShare.all_of(others)] == [("Maple", "Rosie")] * 2


def test_nobody_is_told_what_less_bone_of_a_growing_dog_would_save() -> None:
    """One point less is told of Maple's bone alone, and one point more of both."""
    target = b.a_target(Part.BONE, "10/100", "14/100")
    dogs = (b.a_dog("Maple", targets=(target,)), b.a_dog("Rosie", targets=(target,), puppy=True))
    scenario = b.a_scenario(dogs=dogs, cuts=(b.a_cut("neck", parts={Part.MUSCLE: "3/5", Part.BONE: "2/5"}),))
    told = [looser.limit for looser in PartShare.one_step_looser(scenario, b.a_plan(portions=()))]
    assert told == ["bone at least 10.0 % for Maple", "bone at most 14.0 % for Maple and Rosie"]


def test_more_fish_that_destroys_thiamine_is_warned_of() -> None:
    fish = Cap(Fraction(1, 10), b.a_subject(Measure.THIAMINASE, ""), End.HIGH, ("Maple",))
    heart = Cap(Fraction(1, 10), b.a_subject(Measure.KIND, "heart"), End.HIGH, ("Maple",))
    assert ["thiamine" in caution for caution in fish.cautions()] == [True]
    assert list(heart.cautions()) == []
    bone = Cap(Fraction(1, 10), b.a_subject(Measure.PART, "bone"), End.HIGH, ("Maple",))
    assert ["block a gut" in caution for caution in bone.cautions()] == [True]
