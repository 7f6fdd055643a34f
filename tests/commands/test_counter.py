"""The commands of the counter, as a person uses them: papers of bags, weighing with breaks, planning after the shop.

All names, prices and figures are invented. **Source:** the commands' own help and the README; no outside source.
"""

import json
import os
import re
from pathlib import Path

import click
import pytest
from pydantic import TypeAdapter

from raworder.cli import cli
from raworder.commands import console
from raworder.commands.saving import hold_lock
from raworder.studies import cures
from raworder.trade.fingerprint import fingerprint
from raworder.trade.plan import Cures, Plan
from tests.commands.running import SCENARIOS, Ended, before_next, told

SMALLEST, OWNER = SCENARIOS / "smallest.yaml", SCENARIOS / "owner.yaml"


@pytest.fixture
def saved(tmp_path: Path) -> Path:
    """A saved plan of the smallest scenario."""
    path = tmp_path / "plan.json"
    path.write_text(told("plan", SMALLEST, "--json").stdout)
    return path


@pytest.fixture
def receipt(tmp_path: Path) -> Path:
    """A receipt of the owner's scenario with everything as planned."""
    path = tmp_path / "receipt.csv"
    assert told("replan", OWNER, "--blank", path).code == 0
    return path


def without(receipt: Path, word: str) -> Path:
    """The receipt without the lines that say the word."""
    lines = receipt.read_bytes().split(b"\r\n")
    receipt.write_bytes(b"\r\n".join(line for line in lines if word.encode() not in line))
    return receipt


def weighed(saved: Path, record: Path, typed: str) -> Ended:
    """The weighing went on with what was typed."""
    return told("weigh", SMALLEST, "--plan", saved, "--record", record, typed=typed)


def entries(record: Path) -> list[str]:
    """What the record holds below its head."""
    return record.read_text().split("\n")[1:-1]


@pytest.mark.slow
def test_a_saved_plan_gives_the_same_papers_as_planning_again(saved: Path) -> None:
    by_plan, anew = told("portion", SMALLEST, "--plan", saved), told("portion", SMALLEST)
    assert (by_plan.code, before_next(by_plan.stdout)) == (anew.code, before_next(anew.stdout))
    assert f"raworder labels FILE --plan {saved} --html labels.html" in " ".join(by_plan.stdout.split())


@pytest.mark.slow
def test_a_plan_of_another_scenario_is_refused(saved: Path) -> None:
    ended = told("portion", OWNER, "--plan", saved)
    assert (ended.code, ended.stdout) == (2, "")
    assert "error[other-scenario]" in ended.stderr


def test_a_plan_that_was_altered_with_its_fingerprint_is_refused_by_the_audit(saved: Path) -> None:
    told_plan = json.loads(saved.read_text())
    told_plan["plan"]["bags"][0]["fillings"][0]["grams"] += 5
    altered = TypeAdapter(Plan).validate_json(json.dumps(told_plan["plan"]))
    told_plan["plan_fingerprint"] = fingerprint((altered, None))
    saved.write_text(json.dumps(told_plan))
    ended = told("portion", SMALLEST, "--plan", saved)
    assert (ended.code, ended.stdout) == (2, "")
    assert "was altered: its plan breaks" in ended.stderr


@pytest.mark.slow
def test_weighing_goes_on_after_a_break_and_loses_nothing(saved: Path, tmp_path: Path) -> None:
    record = tmp_path / "weighed.csv"
    first = weighed(saved, record, "160\n\nstop\n")
    assert first.code == 0
    assert "2 of " in first.stdout
    kept = entries(record)
    assert kept == ["1,1,chicken neck,160", "2,2,chicken neck,234"]
    assert weighed(saved, record, "150 g\n").code == 0
    assert entries(record) == [*kept, "3,3,chicken neck,150"]


@pytest.mark.slow
def test_the_last_entry_can_be_taken_back(saved: Path, tmp_path: Path) -> None:
    record = tmp_path / "weighed.csv"
    weighed(saved, record, "1600\nback\n160\n")
    assert entries(record) == ["1,1,chicken neck,160"]
    weighed(saved, record, "back\nstop\n")
    assert entries(record) == []


def test_what_is_no_weight_is_asked_again(saved: Path, tmp_path: Path) -> None:
    ended = weighed(saved, tmp_path / "weighed.csv", "much\n-5\n160\n")
    assert entries(tmp_path / "weighed.csv") == ["1,1,chicken neck,160"]
    assert ended.stderr.count("is no weight") == 2


@pytest.mark.slow
def test_where_people_read_pounds_ounces_are_asked_for_and_taken(tmp_path: Path) -> None:
    record = tmp_path / "weighed.csv"
    ended = told(
        "weigh", SCENARIOS / "pounds.yaml", "--record", record, typed="1.4 oz\n0.7\n2 lb 3\n1 lb\n40 g\nstop\n"
    )
    # 1.4 x 28.3495 = 39.7, 0.7 x 28.3495 = 19.8, 35 x 28.3495 = 992.2 and 16 x 28.3495 = 453.6, by hand
    assert [line.split(",")[-1] for line in entries(record)] == ["40", "20", "992", "454", "40"]
    assert "put in 0.4 oz" in ended.stdout
    assert not re.search(r"\d k?g\b", ended.stdout)
    refused = told("weigh", SCENARIOS / "pounds.yaml", "--record", record, typed="2 kg\n\u00b2\nstop\n").stderr
    assert refused.count("is no weight: type ounces, such as `1.4` or `2 lb 3`") == 2


@pytest.mark.slow
def test_a_line_torn_by_a_power_cut_is_weighed_again(saved: Path, tmp_path: Path) -> None:
    record = tmp_path / "weighed.csv"
    weighed(saved, record, "160\n")
    with record.open("a") as file:
        file.write("2,2,chicken ne")
    weighed(saved, record, "230\n")
    assert entries(record) == ["1,1,chicken neck,160", "2,2,chicken neck,230"]


def test_two_cannot_weigh_on_one_record_and_the_second_is_told_who_does(saved: Path, tmp_path: Path) -> None:
    record, link = tmp_path / "weighed.csv", tmp_path / "link.csv"
    weighed(saved, record, "160\n")
    link.symlink_to(record)
    before = record.read_bytes()
    with hold_lock(record):
        for name in (record, link):
            with pytest.raises(BlockingIOError, match=rf"is in use by process {os.getpid()} since 2\d\d\d-.*end first"):
                weighed(saved, name, "back\n170\n")
    assert record.read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link.csv", "plan.json", "weighed.csv"]


@pytest.mark.slow
def test_a_record_that_changes_while_it_is_gone_on_with_is_left_as_it_is_and_that_is_told(
    saved: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on a disk that knows no locks, or by an editor."""
    record = tmp_path / "weighed.csv"
    weighed(saved, record, "160\n150\n")
    other = record.read_bytes() + b"3,3,chicken neck,149\n"
    for typed in ("170\n", "back\n"):
        record.write_bytes(other[: other.rindex(b"3,3")])
        with monkeypatch.context() as patched:
            patched.setattr(console, "say", lambda _text: record.write_bytes(other))
            with pytest.raises(OSError, match="was changed by something else meanwhile"):
                weighed(saved, record, typed)
        assert record.read_bytes() == other


@pytest.mark.slow
def test_a_record_from_before_lines_had_numbers_gets_them_and_keeps_every_weighing(saved: Path, tmp_path: Path) -> None:
    record = tmp_path / "weighed.csv"
    weighed(saved, record, "160\n150\n")
    now = record.read_bytes()
    older = now.replace(b",2,", b",1,", 1).replace(b"\n1,1,", b"\n1,").replace(b"\n2,2,", b"\n2,")
    record.write_bytes(older)
    record.chmod(0o640)
    weighed(saved, record, "stop\n")
    assert (record.read_bytes(), record.stat().st_mode & 0o777) == (now, 0o640)


@pytest.mark.slow
def test_back_takes_the_last_weighing_by_its_number_where_a_line_was_taken_out_by_hand(
    saved: Path, tmp_path: Path
) -> None:
    record = tmp_path / "weighed.csv"
    weighed(saved, record, "160\n150\n140\n")
    record.write_text(record.read_text().replace("3,3,chicken neck,140\n", "3,,,\n"))
    weighed(saved, record, "back\nstop\n")
    assert entries(record) == ["1,1,chicken neck,160"]
    weighed(saved, record, "155\n")
    assert entries(record) == ["1,1,chicken neck,160", "2,2,chicken neck,155"]


@pytest.mark.slow
def test_a_weighing_that_finds_no_room_is_told_and_nothing_of_it_is_kept(
    saved: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = tmp_path / "weighed.csv"
    weighed(saved, record, "160\n")
    before = record.read_bytes()

    def full(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match=r"weighed\.csv` cannot be written: no space left on device; make room"):
        weighed(saved, record, "150\n")
    assert record.read_bytes() == before
    with pytest.raises(OSError, match=r"other\.csv` cannot be written"):
        weighed(saved, tmp_path / "other.csv", "150\n")
    assert not (tmp_path / "other.csv").exists()


def test_a_record_of_another_plan_is_refused_and_left_alone(saved: Path, tmp_path: Path) -> None:
    record = tmp_path / "weighed.csv"
    record.write_text("raworder-weighing,2,another,plan\n1,1,chicken neck,160\n")
    before = record.read_bytes()
    assert weighed(saved, record, "1\n").code == 2
    assert record.read_bytes() == before


@pytest.mark.slow
def test_a_file_that_is_no_record_is_refused_and_left_alone(saved: Path, tmp_path: Path) -> None:
    notes = tmp_path / "notes.txt"
    for content in (b"my list", b"my list\nof two lines\n"):
        notes.write_bytes(content)
        assert weighed(saved, notes, "stop\n").code == 2
        assert notes.read_bytes() == content


@pytest.mark.slow
def test_a_head_torn_by_a_power_cut_is_written_again(saved: Path, tmp_path: Path) -> None:
    record = tmp_path / "weighed.csv"
    weighed(saved, record, "stop\n")
    head = record.read_bytes()
    for torn in (b"", head[:20]):
        record.write_bytes(torn)
        weighed(saved, record, "stop\n")
        assert record.read_bytes() == head


@pytest.mark.slow
def test_all_weighings_come_to_an_end(saved: Path, tmp_path: Path) -> None:
    ended = weighed(saved, tmp_path / "weighed.csv", "\n" * 1000)
    assert ended.code == 0
    assert "weighings are done.\n" in ended.stdout
    assert weighed(saved, tmp_path / "weighed.csv", "").stdout.count("weighings are done.\n") == 1


@pytest.mark.slow
def test_an_unchanged_receipt_gives_the_plan_byte_for_byte(receipt: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cures, "find_cures", lambda *_: Cures())  # `plan` alone asks what it costs to do better
    assert told("replan", OWNER, "--receipt", receipt, "--all") == told("plan", OWNER, "--all")


@pytest.mark.slow
def test_what_is_missing_is_named_and_the_cheapest_to_fetch_is_told(receipt: Path) -> None:
    ended = told("replan", OWNER, "--receipt", without(receipt, "pork kidney"))
    assert ended.code == 1
    assert "The cheapest to fetch, 0.95 EUR\n- 300 g of pork kidney, Fenwick Market Stall\n" in ended.stdout
    assert "28 bags to fill" in ended.stdout


@pytest.mark.slow
def test_as_it_is_the_bags_are_filled_with_what_there_is(receipt: Path) -> None:
    ended = told("replan", OWNER, "--receipt", without(receipt, "pork kidney"), "--as-it-is")
    assert ended.code == 1
    assert "other organ" in ended.stdout.split("Targets missed")[1].split("These are missed")[0]
    assert "28 bags to fill" in ended.stdout
    assert "to fetch" not in ended.stdout


@pytest.mark.slow
def test_either_a_receipt_or_a_blank_is_asked_for(receipt: Path) -> None:
    assert told("replan", OWNER).code == 2
    assert told("replan", OWNER, "--receipt", receipt, "--blank", receipt).code == 2


def test_a_blank_receipt_replaces_no_file(receipt: Path) -> None:
    before = receipt.read_bytes()
    with pytest.raises(FileExistsError):
        told("replan", OWNER, "--blank", receipt)
    assert receipt.read_bytes() == before


@pytest.mark.slow
@pytest.mark.parametrize("ending", ["yaml", "yml", "csv"])
def test_a_blank_receipt_is_of_the_form_that_its_name_says_and_read_back(ending: str, tmp_path: Path) -> None:
    blank, saved = tmp_path / f"receipt.{ending}", tmp_path / "plan.json"
    saved.write_text(told("plan", SMALLEST, "--json").stdout)
    assert told("replan", SMALLEST, "--plan", saved, "--blank", blank).code == 0
    assert ("bought:" in blank.read_text()) == (ending != "csv")
    again = told("replan", SMALLEST, "--plan", saved, "--receipt", blank, "--json")
    assert (again.code, again.stdout) == (0, saved.read_text())


@pytest.mark.parametrize("name", ["receipt.txt", "receipt", "receipt.json", "receipt.xlsx"])
def test_a_blank_receipt_of_another_form_is_refused_before_anything_is_solved(name: str, tmp_path: Path) -> None:
    ended = told("replan", SMALLEST, "--blank", tmp_path / name)
    assert (ended.code, ended.stdout) == (2, "")
    assert "such as `receipt.csv`" in ended.stderr
    assert not (tmp_path / name).exists()


def test_as_it_is_needs_a_receipt() -> None:
    for command in ("portion", "replan"):
        ended = told(command, SMALLEST, "--as-it-is", *(("--blank", "receipt.csv") if command == "replan" else ()))
        assert (ended.code, ended.stdout) == (2, "")
        assert "name the receipt with --receipt" in ended.stderr


def test_the_options_that_say_which_plan_read_the_same_in_every_command() -> None:
    """A command that takes a plan takes a receipt too, under the same names and with the same words."""
    takers = {}
    for name, command in cli.commands.items():
        options = {one.name: one for one in command.params if isinstance(one, click.Option)}
        if "saved" in options or "receipt" in options:
            takers[name] = [(one, options[one].opts, options[one].help) for one in ("saved", "receipt", "as_it_is")]
    assert set(takers) == {
        *("portion", "weigh", "replan", "labels", "calendar", "message", "nourish", "settle", "enter", "next"),
    }
    assert all(options == takers["replan"] for options in takers.values())
