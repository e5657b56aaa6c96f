"""Forms about the days on which a home is away."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.db import transaction
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from habitats.common.days import in_full
from habitats.common.fields import EARLIEST_DAY, OnceField
from habitats.homes.models.absences import LONGEST_COVER, Absence
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person

FURTHEST_DAYS = 3 * 365


class AwayDayField(forms.DateField):
    """A day that may be to come, some years ahead at most; ``today`` is given by the view."""

    today: date

    def __init__(self, **options: Any) -> None:
        widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
        super().__init__(**{"widget": widget, **options})

    def clean(self, value: Any) -> date | None:
        day: date | None = super().clean(value)
        latest = self.today + timedelta(days=FURTHEST_DAYS)
        if day is not None and not EARLIEST_DAY <= day <= latest:
            raise forms.ValidationError(
                gettext("Enter a day from %(first)s to %(last)s.")
                % {"first": in_full(EARLIEST_DAY), "last": in_full(latest)}
            )
        return day


class AbsenceForm(forms.Form):
    """Away from one day to another; instead of an ``earlier`` absence, if one is given."""

    once = OnceField()
    first_day = AwayDayField(label=_("First day away"))
    last_day = AwayDayField(
        label=_("Last day away"),
        required=False,
        help_text=_("Leave empty if it is not known yet."),
    )
    covered_by = forms.CharField(
        label=_("Who looks after the animals"),
        max_length=LONGEST_COVER,
        required=False,
        help_text=_("A first name is enough. Leave empty if nobody is found yet."),
    )

    def __init__(
        self, *args: Any, home: Home, today: date, earlier: Absence | None = None, **options: Any
    ) -> None:
        if earlier:
            last, first = earlier.last, max(today, earlier.first_day)
            known = {"first_day": first, "last_day": last, "covered_by": earlier.covered_by}
            options.setdefault("initial", known)
        super().__init__(*args, **options)
        self.home, self.earlier = home, earlier
        _use_today(self, today)

    def clean(self) -> None:
        first, last = self.cleaned_data.get("first_day"), self.cleaned_data.get("last_day")
        if first is None or "last_day" in self.errors:
            return
        if last is not None and last < first:
            self.add_error("last_day", _("The last day is before the first. Correct one of them."))
            return
        others = self.home.absences.exclude(idempotency_key=self.cleaned_data["once"])
        if self.earlier:
            others = others.exclude(pk=self.earlier.pk)
        there = others.about(first, last).first()
        if there:
            words = gettext("Recorded already: %(absence)s. End that one first.")
            self.add_error("first_day", words % {"absence": there.words})

    @transaction.atomic
    def record(self, *, by: Person) -> Absence:
        given = dict(self.cleaned_data)
        key = given.pop("once")
        if self.earlier:
            # What was over before the new one begins stays; nothing of it: it came to nothing.
            ended = max(self.earlier.first_day, given["first_day"])
            self.earlier.end_on(ended, by=by, idempotency_key=None)
        return Absence.objects.record(self.home, by=by, idempotency_key=key, **given)


class AbsenceEndForm(forms.Form):
    """Back earlier, or not gone at all."""

    once = OnceField()
    back_on = AwayDayField(label=_("First day back"))

    def __init__(self, *args: Any, absence: Absence, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        _use_today(self, today)
        self.absence = absence
        self.fields["back_on"].initial = max(today, absence.first_day)
        self.fields["back_on"].help_text = gettext(
            "The first day away, %(day)s, if they do not go at all."
        ) % {"day": in_full(absence.first_day)}

    def clean_back_on(self) -> date:
        back: date = self.cleaned_data["back_on"]
        last = self.absence.last_day
        if last is not None and back > last:
            raise forms.ValidationError(
                gettext("The absence ends on %(day)s. Enter that day or an earlier one.")
                % {"day": in_full(last)}
            )
        return back

    def end(self, *, by: Person) -> None:
        given = self.cleaned_data
        self.absence.end_on(given["back_on"], by=by, idempotency_key=given["once"])


def _use_today(form: forms.Form, today: date) -> None:
    for field in form.fields.values():
        if isinstance(field, AwayDayField):
            field.today = today
