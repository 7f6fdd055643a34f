"""A scenario's text is read back as what was told, whatever names it holds. All names and prices are invented.

**Source:** our own reader; from outside PyYAML's `safe_load`, by the types of YAML 1.1, and `jsonschema`.
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import jsonschema
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from raworder.reading.answers import NAME, check_answer
from raworder.reading.form import scenario_schema
from raworder.reading.reference import read_toxic_foods, says_cooked, toxic_food
from raworder.reading.scenario_file import read_scenario_text
from raworder.rendering.files_to_fill import offer_lines, quote_yaml, scenario_text
from raworder.trade.draft import DogDraft, Draft, OfferDraft, OwnCutDraft, SupplierDraft, UnreadRow
from raworder.trade.scenario import Scenario
from raworder.trade.units import UnitError
from tests.drawn import examples
from tests.reading.test_schema import EditorLoader
from tests.rendering.hell import NAMES

HERE = Path("mine.yaml")
MAPLE = DogDraft("Maple", "22 kg", "2.5 %", "prey model")
NECK = OfferDraft("chicken neck", (("pack", "1 kg"), ("price", "2.40")))
TOXIC = read_toxic_foods()
SCHEMA = jsonschema.Draft202012Validator(scenario_schema())
TRICKY = (
    "no", "Yes", "null", "~", "on", "Off", "y", "12", "1e3", "0x1F", "0o7", "1:30", "2027-02-06", ".inf", ".NaN",
    "<<", "=", "a: b", "a #b", "#a", "- a", "? a", "[a]", "{a}", "a, b", "&a", "*a", "!a", "|", ">", "%a", "@a",
    "`a`", '"', "'", "''", "\\", "\\n", "a:", ":a", "-", "---", "...", "a.", "e\N{COMBINING ACUTE ACCENT}",
    "Hähnchenhälse", "日本語", "\N{DOG FACE}", "zero\N{ZERO WIDTH JOINER}width", "\ue000", "true", "True story", "Null",
)  # fmt: skip
"""Names that mean something else in YAML, and characters at its edges."""


def sound(text: str) -> bool:
    """Whether a scenario may hold such a name."""
    try:
        return bool(check_answer(text, NAME))
    except UnitError:
        return False


def read(draft: Draft) -> tuple[Scenario, dict[str, object]]:
    """The scenario that our reader makes of the draft's text, and what a general-purpose reader does."""
    text = scenario_text(draft, "scenario.schema.json")
    reading = read_scenario_text(text, HERE)
    assert reading.scenario is not None, (text, reading.findings)
    SCHEMA.validate(yaml.load(text, Loader=EditorLoader))
    loaded: dict[str, object] = yaml.safe_load(text)
    return reading.scenario, loaded


@pytest.mark.slow
@pytest.mark.parametrize("name", [*NAMES, *TRICKY])
def test_a_name_from_hell_is_read_back_as_it_was_or_refused_before_it_is_written(name: str) -> None:
    if not sound(name):
        assert name in NAMES
        return
    said = check_answer(name, NAME)
    named = OfferDraft("chicken neck", (("item", said), ("pack", "1 kg"), ("price", "2.40"), ("code", said)))
    left_out = OfferDraft("", (("item", said), ("price", "2.40")), 7)
    sellers = (SupplierDraft(said, (named, left_out), (UnreadRow(8, name, name),)),)
    scenario, loaded = read(
        Draft("EUR", "2027-02-06", dogs=(DogDraft(said, "22 kg", "2.5 %", "BARF"),), suppliers=sellers)
    )
    offer = scenario.offers[0]
    assert (scenario.dogs[0].name, scenario.suppliers[0].name, offer.item, offer.code) == (said, said, said, said)
    assert loaded["dogs"][0]["name"] == said  # type: ignore[index]  # as written
    seller = loaded["suppliers"][0]  # type: ignore[index]  # as written
    assert (seller["name"], seller["cuts"][0]["item"], seller["cuts"][0]["code"]) == (said, said, said)
    assert len(seller["cuts"]) == 1


def test_some_names_from_hell_are_written_and_some_refused() -> None:
    assert 20 < sum(map(sound, NAMES)) < len(NAMES) - 8


def test_a_list_that_is_named_stays_named() -> None:
    text = scenario_text(
        Draft("EUR", "2027-02-06", dogs=(MAPLE,), suppliers=(SupplierDraft("A", price_list="no.csv"),)), "s"
    )
    assert yaml.safe_load(text)["suppliers"] == [{"name": "A", "price_list": "no.csv"}]


def test_an_own_cut_is_read_back() -> None:
    own = OwnCutDraft(
        "Rinderherz: fein", ("beef", "lamb"), (("muscle", "88 %"), ("bone", "12 %")), "heart", "14 %", "190 kcal"
    )
    sold = OfferDraft("Rinderherz: fein", (("price", "6.20 per kg"),))
    scenario, _ = read(
        Draft("EUR", "2027-02-06", dogs=(MAPLE,), own_cuts=(own,), suppliers=(SupplierDraft("A", (sold,)),))
    )
    cut = next(one for one in scenario.cuts if one.name == "Rinderherz: fein")
    assert (cut.species_names, cut.kind, cut.fat_share, cut.parts[1][1]) == (
        ("beef", "lamb"), "heart", Fraction(14, 100), Fraction(12, 100)
    )  # fmt: skip
    assert cut.kcal_per_g == Fraction(190, 100)


@pytest.mark.parametrize("other", ["350 kcal", "half", "90 g at 380 kcal"])
def test_what_a_dogs_need_depends_on_is_read_back(other: str) -> None:
    puppy = DogDraft(
        "Bramble", "9 kg", "1000 kcal", "BARF", puppy=True, adult_weight="31 kg", other_food=other, ration_from="a: #b"
    )
    slim = DogDraft("Maple", "24 kg", "800 kcal", "BARF", activity="working", goal="lose", ideal_weight="20 kg")
    scenario, _ = read(Draft("EUR", "2027-02-06", dogs=(puppy, slim), suppliers=(SupplierDraft("A", (NECK,)),)))
    young, grown = scenario.dogs
    assert (young.puppy, young.adult_weight_g, young.other_food.with_plan(Fraction(0))) == (
        True, 31_000, {"350 kcal": 350, "half": 0, "90 g at 380 kcal": 342}[other],
    )  # fmt: skip
    assert young.other_food.as_much is (other == "half")
    assert (grown.activity, grown.goal, grown.ideal_weight_g) == ("working", "lose", 20_000)


def test_price_breaks_and_counts_are_read_back() -> None:
    fields = (("pack", "1 kg"), ("price", "2.40"), ("available", "9"), ("price_breaks", "4: 2.20; 6: 2.00"))
    scenario, _ = read(
        Draft("EUR", "2027-02-06", dogs=(MAPLE,), suppliers=(SupplierDraft("A", (OfferDraft("kale", fields),)),))
    )
    offer = scenario.offers[0]
    assert [(step.at_least, step.listed) for step in offer.steps] == [
        (1, Decimal("2.40")),
        (4, Decimal("2.20")),
        (6, 2),
    ]
    assert offer.available == 9


def test_the_lines_of_offers_are_those_that_hold_them() -> None:
    left_out = OfferDraft("", (("item", "Pansen"),), 3)
    draft = Draft("EUR", "2027-02-06", dogs=(MAPLE,), suppliers=(SupplierDraft("A", (NECK, left_out, NECK)),))
    text = scenario_text(draft, "s")
    lines = text.split("\n")
    assert [lines[number - 1].strip() for number in offer_lines(text)] == [
        "- {cut: chicken neck, pack: 1 kg, price: 2.40}"
    ] * 2


def test_no_amount_stands_in_the_place_for_what_a_veterinarian_gives() -> None:
    text = scenario_text(Draft("EUR", "2027-02-06", dogs=(DogDraft("Sorrel", "9 kg", care="ill"),)), "s")
    place = next(line for line in text.split("\n") if "vet_amounts" in line)
    assert not any(one.isdigit() for one in place)
    assert "caps:" not in text
    assert "ration:" not in "".join(line for line in text.split("\n") if not line.lstrip().startswith("#"))


def test_text_that_any_reader_takes_for_text_stays_plain() -> None:
    assert [quote_yaml(one) for one in ("Maple", "Hollow Lane Butcher", "Hähnchenhälse")] == [
        "Maple",
        "Hollow Lane Butcher",
        "Hähnchenhälse",
    ]
    assert all(quote_yaml(one).startswith('"') for one in ("no", "NULL", "12", "", " a", "a ", "a: b", "-a"))


CHARACTERS = st.characters(exclude_categories=["Cs", "Cc", "Cf", "Zl", "Zp"])
SOUND = st.text(CHARACTERS, min_size=1, max_size=20).filter(sound) | st.sampled_from(
    [one for one in TRICKY if sound(one)]
)
NAMED = SOUND.map(lambda text: check_answer(text, NAME))
FOOD = NAMED.filter(lambda name: not toxic_food(name, TOXIC) and not says_cooked(name))
TENTHS = st.integers(1, 999).map(lambda tenths: f"{tenths // 10}.{tenths % 10}")
DOG = st.builds(
    DogDraft,
    NAMED,
    st.integers(1, 90).map("{} kg".format) | st.integers(2, 190).map("{} lb".format),
    st.integers(10, 60).map(lambda tenths: f"{tenths // 10}.{tenths % 10} %")
    | st.integers(20, 450).map("{} g".format),  # at most half of what the lightest dog weighs
    st.sampled_from(["prey model", "BARF"]),
    st.lists(st.sampled_from(["pork", "poultry", "whole bone", "beef heart"]), unique=True).map(tuple),
)
CUTS = st.sampled_from(["chicken neck", "beef trim", "kale", "lamb liver"])
BY_PACK = st.tuples(
    st.tuples(st.just("item"), FOOD),
    st.tuples(st.just("pack"), st.integers(1, 20_000).map("{} g".format)),
    st.tuples(st.just("price"), TENTHS),
)
BY_WEIGHT = st.tuples(st.tuples(st.just("item"), FOOD), st.tuples(st.just("price"), TENTHS.map("{} per kg".format)))
SELLER = st.builds(
    SupplierDraft,
    NAMED,
    st.lists(st.builds(OfferDraft, CUTS, BY_PACK | BY_WEIGHT), min_size=1, max_size=4, unique=True).map(tuple),
    st.lists(st.builds(UnreadRow, st.integers(1, 99), NAMED, NAMED), max_size=2).map(tuple),
)
DRAFT = st.builds(
    Draft,
    st.sampled_from(["EUR", "USD", "CHF"]),
    st.dates(date(1900, 1, 1), date(2999, 12, 31)).map(str),
    st.integers(1, 60).map(str),
    st.sampled_from(["kg", "lb"]),
    st.lists(DOG, min_size=1, max_size=3, unique_by=lambda dog: dog.name.casefold()).map(tuple),
    st.lists(SELLER, min_size=1, max_size=2, unique_by=lambda one: one.name.casefold()).map(tuple),
)


@examples(15)
@given(DRAFT)
def test_whatever_was_told_is_read_back(draft: Draft) -> None:
    scenario, loaded = read(draft)
    assert (scenario.currency.code, scenario.batch.starts.isoformat()) == (draft.currency, draft.starts)
    assert (scenario.batch.days, scenario.weight_unit) == (int(draft.days), draft.units)
    assert [dog.name for dog in scenario.dogs] == [dog.name for dog in draft.dogs]
    told = {(seller.name, one.cut, *dict(one.fields).values()) for seller in draft.suppliers for one in seller.offers}
    sold = {(seller["name"], *map(_plain, one.values())) for seller in loaded["suppliers"] for one in seller["cuts"]}  # type: ignore[attr-defined]  # as written
    assert sold == told
    assert {(one.supplier, one.item) for one in scenario.offers} == {(one[0], one[2]) for one in told}
    assert [dog["name"] for dog in loaded["dogs"]] == [dog.name for dog in draft.dogs]  # type: ignore[attr-defined]  # as written


def _plain(value: object) -> str:
    """A value as it was told: a price is a number to a general-purpose reader."""
    return str(value)
