"""What the page of space shows: which enclosures, and which homes come first."""

from typing import Any, Self

from django import forms
from django.db import models
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from habitats.animals.forms.animals import SPECIES
from habitats.common.written import written
from habitats.enclosures.models.enclosures import EnclosureState
from habitats.homes.models.homes import Home, HomeQuerySet
from habitats.welfare.newcomers import (
    KIND_WORDS,
    LEAST_OF_A_LITTER,
    MOST_NEWCOMERS,
    Kind,
    Newcomers,
)
from habitats.welfare.values import Species

# Codes of the kinds of animals, in addresses that people pass on.
KINDS = {
    "sows": (Species.GUINEA_PIG, Kind.FEMALE),
    "spayed-sows": (Species.GUINEA_PIG, Kind.SPAYED),
    "boars": (Species.GUINEA_PIG, Kind.MALE),
    "neutered-boars": (Species.GUINEA_PIG, Kind.NEUTERED),
    "guinea-pigs": (Species.GUINEA_PIG, Kind.UNKNOWN),
    "sow-and-pups": (Species.GUINEA_PIG, Kind.LITTER),
    "does": (Species.RABBIT, Kind.FEMALE),
    "spayed-does": (Species.RABBIT, Kind.SPAYED),
    "bucks": (Species.RABBIT, Kind.MALE),
    "neutered-bucks": (Species.RABBIT, Kind.NEUTERED),
    "rabbits": (Species.RABBIT, Kind.UNKNOWN),
    "doe-and-kits": (Species.RABBIT, Kind.LITTER),
}


def _choices(species: Species) -> list[tuple[str, str]]:
    return [(code, KIND_WORDS[kind]) for code, kind in KINDS.items() if kind[0] is species]


class RoomForm(forms.Form):
    """Room for so many newcomers of one kind; asked by an address that can be passed on."""

    room = forms.IntegerField(
        label=_("Room for"),
        min_value=1,
        max_value=MOST_NEWCOMERS,
        initial=2,
        error_messages={
            name: _("Enter a whole number from 1 to 20.")
            for name in ("required", "invalid", "min_value", "max_value")
        },
    )
    animals = forms.ChoiceField(
        label=_("Animals"),
        choices=[
            (_("Guinea pigs"), _choices(Species.GUINEA_PIG)),
            (_("Rabbits"), _choices(Species.RABBIT)),
        ],
        error_messages={
            name: _("Choose which animals come.") for name in ("required", "invalid_choice")
        },
    )
    quarantine = forms.BooleanField(label=_("New intake, in quarantine"), required=False)

    def clean(self) -> None:
        given = self.cleaned_data
        kind = KINDS.get(given.get("animals", ""), (None, None))[1]
        if kind is Kind.LITTER and given.get("room", LEAST_OF_A_LITTER) < LEAST_OF_A_LITTER:
            self.add_error("room", _("Enter how many come, the mother among them: 2 to 20."))

    @classmethod
    def asked(cls, given: QueryDict) -> Self:
        """Empty, ready to be filled in, where nothing is asked."""
        return cls(given) if "room" in given else cls()

    @property
    def newcomers(self) -> Newcomers | None:
        """Who comes; None where nobody was asked about, or what was given makes no sense."""
        if not self.is_bound or not self.is_valid():
            return None
        given = self.cleaned_data
        species, kind = KINDS[given["animals"]]
        return Newcomers(species, given["room"], kind, in_quarantine=given["quarantine"])


class SpaceForm(forms.Form):
    """What makes no sense here narrows nothing."""

    SPACE = [
        ("", _("Any")),
        ("short", _("Short of space")),
        ("pair", _("Free, with room for a pair")),
        ("more", _("Occupied, with room for two more")),
    ]
    ORDERS = [("", _("Urgency")), ("name", _("Name")), ("free", _("Free floor"))]
    _SPACE_MEANT: dict[str, dict[str, object]] = {
        "short": {"passes": False},
        "pair": {
            "takes_pair": True,
            "animals": 0,
            "state": EnclosureState.STANDING,
            "unsafe_faults": 0,
        },
        "more": {"takes_pair": True, "animals__gt": 0, "state": EnclosureState.IN_USE},
    }
    _FIRST = {
        "": (models.F("urgency").desc(nulls_last=True), models.F("due").asc(nulls_last=True)),
        "name": (),
        "free": (models.F("free").desc(nulls_last=True),),
    }

    space = forms.ChoiceField(label=_("Space"), choices=SPACE, required=False)
    species = forms.ChoiceField(
        label=_("Species"), choices=[("", _("Any")), *SPECIES], required=False
    )
    area = forms.ChoiceField(required=False)
    order = forms.ChoiceField(label=_("Sort by"), choices=ORDERS, required=False)
    apart = forms.BooleanField(label=_("In quarantine"), required=False)
    unsafe = forms.BooleanField(label=_("Unsafe"), required=False)

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        known = [(one, one) for one in _AREAS()]
        self.fields["area"] = forms.ChoiceField(
            label=_("Area"), required=False, choices=[("", _("Any")), *known]
        )
        self.full_clean()

    @property
    def has_area(self) -> bool:
        return bool(self._given("area"))

    @property
    def is_used(self) -> bool:
        return self.narrows or self.has_area

    @property
    def narrows(self) -> bool:
        """Whether some enclosures are left out; an area leaves out homes."""
        return any(self._given(name) for name in ("space", "species", "apart", "unsafe"))

    def wanted(self, prefix: str = "") -> models.Q:
        """Readings to show; with a prefix as a condition on them: ``readings__``."""
        meant = dict(self._SPACE_MEANT.get(self._given("space"), {}))
        if species := self._given("species"):
            meant["species"] = species
        if self._given("apart"):
            meant["in_quarantine"] = True
        if self._given("unsafe"):
            meant["unsafe_faults__gt"] = 0
        return models.Q(**{prefix + name: value for name, value in meant.items()})

    def in_area(self, prefix: str = "") -> models.Q:
        area = self._given("area")
        return models.Q(**{f"{prefix}area": area}) if area else models.Q()

    def in_order(self, homes: HomeQuerySet) -> HomeQuerySet:
        """Homes ``as_read``, those to look at first in front."""
        return homes.order_by(*self._FIRST[self._given("order")], "name", "area", "pk")

    def _given(self, name: str) -> str:
        return self.cleaned_data.get(name) or ""


_AREAS = written(
    lambda: (
        Home.objects.live()
        .exclude(area="")
        .values_list("area", flat=True)
        .order_by("area")
        .distinct()
    )
)
