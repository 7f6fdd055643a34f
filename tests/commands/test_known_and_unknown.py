"""What is known and what is not, from the scenario's text to what a person reads.

All names and prices are invented; the foods are those of the shipped tables, which know herring, and an own cut
of which nothing is known but its fat. **Source:** the expected words are the promise itself; no outside source.
"""

from pathlib import Path

import pytest

from tests.commands.running import told

HEAD = "currency: EUR\nbatch: {starts: 2027-03-06, days: 14}\nleast_purchase: {least: 1 g, step: 1 g}\n"
ORGANS = "  - {cut: lamb liver, price: 4.00 per kg}\n  - {cut: lamb spleen, price: 4.00 per kg}\n"

SARDINES = f"""{HEAD}hold: off
all_dogs: {{targets: prey model, caps: {{sardine: 30 %}}}}
portioning: {{divided: [whole pilchards, chicken wing]}}
own_cuts:
  - {{cut: whole pilchards, species: sardine, kind: whole fish, parts: {{muscle: 88 %, bone: 12 %}}, fat: 2.9 %}}
dogs:
  - {{name: Chi, weight: 2.5 kg, ration: 2.5 %, vet_asked_for_less: yes}}
  - {{name: Toy, weight: 4 kg, ration: 2.5 %, vet_asked_for_less: yes, activity: low}}
cuts:
  - {{cut: chicken wing, price: 3.00 per kg}}
  - {{cut: whole pilchards, price: 2.00 per kg}}
  - {{cut: turkey mince, price: 6.00 per kg}}
{ORGANS}"""

BONY = f"""{HEAD}hold: off
bone_calcium: 8 %
dogs:
  - name: Giant
    weight: 20 kg
    puppy: yes
    adult_weight: 60 kg
    ration: 1964 kcal
    targets: {{muscle: 60 % to 95 %, bone: 12 % to 22 %, liver: 4 % to 6 %, other organ: 4 % to 6 %}}
cuts:
  - {{cut: lamb rib, price: 2.00 per kg}}
  - {{cut: beef round, price: 6.00 per kg}}
{ORGANS}"""

HERRINGS = f"""{HEAD}hold: off
all_dogs:
  caps: {{thiaminase: none}}
  nutrients: {{vitamin D: at least 5 ug per 1000 kcal, thiamin: at most 9 mg per 1000 kcal}}
dogs:
  - name: Fin
    weight: 15 kg
    ration: 110 kcal/kg^0.75
    profile: FEDIAF adult 110
    targets: {{muscle: 70 % to 95 %, bone: 4 % to 14 %, liver: 3 % to 6 %, other organ: 3 % to 6 %}}
portioning: {{divided: [chicken back, herring whole]}}
cuts:
  - {{cut: herring whole, price: 2.00 per kg}}
  - {{cut: chicken back, price: 2.00 per kg}}
{ORGANS}"""


def words(folder: Path, command: str, text: str, *options: str) -> str:
    """What a command prints, in one line."""
    path = folder / "scenario.yaml"
    path.write_text(text, encoding="utf-8")
    ended = told(command, path, *options)
    assert ended.code == 0, ended.stderr
    return " ".join(ended.stdout.split())


@pytest.mark.slow
@pytest.mark.parametrize("dog", ["Chi", "Toy"])
def test_small_dogs_fed_sardines_stay_on_the_line_on_energy_and_in_the_cautions(tmp_path: Path, dog: str) -> None:
    told_of = words(tmp_path, "plan", SARDINES, "--all")
    assert f"{dog} energy known of 70 % of its food: at least " in told_of
    assert "Whether Chi and Toy get enough is not known: the energy is known of too little of the food." in told_of
    sheet = words(tmp_path, "nourish", SARDINES, "--all")
    assert f"{dog}'s energy is known of 70 % of its food, not of whole pilchards: at least " in sheet


@pytest.mark.slow
def test_a_stated_eight_percent_of_calcium_is_no_range_of_others(tmp_path: Path) -> None:
    sheet = words(tmp_path, "nourish", BONY, "--all")
    assert "are counted at 8.0 % calcium in bone of mammals, as stated." in sheet
    assert "4.4 to" not in sheet
    assert "above or below" not in sheet


@pytest.mark.slow
def test_thiamin_beside_herring_is_not_known_in_the_profile_and_under_a_most(tmp_path: Path) -> None:
    sheet = words(tmp_path, "nourish", HERRINGS, "--all")
    rows = [line for line in sheet.split("thiamin")[1:] if "not known: destroyed" in line[:80]]
    assert len(rows) == 1
    assert "Fin: rules that you set" in sheet
    assert "vitamin D at least 5 ug per 1000 kcal" in sheet
    assert "thiamin at most 9 mg per 1000 kcal" in sheet


THIAMIN = (
    HERRINGS.replace("vitamin D: at least 5 ug per 1000 kcal, thiamin: at most 9 mg", "thiamin: at least 0.3 mg")
    + "  - {cut: beef round, price: 6.00 per kg}\n"
)


@pytest.mark.slow
def test_a_rule_that_asks_for_thiamin_leaves_the_herring_out_and_says_so(tmp_path: Path) -> None:
    sheet = words(tmp_path, "nourish", THIAMIN, "--all")
    assert "herring" not in sheet
    (rule,) = sheet.split("thiamin at least 0.3 mg per 1000 kcal")[1:]
    assert rule.split()[4:7] == ["%", "meets", "it"]
    said = " ".join(told("nourish", tmp_path / "scenario.yaml").stderr.split())
    assert "warning[destroys-what-is-asked]: `herring whole` can destroy thiamin, which a rule asks for" in said


@pytest.mark.slow
def test_where_nothing_but_herring_is_left_the_rule_and_its_cuts_are_named(tmp_path: Path) -> None:
    path = tmp_path / "scenario.yaml"
    without = [line for line in THIAMIN.splitlines() if "chicken back, price" not in line]
    path.write_text("\n".join(without), encoding="utf-8")
    ended = told("reasons", path)
    assert ended.code == 1
    said = " ".join(ended.stdout.split())
    assert (
        "Fin must get bone, but the cuts that contain it and that may be eaten (herring whole) can destroy thiamin, "
        "which a rule asks for: add another cut with bone, or take that rule out."
    ) in said
    assert "nothing is asked of thiamin" in said
