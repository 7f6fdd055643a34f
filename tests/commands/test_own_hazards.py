"""Food that a person describes gets its word: it is refused, or its danger stands in the cautions. All is invented."""

from pathlib import Path

import pytest

from tests.commands.running import told

OWN = """currency: EUR
batch: {starts: 2027-03-06, days: 7}
dogs:
  - {name: Maple, weight: 20 kg, ration: 2.5 %, targets: {muscle: 80 % to 100 %, vegetables: 0 % to 20 %}}
own_cuts:
  - {cut: hare minced, parts: {muscle: 100 %}, fat: 3 %, species: hare}
  - {cut: bear steak, parts: {muscle: 100 %}, fat: 8 %, species: bear}
  - {cut: WORD, parts: {vegetables: 100 %}, fat: 0 %, species: plant}
cuts:
  - {cut: hare minced, pack: 1 kg, price: 1.00, most_per_order: 2}
  - {cut: bear steak, pack: 1 kg, price: 1.00, most_per_order: 2}
  - {cut: beef round, price: 6.00 per kg}
"""


def test_bear_and_hare_are_warned_of_and_are_no_new_species(tmp_path: Path) -> None:
    path = tmp_path / "own.yaml"
    path.write_text(OWN.replace("WORD", "marrow"), encoding="utf-8")
    ended = told("plan", path, "--paper", "cautions")
    assert (ended.code, ended.stderr) == (0, "")
    words = " ".join(ended.stdout.split())
    assert "Bear steak: take only meat that was examined for Trichinella, as freezing is no cure [1]." in words
    assert "Hare minced: ask for game shot without lead [2]." in words
    assert "Hare minced: wear gloves to cut it up, and feed no organs of hare" in words
    assert "Brucella suis" in words
    assert "tularaemia" in words


@pytest.mark.parametrize("word", ["rhubarb leaf", "raw potato green", "cherry with stones", "rawhide chew"])
def test_what_is_dangerous_in_any_order_of_words_is_refused(tmp_path: Path, word: str) -> None:
    path = tmp_path / "own.yaml"
    path.write_text(OWN.replace("WORD", word), encoding="utf-8")
    ended = told("plan", path)
    assert ended.code == 2
    assert f"`{word}` names food that is dangerous to dogs" in ended.stderr
