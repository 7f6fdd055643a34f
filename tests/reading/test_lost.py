"""Names in entries that are in error for another reason are looked up in the same run."""

from pathlib import Path

from raworder.reading.scenario_file import read_scenario
from tests.reading.written import a_text, reading_of, slugs

FRAME = """currency: EUR
batch: {{starts: 2027-02-06}}
dogs:
  - {{name: Maple, weight: 22, ration: 2.5 %, targets: prey model, avoid: [{avoid}]}}
cuts:
  - {{cut: {cut}, pack: 1 kg, price: 2,40}}
"""


def told(tmp_path: Path, *, avoid: str = "pork", cut: str = "chicken neck") -> str:
    path = tmp_path / "scenario.yaml"
    path.write_text(FRAME.format(avoid=avoid, cut=cut), encoding="utf-8")
    return " ".join(f"{one.slug}@{one.place.line}:{one.place.column}" for one in read_scenario(path).findings)


def test_known_names_add_nothing(tmp_path: Path) -> None:
    assert told(tmp_path) == "no-unit@4:27 comma-in-number@6:44"


def test_an_unknown_cut_in_a_line_with_a_bad_price_is_told_too(tmp_path: Path) -> None:
    assert told(tmp_path, cut="chicken nek").split() == ["no-unit@4:27", "unknown-cut@6:11", "comma-in-number@6:43"]


def test_a_toxic_food_in_a_line_with_a_bad_price_is_told_too(tmp_path: Path) -> None:
    assert "toxic-food@6:11" in told(tmp_path, cut="garlic")


def test_an_unknown_word_of_a_dog_without_a_unit_is_told_too(tmp_path: Path) -> None:
    assert "unknown-word@4:75" in told(tmp_path, avoid="porc")
    assert "unknown-word" not in told(tmp_path, avoid="whole bone, poultry, fish")


def test_what_may_stand_on_a_list_that_is_not_there_is_not_missed(tmp_path: Path) -> None:
    more = "suppliers:\n  - {name: Hollow Lane, price_list: gone.csv}\nportioning: {divided: [turkey neck]}\n"
    assert slugs(reading_of(tmp_path, a_text(more=more))) == ["no-such-file"]


def test_what_nobody_knows_in_an_own_cut_is_told_and_what_is_toxic_as_that(tmp_path: Path) -> None:
    own = "own_cuts:\n  - {{cut: my mix, made_of: [beef trim, {}], parts: {{muscle: 100 %}}, fat: 10 %}}\n"
    assert slugs(reading_of(tmp_path, a_text(more=own.format("moon cheese")))) == ["unknown-cut"]
    assert slugs(reading_of(tmp_path, a_text(more=own.format("garlic")))) == ["toxic-food"]
