"""Which day an inspection asks about, and how much of the rescue."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from habitats.common.fields import DayField, choose_among
from habitats.homes.models.homes import Home


class ReportForm(forms.Form):
    day = DayField(label=_("Day"), required=False, help_text=_("Today, or any earlier day."))
    area = forms.ChoiceField(label=_("Area"), required=False)
    home = forms.ModelChoiceField(
        Home.objects.none(),
        label=_("Home"),
        required=False,
        to_field_name="code",
        empty_label=_("All homes"),
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        day = self.fields["day"]
        assert isinstance(day, DayField)
        day.today = today
        homes = Home.objects.by_name()
        areas = homes.exclude(area="").order_by("area").values_list("area", flat=True).distinct()
        self.fields["area"] = forms.ChoiceField(
            label=_("Area"),
            required=False,
            choices=[("", _("All areas")), *((one, one) for one in areas)],
        )
        choose_among(self, "home", homes)
