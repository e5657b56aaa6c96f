"""The form of a litter: the day, how many, and a line for each of the young."""

import re
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.animals.models.animals import Animal
from habitats.animals.models.births import Birth
from habitats.animals.models.litters import OneOfLitter, record_litter, take_in_young
from habitats.common.days import in_full
from habitats.common.fields import DayField, OnceField, use_today
from habitats.people.models.people import Person
from habitats.welfare.companion import BirthSpan, Companion
from habitats.welfare.life import life_fault
from habitats.welfare.values import Species
from habitats.welfare.weights import weight_fault

MOST_YOUNG = 20
SEXES = [("", gettext_lazy("Not known")), *Animal.Sex.choices]
HOW_MANY = re.compile(r"[0-9]{1,2}")
# Once the number is typed, a line for each is there; without script there is a button for it.
ASKS_FOR_LINES = {
    "hx-post": "",
    "hx-trigger": "change",
    "hx-vals": '{"lines": "1"}',
    "hx-select": "#lines",
    "hx-target": "#lines",
    "hx-swap": "outerHTML",
}


class BirthForm(forms.Form):
    """``lines``: how many young have a line of their own, as asked for with ``young``."""

    once = OnceField()
    on = DayField(label=gettext_lazy("Born on"))
    young = forms.IntegerField(
        label=gettext_lazy("Live young"),
        min_value=0,
        max_value=MOST_YOUNG,
        error_messages={
            "min_value": gettext_lazy("Enter how many are alive: 0 to 20."),
            "max_value": gettext_lazy("No litter has more than 20. Count again."),
        },
    )
    stillborn = forms.IntegerField(
        label=gettext_lazy("Stillborn"),
        min_value=0,
        max_value=MOST_YOUNG,
        required=False,
        error_messages={
            "min_value": gettext_lazy("Enter how many were born dead: 0 to 20."),
            "max_value": gettext_lazy("No litter has more than 20. Count again."),
        },
    )
    pages = forms.BooleanField(
        label=gettext_lazy("Add a page for each live young"),
        required=False,
        initial=True,
        help_text=gettext_lazy(
            "They join their mother's group on the day of birth, and are called by her name and a "
            "number until you name them."
        ),
    )
    weighed_on = DayField(label=gettext_lazy("Weighed on"), required=False)
    note = forms.CharField(label=gettext_lazy("Note"), max_length=200, required=False)

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, mother: Animal, today: date, **options: Any
    ) -> None:
        super().__init__(data, **options)
        self.mother, self.today = mother, today
        self.lines = _lines(data or self.initial)
        for number in range(1, self.lines + 1):
            self.fields[f"sex_{number}"] = forms.ChoiceField(
                label=_("Sex of young %(number)d") % {"number": number},
                choices=SEXES,
                required=False,
            )
            self.fields[f"grams_{number}"] = forms.IntegerField(
                label=_("Grams of young %(number)d") % {"number": number},
                required=False,
                error_messages={"invalid": gettext_lazy("Enter whole grams, such as 92.")},
            )
        use_today(self, today)
        self.fields["weighed_on"].initial = today
        self.fields["young"].widget.attrs |= ASKS_FOR_LINES

    def young_lines(self) -> Iterator[tuple[forms.BoundField, forms.BoundField]]:
        """Sex and weight of each."""
        for number in range(1, self.lines + 1):
            yield self[f"sex_{number}"], self[f"grams_{number}"]

    def clean(self) -> dict[str, Any] | None:
        given = super().clean() or self.cleaned_data
        on = given.get("on")
        if self.mother.sex == Animal.Sex.MALE:
            raise forms.ValidationError(
                _("%(animal)s is recorded as a male. Correct the sex, or choose the mother.")
                % {"animal": self.mother}
            )
        if self.mother.left_on:
            raise forms.ValidationError(has_left_words(self.mother))
        fault = on and life_fault(self._mother_giving_birth(on), self.today)
        if fault:
            self.add_error("on", str(fault))
        weighed_on = given.get("weighed_on")
        if on and weighed_on and weighed_on < on:
            self.add_error("weighed_on", _("That is before they were born. Enter a later day."))
        for number in range(1, self.lines + 1):
            self._check_weight(f"grams_{number}", given)
        return given

    def _check_weight(self, field: str, given: dict[str, Any]) -> None:
        grams = given.get(field)
        fault = grams is not None and weight_fault(Species(self.mother.species), grams)
        if fault:
            self.add_error(field, str(fault))

    def append(self, *, by: Person) -> tuple[Birth, list[Animal]]:
        """The litter, and the young that have a page now."""
        given = self.cleaned_data
        birth = record_litter(
            self.mother,
            given["on"],
            given["young"],
            stillborn=given["stillborn"] or 0,
            note=given["note"],
            by=by,
            idempotency_key=given["once"],
        )
        if not given["pages"]:
            return birth, []
        young = [self._young(number) for number in range(1, given["young"] + 1)]
        return birth, take_in_young(birth, young, given["weighed_on"] or self.today, by=by)

    def _young(self, number: int) -> OneOfLitter:
        given = self.cleaned_data
        return OneOfLitter(given.get(f"sex_{number}", ""), given.get(f"grams_{number}"))

    def _mother_giving_birth(self, on: date) -> Companion:
        mother = self.mother
        born = BirthSpan.about(mother.born, mother.born_margin_days) if mother.born else None
        return Companion(
            mother.code, mother.name, Species(mother.species), born=born, gave_birth_on=on
        )


def has_left_words(mother: Animal) -> str:
    """Why a litter of one that is no longer in care is not written down."""
    return _("%(animal)s left on %(day)s. Readmit her before you record a litter.") % {
        "animal": mother,
        "day": in_full(mother.left_on) if mother.left_on else "",
    }


def _lines(given: Mapping[str, Any]) -> int:
    """As many as were typed; none of what is no number of young."""
    typed = str(given.get("young", "")).strip()
    return min(int(typed), MOST_YOUNG) if HOW_MANY.fullmatch(typed) else 0
