"""Forms about one's own account."""

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm, SetPasswordForm
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from habitats.common.languages import choices_or_the_browsers
from habitats.people.models.first_passwords import FIRST_PASSWORD_DAYS, has_expired
from habitats.people.models.people import Person


class LogInForm(AuthenticationForm):
    error_messages = {
        "invalid_login": _(
            "The log-in name or the password is wrong. Check capital letters. "
            "After six wrong passwords you have to wait 15 minutes."
        ),
        "inactive": _("This account is deactivated. Ask a coordinator of your rescue."),
    }

    def confirm_login_allowed(self, user: Person) -> None:
        super().confirm_login_allowed(user)
        if has_expired(user):
            raise forms.ValidationError(
                gettext(
                    "This password was made for you and not changed within %(days)d days, so it no "
                    "longer works. Ask a coordinator for a link to choose one."
                )
                % {"days": FIRST_PASSWORD_DAYS}
            )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = _("Log-in name")
        self.fields["password"].label = _("Password")


class ForgottenForm(forms.Form):
    name = forms.CharField(label=_("Log-in name or email"), max_length=254)


class ChosenPasswordForm(SetPasswordForm):
    """A password of one's own, in the place of none or of one that was forgotten."""

    error_messages = {
        "password_mismatch": _("The two new passwords differ. Type the same in both fields."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["new_password1"].label = _("New password")
        self.fields["new_password1"].help_text = _(
            "At least 8 characters, not only digits, not your name, not a common password."
        )
        self.fields["new_password2"].label = _("New password again")
        self.fields["new_password2"].help_text = ""

    def clean_new_password1(self) -> str:
        chosen: str = self.cleaned_data["new_password1"]
        if self.user.has_first_password and self.user.check_password(chosen):
            raise forms.ValidationError(
                gettext("This is the password that you were given. Choose one of your own.")
            )
        return chosen

    def save(self, commit: bool = True) -> Person:
        self.user.first_password_at, self.user.is_on_slip = None, False
        person: Person = super().save(commit)
        return person


class OwnPasswordForm(ChosenPasswordForm, PasswordChangeForm):
    """The same by who knows the one that they have."""

    error_messages = {
        **ChosenPasswordForm.error_messages,
        "password_incorrect": _("This is not your present password. Check capital letters."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["old_password"].label = _("Current password")


class OwnSettingsForm(forms.ModelForm):
    language = forms.ChoiceField(
        label=_("Language"),
        choices=choices_or_the_browsers,
        required=False,
    )

    class Meta:
        model = Person
        fields = ["first_name", "last_name", "language", "units", "paper"]
        widgets = {"units": forms.RadioSelect, "paper": forms.RadioSelect}
        labels = {
            "first_name": _("First name"),
            "last_name": _("Last name"),
            "units": _("Units of length"),
            "paper": _("Paper size"),
        }
        help_texts = {
            "units": _("Changes what you read. Designs are saved in whole millimetres."),
            "paper": _("For what you print."),
        }
