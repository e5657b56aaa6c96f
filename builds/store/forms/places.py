"""Forms of places: one is named, one is chosen."""

from typing import Any

from django import forms

from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.stock import Stock


class PlaceField(forms.ModelChoiceField):
    """One of the places in use, by code; which those are is asked when the form is made."""

    def __init__(self, **options: Any) -> None:
        super().__init__(
            Place.objects.live().by_code(),
            **{"empty_label": "Nobody said" if not options.get("required", True) else "Choose one"}
            | options,
        )

    def label_from_instance(self, place: Any) -> str:
        return f"{place.code}: {place.name}"


class LyingField(PlaceField):
    """One of the places in which the item lies, with how many; ``lay_out`` says which item."""

    def lay_out(self, item: Item) -> None:
        stocks = {one.place_id: one for one in Stock.objects.filter(item=item).lying()}
        self.queryset = Place.objects.filter(pk__in=stocks).by_code()
        self.there = stocks
        if len(stocks) == 1:
            self.initial, self.empty_label = next(iter(stocks)), None

    def label_from_instance(self, place: Any) -> str:
        stock = self.there[place.pk]
        reserved = f", {stock.reserved} reserved" if stock.reserved else ""
        return f"{super().label_from_instance(place)} ({stock.on_hand} there{reserved})"


class CodeField(forms.CharField):
    """A place's code: capital letters, whatever was typed, and dashes for blanks."""

    def to_python(self, value: Any) -> str:
        return "-".join(str(super().to_python(value) or "").upper().split())


class PlaceForm(forms.ModelForm):
    """A shelf, room or box."""

    class Meta:
        model = Place
        fields = ["code", "name", "note"]
        field_classes = {"code": CodeField}
        help_texts = {
            "code": "Short, as it stands on the shelf: A1, LOFT-2. It orders the lists.",
            "name": "Such as “Rack, lower” or “Box of clips”.",
        }
        labels = {"note": "How to get there, or what to mind"}
        error_messages = {
            "code": {"unique": "There is a place of this code already. Choose another code."},
            "name": {"unique": "There is a place of this name already. Choose another name."},
        }

    def __init__(self, data: Any = None, **options: Any) -> None:
        super().__init__(data, **options)
        self.fields["code"].widget.attrs["autocapitalize"] = "characters"
