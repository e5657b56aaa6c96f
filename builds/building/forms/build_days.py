"""The form of a build day: the day, and a row for each person of the build."""

from collections.abc import Iterator
from datetime import date
from typing import Any, NamedTuple

from django import forms
from django.forms import BoundField
from django.http import QueryDict
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.building.forms.builds import PlannedDayField
from builds.building.models.build_days import (
    LONGEST_NOTE,
    LONGEST_PLACE,
    LONGEST_THINGS,
    BuildDay,
    Coming,
    DayFacts,
    WhoComes,
)
from habitats.common.fields import OnceField
from habitats.people.models.people import Person


def _time_field(**options: Any) -> forms.TimeField:
    widget = forms.TimeInput(format="%H:%M", attrs={"type": "time"})
    return forms.TimeField(widget=widget, **options)


class PersonRow(NamedTuple):
    person: Person
    comes: BoundField
    at: BoundField
    brings: BoundField
    lent: BoundField


class BuildDayForm(forms.Form):
    once = OnceField()
    on = PlannedDayField(
        label=_("Day"), error_messages={"required": _("No day given. Choose the day.")}
    )
    begins = _time_field(label=_("Begins"), initial="10:00")
    ends = _time_field(label=_("Ends"), required=False)
    place = forms.CharField(label=_("Place"), max_length=LONGEST_PLACE, required=False)
    note = forms.CharField(
        label=_("Remark"),
        max_length=LONGEST_NOTE,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(
        self,
        sent: QueryDict | None,
        *,
        people: list[Person],
        today: date,
        day: BuildDay | None = None,
    ) -> None:
        self.people = people
        super().__init__(sent, initial=_initial(day))
        field = self.fields["on"]
        assert isinstance(field, PlannedDayField)
        field.required, field.today = True, today
        coming = {one.person_id: one for one in day.coming.all()} if day else {}
        for person in people:
            self._ask(person, coming.get(person.pk), is_new=day is None)

    def _ask(self, person: Person, known: Coming | None, *, is_new: bool) -> None:
        name = {"person": person.full_name}
        fields = {
            "comes": forms.BooleanField(
                label=person.full_name, required=False, initial=is_new or known is not None
            ),
            "at": _time_field(label=_("From"), required=False, initial=known and known.at),
            "brings": forms.CharField(
                label=_("Brings"),
                max_length=LONGEST_THINGS,
                required=False,
                initial=known.brings if known else "",
            ),
            "lent": forms.CharField(
                label=_("Tools lent"),
                max_length=LONGEST_THINGS,
                required=False,
                initial=known.lent if known else "",
            ),
        }
        spoken = {
            "at": gettext("%(person)s: from") % name,
            "brings": gettext("%(person)s: brings") % name,
            "lent": gettext("%(person)s: tools lent") % name,
        }
        for what, field in fields.items():
            if what in spoken:
                field.widget.attrs["aria-label"] = spoken[what]
            self.fields[f"{what}_{person.pk}"] = field

    def rows(self) -> Iterator[PersonRow]:
        for person in self.people:
            names = (f"{what}_{person.pk}" for what in ("comes", "at", "brings", "lent"))
            yield PersonRow(person, *(self[name] for name in names))

    @property
    def facts(self) -> DayFacts:
        return DayFacts(**{name: self.cleaned_data[name] for name in DayFacts._fields})

    @property
    def coming(self) -> list[WhoComes]:
        given = self.cleaned_data
        return [
            WhoComes(person, *(given[f"{what}_{person.pk}"] for what in ("at", "brings", "lent")))
            for person in self.people
            if given[f"comes_{person.pk}"]
        ]

    def clean(self) -> None:
        begins, ends = self.cleaned_data.get("begins"), self.cleaned_data.get("ends")
        if begins and ends and ends <= begins:
            self.add_error(
                "ends", gettext("This is before it begins. Enter a later time, or none.")
            )
        for person in self.people:
            at = self.cleaned_data.get(f"at_{person.pk}")
            if at and ends and ends <= at:
                self.add_error(
                    f"at_{person.pk}",
                    gettext("The build day has ended by then. Enter an earlier time, or none."),
                )


def _initial(day: BuildDay | None) -> dict[str, Any]:
    return {name: getattr(day, name) for name in DayFacts._fields} if day else {}
