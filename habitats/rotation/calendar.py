"""When a place is due; the days of a forecast, counted from its start, 0, and its wash days."""

from dataclasses import dataclass
from datetime import date, timedelta

from habitats.rotation.values import ForecastInputs, Laundry, WashStage


@dataclass(frozen=True, slots=True)
class Calendar:
    """``wash_days`` in order; what is washed on one is back ``back_after`` days later."""

    days: int
    wash_days: tuple[int, ...]
    back_after: int

    def until_wash(self, number: int) -> range:
        """The days after the wash day before, up to the one of this number, or to the end."""
        first = self.wash_days[number - 1] + 1 if number else 0
        last = self.wash_days[number] if number < len(self.wash_days) else self.days - 1
        return range(first, last + 1)

    def back(self, number: int) -> int:
        """The day on which what is washed on this wash day can be laid in again."""
        return self.wash_days[number] + self.back_after


def calendar_of(start: date, days: int, laundry: Laundry) -> Calendar:
    """The wash days that fall into so many days from the start."""
    wash_days = tuple(
        day
        for day in range(days)
        if (start + timedelta(days=day)).weekday() in laundry.wash_weekdays
    )
    return Calendar(days, wash_days, laundry.back_after)


def due_on(last_changed: date, interval_days: int, *, bare_on: date | None) -> date:
    """The day of a place's next change. ``bare_on``: today, if no linen lies in it; else None.

    Where animals live on a bare tray a linen is due now, however lately the last one went in.
    """
    due = last_changed + timedelta(days=interval_days)
    return due if bare_on is None else min(due, bare_on)


def first_dues(inputs: ForecastInputs) -> tuple[int, ...]:
    """By need: the day of its first change, which may be past; of a bare one the start at most."""
    lined = {piece.enclosure for piece in inputs.pieces if piece.at is WashStage.IN_USE}
    return tuple(
        (
            due_on(
                need.last_changed,
                need.interval_days,
                bare_on=None if need.lined_otherwise or need.id in lined else inputs.start,
            )
            - inputs.start
        ).days
        for need in inputs.needs
    )
