"""Forms of entries of the health log, and of their corrections."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.animals.models.animals import Animal
from habitats.common import days
from habitats.common.fields import DayField, OnceField, choose_among, use_today
from habitats.common.idempotency import get_or_make
from habitats.health.forms.fields import FutureDayField
from habitats.health.models.entries import (
    LONGEST_WORDS,
    MOST_FOOD_G,
    REPORTS,
    EntryKind,
    HealthEntry,
    HealthEntryQuerySet,
)
from habitats.people.models.people import Person

NEEDS_WORDS = (EntryKind.VISIT, EntryKind.FINDING, EntryKind.VACCINATION)
CHOSEN = [(one.value, one.label) for one in EntryKind if one not in REPORTS]
WRITTEN = ("kind", "on", "words", "vet", "grams", "again_on")


class SettledField(forms.ModelChoiceField):
    """An entry that names a day on which the animal is seen again."""

    def label_from_instance(self, obj: Any) -> str:
        values = {"kind": obj.kind_words, "day": days.in_short(obj.again_on)}
        if obj.is_report:
            return _("%(kind)s, reported on %(day)s") % values
        return _("%(kind)s, due %(day)s") % values


class EntryForm(forms.Form):
    once = OnceField()
    kind = forms.ChoiceField(label=gettext_lazy("Entry"), choices=CHOSEN, initial=EntryKind.VISIT)
    on = DayField(label=gettext_lazy("Day"))
    words = forms.CharField(
        label=gettext_lazy("What was found or done"),
        max_length=LONGEST_WORDS,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=gettext_lazy(
            "After a vet visit, in the vet's words. Of a vaccination: the vaccine and its batch."
        ),
    )
    vet = forms.CharField(label=gettext_lazy("Vet or practice"), max_length=80, required=False)
    grams = forms.IntegerField(
        label=gettext_lazy("Food eaten, in grams"),
        min_value=0,
        max_value=MOST_FOOD_G,
        required=False,
        help_text=gettext_lazy("Only where the vet asked for it to be weighed."),
    )
    again_on = FutureDayField(
        label=gettext_lazy("Re-check or next vaccination, as your vet said"),
        help_text=gettext_lazy("It comes up on Today from that day. Empty: the vet named no day."),
    )
    settles = SettledField(
        label=gettext_lazy("This was the re-check or vaccination due"),
        queryset=HealthEntry.objects.none(),
        required=False,
        empty_label=gettext_lazy("None of these"),
    )

    def __init__(self, *args: Any, animal: Animal, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.animal = animal
        use_today(self, today)
        open_ones = self._to_settle()
        choose_among(self, "settles", open_ones)
        if not open_ones:
            del self.fields["settles"]

    def _to_settle(self) -> HealthEntryQuerySet:
        found: HealthEntryQuerySet = self.animal.health_entries.to_follow()
        return found.order_by("again_on", "pk")

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        kind, again = given.get("kind"), given.get("again_on")
        if kind in NEEDS_WORDS and not given.get("words") and "words" not in self.errors:
            self.add_error("words", _("Write what was found or done."))
        if kind == EntryKind.FOOD and given.get("grams") is None and "grams" not in self.errors:
            self.add_error("grams", _("Enter the grams eaten. 0 is nothing: call a vet at once."))
        if again and given.get("on") and again < given["on"]:
            self.add_error("again_on", _("That is before this entry. Enter a later day."))
        return given

    def append(self, *, by: Person) -> HealthEntry:
        return self._append(by=by, settles=self._settled())

    def _settled(self) -> HealthEntry | None:
        settled: HealthEntry | None = self.cleaned_data.get("settles")
        return settled.first or settled if settled else None

    def _append(self, *, by: Person, **more: object) -> HealthEntry:
        given = self.cleaned_data
        return get_or_make(
            HealthEntry.objects,
            given["once"],
            animal=self.animal,
            made_by=by,
            **{name: given[name] for name in WRITTEN if name in given},
            **more,
        )


class CorrectionForm(EntryForm):
    """An entry in the place of another, which stays with what was wrong with it."""

    is_mistake = forms.BooleanField(
        label=gettext_lazy("The whole entry was a mistake"), required=False
    )
    why = forms.CharField(label=gettext_lazy("What was wrong"), max_length=200)

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, entry: HealthEntry, today: date
    ) -> None:
        written = {name: getattr(entry, name) for name in WRITTEN}
        super().__init__(data, animal=entry.animal, today=today, initial=written)
        self.entry = entry
        self.fields.pop("settles", None)
        if entry.is_report:
            kind = self.fields["kind"]
            assert isinstance(kind, forms.ChoiceField)
            kind.choices = [(one.value, one.label) for one in REPORTS]
            del self.fields["vet"], self.fields["grams"], self.fields["again_on"]

    def append(self, *, by: Person) -> HealthEntry:
        given = self.cleaned_data
        return self._append(
            by=by,
            settles=self.entry.settles,
            corrects=self.entry,
            first_id=self.entry.chain,
            why=given["why"],
            is_mistake=given["is_mistake"],
            **({"again_on": given["on"]} if self.entry.is_report else {}),
        )


class AnimalReportForm(forms.Form):
    """Who looks after an animal tells what a coordinator has to know at once."""

    once = OnceField()
    kind = forms.ChoiceField(label=gettext_lazy("What happened"), widget=forms.RadioSelect)
    on = DayField(label=gettext_lazy("Day"))
    words = forms.CharField(
        label=gettext_lazy("What you saw"),
        max_length=LONGEST_WORDS,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, animal: Animal, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.animal = animal
        kinds = [one for one in REPORTS if one != EntryKind.BORN or animal.sex != Animal.Sex.MALE]
        field = self.fields["kind"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [(one.value, one.label) for one in kinds]
        use_today(self, today)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if given.get("kind") == EntryKind.ILL and not given.get("words", "").strip():
            self.add_error("words", _("Write what you saw."))
        return given

    def append(self, *, by: Person) -> HealthEntry:
        given = self.cleaned_data
        return get_or_make(
            HealthEntry.objects,
            given["once"],
            animal=self.animal,
            made_by=by,
            kind=given["kind"],
            on=given["on"],
            words=given["words"],
            again_on=given["on"],
        )
