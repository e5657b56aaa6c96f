"""Forms about animals: take one in, change what is known of it, keep its photo."""

import uuid
from collections.abc import Iterator
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.animals.forms.identity import (
    ORIGINS,
    SEXES,
    ChipField,
    refuse_double,
    sex_as_typed,
    sex_told,
)
from habitats.animals.models.animals import Animal
from habitats.animals.models.quarantines import Quarantine
from habitats.common.days import in_full
from habitats.common.fields import DayField, OnceField, PhotoField, use_today
from habitats.common.idempotency import get_or_make
from habitats.people.models.people import Person
from habitats.welfare import companion as pure
from habitats.welfare.life import life_faults
from habitats.welfare.values import Sex, Species
from habitats.welfare.weights import weight_fault
from habitats.welfare.words import species_name

SPECIES = [(one.value, species_name(one)) for one in Species]
MARGINS = [
    (0, gettext_lazy("exact day")),
    (7, gettext_lazy("within a week")),
    (30, gettext_lazy("within a month")),
    (90, gettext_lazy("within three months")),
    (180, gettext_lazy("within half a year")),
    (365, gettext_lazy("within a year")),
]


class AnimalForm(forms.ModelForm):
    """What is known of an animal. Days of a life that cannot be are told beside their field."""

    PARTS = [
        (
            gettext_lazy("Animal"),
            "who",
            ["name", "species", "sex", "colour", "marks", "own_id", "chip", "notes"],
        ),
        (
            gettext_lazy("Arrival"),
            "arrival",
            ["came_on", "origin", "came_from", "found_by", "condition"],
        ),
        (
            gettext_lazy("Birth and growth"),
            "birth",
            ["born", "born_margin_days", "mother_code", "adult_grams"],
        ),
        (
            gettext_lazy("Castration"),
            "castration",
            ["is_castrated", "castrated_on", "castrated_before_maturity"],
        ),
        (
            gettext_lazy("Possible litter"),
            "litter",
            ["may_be_pregnant", "with_male_since", "with_male_last"],
        ),
        (gettext_lazy("Rabbit haemorrhagic disease"), "rhd", ["rhd_exposed_on", "rhd_negative_on"]),
    ]

    species = forms.ChoiceField(
        label=gettext_lazy("Species"), choices=SPECIES, widget=forms.RadioSelect
    )
    sex = forms.ChoiceField(
        label=gettext_lazy("Sex"),
        choices=SEXES,
        required=False,
        help_text=gettext_lazy("While you are not sure, it counts as not known."),
    )
    chip = ChipField()
    came_on = DayField(label=gettext_lazy("Came to us on"))
    origin = forms.ChoiceField(
        label=gettext_lazy("How it came to us"), choices=ORIGINS, required=False
    )
    born = DayField(
        label=gettext_lazy("Born"),
        required=False,
        help_text=gettext_lazy("If it is an estimate, choose below how exact it is."),
    )
    born_margin_days = forms.TypedChoiceField(
        label=gettext_lazy("Accuracy of the day of birth"), choices=MARGINS, coerce=int, initial=0
    )
    mother_code = forms.CharField(
        label=gettext_lazy("Code of its mother"),
        max_length=6,
        required=False,
        help_text=gettext_lazy("The six characters on her page, if she has one here."),
    )
    castrated_on = DayField(label=gettext_lazy("Castrated on"), required=False)
    with_male_since = DayField(label=gettext_lazy("With an entire male since"), required=False)
    with_male_last = DayField(
        label=gettext_lazy("Last day with him"),
        required=False,
        help_text=gettext_lazy("Leave empty if she is still with him."),
    )
    rhd_exposed_on = DayField(label=gettext_lazy("May have been exposed on"), required=False)
    rhd_negative_on = DayField(label=gettext_lazy("Negative blood sample taken on"), required=False)

    class Meta:
        model = Animal
        fields = [
            "name",
            "species",
            "sex",
            "colour",
            "marks",
            "own_id",
            "chip",
            "came_on",
            "origin",
            "came_from",
            "found_by",
            "condition",
            "notes",
            "born",
            "born_margin_days",
            "adult_grams",
            "is_castrated",
            "castrated_on",
            "castrated_before_maturity",
            "may_be_pregnant",
            "with_male_since",
            "with_male_last",
            "rhd_exposed_on",
            "rhd_negative_on",
        ]
        labels = {
            "name": gettext_lazy("Name"),
            "notes": gettext_lazy("Notes"),
            "colour": gettext_lazy("Colour"),
            "marks": gettext_lazy("Marks"),
            "own_id": gettext_lazy("Your own number"),
            "came_from": gettext_lazy("Where from"),
            "found_by": gettext_lazy("Found or brought by"),
            "condition": gettext_lazy("Condition on arrival"),
            "adult_grams": gettext_lazy("Expected adult weight, in grams"),
            "is_castrated": gettext_lazy("Castrated or spayed"),
            "castrated_before_maturity": gettext_lazy("Castrated before he could sire"),
            "may_be_pregnant": gettext_lazy("She may be pregnant"),
        }
        help_texts = {
            "marks": gettext_lazy("By which you know it: a white foot, a torn ear."),
            "came_from": gettext_lazy("Only coordinators see where it came from, and from whom."),
            "adult_grams": gettext_lazy("If you know the breed. Forecasts of rabbits use it."),
            "castrated_before_maturity": gettext_lazy(
                "Only if the vet says so; then he needs no time apart."
            ),
        }
        widgets = {"notes": forms.Textarea(attrs={"rows": 4})}

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.today = today
        use_today(self, today)
        margin = self.instance.born_margin_days or 0
        if margin not in dict(MARGINS):
            field = self.fields["born_margin_days"]
            assert isinstance(field, forms.TypedChoiceField)
            field.choices = [
                *MARGINS,
                (margin, _("within %(days)d days") % {"days": margin}),
            ]
        if self.instance.mother and not self.is_bound:
            self.initial["mother_code"] = self.instance.mother.code
        if not self.is_bound:
            self.initial["sex"] = sex_as_typed(self.instance) or self.initial.get("sex", "")

    def parts(self) -> Iterator[tuple[str, str, list[forms.BoundField]]]:
        """Headings, their anchors and the fields under them."""
        for heading, anchor, names in self.PARTS:
            yield str(heading), anchor, [self[name] for name in names if name in self.fields]

    def clean_sex(self) -> str:
        sex, self.instance.sex_guess = sex_told(self.cleaned_data["sex"])
        return sex

    def clean_chip(self) -> str:
        chip: str = self.cleaned_data["chip"]
        refuse_double("chip", chip, self.instance)
        return chip

    def clean_own_id(self) -> str:
        own_id: str = self.cleaned_data["own_id"]
        refuse_double("own_id", own_id, self.instance)
        return own_id

    def clean_adult_grams(self) -> int | None:
        grams: int | None = self.cleaned_data["adult_grams"]
        fault = grams is not None and _weight_fault(self.cleaned_data.get("species"), grams)
        if fault:
            raise forms.ValidationError(str(fault))
        return grams

    def clean(self) -> dict[str, Any] | None:
        given = super().clean() or self.cleaned_data
        given["is_castrated"] = bool(
            given.get("is_castrated")
            or given.get("castrated_on")
            or given.get("castrated_before_maturity")
        )
        self._read_contact(given)
        self._read_mother(given)
        if given.get("species") == Species.GUINEA_PIG and given.get("rhd_exposed_on"):
            self.add_error("rhd_exposed_on", _("Only rabbits catch it. Leave the day empty."))
        self._tell_what_cannot_be(given)
        return given

    def _read_contact(self, given: dict[str, Any]) -> None:
        days = (given.get("with_male_since"), given.get("with_male_last"))
        given["may_be_pregnant"] = bool(given.get("may_be_pregnant") or any(days))
        if given["may_be_pregnant"] and given.get("sex") == Animal.Sex.MALE:
            self.add_error(
                "may_be_pregnant", _("A male cannot be pregnant. Correct this or the sex.")
            )

    def _read_mother(self, given: dict[str, Any]) -> None:
        code = given.get("mother_code")
        mother = Animal.objects.filter(code=code.upper()).first() if code else None
        self.instance.mother = mother
        if not code:
            return
        if mother is None:
            self.add_error(
                "mother_code",
                _("No animal has the code “%(code)s”. Copy it from her page.") % {"code": code},
            )
        elif mother.pk == self.instance.pk:
            self.add_error("mother_code", _("That is this animal's own code. Enter its mother's."))
        elif mother.sex == Animal.Sex.MALE or mother.species != given.get("species"):
            self.add_error(
                "mother_code",
                _("%(mother)s cannot be its mother: enter a female of its species.")
                % {"mother": mother},
            )
        elif given.get("born") and mother.born and mother.born >= given["born"]:
            self.add_error(
                "mother_code",
                _("%(mother)s was born on %(day)s, not before it. Enter another code.")
                % {"mother": mother, "day": in_full(mother.born)},
            )

    def _tell_what_cannot_be(self, given: dict[str, Any]) -> None:
        companion = self._as_companion(given)
        at = {
            "born": "born",
            "castration": "castrated_on",
            "contact": "with_male_since" if given.get("with_male_since") else "with_male_last",
            "rhd_exposed_on": "rhd_exposed_on",
            "rhd_negative_on": "rhd_negative_on",
            "weighings": "born",
            "gave_birth_on": "born",
        }
        for fault in life_faults(companion, self.today):
            field = at[fault.field]
            if field not in self.errors:
                self.add_error(field, str(fault.sentence))
        born = companion.born
        if born and given.get("came_on") and given["came_on"] < born.earliest:
            self.add_error(
                "came_on",
                _("It came on %(day)s, before it was born. Correct one of the two.")
                % {"day": in_full(given["came_on"])},
            )

    def _as_companion(self, given: dict[str, Any]) -> pure.Companion:
        """The days of its life, for the pure rules to judge; what it weighed and bore with them."""
        born = given.get("born")
        return pure.Companion(
            ref="it",
            name=given.get("name") or "It",
            species=Species(given.get("species") or Species.GUINEA_PIG),
            sex=Sex(given["sex"]) if given.get("sex") else None,
            born=pure.BirthSpan.about(born, given.get("born_margin_days") or 0) if born else None,
            weighings=self._first_weighing(),
            castration=pure.Castration(given.get("castrated_on"))
            if given["is_castrated"]
            else None,
            contact=pure.MaleContact(given.get("with_male_since"), given.get("with_male_last")),
            gave_birth_on=self._first_birth(),
            rhd_exposed_on=given.get("rhd_exposed_on"),
            rhd_negative_on=given.get("rhd_negative_on"),
        )

    def _first_weighing(self) -> tuple[pure.DatedWeight, ...]:
        if self.instance.pk is None:
            return ()
        first = self.instance.weighings.standing().in_time().first()
        return (pure.DatedWeight(first.on, first.grams),) if first else ()

    def _first_birth(self) -> date | None:
        if self.instance.pk is None:
            return None
        first = self.instance.births.order_by("on").first()
        return first.on if first else None


class NewAnimalForm(AnimalForm):
    """An animal taken in: with its first weight, and its quarantine."""

    PARTS = [
        *AnimalForm.PARTS[:2],
        (
            gettext_lazy("Weight and quarantine"),
            "intake",
            ["grams", "is_apart", "together", "note"],
        ),
        *AnimalForm.PARTS[2:],
    ]

    once = OnceField()
    grams = forms.IntegerField(
        label=gettext_lazy("Weight today, in grams"),
        required=False,
        error_messages={"invalid": gettext_lazy("Enter whole grams, such as 812.")},
    )
    is_apart = forms.BooleanField(
        label=gettext_lazy("In quarantine since it came"), required=False, initial=True
    )
    together = forms.CharField(
        label=gettext_lazy("Quarantine group"),
        max_length=40,
        required=False,
        help_text=gettext_lazy(
            "Enter the same word for animals that came together, such as the day. They are kept "
            "apart from others, but not from each other."
        ),
    )
    note = forms.CharField(
        label=gettext_lazy("Reason for keeping it alone"), max_length=200, required=False
    )

    def clean_grams(self) -> int | None:
        grams: int | None = self.cleaned_data["grams"]
        fault = grams is not None and _weight_fault(self.cleaned_data.get("species"), grams)
        if fault:
            raise forms.ValidationError(str(fault))
        return grams

    def take_in(self, *, by: Person) -> Animal:
        """The animal, its first weighing and its quarantine; sent twice, they are kept once."""
        given = self.cleaned_data
        facts = {name: given[name] for name in self.Meta.fields}
        animal = Animal.objects.take_in(
            by=by,
            idempotency_key=given["once"],
            mother=self.instance.mother,
            sex_guess=self.instance.sex_guess,
            **facts,
        )
        if given["grams"] is not None:
            idempotency_key = uuid.uuid5(given["once"], "weighing")
            animal.weigh(given["grams"], self.today, by=by, idempotency_key=idempotency_key)
        if given["is_apart"]:
            self._set_apart(animal, by)
        return animal

    def _set_apart(self, animal: Animal, by: Person) -> None:
        given = self.cleaned_data
        get_or_make(
            Quarantine.objects,
            uuid.uuid5(given["once"], "quarantine"),
            animal=animal,
            since=animal.came_on,
            note=given["note"],
            together=given["together"],
            made_by=by,
        )


class PhotoForm(forms.Form):
    """A photo, rebuilt so that it tells nothing but its pixels."""

    photo = PhotoField()


def _weight_fault(species: str | None, grams: int) -> str | None:
    return weight_fault(Species(species), grams) if species else None
