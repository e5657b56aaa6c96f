"""Forms about homes: find some, write one down, reach its people, close it."""

from datetime import date
from typing import Any

from django import forms
from django.db.models import Model
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from habitats.common.fields import (
    CodesField,
    DayField,
    LengthField,
    OnceField,
    choose_among,
    use_today,
    use_units,
)
from habitats.homes.models.handing_on import left_at
from habitats.homes.models.homes import (
    LARGEST_FOOTPRINT_MM,
    LEAST_FOOTPRINT_MM,
    Home,
    HomeContact,
    HomeQuerySet,
)
from habitats.people.models.people import Person
from habitats.structure.design import Species
from habitats.welfare.other_pets import OtherPet
from habitats.welfare.words import MANY
from habitats.wording import listed

MOST_NAMED = 3
FOOTPRINT_MM = (LEAST_FOOTPRINT_MM, LARGEST_FOOTPRINT_MM)
# Asked for later of most homes: folded where one is added.
FURTHER = (
    "largest_width_mm",
    "largest_depth_mm",
    "has_stairs",
    "isolation_places",
    "known_species",
    "other_pets",
    "notes",
)
BOTH_SIDES = _("Enter both sides of the largest footprint, or leave both empty.")


class FindHomesForm(forms.Form):
    """Which homes to list; what makes no sense finds all."""

    SHOWN = [("", _("Open")), ("closed", _("Closed"))]

    words = forms.CharField(label=_("Name, area or code"), max_length=60, required=False)
    kind = forms.ChoiceField(
        label=_("Kind"), choices=[("", _("Any")), *Home.Kind.choices], required=False
    )
    shown = forms.ChoiceField(label=_("Show"), choices=SHOWN, required=False)
    isolation = forms.BooleanField(label=_("With isolation places"), required=False)

    def found(self, homes: HomeQuerySet) -> HomeQuerySet:
        given = self.cleaned_data if self.is_valid() else {}
        found = homes.closed() if given.get("shown") == "closed" else homes.live()
        if given.get("words"):
            found = found.named_like(given["words"])
        if given.get("kind"):
            found = found.filter(kind=given["kind"])
        return found.filter(isolation_places__gt=0) if given.get("isolation") else found


class HomeForm(forms.ModelForm):
    """What the work needs to know of a home; how to reach it is kept apart."""

    once = OnceField()
    known_species = CodesField(
        {one.value: MANY[one] for one in Species},
        label=_("Species it has experience with"),
        help_text=_("Tick none if you do not know: then every species is offered."),
    )
    pet_kinds = CodesField(
        {one.value: one.words for one in OtherPet},
        label=_("Other pets"),
        help_text=_("With any pet but a bird, enclosures in this home need a lid."),
    )
    largest_width_mm = LengthField(
        label=_("Largest footprint that fits: one side"),
        bounds=FOOTPRINT_MM,
        required=False,
        help_text=_(
            "Measured on the floor, with room to walk round it. Leave empty if not measured."
        ),
    )
    largest_depth_mm = LengthField(
        label=_("Largest footprint that fits: other side"), bounds=FOOTPRINT_MM, required=False
    )

    class Meta:
        model = Home
        fields = [
            "name",
            "area",
            "kind",
            "most_enclosures",
            "most_animals",
            "largest_width_mm",
            "largest_depth_mm",
            "has_stairs",
            "isolation_places",
            "known_species",
            "pet_kinds",
            "other_pets",
            "notes",
        ]
        labels = {
            "name": _("Name"),
            "area": _("Area"),
            "kind": _("Kind"),
            "most_enclosures": _("Enclosures it can look after"),
            "most_animals": _("Animals it can look after"),
            "has_stairs": _("Stairs on the way in"),
            "isolation_places": _("Isolation places"),
            "other_pets": _("Note on other pets"),
            "notes": _("Notes"),
        }
        help_texts = {
            "name": _("A first name, or the name of the depot. Volunteers see it."),
            "area": _("A part of town. Never an address: enter that under Contact."),
            "most_animals": _("Leave empty if there is no limit."),
            "isolation_places": _("Enclosures that can be kept apart from the rest of the home."),
            "other_pets": _("Such as: an old cat, sleeps upstairs. Only the ticks above count."),
        }
        widgets = {"notes": forms.Textarea(attrs={"rows": 4})}

    def __init__(self, *args: Any, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        use_units(self, units)
        self.fields["isolation_places"].required = False

    @property
    def first_fields(self) -> list[forms.BoundField]:
        return [field for field in self if field.name not in FURTHER]

    @property
    def further_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in FURTHER]

    @property
    def has_told_more(self) -> bool:
        """Whether any of them was filled in, well or not."""
        return self.is_bound and not {*self.changed_data, *self.errors}.isdisjoint(FURTHER)

    def clean_isolation_places(self) -> int:
        return self.cleaned_data["isolation_places"] or 0

    def clean(self) -> dict[str, Any] | None:
        given = super().clean() or self.cleaned_data
        sides = ("largest_width_mm", "largest_depth_mm")
        empty = [side for side in sides if side not in self.errors and given.get(side) is None]
        if len(empty) == 1:
            self.add_error(empty[0], BOTH_SIDES)
        return given

    def take_on(self, *, by: Person) -> Home:
        facts = {name: self.cleaned_data[name] for name in self.Meta.fields}
        return Home.objects.take_on(by=by, idempotency_key=self.cleaned_data["once"], **facts)


class ContactForm(forms.ModelForm):
    class Meta:
        model = HomeContact
        fields = ["full_name", "phone", "email", "address"]
        widgets = {
            "phone": forms.TextInput(attrs={"type": "tel"}),
            "address": forms.Textarea(attrs={"rows": 3}),
        }
        labels = {
            "full_name": _("Full name"),
            "phone": _("Phone"),
            "email": _("Email"),
            "address": _("Address"),
        }
        help_texts = {"address": _("Only if a driver needs it. Volunteers never see it.")}


class PersonField(forms.ModelChoiceField):
    """One person, named in full, since coordinators choose here."""

    def label_from_instance(self, obj: Model) -> str:
        assert isinstance(obj, Person)
        return obj.full_name


class NewPersonOfHomeForm(forms.Form):
    """Somebody with the role foster who looks after the home."""

    person = PersonField(
        Person.objects.none(), label=_("Looked after by"), empty_label=_("Choose a person")
    )

    def __init__(self, *args: Any, home: Home, **options: Any) -> None:
        super().__init__(*args, **options)
        others = Person.objects.with_role(Person.Role.FOSTER).filter(is_active=True)
        choose_among(
            self, "person", others.exclude(homes=home).order_by("first_name", "username", "pk")
        )


class CloseHomeForm(forms.Form):
    """A home takes no more enclosures; it can be opened again."""

    day = DayField(label=_("Closed on"))

    def __init__(self, *args: Any, home: Home, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.home = home
        use_today(self, today)

    def clean(self) -> None:
        standing = self.home.standings.open().select_related("enclosure").order_by("pk")
        labels = [str(one.enclosure) for one in standing[: MOST_NAMED + 1]]
        if not labels:
            self._refuse_things()
            return
        if len(labels) > MOST_NAMED:
            raise forms.ValidationError(
                gettext("%(enclosures)s and others still stand here. Move or retire them first.")
                % {"enclosures": ", ".join(labels[:MOST_NAMED])}
            )
        raise forms.ValidationError(
            ngettext(
                "%(enclosures)s still stands here. Move or retire it first.",
                "%(enclosures)s still stand here. Move or retire them first.",
                len(labels),
            )
            % {"enclosures": str(listed(labels))}
        )

    def _refuse_things(self) -> None:
        """Linens and builds would be in no list of a home that is open."""
        things = left_at(self.home)
        if things:
            named = [f"{one.kind}: {one.name}" for one in things[:MOST_NAMED]]
            raise forms.ValidationError(
                gettext("Still here: %(things)s. Hand on what is here first, or close those.")
                % {"things": "; ".join(named)}
            )
