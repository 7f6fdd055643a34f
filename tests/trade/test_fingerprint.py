"""Fingerprints: the same for equals, another for anything else."""

import subprocess
import sys
from collections.abc import Callable
from dataclasses import fields, replace
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.trade.bags import Portioning
from raworder.trade.dogs import OtherFood
from raworder.trade.findings import Place
from raworder.trade.fingerprint import _canonical_text, fingerprint
from raworder.trade.nutrients import BoneCalcium, NeedRow, Profile, Trust
from raworder.trade.scenario import Keeping, Owner, Scenario, Variety
from tests.builders import SMALL, SMALL_PLAN, a_bag, a_caution, a_scenario, a_subject
from tests.supplemented import OIL, SUPPLEMENTED

CHALK = BoneCalcium("mammal", Fraction(1, 10), Fraction(1, 20), Fraction(3, 20), Fraction(2))

ROOT = Path(__file__).resolve().parents[2]


def test_it_is_a_sha_256() -> None:
    assert len(fingerprint(SMALL)) == 64
    assert set(fingerprint(SMALL)) <= set("0123456789abcdef")


def test_equal_scenarios_have_one_fingerprint_whatever_type_their_numbers_are_of() -> None:
    offer = SMALL.offers[0]
    other = replace(
        SMALL,
        offers=(replace(offer, unit_g=Fraction(1)), *SMALL.offers[1:]),
        budget=Decimal(60),
        room_g=12_500,
    )
    assert other == SMALL
    assert fingerprint(other) == fingerprint(SMALL)


def test_places_do_not_count() -> None:
    moved = replace(
        SMALL,
        dogs=tuple(replace(dog, place=Place("a.yaml", 3, 5)) for dog in SMALL.dogs),
        offers=tuple(replace(offer, place=Place("b.csv", 7, 1)) for offer in SMALL.offers),
        suppliers=tuple(replace(one, place=Place("a.yaml", 9, 5)) for one in SMALL.suppliers),
        on_hand=tuple(replace(lot, place=Place("a.yaml", 20, 5)) for lot in SMALL.on_hand),
    )
    assert moved == SMALL
    assert fingerprint(moved) == fingerprint(SMALL)


def test_an_owner_s_freezer_and_day_change_no_plan() -> None:
    owners = (Owner("Ada", 20_000, SMALL.batch.starts),)
    assert fingerprint(replace(SMALL, owners=owners)) == fingerprint(SMALL)


@pytest.mark.parametrize(
    "change",
    [
        lambda s: replace(s, title="another"),
        lambda s: replace(s, currency=replace(s.currency, code="USD")),
        lambda s: replace(s, weight_unit="lb"),
        lambda s: replace(s, batch=replace(s.batch, starts=s.batch.starts + timedelta(days=1))),
        lambda s: replace(s, dogs=s.dogs[::-1]),
        lambda s: replace(s, dogs=(replace(s.dogs[0], meals=2), *s.dogs[1:])),
        lambda s: replace(s, dogs=(replace(s.dogs[0], resting_kcal=Fraction(600)), *s.dogs[1:])),
        lambda s: replace(s, dogs=(replace(s.dogs[0], resting_share=Fraction(0)), *s.dogs[1:])),
        lambda s: replace(s, dogs=(replace(s.dogs[0], other_food=OtherFood(Fraction(90))), *s.dogs[1:])),
        lambda s: replace(s, dogs=(replace(s.dogs[0], treats_kcal=Fraction(40)), *s.dogs[1:])),
        lambda s: replace(s, offers=(replace(s.offers[0], frozen_days=20), *s.offers[1:])),
        lambda s: replace(s, offers=(replace(s.offers[0], frozen_on=s.batch.starts), *s.offers[1:])),
        lambda s: replace(s, cuts=s.cuts[1:]),
        lambda s: replace(s, suppliers=(replace(s.suppliers[0], sales_tax=Fraction(8, 100)), *s.suppliers[1:])),
        lambda s: replace(s, offers=(replace(s.offers[0], available=1), *s.offers[1:])),
        lambda s: replace(s, on_hand=s.on_hand[:-1]),
        lambda s: replace(s, on_hand=(replace(s.on_hand[0], owner="Bo"), *s.on_hand[1:])),
        lambda s: replace(s, room_g=None),
        lambda s: replace(s, budget=Decimal("60.01")),
        lambda s: replace(s, most_suppliers=1),
        lambda s: replace(s, most_cuts=3),
        lambda s: replace(s, offers=(replace(s.offers[0], least_units=3), *s.offers[1:])),
        lambda s: replace(s, suppliers=(replace(s.suppliers[0], trip=Decimal(4)), *s.suppliers[1:])),
        lambda s: replace(s, variety=Variety()),
        lambda s: replace(s, cautions=(a_caution("a", "cut", ("b", "c", "d")),)),
        lambda s: replace(s, portioning=Portioning(divided=frozenset({"chicken neck"}))),
        lambda s: replace(s, keeping=(Keeping("all", frozenset(), frozenset(), 1, 2, "invented"),)),
        lambda s: replace(s, supplements=(OIL,)),
        lambda s: replace(s, supplement_offers=SUPPLEMENTED.supplement_offers),
        lambda s: replace(s, profiles=(Profile("house rule", ()),)),
        lambda s: replace(s, needs=(NeedRow("a", "b", Fraction(1), Fraction(2), Trust.SEEN, "c"),)),
        lambda s: replace(s, hold_days=20),
        lambda s: replace(s, hold_days=None),
        lambda s: replace(s, bone_calcium=(CHALK,)),
    ],
)
def test_every_field_counts(change: Callable[[Scenario], Scenario]) -> None:
    assert fingerprint(change(SMALL)) != fingerprint(SMALL)


def test_the_changes_above_are_of_every_field_that_counts() -> None:
    marks = test_every_field_counts.pytestmark  # type: ignore[attr-defined]  # pytest keeps its marks there
    altered = [change(SMALL) for change in marks[0].args[1]]
    names = [field.name for field in fields(Scenario) if field.compare]
    assert [name for name in names if all(getattr(one, name) == getattr(SMALL, name) for one in altered)] == []


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (("a", "b"), ("a,b",)),
        (("a",), "a"),
        ((), ""),
        ((), frozenset()),
        ("1", 1),
        (None, "-"),
        ('a"', "a\\"),
        (("a", ("b",)), (("a", "b"),)),
        (a_subject(), ("species", "chicken")),
    ],
)
def test_unequal_things_are_told_apart(one: object, other: object) -> None:
    assert _canonical_text(one) != _canonical_text(other)


def test_what_is_hashed_is_told_in_one_way_on_every_machine() -> None:
    assert _canonical_text(a_subject()) == 'Subject(measure="species",word="chicken")'
    assert _canonical_text((Decimal("2.50"), None, "Ünal", SMALL.batch)) == (
        '(5/2,-,"\\u00dcnal",Batch(starts=day 2027-02-06,days=14))'
    )


@pytest.mark.slow
def test_sets_are_told_in_one_order_whatever_the_hashes() -> None:
    program = (
        "from raworder.trade.bags import Portioning; from raworder.trade.fingerprint import fingerprint;"
        "from tests.builders import a_scenario;"
        "print(fingerprint(a_scenario(portioning=Portioning(divided=frozenset('abcdefgh')))))"
    )
    seen = {
        subprocess.run(
            [sys.executable, "-c", program],
            cwd=ROOT,
            env={"PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("0", "1", "2")
    }
    assert seen == {fingerprint(a_scenario(portioning=Portioning(divided=frozenset("abcdefgh")))) + "\n"}


@pytest.mark.parametrize("stranger", [0.5, [1], {"a": 1}, {1}, b"a"])
def test_what_no_noun_holds_is_our_own_mistake(stranger: object) -> None:
    with pytest.raises(TypeError, match="no place in a noun"):
        _canonical_text(stranger)


def test_plans_have_fingerprints_too() -> None:
    assert fingerprint(replace(SMALL_PLAN, bags=(a_bag(),))) != fingerprint(SMALL_PLAN)
    assert fingerprint(replace(SMALL_PLAN)) == fingerprint(SMALL_PLAN)
