"""Forms about one's own account."""

from django import forms

from habitats.models import Person


class OwnSettingsForm(forms.ModelForm):
    class Meta:
        model = Person
        fields = ["first_name", "last_name", "units", "paper"]
        widgets = {"units": forms.RadioSelect, "paper": forms.RadioSelect}
        help_texts = {
            "units": "Changes what you read. Designs are kept in whole millimetres.",
            "paper": "The size that packets are laid out for.",
        }
