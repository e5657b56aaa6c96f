"""Forms with the code of an authenticator app."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.people.models.people import Person
from habitats.people.models.second_factor import CodeSource, fits, seconds_to_wait, source_of

LONGEST_CODE = 20
CODE_FIELD = {"autocomplete": "one-time-code", "spellcheck": "false", "autofocus": True}


class AppCodeForm(forms.Form):
    """Sets the second factor up: the app has read the secret if its code fits."""

    code = forms.CharField(
        label=gettext_lazy("Code from the app"),
        max_length=LONGEST_CODE,
        help_text=gettext_lazy("Six digits; the app shows new ones every 30 seconds."),
        widget=forms.TextInput(attrs={"autocomplete": "one-time-code", "inputmode": "numeric"}),
    )

    def __init__(self, key: str, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.key = key

    def clean_code(self) -> str:
        code: str = self.cleaned_data["code"].replace(" ", "")
        if fits(self.key, code):
            return code
        raise forms.ValidationError(
            _(
                "This code is not right. Wait for the next one, and check that your phone sets its "
                "clock automatically."
            )
        )


class SecondFactorForm(forms.Form):
    """A code of the app, or one of the recovery codes, which is then used up."""

    code = forms.CharField(
        label=gettext_lazy("Code"),
        max_length=LONGEST_CODE,
        help_text=gettext_lazy("Six digits from the app, or one of your recovery codes."),
        widget=forms.TextInput(attrs=CODE_FIELD),
    )

    def __init__(self, person: Person, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.person = person
        self.was_recovery_code = False

    def clean_code(self) -> str:
        code: str = self.cleaned_data["code"]
        if seconds := seconds_to_wait(self.person):
            raise forms.ValidationError(
                _("Too many wrong codes. Try again in %(seconds)d seconds.") % {"seconds": seconds}
            )
        source = source_of(self.person, code)
        if source is None:
            raise forms.ValidationError(
                _(
                    "This code is not right, or has been used. Wait for the next one in the app. "
                    "If none works, a clock is wrong, your phone's or the server's: use a recovery "
                    "code."
                )
            )
        self.was_recovery_code = source is CodeSource.PAPER
        return code
