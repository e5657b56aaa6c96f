"""A calendar that a phone subscribes to, as RFC 5545 writes it."""

import uuid
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from typing import NamedTuple

# Events get the same UID each time the calendar is fetched, so that a phone moves them.
_NAMESPACE = uuid.UUID("6d0f5a8e-5f0c-5d0a-9a53-0a5c3c1b7a11")
_MAKER = "-//Habitats//Calendar of a small-pet rescue//EN"
REFRESH = timedelta(hours=6)


class Entry(NamedTuple):
    """Something on whole days: ``day`` and on to ``last``, both counted; or in the ``hours`` of
    that day, with their time zone.

    ``key`` says what it is about: an entry with the same key is the same one, moved.
    ``sequence``: how often it was changed.
    """

    key: str
    day: date
    title: str
    last: date | None = None
    note: str = ""
    link: str = ""
    hours: tuple[datetime, datetime] | None = None
    place: str = ""
    sequence: int = 0


def calendar_text(name: str, entries: Iterable[Entry], stamp: datetime) -> bytes:
    """The calendar as it is sent: lines end in CRLF and are folded at 75 octets.

    ``stamp``: when it was made, in UTC. Whole days need no time zone.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", _MAKER)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    for entry in entries:
        calendar.add_component(_event(entry, stamp))
    text: bytes = calendar.to_ical()
    return text


def _event(entry: Entry, stamp: datetime):  # type: ignore[no-untyped-def]
    from icalendar import Event

    event = Event()
    event.add("uid", str(uuid.uuid5(_NAMESPACE, entry.key)))
    event.add("dtstamp", stamp)
    # By UID and SEQUENCE an entry that was changed takes the place of the one before (RFC 5545,
    # 3.8.7.4).
    event.add("sequence", entry.sequence)
    if entry.hours:
        # In UTC (RFC 5545, 3.3.5, form 2), so that no calendar needs our time zone.
        event.add("dtstart", entry.hours[0].astimezone(UTC))
        event.add("dtend", entry.hours[1].astimezone(UTC))
    else:
        event.add("dtstart", entry.day)
        # The end is the first day after it (RFC 5545, 3.6.1).
        event.add("dtend", (entry.last or entry.day) + timedelta(days=1))
    event.add("summary", entry.title)
    if entry.note:
        event.add("description", entry.note)
    if entry.link:
        event.add("url", entry.link)
    if entry.place:
        event.add("location", entry.place)
    event.add("transp", "OPAQUE" if entry.hours else "TRANSPARENT")
    return event
