"""Forms with which a coordinator looks after the people of the rescue."""

from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password

from habitats.people.models.people import Person

PASSWORD_HELP = (
    "Hand it over by word of mouth; it can be changed under “My settings”. "
    "At least 8 characters, not only digits, not the name, and no word that many use."
)


class PersonForm(forms.ModelForm):
    """Change a person. Give `asked_by`: coordinators cannot take their own role away.

    So there is always one left who can give it back.
    """

    class Meta:
        model = Person
        fields = ["username", "first_name", "last_name", "role", "is_active"]
        labels = {"username": "Log-in name", "is_active": "May log in"}
        help_texts = {
            "username": "Letters, digits and @ . + - _ only.",
            "is_active": "Take the tick away for somebody who has left. What they did stays.",
        }
        error_messages = {"username": {"unique": "Somebody has this log-in name. Choose another."}}

    def __init__(self, *args: Any, asked_by: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.asked_by = asked_by

    def clean(self) -> None:
        super().clean()
        if self.instance != self.asked_by:
            return
        if self.cleaned_data.get("role") != Person.Role.COORDINATOR:
            self.add_error("role", "You cannot give up your own role. Ask another coordinator to.")
        if not self.cleaned_data.get("is_active"):
            self.add_error("is_active", "You cannot put yourself away. Ask another coordinator to.")


class NewPersonForm(PersonForm):
    password = forms.CharField(
        label="First password",
        strip=False,
        help_text=PASSWORD_HELP,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )

    class Meta(PersonForm.Meta):
        fields = ["username", "first_name", "last_name", "role"]

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
        self.instance.set_password(self.cleaned_data["password"])
        person: Person = super().save(commit)
        return person


class NewPasswordForm(forms.Form):
    """A new password for somebody who has forgotten theirs."""

    password = forms.CharField(
        label="New password",
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
