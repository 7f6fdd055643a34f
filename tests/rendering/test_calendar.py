"""A calendar is one that other programs read: RFC 5545, whatever the names hold, and the same at every run.

**Source:** RFC 5545 3.1 (lines of at most 75 octets that end in CRLF), 3.6 (PRODID, VERSION), 3.6.1 (UID, DTSTAMP,
DTSTART), 3.6.6 (ACTION, DESCRIPTION and TRIGGER of an alarm) and 3.8.7.4 (SEQUENCE), from memory, not looked up; and
`icalendar`, a general-purpose library, which reads the calendar back.
"""

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta

import icalendar
import pytest

from raworder.rendering.calendar import calendar
from raworder.reporting.reminders import agenda
from raworder.trade.document import Document, Event
from tests.rendering.hell import NAMES, a_document

FILLED_ON = date(2027, 2, 5)


def reminders(*rows: tuple[str, str, str], title: str = "a title") -> Document:
    """A document with reminders on days in a row: what to do, how, and what to mind."""
    told = [
        Event(FILLED_ON + timedelta(place), *row, "feeding", f"uid-{place}", FILLED_ON)
        for place, row in enumerate(rows)
    ]
    return a_document(agenda("day by day", told), title=title)


PLAIN = reminders(("Feed bag 1", "Feed Maple bag 1.\nMove bag 2.", "Never on the counter."), ("Feed bag 2", "", ""))


def events(made: bytes) -> list[icalendar.Event]:
    """The events, read back by the library, which must find nothing wrong."""
    read = icalendar.Calendar.from_ical(made)
    assert not any(one.errors for one in read.walk())
    return list(read.walk("VEVENT"))


def sequences(made: bytes) -> list[int]:
    """How often each event was changed."""
    return [int(one["sequence"]) for one in events(made)]


def lines_of(made: bytes) -> Iterable[bytes]:
    """The physical lines; each ends in CRLF and there is no other line end."""
    assert made.endswith(b"\r\n")
    lines = made[:-2].split(b"\r\n")
    assert not any(b"\r" in line or b"\n" in line for line in lines)
    return lines


def test_an_event_is_a_whole_day_that_stays_free() -> None:
    first = events(calendar(PLAIN))[0]
    assert first["dtstart"].to_ical() == b"20270205"
    assert first["dtstart"].params["VALUE"] == "DATE"
    assert first["dtend"].to_ical() == b"20270206"
    assert first["transp"] == "TRANSPARENT"
    assert str(first["summary"]) == "Feed bag 1"
    assert str(first["description"]) == "Feed Maple bag 1.\nMove bag 2.\nNever on the counter."
    assert first["categories"].to_ical() == b"feeding"


def test_all_that_the_standard_asks_for_is_there() -> None:
    read = icalendar.Calendar.from_ical(calendar(PLAIN))
    assert read["version"] == "2.0"
    assert read["prodid"].startswith("-//")
    assert "method" not in read  # publishing would ask for an organizer
    for one in events(calendar(PLAIN)):
        assert all(one.get(name) is not None for name in ("uid", "dtstamp", "dtstart"))
        assert one["dtstamp"].dt == datetime(2027, 2, 5, tzinfo=UTC)


def test_there_is_an_event_for_every_row_under_its_own_name() -> None:
    assert [str(one["uid"]) for one in events(calendar(PLAIN))] == ["uid-0", "uid-1"]


def test_names_from_hell_stay_in_their_event_and_on_their_line() -> None:
    hell = reminders(*((f"Feed {name}", f"{name}\n{name}", name) for name in NAMES), title="\n".join(NAMES))
    made = calendar(hell, 420)
    assert len(events(made)) == len(NAMES)
    for line in lines_of(made):
        assert len(line) <= 75
        line.decode()  # a fold cuts no character in two
    told = [one for event in events(made) for one in (str(event["summary"]), str(event["description"]))]
    assert not any(one in text for text in told for one in ("\x1b", "\x00", "\u202e", "\r"))
    assert any("日本語の名前" in text for text in told)
    assert any('quote " and comma, here' in text for text in told)
    assert any("back\\slash" in text for text in told)


@pytest.mark.parametrize("length", range(60, 90))
def test_long_lines_are_folded_without_cutting_a_character(length: int) -> None:
    name = "a" * length + "日本語" * 30
    made = calendar(reminders((name, name, "")))
    assert all(len(line) <= 75 and line.decode() for line in lines_of(made))
    assert str(events(made)[0]["summary"]) == name


def test_an_alarm_rings_so_many_minutes_after_midnight() -> None:
    assert not icalendar.Calendar.from_ical(calendar(PLAIN)).walk("VALARM")
    alarms = icalendar.Calendar.from_ical(calendar(PLAIN, 450)).walk("VALARM")
    assert [one["trigger"].dt for one in alarms] == [timedelta(hours=7, minutes=30)] * 2
    assert {str(one["action"]) for one in alarms} == {"DISPLAY"}
    assert [str(one["description"]) for one in alarms] == ["Feed bag 1", "Feed bag 2"]


def test_the_same_reminders_give_the_same_bytes_also_over_the_file_that_they_replace() -> None:
    made = calendar(PLAIN, 420)
    assert calendar(PLAIN, 420) == made
    assert calendar(PLAIN, 420, made) == made


def test_only_what_says_something_else_is_later_than_the_file_that_it_replaces() -> None:
    changed = reminders(
        ("Feed bag 1", "Feed Maple bag 1.\nMove bag 2.", "Never on the counter."), ("Feed bag 9", "", "")
    )
    once = calendar(changed, before=calendar(PLAIN))
    assert sequences(once) == [0, 1]
    assert events(once)[1]["dtstamp"].dt == datetime(2027, 2, 5, 0, 0, 1, tzinfo=UTC)
    assert calendar(changed, before=once) == once
    assert sequences(calendar(PLAIN, before=once)) == [0, 2]


def test_an_alarm_that_is_added_is_a_change() -> None:
    assert sequences(calendar(PLAIN, 420, calendar(PLAIN))) == [1, 1]


def test_any_other_file_is_replaced_without_a_word() -> None:
    for other in (b"mine", b"\xff\x00", calendar(PLAIN)[:150], calendar(PLAIN).replace(b"uid-", b"other-")):
        assert calendar(PLAIN, before=other) == calendar(PLAIN)


def test_a_document_without_reminders_gives_an_empty_calendar() -> None:
    assert events(calendar(a_document())) == []
