"""Price lists in CSV files."""

import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest

from raworder.reading.scenario_file import read_scenario
from raworder.trade.scenario import Offer
from tests.reading.written import a_text, reading_of, scenario_of, slugs

SUPPLIER = "suppliers: [{name: Hollow Lane, price_list: prices.csv}]"


def listed(folder: Path, content: str | bytes, says: str = "prices.csv") -> tuple[Offer, ...]:
    """The offers of a price list, in the order of their lines."""
    more = f"suppliers: [{{name: Hollow Lane, price_list: {says}}}]"
    scenario = scenario_of(folder, a_text(more=more), {"prices.csv": content})
    lines = [offer for offer in scenario.offers if offer.supplier == "Hollow Lane"]
    return tuple(sorted(lines, key=lambda offer: offer.place.line if offer.place else 0))


def test_words_that_mean_something_to_programs_stay_words(tmp_path: Path) -> None:
    rows = "cut,item,code,price\nkale,NA,00123,3.00 per kg\nchard,None,1e5,3.00 per kg\nspinach,null,TRUE,3.00 per kg\n"
    offers = listed(tmp_path, rows)
    assert [(offer.item, offer.code) for offer in offers] == [("NA", "00123"), ("None", "1e5"), ("null", "TRUE")]


def test_every_column_is_read(tmp_path: Path) -> None:
    rows = (
        "price_breaks,rich,piece,fat,bone,most_per_order,available,least,step,price,pack,code,item,cut\n"
        "5: 2.20; 10: 2.00,yes,90 g,9 %,28 %,7,20,,,2.40,1 kg,N1,Necks,chicken neck\n"
        "5 kg: 5.80,,,,,3 kg,40 kg,200 g,50 g,6.20 per kg,,,,kale\n"
    )
    neck, kale = listed(tmp_path, rows)
    assert neck.cut == "chicken neck (bone 28 %, fat 9 %, piece 90 g, rich)"
    assert [(step.at_least, step.listed) for step in neck.steps] == [
        (1, Decimal("2.40")),
        (5, Decimal("2.20")),
        (10, Decimal("2.00")),
    ]
    assert (neck.available, kale.available, kale.unit_g, kale.least_units) == (7, 60, 50, 4)
    assert (kale.steps[1].at_least, kale.steps[1].per) == (100, "kg")


def test_a_list_says_what_the_same_lines_say_in_the_scenario(tmp_path: Path) -> None:
    from_list = listed(tmp_path, "cut,pack,price\nkale,1 kg,2.40\nchard,500 g,1.30\n")
    lines = "[{cut: kale, pack: 1 kg, price: 2.40}, {cut: chard, pack: 500 g, price: 1.30}]"
    inline = f"suppliers: [{{name: Hollow Lane, cuts: {lines}}}]"
    offers = scenario_of(tmp_path, a_text(more=inline)).offers
    assert set(from_list) == {offer for offer in offers if offer.supplier == "Hollow Lane"}


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_the_separator_is_told_by_the_header(tmp_path: Path, separator: str) -> None:
    rows = "cut|pack|price\nkale|1 kg|2.40\n".replace("|", separator)
    assert listed(tmp_path, rows)[0].unit_g == 1000


def test_a_stated_separator_counts(tmp_path: Path) -> None:
    (offer,) = listed(tmp_path, "cut;price\nkale;2.40 per kg\n", '{file: prices.csv, separator: ";"}')
    assert offer.by_weight
    reading = reading_of(
        tmp_path, a_text(more='suppliers: [{name: Hollow Lane, price_list: {file: prices.csv, separator: ","}}]')
    )
    assert slugs(reading) == ["missing-column"]


@pytest.mark.parametrize(
    ("says", "price", "listed_price"),
    [
        ("prices.csv", "2,40", "2.40"),
        ("prices.csv", "2.40", "2.40"),
        ('{file: prices.csv, decimal: ","}', "1234,50", "1234.50"),
        ("{file: prices.csv, decimal: .}", "1234.50", "1234.50"),
    ],
)
def test_decimal_marks_are_stated_or_told_by_the_numbers(
    tmp_path: Path, says: str, price: str, listed_price: str
) -> None:
    assert listed(tmp_path, f"cut;pack;price\nkale;1 kg;{price}\n", says)[0].steps[0].listed == Decimal(listed_price)


def test_a_stated_decimal_mark_decides_what_could_be_two_things(tmp_path: Path) -> None:
    rows = "cut;pack;price\nbeef trim;1.250 kg;8\n"
    assert slugs(reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.csv": rows})) == ["undecided-number"]
    assert listed(tmp_path, rows, "{file: prices.csv, decimal: .}")[0].unit_g == 1250


@pytest.mark.parametrize(
    ("encode", "says"),
    [
        ("utf-8", "prices.csv"),
        ("utf-8-sig", "prices.csv"),
        ("utf-16", "prices.csv"),
        ("cp1252", "{file: prices.csv, encoding: cp1252}"),
    ],
)
def test_encodings_are_told_by_their_mark_or_named(tmp_path: Path, encode: str, says: str) -> None:
    rows = "cut,item,price\nkale,Grünkohl,3.00 per kg\n".encode(encode)
    assert listed(tmp_path, rows, says)[0].item == "Grünkohl"


def test_lines_are_counted_over_cells_of_several_lines_and_blank_rows(tmp_path: Path) -> None:
    rows = 'cut,item,price\r\nkale,"green\r\ncurly",3.00 per kg\r\n\r\n,,\r\nchard,x,3.00 per kg\r\n'
    kale, chard = listed(tmp_path, rows)
    assert (kale.item, chard.place and chard.place.line) == ("green curly", 6)


def test_a_quoted_cell_may_hold_the_separator_and_quotes(tmp_path: Path) -> None:
    # Source: RFC 4180, section 2, rules 5 to 7.
    (offer,) = listed(tmp_path, 'cut,item,price\nkale,"green, ""curly""",3.00 per kg\n')
    assert offer.item == 'green, "curly"'


def test_rows_in_error_leave_the_others_to_be_checked(tmp_path: Path) -> None:
    rows = "cut,pack,price\nkale,1,2.40\nchard,1 kg,2.40\nkail,1 kg,2.40\nspinach,1 kg\n"
    reading = reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.csv": rows})
    assert [(one.slug, one.place.line) for one in reading.findings] == [
        ("no-unit", 2),
        ("unknown-cut", 4),
        ("wrong-cell-count", 5),
    ]


def test_a_cut_of_a_row_in_error_is_not_called_unsold(tmp_path: Path) -> None:
    dogs = "  - {name: Vera, care: ill, vet_amounts: {chard: 5 g}}"
    rows = "cut,pack,price\nchard,1,2.40\n"
    reading = reading_of(tmp_path, a_text(dogs=dogs, more=SUPPLIER), {"prices.csv": rows})
    assert slugs(reading) == ["no-unit"]


def test_a_list_behind_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "elsewhere.csv").write_text("cut,price\nkale,3.00 per kg\n")
    folder = tmp_path / "scenario"
    folder.mkdir()
    (folder / "prices.csv").symlink_to(tmp_path / "elsewhere.csv")
    assert slugs(reading_of(folder, a_text(more=SUPPLIER))) == ["price-list-outside"]


def test_a_link_in_a_circle_is_refused(tmp_path: Path) -> None:
    (tmp_path / "prices.csv").symlink_to(tmp_path / "prices.csv")
    reading = reading_of(tmp_path, a_text(more=SUPPLIER))
    assert reading.scenario is None
    assert set(slugs(reading)) <= {"price-list-outside", "no-such-file", "unreadable-file"}


def test_a_list_in_a_folder_below_is_found_from_anywhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a" / "lists").mkdir(parents=True)
    (tmp_path / "a" / "lists" / "prices.csv").write_text("cut,price\nkale,3.00 per kg\n")
    (tmp_path / "a" / "scenario.yaml").write_text(a_text(more=SUPPLIER.replace("prices", "lists/prices")))
    monkeypatch.chdir(tmp_path)
    scenario = read_scenario(Path("a/scenario.yaml")).scenario
    assert scenario is not None
    assert {offer.place.file for offer in scenario.offers if offer.place} == {"a/scenario.yaml", "a/lists/prices.csv"}


@pytest.mark.slow
def test_pandas_reads_no_price_list(tmp_path: Path) -> None:
    program = "import sys; from pathlib import Path; from raworder.reading.scenario_file import read_scenario as r;"
    program += "r(Path(sys.argv[1])); print('pandas' in sys.modules)"

    def imported() -> str:
        ran = subprocess.run(
            [sys.executable, "-c", program, str(tmp_path / "scenario.yaml")], capture_output=True, text=True, check=True
        )
        return ran.stdout.strip()

    reading_of(tmp_path, a_text())
    assert imported() == "False"
    reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.csv": "cut,price\nkale,3.00 per kg\n"})
    assert imported() == "False"


def test_a_catch_weight_stands_in_a_list_as_in_the_scenario(tmp_path: Path) -> None:
    rows = (
        "cut;pack;up_to;price\n"
        "kale;about 2,3 kg;2,6 kg;6,20 per kg\n"
        "chard;about 2,3 kg;;6,20 per kg\n"
        "spinach;1 kg;;3,00\n"
    )
    offers = listed(tmp_path, rows)
    assert [offer.unit_g for offer in offers] == [2300, 2300, 1000]
    assert [offer.heaviest_g for offer in offers] == [2600, 2530, None]
