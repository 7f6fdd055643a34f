"""Receipts: every line finds its offer, or is told with its place. All data is invented."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from raworder.reading.help_pages import read_slugs
from raworder.reading.receipts import ReadReceipt, read_receipt
from raworder.rendering.files_to_fill import WRITERS, receipt_csv
from raworder.trade.nutrients import BoneCalcium
from raworder.trade.plan import OrderLine, Plan
from raworder.trade.purchase import Receipt, Received, full_receipt
from raworder.trade.scenario import Offer, PriceStep, Scenario
from tests.builders import (
    FENWICK,
    HOLLOW_LANE,
    SMALL,
    SMALL_PLAN,
    TIDEWELL,
    a_cut,
    a_plan,
    a_scenario,
    a_supplier,
    an_offer,
    an_offer_by_weight,
)
from tests.reading.written import cut_of
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN

TRIM = f"supplier: {HOLLOW_LANE}, cut: beef trim"
NECK = f"supplier: {FENWICK}, cut: chicken neck"
HEADER = "supplier,cut,item,code,packs,weight,paid\n"


def reading_of(
    folder: Path, content: str | bytes, scenario: Scenario = SMALL, name: str = "receipt.yaml"
) -> ReadReceipt:
    path = folder / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_receipt(path, scenario)


def of_lines(folder: Path, *lines: str, scenario: Scenario = SMALL) -> ReadReceipt:
    """A receipt in YAML, its lines from line 2 on, their fields from column 4 on."""
    return reading_of(folder, "bought:\n" + "".join(f"- {{{line}}}\n" for line in lines), scenario)


def of_rows(folder: Path, *rows: str, scenario: Scenario = SMALL) -> ReadReceipt:
    return reading_of(folder, HEADER + "".join(f"{row}\n" for row in rows), scenario, "receipt.csv")


def marked(text: str, slug: str) -> tuple[str, str]:
    """The text without its `^`, and the finding that belongs at the place where that stood."""
    before = text[: text.index("^")]
    return text.replace("^", "", 1), f"{slug}@{before.count(chr(10)) + 1}:{len(before) - before.rfind(chr(10))}"


def only(reading: ReadReceipt) -> Received:
    """The one line of a receipt."""
    assert reading.receipt is not None, reading.findings
    (line,) = reading.receipt.lines
    return line


def told(reading: ReadReceipt) -> list[str]:
    """The findings as `slug@line:column`; what they must have is looked at in passing."""
    for finding in reading.findings:
        assert finding.severity is read_slugs()[finding.slug].severity
        assert finding.message[0] in "`0123456789" or finding.message[0].islower()
        assert not finding.message.endswith(".")
        assert finding.help
    assert (reading.receipt is None) == any(finding.refuses for finding in reading.findings)
    return [f"{one.slug}@{one.place.line}:{one.place.column}" for one in reading.findings]


def test_a_receipt_is_read_line_by_line(tmp_path: Path) -> None:
    text = f"""\
bought:
  - {{{TRIM}, weight: 6.8 kg, paid: 39.44}}
  - {{{NECK}, packs: 3, paid: 7.50 EUR}}
delivery:
  {FENWICK}: 3.00
  {HOLLOW_LANE}: 4.50
"""
    assert reading_of(tmp_path, text) == ReadReceipt(
        Receipt(
            (
                Received("trim", HOLLOW_LANE, "beef trim", 6_800, 6_800, Decimal("39.44")),
                Received("neck", FENWICK, "chicken neck", 3, 3_000, Decimal("7.50")),
            ),
            ((HOLLOW_LANE, Decimal("4.50")), (FENWICK, Decimal("3.00"))),
        ),
        (),
    )


def test_lines_know_where_they_stand(tmp_path: Path) -> None:
    place = only(of_lines(tmp_path, f"{NECK}, packs: 2")).place
    assert place is not None
    assert (place.file, place.line, place.column) == ((tmp_path / "receipt.yaml").as_posix(), 2, 38)


def test_money_not_said_is_what_the_list_asks(tmp_path: Path) -> None:
    # 4.999 kg are below the price break: 6.20 each, 30.9938; 5 kg are not: 5.80 each
    assert only(of_lines(tmp_path, f"{TRIM}, weight: 4999 g")).paid == Decimal("30.99")
    assert only(of_lines(tmp_path, f"{TRIM}, weight: 5 kg")).paid == Decimal("29.00")
    assert only(of_lines(tmp_path, f"{NECK}, packs: 2")).paid == Decimal("4.80")


def test_names_are_known_whatever_their_case_and_spaces(tmp_path: Path) -> None:
    line = only(of_lines(tmp_path, "supplier: fenwick  WHOLESALE, cut: Chicken Neck, packs: 2"))
    assert (line.supplier, line.cut) == (FENWICK, "chicken neck")


def test_packs_may_be_weighed(tmp_path: Path) -> None:
    line = only(of_lines(tmp_path, f"{NECK}, packs: 2, weight: 2.13 kg"))
    assert (line.units, line.grams, line.paid) == (2, 2_130, Decimal("4.80"))


def test_pounds_are_rounded_to_the_gram(tmp_path: Path) -> None:
    # 1 lb is 453.59237 g
    assert only(of_lines(tmp_path, f"{TRIM}, weight: 1 lb")).grams == 454


def test_of_what_there_was_none_of_there_is_no_line(tmp_path: Path) -> None:
    reading = of_lines(tmp_path, f"{NECK}, packs: 0", f"{TRIM}, weight: 0 g, paid: 0")
    assert reading == ReadReceipt(Receipt((), none_left=("neck", "trim")), ())
    assert reading_of(tmp_path, "bought: []\n") == ReadReceipt(Receipt(()), ())


def catch_weight(offer: Offer) -> Offer:
    """The offer as packs of about its weight at 6.00 per kg, each at most a tenth heavier."""
    price = PriceStep(1, Fraction(6) * offer.unit_g / 1000, Decimal("6.00"), "kg")
    return replace(offer, steps=(price,), heaviest_g=Fraction(offer.unit_g) * 11 / 10)


CATCH = a_scenario(offers=[catch_weight(an_offer(key="trim", pack_g=2_300))])


def test_a_catch_weight_is_charged_by_what_it_weighs(tmp_path: Path) -> None:
    # 4.73 kg at 6.00; two packs of 2.3 kg without being weighed are 4.6 kg
    weighed = only(of_lines(tmp_path, f"{TRIM}, packs: 2, weight: 4.73 kg", scenario=CATCH))
    assert (weighed.units, weighed.grams, weighed.paid) == (2, 4_730, Decimal("28.38"))
    unweighed = only(of_lines(tmp_path, f"{TRIM}, packs: 2", scenario=CATCH))
    assert (unweighed.units, unweighed.grams, unweighed.paid) == (2, 4_600, Decimal("27.60"))


def test_a_catch_weight_above_the_heaviest_is_doubted(tmp_path: Path) -> None:
    assert told(of_lines(tmp_path, f"{TRIM}, packs: 2, weight: 5.06 kg", scenario=CATCH)) == []
    assert told(of_lines(tmp_path, f"{TRIM}, packs: 2, weight: 5.07 kg", scenario=CATCH)) == ["unlike-the-list@2:69"]


def test_what_is_sold_in_steps_is_read_as_the_nearest_number_of_them(tmp_path: Path) -> None:
    # 6.00 per kg: 649 g cost 3.894, and are 13 steps of 50 g rather than 12
    scenario = a_scenario(offers=[an_offer_by_weight(key="trim", unit_g=50, price_per_kg=6)])
    line = only(of_lines(tmp_path, f"{TRIM}, weight: 649 g", scenario=scenario))
    assert (line.units, line.grams, line.paid) == (13, 649, Decimal("3.89"))
    least = only(of_lines(tmp_path, f"{TRIM}, weight: 10 g", scenario=scenario))
    assert (least.units, least.grams) == (1, 10)


VARIANT = "chicken neck (bone 28 %)"
VARIANTS = a_scenario(cuts=[a_cut(VARIANT), a_cut("beef trim")])


def test_a_substitute_may_be_a_cut_that_only_the_reference_table_knows(tmp_path: Path) -> None:
    reading = of_rows(tmp_path, f"{HOLLOW_LANE},duck neck,,,,600 g,3.10")
    assert reading.receipt is not None
    assert [(one.offer, one.cut, one.grams) for one in reading.receipt.lines] == [("", "duck neck", 600)]
    assert [cut.name for cut in reading.receipt.cuts] == ["duck neck"]


def test_a_cut_may_be_called_by_another_name_that_the_reference_table_has_for_it(tmp_path: Path) -> None:
    """A chicken carcass is a chicken frame; it is not taken for a second cut of the same name."""
    scenario = a_scenario(cuts=[a_cut("chicken frame")], offers=[an_offer("chicken frame", key="frame")])
    reading = of_rows(tmp_path, f"{HOLLOW_LANE},Chicken carcass,,,2,,", scenario=scenario)
    line = only(reading)
    assert (line.offer, line.cut) == ("frame", "chicken frame")
    assert reading.receipt is not None
    assert reading.receipt.cuts == ()


@pytest.mark.parametrize("cut", ["duck neck", "beef tongue", "salmon head"])
def test_a_substitute_is_known_as_well_as_the_same_cut_of_a_list(cut: str, tmp_path: Path) -> None:
    """**Source:** the tables of nutrients, as the reader of price lists takes them."""
    reading = of_rows(tmp_path, f"{HOLLOW_LANE},{cut},,,,600 g,3.10")
    assert reading.receipt is not None
    assert reading.receipt.cuts == (cut_of(tmp_path, f"cut: {cut}, price: 4.00 per kg"),)
    assert reading.receipt.cuts[0].analysis.of("fat")


def test_the_bone_of_a_substitute_holds_the_calcium_that_the_scenario_says(tmp_path: Path) -> None:
    chalk = BoneCalcium("poultry", Fraction(20, 100), Fraction(20, 100), Fraction(20, 100), Fraction(2))
    rich = replace(SMALL, bone_calcium=(chalk,))
    row = f"{HOLLOW_LANE},duck neck,,,,600 g,3.10"
    plain, other = (of_rows(tmp_path, row, scenario=one).receipt for one in (SMALL, rich))
    assert plain is not None
    assert other is not None
    calcium = [receipt.cuts[0].analysis.of("calcium") or Fraction(0) for receipt in (plain, other)]
    assert calcium[1] > 5 * calcium[0] > 0


def test_a_variant_goes_by_its_whole_name(tmp_path: Path) -> None:
    assert only(of_rows(tmp_path, f"{HOLLOW_LANE},{VARIANT},,,2,,", scenario=VARIANTS)).cut == VARIANT
    reading = of_rows(tmp_path, f"{HOLLOW_LANE},chicken neck,,,2,,", scenario=VARIANTS)
    assert told(reading) == ["unknown-substitute@2:21"]
    assert reading.findings[0].help == f"did you mean `{VARIANT}`?"


SEVERAL = a_scenario(
    offers=[
        an_offer(key="small", item="Trim small", code="T1", pack_g=500, price="1.50"),
        an_offer(key="large", item="Trim large", code="T5", pack_g=5_000, price="12.00"),
        an_offer(key="plain", item="Trim plain", pack_g=5_000, price="11.00"),
        an_offer_by_weight(key="cut", item="Trim cut to order"),
    ]
)


@pytest.mark.parametrize(
    ("fields", "key"),
    [
        ("item: trim SMALL, packs: 2", "small"),
        ("code: T5, packs: 2", "large"),
        ("packs: 2, weight: 1 kg", "small"),
        ("packs: 2, paid: 22.00", "plain"),
        ("packs: 2, weight: 10 kg, paid: 24.00", "large"),
        ("weight: 2 kg", "cut"),
        ("code: T1, item: Trim nothing, packs: 1", "small"),
    ],
)
def test_of_several_offers_the_one_that_fits_is_meant(fields: str, key: str, tmp_path: Path) -> None:
    assert only(of_lines(tmp_path, f"{TRIM}, {fields}", scenario=SEVERAL)).offer == key


@pytest.mark.parametrize(
    "fields", ["packs: 2", "packs: 2, weight: 10 kg", "code: T9, packs: 1", "packs: 2, paid: 1.00"]
)
def test_where_several_fit_the_choices_are_named(fields: str, tmp_path: Path) -> None:
    reading = of_lines(tmp_path, f"{TRIM}, {fields}", scenario=SEVERAL)
    assert told(reading) == ["ambiguous-offer@2:40"]
    assert "`Trim large`, code `T5`, packs of 5 kg; `Trim plain`, packs of 5 kg" in reading.findings[0].message
    assert "cut to order" not in reading.findings[0].message


def test_a_substitute_needs_its_weight_and_its_price(tmp_path: Path) -> None:
    line = only(of_lines(tmp_path, f"supplier: {TIDEWELL}, cut: lamb liver, weight: 1.2 kg, paid: 6.00"))
    assert line == Received("", TIDEWELL, "lamb liver", 1, 1_200, Decimal("6.00"))
    line = only(of_lines(tmp_path, f"supplier: {TIDEWELL}, cut: lamb liver, packs: 3, weight: 1.2 kg, paid: 6.00"))
    assert (line.units, line.grams) == (3, 1_200)
    missing = of_lines(tmp_path, f"supplier: {TIDEWELL}, cut: lamb liver, packs: 3")
    assert told(missing) == ["missing-field@2:34"] * 2
    assert [finding.help for finding in missing.findings] == ["add `paid: ...`", "add `weight: ...`"]


def test_a_substitute_that_the_scenario_does_not_know_is_refused(tmp_path: Path) -> None:
    reading = of_lines(tmp_path, f"supplier: {TIDEWELL}, cut: venison shank, weight: 1.2 kg, paid: 6.00")
    assert told(reading) == ["unknown-substitute@2:34"]
    assert reading.findings[0].help == "add it to the scenario with any price, and plan again"
    misspelt = of_lines(tmp_path, f"supplier: {TIDEWELL}, cut: Lamb livers, weight: 1.2 kg, paid: 6.00")
    assert misspelt.findings[0].help == "did you mean `lamb liver`?"


@pytest.mark.parametrize(
    ("fields", "slug"),
    [
        ("supplier: ^Fenwik Wholesale, cut: chicken neck, packs: 2", "unknown-supplier"),
        (f"supplier: {FENWICK}, cut: ^chicken neck", "missing-field"),
        (f"supplier: {FENWICK}, cut: ^chicken neck, weight: 2 kg", "missing-field"),
        (f"{NECK}, packs: ^2 kg", "bad-value"),
        (f"{NECK}, packs: ^-2", "bad-value"),
        (f"{NECK}, packs: ^2.5", "bad-value"),
        (f"{NECK}, packs: ^1000000", "bad-value"),
        (f"{NECK}, packs: 0, paid: ^4.80", "line-against-itself"),
        (f"{NECK}, packs: 0, weight: ^1 kg", "line-against-itself"),
        (f"{NECK}, packs: ^2, weight: 0 g", "line-against-itself"),
        (f"{NECK}, packs: 2, weight: ^2000", "no-unit"),
        (f"{NECK}, packs: 2, paid: ^-1.00", "bad-value"),
        (f"{NECK}, packs: 2, paid: ^4.805", "bad-value"),
        (f"{NECK}, packs: 2, paid: ^4.80 USD", "other-currency"),
        (f"{NECK}, ^pack: 2", "unknown-field"),
        (f"{NECK}, packs: 2, ^packs: 3", "repeated-key"),
        (f"supplier: {HOLLOW_LANE}, cut: ^beef trim", "missing-field"),
        (f"{TRIM}, packs: ^2", "wrong-amount"),
        (f"{TRIM}, weight: ^200 t", "unknown-unit"),
        (f"{TRIM}, weight: ^200000 kg", "absurd-amount"),
        (f"{TRIM}, weight: 0 g, paid: ^3.00", "line-against-itself"),
        ("^cut: beef trim, weight: 1 kg", "missing-field"),
        (f"^supplier: {HOLLOW_LANE}, weight: 1 kg", "missing-field"),
        (f"supplier: {TIDEWELL}, cut: lamb liver, weight: 0 g, paid: ^1.00", "line-against-itself"),
    ],
)
def test_one_mistake_gives_its_finding_and_no_other(fields: str, slug: str, tmp_path: Path) -> None:
    text, expected = marked(f"bought:\n- {{{fields}}}\n", slug)
    assert told(reading_of(tmp_path, text)) == [expected]


@pytest.mark.parametrize(
    ("text", "slug"),
    [
        ("^", "empty-file"),
        ("^# nothing yet\n\n", "empty-file"),
        ("\n  ^- {cut: kale}\n", "wrong-shape"),
        ("^[]\n", "wrong-shape"),
        ("bought: ^none\n", "wrong-shape"),
        ("^bought:\n", "empty-value"),
        ("^delivery: {}\n", "missing-field"),
        ("bought: [{^]\n", "broken-yaml"),
        ("bought: []\n^brought: []\n", "unknown-field"),
        ("bought: [^\x07]\n", "control-character"),
        ("bought: []\ndelivery: {^Nobody: 1.00}\n", "unknown-supplier"),
        (f"bought: []\ndelivery: {{{FENWICK}: 1.00, ^fenwick wholesale: 2.00}}\n", "repeated-key"),
        (f"bought: []\ndelivery: {{{FENWICK}: ^much}}\n", "bad-value"),
    ],
)
def test_what_is_no_receipt_is_told_with_its_place(text: str, slug: str, tmp_path: Path) -> None:
    content, expected = marked(text, slug)
    assert told(reading_of(tmp_path, content)) == [expected]


def test_bytes_that_are_no_text_are_told_with_their_place(tmp_path: Path) -> None:
    assert told(reading_of(tmp_path, b"bought: \xff\n")) == ["unreadable-text@1:9"]


def test_everything_is_told_in_one_run(tmp_path: Path) -> None:
    reading = of_lines(
        tmp_path, f"{NECK}, packs: two", "supplier: Nobody, cut: tripe", f"{TRIM}, weight: 1 kg", f"{TRIM}, packs: 2"
    )
    assert told(reading) == ["bad-value@2:59", "unknown-supplier@3:14", "unknown-substitute@3:27", "bought-twice@5:40"]
    assert reading.findings[0].source_line == f"- {{{NECK}, packs: two}}"


def test_what_is_on_the_receipt_twice_is_refused(tmp_path: Path) -> None:
    reading = of_lines(tmp_path, f"{NECK}, packs: 0", f"{NECK}, packs: 2")
    assert told(reading) == ["bought-twice@3:38"]
    assert reading.findings[0].note == "first written at 2:38"
    substitute = f"supplier: {TIDEWELL}, cut: lamb liver, weight: 1.2 kg, paid: 6.00"
    assert told(of_lines(tmp_path, substitute, substitute)) == ["bought-twice@3:34"]


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ("packs: 4, paid: 7.20", []),  # 9.60 on the list, a quarter off
        ("packs: 4, paid: 7.19", ["unlike-the-list@2:68"]),
        ("packs: 4, paid: 12.00", []),
        ("packs: 4, paid: 12.01", ["unlike-the-list@2:68"]),
        ("packs: 4, weight: 3 kg", []),  # 4 kg on the list
        ("packs: 4, weight: 2999 g", ["unlike-the-list@2:70"]),
        ("packs: 4, weight: 5 kg", []),
        ("packs: 4, weight: 5001 g", ["unlike-the-list@2:70"]),
    ],
)
def test_what_is_far_from_the_list_is_doubted_and_not_refused(fields: str, expected: list[str], tmp_path: Path) -> None:
    reading = of_lines(tmp_path, f"{NECK}, {fields}")
    assert told(reading) == expected
    assert only(reading).units == 4


def test_a_spreadsheet_may_change_separator_and_decimal_mark(tmp_path: Path) -> None:
    rows = f"{HOLLOW_LANE};beef trim;;;;6,8 kg;39,44\n{FENWICK};chicken neck;;;3;;\n"
    text = HEADER.replace(",", ";") + rows
    receipt = reading_of(tmp_path, text.encode("utf-8-sig"), name="RECEIPT.CSV").receipt
    assert receipt is not None
    assert [(one.grams, one.paid) for one in receipt.lines] == [(6_800, Decimal("39.44")), (3_000, Decimal("7.20"))]
    tabs = HEADER.replace(",", "\t") + f"{FENWICK}\tchicken neck\t\t\t3\t\t7.20\n"
    assert only(reading_of(tmp_path, tabs, name="a.csv")).units == 3


def test_columns_may_be_left_out_and_stand_in_any_order(tmp_path: Path) -> None:
    assert only(reading_of(tmp_path, f"packs,cut,supplier\n2,chicken neck,{FENWICK}\n", name="a.csv")).units == 2


@pytest.mark.parametrize(
    ("text", "slug"),
    [
        ("^", "empty-file"),
        ("^\n \n", "empty-file"),
        ("^,,,\n,,,\n", "empty-file"),
        (f"^{HEADER}", "no-rows"),
        (f"^{HEADER},,,,,,\n", "no-rows"),
        ("^supplier,packs\nx,1\n", "missing-column"),
        ("supplier,cut,^pakcs\nx,y,1\n", "unknown-column"),
        ("supplier,cut,^cut\nx,y,z\n", "repeated-column"),
        (f"{HEADER}{FENWICK},chicken neck,,,2,,4.80,^x\n", "wrong-cell-count"),
        (f"{HEADER}{FENWICK},chicken neck,,,^2\n", "wrong-cell-count"),
        (f'{HEADER}{FENWICK},^"chicken neck,,,2,,\n', "unclosed-quote"),
        (f'{HEADER}{FENWICK},chicken ^"neck",,,2,,\n', "stray-quote"),
        (f"{HEADER}{FENWICK},chicken^\u200b neck,,,2,,\n", "control-character"),
        (f'{HEADER}{FENWICK},chicken neck,,,2,,^"4,80"\n', "comma-in-number"),
        (f"{HEADER}{FENWICK},chicken neck,,,^two,,\n", "bad-value"),
        (f"{HEADER},^chicken neck,,,2,,\n", "missing-field"),
        (
            f"{HEADER.replace(',', ';')}{FENWICK};chicken neck;;;2;;4,80\n{FENWICK};chicken neck;;;2;^2.0 kg;\n",
            "other-decimal-mark",
        ),
    ],
)
def test_a_bad_sheet_gives_its_finding_and_no_other(text: str, slug: str, tmp_path: Path) -> None:
    content, expected = marked(text, slug)
    assert told(reading_of(tmp_path, content, name="receipt.csv")) == [expected]


def test_what_is_no_file_is_told(tmp_path: Path) -> None:
    assert told(read_receipt(tmp_path / "none.yaml", SMALL)) == ["no-such-file@1:1"]
    assert told(read_receipt(tmp_path, SMALL)) == ["not-a-file@1:1"]


def assert_read_back(folder: Path, scenario: Scenario, plan: Plan, ending: str = ".csv") -> None:
    """The blank receipt of a plan says what was planned."""
    reading = reading_of(folder, WRITERS[ending](scenario, full_receipt(scenario, plan)), scenario, f"receipt{ending}")
    assert reading.findings == ()
    assert reading.receipt is not None
    offers = {offer.key: offer for offer in scenario.offers}
    assert [(one.offer, one.units, one.grams, one.paid) for one in reading.receipt.lines] == [
        (line.offer, line.units, offers[line.offer].grams(line.units), line.goods) for line in plan.lines
    ]


@pytest.mark.parametrize("ending", WRITERS)
@pytest.mark.parametrize(
    ("scenario", "plan"), [(SMALL, SMALL_PLAN), (HOUSEHOLD, HOUSEHOLD_PLAN)], ids=["small", "household"]
)
def test_the_blank_receipt_of_a_plan_is_read_back(scenario: Scenario, plan: Plan, ending: str, tmp_path: Path) -> None:
    assert_read_back(tmp_path, scenario, plan, ending)


def test_the_blank_receipt_of_an_order_of_nothing_is_read_back(tmp_path: Path) -> None:
    reading = reading_of(tmp_path, WRITERS[".yaml"](SMALL, Receipt(())))
    assert reading == ReadReceipt(Receipt(()), ())


OUNCE_G = Fraction(28349523125, 10**9)
NAMES = (
    "=1+1",
    "'=1+2",
    "-2+3",
    "Ünal & \N{LATIN SMALL LETTER E WITH ACUTE}",
    "soft\N{SOFT HYPHEN}hyphen",
    'a "b", c',
    "日本",
)
HARD = a_scenario(
    cuts=[a_cut("beef trim"), a_cut("=kale"), a_cut(VARIANT)],
    offers=[
        *SEVERAL.offers,
        *(an_offer(key=f"pack {name}", supplier=name, item=name, code=name) for name in NAMES),
        an_offer(key="kale", cut="=kale", supplier="-2+3"),
        replace(an_offer_by_weight(VARIANT, key="ounces", supplier="日本"), unit_g=OUNCE_G),
        catch_weight(an_offer(VARIANT, key="about", supplier="'=1+2", pack_g=2_300)),
    ],
)


@pytest.mark.slow
@pytest.mark.parametrize("ending", [".csv", ".yaml"])
def test_blank_receipts_of_random_orders_are_read_back(ending: str, tmp_path: Path) -> None:
    chance = Random(3)
    for _ in range(200):
        lines = []
        for offer in chance.sample(HARD.offers, 8):
            units = chance.randint(1, 900)
            exact = offer.step_for(units).unit_price * units
            lines.append(OrderLine(offer.key, units, HARD.currency.rounded(exact)))
        assert_read_back(tmp_path, HARD, a_plan(lines=lines), ending)


def test_a_sheet_changed_in_the_shop_says_so(tmp_path: Path) -> None:
    sheet = receipt_csv(SMALL, full_receipt(SMALL, SMALL_PLAN)).replace(
        b"chicken neck,,2,,4.80", b"chicken neck,,3,3.1 kg,7.20"
    )
    assert sheet != receipt_csv(SMALL, full_receipt(SMALL, SMALL_PLAN))
    receipt = reading_of(tmp_path, sheet, name="receipt.csv").receipt
    assert receipt is not None
    assert receipt.lines[2] == Received("neck", FENWICK, "chicken neck", 3, 3_100, Decimal("7.20"))


@pytest.mark.slow
def test_no_damaged_receipt_gives_a_traceback(tmp_path: Path) -> None:
    chance = Random(4)
    lines = f"- {{{TRIM}, weight: 6.8 kg, paid: 39.44}}\n- {{{NECK}, packs: 3}}\n"
    texts = [
        ("receipt.yaml", f"bought:\n{lines}delivery: {{{FENWICK}: 3.00}}\n"),
        ("receipt.csv", receipt_csv(SMALL, full_receipt(SMALL, SMALL_PLAN)).decode("utf-8-sig")),
    ]
    pieces = [
        *"{}[]:,;#&*!|>'\"%@-?.\t\n\r 0\\",
        "",
        "- ",
        "null",
        "~",
        "<<: ",
        "9" * 30,
        "\x00",
        "\ud800",
        '""',
        " kg",
        "-1",
        "1e9",
    ]
    for _ in range(600):
        name, text = chance.choice(texts)
        for _ in range(chance.randint(1, 3)):
            start = chance.randrange(len(text) + 1)
            end = min(len(text), start + chance.choice([0, 1, 2, 5, 20]))
            text = text[:start] + chance.choice(pieces) + text[end:]
        told(reading_of(tmp_path, text.encode("utf-8", "surrogatepass"), name=name))


def test_a_scenario_without_suppliers_has_a_remedy_too(tmp_path: Path) -> None:
    scenario = a_scenario(offers=[], suppliers=[])
    assert told(of_lines(tmp_path, f"{TRIM}, weight: 1 kg, paid: 6.00", scenario=scenario)) == ["unknown-supplier@2:14"]


def test_delivery_of_a_supplier_of_any_name_is_read(tmp_path: Path) -> None:
    scenario = a_scenario(suppliers=[a_supplier(), a_supplier("Ünal")])
    reading = reading_of(tmp_path, "bought: []\ndelivery: {ünal: 2.00}\n", scenario)
    assert reading.receipt == Receipt((), (("Ünal", Decimal("2.00")),))


def test_what_is_sold_to_the_gram_is_counted_in_whole_grams(tmp_path: Path) -> None:
    # 15 lb are 6803.9 g
    line = only(of_lines(tmp_path, f"{TRIM}, weight: 15 lb, paid: 39.46"))
    assert (line.units, line.grams) == (6_804, 6_804)
    assert isinstance(line.units, int)
