"""When the next safety check is due, and how long parts last."""

from datetime import date, timedelta

from habitats.source import PRACTICE, Source

SOURCE: Source = PRACTICE
SAFETY_CHECK_DAYS = 30
SHORTEST_DAYS, LONGEST_DAYS = 7, 180

# Years after which parts of one kind are replaced, sound or not; others serve until they fail.
LIFE_YEARS = {"tie": 3, "tray": 5, "connector": 10}


def next_check(last: date | None, stands_since: date | None, every_days: int) -> date | None:
    """The day by which the next safety check is due; None without one, and not known to stand.

    Raises ``ValueError`` for days that are no interval.
    """
    if not SHORTEST_DAYS <= every_days <= LONGEST_DAYS:
        raise ValueError(f"{every_days} days; allowed are {SHORTEST_DAYS} to {LONGEST_DAYS}")
    known = [day for day in (last, stands_since) if day]
    return max(known) + timedelta(days=every_days) if known else None


def replace_by(part: str, fitted_on: date | None) -> date | None:
    """The day on which parts of this kind have served; None where it is not told.

    ``part`` is the kind as components have it.
    """
    years = LIFE_YEARS.get(part)
    if years is None or fitted_on is None:
        return None
    year = fitted_on.year + years
    try:
        return fitted_on.replace(year=year)
    except ValueError:  # the 29th of February
        return date(year, 3, 1)
