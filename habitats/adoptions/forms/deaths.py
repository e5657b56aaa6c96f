"""The form about a death at the adopter's."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.adoptions.models.deaths import LONGEST_DEATH_NOTE
from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.common.fields import DayField, OnceField, use_today

# Those left need company soon, and the adopter is asked again. Common practice, no source.
ASK_AFTER = timedelta(days=7)


class DeathForm(forms.Form):
    once = OnceField()
    animal = forms.ModelChoiceField(
        label=gettext_lazy("Animal"),
        queryset=Animal.objects.none(),
        to_field_name="code",
        widget=forms.RadioSelect,
        empty_label=None,
        error_messages={"required": gettext_lazy("Choose the animal that died.")},
    )
    on = DayField(label=gettext_lazy("Died on"))
    note = forms.CharField(
        label=gettext_lazy("Circumstances"),
        max_length=LONGEST_DEATH_NOTE,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=gettext_lazy("Leave out names and addresses."),
    )
    ask_on = forms.DateField(
        label=gettext_lazy("Follow-up for the animals left there"),
        required=False,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
        help_text=gettext_lazy("Leave empty to plan none."),
    )

    def __init__(self, *args: Any, there: AnimalQuerySet, today: date, **options: Any) -> None:
        animals = list(there)
        initial: dict[str, object] = {"ask_on": today + ASK_AFTER}
        if len(animals) == 1:
            initial["animal"] = animals[0].code
        options.setdefault("initial", initial)
        super().__init__(*args, **options)
        self.today = today
        field = self.fields["animal"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = there
        if len(animals) < 2:
            del self.fields["ask_on"]
        use_today(self, today)

    def clean_ask_on(self) -> date | None:
        ask_on: date | None = self.cleaned_data["ask_on"]
        if ask_on and ask_on < self.today:
            raise forms.ValidationError(_("Enter today or a later day."))
        return ask_on
