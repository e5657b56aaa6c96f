"""The form of a safety check: the points of an enclosure, and the condition of its parts."""

import uuid
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from django import forms
from django.db import transaction
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from habitats.common.fields import DayField, OnceField, use_today
from habitats.enclosures.models.changes import change_state
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.enclosures.models.parts import Component, ComponentCheck
from habitats.faults.models.safety_checks import Answer, SafetyCheck, record_safety_check
from habitats.people.models.people import Person
from habitats.upkeep.points import CheckPoint
from habitats.upkeep.urgency import FaultUrgency
from habitats.wording import message

LONGEST_NOTE = 300
GOOD = "good"
ANSWERS = [
    (GOOD, _("Yes")),
    *[(one.value, message("No: %(urgency)s", urgency=one.in_sentence)) for one in FaultUrgency],
]
NOT_ANSWERED = _("Not answered yet. Look at it, then choose yes or how urgent it is.")


class SafetyCheckForm(forms.Form):
    """Every point answered, or none; and for each kind of part its condition, if that is said."""

    once = OnceField()
    day = DayField(label=_("Checked on"))
    needs_repair = forms.BooleanField(
        label=_("Needs repair"),
        required=False,
        help_text=_("It takes no new animals until it is marked as standing again."),
    )

    def __init__(
        self,
        *args: Any,
        enclosure: Enclosure,
        points: Sequence[CheckPoint],
        components: list[Component],
        today: date,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.enclosure, self.points, self.components = enclosure, points, components
        use_today(self, today)
        for point in points:
            self._ask(point)
        for one in components:
            self._ask_about(one)

    def _ask(self, point: CheckPoint) -> None:
        self.fields[f"point_{point.code}"] = forms.ChoiceField(
            label=point.question,
            help_text=point.why,
            choices=ANSWERS,
            required=False,
            widget=forms.RadioSelect,
        )
        self.fields[f"seen_{point.code}"] = forms.CharField(
            label=_("Description"),
            max_length=LONGEST_NOTE,
            required=False,
            # What is empty and not asked for is folded away by its placeholder being shown.
            widget=forms.TextInput(attrs={"placeholder": " "}),
        )

    def _ask_about(self, component: Component) -> None:
        name = component.get_kind_display()
        self.fields[f"condition_{component.kind}"] = forms.ChoiceField(
            label=gettext("%(part)s, %(count)d") % {"part": name, "count": component.count},
            choices=[("", _("Not checked")), *ComponentCheck.Condition.choices],
            required=False,
        )
        self.fields[f"note_{component.kind}"] = forms.CharField(
            label=gettext("%(part)s: note") % {"part": name},
            max_length=LONGEST_NOTE,
            required=False,
        )

    def asked(self) -> Iterator[tuple[forms.BoundField, forms.BoundField]]:
        """For each point its two fields."""
        for one in self.points:
            yield self[f"point_{one.code}"], self[f"seen_{one.code}"]

    def rows(self) -> Iterator[tuple[forms.BoundField, forms.BoundField]]:
        """For each kind of part its two fields."""
        for one in self.components:
            yield self[f"condition_{one.kind}"], self[f"note_{one.kind}"]

    @property
    def has_part_faults(self) -> bool:
        """Whether something is wrong with what was said of the parts."""
        return any(field.errors for row in self.rows() for field in row)

    @property
    def has_answers(self) -> bool:
        """Whether points were answered; the condition of parts alone may be said too."""
        return any(self._answered(one) or self._seen(one) for one in self.points)

    def clean(self) -> None:
        given = self.cleaned_data
        for one in self.components:
            if given.get(f"note_{one.kind}") and not given.get(f"condition_{one.kind}"):
                self.add_error(
                    f"condition_{one.kind}", gettext("Choose the condition, or delete the note.")
                )
        if self.has_answers:
            self._want_all_points()
            return
        looked_at = any(given.get(f"condition_{one.kind}") for one in self.components)
        if not looked_at and not given.get("needs_repair") and not self.errors:
            raise forms.ValidationError(
                gettext("Nothing is entered yet. Answer the points, or choose a condition.")
            )

    def _want_all_points(self) -> None:
        for one in self.points:
            name = f"point_{one.code}"
            if name not in self.errors and not self._answered(one):
                self.add_error(name, NOT_ANSWERED)
            elif self._answered(one) == GOOD and self._seen(one):
                self.add_error(
                    name,
                    gettext(
                        "You chose yes and described a fault. Choose how urgent it is, or delete "
                        "the description."
                    ),
                )

    def _answered(self, point: CheckPoint) -> str:
        return self.cleaned_data.get(f"point_{point.code}") or ""

    def _seen(self, point: CheckPoint) -> str:
        return self.cleaned_data.get(f"seen_{point.code}") or ""

    def keep(self, *, by: Person) -> SafetyCheck | None:
        """None where only the condition of parts was said. Raises ``Elsewhere``."""
        given = self.cleaned_data
        with transaction.atomic():
            check = self._record(by) if self.has_answers else None
            for one in self.components:
                if condition := given.get(f"condition_{one.kind}"):
                    one.found_to_be(
                        condition,
                        on=given["day"],
                        by=by,
                        note=given[f"note_{one.kind}"],
                        idempotency_key=uuid.uuid5(given["once"], one.kind),
                    )
            if given["needs_repair"]:
                change_state(
                    self.enclosure,
                    EnclosureState.NEEDS_REPAIR,
                    on=given["day"],
                    by=by,
                    idempotency_key=given["once"],
                )
        return check

    def _record(self, by: Person) -> SafetyCheck:
        given = self.cleaned_data
        answers = [self._answer(one) for one in self.points]
        return record_safety_check(
            self.enclosure, answers, on=given["day"], by=by, idempotency_key=given["once"]
        )

    def _answer(self, point: CheckPoint) -> Answer:
        answer = self._answered(point)
        return Answer(point, None if answer == GOOD else FaultUrgency(answer), self._seen(point))
