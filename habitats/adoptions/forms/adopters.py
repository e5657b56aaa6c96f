"""Forms about adopters: found, and written down."""

from django import forms
from django.utils.translation import gettext_lazy as _

from habitats.adoptions.models.adopters import Adopter, AdopterQuerySet
from habitats.common.fields import OnceField


class FindAdoptersForm(forms.Form):
    words = forms.CharField(
        label=_("Name, telephone, email or code, also of an animal"),
        max_length=60,
        required=False,
    )

    def found(self, adopters: AdopterQuerySet) -> AdopterQuerySet:
        words = self.cleaned_data["words"] if self.is_valid() else ""
        return adopters.named_like(words) if words else adopters


class AdopterForm(forms.ModelForm):
    class Meta:
        model = Adopter
        fields = ["name", "phone", "email", "address", "notes"]
        labels = {
            "name": _("Name"),
            "phone": _("Telephone"),
            "email": _("Email"),
            "address": _("Address"),
            "notes": _("Notes"),
        }
        help_texts = {"address": _("For the agreement. Only coordinators see it.")}
        widgets = {
            "address": forms.Textarea(attrs={"rows": 2}),
            "notes": forms.Textarea(attrs={"rows": 3}),
        }


class NewAdopterForm(AdopterForm):
    once = OnceField()
