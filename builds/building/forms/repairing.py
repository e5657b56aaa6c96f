"""The form to plan a repair: its faults, its builders and its day."""

from datetime import date
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.building.forms.builds import PeopleField, PlannedDayField
from habitats.common.fields import OnceField, RowsField
from habitats.enclosures.models.enclosures import Enclosure
from habitats.faults.models.faults import Fault
from habitats.upkeep.urgency import FaultUrgency


class FaultsField(RowsField):
    """Open faults of an enclosure, the most urgent first."""

    def label_from_instance(self, obj: Any) -> str:
        seen = gettext("seen %(day)s") % {"day": date_format(obj.on, gettext("j F Y"))}
        words = (str(one) for one in (obj, obj.where_words(), seen))
        return f"{FaultUrgency(obj.urgency).words}: {', '.join(filter(None, words))}"


class PlanRepairForm(forms.Form):
    once = OnceField()
    faults = FaultsField(
        Fault.objects.none(),
        label=_("Faults to mend"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": _("No fault is ticked. Tick each fault that this repair mends."),
            "invalid_choice": _(
                "One of these faults is no longer open. Tick open faults of this enclosure."
            ),
            "invalid_pk_value": _("“%(pk)s” is not a fault. Tick faults of this enclosure."),
        },
    )
    planned_on = PlannedDayField(label=_("Planned for"))
    people = PeopleField(label=_("Builders"))

    def __init__(self, data: Any = None, *, enclosure: Enclosure, today: date) -> None:
        super().__init__(data)
        faults, day = self.fields["faults"], self.fields["planned_on"]
        assert isinstance(faults, FaultsField)
        assert isinstance(day, PlannedDayField)
        faults.queryset = enclosure.faults.open().select_related("revision").urgent_first()
        faults.initial = [one.pk for one in faults.queryset]
        day.today = today
