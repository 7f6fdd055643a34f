"""Lists of others as tables, and their rows as offers. All names and prices are invented.

**Source:** the house's own rules; semicolons with decimal commas as spreadsheets of many countries write them, from
memory, not looked up.
"""

from pathlib import Path

import pytest

from raworder.reading.answers import known
from raworder.reading.files import plain_file
from raworder.reading.foreign_lists import (
    Columns,
    has_bare_packs,
    has_bare_prices,
    heading_unit,
    list_decimal_mark,
    list_rows,
    offer_fields,
    reads_as_ours,
)
from raworder.reading.list_tables import ForeignList, read_foreign_list
from raworder.reading.notes import Notes
from raworder.reading.price_words import heading_basis
from raworder.trade.supplier_list import ListRow
from tests.commands.running import SCENARIOS

LIST = "Prices, 2027\n\nArticle;Weight;Price\nneck;1,5;2,40\ntrim;;6,20 per kg\n"


def table(folder: Path, text: str = LIST) -> ForeignList:
    """The table of a list."""
    path = folder / "list.csv"
    path.write_text(text, encoding="utf-8")
    notes = Notes()
    found = read_foreign_list(plain_file(path), notes)
    assert found is not None, notes.all()
    return found


def rows(folder: Path, text: str, columns: Columns) -> list[ListRow]:
    """What the rows of a list offer."""
    return list(list_rows(table(folder, text), columns, "EUR"))


def refusal(folder: Path, content: bytes) -> str:
    """Why a list is refused."""
    path, notes = folder / "list.csv", Notes()
    path.write_bytes(content)
    assert read_foreign_list(plain_file(path), notes) is None
    return notes.all()[0].slug


def test_a_line_above_the_headings_is_passed_over_and_a_decimal_comma_separates_nothing(tmp_path: Path) -> None:
    found = table(tmp_path)
    assert found.headings == ("Article", "Weight", "Price")
    assert [row.cells[0].place.line for row in found.rows] == [4, 5]
    assert found.column("PRICE") == 2
    assert found.column("nothing") is None


@pytest.mark.parametrize(
    ("content", "slug"),
    [
        (b"", "separator-in-doubt"),
        (b"a;b\n", "no-rows"),
        (b"a,b;c\n1,2;3\n", "separator-in-doubt"),
        (b'a;b\n"c;1\n', "unclosed-quote"),
        (b"a;b\n\x1bc;1\n", "control-character"),
        (b"a;b\n\xe4;1\n", "unreadable-text"),
    ],
)
def test_what_is_no_table_is_refused_and_never_raises(tmp_path: Path, content: bytes, slug: str) -> None:
    assert refusal(tmp_path, content) == slug


@pytest.mark.parametrize(
    ("headings", "proposed"),
    [
        ("Code;Item;Price", {"code": 0, "cut": 1, "price": 2}),
        ("Item;Price;Pack", {"cut": 0, "price": 1, "pack": 2}),
        ("Item;Description;Price", {"code": 0, "cut": 1, "price": 2}),
    ],
)
def test_item_heads_the_names_where_nothing_else_does(headings: str, proposed: dict[str, int], tmp_path: Path) -> None:
    assert table(tmp_path, f"{headings}\n1;2;3\n").proposed_columns() == proposed


def test_a_row_of_another_width_is_kept_apart(tmp_path: Path) -> None:
    found = table(tmp_path, LIST + "heart;1;2;3\n")
    assert len(found.rows) == 2
    offers = list(list_rows(found, Columns({"cut": 0, "pack": 1, "price": 2}, pack_unit="kg", decimal=","), "EUR"))
    assert (offers[-1].line, offers[-1].why) == (6, "it has 4 cells and the headings 3")


def test_a_unit_or_a_basis_is_only_what_the_heading_says() -> None:
    assert [heading_unit(one) for one in ("Pack (KG)", "g", "weight_lb", "Gebinde", "kg or lb", "bag", "package")] == [
        "kg", "g", "lb", "", "", "", ""
    ]  # fmt: skip
    headings = ("Price per lb", "EUR/kg", "Preis je kg", "per 100 g", "Price", "kg", "packaging")
    assert [heading_basis(one) for one in headings] == [
        "lb", "kg", "kg", "100 g", "", "", ""
    ]  # fmt: skip


def test_rows_become_fields_with_points_and_units(tmp_path: Path) -> None:
    columns = Columns({"cut": 0, "pack": 1, "price": 2}, "kg", "kg", ",")
    found = rows(tmp_path, "A;W;P\nneck;1,5;2,40\ntrim;;6,20/kg\nheart;500 G;EUR 3.00\nliver;2 kg;€ 1,90\n", columns)
    assert [one.why or dict(offer_fields(one, one.name)) for one in found] == [
        {"pack": "1.5 kg", "price": "2.40 per kg"},
        {"price": "6.20 per kg"},
        "`3.00` does not fit this list's decimal mark, a comma",
        {"pack": "2 kg", "price": "1.90 per kg"},
    ]


@pytest.mark.parametrize(
    "row", ["neck;;2.40", ";1 kg;2.40", "neck;1 kg;", "neck;1 stone;2.40", "neck;1 kg;2.405", "neck;1 kg;ask"]
)
def test_a_row_that_says_too_little_is_told_and_not_filled_in(tmp_path: Path, row: str) -> None:
    (found,) = rows(tmp_path, f"A;W;P\n{row}\n", Columns({"cut": 0, "pack": 1, "price": 2}))
    assert found.why
    assert not found.sold_now


def test_what_a_list_says_of_itself_is_seen(tmp_path: Path) -> None:
    found = table(tmp_path)
    by_field = {"cut": 0, "pack": 1, "price": 2}
    assert list_decimal_mark(found, by_field) == ","
    assert list_decimal_mark(table(tmp_path, "A;P\nneck;1.234\n"), {"cut": 0, "price": 1}) == ""
    assert has_bare_packs(found, by_field)
    assert has_bare_prices(found, by_field)
    assert not has_bare_prices(table(tmp_path, "A;P\nneck;2.40/kg\ntrim;3 per 100 g\n"), {"cut": 0, "price": 1})


def test_the_lists_own_name_is_kept_where_it_is_another(tmp_path: Path) -> None:
    one, two = rows(tmp_path, "A;P\nHals;2 per kg\nChicken Neck;2 per kg\n", Columns({"cut": 0, "price": 1}))
    assert offer_fields(one, "chicken neck") == {"item": "Hals", "price": "2.00 per kg"}
    assert offer_fields(two, "chicken neck") == {"price": "2.00 per kg"}


def test_what_the_list_calls_an_item_itself_stays_where_it_is(tmp_path: Path) -> None:
    (one,) = rows(tmp_path, "A;P;I\nHals;2 per kg;Nr. 7\n", Columns({"cut": 0, "price": 1, "item": 2}))
    assert [*offer_fields(one, "chicken neck").items()] == [("price", "2.00 per kg"), ("item", "Nr. 7")]


def test_a_price_is_for_a_pack_unless_something_else_is_said(tmp_path: Path) -> None:
    (one,) = rows(tmp_path, "A;W;P\nneck;2 kg;2.40\n", Columns({"cut": 0, "pack": 1, "price": 2}))
    assert offer_fields(one, "neck") == {"pack": "2 kg", "price": "2.40"}


def test_a_list_of_ours_is_known_by_its_columns_and_its_cuts(tmp_path: Path) -> None:
    catalogue = known().catalogue
    folder = SCENARIOS / "lists"
    assert reads_as_ours(folder / "quayside.csv", SCENARIOS, "EUR", catalogue)
    assert not reads_as_ours(folder / "quayside.csv", tmp_path, "EUR", catalogue)
    for text in ("cut,price\nchicken necks,2 per kg\n", "cut,price\nkale,much\n", "Artikel,price\nkale,2 per kg\n"):
        (tmp_path / "list.csv").write_text(text)
        assert not reads_as_ours(tmp_path / "list.csv", tmp_path, "EUR", catalogue)
