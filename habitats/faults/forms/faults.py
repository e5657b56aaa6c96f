"""Forms about faults: report one, find some, say that one is mended."""

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import Any

from django import forms
from django.db import transaction
from django.utils.text import capfirst
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from habitats.common.fields import DayField, OnceField, PhotoField, use_today
from habitats.enclosures.models.enclosures import Enclosure
from habitats.faults.models.faults import Fault, FaultMended, FaultQuerySet, report
from habitats.faults.models.mended_news import see_mended
from habitats.people.models.people import Person
from habitats.structure.structure import Structure
from habitats.upkeep.kinds import FaultKind, kinds_for
from habitats.upkeep.places import FloorPart, FloorPoint, is_at, parts_of
from habitats.upkeep.urgency import FaultUrgency
from habitats.wording import message

LONGEST_NOTE = 300
NOWHERE = _("Everywhere, or not sure")
URGENCIES = [
    (one.value, message("%(urgency)s: %(meaning)s", urgency=one.words, meaning=one.meaning))
    for one in FaultUrgency
]


class FaultForm(forms.Form):
    """What somebody saw. A place is tapped on the drawing, or chosen in words."""

    once = OnceField()
    kind = forms.ChoiceField(label=_("Fault"))
    urgency = forms.ChoiceField(
        label=_("Urgency"),
        choices=URGENCIES,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose how urgent it is; in doubt, “Unsafe now”.")},
    )
    part = forms.ChoiceField(label=pgettext_lazy("on an enclosure", "Place"), required=False)
    z = forms.IntegerField(required=False, widget=forms.HiddenInput)
    x_mm = forms.IntegerField(required=False, widget=forms.HiddenInput)
    y_mm = forms.IntegerField(required=False, widget=forms.HiddenInput)
    again = forms.IntegerField(
        required=False, min_value=1, max_value=10**18 - 1, widget=forms.HiddenInput
    )
    photo = PhotoField(required=False)
    note = forms.CharField(label=_("Description"), max_length=LONGEST_NOTE, required=False)
    day = DayField(label=_("Seen on"))

    def __init__(
        self,
        *args: Any,
        enclosure: Enclosure,
        structure: Structure,
        today: date,
        again: Fault | None = None,
        **options: Any,
    ) -> None:
        """``again``: a fault that was marked as mended and is not; None for a new one."""
        super().__init__(*args, **{"initial": _as_before(again, structure), **options})
        self.enclosure, self.structure = enclosure, structure
        self.parts = {one.key: one for one in parts_of(structure)}
        use_today(self, today)
        kinds = [(one.value, one.words) for one in kinds_for(structure)]
        self._offer("kind", [("", gettext("Choose a fault")), *kinds], _NO_KIND)
        self._offer("part", list(_part_choices(self.parts.values())), _NO_PART)
        self.fields["kind"].error_messages["required"] = gettext("Choose a fault from the list.")

    def _offer(self, name: str, choices: list[Any], wrong: Any) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices
        field.error_messages["invalid_choice"] = wrong

    def clean(self) -> None:
        given = self.cleaned_data
        if given.get("kind") == FaultKind.OTHER and not given.get("note"):
            self.add_error("note", gettext("Describe in a few words what is wrong."))
        tapped = self._tapped()
        if tapped and not is_at(self.structure, tapped):
            self.add_error(
                "part",
                gettext(
                    "The place is outside the floor. Tap the drawing again, or choose the place "
                    "from the list."
                ),
            )

    def _tapped(self) -> FloorPoint | None:
        z, x_mm, y_mm = (self.cleaned_data.get(name) for name in ("z", "x_mm", "y_mm"))
        return None if z is None or x_mm is None or y_mm is None else FloorPoint(z, x_mm, y_mm)

    def where(self) -> FloorPoint | None:
        """The place that was tapped, else the middle of the part that was chosen."""
        part = self.parts.get(self.cleaned_data["part"])
        return self._tapped() or (part.where if part else None)

    @transaction.atomic
    def report(self, *, by: Person) -> Fault:
        """Raises ``Elsewhere``. Who says that a fault was not mended has read the news of it."""
        given = self.cleaned_data
        said = FaultMended.objects.filter(fault__enclosure=self.enclosure, fault=given["again"])
        if before := said.first():
            see_mended(before, by=by)
        return report(
            self.enclosure,
            FaultKind(given["kind"]),
            FaultUrgency(given["urgency"]),
            on=given["day"],
            by=by,
            note=given["note"],
            where=self.where(),
            photo=given["photo"],
            idempotency_key=given["once"],
        )


def _as_before(again: Fault | None, structure: Structure) -> dict[str, Any]:
    """What the report of a fault begins with that was not mended after all."""
    if again is None:
        return {}
    still = gettext("Not mended: %(note)s") % {"note": again.note} if again.note else ""
    said = {"kind": again.kind, "urgency": again.urgency, "again": again.pk}
    where = again.where
    is_there = where is not None and is_at(structure, where)
    return {
        **said,
        "note": (still or gettext("Marked as mended, but it is not."))[:LONGEST_NOTE],
        **(where._asdict() if where and is_there else {}),
    }


_NO_KIND = _("“%(value)s” is not in the list of faults. Choose one that is.")
_NO_PART = _("“%(value)s” is not a part of this enclosure. Choose one from the list.")


def _part_choices(parts: Any) -> Iterator[tuple[str, Any]]:
    """By level, where a level has several parts."""
    yield "", NOWHERE
    for level, group in groupby(parts, key=_level):
        found = list(group)
        if len(found) == 1:
            yield found[0].key, capfirst(str(found[0].words))
        else:
            yield capfirst(str(level)), [(one.key, capfirst(str(one.words))) for one in found]


def _level(part: FloorPart) -> str:
    return part.level


class FindFaultsForm(forms.Form):
    """Which faults to list; what makes no sense finds those that are open."""

    urgency = forms.ChoiceField(
        label=_("Urgency"),
        choices=[("", _("Any")), *[(one.value, one.words) for one in FaultUrgency]],
        required=False,
    )
    mended = forms.BooleanField(label=_("Mended faults"), required=False)

    def found(self, faults: FaultQuerySet) -> FaultQuerySet:
        given = self.cleaned_data if self.is_valid() else {}
        if urgency := given.get("urgency"):
            faults = faults.filter(urgency=urgency)
        if given.get("mended"):
            return faults.filter(mended__isnull=False).order_by("-mended__on", "-pk")
        return faults.open().urgent_first()


class MendForm(forms.Form):
    once = OnceField()
    day = DayField(label=_("Mended on"))
    note = forms.CharField(
        label=_("Work done"),
        max_length=LONGEST_NOTE,
        error_messages={"required": _("Describe in a few words what was done.")},
    )

    def __init__(self, *args: Any, fault: Fault, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fault = fault
        use_today(self, today)

    def mend(self, *, by: Person) -> None:
        """Raises ``Elsewhere``."""
        given = self.cleaned_data
        self.fault.mend(given["day"], by=by, note=given["note"], idempotency_key=given["once"])
