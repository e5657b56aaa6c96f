"""The step that says for how many animals a drawing is furnished."""

from dataclasses import replace
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.designs.forms.steps import EditForm
from habitats.structure.design import Design, Furniture
from habitats.structure.edit import Moved
from habitats.structure.read import FURNISHED_FOR, FURNITURE, furniture_document


def _number(label: Any, empty: Any) -> forms.IntegerField:
    """How many there are of one kind; ``empty`` says what follows where none is given."""
    least, most = FURNITURE
    return forms.IntegerField(
        label=label, required=False, min_value=least, max_value=most, help_text=empty
    )


class FurnitureForm(EditForm):
    """For how many animals it is furnished; none where that is left empty."""

    animals = forms.IntegerField(
        label=_("Animals it is planned for"),
        required=False,
        min_value=FURNISHED_FOR[0],
        max_value=FURNISHED_FOR[1],
        help_text=_("Empty: no furniture is planned."),
    )
    hides = _number(_("Hides"), _("Empty: one for each animal."))
    water = _number(_("Water bottles or bowls"), _("Empty: as many as the animals need."))
    hay = _number(_("Hay racks"), _("Empty: as many as the animals need."))

    def start_from(self, shape: Design) -> None:
        if shape.furniture:
            self.initial.update(furniture_document(shape.furniture))

    def edit(self, shape: Design) -> Moved:
        given = {key: self.cleaned_data[key] for key in ("animals", "hides", "water", "hay")}
        furniture = Furniture(**given) if given["animals"] else None
        return Moved(replace(shape, furniture=furniture), 0, 0)
