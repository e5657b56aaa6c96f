"""Who shared an enclosure with a new animal before they came."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.common.days import in_short
from habitats.wording import by_number

MOST_OFFERED = 30  # as many as one intake has


class LivedTogetherForm(forms.Form):
    """``new``: all that are in quarantine; those of its species are offered, nearest day first."""

    others = forms.ModelMultipleChoiceField(
        label=gettext_lazy("They lived together before they came"),
        queryset=Animal.objects.none(),
        to_field_name="code",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": gettext_lazy("Tick at least one animal.")},
    )

    def __init__(self, *args: Any, animal: Animal, new: AnimalQuerySet, **options: Any) -> None:
        super().__init__(*args, **options)
        able = new.filter(species=animal.species).exclude(pk=animal.pk)
        rows = sorted(able, key=lambda one: _nearest(one, animal))[:MOST_OFFERED]
        field = self.fields["others"]
        assert isinstance(field, forms.ModelMultipleChoiceField)
        field.queryset = able
        self.any = bool(rows)
        field.choices = [(one.code, _came(one)) for one in rows]


def _nearest(one: Animal, animal: Animal) -> tuple[object, ...]:
    return abs(one.came_on - animal.came_on), by_number(one.name), one.pk


def _came(one: Animal) -> str:
    return _("%(animal)s, came %(day)s") % {"animal": one, "day": in_short(one.came_on)}
