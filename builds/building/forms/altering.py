"""Forms to alter and to retire an enclosure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.building.forms.builds import PeopleField, PlannedDayField
from builds.building.models.retiring import CountedIn, KeptOffcut, PartBack
from builds.common.fields import CountField, asked_once
from builds.making.altering.retire import Offcut
from builds.making.part_names import part_name
from builds.store.forms.places import PlaceField
from builds.store.models.sheets import SheetKind, usual_kinds
from habitats.common.fields import DayField, OnceField, use_today
from habitats.enclosures.forms import DesignField
from habitats.enclosures.models.enclosures import WorkTimes
from habitats.health.forms.fields import A_LITTLE, TimeOfDayField
from habitats.measures import lengths_in, size

ALONG_LONG, ALONG_SHORT = "long", "short"


class TargetForm(forms.Form):
    """Into which design; asked for by address, so that it can be shown to others."""

    design = DesignField(label=_("New design"))


class PlanChangeForm(forms.Form):
    """When it is altered, and by whom."""

    once = OnceField()
    planned_on = PlannedDayField(label=_("Planned for"))
    people = PeopleField(label=_("Builders"))

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        day = self.fields["planned_on"]
        assert isinstance(day, PlannedDayField)
        day.today = today


class PlanAlterationForm(TargetForm, PlanChangeForm):
    """The same for a design that was chosen."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["design"].widget = forms.HiddenInput()


@dataclass(frozen=True, slots=True)
class PartFields:
    """A part that comes off, and how many of it were counted into which place.

    Both are None where the store has no item for it.
    """

    part: PartBack
    count: forms.BoundField | None = None
    place: forms.BoundField | None = None


class RetireForm(forms.Form):
    """What was counted of an enclosure that was taken down, where it lies, what is kept of trays.

    There are no fields for parts without an item, and none for offcuts where there are none or
    where the store knows no kind of sheet.
    """

    once = OnceField()
    on = DayField(label=_("Taken down on"))
    begun = TimeOfDayField(label=_("Started at"), required=False)
    ended = TimeOfDayField(
        label=_("Finished at"),
        required=False,
        help_text=_("With both times, how long it took is shown beside the estimate."),
    )
    keep = forms.TypedMultipleChoiceField(
        label=_("Offcuts to keep"),
        required=False,
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("The floors of the trays, cut out. Keep what is clean and flat."),
    )
    kind = forms.ModelChoiceField(
        SheetKind.objects.none(), label=_("Sheet"), required=False, empty_label=None
    )
    flutes = forms.ChoiceField(
        label=_("Flutes run along"),
        choices=[(ALONG_LONG, _("the long side")), (ALONG_SHORT, _("the short side"))],
        required=False,
        help_text=_("Look at an edge: the flutes show at the ends they run to."),
    )
    offcut_place = PlaceField(label=_("Place of the offcuts"), required=False)

    def __init__(
        self,
        data: Any = None,
        *,
        parts: Sequence[PartBack],
        offcuts: Sequence[Offcut],
        today: date,
        units: str,
    ) -> None:
        super().__init__(data)
        use_today(self, today)
        self.today, self.parts, self.offcuts = today, parts, offcuts
        places = asked_once(PlaceField(required=False, empty_label=gettext("None: not counted in")))
        self.has_places = len(places) > 1  # the first is “None”
        oldest = min((value.value for value, _label in places[1:]), default=None)
        for number, part in enumerate(parts):
            if part.item:
                self._ask_for(number, part, places, oldest)
        self.has_sheets = self._ask_for_offcuts(units)

    def _ask_for(
        self, number: int, part: PartBack, places: list[tuple[Any, str]], oldest: int | None
    ) -> None:
        count = CountField(
            label=_("Counted"), bounds=(0, part.count), required=False, initial=part.count
        )
        where = PlaceField(label=_("Place"), required=False, initial=part.lies_in or oldest)
        where.choices = places  # type: ignore[assignment]
        name = {"part": capfirst(str(part.name))}
        count.widget.attrs["aria-label"] = gettext("%(part)s: counted") % name
        where.widget.attrs["aria-label"] = gettext("%(part)s: place") % name
        self.fields[f"count_{number}"], self.fields[f"place_{number}"] = count, where

    def _ask_for_offcuts(self, units: str) -> bool:
        """Whether the store knows a kind of sheet that offcuts can be of."""
        kinds = SheetKind.objects.live().with_on_hand().by_size()
        usual = usual_kinds(kinds)
        if not (self.offcuts and usual):
            for name in ("keep", "kind", "flutes", "offcut_place"):
                del self.fields[name]
            return bool(usual)
        keep, kind = self.fields["keep"], self.fields["kind"]
        assert isinstance(keep, forms.TypedMultipleChoiceField)
        assert isinstance(kind, forms.ModelChoiceField)
        keep.choices = [
            (number, offcut_words(one, units)) for number, one in enumerate(self.offcuts)
        ]
        kind.queryset, kind.initial = kinds, usual[0].pk
        return True

    def rows(self) -> list[PartFields]:
        return [
            PartFields(part, self[f"count_{number}"], self[f"place_{number}"])
            if part.item
            else PartFields(part)
            for number, part in enumerate(self.parts)
        ]

    def clean(self) -> None:
        if self.cleaned_data.get("keep") and not self.cleaned_data.get("kind"):
            self.add_error("kind", gettext("Choose the kind of sheet that the offcuts are from."))
        fault = self._fault_of_times()
        if fault:
            self.add_error("ended", fault)

    def _fault_of_times(self) -> str:
        begun, ended = self._moment("begun"), self._moment("ended")
        if begun and not ended and "ended" not in self.errors:
            return gettext("You gave when it started. Enter when it was finished, too.")
        if begun and ended and ended <= begun:
            return gettext("Enter a time after the start.")
        if ended and ended > self._now() + A_LITTLE:
            return gettext("That is in the future. Enter a time that has come.")
        return ""

    def _now(self) -> datetime:
        return timezone.make_aware(datetime.combine(self.today, timezone.localtime().time()))

    def _moment(self, name: str) -> datetime | None:
        """The time of day on the day that it was taken down, where the rescue is."""
        on, at = self.cleaned_data.get("on"), self.cleaned_data.get(name)
        return timezone.make_aware(datetime.combine(on, at)) if on and at else None

    def work(self, table_minutes: int) -> WorkTimes | None:
        """When it was taken down; None if only the day is told."""
        begun, ended = self._moment("begun"), self._moment("ended")
        return WorkTimes(begun, ended, table_minutes if begun else None) if ended else None

    def counted(self) -> list[CountedIn]:
        """What goes into the store; what was put nowhere does not."""
        given = self.cleaned_data
        return [
            CountedIn(part.what, part.item, given[f"count_{number}"], given[f"place_{number}"])
            for number, part in enumerate(self.parts)
            if part.item and given[f"count_{number}"] and given[f"place_{number}"]
        ]

    def kept(self) -> list[KeptOffcut]:
        given = self.cleaned_data
        return [self._kept(number) for number in given.get("keep", ())]

    def _kept(self, number: int) -> KeptOffcut:
        given, one = self.cleaned_data, self.offcuts[number]
        short, long = sorted((one.width_mm, one.height_mm))
        width, height = (long, short) if given["flutes"] == ALONG_SHORT else (short, long)
        return KeptOffcut(number, given["kind"], width, height, given["offcut_place"])


def size_of(offcut: Offcut, units: str) -> str:
    return size((offcut.width_mm, offcut.height_mm), lengths_in(units))


def offcut_words(offcut: Offcut, units: str) -> str:
    return gettext("%(size)s, from: %(part)s") % {
        "size": size_of(offcut, units),
        "part": part_name(offcut.out_of),
    }
