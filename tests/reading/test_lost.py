"""Names in entries that are in error for another reason are looked up in the same run."""

from pathlib import Path

from raworder.reading.scenario import read_scenario

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
