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
"""The lines of an event that count its changes; all others are its content."""


def calendar(document: Document, alarm_minutes: int | None = None, before: bytes = b"") -> bytes:
    """The reminders of a document as a calendar file, with an alarm `alarm_minutes` after midnight if that is given.

    There is no METHOD, as publishing an event needs an organizer, and nobody is invited. `before` is the file that this
    one replaces: an event whose content changed gets the next SEQUENCE, by which calendars know the later of two;
    any other keeps its own. DTSTAMP, the time of the last change, is midnight UTC of the day on which the bags are
    filled plus a second for each change: no clock is read, so the same input gives the same bytes.
    **Source:** RFC 5545 3.8.7.2 and 3.8.7.4, and RFC 5546 2.1.5 and 3.2.1, from memory, not looked up.
    """
    from icalendar import Calendar

    file, earlier = Calendar(), _read_revisions(before)
    file.add("prodid", PRODID)
    file.add("version", "2.0")
    file.add("x-wr-calname", one_line(document.title))
    for entry in (entry for block in document.blocks if isinstance(block, Agenda) for entry in block.events):
        file.add_component(_add_revision(_event(entry, alarm_minutes), entry, earlier))
    return bytes(file.to_ical())


def _event(entry: Event, alarm_minutes: int | None) -> "ical.Event":
    """An all-day event that does not mark the day as busy."""
    from icalendar import Event as IcalEvent

    event, to_do = IcalEvent(), one_line(entry.to_do)
    event.add("uid", one_line(entry.uid))
    event.add("dtstart", entry.day)
    event.add("dtend", entry.day + timedelta(days=1))
    event.add("summary", to_do)
    event.add("description", _clean_lines(f"{entry.details}\n{entry.cautions}"))
    event.add("categories", [one_line(entry.kind)])
    event.add("transp", "TRANSPARENT")
    if alarm_minutes is not None:
        event.add_component(_alarm(to_do, alarm_minutes))
    return event


def _alarm(to_do: str, minutes: int) -> "ical.Alarm":
    """An alarm that many minutes after midnight, where an all-day event begins."""
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", to_do)
    alarm.add("trigger", timedelta(minutes=minutes))
    return alarm


def _add_revision(event: "ical.Event", entry: Event, earlier: Mapping[bytes, tuple[int, bytes]]) -> "ical.Event":
    """Add to the event how often it was changed, and when last."""
    content = _content_lines(event.to_ical())
    sequence, earlier_content = earlier.get(str(event["uid"]).encode(), (0, content))
    sequence += earlier_content != content
    stamp = datetime.combine(entry.filled_on, time(), UTC) + timedelta(seconds=sequence)
    event.add("sequence", sequence)
    event.add("dtstamp", stamp)
    return event


def _read_revisions(before: bytes) -> dict[bytes, tuple[int, bytes]]:
    """For each event of an earlier file of ours, by UID: its SEQUENCE and its content."""
    revisions = {}
    for event in EVENT.findall(before):
        uid, sequence = UID.search(event), SEQUENCE.search(event)
        if uid and sequence:
            revisions[uid[1]] = (int(sequence[1]), _content_lines(event))
    return revisions


def _content_lines(event: bytes) -> bytes:
    """The content of an event: all its lines but those that count changes."""
    return REVISED.sub(b"", event)


def _clean_lines(text: str) -> str:
    """The lines of a text, each cleaned, without blank ones."""
    return "\n".join(filter(None, map(one_line, text.split("\n"))))
