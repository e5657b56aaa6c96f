"""Forms of pulls: items taken, items short, items brought back."""

import re
from functools import partial
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.common.fields import CountField
from builds.pulls.models.more_taken import MoreThanLeft
from builds.pulls.models.pull_rows import Row, Serving
from builds.pulls.models.pulls import LONGEST_NOTE, ShortPick
from builds.store.forms.places import PlaceField
from builds.store.models.items import Item
from builds.store.models.movements import MOST_AT_ONCE
from builds.store.models.places import Place
from habitats.common.fields import OnceField

TAKEN = (0, MOST_AT_ONCE)
SOME = (1, MOST_AT_ONCE)
PICK = re.compile(r"take_([0-9]{1,12})_([0-9]{1,12})")


class PullActForm(forms.Form):
    """Sent twice, it happens once."""

    once = OnceField()


class TakeForm(PullActForm):
    """How many were taken of each item from each place: one number a line, empty for none.

    ``agreed``: the figures that were asked about before, where more is taken than is listed.
    """

    agreed = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        named = {name: PICK.fullmatch(name) for name in self.data}
        self.keys = {name: (int(m[1]), int(m[2])) for name, m in named.items() if m}
        self.items = Item.objects.in_bulk({item for item, _place in self.keys.values()})
        self.places = Place.objects.in_bulk({place for _item, place in self.keys.values()})
        for name, (item, _place) in self.keys.items():
            label = str(self.items.get(item, gettext("Item")))
            self.fields[name] = CountField(label=label, bounds=TAKEN, required=False)

    def clean(self) -> None:
        for name, (item, place) in self.keys.items():
            if name not in self.errors and (item not in self.items or place not in self.places):
                self.add_error(name, _("This item or place is no longer known. Reload the pull."))
        if not self.errors and not self.picks():
            raise forms.ValidationError(
                _(
                    "Nothing was taken: every number is empty or 0. Enter how many you take, "
                    "or report it short."
                )
            )

    def picks(self) -> dict[tuple[Item, Place], int]:
        given = self.cleaned_data
        return {
            (self.items[item], self.places[place]): given[name]
            for name, (item, place) in self.keys.items()
            if given.get(name)
        }

    def sent(self, more: list[MoreThanLeft]) -> list[tuple[str, object]]:
        """The same again, with what it is asked about."""
        given = {name: self.cleaned_data[name] for name in ("once", *self.keys)}
        return [(name, "" if one is None else one) for name, one in given.items()] + [
            ("agreed", figures_of(more))
        ]

    def ask(self, more: list[MoreThanLeft]) -> None:
        """Say what is asked, also to a phone that sends this by itself and reads no page."""
        for one in more:
            self.add_error(None, one.sentence)
        self.add_error(None, _("Nothing is taken yet. Check the figures on the page of the pull."))


def figures_of(more: list[MoreThanLeft]) -> str:
    """What is agreed to: other figures are asked about again."""
    return ";".join(f"{one.item.pk}:{one.count}:{one.left}" for one in more)


class ShortForm(PullActForm):
    """Fewer are taken than the pull asks for: how many, why, and what serves instead."""

    count = CountField(label=_("Number short"), bounds=SOME)
    why = forms.ChoiceField(
        label=_("Reason"),
        choices=ShortPick.Why.choices,
        widget=forms.RadioSelect,
        initial="missing",
    )
    instead = forms.ChoiceField(label=_("Alternative"), required=False)
    note = forms.CharField(
        label=_("Note"),
        max_length=LONGEST_NOTE,
        required=False,
        help_text=_("For example what you found on the shelf."),
    )

    def __init__(self, sent: QueryDict | None, *, row: Row, servings: list[Serving]) -> None:
        super().__init__(sent, initial={"count": row.left})
        self.servings = {f"{one.item.pk}_{one.place.pk}": one for one in servings}
        self.fields["instead"].choices = [  # type: ignore[attr-defined]
            ("", _("No item from the store")),
            *((key, _serving(one)) for key, one in self.servings.items()),
        ]

    def clean(self) -> None:
        given = self.cleaned_data
        if given.get("instead") and given.get("why") != ShortPick.Why.INSTEAD:
            sentence = _("You chose an alternative: choose the reason “%(reason)s”.")
            self.add_error("why", sentence % {"reason": ShortPick.Why.INSTEAD.label})

    @property
    def serving(self) -> Serving | None:
        return self.servings.get(self.cleaned_data["instead"])


class BackForm(PullActForm):
    """So many of what was taken lie in a place of the store again."""

    item = forms.ModelChoiceField(Item.objects.none(), label=_("Item"), empty_label=_("Choose one"))
    count = CountField(label=_("How many"), bounds=SOME)
    place = PlaceField(label=_("Put in"))
    note = forms.CharField(label=_("Note"), max_length=LONGEST_NOTE, required=False)

    def __init__(self, *args: Any, issued: list[tuple[Item, int]], **options: Any) -> None:
        super().__init__(*args, **options)
        field = self.fields["item"]
        assert isinstance(field, forms.ModelChoiceField)
        counts = {item.pk: count for item, count in issued}
        field.queryset = Item.objects.filter(pk__in=counts).by_kind()
        field.label_from_instance = partial(_taken, counts)  # type: ignore[method-assign]


def _taken(counts: dict[int, int], item: Any) -> str:
    amount = f"{counts[item.pk]} {item.unit}" if item.unit else counts[item.pk]
    return gettext("%(item)s (%(amount)s taken)") % {"item": item, "amount": amount}


def _serving(one: Serving) -> str:
    words = {"item": one.item, "count": one.free, "place": one.place.code}
    return gettext("%(item)s, %(count)d free at %(place)s") % words
