"""The form about an animal that must not climb."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from habitats.animals.models.animals import Animal
from habitats.animals.models.climbing import LONGEST_WHO, LONGEST_WORDS, ClimbingBan
from habitats.common.fields import DayField, OnceField, use_today
from habitats.common.idempotency import get_or_make
from habitats.people.models.people import Person

MOST_DAYS_AHEAD = 3 * 365


class ClimbingForm(forms.Form):
    """From a day on, until another or until the vet says otherwise."""

    once = OnceField()
    since = DayField(label=_("Must not climb since"))
    until = forms.DateField(
        label=_("May climb again from"),
        required=False,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
        help_text=_("Leave empty until a vet names the day."),
    )
    said_by = forms.CharField(
        label=_("Said by"), max_length=LONGEST_WHO, help_text=_("The vet, or the practice.")
    )
    words = forms.CharField(
        label=_("In their words"),
        max_length=LONGEST_WORDS,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_("Copied word for word."),
    )

    def __init__(self, *args: Any, animal: Animal, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.animal, self.today = animal, today
        use_today(self, today)

    def clean(self) -> None:
        since, until = self.cleaned_data.get("since"), self.cleaned_data.get("until")
        if since is None or until is None:
            return
        if until < since:
            self.add_error("until", _("This is before it began. Enter a later day."))
        elif until > self.today + timedelta(days=MOST_DAYS_AHEAD):
            self.add_error("until", _("This is more than three years ahead. Enter an earlier day."))

    def append(self, *, by: Person) -> ClimbingBan:
        facts = dict(self.cleaned_data)
        key = facts.pop("once")
        return get_or_make(ClimbingBan.objects, key, animal=self.animal, made_by=by, **facts)
