"""A place of the store, chosen from those in use."""

from typing import Any

from django import forms

from builds.models import Place


class PlaceField(forms.ModelChoiceField):
    """One of the places in use, by code; which those are is asked when the form is made."""

    def __init__(self, **options: Any) -> None:
        super().__init__(
            Place.objects.live().by_code(),
            **{"empty_label": "Nobody said" if not options.get("required", True) else "Choose one"}
            | options,
        )

    def asked_once(self) -> list[tuple[Any, str]]:
        """The choices as they are now, for many fields on one page."""
        return [(value, str(label)) for value, label in self.iterator(self)]

    def label_from_instance(self, place: Any) -> str:
        return f"{place.code}: {place.name}"
