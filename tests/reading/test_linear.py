"""Reading takes twice as long for twice as much, and ends: told by what is called how often, never by a clock.

**Source:** arithmetic; the files are invented.
"""

from collections import Counter
from itertools import pairwise
from pathlib import Path
from unittest.mock import patch

import pytest

from raworder.reading import cell_tables as tables
from raworder.reading import dog_entries, located, offers, price_lists, workbooks
from raworder.reading import form_fields as problems
from raworder.reading import names as names_of_things
from raworder.reading import offers as variants
from raworder.reading import own_food as own_cuts
from raworder.reading.catalogue import reference_catalogue
from raworder.reading.help_pages import read_slugs
from raworder.reading.located import Entries, text_at
from raworder.reading.notes import MOST_SOUGHT
from raworder.reading.reference import read_cuts, toxic_food
from raworder.reading.scenario_file import Reading, read_scenario_text
from raworder.trade.cuts import Cut
from raworder.trade.findings import Place
from tests.hostile.workbooks import a_book, repacked
from tests.reading.written import a_text, reading_of, slugs
from tests.speed.awkward import CUTS, HEAD
from tests.speed.awkward import offers as lines_of_offers

SUPPLIER = "suppliers:\n  - {name: Hollow Lane, price_list: {file: prices.csv}}\n"


def text_with(lines: int) -> str:
    return a_text(cuts="".join(lines_of_offers(lines)).rstrip("\n"))


def test_names_are_looked_up_once_however_many_offers_bear_them() -> None:
    counts = []
    for lines in (40, 80):
        with (
            patch("raworder.reading.given.toxic_food", side_effect=toxic_food) as asked,
            patch.object(variants, "_as_stated", side_effect=variants._as_stated) as stated,
        ):
            assert read_scenario_text(text_with(lines), Path("a.yaml")).scenario is not None
        assert max(Counter(str(call.args[0]) for call in asked.call_args_list).values()) == 1
        counts.append(stated.call_count)
    assert counts[0] == counts[1] == 8


def test_the_densest_food_is_worked_out_once_for_all_dogs_with_the_same_rules() -> None:
    dogs = "\n".join(
        f"  - {{name: Dog {n}, weight: {n} kg, ration: 110 kcal/kg^0.75, targets: prey model}}" for n in range(5, 35)
    )
    text = a_text(dogs=dogs)
    with patch.object(dog_entries, "densest_kcal_per_g", wraps=dog_entries.densest_kcal_per_g) as worked_out:
        scenario = read_scenario_text(text, Path("a.yaml")).scenario
    assert scenario is not None
    assert len({dog.batch_g for dog in scenario.dogs}) == 30
    assert worked_out.call_count == 1


@pytest.mark.slow
def test_what_was_meant_is_sought_for_the_first_findings_only() -> None:
    cuts = "\n".join(f"  - {{cut: chickn nekc {n}, price: 2 per kg}}" for n in range(MOST_SOUGHT + 50))
    with patch.object(offers, "help_for_unknown_cut", wraps=offers.help_for_unknown_cut) as sought:
        findings = read_scenario_text(a_text(cuts=cuts), Path("a.yaml")).findings
    unknown = [one for one in findings if one.slug == "unknown-cut"]
    assert sought.call_count == MOST_SOUGHT
    assert [one.help for one in unknown[:MOST_SOUGHT]] == ["did you mean `chicken neck`?"] * MOST_SOUGHT
    assert {one.help for one in unknown[MOST_SOUGHT:]} == {
        "describe it under `own_cuts`, or look names up with `raworder cuts`"
    }


def test_entries_in_error_are_taken_out_of_the_right_lists_deep_ones_first() -> None:
    more = (
        "suppliers:\n"
        "  - {name: A, cuts: [{cut: kale, price: x}, {cut: kael, price: 3 per kg}]}\n"
        "  - {nam: B, cuts: [{cut: chrd, price: 3 per kg}]}\n"
        "  - {name: C, cuts: [{cut: chard, price: y}, {cut: chrad, price: 3 per kg}, {cut: beef trim, price: z}]}\n"
    )
    found = read_scenario_text(a_text(more=more), Path("a.yaml")).findings
    told = Counter((one.slug, one.place.line) for one in found)
    assert told["unknown-cut", 8] == told["unknown-cut", 9] == told["unknown-cut", 10] == 1
    assert told["bad-value", 8], told["bad-value", 10] == (1, 2)


def test_a_file_of_too_many_values_is_refused_where_the_first_too_many_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(located, "MOST_VALUES", 20)
    (finding,) = read_scenario_text(f"{HEAD}dogs: [{'[], ' * 20}]\n{CUTS}", Path("a.yaml")).findings
    assert (finding.slug, finding.place.line) == ("too-large", 3)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (f"{HEAD}dogs:\n" + "  - {name: Maple}\n" * 31, 34),
        (f"{HEAD}title: {{{', '.join(f'f{n}: 1' for n in range(31))}}}\n", 3),
        (HEAD + "title: a\n" * 31, 31),
    ],
    ids=["a list", "a mapping", "one key again and again"],
)
def test_a_list_or_mapping_of_too_many_entries_is_refused_where_the_first_too_many_stands(
    text: str, line: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(located, "MOST_ENTRIES", 30)
    found = [one for one in read_scenario_text(text, Path("a.yaml")).findings if one.slug != "repeated-key"]
    assert [(one.slug, one.place.line) for one in found] == [("too-large", line)]
    assert "at most 30 entries" in found[0].message


def test_the_ceilings_are_above_what_anybody_has() -> None:
    assert located.MOST_ENTRIES > 10_000
    assert located.MOST_VALUES > 90_000
    assert price_lists.MOST_ROWS > 10_000


def test_the_ceilings_are_those_that_are_told() -> None:
    said, of_books = (read_slugs()[slug].says for slug in ("too-large", "workbook-too-large"))
    assert f"{located.MOST_VALUES} values and {located.MOST_ENTRIES} entries" in said
    assert f"{price_lists.MOST_ROWS} rows of a price list" in said
    assert f"{workbooks.MOST_TAGS} tags, {workbooks.MOST_CELLS} cells or {workbooks.MOST_MERGES} merged" in of_books
    assert f"more than {workbooks.MOST_ROWS} rows" in of_books
    assert tables.MOST_CELLS == workbooks.MOST_CELLS


def test_errors_of_form_beyond_the_most_are_not_listed_and_that_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(problems, "MOST_PROBLEMS", 3)
    cuts = "\n".join(f"  - {{cut: kale, price: x{n}}}" for n in range(5))
    found = read_scenario_text(a_text(cuts=cuts), Path("a.yaml")).findings
    bad = [one.place.line for one in found if one.slug == "bad-value"]
    assert [(one.slug, one.place.line) for one in found if one.slug == "too-large"] == [("too-large", bad[-1] + 1)]
    assert len(bad) == 3


OWN = "own_cuts:\n"


def own_cuts_of(count: int, more: str = "species: beef") -> str:
    return OWN + "".join(f"  - {{cut: mine {n}, {more}, bone: 10 %, fat: 9 %}}\n" for n in range(count))


def test_one_own_cut_too_many_is_refused_at_its_name_and_nobody_is_told_it_is_unknown(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(own_cuts, "MOST_OWN_CUTS", 3)
    assert read_scenario_text(a_text(more=own_cuts_of(3)), Path("a.yaml")).scenario is not None
    text = a_text(cuts="  - {cut: mine 4, price: 3 per kg}", more=own_cuts_of(5))
    (finding,) = read_scenario_text(text, Path("a.yaml")).findings
    line = 1 + [*text.split("\n")].index("  - {cut: mine 3, species: beef, bone: 10 %, fat: 9 %}")
    assert (finding.slug, finding.place.line) == ("too-large", line)


def test_a_mix_that_names_too_many_cuts_is_refused_at_the_first_too_many() -> None:
    def reading(count: int) -> Reading:
        named = ", ".join(["beef trim"] * count)
        return read_scenario_text(a_text(more=own_cuts_of(1, f"made_of: [{named}]")), Path("a.yaml"))

    assert "too-large" not in slugs(reading(own_cuts.MOST_IN_MIX))
    (finding,) = [one for one in reading(own_cuts.MOST_IN_MIX + 1).findings if one.slug == "too-large"]
    assert f"at most {own_cuts.MOST_IN_MIX} cuts" in finding.message


def test_what_is_in_a_chain_of_mixes_is_followed_once_for_each() -> None:
    chain = "".join(
        f"  - {{cut: mix {n}, made_of: [mix {n + 1}], species: beef, bone: 0 %, fat: 9 %}}\n" for n in range(40)
    )
    with patch.object(own_cuts, "_all_below", side_effect=own_cuts._all_below) as followed:
        found = read_scenario_text(
            a_text(more=f"{OWN}{chain}{own_cuts_of(1)[len(OWN) :].replace('mine 0', 'mix 40')}"), Path("a.yaml")
        )
    assert "too-deep" in slugs(found)
    assert followed.call_count <= 40


def test_cuts_are_told_apart_without_comparing_all_that_is_in_them() -> None:
    catalogue = reference_catalogue(read_cuts())
    with patch.object(Cut, "__hash__", side_effect=AssertionError):
        assert len(catalogue.cuts) == len({cut.name for cut in catalogue.by_name.values()})


def test_lines_with_strange_characters_beyond_the_most_are_not_listed_and_that_is_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(located, "MOST_STRANGE", 3)
    found = read_scenario_text(HEAD + "a: \u00ad\n" * 6, Path("a.yaml")).findings
    assert [(one.slug, one.place.line) for one in found] == [
        *(("control-character", line) for line in (3, 4, 5)),
        ("too-large", 6),
    ]


def test_a_list_is_not_read_on_after_too_many_bad_rows_and_that_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(price_lists, "MOST_BAD_ROWS", 3)
    files = {"prices.csv": "cut,price\nkale,3 per kg\n" + "kale,x\n" * 8}
    found = reading_of(tmp_path, a_text(more=SUPPLIER), files).findings
    assert [one.place.line for one in found if one.slug == "bad-value"] == [3, 4, 5, 6]
    assert [one.place.line for one in found if one.slug == "too-large"] == [6]


def test_what_stands_before_a_field_is_worked_out_once_for_a_mapping() -> None:
    fields = ", ".join(f"{n}, {n + 1000}" for n in range(100))
    with patch("raworder.reading.located.pairwise", side_effect=pairwise) as gone_through:
        found = read_scenario_text(
            a_text(cuts=f"  - {{cut: kale, price: 3 per kg, {fields}}}"), Path("a.yaml")
        ).findings
    assert gone_through.call_count == 1
    assert {one.slug for one in found} == {"unknown-field"}


def test_what_stands_before_a_field_written_later_is_found() -> None:
    place = Place("a.yaml", 1, 1)
    one, two, three = (text_at(word, place) for word in ("one", "two", "three"))
    entries = Entries(place, [(one, two), (two, three)])
    assert (entries.before("one"), entries.before("two")) == (None, "two")
    entries.put(three, one)
    assert entries.before("three") == "three"


@pytest.mark.parametrize(
    ("content", "line"),
    [("cut,price\n" + "," * 21, 2), ("cut,price\n" + "kale,3 per kg\n" * 9, 10)],
    ids=["a wide row", "many rows"],
)
def test_a_list_of_too_many_cells_or_rows_is_refused(
    content: str, line: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tables, "MOST_CELLS", 20)
    monkeypatch.setattr(price_lists, "MOST_ROWS", 8)
    (finding,) = reading_of(tmp_path, a_text(more=SUPPLIER), {"prices.csv": content}).findings
    assert (finding.slug, finding.place.line) == ("too-large", line)


@pytest.mark.parametrize(
    "row",
    [
        b"<row>" + b"<c/>" * (workbooks.MOST_CELLS + 1) + b"</row>",
        b"<row><c " + b" " * 10_001 + b"/></row>",
        b"<!--" + b"a" * 10_001 + b"-->",
        b"<!---->" * (workbooks.MOST_COMMENTS + 1),
        b'<mergeCell ref="A2:B3"/>' * (workbooks.MOST_MERGES + 1),
    ],
    ids=["empty cells", "a tag without end", "a comment without end", "comments", "merged cells"],
)
def test_a_workbook_that_would_take_for_ever_is_refused(row: bytes, tmp_path: Path) -> None:
    sheet = "xl/worksheets/sheet1.xml"
    book = repacked(a_book(), sheet, lambda xml: xml.replace(b"</sheetData>", row + b"</sheetData>"))
    more = SUPPLIER.replace("csv", "xlsx")
    assert slugs(reading_of(tmp_path, a_text(more=more), {"prices.xlsx": book})) == ["workbook-too-large"]


def test_a_sheet_that_goes_on_for_ever_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workbooks, "LAST_ROW", 40)
    book = a_book([("cut", "price"), *[("kale", "3 per kg"), *[("", "")] * 9] * 5])
    (finding,) = reading_of(tmp_path, a_text(more=SUPPLIER.replace("csv", "xlsx")), {"prices.xlsx": book}).findings
    assert (finding.slug, "beyond row 40" in finding.message) == ("workbook-too-large", True)


def test_a_sheet_without_formulas_is_read_once(tmp_path: Path) -> None:
    more = SUPPLIER.replace("csv", "xlsx")
    with patch.object(
        workbooks._Workbook, "_open_workbook", autospec=True, side_effect=workbooks._Workbook._open_workbook
    ) as opened:
        assert reading_of(tmp_path, a_text(more=more), {"prices.xlsx": a_book()}).scenario is not None
    assert opened.call_count == 1


def test_unknown_fields_are_compared_with_known_ones_for_the_first_findings_only() -> None:
    fields = ", ".join(f"f{n}: 1" for n in range(MOST_SOUGHT + 50))
    text = a_text(cuts=f"  - {{cut: kale, price: 3 per kg, {fields}}}")
    with patch.object(problems, "did_you_mean", wraps=names_of_things.did_you_mean) as sought:
        read_scenario_text(text, Path("a.yaml"))
    assert sought.call_count == MOST_SOUGHT
