"""The doses that follow from a treatment as a vet wrote it: when each is due, and how it stands.

Nothing here says what is given, or how much. A dose without an entry is told, and never made up
for. Times are those of the clock on the wall, so a day has its doses also where the clock changes.
"""

from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from enum import StrEnum
from typing import NamedTuple

from habitats.source import PRACTICE, Source

SOURCE: Source = PRACTICE
# A dose is called late so long after its time, and can be ticked with one tap so long before it.
LATE_AFTER = timedelta(minutes=60)
CODE = "%Y-%m-%d-%H%M"
MOST_TIMES = 8
MOST_DAYS_BETWEEN = 30
ONE_DAY = timedelta(days=1)


class DoseState(StrEnum):
    COMING = "coming"
    DUE = "due"  # an hour before its time until an hour after it
    LATE = "late"  # of today
    TOO_LATE = "too_late"  # of today, and the next dose is due: never both
    NO_ENTRY = "no_entry"  # late, and its day is over
    GIVEN = "given"
    NOT_GIVEN = "not_given"

    @property
    def is_open(self) -> bool:
        return self not in (DoseState.GIVEN, DoseState.NOT_GIVEN)


# Who says that it was given just now is believed: its time has come, or nearly, and that of
# the next dose has not.
CAN_BE_TICKED = (DoseState.DUE, DoseState.LATE)


class DueDose(NamedTuple):
    """One dose by the day and the time of day for which it was written."""

    day: date
    time: time

    def moment(self, zone: tzinfo) -> datetime:
        """When that is. A time that the clock skips is as long after the change as it would be;
        of one that it shows twice it is the first.
        """
        # Compared in UTC: between two moments of one zone Python counts the wall's hours.
        return datetime.combine(self.day, self.time, zone).astimezone(UTC)

    @property
    def code(self) -> str:
        """As “2027-03-10-0800”, for an address."""
        return f"{self.day.isoformat()}-{self.time:%H%M}"

    @classmethod
    def of_code(cls, code: str) -> "DueDose":
        """Raises ``ValueError`` for what is no code."""
        found = datetime.strptime(code, CODE)
        return cls(found.date(), found.time())


class PlannedDose(NamedTuple):
    """A dose with the time in which one tap says that it was given.

    It opens ``LATE_AFTER`` before the dose, or in the middle between two that are closer, and
    closes where that of the next opens: at no moment can two doses of a treatment be tapped.
    ``preceding`` None: it is the first dose; ``following`` and ``closes`` None: the last.
    """

    preceding: DueDose | None
    due: DueDose
    opens: datetime
    following: DueDose | None
    closes: datetime | None


class DosePlan(NamedTuple):
    """At these times of day, from the first day to the last (None: until it is stopped).

    ``first_from``: times before it do not count on the first day. ``every_days``: 2 is every other
    day. ``stopped``: no dose from this moment on. ``gone_on``: no longer ours from this day on.
    ``away``: spans of days, the last not included, on which the animal was not ours.
    """

    first: date
    times: tuple[time, ...]
    last: date | None = None
    first_from: time | None = None
    every_days: int = 1
    stopped: datetime | None = None
    gone_on: date | None = None
    away: tuple[tuple[date, date], ...] = ()

    def due(self, since: date, until: date, zone: tzinfo) -> Iterator[DueDose]:
        """The doses of these days, the last included, in the order of their times."""
        for day in self._days(since, until):
            for at in sorted(set(self.times)):
                dose = DueDose(day, at)
                if self._counts(dose, zone):
                    yield dose

    def planned(self, since: date, until: date, zone: tzinfo) -> Iterator[PlannedDose]:
        """The doses of these days, each with those beside it."""
        # No time opens more than an hour before its dose: those of one day more are enough.
        found = list(self.due(since - ONE_DAY, until + ONE_DAY, zone))
        rows = [
            (before, dose, _opens(before, dose, zone))
            for before, dose in zip([None, *found], found, strict=False)
        ]
        for row, after in zip(rows, [*rows[1:], (None, None, None)], strict=False):
            if since <= row[1].day <= until:
                yield PlannedDose(*row, *after[1:])

    def _days(self, since: date, until: date) -> Iterator[date]:
        passed = max((since - self.first).days, 0)
        day = self.first + timedelta(days=-(-passed // self.every_days) * self.every_days)
        last = min(until, self.last or until, self.gone_on - ONE_DAY if self.gone_on else until)
        while day <= last:
            yield day
            day += timedelta(days=self.every_days)

    def _counts(self, dose: DueDose, zone: tzinfo) -> bool:
        if dose.day == self.first and self.first_from and dose.time < self.first_from:
            return False
        if any(since <= dose.day < until for since, until in self.away):
            return False
        return self.stopped is None or dose.moment(zone) < self.stopped


def _opens(before: DueDose | None, dose: DueDose, zone: tzinfo) -> datetime:
    return dose.moment(zone) - min(LATE_AFTER, _half_way(before, dose, zone))


def _half_way(before: DueDose | None, dose: DueDose, zone: tzinfo) -> timedelta:
    """Half of the time from the dose before."""
    return (dose.moment(zone) - before.moment(zone)) / 2 if before else LATE_AFTER


def state_of(
    planned: PlannedDose, answers: Mapping[DueDose, bool | None], now: datetime, zone: tzinfo
) -> DoseState:
    """How a dose stands at a moment, by the clock on the wall in ``zone``.

    ``answers``: whether each was given; None, or no answer: nothing was recorded of it.
    """
    dose, is_given = planned.due, answers.get(planned.due)
    if is_given is not None:
        return DoseState.GIVEN if is_given else DoseState.NOT_GIVEN
    is_over = dose.day < now.astimezone(zone).date()
    is_next_given = planned.following is not None and answers.get(planned.following) is True
    if is_next_given or (planned.closes is not None and now >= planned.closes):
        return DoseState.NO_ENTRY if is_over else DoseState.TOO_LATE
    if now > dose.moment(zone) + LATE_AFTER:
        return DoseState.NO_ENTRY if is_over else DoseState.LATE
    return DoseState.COMING if now < planned.opens else DoseState.DUE


def is_just_given(planned: PlannedDose, given: datetime, now: datetime, zone: tzinfo) -> bool:
    """Whether another dose, given at that moment, makes it worth asking before one is tapped.

    Within half of the time from the dose before: that one was given late. Common practice, no
    source: what then, a vet says.
    """
    return given > now - _half_way(planned.preceding, planned.due, zone)
