"""The form to plan a repair: which faults, who mends them and when."""

from datetime import date
from typing import Any

from django import forms

from builds.building.forms.builds import PeopleField, PlannedDayField
from habitats.common.fields import OnceField, RowsField
from habitats.enclosures.models.enclosures import Enclosure
from habitats.faults.models.faults import Fault
from habitats.upkeep.urgency import FaultUrgency


class FaultsField(RowsField):
    """Open faults of an enclosure, the most urgent first."""

    def label_from_instance(self, obj: Any) -> str:
        words = (str(obj), obj.where_words(), f"seen {obj.on:%-d %B %Y}")
        return f"{FaultUrgency(obj.urgency).words}: {', '.join(filter(None, words))}"


class PlanRepairForm(forms.Form):
    once = OnceField()
    faults = FaultsField(
        Fault.objects.none(),
        label="What it mends",
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": "No fault is ticked. Tick each that this repair is to mend.",
            "invalid_choice": "One of these is no open fault of this enclosure any more. "
            "Tick those that are.",
            "invalid_pk_value": "“%(pk)s” is no fault. Tick faults of this enclosure.",
        },
    )
    planned_on = PlannedDayField(label="To be done on")
    people = PeopleField(label="Who mends")

    def __init__(self, data: Any = None, *, enclosure: Enclosure, today: date) -> None:
        super().__init__(data)
        faults, day = self.fields["faults"], self.fields["planned_on"]
        assert isinstance(faults, FaultsField)
        assert isinstance(day, PlannedDayField)
        faults.queryset = enclosure.faults.open().select_related("revision").urgent_first()
        faults.initial = [one.pk for one in faults.queryset]
        day.today = today
