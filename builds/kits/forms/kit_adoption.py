"""The kit is the enclosure of an adoption."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from habitats.adoptions.models.adoptions import Adoption, AdoptionQuerySet
from habitats.common.fields import OnceField


class KitAdoptionForm(forms.Form):
    once = OnceField()
    adoption = forms.ModelChoiceField(
        label=_("Adoption"),
        queryset=Adoption.objects.none(),
        to_field_name="code",
        empty_label=None,
        error_messages={"required": _("Choose the adoption that the kit is for.")},
    )

    def __init__(self, *args: Any, offered: AdoptionQuerySet, **options: Any) -> None:
        super().__init__(*args, **options)
        field = self.fields["adoption"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = offered
