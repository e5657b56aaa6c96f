"""Forms of starter designs: for which panel, and which one to copy."""

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from builds.making.starters import USUAL_PANEL
from habitats.common.fields import LengthField, OnceField, use_units
from habitats.designs.models.designs import Design
from habitats.rescue.models.rescue import Rescue
from habitats.structure.design import PanelSize
from habitats.structure.read import PANEL_MM, SQUARES


def usual_panel() -> PanelSize:
    """The rescue's own, as measured; else that of the newest design; else the commonest."""
    if panel := Rescue.ours().panel:
        return panel
    newest = Design.objects.listed().live().with_revision().order_by("-made_at", "-pk").first()
    return newest.shape().panel if newest else USUAL_PANEL


class StarterPanelForm(forms.Form):
    """A panel as it was measured."""

    size_mm = LengthField(
        label=_("Panel, joint to joint"),
        bounds=PANEL_MM,
        help_text=_("Measure yours: five panels in a row, divided by five."),
    )
    squares = forms.IntegerField(
        label=_("Mesh squares a side"), min_value=SQUARES[0], max_value=SQUARES[1]
    )

    def __init__(self, sent: QueryDict | None, *, units: str, panel: PanelSize) -> None:
        super().__init__(sent, initial={"size_mm": panel.size_mm, "squares": panel.squares})
        use_units(self, units)

    def panel(self) -> PanelSize:
        return PanelSize(self.cleaned_data["size_mm"], self.cleaned_data["squares"])


class CopyStarterForm(forms.Form):
    """Sent by a button, in whole millimetres whatever the reader's units."""

    once = OnceField()
    code = forms.CharField(max_length=40)
    size_mm = forms.IntegerField(min_value=PANEL_MM[0], max_value=PANEL_MM[1])
    squares = forms.IntegerField(min_value=SQUARES[0], max_value=SQUARES[1])

    def panel(self) -> PanelSize:
        return PanelSize(self.cleaned_data["size_mm"], self.cleaned_data["squares"])
