"""Forms about enclosures: set one up, find some, say its state, move it."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from django import forms
from django.db import transaction
from django.forms.models import ModelChoiceIterator
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from habitats.common import days
from habitats.common.fields import DayField, OnceField, use_today
from habitats.common.happened import Elsewhere
from habitats.common.idempotency import made_before
from habitats.designs.models.designs import Design, DesignQuerySet
from habitats.designs.models.structures import structure_of
from habitats.enclosures.models.changes import change_state, states_open_to
from habitats.enclosures.models.enclosures import Enclosure, EnclosureQuerySet, EnclosureState
from habitats.enclosures.models.setting_up import set_up, set_up_in
from habitats.enclosures.models.standing import Standing, stand
from habitats.homes.forms.home_field import HomeField
from habitats.homes.models.homes import Home
from habitats.measures import lengths_in, size
from habitats.people.models.people import Person
from habitats.structure.design import Design as Shape
from habitats.structure.design import footprint_mm

MOST_DRAFTS_NAMED = 4
FIRST_STATES = [
    (one.value, one.label)
    for one in (EnclosureState.PLANNED, EnclosureState.BUILDING, EnclosureState.STANDING)
]


class FindEnclosuresForm(forms.Form):
    """Which enclosures to list; what makes no sense finds all that are not retired."""

    words = forms.CharField(label=_("Label or code"), max_length=60, required=False)
    state = forms.ChoiceField(
        label=_("State"),
        choices=[("", _("All except retired")), *EnclosureState.choices],
        required=False,
    )

    def found(self, enclosures: EnclosureQuerySet) -> EnclosureQuerySet:
        given = self.cleaned_data if self.is_valid() else {}
        state = given.get("state")
        found = enclosures.in_state(state) if state else enclosures.live()
        return found.named_like(given["words"]) if given.get("words") else found


class SoundDesigns(ModelChoiceIterator):
    """The designs of a field that can be made: drafts are not offered."""

    def __init__(self, field: forms.ModelChoiceField) -> None:
        super().__init__(field)
        assert isinstance(self.queryset, DesignQuerySet)
        self.queryset = self.queryset.sound()


class DesignField(forms.ModelChoiceField):
    """A design that can be made. A draft that comes all the same is refused in its own words."""

    iterator = SoundDesigns

    @property
    def drafts(self) -> list[Design]:
        """Those that are left out, the last changed first; a few of them."""
        left_out = Design.objects.listed().live().drafts()
        return list(left_out.order_by("-changed_at", "-pk")[:MOST_DRAFTS_NAMED])

    @property
    def offers_any(self) -> bool:
        return Design.objects.listed().live().sound().exists()

    def the_only(self) -> str:
        """The code of the one design that can be chosen; empty where there are several, or none."""
        there = list(Design.objects.listed().live().sound().values_list("code", flat=True)[:2])
        return there[0] if len(there) == 1 else ""

    def __init__(self, **options: Any) -> None:
        designs = Design.objects.listed().live().select_related("current").by_name()
        super().__init__(designs, to_field_name="code", empty_label=_("Choose a design"), **options)

    def clean(self, value: Any) -> Design:
        design: Design = super().clean(value)
        if structure_of(design.shape()) is None:
            raise forms.ValidationError(
                gettext("“%(design)s” is a draft. Finish it on its drawing board first.")
                % {"design": design.name}
            )
        return design


class DoubtfulForm(forms.Form):
    """A form that asks again where there are reasons against it.

    ``anyway`` is shown only where there is a doubt.
    """

    anyway = forms.BooleanField(
        label=_("I have read this. Continue anyway."), required=False, widget=forms.HiddenInput
    )

    def ask_once_more(self, doubts: list[str]) -> None:
        if not doubts:
            return
        self.fields["anyway"].widget = forms.CheckboxInput()
        if not self.cleaned_data.get("anyway"):
            for doubt in doubts:
                self.add_error("anyway", doubt)


class NewEnclosureForm(DoubtfulForm):
    once = OnceField()
    design = DesignField(
        label=_("Design"), help_text=_("The enclosure is built to today’s drawing of the design.")
    )
    label = forms.CharField(
        label=_("Label"),
        max_length=60,
        help_text=_("What is written on it and what you call it, such as North wall."),
    )
    home = HomeField(
        label=_("Home"),
        required=False,
        help_text=_(
            "Its name, its code or your own number for it. Leave this empty if it stands "
            "in no home yet."
        ),
    )
    state = forms.ChoiceField(
        label=_("State"),
        choices=FIRST_STATES,
        initial=EnclosureState.STANDING,
        widget=forms.RadioSelect,
    )
    day = DayField(label=_("Since"))
    notes = forms.CharField(
        label=_("Notes"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("For people at the enclosure. They are printed on the enclosure card."),
    )
    field_order = ["once", "design", "label", "home", "state", "day", "notes", "anyway"]

    def __init__(self, *args: Any, today: date, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.units = units
        use_today(self, today)
        field = self.fields["design"]
        assert isinstance(field, DesignField)
        self.initial["design"] = self.initial.get("design") or field.the_only()

    def clean(self) -> None:
        given = self.cleaned_data
        design, home = given.get("design"), given.get("home")
        is_new = not made_before(Enclosure.objects, given["once"])
        if design and home and is_new:
            found = doubts(home, design.shape(), given.get("label", ""), self.units)
            self.ask_once_more(list(found))

    def set_up(self, *, by: Person) -> Enclosure:
        given = self.cleaned_data
        with transaction.atomic():
            made = set_up(
                given["design"].current,
                given["label"],
                by=by,
                state=given["state"],
                on=given["day"],
                idempotency_key=given["once"],
                notes=given["notes"],
            )
            if given["home"]:
                set_up_in(made, given["home"], given["day"], by=by, idempotency_key=given["once"])
        return made


class MoveEnclosureForm(DoubtfulForm):
    once = OnceField()
    home = HomeField(
        label=_("New home"),
        required=False,
        help_text=_("The name of the home, its code or your own number for it."),
    )
    stored = forms.BooleanField(label=_("In no home: stored or taken apart"), required=False)
    day = DayField(label=_("Since"))
    field_order = ["once", "home", "stored", "day", "anyway"]

    def __init__(
        self, *args: Any, enclosure: Enclosure, today: date, units: str, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.enclosure, self.units = enclosure, units
        use_today(self, today)

    def clean(self) -> None:
        given = self.cleaned_data
        home, stored = given.get("home"), given.get("stored")
        if "home" in self.errors or made_before(Standing.objects, given["once"]):
            return
        now = self.enclosure.standings.open().select_related("home").first()
        if bool(home) == bool(stored):
            self.add_error("home", gettext("Choose a home, or tick that it stands in none."))
        elif home == (now.home if now else None):
            self.add_error("home", gettext("It stands there already. Choose another home."))
        elif stored and self.enclosure.stays.open().exists():
            self.add_error(
                "stored", gettext("Animals live in it. Choose a home, or move them first.")
            )
        elif home is not None:
            found = doubts(home, self.enclosure.shape(), self.enclosure.label, self.units)
            self.ask_once_more(list(found))

    def move(self, *, by: Person) -> None:
        """Raises ``Elsewhere``."""
        given = self.cleaned_data
        if given["home"]:
            stand(self.enclosure, given["home"], given["day"], by=by, idempotency_key=given["once"])
            return
        standing = self.enclosure.standings.open().first()
        if standing is None:
            return
        if given["day"] < standing.since:
            raise Elsewhere(
                gettext("It has stood there since %(day)s. Enter that day or a later one.")
                % {"day": days.in_full(standing.since)}
            )
        standing.end(given["day"], by)


class EnclosureForm(forms.ModelForm):
    class Meta:
        model = Enclosure
        fields = ["label", "notes"]
        labels = {"label": _("Label"), "notes": _("Notes")}
        help_texts = {
            "label": _("What is written on it and what you call it."),
            "notes": _("For people at the enclosure. They are printed on the enclosure card."),
        }
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}


class StateForm(forms.Form):
    """From a day on it is in this state. What may be said depends on whether animals live there."""

    once = OnceField()
    state = forms.ChoiceField(label=_("State"))
    day = DayField(label=_("Since"))
    note = forms.CharField(
        label=_("Note"),
        max_length=300,
        required=False,
        help_text=_("Such as what has to be done."),
    )

    def __init__(
        self, *args: Any, enclosure: Enclosure, person: Person, today: date, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.enclosure = enclosure
        use_today(self, today)
        open_to = states_open_to(enclosure)
        field = self.fields["state"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [
            (one.value, one.label)
            for one in open_to
            if person.is_coordinator or one is not EnclosureState.RETIRED
        ]
        field.error_messages["invalid_choice"] = _(
            "It cannot be marked “%(value)s” now. Choose a state from the list. If animals live in "
            "it, move them first."
        )

    def set_state(self, *, by: Person) -> None:
        """Raises ``Elsewhere``."""
        given = self.cleaned_data
        change_state(
            self.enclosure,
            EnclosureState(given["state"]),
            on=given["day"],
            by=by,
            note=given["note"],
            idempotency_key=given["once"],
        )


def doubts(home: Home, shape: Shape, label: str, units: str) -> Iterator[str]:
    """Reasons against an enclosure in a home, one sentence each."""
    width, depth = footprint_mm(shape)
    if home.fits(width, depth) is False:
        largest = (home.largest_width_mm or 0, home.largest_depth_mm or 0)
        yield gettext(
            "Its footprint is %(footprint)s; the largest that fits into %(home)s is %(largest)s."
        ) % {
            "footprint": _sides((width, depth), units),
            "home": home,
            "largest": _sides(largest, units),
        }
    standing = home.standings.open().select_related("enclosure")
    labels = [str(one.enclosure) for one in standing]
    if len(labels) >= home.most_enclosures:
        yield ngettext(
            "%(home)s has %(number)d enclosure already, and can look after %(most)d.",
            "%(home)s has %(number)d enclosures already, and can look after %(most)d.",
            len(labels),
        ) % {"home": home, "most": home.most_enclosures, "number": len(labels)}
    if label in labels:
        yield gettext("Another enclosure of %(home)s is called “%(label)s” too.") % {
            "home": home,
            "label": label,
        }


def _sides(sides: tuple[int, int], units: str) -> str:
    return size(sides, lengths_in(units))
