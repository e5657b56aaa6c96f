"""The form of routine checks: a tick for the teeth and the nails of each animal of a home."""

import uuid
from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.db import transaction

from habitats.animals.models.animals import Animal
from habitats.common.fields import OnceField
from habitats.common.idempotency import get_or_make
from habitats.health.models.dues import CHECKS
from habitats.health.models.entries import HealthEntry
from habitats.people.models.people import Person


class ChecksForm(forms.Form):
    """``done`` are ticks, as “teeth-CODE”."""

    once = OnceField()
    done = forms.MultipleChoiceField(required=False)

    def __init__(self, *args: Any, animals: Sequence[Animal], today: date) -> None:
        super().__init__(*args)
        self.today = today
        self._animals = {one.code: one for one in animals}
        done = self.fields["done"]
        assert isinstance(done, forms.ChoiceField)
        done.choices = [
            (f"{kind}-{code}", f"{kind}-{code}") for code in self._animals for kind in CHECKS
        ]

    @transaction.atomic
    def append(self, *, by: Person) -> int:
        """How many checks were recorded."""
        ticks: list[str] = self.cleaned_data["done"]
        for tick in ticks:
            kind, code = tick.split("-")
            get_or_make(
                HealthEntry.objects,
                uuid.uuid5(self.cleaned_data["once"], tick),
                animal=self._animals[code],
                kind=CHECKS[kind],
                on=self.today,
                made_by=by,
            )
        return len(ticks)
