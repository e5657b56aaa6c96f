"""Fields that several forms share: cells and edges of the plan, as its buttons send them."""

from typing import Any

from django import forms

from habitats.structure.lattice import Cell, Side

Edge = tuple[Cell, Side]


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
