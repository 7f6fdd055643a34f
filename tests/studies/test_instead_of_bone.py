"""Dogs that must not have whole bone: minced bone or calcium beside it, each told as it was tried; only they change.

All scenarios are invented. **Source:** arithmetic beside the numbers, the published profile that is named, and the
study's own promise: pasted at the told place, what is told gives just what was tried, at that cost.
"""

from collections.abc import Mapping
from pathlib import Path

import pytest

from raworder.giving_way.family import apply_changes
from raworder.giving_way.smallest_change import Opening
from raworder.solving.solver import Settings
from raworder.studies.reasons import Why, reasons_paper
from raworder.trade.document import Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch
from tests.studies.giving_way import looked_into
from tests.studies.impossible_files import KIDNEY, LIVER, NECK
from tests.studies.telling import told
from tests.studies.test_reasons_written import as_tried, pasted, read_back

MAPLE = "  - {name: Maple, weight: 22 kg, ration: 2.5 %, vet_asked_for_less: yes}\n"
JUNIPER = "  - {name: Juniper, weight: 9 kg, ration: 2.5 %, vet_asked_for_less: yes, avoid: [whole bone]}\n"
PUPPY = (
    "  - {name: Juniper, weight: 9 kg, ration: 4 %, vet_asked_for_less: yes, avoid: [whole bone], puppy: yes, "
    "adult_weight: 20 kg}\n"
)
SHELL = (
    "supplements:\n  - {supplement: egg shell powder, pack: 250 g, price: 5.00, analysis: {calcium: 380 mg}, "
    "step: 0.5 g, most_a_day: 4 g}\n"
)
MINCE = (
    "own_cuts:\n  - {cut: moor bone mince, species: chicken, kind: mince, bone: 30 %, fat: 10 %}\n"
    "suppliers:\n  - name: Fell Farm\n    cuts:\n"
    "      - {cut: moor bone mince, pack: 500 g, price: 2.90, available: 1}\n"
)


def a_file(*dogs: str, more: str = "") -> str:
    """A scenario file of these dogs on the prey model, with chicken neck as the only whole bone."""
    cuts = "  - {cut: beef round, price: 6.20 per kg}\n" + NECK + LIVER + KIDNEY
    head = (
        "title: an invented scenario\ncurrency: EUR\nbatch: {starts: 2027-02-06, days: 14}\n"
        "hold: off\nleast_purchase: {least: 1 g, step: 1 g}\n"
    )
    return f"{head}all_dogs: {{targets: prey model}}\ndogs:\n{''.join(dogs)}cuts:\n{cuts}{more}"


def instead(text: str, folder: Path) -> tuple[Scenario, Why, list[tuple[Opening, list[Mapping[str, object]]]]]:
    """What is found about such a file, and what helps instead of whole bone with the rows that tell it."""
    scenario = read_back(text, folder)
    why = looked_into(scenario)
    opened = [one.opened for one in why.instead if one.opened]
    tables = [one for one in reasons_paper(scenario, why).blocks if isinstance(one, Table)]
    rows = [
        dict(zip((column.key for column in table.columns), row, strict=True))
        for table in tables
        if table.key == "instead_of_bone"
        for row in table.rows
    ]
    return scenario, why, [(one, [row for row in rows if row["change"] == n]) for n, one in enumerate(opened, start=1)]


@pytest.mark.slow
def test_calcium_beside_less_bone_is_tried_and_can_be_written_so(tmp_path: Path) -> None:
    """AAFCO adult maintenance asks for 1250 mg of calcium in 1000 kcal, and for at least as much as phosphorus."""
    text = a_file(MAPLE, JUNIPER, more=SHELL)
    scenario, _, ((opened, rows),) = instead(text, tmp_path)
    assert {one.demand.dogs for one in opened.changes} == {("Juniper",)}
    written = "nutrients: {calcium: 1250 mg to 6250 mg per 1000 kcal, calcium to phosphorus: 1 to 2}"
    assert [row["write"] for row in rows][1:] == [written]
    read = read_back(pasted(text, rows), tmp_path)
    tried = apply_changes(scenario, opened.changes)
    assert as_tried(read).dogs == as_tried(tried).dogs
    plan = plan_batch(read, Settings())
    assert isinstance(plan, Plan)
    assert plan.total == opened.total == rows[0]["cost"]
    assert {(dose.dog, dose.supplement) for dose in plan.doses} == {("Juniper", "egg shell powder")}


@pytest.mark.slow
def test_the_calcium_told_is_what_the_plan_gives_a_day_and_a_veterinarian_is_named_once(tmp_path: Path) -> None:
    scenario, why, ((opened, rows),) = instead(a_file(MAPLE, JUNIPER, more=SHELL), tmp_path)
    plan = plan_batch(apply_changes(scenario, opened.changes), Settings())
    assert isinstance(plan, Plan)
    steps = sum(dose.steps_a_day for dose in plan.doses)
    (table,) = [one for one in reasons_paper(scenario, why).blocks if isinstance(one, Table) and "bone" in one.key]
    assert f"Juniper is given {steps / 2:g} g of egg shell powder a day." in table.note
    assert "what AAFCO adult maintenance asks of food (some figures recalled" in table.note
    assert "veterinarian" not in table.note + "".join(str(row["least_change"]) for row in rows)


@pytest.mark.slow
def test_minced_bone_from_a_list_is_tried_with_all_that_it_takes(tmp_path: Path) -> None:
    """252 g of Juniper's 3150 g are bone at least, in 840 g of a mince with 30 %: two packs of 500 g, from a second."""
    text = a_file(MAPLE, JUNIPER, more=MINCE + "most_suppliers: 1\n")
    scenario, why, ((opened, rows),) = instead(text, tmp_path)
    assert [row["write"] for row in rows] == ["most_suppliers: 2", "available: 2"]
    plan = plan_batch(read_back(pasted(text, rows), tmp_path), Settings())
    assert isinstance(plan, Plan)
    assert plan.total == opened.total
    assert plan.eaten_g("Juniper", "moor bone mince") >= 840
    assert "There is too little minced bone: moor bone mince. Nor is a supplement with calcium." in told(
        reasons_paper(scenario, why)
    )


@pytest.mark.slow
def test_more_minced_bone_alone_is_told_once_among_single_changes(tmp_path: Path) -> None:
    scenario, why, ways = instead(a_file(MAPLE, JUNIPER, more=MINCE), tmp_path)
    assert ways == []
    text = told(reasons_paper(scenario, why))
    assert "available: 2" in text
    assert "Instead of whole bone" not in text


@pytest.mark.slow
@pytest.mark.parametrize(
    ("dogs", "more"),
    [((MAPLE, PUPPY), SHELL), ((MAPLE, JUNIPER), ""), ((MAPLE, JUNIPER.replace("whole bone", "chicken")), SHELL)],
    ids=["a puppy", "no supplement", "no whole bone"],
)
def test_no_calcium_is_offered_for_others(dogs: tuple[str, ...], more: str, tmp_path: Path) -> None:
    """How much a puppy needs is for a veterinarian; and a dog that may have whole bone is another matter."""
    _, why, ways = instead(a_file(*dogs, more=more), tmp_path)
    assert ways == []
    # the least bone of a growing dog never gives way, so that nothing alone opens a plan for it
    assert any(one.opened for one in why.menu) is not (PUPPY in dogs)


@pytest.mark.slow
def test_a_dog_that_must_not_have_whole_bone_is_told_of_what_could_be_minced(tmp_path: Path) -> None:
    scenario, why, _ = instead(a_file(MAPLE, JUNIPER), tmp_path)
    (fact,) = [one for one in why.facts if "whole bone" in one]
    assert fact == (
        "Juniper must not have whole bone. No minced bone for it is on the lists. Ask whether anybody minces chicken "
        "neck, bone and all. Nor is a supplement with calcium."
    )
    assert [one.dogs for one in why.clash] == [("Juniper",)]
    assert "bone at least 8 % for Maple" not in told(reasons_paper(scenario, why))


@pytest.mark.slow
def test_several_rules_give_way_together_for_the_dogs_concerned_alone(tmp_path: Path) -> None:
    """Juniper may have neither whole bone nor the only liver, Sorrel not the only other organ; Maple may have all."""
    juniper = JUNIPER.replace("whole bone", "whole bone, lamb")
    sorrel = "  - {name: Sorrel, weight: 12 kg, ration: 2.5 %, vet_asked_for_less: yes, avoid: [kidney]}\n"
    why = looked_into(read_back(a_file(MAPLE, juniper, sorrel), tmp_path))
    assert why.together is not None
    assert why.together.opened is not None
    assert {(str(one.demand.about.part), one.demand.dogs) for one in why.together.opened.changes} == {  # type: ignore[union-attr]  # ranges
        ("bone", ("Juniper",)),
        ("liver", ("Juniper",)),
        ("other organ", ("Sorrel",)),
    }
    assert all("Maple" not in one.dogs for one in why.clash)


@pytest.mark.slow
def test_a_rule_on_a_nutrient_gives_way_for_the_dogs_concerned_alone(tmp_path: Path) -> None:
    """Beef round is poor in calcium; only Juniper must not have the bone that brings it."""
    asks = "nutrients: {calcium: at least 1250 mg per 1000 kcal}"
    free = "targets: {muscle: 60 % to 100 %, bone: 0 % to 20 %}"
    text = a_file(MAPLE, JUNIPER).replace("{targets: prey model}", f"{{{free}, {asks}}}")
    why = looked_into(read_back(text, tmp_path))
    opened = [one.opened for one in why.menu if one.opened]
    assert [[change.demand.dogs for change in one.changes] for one in opened] == [[("Juniper",)]]
    assert [one.dogs for one in why.clash] == [("Juniper",)]
