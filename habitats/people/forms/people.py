"""Forms with which a coordinator looks after the people of the rescue."""

from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from habitats.common.fields import CodesField
from habitats.common.several_codes import codes_of
from habitats.people.models.first_passwords import set_first_password
from habitats.people.models.people import Person

PASSWORD_HELP = _(
    "Tell the person this password face to face or by phone. They choose their own when they log "
    "in, within 14 days. At least 8 characters, not only digits, not a name or a common password."
)


class PersonForm(forms.ModelForm):
    """Change a person. Give `asked_by`: coordinators cannot take their own role away.

    So there is always one left who can give it back.
    """

    roles = CodesField(
        dict(Person.Role.choices),
        label=_("Roles"),
        required=True,
        help_text=_(
            "Choose several for a person who does more than one thing, such as a foster who also "
            "builds."
        ),
        error_messages={"required": _("Choose at least one role.")},
    )

    class Meta:
        model = Person
        fields = ["username", "first_name", "last_name", "roles", "email", "is_active"]
        labels = {
            "username": _("Log-in name"),
            "first_name": _("First name"),
            "last_name": _("Last name"),
            "email": _("Email"),
            "is_active": _("May log in"),
        }
        help_texts = {
            "username": _("Letters, digits and @ . + - _ only."),
            "email": _("For sending a link to choose a password. Only coordinators see it."),
            "is_active": _("Untick this when a person leaves. What they recorded stays."),
        }
        error_messages = {
            "username": {"unique": _("Another person has this log-in name. Choose another.")}
        }

    def __init__(self, *args: Any, asked_by: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.asked_by = asked_by

    def clean(self) -> None:
        super().clean()
        if self.instance != self.asked_by:
            return
        if Person.Role.COORDINATOR not in codes_of(self.cleaned_data.get("roles", "")):
            self.add_error(
                "roles", gettext("You cannot stop being a coordinator. Ask another coordinator.")
            )
        if not self.cleaned_data.get("is_active"):
            self.add_error(
                "is_active", gettext("You cannot deactivate yourself. Ask another coordinator.")
            )


class NewPersonForm(PersonForm):
    password = forms.CharField(
        label=_("First password"),
        strip=False,
        required=False,
        help_text=_("Leave empty to make a link instead, so that they choose their own."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )

    class Meta(PersonForm.Meta):
        fields = ["username", "first_name", "last_name", "roles", "email"]

    def clean(self) -> None:
        super().clean()
        password = self.cleaned_data.get("password")
        if not password:
            return
        names = ("username", "first_name", "last_name")
        named = {name: self.cleaned_data.get(name, "") for name in names}
        try:
            validate_password(password, Person(**named))
        except forms.ValidationError as fault:
            self.add_error("password", fault)

    def save(self, commit: bool = True) -> Person:
        set_first_password(self.instance, self.cleaned_data["password"] or None)
        person: Person = super().save(commit)
        return person


class NewPasswordForm(forms.Form):
    """A new password for a person who has forgotten theirs."""

    password = forms.CharField(
        label=_("New password"),
        strip=False,
        help_text=PASSWORD_HELP,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )

    def __init__(self, person: Person, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.person = person

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        validate_password(password, self.person)
        return password
