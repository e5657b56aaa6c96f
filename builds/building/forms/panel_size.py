"""Forms about panels that measure otherwise than planned."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.building.models.panel_reports import LONGEST_REMARK
from habitats.common.fields import LengthField, OnceField, use_units
from habitats.structure.design import PanelSize
from habitats.structure.read import PANEL_MM, SQUARES


class PanelReportForm(forms.Form):
    """What a builder measured."""

    once = OnceField()
    size_mm = LengthField(label=_("Your panel, joint to joint"), bounds=PANEL_MM)
    squares = forms.IntegerField(
        label=_("Mesh squares a side"),
        min_value=SQUARES[0],
        max_value=SQUARES[1],
        help_text=_("Count the squares along one edge of a panel."),
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    note = forms.CharField(label=_("Remark"), max_length=LONGEST_REMARK, required=False)

    def __init__(self, *args: Any, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        use_units(self, units)

    @property
    def panel(self) -> PanelSize:
        return PanelSize(self.cleaned_data["size_mm"], self.cleaned_data["squares"])


class PanelAnswerForm(forms.Form):
    """What the coordinator decides; ``answer`` is the button pressed."""

    REPLAN, KEEP = "re-plan", "keep"

    once = OnceField()
    answer = forms.ChoiceField(
        choices=[(REPLAN, _("Re-plan")), (KEEP, _("Keep plan"))],
        error_messages={"required": _("No answer given. Press one of the two buttons.")},
    )
