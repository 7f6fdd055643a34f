"""One rule, one key: the law, the builder, the judge and the picture hold the same keys in the same order.

**Source:** the house's own register; no outside source.
"""

from pathlib import Path

from raworder.auditing.checks import JUDGES
from raworder.rulebook import RULES, rule_of
from raworder.solving.constraints import BUILDERS

PICTURES = Path(__file__).resolve().parents[1] / "golden" / "constraints"
KEYS = [rule.key for rule in RULES]


def test_no_key_stands_twice_in_the_rulebook() -> None:
    assert len(set(KEYS)) == len(KEYS)


def test_builders_hold_the_keys_of_the_rulebook_in_its_order() -> None:
    assert list(BUILDERS) == KEYS


def test_judges_hold_the_keys_of_the_rulebook_in_its_order() -> None:
    assert list(JUDGES) == KEYS


def test_builders_and_judges_are_named_by_their_keys() -> None:
    assert [builder.__name__ for builder in BUILDERS.values()] == KEYS
    assert [judge.__name__ for judge in JUDGES.values()] == KEYS


def test_a_builder_says_in_one_sentence_what_the_law_says() -> None:
    assert [(builder.__doc__ or "").splitlines()[0] for builder in BUILDERS.values()] == [rule.says for rule in RULES]


def test_every_rule_has_its_picture_and_there_are_no_others() -> None:
    assert sorted(picture.name for picture in PICTURES.iterdir()) == sorted(f"{key}.txt" for key in KEYS)


def test_every_rule_has_its_sentence_its_maths_its_units_and_its_source() -> None:
    assert all(all((rule.says, rule.maths, rule.units, rule.source)) for rule in RULES)
    assert [rule_of(key) for key in KEYS] == list(RULES)
