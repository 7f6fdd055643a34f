"""Reminders as a calendar file, RFC 5545: an event for each row, all day, to be imported again when a plan changes."""

import re
from collections.abc import Mapping
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING

from raworder.rendering.clean import one_line
from raworder.trade.document import Agenda, Document, Event

if TYPE_CHECKING:
    import icalendar as ical

PRODID = "-//raworder//reminders//EN"
"""Who made the calendar, as the standard asks for it; without a version, so that a release changes no file."""

EVENT = re.compile(rb"BEGIN:VEVENT\r\n.*?END:VEVENT\r\n", re.DOTALL)
UID = re.compile(rb"^UID:([^\r\n]+)\r\n", re.MULTILINE)
SEQUENCE = re.compile(rb"^SEQUENCE:([0-9]{1,6})\r\n", re.MULTILINE)
REVISED = re.compile(rb"^(?:SEQUENCE|DTSTAMP):[^\r\n]*\r\n", re.MULTILINE)
"""What tells how often an event was changed; all else is what it says."""


def calendar(document: Document, alarm_minutes: int | None = None, before: bytes = b"") -> bytes:
    """The reminders of a document as a calendar, with an alarm so many minutes after midnight where that is given.

    There is no METHOD: to publish an event asks for an organizer, and nobody is invited. `before` is the file that this
    one replaces: an event that says something else than there has a SEQUENCE one higher, by which calendars know the
    later of two; else it stays as it was. DTSTAMP, which without a METHOD tells the last change, is midnight UTC of the
    day on which the bags are filled, and a second later for each change. **Source:** RFC 5545 3.8.7.2 and 3.8.7.4, and
    RFC 5546 2.1.5 and 3.2.1, from memory, not looked up.
    """
    from icalendar import Calendar

    made, earlier = Calendar(), _earlier(before)
    made.add("prodid", PRODID)
    made.add("version", "2.0")
    made.add("x-wr-calname", one_line(document.title))
    for entry in (entry for block in document.blocks if isinstance(block, Agenda) for entry in block.events):
        made.add_component(_revised(_event(entry, alarm_minutes), entry, earlier))
    return bytes(made.to_ical())


def _event(entry: Event, alarm_minutes: int | None) -> "ical.Event":
    """An event of a whole day, which leaves the day free."""
    from icalendar import Event as IcalEvent

    event, to_do = IcalEvent(), one_line(entry.to_do)
    event.add("uid", one_line(entry.uid))
    event.add("dtstart", entry.day)
    event.add("dtend", entry.day + timedelta(days=1))
    event.add("summary", to_do)
    event.add("description", _lines(f"{entry.details}\n{entry.cautions}"))
    event.add("categories", [one_line(entry.kind)])
    event.add("transp", "TRANSPARENT")
    if alarm_minutes is not None:
        event.add_component(_alarm(to_do, alarm_minutes))
    return event


def _alarm(to_do: str, minutes: int) -> "ical.Alarm":
    """An alarm on the morning of the day: an event of a whole day begins at midnight where the person is."""
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", to_do)
    alarm.add("trigger", timedelta(minutes=minutes))
    return alarm


def _revised(event: "ical.Event", entry: Event, earlier: Mapping[bytes, tuple[int, bytes]]) -> "ical.Event":
    """The event with how often it was changed, and when last."""
    says = _content_lines(event.to_ical())
    sequence, said = earlier.get(str(event["uid"]).encode(), (0, says))
    sequence += said != says
    stamp = datetime.combine(entry.filled_on, time(), UTC) + timedelta(seconds=sequence)
    event.add("sequence", sequence)
    event.add("dtstamp", stamp)
    return event


def _earlier(before: bytes) -> dict[bytes, tuple[int, bytes]]:
    """By UID, how often each event of our own calendar was changed, and what it says; nothing of any other file."""
    found = {}
    for event in EVENT.findall(before):
        uid, sequence = UID.search(event), SEQUENCE.search(event)
        if uid and sequence:
            found[uid[1]] = (int(sequence[1]), _content_lines(event))
    return found


def _content_lines(event: bytes) -> bytes:
    """All that an event says, without how often it was changed."""
    return REVISED.sub(b"", event)


def _lines(text: str) -> str:
    """The lines of a text, each cleaned, without empty ones."""
    return "\n".join(filter(None, map(one_line, text.split("\n"))))
