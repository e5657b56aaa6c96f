"""A bonding attempt, written down with a thumb: who with, how it went, and the rest if known."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.animals.models.bonding import (
    LONGEST_PLACE,
    MOST_MINUTES,
    BondingAttempt,
    record_attempt,
)
from habitats.common.fields import DayField, OnceField, use_today
from habitats.people.models.people import Person

NEUTRAL = [
    ("yes", gettext_lazy("new to both")),
    ("no", gettext_lazy("one of them lives there")),
    ("", gettext_lazy("not known")),
]


class BondingForm(forms.Form):
    once = OnceField()
    other = forms.ModelChoiceField(
        label=gettext_lazy("With"),
        queryset=Animal.objects.none(),
        to_field_name="code",
        empty_label=None,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose the other animal.")},
    )
    outcome = forms.ChoiceField(
        label=gettext_lazy("Outcome"),
        choices=BondingAttempt.Outcome.choices,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose how it went.")},
    )
    minutes = forms.IntegerField(
        label=gettext_lazy("Minutes together"),
        min_value=1,
        max_value=MOST_MINUTES,
        required=False,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    neutral = forms.ChoiceField(
        label=gettext_lazy("Ground"), choices=NEUTRAL, required=False, widget=forms.RadioSelect
    )
    place = forms.CharField(
        label=gettext_lazy("Room or place"), max_length=LONGEST_PLACE, required=False
    )
    on = DayField(label=gettext_lazy("Day"))
    note = forms.CharField(label=gettext_lazy("Note"), max_length=300, required=False)

    def __init__(
        self, *args: Any, animal: Animal, offered: AnimalQuerySet, today: date, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.animal = animal
        field = self.fields["other"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = offered
        use_today(self, today)

    def append(self, *, by: Person) -> BondingAttempt:
        given = self.cleaned_data
        return record_attempt(
            self.animal,
            given["other"],
            by=by,
            idempotency_key=given["once"],
            is_neutral={"yes": True, "no": False}.get(given["neutral"]),
            **{name: given[name] for name in ("on", "outcome", "minutes", "place", "note")},
        )
