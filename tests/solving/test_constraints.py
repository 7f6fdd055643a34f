"""The picture of every rule: the algebra that its builder writes for the small scenario, one line per constraint.

**Source:** the golden files were read line by line beside the rulebook's maths when they were written; some lines are
worked out by hand below. Rewritten only by `--write-golden`.
"""

from collections.abc import Callable
from pathlib import Path

import pulp
import pytest

from raworder.solving.constraints import BUILDERS
from raworder.solving.problem import pose
from tests.builders import SMALL

PICTURES = Path(__file__).resolve().parents[1] / "golden" / "constraints"
SENSES = {-1: "<=", 0: "=", 1: ">="}


def algebra(key: str) -> list[str]:
    """What a builder writes for the small scenario: `name: terms sense right-hand side`."""
    return [
        f"{name}: {_terms(rule)} {SENSES[rule.sense]} {0.0 - rule.constant:.6g}"
        for name, rule in BUILDERS[key](pose(SMALL))
    ]


def _terms(rule: pulp.LpConstraint) -> str:
    """The terms in the order that the builder wrote them; a factor of one is not shown."""
    signs = ["-" if factor < 0 else "+" for factor in rule.values()]
    sizes = ["" if abs(factor) == 1 else f"{abs(factor):.6g} " for factor in rule.values()]
    terms = [f"{sign} {size}{one.name}" for sign, size, one in zip(signs, sizes, rule, strict=True)]
    return " ".join(terms).removeprefix("+ ")


@pytest.mark.parametrize("key", BUILDERS)
def test_a_builder_writes_the_algebra_of_its_picture(key: str, golden: Callable[[Path, str], None]) -> None:
    golden(PICTURES / f"{key}.txt", "".join(f"{line}\n" for line in algebra(key)))


@pytest.mark.parametrize("key", BUILDERS)
def test_every_rule_has_something_to_say_about_the_small_scenario(key: str) -> None:
    assert algebra(key)


@pytest.mark.parametrize("key", BUILDERS)
def test_names_of_constraints_begin_with_the_key_of_their_rule_and_are_safe(key: str) -> None:
    names = [line.partition(":")[0] for line in algebra(key)]
    assert all(name == key or name.startswith(f"{key}_") for name in names)
    assert all(set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789_") for name in names)
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("key", "line"),
    [
        # 500 g and 250 g a day for 14 days
        ("ration", "= 7"),
        ("ration", "= 3.5"),
        # beef heart on hand: 500 + 700 g; packs of 500 g
        ("supply", "left_beef_heart - 0.5 buy_heart_from_1 - 0.5 buy_heart_from_4 = 1.2"),
        # 12.5 kg of room, 0.625 + 1.2 kg on hand
        ("room", "<= 10.675"),
        # 7 % on 1.90, 6.20 and 5.80
        ("bill", "- 2.033 buy_liver - 0.0107 billed_trim"),
        # a fifth of 7 kg
        ("variety", "- 1.4 chosen_maple_beef >= 0"),
        # heart: 10 % of 10.5 kg can be eaten, three packs, but the price step begins at four
        ("delivery", "delivery_use_heart: buy_heart_from_1 + buy_heart_from_4 - 4 use_tidewell_farm <= 0"),
        # liver: 50 EUR, from which delivery is free, are reached with 27 packs at 1.90
        ("pack_count", "pack_count_liver: buy_liver <= 27"),
        # neck: 12 % bone at 0.4 is 30 % of 10.5 kg, 3.15 kg, four packs
        ("pack_count", "pack_count_neck: buy_neck <= 4"),
        # trim: no species above 75 % of 10.5 kg is 7.875 kg, and 1 kg for the patient
        ("pack_count", "pack_count_trim: buy_trim_from_1 + buy_trim_from_5000 <= 8.875"),
    ],
)
def test_the_algebra_holds_what_was_worked_out_by_hand(key: str, line: str) -> None:
    assert any(line in one for one in algebra(key))
