"""Fields that several forms share: idempotency key, count, cell and edge."""

from typing import Any

from django import forms
from django.forms.models import ModelChoiceIterator
from django.utils.translation import gettext as _

from habitats.common.fields import OnceField
from habitats.structure.lattice import Cell, Side

Edge = tuple[Cell, Side]


def asked_once(field: forms.ModelChoiceField) -> list[tuple[Any, str]]:
    """The field's choices as they are now, for many fields on one page."""
    return [(value, str(label)) for value, label in ModelChoiceIterator(field)]


class OnceForm(forms.Form):
    """An action that must not happen twice because somebody pressed twice."""

    once = OnceField()


class CountField(forms.IntegerField):
    """A whole number within bounds; what is refused is named, with what is allowed."""

    def __init__(self, *, bounds: tuple[int, int], **options: Any) -> None:
        super().__init__(**options)
        self.bounds = bounds
        self.widget.attrs |= {"inputmode": "numeric", "min": bounds[0], "max": bounds[1]}

    def clean(self, value: Any) -> int | None:
        least, most = self.bounds
        try:
            found: int | None = super().clean(value)
        except forms.ValidationError as fault:
            if value in self.empty_values:
                raise
            raise forms.ValidationError(self._refusal(f"“{str(value)[:20]}”")) from fault
        if found is not None and not least <= found <= most:
            raise forms.ValidationError(self._refusal(str(found)[:20]))
        return found

    def _refusal(self, given: str) -> str:
        least, most = self.bounds
        return _("%(given)s given. Give a whole number from %(least)d to %(most)d.") % {
            "given": given,
            "least": least,
            "most": most,
        }


class CellsField(forms.CharField):
    """Cells as the plan's buttons send them: ``row,col``, several with blanks between."""

    def clean(self, value: Any) -> list[Cell]:
        text = super().clean(value)
        try:
            return [Cell(*(int(part) for part in one.split(","))) for one in text.split()]
        except (TypeError, ValueError):
            raise forms.ValidationError(_("Name cells as row,col, such as 0,2.")) from None


class EdgeField(forms.CharField):
    """An edge as the plan's buttons send it: ``row,col,side``."""

    def clean(self, value: Any) -> Edge:
        text = super().clean(value)
        try:
            row, col, side = text.split(",")
            return Cell(int(row), int(col)), Side(side.strip().upper())
        except ValueError:
            raise forms.ValidationError(
                _("Name an edge as row,col,side, such as 0,2,W; sides are N, E, S and W.")
            ) from None
