"""Forms of kinds of sheet, and of offcuts."""

from decimal import Decimal
from functools import partial
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.store.forms.places import PlaceField
from builds.store.models.offcuts import Offcut
from builds.store.models.sheets import LARGEST_SHEET_MM, LEAST_SHEET_MM, SheetKind
from habitats import measures
from habitats.common.fields import (
    LengthField,
    NumberField,
    OnceField,
    PriceField,
    choose_among,
    use_currency,
    use_units,
)
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue

MOST_COST = Decimal(100_000)
SHEET_BOUNDS = (LEAST_SHEET_MM, LARGEST_SHEET_MM)


class SheetKindForm(forms.Form):
    name = forms.CharField(
        label=_("Name"),
        max_length=40,
        help_text=_("For example its colour."),
    )
    width_mm = LengthField(label=_("Across the flutes"), bounds=SHEET_BOUNDS)
    height_mm = LengthField(
        label=_("Along the flutes"), bounds=SHEET_BOUNDS, help_text=_("Usually the long side.")
    )
    thickness_mm = NumberField(
        label=_("Thickness in mm"),
        min_value=Decimal("0.5"),
        max_value=30,
        decimal_places=1,
        help_text=_("As the seller gives it, or measured at a cut edge."),
    )
    cost = PriceField(
        label=_("Cost per sheet"),
        max_value=MOST_COST,
        help_text=_("In the rescue’s currency; 0 for a gift. Sheet plans use the cheapest sheets."),
    )

    def __init__(self, *args: Any, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        use_units(self, units)
        use_currency(self, Rescue.our_currency())

    def clean(self) -> None:
        keys = ("name", "width_mm", "height_mm", "thickness_mm")
        asked = {key: self.cleaned_data.get(key) for key in keys}
        if all(asked.values()) and SheetKind.objects.filter(**asked).exists():
            self.add_error("name", _("There is a sheet with this name and size. Edit its cost."))

    def save(self) -> SheetKind:
        return SheetKind.objects.create(**self.cleaned_data)


class CostForm(forms.ModelForm):
    """What may change about a kind of sheet: its size is what it is."""

    cost = PriceField(label=_("Cost per sheet"), max_value=MOST_COST)

    class Meta:
        model = SheetKind
        fields = ["name", "cost"]
        labels = {"name": _("Name")}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        use_currency(self, Rescue.our_currency())

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        size = {key: getattr(self.instance, key) for key in ("width_mm", "height_mm")}
        alike = SheetKind.objects.filter(
            name=name, thickness_mm=self.instance.thickness_mm, **size
        ).exclude(pk=self.instance.pk)
        if alike.exists():
            raise forms.ValidationError(_("Another sheet of this size has this name already."))
        return name


class OffcutForm(forms.Form):
    """An offcut that no plan of ours left."""

    once = OnceField()
    kind = forms.ModelChoiceField(SheetKind.objects.none(), label=_("Sheet"), empty_label=None)
    width_mm = LengthField(label=_("Across the flutes"), bounds=(50, LARGEST_SHEET_MM))
    height_mm = LengthField(label=_("Along the flutes"), bounds=(50, LARGEST_SHEET_MM))
    place = PlaceField(label=_("Place"), required=False)

    def __init__(self, *args: Any, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        use_units(self, units)
        choose_among(self, "kind", SheetKind.objects.live().by_size())
        self.fields["kind"].label_from_instance = partial(_kind_label, units=units)  # type: ignore[attr-defined]

    def save(self, *, by: Person) -> Offcut:
        given = self.cleaned_data
        return Offcut.objects.store(
            given["kind"],
            given["width_mm"],
            given["height_mm"],
            by=by,
            place=given["place"],
            idempotency_key=given["once"],
        )


def _kind_label(kind: SheetKind, units: str) -> str:
    sides = (kind.width_mm, kind.height_mm)
    return f"{kind.name}, {measures.size(sides, measures.lengths_in(units))}"


class LiesForm(forms.Form):
    once = OnceField()
    place = PlaceField(label=_("Place"))
