"""The end of every way in that does not ask for the password: log-ins and the calendar's link."""

from typing import NamedTuple

from habitats.people.models.calendar_feeds import CalendarFeed
from habitats.people.models.devices import end
from habitats.people.models.people import Person


class Ended(NamedTuple):
    """``devices``: on how many the person was logged in. ``calendar``: whether it had a link."""

    devices: int
    calendar: bool


def end_all(person: Person, *, but: str | None = None) -> Ended:
    """``but``: the session that stays. What a phone has not sent yet stays on the phone."""
    devices = person.devices.exclude(session_key=but) if but else person.devices.all()
    return Ended(end(devices), CalendarFeed.objects.revoke(person))
