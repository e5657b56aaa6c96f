"""The form of an intake: what is common to all on top, and a few fields for each animal."""

import re
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.datastructures import MultiValueDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.animals.forms.animals import SPECIES
from habitats.animals.forms.arrivals import ArrivalForm
from habitats.animals.forms.groups import CompanyForm, found_enclosure
from habitats.animals.forms.identity import ORIGINS
from habitats.animals.models.animals import LONGEST_ORIGIN
from habitats.animals.models.intake import MOST, Arriving, Intake, SharedDays, note_of
from habitats.animals.models.objections import Brought, brought_by
from habitats.common.fields import DayField
from habitats.rescue.models.rescue import Rescue
from habitats.welfare.companion import Companion, MaleContact, QuarantineSpan
from habitats.welfare.life import life_faults
from habitats.welfare.values import Species

ROWS_AT_FIRST = 3
ROW = re.compile(r"a([0-9]{1,2})-name", re.ASCII)
NO_ENCLOSURE = ("", gettext_lazy("No enclosure yet"))
# Whether an enclosure, by its code, has the space on a day; None where nothing judges it.
Fits = Callable[[str, Sequence[Companion], date], bool | None]


class PlaceChoice(NamedTuple):
    """An enclosure that is free, by its code; ``words`` tell where it is and for how many."""

    code: str
    words: str
    species: Species


class IntakeForm(CompanyForm):
    """``rows`` are the animals; those left empty are nobody.

    What speaks against those who share an enclosure is asked as for every new group.
    """

    NOT_ALLOWED = gettext_lazy(
        "They may not share that enclosure, for the reasons above. Choose another one for some of "
        "them, or none yet."
    )
    ASKS_REASON = gettext_lazy(
        "Enter a reason for the override, or choose another enclosure for some of them."
    )

    species = forms.ChoiceField(
        label=gettext_lazy("Species"), choices=SPECIES, widget=forms.RadioSelect
    )
    origin = forms.ChoiceField(
        label=gettext_lazy("How they came to us"), choices=ORIGINS, required=False
    )
    came_from = forms.CharField(
        label=gettext_lazy("Where from"), max_length=LONGEST_ORIGIN, required=False
    )
    found_by = forms.CharField(
        label=gettext_lazy("Found or brought by"),
        max_length=LONGEST_ORIGIN,
        required=False,
        help_text=gettext_lazy("Only coordinators see where they came from, and from whom."),
    )
    is_apart = forms.BooleanField(
        label=gettext_lazy("In quarantine from that day on"), required=False, initial=True
    )
    place = forms.ChoiceField(
        label=gettext_lazy("Enclosure for all"),
        required=False,
        error_messages={
            "invalid_choice": gettext_lazy("It is no longer free. Choose another enclosure.")
        },
    )
    together = forms.BooleanField(
        label=gettext_lazy("They lived together before they came"), required=False
    )
    separated_on = DayField(
        label=gettext_lazy("Males and females separated on"),
        required=False,
        help_text=gettext_lazy(
            "If they lived together: until that day she may have conceived. Empty if they are "
            "still together. After the day they came: until then they are recorded as one group, "
            "in the enclosure for all."
        ),
    )
    small_ok = forms.BooleanField(
        label=gettext_lazy("I have seen that the space is too small; move them anyway"),
        required=False,
    )

    field_order = ("once", "since", "species")

    def __init__(
        self,
        data: Mapping[str, Any] | None = None,
        files: MultiValueDict[str, UploadedFile] | None = None,
        *,
        places: Sequence[PlaceChoice],
        fits: Fits,
        today: date,
        rows: int = ROWS_AT_FIRST,
        **options: Any,
    ) -> None:
        self.places, self.fits = places, fits
        typed = data if data is not None else options.get("initial") or {}
        self.asked_species = _species(typed.get("species", ""))
        self.rows = [
            ArrivalForm(
                data,
                files,
                number=number,
                species=self.asked_species,
                places=self._choices(),
                today=today,
                initial=_of_row(typed, number) if data is None else None,
            )
            for number in range(1, max(rows_in(typed), 0 if data else rows) + 1)
        ]
        self.too_small = False
        super().__init__(data, files, judge=self._judge, today=today, **options)
        self.fields["since"].label = gettext_lazy("Came to us on")
        self.fields["separated_on"].initial = today
        field = self.fields["place"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [NO_ENCLOSURE, *self._choices()]

    def _choices(self) -> list[Any]:
        """The free enclosures, under their species."""
        under: dict[str, list[tuple[str, str]]] = defaultdict(list)
        for one in self.places:
            under[str(dict(SPECIES)[one.species.value])].append((one.code, one.words))
        return list(under.items())

    @property
    def somebody(self) -> list[ArrivalForm]:
        return [row for row in self.rows if row.is_somebody]

    def is_valid(self) -> bool:
        # The form first: it adds faults to its rows.
        return super().is_valid() and all(row.is_valid() for row in self.rows)

    def clean(self) -> dict[str, Any] | None:
        given = self.cleaned_data
        if not self.somebody:
            raise forms.ValidationError(_("Enter at least one animal: its name is enough."))
        self._refuse_doubles()
        self._refuse_other_species(given)
        if any(row.errors for row in self.rows):
            return given
        self._refuse_what_cannot_be(given)
        self._refuse_to_be_in_two_places(given)
        self._ask_about_space(given)
        return super().clean()

    def _refuse_doubles(self) -> None:
        for field in ("own_id", "chip"):
            seen: dict[str, ArrivalForm] = {}
            for row in self.somebody:
                number = row.cleaned_data.get(field) if row.is_valid() else None
                first = seen.setdefault(number, row) if number else row
                if first is not row:
                    sentence = _("%(animal)s has the same number above. Correct one of the two.")
                    row.add_error(field, sentence % {"animal": first.cleaned_data["name"]})

    def _refuse_other_species(self, given: Mapping[str, Any]) -> None:
        built_for = {one.code: one.species for one in self.places}
        sentence = _("It was built for another species. Choose another enclosure.")
        if given.get("place") and built_for[given["place"]] != self.asked_species:
            self.add_error("place", sentence)
        for row in self.somebody:
            place = row.cleaned_data.get("place")
            if place and built_for[place] != self.asked_species:
                row.add_error("place", sentence)

    def _refuse_what_cannot_be(self, given: Mapping[str, Any]) -> None:
        since = given.get("since", self.today)
        for row in self.somebody:
            companion = row.companion(None, None)
            fault = next(iter(life_faults(companion, self.today)), None)
            if fault:
                row.add_error("born", str(fault.sentence))
            elif companion.born and since < companion.born.earliest:
                row.add_error("born", _("That is after it came. Correct one of the two days."))

    def _refuse_to_be_in_two_places(self, given: Mapping[str, Any]) -> None:
        still = self._has_contact() and "separated_on" in given and not given["separated_on"]
        if still and len({self._place_of(row) for row in self.somebody}) > 1:
            self.add_error(
                "separated_on",
                _(
                    "They have different enclosures, so they are not together. Enter the day on "
                    "which they were separated."
                ),
            )

    def _ask_about_space(self, given: Mapping[str, Any]) -> None:
        for code, companions in self._housed(given.get("since", self.today)).items():
            self.too_small |= self.fits(code, companions, self.today) is False
        if self.too_small and not given.get("small_ok"):
            self.add_error(
                "small_ok",
                _(
                    "The enclosure is too small by your space standard. Tick that you have seen "
                    "it, or choose another enclosure for some of them."
                ),
            )

    def _judge(self, day: date) -> Brought:
        """What speaks against those who would share an enclosure, of all enclosures."""
        rescue = Rescue.ours()
        housed = self._housed(day).values() if self.is_bound else ()
        found = [brought_by((), companions, day, rescue) for companions in housed]
        return Brought(
            *(tuple(one for some in part for one in some) for part in zip(*found, strict=True))
        )

    def _housed(self, since: date) -> dict[str, list[Companion]]:
        found: dict[str, list[Companion]] = defaultdict(list)
        for row in self.somebody:
            if row.is_valid() and (code := self._place_of(row)):
                apart = QuarantineSpan(since, note=note_of(len(self.somebody)), together=code)
                quarantine = apart if self._ticked("is_apart") else None
                found[code].append(row.companion(self._contact(row), quarantine))
        return found

    def companions(self) -> list[Companion]:
        """All that move in somewhere, for a page to name them."""
        return [one for some in self._housed(self.today).values() for one in some]

    def _place_of(self, row: ArrivalForm) -> str:
        code = row.cleaned_data["place"] or self.data.get("place", "")
        return code if code in {one.code for one in self.places} else ""

    def _contact(self, row: ArrivalForm) -> MaleContact | None:
        """With a male whom she lived with before they came."""
        others = [one for one in self.somebody if one is not row and one.is_valid()]
        if not self._ticked("together") or not any(one.may_sire for one in others):
            return None
        return MaleContact(None, self._separated()) if row.may_bear else None

    def _has_contact(self) -> bool:
        return any(row.is_valid() and self._contact(row) for row in self.somebody)

    def _shared(self) -> SharedDays | None:
        """Males and females were together here, after they came."""
        since, until = self.cleaned_data["since"], self.cleaned_data["separated_on"]
        if not self._has_contact() or (until and until <= since):
            return None
        code = self.cleaned_data["place"]
        return SharedDays(until, found_enclosure(code) if code else None)

    def _separated(self) -> date | None:
        field = self.fields["separated_on"]
        try:
            day: date | None = field.clean(self.data.get("separated_on", ""))
        except forms.ValidationError:
            return None
        return day

    def _ticked(self, name: str) -> bool:
        return name in self.data

    def intake(self, photos: Mapping[str, bytes | None]) -> Intake:
        """What is to be written down; ``photos`` by the prefix of their row."""
        given = self.cleaned_data
        return Intake(
            on=given["since"],
            weighed_on=self.today,
            arriving=[self._arriving(row, photos.get(str(row.prefix))) for row in self.somebody],
            is_apart=given["is_apart"],
            together=given["together"],
            reason=given["reason"],
            confirmed=given["confirmed"],
            shared=self._shared(),
        )

    def _arriving(self, row: ArrivalForm, photo: bytes | None) -> Arriving:
        given, contact = self.cleaned_data, self._contact(row)
        facts = {
            **row.facts(),
            **{name: given[name] for name in ("species", "origin", "came_from", "found_by")},
            "may_be_pregnant": contact is not None,
            "with_male_last": contact.last if contact else None,
        }
        code = self._place_of(row)
        enclosure = found_enclosure(code) if code else None
        return Arriving(facts, row.cleaned_data["grams"], photo, enclosure)


def _species(typed: object) -> Species | None:
    return next((one for one in Species if one.value == typed), None)


def rows_in(typed: Mapping[str, Any]) -> int:
    """Up to the last animal for which there are fields."""
    numbers = (int(found[1]) for name in typed if (found := ROW.fullmatch(name)))
    return min(max(numbers, default=0), MOST)


def _of_row(typed: Mapping[str, Any], number: int) -> dict[str, Any]:
    prefix = f"a{number}-"
    return {
        name.removeprefix(prefix): value for name, value in typed.items() if name.startswith(prefix)
    }
