"""Which animals live at the new home already, by sex: with whom those that go will live."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.adoptions.models.adoptions import MOST_AT_HOME
from habitats.structure.design import Species
from habitats.welfare.maturity import WAIT_DAYS
from habitats.welfare.new_home import CompanyAtHome

AT_HOME = tuple(f"{one}_at_home" for one in CompanyAtHome._fields)


class AtHomeField(forms.IntegerField):
    """Empty is none."""

    def __init__(self, **options: Any) -> None:
        super().__init__(min_value=0, max_value=MOST_AT_HOME, required=False, **options)

    def clean(self, value: Any) -> int:
        return super().clean(value) or 0


class AtHomeForm(forms.Form):
    """``species``: of those that go."""

    females_at_home = AtHomeField(label=gettext_lazy("Females"))
    spayed_at_home = AtHomeField(label=gettext_lazy("Spayed females"))
    males_at_home = AtHomeField(label=gettext_lazy("Entire males"))
    castrated_at_home = AtHomeField(label=gettext_lazy("Castrated males"))
    unsexed_at_home = AtHomeField(label=gettext_lazy("Sex not known"))
    others_at_home = AtHomeField()

    def __init__(self, *args: Any, species: str, **options: Any) -> None:
        super().__init__(*args, **options)
        # An empty field says none as shortly as a nought does.
        self.initial = {
            name: given for name, given in self.initial.items() if name not in AT_HOME or given
        }
        self.fields["others_at_home"].label = (
            _("Guinea pigs in the same enclosure")
            if species == Species.RABBIT
            else _("Rabbits in the same enclosure")
        )

    @property
    def at_home(self) -> CompanyAtHome:
        """As far as it was given."""
        return CompanyAtHome(*(self.cleaned_data.get(name) or 0 for name in AT_HOME))

    @property
    def castration_help(self) -> str:
        return _("For %(days)d days after castration, a male counts as entire.") % {
            "days": WAIT_DAYS
        }

    @property
    def at_home_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in AT_HOME]

    @property
    def tells_of_company(self) -> bool:
        """Whether its fields stand open."""
        return any(self[name].value() or self[name].errors for name in AT_HOME)
