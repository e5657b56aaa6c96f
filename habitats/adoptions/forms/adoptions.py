"""Forms about adoptions: one is begun, found, corrected."""

from typing import Any

from django import forms
from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.adoptions.forms.at_home import AT_HOME, AtHomeForm
from habitats.adoptions.forms.reasons import Judge, ReasonedForm
from habitats.adoptions.models.adopters import LONGEST_NAME, Adopter
from habitats.adoptions.models.adoptions import (
    Adoption,
    AdoptionQuerySet,
    AdoptionState,
)
from habitats.common.fields import DayField, OnceField, use_today
from habitats.people.models.people import Person
from habitats.welfare.new_home import NO_COMPANY

OPEN = "open"


class FindAdoptionsForm(forms.Form):
    SHOWN = [
        ("", gettext_lazy("Reserved and on trial")),
        ("adopted", gettext_lazy("Adopted")),
        ("ended", gettext_lazy("Returned and fallen through")),
        ("all", gettext_lazy("All")),
    ]
    _STATES = {
        "": [AdoptionState.RESERVED, AdoptionState.TRIAL],
        "adopted": [AdoptionState.ADOPTED],
        "ended": [AdoptionState.RETURNED, AdoptionState.FELL_THROUGH],
    }

    words = forms.CharField(
        label=gettext_lazy("Animal, adopter or code"), max_length=60, required=False
    )
    shown = forms.ChoiceField(label=gettext_lazy("Show"), choices=SHOWN, required=False)

    def found(self) -> AdoptionQuerySet:
        given = self.cleaned_data if self.is_valid() else {}
        found = Adoption.objects.all()
        if words := given.get("words"):
            found = found.named_like(words)
        states = self._STATES.get(given.get("shown", ""))
        # Who types a name looks for it wherever it is, unless a kind is chosen too.
        if states and (given.get("shown") or not given.get("words")):
            return found.in_state(*states)
        return found.with_state()


class AdopterChoiceForm(forms.Form):
    """Somebody known, or somebody new."""

    once = OnceField()
    adopter = forms.ModelChoiceField(
        label=gettext_lazy("Adopter"),
        queryset=Adopter.objects.none(),
        to_field_name="code",
        required=False,
        empty_label=gettext_lazy("Somebody new"),
    )
    name = forms.CharField(
        label=gettext_lazy("Name of a new adopter"), max_length=LONGEST_NAME, required=False
    )
    phone = forms.CharField(label=gettext_lazy("Telephone"), max_length=40, required=False)
    email = forms.EmailField(label=gettext_lazy("Email"), max_length=120, required=False)

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        field = self.fields["adopter"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = Adopter.objects.by_name()

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if not given.get("adopter") and not given.get("name"):
            self.add_error("adopter", _("Choose an adopter, or enter the name of a new one."))
        elif given.get("adopter") and given.get("name"):
            self.add_error("name", _("An adopter is chosen. Leave this empty."))
        return given

    def the_adopter(self, *, by: Person) -> Adopter:
        given = self.cleaned_data
        if given["adopter"]:
            known: Adopter = given["adopter"]
            return known
        facts = {name: given[name] for name in ("name", "phone", "email")}
        return Adopter.objects.write_down(by=by, idempotency_key=given["once"], **facts)


class ReserveForm(ReasonedForm, AdopterChoiceForm, AtHomeForm):
    """The animals go to this adopter. ``judge`` tells what speaks against it with those that live
    there already."""

    on = DayField(label=gettext_lazy("Reserved on"))
    notes = forms.CharField(
        label=gettext_lazy("Notes"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args: Any, judge: Judge, today: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.judge = judge
        self.reasons = judge(NO_COMPANY)
        use_today(self, today)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        self.reasons = self.judge(self.at_home)
        self.weigh(given)
        return given


class AdoptionForm(AtHomeForm, forms.ModelForm):
    class Meta:
        model = Adoption
        fields = [*AT_HOME, "notes"]
        labels = {"notes": gettext_lazy("Notes")}
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, species=options["instance"].species, **options)


def reserved_first() -> models.Case:
    """An order of states as people work through them."""
    states = [AdoptionState.TRIAL, AdoptionState.RESERVED, AdoptionState.ADOPTED]
    whens = [models.When(state=state, then=at) for at, state in enumerate(states)]
    return models.Case(*whens, default=len(states))
