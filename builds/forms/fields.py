"""Fields that several forms share: lengths in the reader's units, cells and edges of the plan."""

from typing import Any

from django import forms

from habitats import measures
from habitats.structure.lattice import Cell, Side

Edge = tuple[Cell, Side]


class LengthField(forms.CharField):
    """A length typed in the reader's units; cleans to whole millimetres within bounds.

    ``kept`` is the length that was shown: sent back as it was shown, it is kept exactly, and not
    rounded to a sixteenth of an inch.
    """

    def __init__(self, *, bounds: tuple[int, int], **options: Any) -> None:
        super().__init__(max_length=measures.LONGEST_TEXT, **options)
        self.bounds = bounds
        self.units = measures.METRIC
        self.kept: int | None = None

    def prepare_value(self, value: Any) -> Any:
        return measures.length(value, self.units) if isinstance(value, int) else value

    def clean(self, value: Any) -> int | None:
        text = super().clean(value)
        if not text:
            return None
        if self.kept is not None and _plain(text) == _plain(measures.length(self.kept, self.units)):
            return self.kept
        try:
            mm = measures.parse_length(text, self.units)
        except measures.NotALength as fault:
            raise forms.ValidationError(str(fault)) from fault
        least, most = self.bounds
        if least <= mm <= most:
            return mm
        given, low, high = (measures.length(one, self.units) for one in (mm, least, most))
        raise forms.ValidationError(f"{given} given; allowed is {low} to {high}.")


def use_units(form: forms.BaseForm, units: str) -> None:
    """Let the form's lengths be read and shown in these units."""
    for name, field in form.fields.items():
        if isinstance(field, LengthField):
            field.units = units
            field.kept = form.initial.get(name)


def _plain(text: str) -> str:
    return " ".join(text.split())


class CellsField(forms.CharField):
    """Cells as the plan's buttons send them: ``row,col``, several with blanks between."""

    def clean(self, value: Any) -> list[Cell]:
        text = super().clean(value)
        try:
            return [Cell(*(int(part) for part in one.split(","))) for one in text.split()]
        except (TypeError, ValueError):
            raise forms.ValidationError("Name cells as row,col, such as 0,2.") from None


class EdgeField(forms.CharField):
    """An edge as the plan's buttons send it: ``row,col,side``."""

    def clean(self, value: Any) -> Edge:
        text = super().clean(value)
        try:
            row, col, side = text.split(",")
            return Cell(int(row), int(col)), Side(side.strip().upper())
        except ValueError:
            raise forms.ValidationError(
                "Name an edge as row,col,side, such as 0,2,W; sides are N, E, S and W."
            ) from None
