"""Forms to alter and to retire an enclosure."""

from datetime import date
from typing import Any

from django import forms

from builds.forms.builds import PeopleField, PlannedDayField
from habitats.forms.enclosures import DesignField
from habitats.forms.fields import OnceField


class TargetForm(forms.Form):
    """Into which design; asked for by address, so that it can be shown to others."""

    design = DesignField(label="Alter it into")


class PlanAlterationForm(TargetForm):
    once = OnceField()
    planned_on = PlannedDayField(label="To be done on")
    people = PeopleField(label="Who builds")

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["design"].widget = forms.HiddenInput()
        day = self.fields["planned_on"]
        assert isinstance(day, PlannedDayField)
        day.today = today
