"""Routine checks of teeth and nails, by a rhythm that the rescue sets and agrees with its vet."""

from datetime import date, timedelta

from habitats.source import PRACTICE, Source

SOURCE: Source = PRACTICE
TEETH_DAYS, NAILS_DAYS = 30, 42
NEVER, LONGEST_DAYS = 0, 365


def next_check(
    last: date | None, came_on: date, kept_since: date | None, every_days: int
) -> date | None:
    """The day by which the next check is due; None where none is asked for.

    Without a check it counts from the day on which the animal came, or on which the rescue began
    to keep the rhythm. Raises ``ValueError`` for days that are no rhythm.
    """
    if not NEVER <= every_days <= LONGEST_DAYS:
        raise ValueError(f"{every_days} days; allowed are {NEVER} to {LONGEST_DAYS}")
    if every_days == NEVER:
        return None
    if last is None:
        if kept_since is None:
            return None
        last = max(came_on, kept_since)
    return last + timedelta(days=every_days)
