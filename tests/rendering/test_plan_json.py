"""A plan as JSON: whole, exact and plain."""

import json
from dataclasses import fields, replace
from decimal import Decimal

import pytest

from raworder.rendering.as_json import as_json, plan_as_json
from raworder.trade.fingerprint import fingerprint
from raworder.trade.plan import Plan, Proof
from tests.builders import SMALL, SMALL_PLAN
from tests.reading.saved import BAGGED

TOLD = plan_as_json(BAGGED)


def test_every_field_of_a_plan_is_there_by_its_name_and_in_its_order() -> None:
    assert list(TOLD) == [field.name for field in fields(Plan) if field.compare]


def test_values_are_those_of_the_plan() -> None:
    assert json.loads(json.dumps(TOLD))["lines"][0] == {"offer": "trim", "units": 6775, "goods": "39.30"}
    assert json.loads(json.dumps(TOLD))["proof"] == {
        "proved": True,
        "bound": "59.01165",
        "solver": "by hand",
        "why": "",
        "least_bill": None,
        "near_is_enough": False,
    }
    assert json.loads(json.dumps(TOLD))["bags"][1] == {
        "dog": "Maple",
        "day": "2027-02-07",
        "meal": 1,
        "kind": "A",
        "fillings": [
            {"cut": "chicken neck", "grams": 120, "pieces": 2},
            {"cut": "lamb liver", "grams": 35, "pieces": 0},
            {"cut": "beef trim", "grams": 345, "pieces": 0},
        ],
        "topped_up": "beef trim",
    }
    assert json.loads(json.dumps(TOLD))["stations"][2] == {"phase": 2, "cut": "chicken neck", "bags": [0, 1, 2]}
    assert json.loads(json.dumps(TOLD))["mixes"][0]["tubs"][1]["number"] == 2


def test_it_stands_in_the_head_of_the_print() -> None:
    text = as_json([], ended="plan", scenario=fingerprint(SMALL), plan=TOLD)
    assert text.isascii()
    assert list(json.loads(text)) == ["schema_version", "ended", "scenario", "plan", "papers"]
    assert json.loads(text)["plan"] == TOLD


def test_the_same_plan_gives_the_same_text() -> None:
    assert json.dumps(plan_as_json(BAGGED)) == json.dumps(plan_as_json(replace(BAGGED)))


@pytest.mark.parametrize(("money", "told"), [("1E+2", "100"), ("0E-6", "0.000000"), ("12.30", "12.30")])
def test_money_has_no_exponent(money: str, told: str) -> None:
    proof = Proof(proved=True, bound=Decimal(money), solver="by hand")
    assert plan_as_json(replace(SMALL_PLAN, proof=proof))["proof"] == {
        "proved": True,
        "bound": told,
        "solver": "by hand",
        "why": "",
        "least_bill": None,
        "near_is_enough": False,
    }


def test_what_json_cannot_tell_is_our_own_mistake() -> None:
    proof = Proof(proved=False, bound=Decimal("NaN"), solver="by hand")
    with pytest.raises(TypeError, match="NaN"):
        plan_as_json(replace(SMALL_PLAN, proof=proof))
