"""No rule is forgotten: each table by rule key has every rule of the rulebook, or the reason why not is listed here.

What is no such table in the package must not dispatch by rule key at all.
**Source:** the house's own register; no outside source.
"""

import ast
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from raworder.auditing.checks import JUDGES
from raworder.giving_way.family import FAMILY
from raworder.portioning.bag_problem import BAG_BUILDERS
from raworder.reading import scenario_file
from raworder.solving.constraints import BUILDERS
from raworder.solving.sharing import GIVING_WAY
from raworder.trade.rulebook import RULES

PACKAGE = Path(__file__).resolve().parents[2] / "raworder"
KEYS = [rule.key for rule in RULES]
NEVER_GIVES_WAY: Mapping[str, str] = {
    "ration": "the amount of food is never changed",
    "bag_weight": "the amount of food is never changed",
    "vet_amount": "a veterinarian gave it",
    "avoid": "what a dog must not eat is never fed",
    "supplement": "how much may be given a day is not ours to say",
    "supply": "arithmetic asks for nothing that could be less",
    "own_stock": "nobody may give away what is another's",
    "bill": "arithmetic asks for nothing that could be less",
    "bag_sum": "arithmetic asks for nothing that could be less",
    "scale_step": "the scale shows no less",
    "price_break": "it says what is charged, and forbids nothing",
    "delivery": "it says what is charged, and forbids nothing",
    "week_cap": "it gives way with the allowance of `week_share`",
}


@dataclass(frozen=True)
class Table:
    """The rules that a table has, and why others are not in it."""

    rules: Collection[str]
    left_out: Mapping[str, str] = field(default_factory=dict)


TABLES: Mapping[str, Table] = {
    "solving.constraints.BUILDERS, portioning.bag_rules.BAG_BUILDERS": Table([*BUILDERS, *BAG_BUILDERS]),
    "auditing.checks.JUDGES": Table(JUDGES),
    "giving_way.family.FAMILY": Table(FAMILY, NEVER_GIVES_WAY),
    "reading.scenario_file.FIELDS, FIELDS_OF_BAGS": Table(
        [rule for _, rule in (*scenario_file.FIELDS, *scenario_file.FIELDS_OF_BAGS)],
        {
            **dict.fromkeys(
                ("part_share", "cap", "nutrient", "nutrient_ratio", "resting_energy"), "found by dog, under its own key"
            ),
            **dict.fromkeys(
                ("minimum_order", "pack_count", "least_purchase"), "the supplier and the offer know their own line"
            ),
            **dict.fromkeys(NEVER_GIVES_WAY, "it is never told to clash, so nobody asks where it is set"),
        },
    ),
    "solving.sharing.GIVING_WAY": Table(
        GIVING_WAY,
        {
            **dict.fromkeys(
                ("nutrient", "nutrient_ratio", "avoid", "hold", "vet_amount", "ration", "supplement"), "health"
            ),
            **dict.fromkeys(("whole_pieces", "least_portion", "variety"), "pieces are shared out so that it holds"),
            **dict.fromkeys(
                (
                    "supply",
                    "pack_count",
                    "least_purchase",
                    "price_break",
                    "supplier_count",
                    "cut_count",
                    "delivery",
                    "minimum_order",
                    "bill",
                    "room",
                ),
                "what is bought is fixed by then",
            ),
            "budget": "what is bought is fixed by then",
            "own_stock": "nobody may give away what is another's",
            **dict.fromkeys(
                ("bag_sum", "scale_step", "bag_weight", "week_share", "week_cap", "day_most"), "bags are filled later"
            ),
        },
    ),
}
"""Every table of the package by rule key; those that only together have all rules stand together."""

NO_TABLES: Mapping[str, str] = {
    "giving_way.bag_demands": "the fields of `portioning`, two of which are named as rules are"
}
"""Modules whose words look like a table of rules and are none, with the reason."""


def forgotten(table: Table) -> Iterator[str]:
    """What is wrong with a table: rules neither in it nor left out, rules in both, and keys that are no rule's."""
    for key in KEYS:
        if (key in table.rules) is (key in table.left_out):
            yield f"{key}: {'is in it and left out' if key in table.rules else 'is neither in it nor left out'}"
    yield from (f"{key}: is no rule" for key in (*table.rules, *table.left_out) if key not in KEYS)
    yield from (f"{key}: has no reason" for key, reason in table.left_out.items() if not reason)


def tables_in(text: str) -> list[str]:
    """The names that a module gives to displays with two rule keys or more among their keys or items."""
    found = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            names = [ast.unparse(one) for one in (node.targets if isinstance(node, ast.Assign) else [node.target])]
            found += names if any(len(_keys_of(each)) > 1 for each in ast.walk(node.value)) else []
    return found


def dispatches_in(text: str) -> list[int]:
    """The lines at which something's rule is compared, matched or looked up in place of asking the thing itself."""
    tree = ast.parse(text)
    compared = [
        one for node in ast.walk(tree) if isinstance(node, ast.Compare) for one in (node.left, *node.comparators)
    ]
    matched = [node.subject for node in ast.walk(tree) if isinstance(node, ast.Match)]
    looked_up = [node.slice for node in ast.walk(tree) if isinstance(node, ast.Subscript)]
    got = [one for node in ast.walk(tree) if isinstance(node, ast.Call) for one in node.args[:1] if _is_get(node)]
    return [
        one.lineno
        for one in (*compared, *matched, *looked_up, *got)
        if isinstance(one, ast.Attribute) and one.attr == "rule"
    ]


def _is_get(call: ast.Call) -> bool:
    """Whether it is a look-up in a mapping; a demand may look up where its own rule is set."""
    looks_up = isinstance(call.func, ast.Attribute) and call.func.attr in {"get", "setdefault"}
    return looks_up and ast.unparse(call.args[0]) != "self.rule"


def _keys_of(node: ast.AST) -> set[str]:
    """The rule keys among the keys of a dict, or the items, and items of items, of another display."""
    items: list[ast.expr | None] = []
    if isinstance(node, ast.Dict):
        items = node.keys
    elif isinstance(node, ast.Set | ast.Tuple | ast.List):
        items = [one for each in node.elts for one in (each.elts if isinstance(each, ast.Tuple) else [each])]
    return {str(one.value) for one in items if isinstance(one, ast.Constant)} & set(KEYS)


def _each_module(look: Callable[[str], object]) -> dict[str, object]:
    """What is seen in each module of the package, by its name, where anything is."""
    seen = {path: look(path.read_text(encoding="utf-8")) for path in sorted(PACKAGE.rglob("*.py"))}
    return {".".join(path.relative_to(PACKAGE).with_suffix("").parts): found for path, found in seen.items() if found}


@pytest.mark.parametrize("table", TABLES.values(), ids=TABLES)
def test_every_rule_is_in_every_table_or_says_why_not(table: Table) -> None:
    assert list(forgotten(table)) == []


@pytest.mark.parametrize("name", TABLES)
@pytest.mark.parametrize("key", KEYS)
def test_a_rule_that_is_taken_out_of_a_table_is_missed(name: str, key: str) -> None:
    table = TABLES[name]
    rules = [rule for rule in table.rules if rule != key]
    left_out = {rule: reason for rule, reason in table.left_out.items() if rule != key}
    assert list(forgotten(Table(rules, left_out))) == [f"{key}: is neither in it nor left out"]


def test_there_is_no_table_of_rules_beside_those_that_are_listed() -> None:
    listed = ", ".join(TABLES)
    for module, names in _each_module(tables_in).items():
        known = module in NO_TABLES or module == "rulebook" or module in listed
        assert known, f"{module}: {names} is a table by rule key; list it, or let the demand know"


def test_no_module_asks_which_rule_a_thing_is_of() -> None:
    assert _each_module(dispatches_in) == {}


@pytest.mark.parametrize(
    "text",
    ["WORDS = {'part_share': 1, 'cap': 2}", "OF: frozenset[str] = frozenset({'week_share', 'day_most'})",
     "FIELDS = (('a', 'whole_pieces'), ('b', 'day_most'))"],
)  # fmt: skip
def test_a_new_table_of_rules_is_seen(text: str) -> None:
    assert tables_in(text)


@pytest.mark.parametrize(
    "line",
    ["a = one.demand.rule == 'cap'", "a = one.rule in OF", "match one.rule:\n    case 'cap': pass",
     "a = WORDS[one.rule]", "a = WORDS.get(one.rule, 0)"],
)  # fmt: skip
def test_a_new_dispatch_by_rule_is_seen(line: str) -> None:
    assert dispatches_in(line) == [1]
