"""Forms at the end of a build: inspecting, mending, re-planning, handing over."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from builds.building.models.handing_over import LONGEST_LABEL
from builds.building.models.inspections import Answered
from builds.plans.models.builds import Build
from habitats.common.fields import DayField, OnceField, use_today
from habitats.enclosures.forms import DoubtfulForm, doubts
from habitats.enclosures.models.standing import home_of
from habitats.homes.forms.home_field import HomeField
from habitats.people.models.people import Person

LONGEST_SIGNATURE, LONGEST_REMARK = 80, 250
YES, NO = "yes", "no"
ANSWERS = [(YES, _("Yes")), (NO, _("No"))]


class PointRow(NamedTuple):
    """One point as it is asked: its question, why, and its two fields."""

    point: Mapping[str, str]
    answer: forms.BoundField
    note: forms.BoundField


class InspectionForm(forms.Form):
    """Each point of the plan answered, and signed. Nothing is answered beforehand."""

    once = OnceField()
    signed = forms.CharField(
        label=_("Your name, as your signature"),
        max_length=LONGEST_SIGNATURE,
        error_messages={"required": _("The inspection is not signed. Write your name.")},
    )
    day = DayField(label=_("Inspected on"))

    def __init__(
        self, *args: Any, points: Sequence[Mapping[str, str]], today: date, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.points = points
        use_today(self, today)
        for point in points:
            self._ask(point)

    def _ask(self, point: Mapping[str, str]) -> None:
        self.fields[f"answer_{point['code']}"] = forms.ChoiceField(
            label=point["question"],
            help_text=point["why"],
            choices=ANSWERS,
            widget=forms.RadioSelect,
            error_messages={
                "required": _("Not answered. Look at it and answer yes or no."),
                "invalid_choice": _("“%(value)s” given; answer yes or no."),
            },
        )
        self.fields[f"note_{point['code']}"] = forms.CharField(
            label=_("Fault or remark"), max_length=LONGEST_REMARK, required=False
        )

    def rows(self) -> Iterator[PointRow]:
        for point in self.points:
            code = point["code"]
            yield PointRow(point, self[f"answer_{code}"], self[f"note_{code}"])

    def answers(self) -> list[Answered]:
        given = self.cleaned_data
        return [
            Answered(
                point["code"],
                point["question"],
                given[f"answer_{point['code']}"] == YES,
                given[f"note_{point['code']}"],
            )
            for point in self.points
        ]


class RepairMendedForm(forms.Form):
    day = DayField(label=_("Mended on"))
    note = forms.CharField(label=_("Method"), max_length=LONGEST_REMARK, required=False)

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        use_today(self, today)


class PlanAnewForm(forms.Form):
    once = OnceField()


class HandOverForm(DoubtfulForm):
    """The enclosure stands in a home from a day on."""

    once = OnceField()
    home = HomeField(
        label=_("Home"),
        error_messages={"required": _("No home given. Choose the home in which it stands.")},
    )
    label = forms.CharField(
        label=_("Label"),
        max_length=LONGEST_LABEL,
        help_text=_("The name that you use for it, as written on it."),
    )
    day = DayField(label=_("Since"))
    note = forms.CharField(label=_("Note"), max_length=LONGEST_REMARK, required=False)
    field_order = ["once", "home", "label", "day", "note", "anyway"]

    def __init__(
        self, sent: QueryDict | None, *, build: Build, person: Person, today: date
    ) -> None:
        home = build.home or (home_of(build.enclosure) if build.enclosure else None)
        initial = {"home": home.code if home else None, "label": str(build)[:LONGEST_LABEL]}
        super().__init__(sent, initial=initial)
        self.build, self.person = build, person
        plan = build.plans.newest_first().select_related("revision")[0]
        # Of an enclosure that stood already, nothing is new in its home.
        self.is_new = build.enclosure is None or (plan.standing_id is None and not plan.is_repair)
        self.shape = plan.revision.shape()
        use_today(self, today)
        if build.enclosure is not None:
            del self.fields["label"]

    def clean(self) -> None:
        given = self.cleaned_data
        home = given.get("home")
        planned = self.build.enclosure
        if home and self.is_new and not (planned and home_of(planned) == home):
            label = planned.label if planned else given.get("label", "")
            self.ask_once_more(list(doubts(home, self.shape, label, self.person.units)))
