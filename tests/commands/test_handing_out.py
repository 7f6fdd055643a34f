"""The calendar and the messages as a person asks for them.

All names, prices and figures are invented. **Source:** the commands' own help and the README; `icalendar`, a
general-purpose library, reads the calendars back; the thawing rule is told where it is checked.
"""

import csv
import re
from collections.abc import Iterator, Mapping
from datetime import timedelta
from pathlib import Path

import icalendar
import pytest

from raworder.rendering.calendar import calendar
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests.commands.running import IMPOSSIBLE, OWNER, ROOT, SCENARIOS, ran, told
from tests.conftest import Golden
from tests.planned import SMALLER, date_of, papers_of, planned

CALENDAR = ROOT / "tests" / "golden" / "calendars" / "smallest.ics"
SMALLEST = SCENARIOS / "smallest.yaml"
HOUSEHOLD = SCENARIOS / "household.yaml"
FEW_DOGS = tuple(name for name in SMALLER if name != "kennel")
"""Scenarios whose calendar names every bag."""

MOVED = re.compile(
    r"Move bags? ([0-9, -]+) (straight|from the freezer) to the refrigerator: fed (tomorrow|on (\w+ \d+ \w+)),"
)
FED = re.compile(r"bags? ([0-9]+(?:-[0-9]+)?(?:, [0-9]+(?:-[0-9]+)?)*)")


def written(*arguments: str | Path, file: Path) -> bytes:
    """The calendar that a command writes."""
    ended = told("calendar", *arguments, "--ics", file)
    assert (ended.code, ended.but_for_files.stderr) == (0, "")
    return file.read_bytes()


def events(made: bytes) -> list[icalendar.Event]:
    """The events of a calendar, in which the library finds nothing wrong."""
    read = icalendar.Calendar.from_ical(made)
    assert not any(one.errors for one in read.walk())
    return list(read.walk("VEVENT"))


def by_uid(made: bytes) -> dict[str, tuple[str, int]]:
    """What each event says, and how often it was changed."""
    return {str(one["uid"]): (str(one["description"]), int(one["sequence"])) for one in events(made)}


def made(name: str) -> bytes:
    """The calendar of a shipped scenario's plan."""
    return calendar(papers_of(name).of("reminders"), alarm_minutes=7 * 60)


def test_the_calendar_is_the_one_that_was_read_and_approved(golden: Golden, tmp_path: Path) -> None:
    found = written(SMALLEST, "--alarm", "07:00", file=tmp_path / "days.ics")
    assert found == made("smallest")
    golden(CALENDAR, found.decode())


def test_a_calendar_has_as_many_events_as_the_paper_that_is_printed_has_rows() -> None:
    rows = told("calendar", SMALLEST).stdout.count("[ ]")
    assert len({str(one["uid"]) for one in events(made("smallest"))}) == rows


@pytest.mark.slow
def test_two_runs_write_the_same_whatever_the_hash_seed(tmp_path: Path) -> None:
    """One in this process, whose hash seed is whatever it is, and one in a process of its own."""
    apart = tmp_path / "apart.ics"
    assert ran("calendar", HOUSEHOLD, "--ics", apart, variables={"PYTHONHASHSEED": "2027"}).code == 0
    assert apart.read_bytes() == written(HOUSEHOLD, file=tmp_path / "here.ics")


@pytest.mark.slow
def test_another_price_changes_what_events_say_and_not_what_they_are(tmp_path: Path) -> None:
    file, dearer = tmp_path / "days.ics", tmp_path / "owner.yaml"
    before = by_uid(written(OWNER, file=file))
    dearer.write_text(OWNER.read_text().replace("price: 2.40", "price: 2.60"))
    after = by_uid(written(dearer, "--overwrite", file=file))
    assert after.keys() == before.keys()
    changed = {uid for uid, (says, _) in after.items() if says != before[uid][0]}
    assert changed
    assert {uid for uid, (_, sequence) in after.items() if sequence} >= changed
    assert by_uid(written(dearer, "--overwrite", file=file)) == after


def numbers(text: str) -> Iterator[int]:
    """Bag numbers from runs such as `3, 17-18`."""
    for run in text.split(","):
        first, _, last = run.strip().partition("-")
        yield from range(int(first), int(last or first) + 1)


def keeping_days(scenario: Scenario, plan: Plan) -> Mapping[int, int]:
    """How many days each bag keeps at least, by the table as it lies on disk: its shortest-keeping cut."""
    with (ROOT / "data" / "keeping.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    kept = {}
    for cut in scenario.cuts:
        names = {cut.kind, *(one.species for one in cut.species)}
        fitting = [
            row
            for row in rows
            if not (row["kinds"] or row["species"])
            or names & set(filter(None, (*row["kinds"].split("; "), *row["species"].split("; "))))
        ]
        kept[cut.name] = int(fitting[0]["refrigerator_least_days"])
    inside = {mix.name: min(kept[one.cut] for one in mix.contents) for mix in plan.mixes} | kept
    return {number: min(inside[one.cut] for one in bag.fillings) for number, bag in enumerate(plan.bags, start=1)}


@pytest.mark.slow
@pytest.mark.parametrize("name", FEW_DOGS)
def test_every_bag_has_time_to_thaw_and_is_fed_while_it_keeps(name: str) -> None:
    # Source: USDA The Big Thaw as told by the University of Illinois Extension: 24 hours for each 5 lb, 2268 g; days
    # of keeping from the source beside each row of the table
    scenario, plan = planned(name).scenario, planned(name).plan
    keeps, seen = keeping_days(scenario, plan), set[int]()
    for event in events(made(name)):
        moved_on = event["dtstart"].dt
        for bags, way, when, day in MOVED.findall(str(event["description"])):
            fed_on = moved_on + timedelta(1) if when == "tomorrow" else date_of(day, moved_on.year)
            for number in numbers(bags):
                bag = plan.bags[number - 1]
                thaws = 0 if way == "straight" else -(-bag.grams // 2_268)
                assert bag.day == fed_on
                assert moved_on + timedelta(thaws) <= fed_on
                assert fed_on <= moved_on + timedelta(thaws + keeps[number])
                assert number not in seen
                seen.add(number)
    unmoved = set(range(1, len(plan.bags) + 1)) - seen
    assert all(plan.bags[number - 1].day - scenario.portioned_on == timedelta(1) for number in unmoved)
    assert len(seen) > len(plan.bags) * 9 // 10


@pytest.mark.slow
@pytest.mark.parametrize("name", FEW_DOGS)
def test_every_bag_is_fed_on_its_day(name: str) -> None:
    plan = planned(name).plan
    fed = {}
    for event in events(made(name)):
        first = str(event["description"]).split("\n")[0]
        for runs in FED.findall(first) if first.startswith("Feed ") else ():
            fed |= dict.fromkeys(numbers(runs), event["dtstart"].dt)
    assert fed == {number: bag.day for number, bag in enumerate(plan.bags, start=1)}


def test_a_file_that_is_there_stays_unless_it_may_be_replaced(tmp_path: Path) -> None:
    file = tmp_path / "days.ics"
    file.write_bytes(b"mine")
    with pytest.raises(FileExistsError, match="add --overwrite"):
        told("calendar", OWNER, "--ics", file, "--markdown", tmp_path / "days.md")
    assert [(one.name, one.read_bytes()) for one in tmp_path.iterdir()] == [("days.ics", b"mine")]
    assert written(OWNER, "--overwrite", file=file).startswith(b"BEGIN:VCALENDAR\r\n")


def test_the_calendar_is_written_beside_the_other_files(tmp_path: Path) -> None:
    file, page, tables = tmp_path / "days.ics", tmp_path / "days.md", tmp_path / "tables"
    assert written(OWNER, "--markdown", page, "--csv", tables, file=file)
    assert page.read_text(encoding="utf-8").startswith("# Calendar: Two dogs, two butchers\n")
    rows = (tables / "reminders-reminders.csv").read_text(encoding="utf-8-sig").splitlines()
    assert rows[0] == "day,to_do,details,cautions,kind,uid,filled_on"
    assert len(rows) == 1 + len(events(file.read_bytes()))


@pytest.mark.slow
def test_no_plan_writes_no_calendar(tmp_path: Path) -> None:
    assert told("calendar", IMPOSSIBLE, "--ics", tmp_path / "days.ics").code == 1
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("clock", ["7:00", "24:00", "07.00", "07:60", "morning", "07:00:00"])
def test_an_alarm_is_a_time_of_day(clock: str, tmp_path: Path) -> None:
    ended = told("calendar", OWNER, "--ics", tmp_path / "days.ics", "--alarm", clock)
    assert ended.code == 2
    assert f"`{clock}` is no time of day" in ended.stderr


def test_an_alarm_without_a_calendar_file_is_refused() -> None:
    assert "name it with --ics" in told("calendar", OWNER, "--alarm", "07:00").stderr


@pytest.mark.slow
def test_a_saved_plan_gives_the_same_calendar_and_messages(tmp_path: Path) -> None:
    saved, later = tmp_path / "plan.json", tmp_path / "owner.yaml"
    saved.write_text(told("plan", OWNER, "--json").stdout)
    assert told("calendar", OWNER, "--plan", saved) == told("calendar", OWNER)
    assert told("message", OWNER, "--plan", saved) == told("message", OWNER)
    later.write_text(OWNER.read_text().replace("days: 14", "days: 14, order_ahead: 5"))
    assert "Sun 14 Feb   Order for the" in told("calendar", later, "--plan", saved).stdout


@pytest.mark.slow
def test_every_message_stands_under_its_supplier() -> None:
    ended = told("message", HOUSEHOLD)
    assert ended.code == 0
    assert re.findall("^== (.*) ==$", ended.stdout, re.MULTILINE) == [
        "Northfold Wholesale",
        "Hollow Lane Butcher",
        "Saturday Market",
    ]


def test_the_message_to_one_supplier_is_bare() -> None:
    bare = told("message", HOUSEHOLD, "--supplier", "saturday MARKET").stdout
    assert bare.startswith("Order for pick-up or delivery before ")
    assert bare in told("message", HOUSEHOLD).stdout
    assert "==" not in bare


def test_messages_to_two_of_three_suppliers() -> None:
    two = told("message", HOUSEHOLD, "--supplier", "Saturday Market", "--supplier", "Northfold Wholesale").stdout
    assert two.count("== ") == 2
    assert "Hollow Lane" not in two


def test_a_supplier_that_is_none_or_gets_no_order_is_told() -> None:
    ended = told("message", HOUSEHOLD, "--supplier", "Saturday Markt")
    assert (ended.code, ended.stdout) == (2, "")
    assert "did you mean `Saturday Market`?" in ended.stderr


@pytest.mark.slow
def test_a_supplier_that_gets_no_order_is_told(tmp_path: Path) -> None:
    file = tmp_path / "owner.yaml"
    dear = "  - {name: Tidewell Farm, cuts: [{cut: beef trim, price: 99.00 per kg, fat: 12 %}]}\n\non_hand:"
    file.write_text(OWNER.read_text().replace("\non_hand:", dear))
    ended = told("message", file, "--supplier", "Tidewell Farm")
    assert (ended.code, ended.stdout) == (2, "")
    assert "nothing is ordered from `Tidewell Farm`: it is from `Hollow Lane Butcher`, `Fenwick" in ended.stderr


@pytest.mark.slow
def test_no_plan_gives_its_reasons_and_no_message() -> None:
    ended = told("message", IMPOSSIBLE)
    assert ended.code == 1
    assert "Order for" not in ended.stdout


def test_outlines_are_of_no_plan_and_no_dog() -> None:
    for more in (("--dog", "Maple"), ("--plan", "plan.json")):
        ended = told("labels", OWNER, "--frame", *more)
        assert (ended.code, "of no plan and no dog" in ended.stderr) == (2, True)
