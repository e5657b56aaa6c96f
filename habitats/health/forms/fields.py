"""Days to come, moments, and the times of day at which doses are due."""

import re
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _

from habitats.welfare.doses import MOST_TIMES

A_TIME = re.compile(r"([0-9]{1,2})(?:[:.hH]([0-5][0-9]))?")
BETWEEN = re.compile(r"[\s,;]+")
A_LITTLE = timedelta(minutes=5)  # clocks differ
LONGEST_AHEAD = timedelta(days=5 * 366)


class FutureDayField(forms.DateField):
    """A day that may be to come, five years ahead at most."""

    def __init__(self, **options: Any) -> None:
        widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
        super().__init__(**{"widget": widget, "required": False, **options})

    def clean(self, value: Any) -> date | None:
        day: date | None = super().clean(value)
        if day and day > timezone.localdate() + LONGEST_AHEAD:
            raise forms.ValidationError(_("This is more than five years ahead. Check the year."))
        return day


class TimesField(forms.CharField):
    """Times of day, typed as “8, 14:30, 20”; cleans to a sorted list of “08:00”."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=80, **options)

    def clean(self, value: Any) -> list[str]:
        text = super().clean(value)
        found = sorted({_time_of(one) for one in BETWEEN.split(text) if one})
        if not 1 <= len(found) <= MOST_TIMES:
            raise forms.ValidationError(
                _("Enter 1 to %(most)d times of day, such as 8:00, 20:00.") % {"most": MOST_TIMES}
            )
        return [one.strftime("%H:%M") for one in found]


def _time_of(word: str) -> time:
    typed = A_TIME.fullmatch(word)
    if typed and int(typed[1]) < 24:
        return time(int(typed[1]), int(typed[2] or 0))
    raise forms.ValidationError(
        _("“%(word)s” is not a time of day. Write times such as 8:00, 20:00.") % {"word": word[:20]}
    )


class TimeOfDayField(forms.TimeField):
    def __init__(self, **options: Any) -> None:
        widget = forms.TimeInput(format="%H:%M", attrs={"type": "time"})
        super().__init__(**{"widget": widget, **options})


class MomentField(forms.DateTimeField):
    """A day and time that have come, to the minute."""

    def __init__(self, **options: Any) -> None:
        widget = forms.DateTimeInput(format="%Y-%m-%dT%H:%M", attrs={"type": "datetime-local"})
        super().__init__(**{"widget": widget, "input_formats": ["%Y-%m-%dT%H:%M"], **options})

    def to_python(self, value: Any) -> datetime | None:
        """A time that the clock on the wall skips or shows twice is one that may be typed too."""
        try:
            return super().to_python(value)
        except forms.ValidationError as fault:
            typed = parse_datetime(str(value).strip())
            if fault.code != "ambiguous_timezone" or typed is None:
                raise
            return _latest_so_far(typed)

    def clean(self, value: Any) -> datetime | None:
        moment: datetime | None = super().clean(value)
        if moment and moment > timezone.now() + A_LITTLE:
            raise forms.ValidationError(_("That is in the future. Enter a time that has come."))
        return moment


def _latest_so_far(typed: datetime) -> datetime:
    """Of the two moments that it may be, the later one that has come: so no next dose is early."""
    zone = timezone.get_current_timezone()
    both = sorted(typed.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1))
    return max((one for one in both if one <= timezone.now() + A_LITTLE), default=both[0])
