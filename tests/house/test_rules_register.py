"""One rule, one key: the law, the builders, the judge, the picture and the help hold the same keys in the same order.

**Source:** the house's own register; no outside source.
"""

import re
from pathlib import Path

from raworder.auditing.checks import JUDGES
from raworder.commands.lookup import TABLES
from raworder.portioning.bag_problem import BAG_BUILDERS
from raworder.reading.help_pages import read_topic
from raworder.solving.constraints import BUILDERS
from raworder.trade.document import Table
from raworder.trade.rulebook import RULES, rule_of

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / "tests" / "golden" / "constraints"
KEYS = [rule.key for rule in RULES]
OF_BAGS_ALONE = [key for key in BAG_BUILDERS if key not in BUILDERS]
OF_BAGS_TOO = [key for key in BAG_BUILDERS if key in BUILDERS]
"""Rules about orders that are about bags as well: each of their builders says its own half of the law."""


def test_no_key_stands_twice_in_the_rulebook() -> None:
    assert len(set(KEYS)) == len(KEYS)


def test_builders_of_orders_and_then_those_of_bags_hold_the_keys_of_the_rulebook_in_its_order() -> None:
    assert [*BUILDERS, *OF_BAGS_ALONE] == KEYS


def test_builders_of_bags_hold_their_keys_in_the_order_of_the_rulebook() -> None:
    assert list(BAG_BUILDERS) == [key for key in KEYS if key in BAG_BUILDERS]
    assert OF_BAGS_TOO == ["least_portion"]


def test_judges_hold_the_keys_of_the_rulebook_in_its_order() -> None:
    assert list(JUDGES) == KEYS


def test_builders_and_judges_are_named_by_their_keys() -> None:
    assert [builder.__name__ for builder in BUILDERS.values()] == list(BUILDERS)
    assert [builder.__name__ for builder in BAG_BUILDERS.values()] == list(BAG_BUILDERS)
    assert [judge.__name__ for judge in JUDGES.values()] == KEYS


def test_a_builder_of_orders_says_in_one_sentence_what_the_law_says() -> None:
    keys = [key for key in BUILDERS if key not in BAG_BUILDERS]
    assert [_first_line(BUILDERS[key]) for key in keys] == [rule_of(key).says for key in keys]


def test_a_rule_of_bags_is_said_as_the_law_says_it_by_its_builder_or_its_judge() -> None:
    """A builder for bags of one dog may say just what it asks of them."""
    for key in OF_BAGS_ALONE:
        assert rule_of(key).says in {_first_line(BAG_BUILDERS[key]), _first_line(JUDGES[key])}, key


def test_every_builder_says_what_it_demands_in_a_sentence() -> None:
    for builder in (*BUILDERS.values(), *BAG_BUILDERS.values()):
        assert re.fullmatch(r"[A-Z].{20,}\.", _first_line(builder)), builder.__name__


def test_every_rule_has_its_picture_and_there_are_no_others() -> None:
    pictures = [f"{key}.txt" for key in KEYS] + [f"{key}_of_bags.txt" for key in OF_BAGS_TOO]
    assert sorted(picture.name for picture in PICTURES.iterdir()) == sorted(pictures)


def test_every_rule_has_its_sentence_its_maths_its_units_and_its_source() -> None:
    assert all(all((rule.says, rule.maths, rule.units, rule.source)) for rule in RULES)
    assert [rule_of(key) for key in KEYS] == list(RULES)


def test_the_help_has_a_row_for_every_rule_in_the_order_of_the_rulebook() -> None:
    table = next(block for block in read_topic("rules", lambda name: TABLES[name]()).blocks if isinstance(block, Table))
    assert list(table.rows) == [(rule.key, rule.says) for rule in RULES]


def _first_line(said: object) -> str:
    return (said.__doc__ or "").splitlines()[0]
