"""Forms about one's own account."""

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.utils.translation import gettext_lazy as _

from habitats.common.languages import choices
from habitats.people.models.people import Person


class LogInForm(AuthenticationForm):
    error_messages = {
        "invalid_login": "That name and password do not belong together. Capitals count. "
        "After six wrong passwords you have to wait 15 minutes.",
        "inactive": "This account is put away. Ask a coordinator of your rescue.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "Log-in name"


class OwnPasswordForm(PasswordChangeForm):
    error_messages = {
        "password_mismatch": "The two new passwords differ. Type the same in both fields.",
        "password_incorrect": "That is not your present password. Capitals count.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["old_password"].label = "Present password"
        self.fields["new_password1"].label = "New password"
        self.fields[
            "new_password1"
        ].help_text = (
            "At least 8 characters, not only digits, not your name, and no word that many use."
        )
        self.fields["new_password2"].label = "New password once more"
        self.fields["new_password2"].help_text = ""


class OwnSettingsForm(forms.ModelForm):
    language = forms.ChoiceField(
        label=_("Language"),
        choices=lambda: [("", _("The browser's language")), *choices()],
        required=False,
    )

    class Meta:
        model = Person
        fields = ["first_name", "last_name", "language", "units", "paper"]
        widgets = {"units": forms.RadioSelect, "paper": forms.RadioSelect}
        help_texts = {
            "units": "Changes what you read. Designs are kept in whole millimetres.",
            "paper": "The size that packets are laid out for.",
        }
