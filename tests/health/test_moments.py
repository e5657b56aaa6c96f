"""Moments that people type in the nights in which the clock changes.

Central European time changes at 01:00 UTC on the last Sunday of March and of October (Directive
2000/84/EC, from memory; the IANA time zone database agrees).
"""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from habitats.health.forms.fields import MomentField


@pytest.mark.parametrize(
    ("now", "typed", "meant"),
    [
        # Shown twice: the first time while it is the only one that has come, then the second.
        ("2027-10-31 00:40", "2027-10-31T02:30", "2027-10-31 00:30"),
        ("2027-10-31 07:00", "2027-10-31T02:30", "2027-10-31 01:30"),
        # Skipped: as long after the change as it would be, as doses are.
        ("2027-03-28 07:00", "2027-03-28T02:30", "2027-03-28 01:30"),
        ("2027-03-28 07:00", "2027-03-28T03:30", "2027-03-28 01:30"),
    ],
)
def test_a_time_of_the_night_in_which_the_clock_changes_is_read(now, typed, meant, monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: moment(now))

    with timezone.override(ZoneInfo("Europe/Berlin")):
        assert MomentField().clean(typed) == moment(meant)


def moment(text):
    return datetime.strptime(text, "%Y-%m-%d %H:%M").replace(tzinfo=UTC)
