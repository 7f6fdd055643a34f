"""Saved plans are read back as they were, or refused with the reason."""

import copy
import json
import os
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import product
from pathlib import Path
from typing import Any
from unittest.mock import Mock

import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.reading import saved_plan
from raworder.reading.help_pages import read_slugs
from raworder.reading.saved_plan import ReadPlan, read_plan
from raworder.rendering.as_json import SCHEMA_VERSION, as_json, plan_as_json, purchase_as_json
from raworder.trade.cuts import Measure, Subject
from raworder.trade.fingerprint import fingerprint
from raworder.trade.nutrients import Analysis
from raworder.trade.plan import OrderLine, Plan, Proof
from raworder.trade.purchase import Missed, Planned, Purchase, Receipt, Received, Way, scenario_after_shop
from tests.builders import SMALL, SMALL_PLAN, a_cut
from tests.drawn import some
from tests.reading.saved import BAGGED, SLUGS_OF_PAPERS, changed, printed, written


def reading_of(folder: Path, text: str | bytes) -> ReadPlan:
    return read_plan(written(folder, text), SMALL)


def told(reading: ReadPlan) -> list[str]:
    return [f"{one.slug}@{one.place.line}:{one.place.column}" for one in reading.findings]


def with_plan(change: Callable[[Any], object]) -> str:
    """The print with something done to its plan."""
    whole = json.loads(printed())
    change(whole["plan"])
    return json.dumps(whole)


def test_why_a_plan_cannot_be_read_is_told_where_the_system_says_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = written(tmp_path, printed())
    for error, why in (
        (PermissionError(13, "Permission denied"), "permission denied"),
        (ValueError(), "the name cannot"),
    ):
        monkeypatch.setattr(Path, "read_bytes", Mock(side_effect=error))
        (found,) = read_plan(path, SMALL).findings
        assert f"cannot be read: {why}" in found.message


@pytest.mark.parametrize("plan", [SMALL_PLAN, BAGGED], ids=["without bags", "with bags"])
def test_a_plan_comes_back_as_it_was(plan: Plan, tmp_path: Path) -> None:
    assert reading_of(tmp_path, printed(plan)) == ReadPlan(plan, ())


MONEY = st.decimals(0, 10**9, places=3)
PROOFS = st.builds(Proof, st.booleans(), st.decimals(0, 10**6, places=6), st.just("by hand"))
WORDS = st.text(st.characters(exclude_categories=["Cs"]))


@pytest.mark.slow
@given(line=st.builds(OrderLine, st.just("trim"), st.integers(0, 10**9), MONEY), proof=PROOFS, remark=WORDS)
def test_whatever_it_says_comes_back(
    tmp_path_factory: pytest.TempPathFactory, line: OrderLine, proof: Proof, remark: str
) -> None:
    plan = replace(BAGGED, lines=(line,), proof=proof, remarks=(remark,))
    assert read_plan(written(tmp_path_factory.getbasetemp(), printed(plan)), SMALL).plan == plan


def test_the_version_read_is_the_version_printed() -> None:
    assert saved_plan.SCHEMA_VERSION == SCHEMA_VERSION


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
def test_a_byte_order_mark_does_no_harm(encoding: str, tmp_path: Path) -> None:
    assert reading_of(tmp_path, printed().encode(encoding)).plan == BAGGED


def test_fields_that_came_later_are_passed_over(tmp_path: Path) -> None:
    text = with_plan(lambda plan: plan.update(later=[1], bags=[{**bag, "colour": "red"} for bag in plan["bags"]]))
    assert reading_of(tmp_path, text).plan == BAGGED


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ("", "broken-json@1:1"),
        ("currency: EUR\n", "broken-json@1:1"),
        ('{"schema_version": 1,\n "plan": }', "broken-json@2:10"),
        (printed()[:-50], "broken-json"),
        (changed(papers=float("nan")), "broken-json@1:1"),
        (changed(papers=float("-inf")), "broken-json@1:1"),
        (changed(papers=0.5), "broken-json@1:1"),
        ("[" * 200_000, "broken-json@1:1"),
        ('{"plan": ' + "9" * 5_000 + "}", "broken-json@1:1"),
        ("[1]", "not-a-saved-plan@1:1"),
        ("{}", "not-a-saved-plan@1:1"),
        (as_json([], ended="no_plan"), "not-a-saved-plan@1:1"),
        (changed(schema_version=2), "other-schema-version@1:1"),
        (changed(schema_version=True), "other-schema-version@1:1"),
        (changed(schema_version="1"), "other-schema-version@1:1"),
        (changed(scenario="0" * 64), "other-scenario@1:1"),
        (changed(scenario=None), "other-scenario@1:1"),
        (changed(plan=None), "damaged-plan@1:1"),
        (changed(plan=[]), "damaged-plan@1:1"),
        ('{"a": 1}\n\n  "' + "b\n", "broken-json@3:3"),
        (b'{"a":\n "\xff"}', "unreadable-text@2:3"),
        (printed().encode("utf-16"), "unreadable-text@1:1"),
    ],
)
def test_what_is_no_saved_plan_is_refused_with_its_place(content: str | bytes, expected: str, tmp_path: Path) -> None:
    reading = reading_of(tmp_path, content)
    assert reading.plan is None
    assert [one.partition("@")[0] if "@" not in expected else one for one in told(reading)] == [expected]


@pytest.mark.parametrize(
    ("change", "where"),
    [
        (lambda plan: plan["bags"][1]["fillings"][0].update(grams=True), "plan.bags[1].fillings[0].grams"),
        (lambda plan: plan["bags"][1]["fillings"][0].update(grams="120"), "plan.bags[1].fillings[0].grams"),
        (lambda plan: plan["lines"][0].update(units=None), "plan.lines[0].units"),
        (lambda plan: plan["lines"][0].update(goods="NaN"), "plan.lines[0].goods"),
        (lambda plan: plan["lines"][0].update(goods=True), "plan.lines[0].goods"),
        (lambda plan: plan["lines"].__setitem__(2, "neck"), "plan.lines[2]"),
        (lambda plan: plan.update(lines={}), "plan.lines"),
        (lambda plan: plan["proof"].update(proved="yes"), "plan.proof.proved"),
        (lambda plan: plan["proof"].update(proved=1), "plan.proof.proved"),
        (lambda plan: plan["bags"][0].update(day="6 February"), "plan.bags[0].day"),
        (lambda plan: plan["bags"][0].update(day=1), "plan.bags[0].day"),
        (lambda plan: plan["bags"][0].update(kind=["A"]), "plan.bags[0].kind"),
        (lambda plan: plan["stations"][0].update(bags=[0, "1"]), "plan.stations[0].bags[1]"),
        (lambda plan: plan["mixes"][0]["tubs"][1].pop("contents"), "plan.mixes[0].tubs[1].contents"),
        (lambda plan: plan.pop("bills"), "plan.bills"),
    ],
)
def test_what_is_of_the_wrong_type_is_named_by_its_way(
    change: Callable[[Any], object], where: str, tmp_path: Path
) -> None:
    (finding,) = reading_of(tmp_path, with_plan(change)).findings
    assert (finding.slug, finding.message) == ("damaged-plan", f"`{where}` is not what belongs there")


@pytest.mark.parametrize(
    ("change", "stranger"),
    [
        (lambda plan: plan["lines"][0].update(offer="tripe"), "offer `tripe`"),
        (lambda plan: plan["bills"][0].update(supplier="Nobody"), "supplier `Nobody`"),
        (lambda plan: plan["portions"][0].update(dog="Rex"), "dog `Rex`"),
        (lambda plan: plan["portions"][0].update(cut="mix 1"), "cut `mix 1`"),
        (lambda plan: plan["leftovers"][0].update(cut="tripe"), "cut `tripe`"),
        (lambda plan: plan["lots_used"][0].update(lot=4), "lot `4`"),
        (lambda plan: plan["lots_used"][0].update(lot=-1), "lot `-1`"),
        (lambda plan: plan["bags"][0].update(dog="Rex"), "dog `Rex`"),
        (lambda plan: plan["bags"][0].update(day="2027-02-05"), "day `2027-02-05`"),
        (lambda plan: plan["bags"][0].update(topped_up="tripe"), "cut `tripe`"),
        (lambda plan: plan["bags"][0]["fillings"][0].update(cut=""), "cut ``"),
        (lambda plan: plan["mixes"][0].update(dogs=["Rex"]), "dog `Rex`"),
        (lambda plan: plan["mixes"][0]["contents"][0].update(cut="mix 1"), "cut `mix 1`"),
        (lambda plan: plan["mixes"][0]["tubs"][0]["contents"][0].update(cut="x" * 99), f"cut `{'x' * 60}`"),
        (lambda plan: plan["stations"][0].update(cut="tripe"), "cut `tripe`"),
        (lambda plan: plan["stations"][0].update(bags=[4]), "bag `4`"),
    ],
)
def test_what_the_scenario_does_not_know_is_refused(
    change: Callable[[Any], object], stranger: str, tmp_path: Path
) -> None:
    (finding,) = reading_of(tmp_path, with_plan(change)).findings
    assert (finding.slug, finding.message) == (
        "damaged-plan",
        f"the plan speaks of the {stranger}, which is not there",
    )


def test_of_a_plan_that_is_wrong_all_over_a_few_things_are_told(tmp_path: Path) -> None:
    def spoil(plan: Any) -> None:
        for portion in plan["portions"]:
            portion["batch_g"] = "much"

    findings = reading_of(tmp_path, with_plan(spoil)).findings
    assert len(SMALL_PLAN.portions) == 12
    assert [finding.note for finding in findings] == ["one of 12"] * 5


def test_a_plan_for_an_older_version_of_the_scenario_says_what_to_do(tmp_path: Path) -> None:
    path = written(tmp_path, printed())
    (finding,) = read_plan(path, replace(SMALL, budget=Decimal("61.00"))).findings
    assert finding.message == "this plan was made for another scenario or for an older version of it"
    assert finding.help.startswith("plan again")


def test_what_is_no_file_is_told(tmp_path: Path) -> None:
    assert told(read_plan(tmp_path / "none.json", SMALL)) == ["no-such-file@1:1"]
    assert told(read_plan(tmp_path, SMALL)) == ["not-a-file@1:1"]
    assert told(read_plan(tmp_path / "a\0b", SMALL)) in (["unreadable-file@1:1"], ["no-such-file@1:1"])


def test_a_file_beyond_all_measure_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    with path.open("wb") as file:
        os.ftruncate(file.fileno(), 50 * 1024 * 1024 + 1)
    (finding,) = read_plan(path, SMALL).findings
    assert (finding.slug, finding.message) == ("too-large", "`plan.json` is larger than 50 MiB")


MISFITS: tuple[object, ...] = (None, True, -1, "", [], {}, "\ud800", 10**30)


@pytest.mark.long
def test_no_single_value_replaced_gives_a_traceback(tmp_path: Path) -> None:
    whole = json.loads(printed())
    for way, put in some(product(ways_in(whole["plan"]), MISFITS), 200):
        spoilt = copy.deepcopy(whole)
        put_at(spoilt["plan"], way, put)
        reading = reading_of(tmp_path, json.dumps(spoilt))
        assert (reading.plan is None) == any(finding.refuses for finding in reading.findings)


PURCHASE = Purchase(
    Receipt(
        tuple(
            Received(line.offer, offer.supplier, offer.cut, line.units, offer.grams(line.units), line.goods)
            for line in SMALL_PLAN.lines
            for offer in (SMALL.offer(line.offer),)
        ),
        delivery=((SMALL.suppliers[0].name, Decimal("1.50")),),
        none_left=(SMALL.offers[0].key,),
        cuts=(replace(a_cut("duck neck"), analysis=Analysis((("energy", Fraction(331, 2)),))),),
    ),
    Planned(((SMALL.dogs[0].name, 7_000),)),
    Way.AS_IT_IS,
    Fraction(98, 100),
    (
        Missed(
            SMALL.dogs[0].name, Subject(Measure.PART, "liver"), Fraction(1, 25), Fraction(3, 50), Fraction(1, 33), 70
        ),
    ),
)
"""What was bought and what gave way for it, with something in every field."""


def after_the_shop(way: Way = Way.AS_IT_IS) -> str:
    """The print of a plan for what was bought."""
    purchase = replace(PURCHASE, way=way)
    head = {
        "scenario": fingerprint(scenario_after_shop(SMALL, purchase)),
        "plan_fingerprint": fingerprint((BAGGED, purchase)),
        "purchase": purchase_as_json(purchase),
    }
    return as_json([], ended="plan", **head, plan=plan_as_json(BAGGED))


@pytest.mark.parametrize("way", Way)
def test_a_plan_after_the_shop_comes_back_with_its_purchase(way: Way, tmp_path: Path) -> None:
    assert reading_of(tmp_path, after_the_shop(way)) == ReadPlan(BAGGED, (), replace(PURCHASE, way=way))


@pytest.mark.long
def test_no_single_value_of_a_purchase_replaced_gives_a_traceback_or_another_purchase(tmp_path: Path) -> None:
    whole = json.loads(after_the_shop())
    wrong = (*MISFITS, 0, "0", "1/0", "NaN", "1e99", 10**60)
    for way, put in some(product(ways_in(whole["purchase"]), wrong), 200):
        spoilt = copy.deepcopy(whole)
        put_at(spoilt["purchase"], way, put)
        reading = reading_of(tmp_path, json.dumps(spoilt))
        assert (reading.plan is None) == any(finding.refuses for finding in reading.findings)
        assert reading.plan is None or reading.purchase == PURCHASE  # the value was that already


def test_a_plan_for_another_receipt_says_what_to_do(tmp_path: Path) -> None:
    whole = json.loads(after_the_shop())
    whole["purchase"]["receipt"]["lines"][0]["paid"] = "1.00"
    (finding,) = reading_of(tmp_path, json.dumps(whole)).findings
    assert (finding.slug, finding.help) == (
        "other-scenario",
        "plan again: `raworder replan SCENARIO --receipt FILE --json`",
    )
    assert "receipt" in finding.message


def ways_in(node: Any) -> list[tuple[Any, ...]]:
    """The way to every list, object and value; of a list only to its first entry."""
    steps = list(node) if isinstance(node, dict) else range(min(len(node), 1)) if isinstance(node, list) else ()
    return [way for step in steps for way in ((step,), *((step, *below) for below in ways_in(node[step])))]


def put_at(node: Any, way: tuple[Any, ...], value: object) -> None:
    for step in way[:-1]:
        node = node[step]
    node[way[-1]] = value


def test_every_slug_of_papers_is_known_to_explain_and_given_in_some_test() -> None:
    tests = [Path(__file__).with_name(f"test_{name}.py") for name in ("saved_plan", "receipts", "weighed")]
    text = "".join(path.read_text(encoding="utf-8") for path in tests)
    for slug in SLUGS_OF_PAPERS:
        assert slug in read_slugs()
        assert f'"{slug}' in text
