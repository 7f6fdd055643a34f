"""The audit shares nouns with the model and neither a sum nor a decision: two truths, not one that is asked twice.

**Source:** the house's own rules, told in the contributor's guide; no outside source.
"""

import ast
import importlib
import inspect
from collections.abc import Iterator
from pathlib import Path
from types import FunctionType
from typing import Any

import pytest

import raworder.auditing
from raworder.auditing.checks import JUDGES, audit
from raworder.auditing.facts_audit import FACT_JUDGES, audit_facts
from raworder.auditing.what_counts import forbidden
from raworder.trade.as_fed import as_fed
from tests.auditing.bagged import FORTNIGHT, FORTNIGHT_PLAN, TUBS, TUBS_PLAN
from tests.auditing.test_checks import BROKEN
from tests.auditing.test_facts_audit import BROKEN as BROKEN_FACTS
from tests.builders import SMALL, SMALL_PLAN
from tests.house.floors import Source, imports, source
from tests.supplemented import SUPPLEMENTED, SUPPLEMENTED_PLAN

SOURCES = sorted(Path(raworder.auditing.__path__[0]).glob("*.py"))
DECIDERS = frozenset(
    {
        "share_in", "touches", "part_share", "known_share_of", "species_names", "kcal_per_g", "whole_piece_g",
        "avoids", "goes_without", "needs_kept", "destroys", "counts_energy", "refuses", "takes_supplements",
        "free_grams", "batch_kcal", "need_weight_g", "solved_by_groups",
        "shares_pieces", "step_for", "to_the_gram", "grams_of", "minor", "rounded_down", "rounded_up", "dog_days",
        "keeping_of", "portioned_on", "ends", "freeze_days", "feed_by", "freezer_g", "late",
        "resting_due_kcal", "resting_density", "due_from_plan", "with_plan", "waits", "held_days", "frozen_for_days",
    }
)  # fmt: skip
"""Methods and properties of the nouns by which the model decides or reckons.

`Journey.frozen_days` is called as what an offer stores; the audits below that silence the nouns see to it.
"""

CALLED = frozenset({"most_a_day", "species", "on_hand_g", "total", "frozen_on"})
"""The same, where something that is stored is called so too: it may be read, not called."""

MODEL = (
    "raworder.solving", "raworder.portioning", "raworder.nourishing", "raworder.reporting",
    "raworder.trade.rounding", "raworder.trade.as_fed", "raworder.trade.cuts.freeze_first",
)  # fmt: skip
FOR_WORDS = "raworder.trade.rounding.half_up"
"""Numbers in the words of a breach are rounded by it, none that is held against another."""

NOUNS = ("cuts", "dogs", "bags", "scenario", "batch_facts", "plan", "nutrients", "units")
WORDS = frozenset({("Currency", "text"), ("Place", "told")})
"""What only says something in words."""


def shared(one: Source) -> Iterator[str]:
    """What a module of the audit takes from the model, or lets a noun decide for it."""
    for found in imports(one):
        if found.name.startswith(MODEL) and found.name != FOR_WORDS:
            yield f"{one.module}:{found.line}: imports {found.name}"
    for node in ast.walk(one.tree):
        if isinstance(node, ast.Attribute) and node.attr in DECIDERS:
            yield f"{one.module}:{node.lineno}: lets `{node.attr}` decide"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in CALLED:
            yield f"{one.module}:{node.lineno}: lets `{node.func.attr}` reckon"


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.name)
def test_the_audit_takes_nothing_from_the_model_and_lets_no_noun_decide(path: Path) -> None:
    assert list(shared(source(f"raworder.auditing.{path.stem}", path.read_text(encoding="utf-8")))) == []


@pytest.mark.parametrize(
    "text",
    [
        "from raworder.solving.problem import Problem",
        "def f():\n    from raworder.portioning import needs",
        "from raworder.trade.as_fed import as_fed",
        "from raworder.trade.rounding import apportion",
        "x = subject.share_in(cut)",
        "x = counted(cuts, subject.share_in)",
        "x = scenario.shares_pieces",
        "x = dog.most_a_day(portioning)",
        "x = scenario.species()",
    ],
)
def test_what_is_shared_is_complained_about_once(text: str) -> None:
    assert len(list(shared(source("raworder.auditing.sample", text)))) == 1


def test_what_is_stored_may_be_read() -> None:
    text = "from raworder.trade.dogs import Dog\nx = portioning.most_a_day\ny = cut.species\nz = cut.fat_share"
    assert list(shared(source("raworder.auditing.sample", text))) == []


def computed() -> Iterator[tuple[Any, str]]:
    """Every method and property of a noun, by its class, but for those that only say something."""
    for name in NOUNS:
        module = importlib.import_module(f"raworder.trade.{name}")
        for one in vars(module).values():
            if inspect.isclass(one) and one.__module__ == module.__name__:
                for member, value in vars(one).items():
                    is_ours = isinstance(value, property | FunctionType) and not member.startswith("__")
                    if is_ours and (one.__name__, member) not in WORDS:
                        yield one, member


def test_the_deciders_are_methods_and_properties_of_the_nouns() -> None:
    assert {member for _, member in computed()} >= DECIDERS | CALLED


def silenced(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nouns that hold what is stored and refuse to reckon, and numbers that are told as nothing."""

    def refuse(*given: Any) -> Any:
        raise AssertionError(f"the audit lets {type(given[0]).__name__} reckon")

    for one, member in computed():
        is_property = isinstance(vars(one)[member], property)
        monkeypatch.setattr(one, member, property(refuse) if is_property else refuse)
    for path in SOURCES:
        module = importlib.import_module(f"raworder.auditing.{path.stem}")
        for name, says in (("half_up", 0), ("share_text", "")):
            if hasattr(module, name):
                monkeypatch.setattr(module, name, lambda *_given, says=says: says)


@pytest.mark.parametrize("rule", JUDGES)
def test_a_broken_rule_is_blamed_by_what_is_stored_alone(rule: str, monkeypatch: pytest.MonkeyPatch) -> None:
    scenario, plan = BROKEN[rule]
    fed = as_fed(scenario, plan)
    silenced(monkeypatch)
    assert {breach.rule for breach in audit(fed, plan)} == {rule}


@pytest.mark.parametrize("promise", FACT_JUDGES)
def test_a_broken_promise_is_blamed_by_what_is_stored_alone(promise: str, monkeypatch: pytest.MonkeyPatch) -> None:
    silenced(monkeypatch)
    for plan in BROKEN_FACTS[promise]:
        assert {breach.rule for breach in audit_facts(plan)} == {promise}


def test_plans_that_break_no_rule_pass_by_what_is_stored_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    fed = as_fed(SUPPLEMENTED, SUPPLEMENTED_PLAN)
    silenced(monkeypatch)
    pairs = ((SMALL, SMALL_PLAN), (FORTNIGHT, FORTNIGHT_PLAN), (TUBS, TUBS_PLAN), (fed, SUPPLEMENTED_PLAN))
    assert [audit(*pair) for pair in pairs] == [()] * 4


def test_a_noun_that_reckons_for_the_audit_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    def by_the_noun(dog: Any, table: Any) -> Any:
        return (name for name in forbidden(dog, table) if dog.avoids(SMALL.cuts[0]))

    silenced(monkeypatch)
    monkeypatch.setattr("raworder.auditing.feeding.forbidden", by_the_noun)
    with pytest.raises(AssertionError, match="lets Dog reckon"):
        audit(*BROKEN["avoid"])
