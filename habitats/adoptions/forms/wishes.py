"""Forms about the waiting list."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.adoptions.forms.adoptions import AdopterChoiceForm
from habitats.adoptions.models.wishes import MOST_MONTHS, MOST_WISHED, Wish
from habitats.animals.models.animals import Animal
from habitats.common.fields import DayField, use_today
from habitats.structure.design import Species

SPECIES = [
    (Species.GUINEA_PIG.value, gettext_lazy("Guinea pigs")),
    (Species.RABBIT.value, gettext_lazy("Rabbits")),
]
SEXES = [
    ("", gettext_lazy("Any")),
    (Animal.Sex.FEMALE.value, gettext_lazy("Female")),
    (Animal.Sex.MALE.value, gettext_lazy("Male")),
]


class WantedAnimalsForm(forms.ModelForm):
    species = forms.ChoiceField(label=gettext_lazy("Species"), choices=SPECIES)
    number = forms.IntegerField(
        label=gettext_lazy("How many"), min_value=1, max_value=MOST_WISHED, initial=2
    )
    sex = forms.ChoiceField(label=gettext_lazy("Sex"), choices=SEXES, required=False)
    from_months = forms.IntegerField(
        label=gettext_lazy("Age from, in months"),
        min_value=0,
        max_value=MOST_MONTHS,
        required=False,
    )
    to_months = forms.IntegerField(
        label=gettext_lazy("Age to, in months"), min_value=0, max_value=MOST_MONTHS, required=False
    )

    class Meta:
        model = Wish
        fields = ["species", "number", "sex", "from_months", "to_months", "has_company", "notes"]
        labels = {
            "has_company": gettext_lazy("Animals of the species live there: one may come alone"),
            "notes": gettext_lazy("Notes"),
        }
        widgets = {"notes": forms.Textarea(attrs={"rows": 2})}

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        first, last = given.get("from_months"), given.get("to_months")
        if first is not None and last is not None and last < first:
            self.add_error("to_months", _("Enter the age from above, or a higher one."))
        return given


class NewWishForm(AdopterChoiceForm):
    """Who wishes; what they wish for is asked beside it (``WishForm``)."""

    since = DayField(label=gettext_lazy("On the list since"))

    def __init__(self, *args: Any, today: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        use_today(self, today)
