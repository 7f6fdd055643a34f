"""What changed between two lists of a supplier, against sums by hand. All names, codes and prices are invented.

**Source:** arithmetic; sums stand beside the numbers.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.reading.currencies import read_currency
from raworder.studies.list_changes import ListComparison, RowChange, compare_rows, list_changes
from raworder.trade.document import Cell, Document, Points, Table
from raworder.trade.findings import Place
from raworder.trade.supplier_list import ListedPack, ListRow, Match, Standing, SupplierList
from tests.studies.tables import rows_of
from tests.studies.telling import told


def row(
    name: str,
    code: str = "",
    price: str = "10.00",
    kg: str = "5",
    *,
    cut: str = "",
    standing: Standing = Standing.SOLD,
    match: Match | None = None,
    line: int = 2,
) -> ListRow:
    """A row that sells a pack of 5 kg for 10.00."""
    return ListRow(
        name,
        Place("list.csv", line, 1),
        code,
        pack=ListedPack(Fraction(kg), "kg"),
        price=Decimal(price) if standing is Standing.SOLD else None,
        basis="pack",
        standing=standing,
        why="" if standing is Standing.SOLD else "its price is not understood",
        match=match or (Match.CUT if cut else Match.NEW),
        cut=cut,
    )


def a_list(*rows: ListRow) -> SupplierList:
    return SupplierList("list.csv", rows)


def changes(old: Sequence[ListRow], new: Sequence[ListRow], *earlier: SupplierList) -> list[tuple[str, ...]]:
    return [change.changes for change in compare_rows(a_list(*old), a_list(*new), earlier)]


def paper(old: Sequence[ListRow], new: Sequence[ListRow], unit: str = "kg") -> Document:
    compared = ListComparison(a_list(*old), a_list(*new), read_currency("EUR"), unit)
    return list_changes(compared)


def test_the_price_of_a_kilogram_says_whether_an_item_is_dearer() -> None:
    heart = row("heart", "H1", "10.00", "5")  # 2.00 a kilogram
    assert changes([heart], [row("heart", "H1", "10.50", "5")]) == [("dearer",)]
    assert changes([heart], [row("heart", "H1", "9.99", "5")]) == [("cheaper",)]
    assert changes([heart], [heart]) == [()]
    assert changes([heart], [row("heart", "H1", "4.00", "2")]) == [("other pack",)]
    assert changes([heart], [row("heart", "H1", "5.00", "2")]) == [("dearer", "other pack")]
    (change,) = compare_rows(a_list(heart), a_list(row("heart", "H1", "5.00", "2")))
    assert change.rise == Fraction(1, 4)  # 2.50 / 2.00 - 1


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ([], [], []),
        ([row("heart")], [], [("gone",)]),
        ([], [row("heart")], [("new",)]),
        ([row("heart")], [row("heart", standing=Standing.NOT_NOW)], [("sold out",)]),
        ([row("heart", standing=Standing.NOT_NOW)], [row("heart")], [("back",)]),
        ([row("heart", standing=Standing.NOT_NOW)], [row("heart", standing=Standing.NOT_NOW)], [()]),
        ([row("heart")], [row("heart", standing=Standing.UNREAD)], [("not read",)]),
        ([], [row("heart", standing=Standing.NOT_NOW)], [("new", "sold out")]),
    ],
)
def test_what_one_list_alone_sells_is_gone_new_sold_out_or_back(
    old: list[ListRow], new: list[ListRow], said: list[tuple[str, ...]]
) -> None:
    assert changes(old, new) == said


def test_what_an_earlier_list_sold_is_back_and_not_new() -> None:
    heart, liver = row("heart", "H1"), row("liver", "L1")
    assert changes([liver], [liver, heart], a_list(heart)) == [(), ("back",)]
    assert changes([liver], [liver, heart], a_list(row("heart", "H1", standing=Standing.NOT_NOW))) == [(), ("new",)]


def pairs(old: Sequence[ListRow], new: Sequence[ListRow]) -> list[tuple[str, str]]:
    """Each item with what it is on the new list, by name, code and weight."""

    def says(one: ListRow | None) -> str:
        return f"{one.name} {one.code} {one.pack.weight if one.pack else ''}" if one else "-"

    return [(says(change.before), says(change.after)) for change in compare_rows(a_list(*old), a_list(*new))]


def test_an_item_is_known_by_its_code_whatever_it_is_called_and_says_so() -> None:
    (change,) = compare_rows(a_list(row("ox heart", "H1")), a_list(row("beef heart, trimmed", "H1")))
    assert change.changes == ("other name",)
    assert changes([row("Heart, frozen", "H1")], [row("HEART", "H1")]) == [()]


def test_a_new_code_for_the_same_name_is_no_change() -> None:
    assert changes([row("heart", "H1")], [row("heart", "X9", "11.00")]) == [("dearer",)]


def test_codes_that_were_given_anew_do_not_turn_heart_into_liver() -> None:
    old = [row("heart", "1"), row("liver", "2")]
    new = [row("liver", "1"), row("heart", "2")]
    assert pairs(old, new) == [("heart 1 5 kg", "heart 2 5 kg"), ("liver 2 5 kg", "liver 1 5 kg")]


def test_the_same_code_twice_is_told_apart_by_pack_and_told() -> None:
    small, large = row("heart", "H1", "3.00", "1"), row("heart", "H1", "10.00", "5")
    assert pairs([small, large], [large, small]) == [("heart H1 1 kg", "heart H1 1 kg"), ("heart H1 5 kg",) * 2]
    assert changes([small, large], [large]) == [("gone",), ()]
    assert "The new list has the code h1 more than once" in told(paper([small], [small, large]))


def test_no_item_is_paired_twice_and_none_is_lost() -> None:
    old = [row("heart", "H1"), row("heart", ""), row("liver", "H1"), row("", "")]
    new = [row("heart", ""), row("heart", ""), row("heart", "H1"), row("spleen", "H1"), row("", "")]
    found = compare_rows(a_list(*old), a_list(*new))
    assert [change.before for change in found if change.before] == old
    assert len([change for change in found if change.after]) == len(new)


def test_cuts_of_ours_stand_first_and_the_rest_is_counted_and_in_files() -> None:
    old = [
        row("RINDERHERZ", "H1", cut="beef heart"),
        row("Gouda", "K1"),
        row("Pizza", "P1", match=Match.NOT_FOR_DOGS),
    ]
    new = [
        row("RINDERHERZ", "H1", "11.00", cut="beef heart"),
        row("Gouda", "K1", "12.00"),
        row("Pizza", "P1", "13.00", match=Match.NOT_FOR_DOGS),
        row("Lammleber", "L1"),
    ]
    made = paper(old, new)
    shown = [block for block in made.blocks if isinstance(block, Table) and block.key == "list_changes" and block.shown]
    assert [table.rows[0][:6] for table in shown] == [
        ("dearer", "RINDERHERZ", "beef heart", "11.00 for 5 kg", "10.00", "2.20, +10.0 %")
    ]
    assert [(line["change"], line["item"]) for line in rows_of(made, "list_changes")] == [
        ("dearer", "RINDERHERZ"), ("dearer", "Gouda"), ("new", "Lammleber")
    ]  # fmt: skip
    assert rows_of(made, "new_items")[0]["looks_like"] == "lamb liver"
    text = told(made)
    assert "Of your items (1): 1 dearer. A kilogram costs 10.0 % more on average." in text
    assert "Of 2 items that you have not named, 2 changed too: see \\`--csv\\`. 1 item not for dogs" in text


def test_a_table_for_programs_has_plain_numbers() -> None:
    (line,) = rows_of(paper([row("heart", "H1")], [row("heart", "H1", "11.00", line=7)]), "list_changes")
    programs: dict[str, Cell] = {
        key: line[key] for key in ("code", "per_kg_before", "per_kg_now", "rise_share", "line")
    }
    assert programs == {
        "code": "H1",
        "per_kg_before": Decimal("2.00"),
        "per_kg_now": Decimal("2.20"),
        "rise_share": Fraction(1, 10),
        "line": 7,
    }


def test_pounds_are_told_where_the_list_is_read_in_pounds() -> None:
    (line,) = rows_of(paper([row("heart", "H1")], [row("heart", "H1", "11.00")], "lb"), "list_changes")
    assert line["rise_text"] == "1.00, +10.0 %"  # 2.20 x 0.45359237 = 0.998


def test_lines_that_were_not_read_and_very_many_changes_are_counted() -> None:
    old = [row(f"item {number}", str(number)) for number in range(100)]
    new = [row(f"item {number}", str(number), "11.00") for number in range(100)]
    made = paper(old, [*new[:80], *(row("x", standing=Standing.UNREAD, line=line) for line in range(20))])
    first, second = (block for block in made.blocks if isinstance(block, Table))
    assert (len(first.rows), first.shown, second.shown) == (60, True, False)
    assert "more changes in the files" in first.note
    (doubts,) = (block for block in made.blocks if isinstance(block, Points))
    assert len(doubts.items) == 11
    assert doubts.items[-1].endswith("10 more.")


def test_empty_lists_are_said_to_be_empty() -> None:
    assert "Neither list has an item" in told(paper([], []))
    assert "1 gone" in told(paper([row("heart")], []))


def test_a_change_without_prices_has_no_rise() -> None:
    assert RowChange(row("heart"), None).rise is None
    free = RowChange(row("heart", price="0.00"), row("heart", price="1.00"))
    assert (free.rise, free.changes) == (None, ("other price",))
