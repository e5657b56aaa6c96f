"""One animal of an intake, in a few fields."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.datastructures import MultiValueDict
from django.utils.translation import gettext_lazy

from habitats.animals.forms.animals import MARGINS
from habitats.animals.forms.identity import UNSURE, ChipField, refuse_double, sex_told
from habitats.animals.models.animals import (
    LONGEST_COLOUR,
    LONGEST_ORIGIN,
    LONGEST_SEEN,
    Animal,
)
from habitats.common.codes import LONGEST_OWN_ID
from habitats.common.fields import DayField, PhotoField, use_today
from habitats.welfare import companion as pure
from habitats.welfare.values import Sex, Species
from habitats.welfare.weights import weight_fault

IN_SHORT = [
    ("", gettext_lazy("Not known")),
    *Animal.Sex.choices,
    (Animal.Sex.FEMALE + UNSURE, gettext_lazy("Probably female")),
    (Animal.Sex.MALE + UNSURE, gettext_lazy("Probably male")),
]
AS_ABOVE = ("", gettext_lazy("As for all"))
OF_THE_LOOKS = ("colour", "marks", "own_id", "chip")
OF_THE_BODY = ("born", "born_margin_days", "is_castrated")


class ArrivalForm(forms.Form):
    """Left empty it is nobody. ``waiting``: the name of a photo that was sent before.

    ``waits_as``: that name, where the page shows it.
    """

    name = forms.CharField(
        label=gettext_lazy("Name"),
        max_length=60,
        error_messages={"required": gettext_lazy("Enter a name. A colour or a number will do.")},
    )
    sex = forms.ChoiceField(
        label=gettext_lazy("Sex"), choices=IN_SHORT, required=False, widget=forms.RadioSelect
    )
    grams = forms.IntegerField(
        label=gettext_lazy("Weight, in grams"),
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages={"invalid": gettext_lazy("Enter whole grams, such as 812.")},
    )
    colour = forms.CharField(
        label=gettext_lazy("Colour"), max_length=LONGEST_COLOUR, required=False
    )
    marks = forms.CharField(label=gettext_lazy("Marks"), max_length=LONGEST_ORIGIN, required=False)
    condition = forms.CharField(
        label=gettext_lazy("Condition on arrival"), max_length=LONGEST_SEEN, required=False
    )
    own_id = forms.CharField(
        label=gettext_lazy("Your own number"), max_length=LONGEST_OWN_ID, required=False
    )
    chip = ChipField()
    photo = PhotoField(required=False, help_text="")
    waiting = forms.CharField(required=False, max_length=40, widget=forms.HiddenInput)
    place = forms.ChoiceField(
        label=gettext_lazy("Enclosure"),
        required=False,
        error_messages={
            "invalid_choice": gettext_lazy("It is no longer free. Choose another enclosure.")
        },
    )
    born = DayField(label=gettext_lazy("Born"), required=False)
    born_margin_days = forms.TypedChoiceField(
        label=gettext_lazy("Accuracy of the day of birth"),
        choices=MARGINS,
        coerce=int,
        required=False,
        empty_value="0",
        initial=0,
    )
    is_castrated = forms.BooleanField(label=gettext_lazy("Castrated or spayed"), required=False)

    def __init__(
        self,
        data: Mapping[str, Any] | None,
        files: MultiValueDict[str, UploadedFile] | None,
        *,
        number: int,
        species: Species | None,
        places: Sequence[Any],
        today: date,
        initial: dict[str, Any] | None,
    ) -> None:
        super().__init__(
            data,
            files,
            prefix=f"a{number}",
            initial=initial,
            empty_permitted=True,
            use_required_attribute=False,
        )
        self.waits_as = ""
        self.number, self.species, self.today = number, species, today
        field = self.fields["place"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [AS_ABOVE, *places]
        use_today(self, today)

    @property
    def is_somebody(self) -> bool:
        """Whether anything was written down."""
        return self.has_changed()

    def has_changed(self) -> bool:
        # The enclosure and how exact a birth is say nothing of nobody.
        return bool(set(self.changed_data) - {"place", "born_margin_days"})

    @property
    def of_the_looks(self) -> Iterator[forms.BoundField]:
        """How it is told from others; of twelve at once seldom known at the door."""
        return (self[name] for name in OF_THE_LOOKS)

    @property
    def shows_the_looks(self) -> bool:
        return any(self[name].value() or name in self.errors for name in OF_THE_LOOKS)

    @property
    def of_the_body(self) -> Iterator[forms.BoundField]:
        """What is asked for only where it is opened."""
        return (self[name] for name in OF_THE_BODY)

    @property
    def shows_the_body(self) -> bool:
        return any(self[name].value() or name in self.errors for name in ("born", "is_castrated"))

    def clean_grams(self) -> int | None:
        grams: int | None = self.cleaned_data["grams"]
        fault = grams is not None and self.species and weight_fault(self.species, grams)
        if fault:
            raise forms.ValidationError(str(fault))
        return grams

    def clean_chip(self) -> str:
        refuse_double("chip", self.cleaned_data["chip"])
        return str(self.cleaned_data["chip"])

    def clean_own_id(self) -> str:
        refuse_double("own_id", self.cleaned_data["own_id"])
        return str(self.cleaned_data["own_id"])

    def facts(self) -> dict[str, Any]:
        """Fields of an animal, once the form is valid."""
        given = self.cleaned_data
        sex, guess = sex_told(given["sex"])
        plain = ("name", "colour", "marks", "condition", "own_id", "chip", "born", "is_castrated")
        return {
            **{name: given[name] for name in plain},
            "born_margin_days": int(given["born_margin_days"]) if given["born"] else 0,
            "sex": sex,
            "sex_guess": guess,
        }

    @property
    def may_sire(self) -> bool:
        """As far as is known: an entire male, or one whose sex nobody is sure of."""
        given = self.cleaned_data
        return sex_told(given["sex"])[0] != Animal.Sex.FEMALE and not given["is_castrated"]

    @property
    def may_bear(self) -> bool:
        return sex_told(self.cleaned_data["sex"])[0] != Animal.Sex.MALE

    def companion(
        self, contact: pure.MaleContact | None, quarantine: pure.QuarantineSpan | None
    ) -> pure.Companion:
        """As the pure rules see it; its ``ref`` is that of its fields."""
        facts = self.facts()
        born, grams = facts["born"], self.cleaned_data["grams"]
        return pure.Companion(
            ref=str(self.prefix),
            name=facts["name"],
            species=self.species or Species.GUINEA_PIG,
            sex=Sex(facts["sex"]) if facts["sex"] else None,
            born=pure.BirthSpan.about(born, facts["born_margin_days"]) if born else None,
            weighings=(pure.DatedWeight(self.today, grams),) if grams is not None else (),
            castration=pure.Castration(None) if facts["is_castrated"] else None,
            contact=contact if self.may_bear else None,
            quarantine=quarantine,
        )
