"""The cautions name what this order touches, each once."""

from dataclasses import replace

from raworder.reporting.cautions import DOG_CAUTIONS, cautions
from raworder.trade.cuts import Measure, Part
from raworder.trade.document import Document, Paragraph, Points
from raworder.trade.scenario import Caution
from tests import builders as b
from tests.reporting.samples import CAUTIONS, HOUSEHOLD, HOUSEHOLD_PLAN


def points(document: Document) -> dict[str, Points]:
    return {block.key: block for block in document.blocks if isinstance(block, Points)}


TOLD = points(cautions(HOUSEHOLD, HOUSEHOLD_PLAN))


def test_a_notice_comes_first_even_without_a_table() -> None:
    first = cautions(b.a_scenario(), b.a_plan()).blocks[0]
    assert isinstance(first, Paragraph)
    assert "veterinarian" in first.text
    assert "local rules" in first.text


def test_standing_cautions_are_always_told() -> None:
    assert TOLD["always"].items == (
        "Clean hands. Wash hands, boards and bowls after raw meat.",
        "Never cooked bone. Cooked bone splinters.",
    )


def test_cautions_of_fed_cuts_name_the_cuts() -> None:
    assert "Raw bone (chicken neck). It can choke or block; stay with the dog." in TOLD["this_order"].items


def test_cautions_of_cuts_not_fed_are_silent() -> None:
    plan = replace(HOUSEHOLD_PLAN, portions=tuple(one for one in HOUSEHOLD_PLAN.portions if one.cut != "kale"))
    told = points(cautions(HOUSEHOLD, plan))["this_order"]
    assert not any("Cabbage" in item for item in told.items)
    assert not any("pork" in item for item in TOLD["this_order"].items)


def test_cautions_see_through_a_mixed_product() -> None:
    mix = b.a_cut("mix", ingredients=(b.a_cut("pork mince", cautions=("raw-pork",)),))
    scenario = replace(b.a_scenario(cuts=(mix,)), cautions=CAUTIONS)
    told = points(cautions(scenario, b.a_plan(portions=(b.a_portion(cut="mix"),))))
    assert told["this_order"].items == ("Raw pork (mix). Ask a veterinarian first.",)


def test_bone_is_minded_in_whatever_holds_it() -> None:
    bony = b.a_cut("own mix", parts={Part.MUSCLE: "9/10", Part.BONE: "1/10"})
    scenario = replace(b.a_scenario(cuts=(bony,)), cautions=CAUTIONS)
    told = points(cautions(scenario, b.a_plan(portions=(b.a_portion(cut="own mix"),))))
    assert told["this_order"].items == ("Raw bone (own mix). It can choke or block; stay with the dog.",)


def test_liver_at_its_cap_is_near_its_limit_too() -> None:
    liver = b.a_cap(Measure.PART, "liver", "1/20")
    dog = b.a_dog(batch_g=1000, targets=[b.a_target(Part.LIVER, 0, 1)], caps=[liver])
    scenario = replace(b.a_scenario(dogs=(dog,), cuts=(b.TRIM, b.LIVER)), cautions=CAUTIONS)
    portions = (b.a_portion(cut="beef trim", batch_g=950), b.a_portion(cut="lamb liver", batch_g=50))
    told = points(cautions(scenario, b.a_plan(portions=portions)))
    assert "Liver at its limit (Maple). Give no other liver beside it." in told["this_order"].items


def test_rules_name_the_dogs_concerned() -> None:
    items = TOLD["this_order"].items
    assert "Liver at its limit (Juniper). Give no other liver beside it." in items
    assert "Growing dog (Juniper). Ask a veterinarian for a growth plan." in items
    assert "Under care (Sorrel). Amounts come from the veterinarian alone." in items
    assert not any("Unusual" in item for item in items)


def test_a_ration_outside_the_usual_is_noticed() -> None:
    scenario = replace(b.a_scenario(dogs=(b.a_dog(weight_g=4_000),)), cautions=CAUTIONS)  # 500 g is 12.5 % of 4 kg
    assert points(cautions(scenario, b.a_plan()))["this_order"].items == (
        "Unusual ration (Maple). Weigh the dog again.",
    )


def test_a_dog_of_unknown_weight_has_no_unusual_ration() -> None:
    scenario = replace(b.a_scenario(dogs=(b.a_dog(weight_g=0),)), cautions=CAUTIONS)
    assert "this_order" not in points(cautions(scenario, b.a_plan()))


def test_no_liver_at_all_is_not_near_a_limit() -> None:
    dog = b.a_dog(targets=(b.a_target(Part.LIVER, 0, 0),))
    scenario = replace(b.a_scenario(dogs=(dog,)), cautions=CAUTIONS)
    assert "this_order" not in points(cautions(scenario, b.a_plan()))


def test_a_rule_that_nothing_decides_is_silent() -> None:
    scenario = replace(b.a_scenario(), cautions=(Caution("unheard-of", "rule", "Heading", "Says.", "invented"),))
    assert "this_order" not in points(cautions(scenario, b.a_plan()))


def test_each_source_is_told_once() -> None:
    assert TOLD["this_order"].sources == ("invented bones", "invented")


def test_the_four_rules_of_the_table_are_decided() -> None:
    assert set(DOG_CAUTIONS) == {"liver-near-limit", "puppy", "vet-care", "unusual-ration"}
