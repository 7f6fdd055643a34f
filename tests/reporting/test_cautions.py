"""The cautions tell what to do, where, with what; what always holds; and why, by number."""

from dataclasses import replace

import pytest

from raworder.reading.reference import read_cautions
from raworder.reporting.cautions import (
    DOG_CAUTIONS,
    PLACES,
    asked_at,
    cautions,
    line_at,
    numbered_cautions,
    only_about,
)
from raworder.trade.cuts import Measure, Part
from raworder.trade.document import Document, Points, Table
from raworder.trade.nutrients import DogNutrition, VetConcern
from raworder.trade.plan import Plan
from raworder.trade.scenario import CautionPlace, Scenario
from tests import builders as b
from tests.planned import planned
from tests.reporting.samples import CAUTIONS, HOUSEHOLD, HOUSEHOLD_PLAN


def points(document: Document) -> dict[str, Points]:
    return {block.key: block for block in document.blocks if isinstance(block, Points)}


def in_the_bowl(scenario: Scenario, plan: Plan) -> str:
    return line_at(CautionPlace.BOWL, numbered_cautions(replace(scenario, cautions=CAUTIONS), plan))


def at_home(scenario: Scenario, plan: Plan) -> str:
    return line_at(CautionPlace.HOME, numbered_cautions(replace(scenario, cautions=CAUTIONS), plan))


TOLD = points(cautions(HOUSEHOLD, HOUSEHOLD_PLAN))


def test_what_is_done_is_told_by_place_with_its_cuts_and_dogs_and_a_number() -> None:
    assert TOLD["this_order"].items == (
        (
            "In the bowl. Chicken neck: stay with the dog [1]. Kale: keep to a small part of the food [2]. "
            "Juniper: give no more liver [2]. Sorrel: give what was prescribed [2]."
        ),
        "At home. Juniper: weigh every week [2].",
    )


def test_there_is_a_line_for_each_place_so_that_there_are_at_most_five() -> None:
    every = tuple(b.a_caution(place, "cut", ("Heading", "Hazard.", f"do {place}"), place) for place in CautionPlace)
    many = tuple(replace(one, key=f"{one.key}-{number}") for one in every for number in range(9))
    cut = b.a_cut("beef trim", cautions=[one.key for one in many])
    scenario = replace(b.a_scenario(cuts=(cut,)), cautions=many)
    items = points(cautions(scenario, b.a_plan()))["this_order"].items
    assert [item.split(".")[0] for item in items] == list(PLACES.values())
    assert all(item.count("Beef trim: ") == 9 for item in items)


def test_what_always_holds_is_told_in_short_whatever_is_fed() -> None:
    assert TOLD["always"].items == ("Wash hands and boards [2].", "Feed no cooked bone [2].")


def test_each_source_is_told_once_at_the_end_with_what_can_happen() -> None:
    first, second = TOLD["reasons"].items
    assert first == "[1] Raw bone: It can choke a dog. Source: invented bones."
    assert second.startswith("[2] Cabbage family: It swells. Liver at its limit: It is rich. ")
    assert second.endswith("Cooked bone: It splinters. Source: invented.")
    assert cautions(HOUSEHOLD, HOUSEHOLD_PLAN).blocks[-2] == TOLD["reasons"]
    assert not any(block.sources for block in TOLD.values())


def test_cautions_of_cuts_not_fed_are_silent() -> None:
    plan = replace(HOUSEHOLD_PLAN, portions=tuple(one for one in HOUSEHOLD_PLAN.portions if one.cut != "kale"))
    told = points(cautions(HOUSEHOLD, plan))
    assert not any("Cabbage" in item or "Kale" in item for block in told.values() for item in block.items)
    assert not any("pork" in item for block in TOLD.values() for item in block.items)


def test_programs_get_each_caution_by_its_key() -> None:
    (table,) = (block for block in cautions(HOUSEHOLD, HOUSEHOLD_PLAN).blocks if isinstance(block, Table))
    assert not table.shown
    rows = {row[1]: dict(zip([column.key for column in table.columns], row, strict=True)) for row in table.rows}
    assert rows["edible-bone"] == {
        "number": 1,
        "key": "edible-bone",
        "heading": "Raw bone",
        "place": "bowl",
        "about": "chicken neck",
        "to_do": "stay with the dog",
        "hazard": "It can choke a dog.",
        "source": "invented bones",
    }
    assert rows["never-cooked-bone"]["about"] == ""


def test_many_cuts_are_called_by_their_species_where_all_cuts_of_it_are_meant() -> None:
    pork = b.a_caution("raw-pork", "cut", ("Raw pork", "It can carry worms.", "freeze"), "freezer")
    cuts = tuple(b.a_cut(f"pork {part}", species="pork", cautions=("raw-pork",)) for part in "abcde")
    scenario = replace(b.a_scenario(cuts=cuts), cautions=(pork,))
    plan = b.a_plan(portions=tuple(b.a_portion(cut=cut.name) for cut in cuts))
    assert (
        line_at(CautionPlace.FREEZER, numbered_cautions(scenario, plan))
        == "In the freezer, before bags are filled. All pork: freeze [1]."
    )
    harmless = replace(cuts[0], name="pork f", cautions=())
    with_harmless = replace(scenario, cuts=(*cuts, harmless))
    more = replace(plan, portions=(*plan.portions, b.a_portion(cut="pork f")))
    line = line_at(CautionPlace.FREEZER, numbered_cautions(with_harmless, more))
    assert line == "In the freezer, before bags are filled. Pork a, pork b, pork c, pork d and pork e: freeze [1]."


def test_a_page_tells_what_is_done_where_it_is_held_and_only_of_its_cuts() -> None:
    numbered = numbered_cautions(HOUSEHOLD, HOUSEHOLD_PLAN)
    assert asked_at([CautionPlace.SHOP], numbered) == ()
    (told,) = asked_at([CautionPlace.BOWL], only_about({"kale", "beef trim"}, numbered))
    assert told.items == ("In the bowl. Kale: keep to a small part of the food [2].",)
    assert asked_at([CautionPlace.BOWL], only_about({"beef trim"}, numbered)) == ()


def test_findings_about_the_food_come_second_with_the_numbers_of_their_sources() -> None:
    concern = VetConcern("k", "Maple gets much", "Give less.", ("invented bones", "new"))
    food = replace(DogNutrition("Maple", "", ()), minded=(concern,))
    document = cautions(HOUSEHOLD, replace(HOUSEHOLD_PLAN, nourished=(food,)))
    keys = [block.key for block in document.blocks if isinstance(block, Points)]
    assert keys == ["this_order", "nourishment", "always", "reasons"]
    first, *others = points(document)["nourishment"].items
    assert first == "Note: Maple gets much. Give less. [1] [3]"
    assert [item.split(" of what")[0] for item in others] == ["Note: 51 to 52 %", "Note: 6 %"]  # beef trim, liver
    assert points(document)["reasons"].items[-1] == "[3] new."


def test_liver_at_its_cap_is_near_its_limit_too() -> None:
    liver = b.a_cap(Measure.PART, "liver", "1/20")
    dog = b.a_dog(batch_g=1000, targets=[b.a_target(Part.LIVER, 0, 1)], caps=[liver])
    scenario = replace(b.a_scenario(dogs=(dog,), cuts=(b.TRIM, b.LIVER)), cautions=CAUTIONS)
    portions = (b.a_portion(cut="beef trim", batch_g=950), b.a_portion(cut="lamb liver", batch_g=50))
    assert "Maple: give no more liver" in in_the_bowl(scenario, b.a_plan(portions=portions))


def test_a_ration_outside_the_usual_is_noticed() -> None:
    scenario = replace(b.a_scenario(dogs=(b.a_dog(weight_g=4_000),)), cautions=CAUTIONS)  # 500 g is 12.5 % of 4 kg
    assert at_home(scenario, b.a_plan()) == "At home. Maple: weigh the dog again [1]."


def test_a_dog_of_unknown_weight_has_no_unusual_ration() -> None:
    scenario = replace(b.a_scenario(dogs=(b.a_dog(weight_g=0),)), cautions=CAUTIONS)
    assert at_home(scenario, b.a_plan()) == ""


def test_no_liver_at_all_is_not_near_a_limit() -> None:
    dog = b.a_dog(targets=(b.a_target(Part.LIVER, 0, 0),))
    scenario = replace(b.a_scenario(dogs=(dog,)), cautions=CAUTIONS)
    assert "this_order" not in points(cautions(scenario, b.a_plan()))


def test_a_rule_that_nothing_decides_is_silent() -> None:
    scenario = replace(b.a_scenario(), cautions=(b.a_caution("unheard-of", "rule", ("Heading", "Hazard.", "do")),))
    assert "this_order" not in points(cautions(scenario, b.a_plan()))


def test_the_four_rules_of_the_table_are_decided() -> None:
    assert set(DOG_CAUTIONS) == {"liver-near-limit", "puppy", "vet-care", "unusual-ration"}


def test_what_comes_frozen_for_long_enough_is_not_to_be_frozen_again() -> None:
    """Lamb breast comes frozen for 30 days, and sheep meat asks for 10; fresh goat has them still to come."""
    household = planned("household")
    asked = {one.caution.key: one.names for one in numbered_cautions(household.plan.facts.scenario, household.plan)}
    assert "lamb breast" in asked["edible-bone"]
    assert "sheep-meat-tapeworm" not in asked
    goat = b.a_cut("goat trim", species="goat", cautions=("sheep-meat-tapeworm",))
    scenario = replace(b.a_scenario(cuts=(goat,)), cautions=read_cautions())
    plan = b.a_plan(portions=(b.a_portion(cut="goat trim"),))
    assert "sheep-meat-tapeworm" in {one.caution.key for one in numbered_cautions(scenario, plan) if one.names}


@pytest.mark.parametrize(
    ("frozen_days", "asked"), [((0,), True), ((1,), False), ((30,), False), ((30, 0), True), ((30, 1), False)]
)
def test_beef_that_all_comes_frozen_is_not_to_be_frozen_against_neospora(
    frozen_days: tuple[int, ...], *, asked: bool
) -> None:
    """A day is enough by the caution; no rule of ours makes anybody wait for it."""
    beef = b.a_cut("beef trim", species="beef", cautions=("neospora",))
    offers = tuple(b.an_offer("beef trim", key=f"{days}", frozen_days=days) for days in frozen_days)
    scenario = replace(b.a_scenario(cuts=(beef,), offers=offers), cautions=read_cautions())
    plan = b.a_plan(
        lines=tuple(b.a_line(offer.key, 1, "2.40") for offer in offers), portions=(b.a_portion(cut="beef trim"),)
    )
    assert ("neospora" in {one.caution.key for one in numbered_cautions(scenario, plan) if one.names}) is asked
