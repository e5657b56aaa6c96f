"""Forms about adoptions: one is begun, found, corrected."""

from typing import Any

from django import forms
from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.adoptions.forms.reasons import Judge, ReasonedForm
from habitats.adoptions.models.adopters import LONGEST_NAME, Adopter
from habitats.adoptions.models.adoptions import (
    MOST_AT_HOME,
    Adoption,
    AdoptionQuerySet,
    AdoptionState,
)
from habitats.common.fields import DayField, OnceField, use_today
from habitats.people.models.people import Person

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


def at_home_field() -> forms.IntegerField:
    return forms.IntegerField(
        label=gettext_lazy("Animals of this species that live there already"),
        min_value=0,
        max_value=MOST_AT_HOME,
        required=False,
        help_text=gettext_lazy("They will live together. Empty: none."),
    )


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


class ReserveForm(ReasonedForm, AdopterChoiceForm):
    """The animals go to this adopter. ``judge`` tells what speaks against it with so many animals
    at home."""

    company_at_home = at_home_field()
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
        self.reasons = judge(self.initial.get("company_at_home") or 0)
        use_today(self, today)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        self.reasons = self.judge(given.get("company_at_home") or 0)
        self.weigh(given)
        return given


class AdoptionForm(forms.ModelForm):
    company_at_home = at_home_field()

    class Meta:
        model = Adoption
        fields = ["company_at_home", "notes"]
        labels = {"notes": gettext_lazy("Notes")}
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}

    def clean_company_at_home(self) -> int:
        return self.cleaned_data["company_at_home"] or 0


def reserved_first() -> models.Case:
    """An order of states as people work through them."""
    states = [AdoptionState.TRIAL, AdoptionState.RESERVED, AdoptionState.ADOPTED]
    whens = [models.When(state=state, then=at) for at, state in enumerate(states)]
    return models.Case(*whens, default=len(states))
