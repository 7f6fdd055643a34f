"""JSON tells programs the same facts."""

import json

import pytest

from raworder.rendering.as_json import as_json
from raworder.rendering.values import blocks_for_programs
from raworder.trade.document import Holds, Paragraph, Table
from tests.rendering.hell import HELL, NAMES, a_document
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.worked_out import papers

PAPERS = papers(HOUSEHOLD, HOUSEHOLD_PLAN)


def refuse(constant: str) -> None:
    pytest.fail(f"{constant} is no JSON")


TOLD = json.loads(as_json(PAPERS, status="plan"), parse_constant=refuse)


def test_the_version_stands_first_and_the_head_follows() -> None:
    assert list(TOLD) == ["schema_version", "status", "papers"]
    assert TOLD["schema_version"] == 1
    assert TOLD["status"] == "plan"


def test_a_paragraph_tells_its_title_where_it_has_one() -> None:
    document = a_document(Paragraph("Some words.", "A heading"), Paragraph("More."))
    (paper,) = json.loads(as_json([document]))["papers"]
    assert paper["blocks"] == [
        {"kind": "paragraph", "title": "A heading", "text": "Some words."},
        {"kind": "paragraph", "text": "More."},
    ]


def test_every_paper_is_there_by_its_key() -> None:
    assert [paper["key"] for paper in TOLD["papers"]] == [document.key for document in PAPERS]


def test_rows_go_by_the_keys_of_their_columns() -> None:
    order = TOLD["papers"][2]["blocks"][0]
    first = order["rows"][0]
    assert first["to_buy"] == "3 packs of 1 kg"
    assert first["weight_g"] == 3000
    assert first["goods"] == "6.75"
    assert order["totals"][-1]["goods"] == "64.53"


def test_money_and_shares_are_texts_and_grams_are_whole_numbers() -> None:
    for paper, document in zip(TOLD["papers"], PAPERS, strict=True):
        for told, block in zip(paper["blocks"], blocks_for_programs(document), strict=True):
            if isinstance(block, Table):
                kinds = {column.key: column.holds for column in block.columns}
                for row in told["rows"]:
                    for key, value in row.items():
                        whole = kinds[key] in {Holds.GRAMS, Holds.COUNT}
                        assert value is None or isinstance(value, int if whole else str)


def test_there_is_no_binary_fraction_anywhere() -> None:
    json.loads(as_json(PAPERS), parse_float=lambda text: pytest.fail(f"{text} is a binary fraction"))


def test_names_from_hell_come_back_as_they_were() -> None:
    text = as_json(HELL)
    assert text.isascii()
    rows = json.loads(text)["papers"][0]["blocks"][0]["rows"]
    assert [row["name"] for row in rows] == list(NAMES)


def test_facts_are_values_by_key() -> None:
    summary = TOLD["papers"][1]["blocks"][0]
    assert summary["values"]["total"] == "92.93"
    assert summary["values"]["bought_g"] == 15_184


def test_the_same_documents_give_the_same_text() -> None:
    assert as_json(PAPERS) == as_json(papers(HOUSEHOLD, HOUSEHOLD_PLAN))
