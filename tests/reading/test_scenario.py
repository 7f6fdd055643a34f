"""A scenario read whole."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.reference import scenario_paths
from raworder.reading.scenario_file import read_scenario
from raworder.trade.findings import Place
from raworder.trade.scenario import Batch, Variety
from tests.reading.written import DOG, KALE, a_text, reading_of, scenario_of, slugs


def test_the_smallest_scenario_needs_no_more_than_the_design_says(tmp_path: Path) -> None:
    text = """currency: EUR
batch: {starts: 2027-02-06, days: 14}

dogs:
  - {name: Maple, weight: 22 kg, ration: 2.5 %, targets: prey model}

cuts:
  - {cut: chicken neck,  pack: 1 kg,  price: 2.40}
  - {cut: beef trim,     price: 6.20 per kg, fat: 12 %}
  - {cut: beef heart,    pack: 500 g, price: 3.10}
  - {cut: lamb liver,    pack: 400 g, price: 1.90}
  - {cut: beef kidney,   price: 3.60 per kg}
"""
    scenario = scenario_of(tmp_path, text)
    assert scenario.dogs[0].batch_g == 7700
    assert [supplier.name for supplier in scenario.suppliers] == ["your list"]
    assert [cut.name for cut in scenario.cuts] == [
        "beef heart",
        "beef kidney",
        "beef trim (fat 12 %)",
        "chicken neck",
        "lamb liver",
    ]
    assert scenario.batch == Batch(date(2027, 2, 6), 14)


def test_fields_not_written_have_their_defaults(tmp_path: Path) -> None:
    scenario = scenario_of(tmp_path, a_text())
    assert scenario.title == "scenario"
    assert scenario.weight_unit == "kg"
    assert scenario.batch.days == 14
    assert (scenario.room_g, scenario.budget, scenario.most_suppliers) == (None, None, None)
    assert scenario.variety == Variety()


def test_everything_at_the_top_is_read(tmp_path: Path) -> None:
    more = """title: Two dogs
units: lb
budget: 150
most_suppliers: 2
most_cuts: 9
variety: {species: 3, each_at_least: 5 %, most_of_one: 50 %}
freezer: {room: 60 kg}
"""
    scenario = scenario_of(tmp_path, a_text(more=more))
    assert (scenario.title, scenario.weight_unit, scenario.budget) == ("Two dogs", "lb", Decimal(150))
    assert (scenario.most_suppliers, scenario.most_cuts, scenario.room_g) == (2, 9, 60_000)
    assert scenario.variety == Variety(3, Fraction(1, 20), Fraction(1, 2))


@pytest.mark.parametrize(
    ("variety", "read"),
    [
        ("{species: 3}", Variety(3, Fraction(5, 100))),
        ("{species: 3, each_at_least: 2 %}", Variety(3, Fraction(2, 100))),
        ("{most_of_one: 50 %}", Variety(0, Fraction(0), Fraction(1, 2))),
    ],
)
def test_a_species_counts_from_five_percent_if_nothing_is_said(tmp_path: Path, variety: str, read: Variety) -> None:
    # Common practice, no source: 5 %.
    assert scenario_of(tmp_path, a_text(more=f"variety: {variety}")).variety == read


@pytest.mark.parametrize(("room", "refused"), [("100000 kg", 0), ("100000.1 kg", 1), ("178571 l", 0), ("178572 l", 1)])
def test_a_room_for_more_than_a_hundred_tonnes_is_refused(tmp_path: Path, room: str, refused: int) -> None:
    assert slugs(reading_of(tmp_path, a_text(more=f"freezer: {{room: {room}}}"))) == ["absurd-amount"] * refused


def test_a_litre_of_freezer_holds_what_the_extension_note_says(tmp_path: Path) -> None:
    # Source: foodsafetysite.com FAQ 265 (Fraser and Lackey, NC State, August 2004), 35 lb per cubic foot;
    # a cubic foot is 28.316846592 litres exactly. The default is that, to two decimals.
    exact = Fraction(35 * 45359237, 10**5) / Fraction(28316846592, 10**9) / 1000
    scenario = scenario_of(tmp_path, a_text(more="freezer: {room: 100 l}"))
    assert scenario.room_g == 56_000
    assert round(float(exact), 2) == 0.56


def test_a_freezer_measured_by_the_user_counts(tmp_path: Path) -> None:
    assert scenario_of(tmp_path, a_text(more="freezer: {room: 100 l, kg_per_litre: 0.4}")).room_g == 40_000


@pytest.mark.parametrize(("density", "refused"), [("0.1", 0), ("0.09", 1), ("1.1", 0), ("1.11", 1), ("12", 1)])
def test_a_litre_that_weighs_what_no_food_weighs_is_refused(tmp_path: Path, density: str, refused: int) -> None:
    # Common practice, no source: meat weighs about 1 kg a litre.
    more = f"freezer: {{room: 20 l, kg_per_litre: {density}}}"
    found = reading_of(tmp_path, a_text(more=more)).findings
    assert [(one.slug, one.place.line, one.place.column) for one in found] == [("out-of-range", 7, 37)] * refused


def test_what_is_on_hand_alone_can_be_fed(tmp_path: Path) -> None:
    text = (
        f"currency: EUR\nbatch: {{starts: 2027-02-06}}\ndogs: [{DOG}]\non_hand: [{{cut: beef heart, weight: 2 lb}}]\n"
    )
    scenario = scenario_of(tmp_path, text)
    assert scenario.on_hand[0].grams == 908  # 907.18, rounded up
    assert scenario.offers == ()


def test_what_is_known_of_a_lot_on_hand_makes_the_cut_that_an_offer_of_it_makes(tmp_path: Path) -> None:
    cuts = "  - {cut: turkey neck, bone: 42 %, pack: 1 kg, price: 2.40}"
    lots = "{cut: turkey neck, bone: 42 %, weight: 1 kg}, {cut: turkey neck, weight: 2 kg}"
    scenario = scenario_of(tmp_path, a_text(cuts=cuts, more=f"on_hand: [{lots}]"))
    assert [cut.name for cut in scenario.cuts] == ["turkey neck", "turkey neck (bone 42 %)"]
    assert scenario.on_hand_g("turkey neck (bone 42 %)") == 1000
    assert scenario.on_hand_g("turkey neck") == 2000
    alone = scenario_of(tmp_path, a_text(more="on_hand: [{cut: turkey neck, bone: 42 %, weight: 1 kg}]"))
    assert alone.cut("turkey neck (bone 42 %)") == scenario.cut("turkey neck (bone 42 %)")


def test_every_statement_about_a_lot_on_hand_counts(tmp_path: Path) -> None:
    lot = "{cut: chicken neck, weight: 1 kg, fat: 8 %, piece: 91 g, rich: yes}"
    (held,) = scenario_of(tmp_path, a_text(more=f"on_hand: [{lot}]")).on_hand
    assert held.cut == "chicken neck (fat 8 %, piece 91 g, rich)"


def test_on_hand_is_oldest_first(tmp_path: Path) -> None:
    more = """on_hand:
  - {cut: beef heart, weight: 1 kg, frozen: 2027-01-20}
  - {cut: beef heart, weight: 2 kg, frozen: 2026-12-20}
  - {cut: beef heart, weight: 3 kg}
"""
    lots = scenario_of(tmp_path, a_text(more=more)).on_hand
    assert [lot.grams for lot in lots] == [3000, 2000, 1000]


def test_a_nameless_list_and_suppliers_stand_beside_each_other(tmp_path: Path) -> None:
    more = """suppliers:
  - name: Hollow Lane
    delivery: 6.50
    minimum_order: 40
    free_delivery_from: 90
    sales_tax: 7 %
    list_date: 2027-01-20
    trip: 4.50
    cuts: [{cut: chard, price: 3.10 per kg}]
"""
    scenario = scenario_of(tmp_path, a_text(more=more))
    assert [one.name for one in scenario.suppliers] == ["your list", "Hollow Lane"]
    supplier = scenario.supplier("Hollow Lane")
    assert (supplier.delivery, supplier.minimum_order) == (Decimal("6.50"), Decimal(40))
    assert (supplier.free_delivery_from, supplier.sales_tax) == (Decimal(90), Fraction(7, 100))
    assert (supplier.list_date, supplier.trip) == (date(2027, 1, 20), Decimal("4.50"))
    assert scenario.supplier("your list").trip == 0


def test_a_finding_has_its_line_and_its_file_as_the_user_gave_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    reading_of(tmp_path, a_text(cuts="  - {cut: kail, price: 3.00 per kg}"))
    (finding,) = read_scenario(Path("scenario.yaml")).findings
    assert finding.place == Place("scenario.yaml", 6, 11, 4)
    assert finding.source_line == "  - {cut: kail, price: 3.00 per kg}"
    assert finding.help == "did you mean `kale`?"


def test_a_price_list_is_told_as_a_file_beside_the_scenario(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    more = "suppliers: [{name: Hollow Lane, price_list: prices.csv}]"
    lists = {"prices.csv": "cut,price\nkail,3.00 per kg\n"}
    reading_of(tmp_path, a_text(more=more), lists)
    (finding,) = read_scenario(Path("scenario.yaml")).findings
    assert finding.place == Place("prices.csv", 2, 1, 4)
    assert finding.source_line == "kail,3.00 per kg"


def test_findings_come_in_order_of_place(tmp_path: Path) -> None:
    reading = reading_of(tmp_path, a_text(dogs="  - {name: Maple, weight: 20}", cuts="  - {cut: kail, price: 3}"))
    places = [finding.place for finding in reading.findings]
    assert len(places) == 3
    assert places == sorted(places)


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        (a_text(more="freezer: 60 kg"), "write `freezer: {room: 60 kg}`"),
        (a_text(more="variety: 3"), "write `variety: {species: 3}`"),
        (a_text(batch="2027-02-06"), "write `batch: {starts: 2027-02-06}`"),
        (a_text(cuts="  - {cut: kale, pack: 1 kg, price: 3.10 €}"), "leave the sign out; the currency is EUR"),
        (a_text(cuts="  - {cut: kale, price: $2 per kg}"), "leave the sign out; the currency is EUR"),
        (a_text(more="budget: €150"), "leave the sign out; the currency is EUR"),
        (a_text(cuts="  - {cut: kale, pack: 1 kg, price: 3, fat: 12}"), "write `12 %`"),
        (a_text(cuts="  - {cut: kale, pack: 1 kg, price: 3, fat: 0}"), "write `0 %`"),
        (a_text(cuts="  - {cut: kale, pack: 1 kg, price: 3, fat: 0.1}"), "write it in percent, such as `10 %`"),
    ],
)
def test_a_slip_is_answered_with_what_to_write(tmp_path: Path, text: str, remedy: str) -> None:
    assert [finding.help for finding in reading_of(tmp_path, text).findings] == [remedy]


def test_a_warning_refuses_nothing(tmp_path: Path) -> None:
    reading = reading_of(tmp_path, a_text(dogs="  - " + DOG.replace("20 kg", "130 kg")))
    assert slugs(reading) == ["unlikely-weight"]
    assert reading.scenario is not None


def test_the_order_of_lines_does_not_change_offers(tmp_path: Path) -> None:
    lines = ["{cut: kale, pack: 1 kg, price: 3}", "{cut: kale, pack: 1 kg, price: 2, item: old}", KALE]
    forth = scenario_of(tmp_path, a_text(cuts="\n".join(f"  - {line}" for line in lines)))
    back = scenario_of(tmp_path, a_text(cuts="\n".join(f"  - {line}" for line in reversed(lines))))
    assert forth.offers == back.offers
    assert forth.cuts == back.cuts


def test_windows_line_ends_and_a_byte_order_mark_change_nothing(tmp_path: Path) -> None:
    plain = scenario_of(tmp_path, a_text())
    path = tmp_path / "scenario.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + a_text().replace("\n", "\r\n").encode())
    assert read_scenario(path).scenario == plain
    path.write_bytes(a_text().encode("utf-16"))
    assert read_scenario(path).scenario == plain


def test_pounds_and_kilograms_agree(tmp_path: Path) -> None:
    # Source: the international pound of 1959, 0.45359237 kg exactly.
    pounds = scenario_of(tmp_path, a_text(cuts="  - {cut: kale, pack: 10 lb, price: 2.00 per lb}"))
    kilos = scenario_of(tmp_path, a_text(cuts="  - {cut: kale, pack: 4.5359237 kg, price: 20.00}"))
    assert pounds.offers[0].unit_g == kilos.offers[0].unit_g == Fraction("4535.9237")
    assert pounds.offers[0].steps[0].unit_price == kilos.offers[0].steps[0].unit_price == 20


@pytest.mark.parametrize("path", scenario_paths(), ids=lambda path: path.stem)
def test_a_shipped_scenario_has_no_findings(path: Path) -> None:
    assert read_scenario(path).findings == ()


@pytest.mark.parametrize("missing", ["currency: EUR\n", "batch: {starts: 2027-02-06}\n"])
def test_without_a_currency_or_a_batch_all_else_that_is_wrong_is_told_too(tmp_path: Path, missing: str) -> None:
    text = a_text(cuts="  - {cut: moon cheese, price: 3.00 per kg}").replace(missing, "")
    assert sorted(slugs(reading_of(tmp_path, text))) == ["missing-field", "unknown-cut"]


def test_one_run_tells_what_is_wrong_with_every_dog_however_many_are(tmp_path: Path) -> None:
    """Nine dogs whose forms are wrong are taken out, and of the last, whose form is right, what it says is read."""
    wrong = [f"  - {{name: dog {number}, weigth: 20 kg, ration: 2.5 %, targets: prey model}}" for number in range(9)]
    right = "  - {name: Fern, weight: 20 kg, ration: 2.5 %, targets: prey model, avoid: [no such thing]}"
    found = slugs(reading_of(tmp_path, a_text(dogs="\n".join([*wrong, right]))))
    assert found.count("unknown-field") == 9
    alone = slugs(reading_of(tmp_path, a_text(dogs=right)))
    assert set(alone) <= set(found)


def test_the_currency_that_was_written_counts_also_where_something_else_is_wrong(tmp_path: Path) -> None:
    text = a_text(cuts="  - {cut: kale, price: 3.50 per kg}", more="buget: 60").replace("EUR", "JPY")
    reading = reading_of(tmp_path, text)
    assert [finding.message for finding in reading.findings if "finer" in finding.message] == [
        "`3.50` is finer than 1 JPY"
    ]
