"""What is told to write, written as a person would: the file read again is the scenario that was tried, at that cost.

All scenarios are invented. **Source:** the study's own promise: pasted at the told place, it gives just what was tried.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest
import yaml

from raworder.giving_way.demand import Loosening
from raworder.giving_way.family import apply_changes, demands_of, instead_text
from raworder.giving_way.remedies import remedies
from raworder.giving_way.smallest_change import Opening
from raworder.reading.scenario_file import read_scenario
from raworder.solving.solver import Settings
from raworder.studies.reasons import Why, reasons_paper
from raworder.trade.cuts import Part
from raworder.trade.document import Table
from raworder.trade.dogs import Target
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch
from tests.drawn import few
from tests.studies.giving_way import looked_into
from tests.studies.impossible_files import FAT_TRIM, HEART, KIDNEY, LIVER, NECK, WRITTEN, written

LEVELS = (Fraction(2, 100), Fraction(11, 100))


def read_back(text: str, folder: Path) -> Scenario:
    """The scenario that such a file describes."""
    file = folder / "invented.yaml"
    file.write_text(text, encoding="utf-8")
    reading = read_scenario(file)
    assert reading.scenario is not None, [str(one) for one in reading.findings]
    return reading.scenario


def ways_out(scenario: Scenario, why: Why) -> Iterator[tuple[Opening, list[Mapping[str, object]]]]:
    """What opens a plan with the rows of the paper that tell it."""
    opened = [one.opened for one in why.menu if one.opened] or [one.opened for one in [why.together] if one]
    tables = {block.key: block for block in reasons_paper(scenario, why).blocks if isinstance(block, Table)}
    assert tables, "no way out"
    table = tables.get("changes") or tables["together"]
    rows = [dict(zip((column.key for column in table.columns), row, strict=True)) for row in table.rows]
    for number, one in enumerate(opened, start=1):
        assert one is not None
        yield one, [row for row in rows if row["change"] == number]


def pasted(text: str, rows: Sequence[Mapping[str, object]]) -> str:
    """The file with what the rows tell written at every told line, or at its top level."""
    root = yaml.compose(text)
    for row in rows:
        key = str(row["write"]).partition(":")[0]
        lines = [
            int(line) - 1 for line in re.findall(r"\d+", ", ".join(re.findall(r"yaml:([\d, ]+)", str(row["where"]))))
        ]
        for mapping in [mapping_at(root, key, line) for line in lines] or [root]:
            put(mapping, *yaml.compose(str(row["write"])).value[0])
    return str(yaml.serialize(root))


def put(mapping: yaml.MappingNode, key: yaml.Node, value: yaml.Node) -> None:
    """Write the value under the key, in place of what stands there."""
    mapping.value = [one for one in mapping.value if one[0].value != key.value] + [(key, value)]


def mapping_at(root: yaml.Node, key: str, line: int) -> yaml.MappingNode:
    """The mapping in which the key stands at the line, or in which what stands there is under it; else what begins."""
    mappings = [node for node in nodes(root) if isinstance(node, yaml.MappingNode)]
    for mapping in mappings:
        for name, value in mapping.value:
            if name.value == key and name.start_mark.line <= line <= max(value.end_mark.line - 1, name.start_mark.line):
                return mapping
    return next(mapping for mapping in mappings[1:] if mapping.start_mark.line == line)


def nodes(node: yaml.Node) -> Iterator[yaml.Node]:
    """The node and all in it."""
    yield node
    for one in node.value if isinstance(node, yaml.CollectionNode) else ():
        for inner in one if isinstance(one, tuple) else (one,):
            yield from nodes(inner)


def as_tried(scenario: Scenario) -> Scenario:
    """The scenario but for what a person may write otherwise: the name of targets, and the order of limits."""
    dogs = (
        replace(dog, targets_named="", caps=tuple(sorted(dog.caps, key=lambda one: str(one.subject))))
        for dog in scenario.dogs
    )
    most = tuple(sorted(scenario.portioning.most_a_day, key=lambda one: str(one[0])))
    return replace(scenario, dogs=tuple(dogs), portioning=replace(scenario.portioning, most_a_day=most))


def check_all_ways_out(text: str, folder: Path) -> int:
    """How many ways out were told, each of which was written, read again and planned."""
    scenario = read_back(text, folder)
    why = looked_into(scenario)
    number = 0
    for opened, rows in ways_out(scenario, why):
        read = read_back(pasted(text, rows), folder)
        tried = apply_changes(scenario, opened.changes)
        assert as_tried(replace(read, offers=())) == as_tried(replace(tried, offers=())), rows
        plan = plan_batch(read, Settings())
        assert isinstance(plan, Plan), rows
        assert plan.total == opened.total, rows
        assert rows[0].get("cost", opened.total) == opened.total
        number += 1
    return number


@few("name", list(WRITTEN), 10)
def test_what_is_told_to_write_gives_the_scenario_that_was_tried_at_the_told_cost(name: str, tmp_path: Path) -> None:
    assert check_all_ways_out(WRITTEN[name], tmp_path) > 0


def rows_of(name: str, folder: Path) -> list[Mapping[str, object]]:
    """The first way out that the paper tells, by its rows."""
    scenario = read_back(WRITTEN[name], folder)
    return next(ways_out(scenario, looked_into(scenario)))[1]


def test_both_ends_of_one_range_are_written_once(tmp_path: Path) -> None:
    text = WRITTEN["own ranges"]
    scenario = read_back(text, tmp_path)
    bone = [one for one in demands_of(scenario) if isinstance(one.about, Target) and one.about.part is Part.BONE]
    changes = [Loosening(low_or_high, level) for low_or_high, level in zip(bone, LEVELS, strict=True)]
    (one,) = remedies(scenario, changes)
    assert one.text == "targets: {muscle: 77 % to 88 %, bone: 2 % to 11 %, liver: 3 % to 7 %, other organ: 2 % to 5 %}"
    read = read_back(pasted(text, [{"write": one.text, "where": one.where}]), tmp_path)
    assert as_tried(read) == as_tried(apply_changes(scenario, changes))


@pytest.mark.slow
def test_dogs_with_other_targets_have_a_row_of_their_own_and_the_cost_is_told_once(tmp_path: Path) -> None:
    first, second = rows_of("two dogs with different targets", tmp_path)
    assert first["write"] == "targets: {pattern: prey model, muscle: 76 % to 88 %, bone: 0 % to 12 %}"
    own = "targets: {muscle: 70 % to 90 %, bone: 0 % to 12 %, liver: 3 % to 6 %, other organ: 4 % to 6 %}"
    assert second["write"] == own
    assert "muscle, which is the rest, from 70 % to 90 %" in str(second["least_change"])
    assert str(second["demand"]).startswith("and with it: ")
    assert (first["cost"] is None, second["cost"] is None) == (False, True)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "where"),
    [
        ("for all dogs", "invented.yaml:4"),
        ("caps of all dogs", "invented.yaml:4"),
        ("for some of all dogs", "add it at Maple, invented.yaml:6; all_dogs stays as it is"),
        ("a cap that holds unless said", "add it at Maple, invented.yaml:5"),
    ],
)
def test_what_all_dogs_have_is_written_there_only_if_all_change(name: str, where: str, tmp_path: Path) -> None:
    assert [row["where"] for row in rows_of(name, tmp_path)] == [where]


@pytest.mark.slow
def test_what_is_said_of_bags_is_kept(tmp_path: Path) -> None:
    scenario = read_back(WRITTEN["whole pieces"], tmp_path)
    told = [str(row["write"]) for _, rows in ways_out(scenario, looked_into(scenario)) for row in rows]
    kept = "week_allowance: 1 %, most_a_day: {heart: none}"
    assert f"portioning: {{{kept}, divided: [chicken neck (piece 95 g), turkey neck]}}" in told


def test_more_or_less_bone_is_told_with_a_caution(tmp_path: Path) -> None:
    scenario = read_back(WRITTEN["own ranges"], tmp_path)
    bone = [one for one in demands_of(scenario) if isinstance(one.about, Target) and one.about.part is Part.BONE]
    less, more = (instead_text(scenario, [Loosening(*one)]) for one in zip(bone, LEVELS, strict=True))
    assert less.endswith(". With less bone there is less calcium")
    assert more.endswith(". Bone in quantity can block a gut")
    day = next(one for one in demands_of(scenario) if one.key.startswith("day_most") and one.word == "bone")
    assert "can block a gut" in instead_text(scenario, [Loosening(day, Fraction(35, 100))])
    muscle = next(one for one in demands_of(scenario) if one.rule == "part_share" and one.word == "muscle")
    assert "veterinarian" not in instead_text(scenario, [Loosening(muscle, Fraction(70, 100))])


@pytest.mark.slow
@pytest.mark.parametrize(("is_least", "says"), [(True, "These are the fewest"), (False, "was not tried to the end")])
def test_the_fewest_and_the_least_are_claimed_only_where_that_is_sure(
    is_least: bool, says: str, tmp_path: Path
) -> None:
    scenario = read_back(WRITTEN["stock and money"], tmp_path)
    together = looked_into(scenario).together
    assert together is not None
    (note,) = (
        block.note
        for block in reasons_paper(scenario, Why(together=replace(together, is_least=is_least))).blocks
        if isinstance(block, Table)
    )
    assert says in note


def invented_at_random(random: Random) -> str:
    """A file of one to three dogs with patterns, ranges and caps of their own, and what most have beside them."""

    def targets() -> str:
        pattern = f"{{pattern: prey model, {random.choice(['bone', 'liver'])}: 5 % to {random.randint(8, 13)} %}}"
        own = (
            f"{{muscle: {random.randint(60, 78)} % to 86 %, bone: {random.randint(6, 9)} % to 11 %, liver: 4 % to 7 %}}"
        )
        return f"targets: {random.choice(['prey model', pattern, own])}"

    def caps() -> str:
        return f"caps: {{fat: {random.randint(7, 12)} %, beef: {random.randint(40, 80)} %}}"

    def dog(name: str) -> str:
        said = [f"name: {name}, weight: {random.randint(5, 30)} kg, ration: 2.5 %"]
        said += random.choice([[], [targets()]]) + random.choice([[], [caps()], ["avoid: [chicken]"]])
        return f"  - {{{', '.join(said)}}}\n"

    dogs = [dog(name) for name in ("Maple", "Juniper", "Sorrel")[: random.randint(1, 3)]]
    more = f"all_dogs: {{{targets()}, {caps()}}}\n" + random.choice(["", "budget: 20\n", "freezer: {room: 9 kg}\n"])
    bags = random.choice(["", "portioning: {working: tub, most_a_day: {bone: 15 %}}\n", "variety: {species: 4}\n"])
    return written(*dogs, cuts="".join(random.sample([FAT_TRIM, NECK, LIVER, KIDNEY, HEART], 4)), more=more + bags)


SEEDS = (1, 4, 8, 11, 17, 22)


@few("seed", SEEDS, 2)
def test_whatever_is_told_about_files_invented_at_random_can_be_written_so(seed: int, tmp_path: Path) -> None:
    assert check_all_ways_out(invented_at_random(Random(seed)), tmp_path) > 0
