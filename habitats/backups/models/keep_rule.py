"""Which backups stay: of the last days, weeks and months the newest each (common practice)."""

from collections.abc import Callable, Collection
from datetime import datetime

DAYS, WEEKS, MONTHS = 7, 4, 12


def kept(moments: Collection[datetime]) -> set[datetime]:
    """Those of ``moments`` that stay; they are all in the same time zone.

    Periods without a backup do not count: after a year in which none was made, the old ones are
    still there.
    """
    newest_first = sorted(moments, reverse=True)
    return {
        *_newest_of_each(newest_first, DAYS, lambda one: one.date()),
        *_newest_of_each(newest_first, WEEKS, lambda one: one.isocalendar()[:2]),
        *_newest_of_each(newest_first, MONTHS, lambda one: (one.year, one.month)),
    }


def _newest_of_each(
    newest_first: list[datetime], most: int, period: Callable[[datetime], object]
) -> list[datetime]:
    found: dict[object, datetime] = {}
    for one in newest_first:
        found.setdefault(period(one), one)
    return list(found.values())[:most]
