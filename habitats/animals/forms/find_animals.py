"""The form by which animals are found."""

from datetime import date

from django import forms
from django.utils.translation import gettext_lazy

from habitats.animals.forms.animals import SPECIES
from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of


class FindAnimalsForm(forms.Form):
    """Which animals to list; what makes no sense finds all that are here."""

    SHOWN = [
        ("", gettext_lazy("In our care")),
        ("apart", gettext_lazy("In quarantine")),
        ("alone", gettext_lazy("In no group")),
        ("loose", gettext_lazy("Without an enclosure")),
        ("gone", gettext_lazy("No longer in our care")),
    ]

    words = forms.CharField(label=gettext_lazy("Name or code"), max_length=60, required=False)
    species = forms.ChoiceField(
        label=gettext_lazy("Species"), choices=[("", gettext_lazy("Any")), *SPECIES], required=False
    )
    sex = forms.ChoiceField(
        label=gettext_lazy("Sex"),
        choices=[("", gettext_lazy("Any")), *Animal.Sex.choices],
        required=False,
    )
    shown = forms.ChoiceField(label=gettext_lazy("Show"), choices=SHOWN, required=False)

    def found(self, animals: AnimalQuerySet, today: date) -> AnimalQuerySet:
        given = self.cleaned_data if self.is_valid() else {}
        found = self._shown(animals, given.get("shown"), today)
        for field in ("species", "sex"):
            if given.get(field):
                found = found.filter(**{field: given[field]})
        return found.named_like(given["words"]) if given.get("words") else found

    def _shown(self, animals: AnimalQuerySet, shown: str | None, today: date) -> AnimalQuerySet:
        if shown == "gone":
            return animals.gone()
        if shown == "apart":
            return animals.here().quarantined(today, limits_of(Rescue.ours()))
        if shown == "loose":
            return animals.here().without_enclosure(today)
        return animals.here().without_group(today) if shown == "alone" else animals.here()
