"""Records of weighing are read back as far as they are whole, and only for their own plan."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.portioning.weighing import WeighedEntry, Weighing, next_target
from raworder.reading.saved_plan import Entry, ReadRecord, read_record, record_head, record_line
from raworder.trade.fingerprint import batch_number
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests.builders import SMALL, a_bag, a_filling, a_plan
from tests.reading.saved import BAGGED, written

BATCH = batch_number(SMALL)
HEAD = record_head(SMALL, BAGGED, BATCH)
ENTRIES: tuple[Entry, ...] = (
    (3, "lamb liver", 4),
    (3, "beef trim", 73),
    (0, "chicken neck", 131),
    (0, "lamb liver", 0),
)
LINES = [record_line(number, entry) for number, entry in enumerate(ENTRIES, start=1)]
SOUND = HEAD + "".join(LINES)
NUMBERS = (1, 2, 3, 4)
OLD_HEAD = HEAD.replace(",2,", ",1,", 1)
OLDER = OLD_HEAD + "".join(line.partition(",")[2] for line in LINES)
"""The same record as it was written before lines had numbers."""


def reading_of(
    folder: Path, text: str | bytes, scenario: Scenario = SMALL, plan: Plan = BAGGED, batch: str = BATCH
) -> ReadRecord:
    return read_record(written(folder, text, "record.csv"), scenario, plan, batch)


def told(reading: ReadRecord) -> list[str]:
    return [f"{one.slug}@{one.place.line}:{one.place.column}" for one in reading.findings]


def test_a_record_comes_back_as_it_was(tmp_path: Path) -> None:
    assert reading_of(tmp_path, SOUND) == ReadRecord(ENTRIES, len(SOUND), (), NUMBERS)


def test_bags_go_by_the_numbers_on_the_papers() -> None:
    assert record_line(3, (11, "beef trim", 415)) == "3,12,beef trim,415\n"


def test_the_head_tells_scenario_plan_and_batch_number() -> None:
    mark, version, scenario, plan, batch = HEAD.removesuffix("\n").split(",")
    assert (mark, version, len(scenario), len(plan), batch) == ("raworder-weighing", "2", 64, 64, BATCH)
    assert scenario != plan


def test_a_correction_stands_beside_what_it_corrects(tmp_path: Path) -> None:
    reading = reading_of(tmp_path, SOUND + record_line(5, (3, "beef trim", 71)))
    assert reading.entries == (*ENTRIES, (3, "beef trim", 71))


def test_what_was_read_goes_on_where_it_was_left(tmp_path: Path) -> None:
    entries = [WeighedEntry(*entry) for entry in reading_of(tmp_path, SOUND).entries]
    target = next_target(Weighing(BAGGED, SMALL.portioning), entries)
    assert target is not None
    assert (target.bag, target.cut) == (1, "chicken neck")


@pytest.mark.slow
def test_a_record_torn_anywhere_loses_its_last_line_at_most(tmp_path: Path) -> None:
    data = SOUND.encode()
    ends = [place + 1 for place, byte in enumerate(data) if byte == ord("\n")]
    for length in range(len(data) + 1):
        reading = reading_of(tmp_path, data[:length])
        whole = sum(end <= length for end in ends)
        kept = max(whole - 1, 0)
        sound = max([0, *(end for end in ends if end <= length)])
        assert reading == ReadRecord(ENTRIES[:kept], sound, (), NUMBERS[:kept])


def test_a_record_torn_within_a_character_is_read_too(tmp_path: Path) -> None:
    plan = a_plan(bags=[a_bag((a_filling("Lammleber für Ünal"),), topped_up="")])
    head = record_head(SMALL, plan, BATCH).encode()
    line = record_line(1, (0, "Lammleber für Ünal", 5)).encode()
    for length in range(len(line)):
        assert reading_of(tmp_path, head + line[:length], plan=plan) == ReadRecord((), len(head), ())
    assert reading_of(tmp_path, head + line, plan=plan).entries == ((0, "Lammleber für Ünal", 5),)


@pytest.mark.slow
@given(cut=st.text(st.characters(codec="utf-8", exclude_categories=["C", "Zl", "Zp"]), min_size=1))
def test_a_cut_of_any_name_comes_back(tmp_path_factory: pytest.TempPathFactory, cut: str) -> None:
    plan = a_plan(bags=[a_bag((a_filling(cut),), topped_up="")])
    text = record_head(SMALL, plan, BATCH) + record_line(1, (0, cut, 415))
    reading = reading_of(tmp_path_factory.getbasetemp(), text, plan=plan)
    assert reading == ReadRecord(((0, cut, 415),), len(text.encode()), (), (1,))


def test_line_ends_of_other_systems_do_no_harm(tmp_path: Path) -> None:
    data = SOUND.replace("\n", "\r\n").encode()
    assert reading_of(tmp_path, data) == ReadRecord(ENTRIES, len(data), (), NUMBERS)


def test_the_record_of_another_plan_is_refused(tmp_path: Path) -> None:
    other = reading_of(tmp_path, SOUND, plan=replace(BAGGED, remarks=()))
    assert other.entries == ()
    assert told(other) == ["other-plan@1:1"]
    assert other.findings[0].message == "this record of weighing was begun with another plan of this scenario"
    assert other.findings[0].note == ""
    another = reading_of(tmp_path, SOUND, replace(SMALL, title="another"))
    assert another.findings[0].message.startswith("this record of weighing was begun with another scenario")


def test_of_another_plan_with_its_own_number_both_numbers_are_told(tmp_path: Path) -> None:
    (found,) = reading_of(tmp_path, SOUND, plan=replace(BAGGED, remarks=()), batch=f"{BATCH}-R12AB").findings
    assert found.message == f"this record of weighing was begun with another plan of this scenario, batch {BATCH}"
    assert found.note == f"the bags here are those of batch {BATCH}-R12AB"
    assert "--plan" in found.help


def test_a_record_from_before_batch_numbers_is_gone_on_with(tmp_path: Path) -> None:
    older = OLDER.replace(f",{BATCH}\n", "\n", 1)
    assert reading_of(tmp_path, older) == ReadRecord(ENTRIES, len(older), (), NUMBERS, unnumbered=True)


def test_a_record_from_before_lines_had_numbers_is_gone_on_with(tmp_path: Path) -> None:
    assert reading_of(tmp_path, OLDER) == ReadRecord(ENTRIES, len(OLDER), (), NUMBERS, unnumbered=True)
    assert told(reading_of(tmp_path, OLD_HEAD + LINES[0])) == ["broken-record@2:1"]
    assert told(reading_of(tmp_path, HEAD + LINES[0].partition(",")[2])) == ["broken-record@2:1"]


@pytest.mark.parametrize(
    ("lines", "expected", "message"),
    [
        ((0, 2, 3), "broken-record@3:1", "this line is number 3, and number 2 is missing before it"),
        ((0, 3), "broken-record@3:1", "this line is number 4, and numbers 2 to 3 are missing before it"),
        ((1, 2), "broken-record@2:1", "this line is number 2, and number 1 is missing before it"),
        ((0, 1, 1, 2), "broken-record@4:1", "this line is number 2, where 3 comes next"),
        ((1, 0), "broken-record@3:1", "this line is number 1, where 3 comes next"),
    ],
)
def test_numbers_that_are_missing_or_twice_there_are_told_with_their_place(
    lines: tuple[int, ...], expected: str, message: str, tmp_path: Path
) -> None:
    reading = reading_of(tmp_path, HEAD + "".join(LINES[place] for place in lines))
    assert (told(reading)[-1], reading.findings[-1].message, reading.entries) == (expected, message, ())


def test_of_two_lines_with_one_number_both_places_are_told(tmp_path: Path) -> None:
    (found,) = reading_of(tmp_path, SOUND + LINES[1]).findings
    assert (found.place.line, found.note) == (6, "line 3 has that number already")


def test_a_line_that_was_taken_out_keeps_its_number_and_is_weighed_again(tmp_path: Path) -> None:
    reading = reading_of(tmp_path, SOUND.replace(LINES[1], "2,,,\n"))
    assert reading.findings == ()
    assert (reading.entries, reading.numbers) == ((ENTRIES[0], *ENTRIES[2:]), (1, 3, 4))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("\n", "not-a-record@1:1"),
        ("bag,cut,grams\n1,lamb liver,5\n", "not-a-record@1:1"),
        (HEAD.replace(",2,", ",3,", 1), "not-a-record@1:1"),
        (HEAD.replace("\n", ",x\n"), "not-a-record@1:1"),
        (f"{HEAD}1,1,lamb liver\n", "broken-record@2:1"),
        (f"{HEAD}1,1,lamb liver,35,x\n", "broken-record@2:1"),
        (f"{HEAD}\n", "broken-record@2:1"),
        (f"{HEAD}1,one,lamb liver,35\n", "broken-record@2:3"),
        (f"{HEAD}1,0,lamb liver,35\n", "broken-record@2:3"),
        (f"{HEAD}1,5,lamb liver,35\n", "broken-record@2:3"),
        (f"{HEAD}1,-1,lamb liver,35\n", "broken-record@2:3"),
        (f"{HEAD}1,1,beef kidney,35\n", "broken-record@2:5"),
        (f"{HEAD}1,1,lamb liver,3.5\n", "broken-record@2:16"),
        (f"{HEAD}1,1,lamb liver,-35\n", "broken-record@2:16"),
        (f"{HEAD}1,1,lamb liver,٣٥\n", "broken-record@2:16"),
        (f"{HEAD}1,1,lamb liver,\n", "broken-record@2:16"),
        (f"{HEAD}1,1,lamb liver,9999999\n", "broken-record@2:16"),
        (f'{HEAD}1,1,"lamb liver,35\n', "unclosed-quote@2:5"),
        (f'{HEAD}1,1,lamb "liver",35\n', "stray-quote@2:10"),
        (f"{HEAD}1,1,lamb liver,35\x00\n", "control-character@2:18"),
    ],
)
def test_what_is_malformed_is_refused_with_its_place(text: str, expected: str, tmp_path: Path) -> None:
    reading = reading_of(tmp_path, text)
    assert told(reading) == [expected]
    assert reading.entries == ()


def test_everything_malformed_is_told_in_one_run(tmp_path: Path) -> None:
    lines = "1,9,lamb liver,35\n2,1,lamb liver,35\n3,1,tripe,35\n4,1,lamb liver,much\n"
    reading = reading_of(tmp_path, HEAD + lines)
    assert told(reading) == ["broken-record@2:3", "broken-record@4:5", "broken-record@5:16"]
    assert [one.source_line for one in reading.findings] == [lines.split("\n")[place] for place in (0, 2, 3)]


def test_what_is_no_text_or_no_file_is_told(tmp_path: Path) -> None:
    assert told(reading_of(tmp_path, HEAD.encode() + b"1,1,\xff,5\n")) == ["unreadable-text@2:5"]
    assert told(read_record(tmp_path / "none.csv", SMALL, BAGGED, BATCH)) == ["no-such-file@1:1"]
    assert told(read_record(tmp_path, SMALL, BAGGED, BATCH)) == ["not-a-file@1:1"]
