"""Forms of treatments: what the vet wrote, what was recorded of a dose, and how it was stopped."""

from datetime import date, datetime, time, timedelta
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.animals.models.animals import Animal
from habitats.common.fields import OnceField
from habitats.common.idempotency import get_or_make
from habitats.health.forms.fields import (
    FutureDayField,
    MomentField,
    TimeOfDayField,
    TimesField,
)
from habitats.health.models.treatments import (
    Dose,
    Treatment,
    TreatmentStop,
    drug_key,
    know_days_away,
)
from habitats.people.models.people import Person
from habitats.welfare.doses import LATE_AFTER, MOST_DAYS_BETWEEN, DueDose, PlannedDose

WRITTEN = (
    "drug",
    "amount",
    "how",
    "how_often",
    "times",
    "first_day",
    "first_from",
    "last_day",
    "vet",
    "note",
)
# What is shown where it is written down again: all but the days on which it begins.
AGAIN = ("drug", "amount", "how", "how_often", "last_day", "vet", "every_days", "note")
FOLDED = ("first_day", "first_from", "every_days", "note")
LONG_AGO = timedelta(days=366)
LONG_BEFORE = timedelta(days=1)
MOST_READ = 200  # treatments, for the drugs that are offered


class TreatmentForm(forms.Form):
    """Nothing typed here is checked against a figure, or worked out of one: it is the vet's."""

    once = OnceField()
    drug = forms.CharField(label=gettext_lazy("Drug"), max_length=120)
    amount = forms.CharField(
        label=gettext_lazy("Amount of one dose"),
        max_length=120,
        help_text=gettext_lazy("With its unit, exactly as your vet wrote it."),
    )
    how = forms.CharField(
        label=gettext_lazy("How it is given"),
        max_length=120,
        help_text=gettext_lazy("Such as by mouth, in the left eye, on the skin."),
    )
    how_often = forms.CharField(
        label=gettext_lazy("How often and until when"),
        max_length=200,
        help_text=gettext_lazy("In your vet's words."),
    )
    times = TimesField(
        label=gettext_lazy("Times of day"),
        help_text=gettext_lazy("Such as 8:00, 20:00. A dose is due at each of them."),
    )
    last_day = FutureDayField(
        label=gettext_lazy("Last day"),
        help_text=gettext_lazy("Empty: doses are due until the treatment is stopped."),
    )
    vet = forms.CharField(label=gettext_lazy("Vet or practice"), max_length=80)
    first_day = FutureDayField(label=gettext_lazy("First day"), required=True)
    first_from = TimeOfDayField(
        label=gettext_lazy("First dose of the first day"),
        required=False,
        help_text=gettext_lazy(
            "Times before it do not count on that day. Empty: all count; of today, those from an "
            "hour ago on."
        ),
    )
    every_days = forms.IntegerField(
        label=gettext_lazy("Days from one day with doses to the next"),
        min_value=1,
        max_value=MOST_DAYS_BETWEEN,
        required=False,
        initial=1,
        help_text=gettext_lazy("1: every day. 2: every other day."),
    )
    note = forms.CharField(
        label=gettext_lazy("More of what the vet wrote"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    both = forms.BooleanField(label=gettext_lazy("The vet wrote both"), required=False)

    def __init__(self, *args: Any, animal: Animal, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.animal, self.today = animal, today
        self.is_double = False
        self.fields["first_day"].initial = today
        self.fields["drug"].widget.attrs["list"] = "drugs"
        # Of one written down again, what is left to type.
        left = "amount" if self.initial.get("drug") else "drug"
        self.fields[left].widget.attrs["autofocus"] = True

    @property
    def drugs(self) -> list[str]:
        """Those written down last for this species, each once, as it was written then."""
        known = Treatment.objects.filter(animal__species=self.animal.species)
        latest = known.order_by("-pk").values_list("drug", flat=True)[:MOST_READ]
        named = {drug_key(one): one for one in reversed(latest)}
        return sorted(named.values(), key=str.casefold)

    def clean_drug(self) -> str:
        return " ".join(self.cleaned_data["drug"].split())

    @property
    def has_more_errors(self) -> bool:
        return not self.errors.keys().isdisjoint(FOLDED)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        first, last = given.get("first_day"), given.get("last_day")
        if first and first < self.today - LONG_AGO:
            self.add_error("first_day", _("That is more than a year ago. Check the year."))
        if first and last and last < first:
            self.add_error("last_day", _("That is before the first day. Enter a later day."))
        if first == self.today and not given.get("first_from"):
            given["first_from"] = self._an_hour_ago()
        self._ask_about_double(given)
        return given

    def _ask_about_double(self, given: dict[str, Any]) -> None:
        """Two people who write down the same paper would have each dose given twice."""
        running = self.animal.treatments.running(self.today, date.max)
        running = running.exclude(idempotency_key=given["once"]).select_related("stop", "animal")
        key = drug_key(given.get("drug", ""))
        others = [one for one in running if drug_key(one.drug) == key]
        know_days_away(others)
        self.is_double = not all(one.is_over for one in others)
        if self.is_double and not given.get("both"):
            self.add_error(
                "both",
                _(
                    "%(drug)s is written down for %(animal)s already: each dose would be due "
                    "twice. Save this one only if the vet wrote both."
                )
                % {"drug": given["drug"], "animal": self.animal},
            )

    def _an_hour_ago(self) -> time | None:
        """What was due earlier today is no dose of ours; None: an hour ago was yesterday."""
        before = timezone.localtime(timezone.now() - LATE_AFTER)
        return (
            before.time().replace(second=0, microsecond=0) if before.date() == self.today else None
        )

    def append(self, *, by: Person) -> Treatment:
        given = self.cleaned_data
        return get_or_make(
            Treatment.objects,
            given["once"],
            animal=self.animal,
            made_by=by,
            every_days=given["every_days"] or 1,
            **{name: given[name] for name in WRITTEN},
        )


class DoseForm(forms.Form):
    """What became of one dose; ``is_recorded``: something was recorded before, so say why.

    ``is_too_late``: the next dose is due, so nobody gives this one now. ``planned`` None: it is due
    no longer. Another one given shortly before or after is asked about, as by one tap.
    """

    once = OnceField()
    outcome = forms.ChoiceField(
        label=gettext_lazy("This dose"), choices=Dose.Outcome.choices, widget=forms.RadioSelect
    )
    at = MomentField(label=gettext_lazy("Given at"), required=False)
    given_by = forms.CharField(
        label=gettext_lazy("Given by, if not by you"), max_length=60, required=False
    )
    why = forms.CharField(
        label=gettext_lazy("Reason"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("Why it was not given, or what was wrong with the earlier entry."),
    )
    both_given = forms.BooleanField(label=gettext_lazy("Both doses were given"), required=False)

    def __init__(
        self,
        *args: Any,
        treatment: Treatment,
        dose: DueDose,
        planned: PlannedDose | None,
        is_recorded: bool,
        is_too_late: bool,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.treatment, self.dose, self.is_recorded = treatment, dose, is_recorded
        self.planned = planned
        self.fields["both_given"].widget = forms.HiddenInput()
        # Of a day that is over, nobody gave it just now.
        is_now = dose.day == timezone.localdate() and not is_too_late
        self.fields["at"].initial = timezone.localtime() if is_now else None
        choices = list(Dose.Outcome.choices)
        choice = self.fields["outcome"]
        assert isinstance(choice, forms.ChoiceField)
        choice.choices = choices if is_recorded else choices[:2]

    def clean_at(self) -> datetime | None:
        at: datetime | None = self.cleaned_data["at"]
        if at and at < self.dose.moment(timezone.get_current_timezone()) - LONG_BEFORE:
            raise forms.ValidationError(
                _("That is more than a day before this dose was due. Check the day.")
            )
        return at

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        is_given = given.get("outcome") == Dose.Outcome.GIVEN
        if is_given and not given.get("at") and "at" not in self.errors:
            self.add_error("at", _("Enter when it was given."))
        if "why" not in self.errors and not given.get("why"):
            if given.get("outcome") and not is_given:
                self.add_error("why", _("Enter the reason."))
            elif self.is_recorded:
                self.add_error("why", _("Enter what was wrong with the earlier entry."))
        if is_given and given.get("at"):
            self._ask_about_another(given["at"], is_sure=given.get("both_given", False))
        return given

    def _ask_about_another(self, at: datetime, *, is_sure: bool) -> None:
        doses = Dose.objects.that_count_with(self.treatment)
        other = self.planned and doses.given_close_to(at, self.planned)
        if not other or not other.at:
            return
        self.fields["both_given"].widget = forms.CheckboxInput()
        if not is_sure:
            self.add_error(
                "both_given",
                _(
                    "Another dose was given at %(time)s. Check the time of this one. If both were "
                    "given, tick here, save again, and call your vet."
                )
                % {"time": date_format(timezone.localtime(other.at), "H:i")},
            )

    def append(self, *, by: Person) -> Dose:
        given = self.cleaned_data
        is_given = given["outcome"] == Dose.Outcome.GIVEN
        return get_or_make(
            Dose.objects,
            given["once"],
            treatment=self.treatment,
            due_day=self.dose.day,
            due_time=self.dose.time,
            outcome=given["outcome"],
            at=given["at"] if is_given else None,
            given_by=given["given_by"] if is_given else "",
            why=given["why"],
            made_by=by,
        )


class StopForm(forms.Form):
    once = OnceField()
    at = MomentField(label=gettext_lazy("Stopped at"))
    decided_by = forms.CharField(
        label=gettext_lazy("Who decided"),
        max_length=80,
        help_text=gettext_lazy("The vet's name. A treatment is not stopped early without a vet."),
    )
    why = forms.CharField(label=gettext_lazy("Reason"), max_length=200)

    def __init__(self, *args: Any, treatment: Treatment, **options: Any) -> None:
        super().__init__(*args, **options)
        self.treatment = treatment
        self.fields["at"].initial = lambda: timezone.localtime()

    def clean_at(self) -> datetime:
        at: datetime = self.cleaned_data["at"]
        if timezone.localtime(at).date() < self.treatment.first_day:
            raise forms.ValidationError(_("That is before the first day. Enter a later time."))
        return at

    def append(self, *, by: Person) -> TreatmentStop:
        given = self.cleaned_data
        return get_or_make(
            TreatmentStop.objects,
            given["once"],
            treatment=self.treatment,
            at=given["at"],
            decided_by=given["decided_by"],
            why=given["why"],
            made_by=by,
        )
