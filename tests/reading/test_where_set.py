"""Where rules are set: the line of each, for all dogs and for one.

**Source:** the lines of the file in the test.
"""

from pathlib import Path

from raworder.reading.scenario_file import read_scenario

TEXT = """currency: EUR
batch: {starts: 2027-02-06, days: 14}
all_dogs: {targets: prey model, caps: {Heart: 10 %}}
dogs:
  - {name: Maple, weight: 22 kg, ration: 2.5 %}
  - {name: Juniper, weight: 9 kg, ration: 2.5 %, targets: BARF, caps: {fat: 12 %}}
cuts:
  - {cut: beef trim, price: 6.20 per kg}
freezer: {room: 12 kg}
budget: 60.00
most_suppliers: 1
most_cuts: 3
portioning: {least_portion: 20 g}
"""


def test_every_rule_that_is_written_is_found_at_its_line(tmp_path: Path) -> None:
    file = tmp_path / "invented.yaml"
    file.write_text(TEXT, encoding="utf-8")
    scenario = read_scenario(file).scenario
    assert scenario is not None
    assert {key: place.line for key, place in scenario.places} == {
        "budget": 10,
        "supplier_count": 11,
        "cut_count": 12,
        "room": 9,
        "least_portion": 13,
        "targets": 3,
        "caps heart": 3,
        "Juniper: targets": 6,
        "Juniper: caps fat": 6,
    }
    assert all(place.file.endswith("invented.yaml") for _, place in scenario.places)
