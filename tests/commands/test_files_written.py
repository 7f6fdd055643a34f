"""Files that the command writes: whole or not at all, and never over another without being told."""

import csv
import json
import os
import re
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner

from raworder.cli import cli
from raworder.commands.saving import save
from tests.commands.running import IMPOSSIBLE, OWNER, SCENARIOS, told

PAPERS = ("first_look", "summary", "shopping_list", "portioning_list", "shares", "costs", "cautions")


def _rows(path: Path) -> list[list[str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.reader(file, strict=True))


@pytest.mark.slow
def test_markdown_and_csv_are_written_beside_what_is_printed(tmp_path: Path) -> None:
    markdown, tables = tmp_path / "new" / "papers.md", tmp_path / "tables"
    ended = told("plan", OWNER, "--markdown", markdown, "--csv", tables)
    assert ended.but_for_files == told("plan", OWNER)
    assert ended.stderr == f"written: {markdown}, {tables}\n"
    assert markdown.read_text(encoding="utf-8").startswith("# Two dogs, two butchers: Sat 6 to Fri 19 Feb\n")
    assert {path.suffix for path in tables.iterdir() if not path.name.startswith(".")} == {".csv"}
    assert all(len(_rows(path)) > 1 for path in tables.glob("*.csv"))


@pytest.mark.slow
def test_the_folder_and_the_workbook_hold_the_whole_batch_in_one_order(tmp_path: Path) -> None:
    file, folder = tmp_path / "new" / "batch.xlsx", tmp_path / "tables"
    ended = told("plan", OWNER, "--xlsx", file, "--csv", folder, "--paper", "costs")
    assert ended.but_for_files == told("plan", OWNER, "--paper", "costs")
    sheets = openpyxl.load_workbook(file).worksheets
    assert [sheet.title for sheet in sheets] == [
        "look at this first", "shopping", "from freezer", "back to freezer", "portions", "balance", "bags",
        "shares of parts", "caps", "costs by dog", "costs by supplier", "costs by part", "cautions", "feeding",
        "bags by size", "bags by dog", "half thaw", "working order", "stations", "kinds of bag", "where to", "weeks",
        "thawing", "freezer by evening",
    ]  # fmt: skip
    rows = {path.name: len(_rows(path)) for path in folder.glob("*.csv")}
    lines = [sum(not row[0].font.bold for row in sheet.iter_rows()) for sheet in sheets]  # headings and sums are bold
    assert sorted(rows.values()) == sorted(count + 1 for count in lines)
    assert rows["bag-list-bags.csv"] == next(sheet.max_row for sheet in sheets if sheet.title == "bags")


@pytest.mark.slow
def test_owners_have_who_pays_what_in_the_workbook(tmp_path: Path) -> None:
    told("plan", SCENARIOS / "household.yaml", "--xlsx", tmp_path / "batch.xlsx")
    names = openpyxl.load_workbook(tmp_path / "batch.xlsx").sheetnames
    at = names.index("bills")
    assert names[at - 1 : at + 4] == ["cautions", "bills", "how the bill is shared", "who pays whom", "feeding"]


@pytest.mark.slow
def test_a_workbook_of_one_question_has_its_tables(tmp_path: Path) -> None:
    told("settle", SCENARIOS / "household.yaml", "--xlsx", tmp_path / "pays.xlsx")
    assert openpyxl.load_workbook(tmp_path / "pays.xlsx").sheetnames == [
        "bills",
        "how the bill is shared",
        "who pays whom",
    ]


@pytest.mark.slow
def test_a_workbook_is_the_same_bytes_each_time(tmp_path: Path) -> None:
    for name in ("a.xlsx", "b.xlsx"):
        told("plan", OWNER, "--xlsx", tmp_path / name)
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()


@pytest.mark.slow
def test_files_hold_every_paper_even_when_only_one_is_printed(tmp_path: Path) -> None:
    one, all_of_them = tmp_path / "one.md", tmp_path / "all.md"
    told("plan", OWNER, "--markdown", one, "--paper", "costs")
    told("plan", OWNER, "--markdown", all_of_them)
    assert one.read_bytes() == all_of_them.read_bytes()


@pytest.mark.slow
def test_no_plan_writes_no_file(tmp_path: Path) -> None:
    files = ("--markdown", tmp_path / "papers.md", "--csv", tmp_path / "tables", "--xlsx", tmp_path / "book.xlsx")
    assert told("plan", IMPOSSIBLE, *files).code == 1
    assert list(tmp_path.iterdir()) == []


@pytest.mark.slow
def test_nothing_is_written_when_one_file_is_there_already(tmp_path: Path) -> None:
    tables = tmp_path / "tables"
    told("plan", OWNER, "--csv", tables)
    there = sorted(tables.glob("*.csv"))
    for path in there[1:]:
        path.unlink()
    there[0].write_bytes(b"mine")
    with pytest.raises(FileExistsError, match="add --overwrite"):
        told("plan", OWNER, "--markdown", tmp_path / "papers.md", "--csv", tables)
    assert [path.name for path in tmp_path.iterdir()] == ["tables"]
    assert list(tables.glob("*.csv")) == there[:1]
    assert there[0].read_bytes() == b"mine"


WRITES = (
    ("labels", "smallest.yaml", "--html", "labels.html"),
    ("calendar", "smallest.yaml", "--ics", "days.ics"),
    ("replan", "smallest.yaml", "--blank", "receipt.yaml"),
    ("settle", "smallest.yaml", "--xlsx", "bills.xlsx"),
    ("compare", "smallest.yaml", "--csv", "tables"),
    ("nourish", "smallest.yaml", "--markdown", "sheet.md"),
)


@pytest.mark.slow
@pytest.mark.parametrize(("command", "scenario", "option", "name"), WRITES)
def test_the_last_line_says_where_the_files_are(
    command: str, scenario: str, option: str, name: str, tmp_path: Path
) -> None:
    path = str(tmp_path / name)
    asked = [command, str(SCENARIOS / scenario), option, path]
    assert CliRunner().invoke(cli, asked).output.endswith(f"\nwritten: {path}\n")
    with pytest.raises(FileExistsError):
        told(*asked)
    assert "written:" not in CliRunner().invoke(cli, asked).output


@pytest.mark.slow
def test_files_are_replaced_when_that_was_asked_for(tmp_path: Path) -> None:
    file = tmp_path / "papers.md"
    file.write_bytes(b"old")
    assert told("plan", OWNER, "--markdown", file, "--overwrite").code == 0
    assert file.read_text(encoding="utf-8").startswith("# Two dogs")


@pytest.mark.slow
@pytest.mark.parametrize("paper", PAPERS)
def test_a_single_paper_can_be_printed(paper: str) -> None:
    whole, one = told("plan", OWNER, "--all"), told("plan", OWNER, "--paper", paper)
    assert one.code == 0
    assert one.stdout.strip() in whole.stdout
    assert len(one.stdout) < len(whole.stdout)
    papers = json.loads(told("plan", OWNER, "--paper", paper, "--json").stdout)["papers"]
    assert [each["key"] for each in papers] == [paper]


def test_json_holds_every_paper_in_order_with_its_version() -> None:
    said = json.loads(told("plan", OWNER, "--json").stdout)
    assert said["schema_version"] == 1
    assert said["ended"] == "plan"
    assert tuple(paper["key"] for paper in said["papers"]) == PAPERS


def test_a_write_that_fails_midway_leaves_the_old_file_and_nothing_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "papers.md"
    file.write_bytes(b"old")

    def full(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match=r"papers\.md` cannot be written: no space left on device; make room there"):
        save([(file, b"new")], overwrite=True)
    assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [("papers.md", b"old")]


def test_a_file_is_readable_by_others_as_any_new_file_is(tmp_path: Path) -> None:
    save([(tmp_path / "a.csv", b"a")], overwrite=False)
    assert (tmp_path / "a.csv").stat().st_mode & 0o777 == 0o644


def test_a_folder_where_a_file_should_go_is_an_error_of_the_person(tmp_path: Path) -> None:
    for overwrite in (True, False):
        with pytest.raises(FileExistsError, match="is no file"):
            save([(tmp_path, b"a")], overwrite=overwrite)


@pytest.mark.slow
def test_no_file_is_written_when_one_of_them_cannot_be(tmp_path: Path) -> None:
    (tmp_path / "a file").write_bytes(b"mine")
    with pytest.raises(OSError, match=r"b\.html"):
        told("plan", OWNER, "--markdown", tmp_path / "papers.md", "--html", tmp_path / "a file" / "b.html")
    assert [path.name for path in tmp_path.iterdir()] == ["a file"]


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="needs a file that is none")
def test_what_is_no_ordinary_file_is_never_replaced(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    for path in (tmp_path, pipe):
        with pytest.raises(FileExistsError, match="is no file"):
            told("plan", OWNER, "--html", path, "--overwrite")
    assert pipe.is_fifo()
    assert list(tmp_path.iterdir()) == [pipe]


@pytest.mark.slow
def test_one_name_for_two_files_is_refused(tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    for second in (tmp_path / "one", tmp_path / "folder" / ".." / "one"):
        with pytest.raises(OSError, match="is to hold two things"):
            told("plan", OWNER, "--html", tmp_path / "one", "--xlsx", second)
    with pytest.raises(OSError, match="is to hold two things"):
        told("calendar", OWNER, "--ics", tmp_path / "one", "--markdown", tmp_path / "one")
    assert [path.name for path in tmp_path.iterdir()] == ["folder"]


def test_what_a_command_reads_it_does_not_write_over(tmp_path: Path) -> None:
    scenario = tmp_path / "mine.yaml"
    scenario.write_bytes(OWNER.read_bytes())
    for option in ("--html", "--markdown", "--xlsx"):
        ended = told("plan", scenario, option, scenario, "--overwrite")
        assert (ended.code, "is read by this command" in ended.stderr) == (2, True)
    assert told("calendar", scenario, "--ics", scenario, "--overwrite").code == 2
    for command, taken in (("labels", "--plan"), ("replan", "--receipt"), ("settle", "--receipt")):
        ended = told(command, OWNER, taken, scenario, "--html", scenario, "--overwrite")
        assert (ended.code, "is read by this command" in ended.stderr) == (2, True)
    assert scenario.read_bytes() == OWNER.read_bytes()


@pytest.mark.slow
def test_a_page_holds_the_papers_that_are_named_and_all_where_none_is(tmp_path: Path) -> None:
    few, whole = tmp_path / "few.html", tmp_path / "whole.html"
    told("plan", OWNER, "--paper", "shopping_list", "--html", few)
    told("plan", OWNER, "--html", whole)
    titles = re.findall(r"<h[12] id[^>]*>([^<]*)</h", few.read_text(encoding="utf-8"))
    assert sorted(titles) == ["Contents", "Shop: Fenwick Market Stall", "Shop: Hollow Lane Butcher"]
    assert whole.read_text(encoding="utf-8").count("<section id") > 10


@pytest.mark.slow
def test_without_a_plan_it_is_told_that_no_file_is_written_and_which_are_of_another(tmp_path: Path) -> None:
    old, new = tmp_path / "old.html", tmp_path / "new.xlsx"
    old.write_bytes(b"old")
    ended = told("plan", IMPOSSIBLE, "--html", old, "--xlsx", new, "--overwrite")
    assert ended.code == 1
    assert ended.stderr == f"no file is written, as there is no plan; `{old}` is of an earlier plan\n"
    assert (old.read_bytes(), new.exists()) == (b"old", False)
