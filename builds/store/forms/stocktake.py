"""The form of a stocktake: one number for each item expected, and for items found beside them.

What is thought to be there is not shown during the count, so that it is counted and not agreed to.
"""

from typing import Any

from django import forms
from django.db import models
from django.utils.translation import gettext as _

from builds.common.fields import CountField, asked_once
from builds.store.models.items import Item, ItemQuerySet
from builds.store.models.movements import MOST_AT_ONCE
from builds.store.models.places import Place
from habitats.common.fields import OnceField

COUNTED = (0, MOST_AT_ONCE)
OTHERS = 3
COUNT = "count_"
LONGEST_KEY = 12


class StocktakeForm(forms.Form):
    once = OnceField()

    def __init__(self, *args: Any, place: Place, **options: Any) -> None:
        super().__init__(*args, **options)
        self.items = list(self._items(place).by_kind())
        for item in self.items:
            self.fields[_name(item)] = _count(str(item), item)
        other = forms.ModelChoiceField(
            Item.objects.live().by_kind(), required=False, empty_label=_("Nothing else")
        )
        listed = {item.pk for item in self.items}
        choices = [
            choice for choice in asked_once(other) if getattr(choice[0], "value", 0) not in listed
        ]
        self.has_others = len(choices) > 1  # the first is “Nothing else”
        for number in range(OTHERS):
            self.fields[f"other_{number}"] = field = _copy_of(other, choices)
            field.label = _("Another item") if number else _("Other item here")
            self.fields[f"other_{number}_count"] = _count(_("How many"))

    def _items(self, place: Place) -> ItemQuerySet:
        """What lies there, and what lay there when the numbers were asked for."""
        sent = (name.removeprefix(COUNT) for name in self.data if name.startswith(COUNT))
        asked = [int(key) for key in sent if key.isdecimal() and len(key) <= LONGEST_KEY]
        lies_there = models.Q(pk__in=place.stocks.lying().values("item"))
        return Item.objects.filter(lies_there | models.Q(pk__in=asked))

    def fields_of_items(self) -> list[forms.BoundField]:
        return [self[_name(item)] for item in self.items]

    def fields_of_others(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        return [(self[f"other_{one}"], self[f"other_{one}_count"]) for one in range(OTHERS)]

    def clean(self) -> None:
        for number in range(OTHERS):
            self._check_other(f"other_{number}")
        self._refuse_twice()
        if not self.errors and not self.counted():
            raise forms.ValidationError(_("Nothing is counted yet. Enter at least one number."))

    def _check_other(self, name: str) -> None:
        item, count = self.cleaned_data.get(name), self.cleaned_data.get(f"{name}_count")
        if f"{name}_count" in self.errors or name in self.errors:
            return
        if item and count is None:
            self.add_error(
                f"{name}_count", _("Enter how many “%(item)s” are here.") % {"item": item}
            )
        if count is not None and not item:
            self.add_error(
                name, _("Choose the item for this number: %(count)d.") % {"count": count}
            )

    def _refuse_twice(self) -> None:
        chosen = [self.cleaned_data.get(f"other_{number}") for number in range(OTHERS)]
        for number, item in enumerate(chosen):
            if item and item in chosen[:number]:
                sentence = _("“%(item)s” is chosen twice. Enter the total once.") % {"item": item}
                self.add_error(f"other_{number}", sentence)

    def counted(self) -> dict[Item, int]:
        """What was counted; what was left empty was not."""
        given = self.cleaned_data
        found = {item: given.get(_name(item)) for item in self.items}
        for number in range(OTHERS):
            item = given.get(f"other_{number}")
            if item and found.get(item) is None:
                found[item] = given.get(f"other_{number}_count")
        return {item: count for item, count in found.items() if count is not None}


def _count(label: str, item: Item | None = None) -> CountField:
    unit = f" ({item.unit})" if item and item.unit else ""
    field = CountField(label=label + unit, bounds=COUNTED, required=False)
    field.widget.attrs["class"] = "big-number"
    return field


def _copy_of(
    other: forms.ModelChoiceField, choices: list[tuple[Any, str]]
) -> forms.ModelChoiceField:
    """The same choice again, without asking the database again for what it offers."""
    field = forms.ModelChoiceField(other.queryset, required=False)
    field.choices = choices
    return field


def _name(item: Item) -> str:
    return f"{COUNT}{item.pk}"
