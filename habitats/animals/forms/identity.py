"""What an animal is known by, as people type it: its sex and how sure, its numbers."""

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from django import forms
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.animals.models.animals import Animal
from habitats.chips import DIGITS, NoChip, chip_number

NUMBERS = ("own_id", "chip")
UNSURE = "?"
SEXES = [
    ("", gettext_lazy("Not known yet")),
    *Animal.Sex.choices,
    (Animal.Sex.FEMALE + UNSURE, gettext_lazy("Probably female, check again")),
    (Animal.Sex.MALE + UNSURE, gettext_lazy("Probably male, check again")),
]
ORIGINS = [("", gettext_lazy("Not recorded")), *Animal.Origin.choices]
LONGEST_CHIP = 2 * DIGITS  # with what groups its digits
_Made = TypeVar("_Made")


def sex_told(typed: str) -> tuple[str, str]:
    """The sex and the guess: what nobody is sure of is a guess alone."""
    if typed.endswith(UNSURE):
        return "", typed.removesuffix(UNSURE)
    return typed, ""


def sex_as_typed(animal: Animal) -> str:
    return animal.sex or (animal.sex_guess and animal.sex_guess + UNSURE)


class ChipField(forms.CharField):
    """Cleans to 15 digits, or to nothing."""

    def __init__(self, **options: Any) -> None:
        super().__init__(
            **{
                "label": gettext_lazy("Chip number"),
                "max_length": LONGEST_CHIP,
                "required": False,
                "widget": forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
                **options,
            }
        )

    def clean(self, value: Any) -> str:
        try:
            return chip_number(super().clean(value))
        except NoChip as fault:
            raise forms.ValidationError(str(fault.sentence)) from fault


def refuse_double(field: str, number: str, animal: Animal | None = None) -> None:
    """A number that another animal has. Raises ``ValidationError`` with a link to that one."""
    if not number:
        return
    others = Animal.objects.exclude(pk=animal.pk) if animal else Animal.objects.all()
    other = others.filter(**{field: number}).first()
    if other is None:
        return
    link = format_html(
        '<a href="{}">{}</a>', reverse("animal", args=[other.code]), f"{other} {other.code}"
    )
    sentence = _("%(animal)s has this number already. Enter another number, or edit that animal.")
    raise forms.ValidationError(
        format_html(sentence.replace("%(animal)s", "{animal}"), animal=link)
    )


def unless_taken(
    save: Callable[[], _Made], rows: Iterable[forms.BaseForm], animal: Animal | None = None
) -> _Made | None:
    """What is saved; None and nothing saved where another animal got one of the numbers since the
    forms were found valid: each of ``rows``, a form an animal, then says so beside the field."""
    try:
        with transaction.atomic():
            return save()
    except IntegrityError:
        refused = [row for row in rows if _refuse_taken(row, animal)]
        if not refused:
            raise
        return None


def _refuse_taken(row: forms.BaseForm, animal: Animal | None) -> bool:
    for field in NUMBERS:
        try:
            refuse_double(field, row.cleaned_data.get(field, ""), animal)
        except forms.ValidationError as fault:
            row.add_error(field, fault)
    return bool(row.errors)
