"""The JSON Schema for editors and the reader agree on shape."""

import re
from datetime import date
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from raworder.book.entering import make_entries
from raworder.reading.form import MOST_ORDER_AHEAD_DAYS, BatchForm, form_fields, scenario_schema
from raworder.reading.owners import KG_PER_LITRE
from raworder.reading.patterns import LEAST_SPECIES_SHARE
from raworder.reading.reference import scenario_paths
from raworder.reading.sense import OLD_LIST_DAYS
from raworder.trade.bags import Portioning
from raworder.trade.scenario import ORDER_AHEAD_DAYS
from raworder.trade.units import amount_text
from tests.hostile.mistake import Mistake
from tests.hostile.mistakes import MISTAKES
from tests.hostile.own_lists import LIST, NAMES
from tests.hostile.test_hostile import SOUND_TEXT
from tests.hostile.workbooks import a_book
from tests.reading.written import DOG, KALE, a_text, reading_of

SHAPE = {
    "comma-in-number",
    "empty-value",
    "name-too-long",
    "no-unit",
    "out-of-range",
    "unknown-choice",
    "unknown-field",
    "unknown-part",
    "unknown-unit",
    "wrong-shape",
}
"""Slugs about the shape of a value, which the schema must refuse too."""

SENSE = {
    "away-outside-batch",
    "circular-cut",
    "label-too-small",
    "labels-off-paper",
    "labels-overlap",
    "repeated-dog",
    "shares-not-whole",
    "targets-not-whole",
    "toxic-food",
    "unknown-cut",
    "unknown-word",
    "vet-amount-not-sold",
}
"""Slugs about the sense of a whole scenario, which no schema can see."""


class EditorLoader(yaml.SafeLoader):
    """YAML as editors load it: the core schema of YAML 1.2, so that `yes` and days are text.

    Source: YAML 1.2.2, section 10.3.2, from memory, not looked up.
    """

    yaml_implicit_resolvers: dict[str, Any] = {}  # noqa: RUF012 - the library's own


for tag, pattern, first in (
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("int", r"[-+]?[0-9]+", "-+0123456789"),
    (
        "float",
        r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?|[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)",
        "-+.0123456789",
    ),
    ("null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
):
    EditorLoader.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(f"^(?:{pattern})$"), list(first))


def test_every_form_tells_each_of_its_fields_or_names_it_as_shared() -> None:
    schema = scenario_schema()
    forms = [schema, *schema["$defs"].values()]
    told = [{*dict(form.fields), *re.findall(r"`[^`]+`", form.too.replace(", as for `", ""))} for form in form_fields()]
    assert sorted(map(sorted, told)) == sorted(sorted(f"`{name}`" for name in form["properties"]) for form in forms)
    assert all(says.endswith(".") for form in form_fields() for _, says in form.fields)


def test_a_field_that_takes_one_of_a_few_words_tells_them() -> None:
    schema = scenario_schema()
    fields = [item for form in (schema, *schema["$defs"].values()) for item in form["properties"].items()]
    few = [
        (name, field) for name, field in fields if "enum" in field and name != "sheet" and "yes" not in field["enum"]
    ]
    chosen = {name: [*field["enum"]] for name, field in few}
    assert {"units", "goal", "care", "activity", "working", "paper", "decimal"} <= set(chosen)
    told = {name: field["description"] for name, field in few}
    assert [(name, word) for name, words in chosen.items() for word in words if f"`{word}`" not in told[name]] == []


def test_what_holds_if_a_field_is_left_out_is_told_in_its_description() -> None:
    told = {(form.noun, name.strip("`")): says for form in form_fields() for name, says in form.fields}
    usual, bags = Portioning(), "`portioning`"
    most = told[bags, "most_a_day"].replace(
        ", other organ and vegetables 20 % each", " 20 %, other organ 20 %, vegetables 20 %"
    )
    assert [
        subject for subject, share in usual.most_a_day if f"{subject.word or 'fat'} {share * 100} %" not in most
    ] == []
    assert f"{usual.scale_step_g} g if not said" in told[bags, "scale_step"]
    assert usual.least_portion_g == 2 * usual.scale_step_g
    assert "two steps of the scale if not said" in told[bags, "least_portion"]
    assert f"{usual.bag_tolerance * 100} % if not said" in told[bags, "bag_tolerance"]
    assert f"{amount_text(usual.week_allowance * 100)} % if not said" in told[bags, "week_allowance"]
    assert f"{usual.tub_g // 1000} kg if not said" in told[bags, "tub"]
    assert f"{usual.scale_g // 1000} kg if not said" in told[bags, "scale"]
    assert f"older than {OLD_LIST_DAYS} days" in told["a supplier", "list_date"]
    assert f"0 to {MOST_ORDER_AHEAD_DAYS}; {ORDER_AHEAD_DAYS} if not said" in told["`batch`", "order_ahead"]
    assert f"{BatchForm.model_fields['days'].default} if not said" in told["`batch`", "days"]
    assert f"{amount_text(KG_PER_LITRE)} if not said" in told["`freezer`", "kg_per_litre"]
    assert f"{LEAST_SPECIES_SHARE * 100} % if not said" in told["`variety`", "each_at_least"]


@pytest.fixture(scope="module")
def validator() -> jsonschema.Draft202012Validator:
    schema = scenario_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def as_editors_load(text: str) -> object:
    return yaml.load(text, EditorLoader)


def test_the_schema_says_what_it_is_and_describes_every_field() -> None:
    schema = scenario_schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["required"] == ["currency", "batch", "dogs"]
    dog = schema["$defs"]["DogForm"]["properties"]
    assert all("description" in field for field in dog.values())
    assert "null" not in str(schema)


@pytest.mark.slow
@pytest.mark.parametrize("path", scenario_paths(), ids=lambda path: path.stem)
def test_a_shipped_scenario_fits_the_schema(validator: jsonschema.Draft202012Validator, path: Path) -> None:
    assert [error.message for error in validator.iter_errors(as_editors_load(path.read_text()))] == []


OWNED = DOG.replace("Maple", "Maple, owner: Ines")

ACCEPTED = (
    a_text(),
    a_text(dogs=f"  - {DOG.replace('20 kg', '44.1 lb')}"),
    a_text(dogs="  - {name: 7, ration: 520 g a day, targets: BARF}"),
    a_text(dogs="  - {name: true, ration: 520 g, targets: {bone: 010.50%, liver: 5 %, other organ: 4 % to 6 %}}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: {pattern: BARF}, caps: {heart: none, fat: 15.5 %}}"),
    a_text(
        dogs="  - {name: A, weight: 5kg, puppy: true, adult_weight: 9 kg, ration: 3% of adult weight, targets: BARF}"
    ),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, away: [2027-02-10, 2027-02-11 to 2027-02-12]}"),
    a_text(dogs="  - {name: A, care: prescription diet, vet_amounts: {kale: 5 g}}"),
    a_text(cuts="  - {cut: kale, code: 0012, pack: 1 kg, price: 2, available: 3, most_per_order: 2}"),
    a_text(cuts="  - {cut: kale, step: 50 g, price: 2.00 EUR per 100 g, available: 3 kg}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, price_breaks: [{from: 5, price: 1.50}], rich: no}"),
    a_text(more="own_cuts: [{cut: mix, species: beef, bone: 0 %, fat: 9 %}]"),
    a_text(more="own_cuts: [{cut: mix, species: [beef, lamb], bone: 0 %, fat: 9 %, made_of: [beef trim]}]"),
    a_text(more="own_cuts: [{cut: mix, species: {beef: 60 %, lamb: unknown}, parts: {muscle: 100 %}, fat: 9 %}]"),
    a_text(more="on_hand: [{cut: chicken neck, weight: 1 kg, bone: 42 %, fat: 8 %, piece: 90 g, rich: no}]"),
    a_text(more="freezer: {room: 120 l, kg_per_litre: 0.5}\nbudget: 150 EUR\nmost_suppliers: 1"),
    a_text(cuts="  - {cut: kale, least: 0.25 lb, price: 2 per lb}"),
    a_text(more=f"most_cuts: 8\nleast_purchase: 100 g\nsuppliers: [{{name: S, trip: 4.00, cuts: [{KALE}]}}]"),
    a_text(more=f"suppliers: [{{name: S, least_purchase: {{least: 4 oz, step: 1 oz}}, cuts: [{KALE}]}}]"),
    a_text(more="variety: {species: 1, each_at_least: 5 %, most_of_one: 100 %}\nunits: lb\ntitle: 3.5"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, meals: 2, kennel: North, ration_by_end: 3 % a day')}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, weight_by_end: 20.5 kg')}", more="all_dogs: {meals: 4}"),
    a_text(cuts="  - {cut: kale, pack: about 2.3 kg, up_to: 2.6 kg, price: 6.20 per kg}"),
    a_text(more="portioning: {}"),
    a_text(more="portioning: {working: tub, scale_step: 0.1 oz, bag_tolerance: 5 %, week_allowance: 0 %, tub: 8 kg}"),
    a_text(more="portioning: {most_a_day: {bone: 25 %, fat: none}, freezes: 10 kg, day: 2027-02-05, scale: 6 kg}"),
    a_text(cuts="  - {cut: turkey neck, pack: 1 kg, price: 2}", more="portioning: {divided: [turkey neck]}"),
    a_text(batch="{starts: 2027-02-06, order_ahead: 0}"),
    a_text(batch='{starts: 2027-02-06, order_ahead: "30"}'),
    a_text(more="labels: a4-3x8-70x37"),
    a_text(more="labels: {sheet: letter-2x5-4x2, left: 0 mm, top: 0.55in}"),
    a_text(more="labels: {paper: A4, width: 70 mm, height: 3.7 cm, columns: 3, rows: 8, left: 0 mm, top: 0.5 mm}"),
    a_text(more="labels: {paper: Letter, width: 2.625 in, height: 1 in, columns: 3, rows: '10', across: 2.75 in}"),
    a_text(more="bone_calcium: 8 %"),
    a_text(more="bone_calcium: {poultry: 2 %, mammal: 8 % to 12 %, kale: 7.5 %}"),
    a_text(more="hold: 20 days"),
    a_text(more="hold: off"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, comes_frozen: 1 day}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, comes_frozen: since 2027-01-10}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, other_food: 350 kcal, vet_asked_for_less: yes')}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, puppy: yes, vet_asked_for_no_bone: yes')}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, other_food: half')}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, other_food: {energy: half}')}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, other_food: {weight: 90 g, analysis: {energy: 380 kcal}}')}"),
    a_text(dogs=f"  - {OWNED}", more="owners: [{name: Ines, freezer: 40 l, collects: 2027-02-06}]"),
    a_text(dogs=f"  - {OWNED}", more="owners: [{name: ines, freezer: {room: 9 kg}}]"),
    a_text(dogs=f"  - {OWNED}", more="on_hand: [{cut: kale, weight: 1 kg, owner: Ines}]"),
    a_text(more='batch: {starts: "2027-02-06", days: "14"}').replace("batch: {starts: 2027-02-06}\n", "", 1),
)

REFUSED = (
    a_text(more="on_hand: books"),
    a_text(dogs="  - {name: , ration: 520 g, targets: BARF}"),
    a_text(dogs="  - {name: null, ration: 520 g, targets: BARF}"),
    a_text(dogs="  - {name: [A], ration: 520 g, targets: BARF}"),
    a_text(dogs="  - {ration: 520 g, targets: BARF}"),
    a_text(dogs="  - {name: A, ration: 520, targets: BARF}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: barf}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: [BARF]}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: {bone: ten}}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: {bone: 0.1}}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: {bone: 8 to 12 %}}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, caps: {heart: 1, liver: 0.5}}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, fat: 12}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, fat: 101 %}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, fat: 100.5 %}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, caps: {heart: 1000 %}}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, fat: 1/8}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 3.10 €}"),
    a_text(more=f"suppliers: [{{name: S, sales_tax: 1, cuts: [{KALE}]}}]"),
    a_text(more="own_cuts: [{cut: mix, species: {beef: 1}, bone: 0 %, fat: 9 %}]"),
    a_text(more="own_cuts: [{cut: mix, species: beef, parts: {muscle: 1}, fat: 9 %}]"),
    a_text(more="variety: {species: 1, each_at_least: 0.05}"),
    a_text(more="on_hand: [{cut: kale, weight: 1 kg, fat: 0.1}]"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, avoid: pork}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, avoid: {pork: 1}}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, caps: [heart]}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, puppy: maybe}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, away: [10 February]}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, colour: red}"),
    a_text(dogs="  {name: A, ration: 520 g, targets: BARF}"),
    a_text(cuts="  - {cut: kale, price: -2}"),
    a_text(cuts="  - {cut: kale, price: 2 per stone}"),
    a_text(cuts="  - {cut: kale, pack: 1, price: 2}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, available: 2.5}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, price_breaks: {from: 5, price: 1.50}}"),
    a_text(more="own_cuts: [{cut: mix, species: {beef: much}, bone: 0 %, fat: 9 %}]"),
    a_text(more="own_cuts: [{cut: mix, species: beef, parts: {meat: 100 %}, fat: 9 %}]"),
    a_text(more="freezer: 60 kg"),
    a_text(dogs=f"  - {OWNED}", more="owners: {name: Ines}"),
    a_text(dogs=f"  - {OWNED}", more="owners: [{name: Ines, freezer: 40}]"),
    a_text(dogs=f"  - {OWNED}", more="owners: [{name: Ines, collects: Saturday}]"),
    a_text(dogs=f"  - {OWNED}", more="on_hand: [{cut: kale, weight: 1 kg, owner: [Ines]}]"),
    a_text(more="budget: 1,50"),
    a_text(more="most_suppliers: two"),
    a_text(more="most_cuts: 0"),
    a_text(more="least_purchase: 100"),
    a_text(more="least_purchase: {least: 100 g, most: 2 kg}"),
    a_text(cuts="  - {cut: kale, least: 2, price: 2 per kg}"),
    a_text(more=f"suppliers: [{{name: S, trip: far, cuts: [{KALE}]}}]"),
    a_text(more="units: stone"),
    a_text(more="variety:"),
    a_text(more="portioning:"),
    a_text(more="portioning: tub"),
    a_text(more="portioning: {working: bowl}"),
    a_text(more="portioning: {scale_step: 5}"),
    a_text(more="portioning: {bag_tolerance: 0.05}"),
    a_text(more="portioning: {most_a_day: {bone: 0.3}}"),
    a_text(more="portioning: {divided: turkey neck}"),
    a_text(more="portioning: {day: tomorrow}"),
    a_text(more="portioning: {colour: red}"),
    a_text(more="bone_calcium: 0.08"),
    a_text(more="bone_calcium: [8 %]"),
    a_text(more="bone_calcium: {mammal: much}"),
    a_text(more="bone_calcium: {mammal: {poultry: 2 %}}"),
    a_text(more="labels:"),
    a_text(more="labels: 70 x 37 mm"),
    a_text(more="labels: [a4-3x8-70x37]"),
    a_text(more="labels: {sheet: 70x37}"),
    a_text(more="labels: {sheet: a4-3x8-70x37, left: 5}"),
    a_text(more="labels: {sheet: a4-3x8-70x37, left: 5 pt}"),
    a_text(more="labels: {paper: a4, width: 70 mm, height: 37 mm, columns: 3, rows: 8}"),
    a_text(more="labels: {paper: A4, width: 2 5/8 in, height: 37 mm, columns: 3, rows: 8}"),
    a_text(more="labels: {paper: A4, width: 70 mm, height: 37 mm, columns: 3, rows: 51}"),
    a_text(more="labels: {paper: A4, width: 70 mm, height: 37 mm, columns: 3, rows: 8, gap: 1 mm}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, meals: 5}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, ration_by_end: 530}"),
    a_text(dogs="  - {name: A, ration: 520 g, targets: BARF, weight_by_end: 9}"),
    a_text(more="all_dogs: {kennel: North}"),
    a_text(cuts="  - {cut: kale, pack: circa 2 kg, price: 2 per kg}"),
    a_text(cuts="  - {cut: kale, pack: about 2 kg, up_to: about 3 kg, price: 2 per kg}"),
    a_text(more="suppliers: [{name: S, price_list: {file: a.csv, names: [a.names.yaml]}}]"),
    a_text(more="suppliers: [{name: S, price_list: {file: a.xlsx, sheet: [Prices]}}]"),
    a_text(more="suppliers: [{name: S, price_list: {sheet: Prices}}]"),
    a_text(more="hold: 20"),
    a_text(more="hold: three weeks"),
    a_text(more="hold:"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, comes_frozen: 20}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, comes_frozen: 2027-01-10}"),
    a_text(cuts="  - {cut: kale, pack: 1 kg, price: 2, comes_frozen: yes}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, other_food: 350')}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, other_food: 350 g')}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, other_food: [350 kcal]')}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, other_food: {kcal: 350 kcal}')}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, vet_asked_for_less: much')}"),
    a_text(dogs=f"  - {DOG.replace('Maple', 'Maple, vet_asked_for_no_bone: a bit')}"),
    a_text().replace("EUR", "euro"),
    a_text().replace(f"dogs:\n  - {DOG}", "dogs: []"),
    a_text(batch="{starts: 2027-02-06, days: 61}"),
    a_text(batch="{days: 14}"),
    a_text(batch="{starts: 2027-02-06, order_ahead: 31}"),
    a_text(batch="{starts: 2027-02-06, order_ahead: 3 days}"),
    a_text(batch="2027-02-06"),
)


@pytest.mark.parametrize("text", ACCEPTED)
def test_what_is_accepted_is_accepted_by_both(
    validator: jsonschema.Draft202012Validator, text: str, tmp_path: Path
) -> None:
    assert [error.message for error in validator.iter_errors(as_editors_load(text))] == []
    reading = reading_of(tmp_path, text)
    assert reading.scenario is not None, reading.findings


def test_what_is_on_hand_may_be_left_to_the_book(validator: jsonschema.Draft202012Validator, tmp_path: Path) -> None:
    text = a_text(more="on_hand: book")
    assert [error.message for error in validator.iter_errors(as_editors_load(text))] == []
    make_entries(tmp_path / "book.sqlite", date(2027, 2, 6), [])
    reading = reading_of(tmp_path, text)
    assert reading.scenario is not None, reading.findings


def test_a_sheet_of_a_workbook_may_be_named(validator: jsonschema.Draft202012Validator, tmp_path: Path) -> None:
    text = a_text(more="suppliers: [{name: S, price_list: {file: a.xlsx, sheet: 2027}}]")
    assert [error.message for error in validator.iter_errors(as_editors_load(text))] == []
    reading = reading_of(tmp_path, text, {"a.xlsx": a_book(name="2027")})
    assert reading.scenario is not None, reading.findings


def test_a_list_of_a_suppliers_own_may_be_named(validator: jsonschema.Draft202012Validator, tmp_path: Path) -> None:
    text = a_text(more="suppliers: [{name: S, price_list: {file: a.csv, names: a.names.yaml}}]")
    assert [error.message for error in validator.iter_errors(as_editors_load(text))] == []
    reading = reading_of(tmp_path, text, {"a.csv": LIST.encode(), "a.names.yaml": NAMES.encode()})
    assert reading.scenario is not None, reading.findings
    assert {offer.item for offer in reading.scenario.offers} >= {"Hälse", "Abschnitte", "Niere", "Grünkohl"}


@pytest.mark.slow
@pytest.mark.parametrize("text", REFUSED)
def test_what_is_refused_is_refused_by_both(
    validator: jsonschema.Draft202012Validator, text: str, tmp_path: Path
) -> None:
    assert not validator.is_valid(as_editors_load(text))
    assert reading_of(tmp_path, text).scenario is None


@pytest.mark.slow
@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake.name)
def test_a_mistake_of_shape_is_seen_by_the_schema_and_one_of_sense_is_not(
    validator: jsonschema.Draft202012Validator, mistake: Mistake
) -> None:
    try:
        loaded = as_editors_load(SOUND_TEXT.replace(mistake.find, mistake.put))
    except (yaml.YAMLError, ValueError):
        assert mistake.expected.split("@")[0] in {"broken-yaml", "control-character", "second-document", "tag"}
        return
    slug = mistake.expected.split("@")[0]
    if slug in SHAPE:
        assert not validator.is_valid(loaded)
    if slug in SENSE:
        assert validator.is_valid(loaded)


def _patterns(shape: Any) -> list[str]:
    """Every pattern in a part of the schema."""
    if isinstance(shape, list):
        return [one for each in shape for one in _patterns(each)]
    if not isinstance(shape, dict):
        return []
    found = [shape["pattern"]] if isinstance(shape.get("pattern"), str) else []
    return found + [one for each in shape.values() for one in _patterns(each)]


def test_every_pattern_is_of_the_whole_text() -> None:
    patterns = _patterns(scenario_schema())
    assert len(patterns) > 10
    for pattern in patterns:
        inner, count = re.sub(r"\\.|\[[^\]]*\]", "", pattern), 1
        while count:
            inner, count = re.subn(r"\([^()]*\)", "", inner)
        assert "|" not in inner, pattern
