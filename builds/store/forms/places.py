"""Forms of places: create one, choose one."""

from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.store.models.items import Item
from builds.store.models.places import Place, free_code
from builds.store.models.stock import Stock


class PlaceField(forms.ModelChoiceField):
    """One of the places in use, by code; which those are is asked when the form is made."""

    def __init__(self, **options: Any) -> None:
        super().__init__(
            Place.objects.live().by_code(),
            **{
                "empty_label": _("Choose one")
                if options.get("required", True)
                else _("Not recorded")
            }
            | options,
        )

    def label_from_instance(self, place: Any) -> str:
        return f"{place.code}: {place.name}"

    def or_the_first(self) -> None:
        """Where there is no place yet, nobody has to know of places: the first one is made."""
        if not Place.objects.live().exists():
            self.required, self.empty_label = False, gettext("A new place, Store")


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
        figures = {
            "place": super().label_from_instance(place),
            "count": stock.on_hand,
            "reserved": stock.reserved,
        }
        if stock.reserved:
            return gettext("%(place)s (%(count)d there, %(reserved)d reserved)") % figures
        return gettext("%(place)s (%(count)d there)") % figures


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
            "code": _(
                "Short, as on the shelf: A1, LOFT-2. Lists are sorted by it. Empty: made of the "
                "name."
            ),
            "name": _("For example “Rack, lower” or “Box of clips”."),
        }
        labels = {"code": _("Code"), "name": _("Name"), "note": _("Directions or cautions")}
        error_messages = {
            "code": {"unique": _("There is a place with this code already. Choose another code.")},
            "name": {"unique": _("There is a place with this name already. Choose another name.")},
        }

    def __init__(self, data: Any = None, **options: Any) -> None:
        super().__init__(data, **options)
        self.fields["code"].widget.attrs["autocapitalize"] = "characters"
        self.fields["code"].required = self.instance.pk is not None

    def clean(self) -> None:
        super().clean()
        name = self.cleaned_data.get("name")
        if name and "code" not in self.errors and not self.cleaned_data.get("code"):
            taken = Place.objects.values_list("code", flat=True)
            self.cleaned_data["code"] = free_code(name, taken)
