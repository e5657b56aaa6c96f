"""The form that undoes an act."""

from django import forms
from django.utils.translation import gettext_lazy

from habitats.common.fields import OnceField


class UndoForm(forms.Form):
    once = OnceField()
    why = forms.CharField(
        label=gettext_lazy("Reason"),
        max_length=200,
        help_text=gettext_lazy("It stays in the history, such as “wrong animal chosen”."),
    )
