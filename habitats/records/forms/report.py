"""Which day an inspection asks about, and how much of the rescue."""

from datetime import date
from typing import Any

from django import forms

from habitats.common.fields import DayField, choose_among
from habitats.homes.models.homes import Home


class ReportForm(forms.Form):
    day = DayField(label="Day", required=False, help_text="Today, or any day before.")
    area = forms.ChoiceField(label="Area", required=False)
    home = forms.ModelChoiceField(
        Home.objects.none(),
        label="Home",
        required=False,
        to_field_name="code",
        empty_label="All homes",
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        day = self.fields["day"]
        assert isinstance(day, DayField)
        day.today = today
        homes = Home.objects.by_name()
        areas = homes.exclude(area="").order_by("area").values_list("area", flat=True).distinct()
        self.fields["area"] = forms.ChoiceField(
            label="Area",
            required=False,
            choices=[("", "All areas"), *((one, one) for one in areas)],
        )
        choose_among(self, "home", homes)
