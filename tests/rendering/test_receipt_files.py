"""The receipt to be filled in at the shop."""

from decimal import Decimal

from raworder.rendering.files_to_fill import HEAD, receipt_csv, receipt_yaml
from raworder.trade.purchase import Receipt, Received, full_receipt
from tests.builders import FENWICK, SMALL, SMALL_PLAN, a_line, a_plan, a_scenario, an_offer


def test_everything_stands_as_planned() -> None:
    # sums as in the builders: 6.775 kg of trim at 5.80, and so on
    assert receipt_csv(SMALL, full_receipt(SMALL, SMALL_PLAN)) == (
        b"\xef\xbb\xbfsupplier,cut,item,code,packs,weight,paid\r\n"
        b"Hollow Lane Butcher,beef trim,beef trim,,,6775 g,39.30\r\n"
        b"Hollow Lane Butcher,lamb liver,lamb liver,,2,,3.80\r\n"
        b"Fenwick Wholesale,chicken neck,chicken neck,,2,,4.80\r\n"
        b"Fenwick Wholesale,beef kidney,beef kidney,,2,,3.60\r\n"
    )


def test_the_weight_of_packs_is_told_only_where_nothing_else_tells_offers_apart() -> None:
    offers = (
        an_offer(key="small", pack_g=500, price="1.30"),
        an_offer(key="large", pack_g=2_000, price="4.00"),
        an_offer(key="other", code="B2", pack_g=1_000, price="2.10"),
    )
    scenario = a_scenario(offers=offers)
    plan = a_plan(lines=(a_line("small", 3, "3.90"), a_line("large", 2, "8.00"), a_line("other", 1, "2.10")))
    rows = receipt_csv(scenario, full_receipt(scenario, plan)).decode("utf-8-sig").split("\r\n")
    assert [row.split(",")[3:] for row in rows[1:4]] == [
        ["", "3", "1500 g", "3.90"],
        ["", "2", "4000 g", "8.00"],
        ["B2", "1", "", "2.10"],
    ]


def test_what_a_spreadsheet_would_run_gets_a_quote() -> None:
    offer = an_offer(key="trim", supplier="=1+1", item="@SUM(A1)", code="-3")
    scenario = a_scenario(offers=[offer])
    rows = receipt_csv(scenario, full_receipt(scenario, a_plan(lines=[a_line("trim")]))).decode("utf-8-sig")
    assert rows.split("\r\n")[1] == "'=1+1,beef trim,'@SUM(A1),'-3,7,,16.80"


def test_an_order_of_nothing_is_a_header() -> None:
    content = receipt_csv(SMALL, Receipt(()))
    assert content == b"\xef\xbb\xbfsupplier,cut,item,code,packs,weight,paid\r\n"
    assert FENWICK.encode() not in content


def test_in_yaml_every_line_has_the_fields_that_say_something() -> None:
    text = receipt_yaml(SMALL, full_receipt(SMALL, SMALL_PLAN)).decode()
    assert text.splitlines()[: len(HEAD)] == list(HEAD)
    assert text.splitlines()[len(HEAD) :] == [
        "bought:",
        "  - {supplier: Hollow Lane Butcher, cut: beef trim, item: beef trim, weight: 6775 g, paid: 39.30}",
        "  - {supplier: Hollow Lane Butcher, cut: lamb liver, item: lamb liver, packs: 2, paid: 3.80}",
        "  - {supplier: Fenwick Wholesale, cut: chicken neck, item: chicken neck, packs: 2, paid: 4.80}",
        "  - {supplier: Fenwick Wholesale, cut: beef kidney, item: beef kidney, packs: 2, paid: 3.60}",
    ]


def test_in_yaml_an_order_of_nothing_is_an_empty_list() -> None:
    assert receipt_yaml(SMALL, Receipt(())).decode().splitlines()[-1] == "bought: []"


BOUGHT = Receipt(
    (
        Received("neck", FENWICK, "chicken neck", 3, 3_100, Decimal("7.20")),
        Received("", FENWICK, "beef tongue", 1, 620, Decimal("4.90")),
    ),
    delivery=((FENWICK, Decimal("6.50")),),
    none_left=("liver", "trim"),
)


def test_what_was_bought_is_written_with_its_weights_its_substitutes_and_what_there_was_none_of() -> None:
    rows = receipt_csv(SMALL, BOUGHT).decode("utf-8-sig").split("\r\n")
    assert rows[1:5] == [
        "Fenwick Wholesale,chicken neck,chicken neck,,3,3100 g,7.20",
        "Fenwick Wholesale,beef tongue,,,,620 g,4.90",
        "Hollow Lane Butcher,lamb liver,lamb liver,,0,,",
        "Hollow Lane Butcher,beef trim,beef trim,,,0 g,",
    ]


def test_in_yaml_what_was_charged_for_delivery_is_told_too() -> None:
    assert receipt_yaml(SMALL, BOUGHT).decode().splitlines()[-1] == "delivery: {Fenwick Wholesale: 6.50}"
