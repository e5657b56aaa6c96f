"""Forms about what happens to an animal: a weighing, a quarantine, its leaving."""

import re
import uuid
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from django import forms
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.animals.models.animals import Animal, Weighing, WeighingStrike
from habitats.animals.models.companions import companions_of, with_facts
from habitats.animals.models.quarantines import Quarantine
from habitats.common.days import in_full
from habitats.common.fields import DayField, OnceField, use_today
from habitats.common.idempotency import get_or_make, made_before
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of
from habitats.welfare import companion as pure
from habitats.welfare.life import life_fault
from habitats.welfare.limits import DEFAULTS, WelfareLimits
from habitats.welfare.slips import Slip, likely_slip
from habitats.welfare.values import Species
from habitats.welfare.weights import weight_fault
from habitats.wording import by_number, listed

GRAMS = re.compile(r"([0-9]{1,6}) *g?", re.IGNORECASE)
# Nobody plans further ahead than this for a quarantine; more is a slip of the pen.
MOST_DAYS_AHEAD = 365


class WeighForm(forms.Form):
    """A weight: typed with a thumb, so grams alone are asked for; the day is today."""

    once = OnceField()
    grams = forms.CharField(
        label=gettext_lazy("Grams"),
        max_length=12,
        widget=forms.TextInput(
            attrs={
                "inputmode": "numeric",
                "autocomplete": "off",
                "autofocus": True,
                "class": "scales",
            }
        ),
        error_messages={
            "required": gettext_lazy("Enter what the scales show, in grams, such as 812.")
        },
    )
    on = DayField(label=gettext_lazy("Weighed on"))
    note = forms.CharField(label=gettext_lazy("Note"), max_length=200, required=False)
    # The grams for which "save it as it is" was pressed: another number is asked about again.
    sure = forms.CharField(max_length=12, required=False)

    def __init__(
        self,
        *args: Any,
        animal: Animal,
        today: date,
        limits: WelfareLimits = DEFAULTS,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.animal, self.today, self.limits = animal, today, limits
        self.slip: Slip | None = None
        use_today(self, today)

    def clean_grams(self) -> int:
        text = self.cleaned_data["grams"].strip()
        whole = GRAMS.fullmatch(text)
        if whole is None:
            raise forms.ValidationError(
                _("“%(text)s” is not a weight. Enter whole grams, such as 812.") % {"text": text}
            )
        grams = int(whole[1])
        if fault := weight_fault(Species(self.animal.species), grams):
            raise forms.ValidationError(str(fault))
        return grams

    def clean_on(self) -> date:
        on: date = self.cleaned_data["on"]
        weighing = pure.DatedWeight(on, 0)
        if fault := life_fault(_alive(self.animal, weighings=(weighing,)), self.today):
            raise forms.ValidationError(str(fault))
        return on

    def clean(self) -> dict[str, Any] | None:
        given = super().clean() or self.cleaned_data
        sent = made_before(Weighing.objects.select_related("animal"), given["once"])
        if sent and sent.animal_id != self.animal.pk:
            self._ask_anew()
            raise forms.ValidationError(
                _(
                    "This page was sent before, for %(other)s. Nothing is saved for %(animal)s "
                    "yet: check that the number is that of %(animal)s, and save it again."
                )
                % {"other": sent.animal, "animal": self.animal}
            )
        # Sent twice, it is kept already, and there is nothing more to ask.
        if sent is None and not self.errors and given["sure"] != str(given["grams"]):
            self._ask_about_a_slip(pure.DatedWeight(given["on"], given["grams"]))
        return given

    def _ask_about_a_slip(self, now: pure.DatedWeight) -> None:
        """A question, not a fault: the page shows it with a button that saves all the same."""
        (animal,) = companions_of(with_facts(Animal.objects.filter(pk=self.animal.pk), now.day))
        self.slip = likely_slip(animal, now, self.limits)
        if self.slip:
            self.add_error("grams", str(self.slip.question))

    def _ask_anew(self) -> None:
        """What is shown again is a new page: sent once more, it is kept."""
        self.data = {**self.data, self.add_prefix("once"): str(uuid.uuid4())}

    def append(self, *, by: Person) -> Weighing:
        given = self.cleaned_data
        return self.animal.weigh(
            given["grams"], given["on"], by=by, idempotency_key=given["once"], note=given["note"]
        )


class StrikeForm(forms.Form):
    once = OnceField()
    why = forms.CharField(label=gettext_lazy("Reason"), max_length=200, required=False)

    def append(self, weighing: Weighing, *, by: Person) -> None:
        """Struck out once, it stays so."""
        WeighingStrike.objects.get_or_create(
            weighing=weighing,
            defaults={
                "idempotency_key": self.cleaned_data["once"],
                "why": self.cleaned_data["why"],
                "made_by": by,
            },
        )


class QuarantineForm(forms.Form):
    """Apart from a day on. At intake for so many days at least; for illness until it is over."""

    once = OnceField()
    why = forms.ChoiceField(
        label=gettext_lazy("Reason"), choices=Quarantine.Why.choices, widget=forms.RadioSelect
    )
    since = DayField(label=gettext_lazy("In quarantine since"))
    until = forms.DateField(
        label=gettext_lazy("Ends on"),
        required=False,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
    )
    together = forms.CharField(
        label=gettext_lazy("Quarantine group"),
        max_length=40,
        required=False,
        help_text=gettext_lazy(
            "Enter the same word for animals that may stay together in quarantine."
        ),
    )
    note = forms.CharField(
        label=gettext_lazy("Reason for keeping it alone"), max_length=200, required=False
    )
    for_all = forms.BooleanField(
        label=gettext_lazy("The same for all that share its quarantine"), required=False
    )

    def __init__(
        self, *args: Any, animal: Animal, sharing: Sequence[Animal], today: date, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.animal, self.sharing, self.today = animal, sharing, today
        if sharing:
            names = listed(sorted((one.name for one in sharing), key=by_number))
            self.fields["for_all"].help_text = str(names)
        else:
            del self.fields["for_all"]
        self.limits, species = limits_of(Rescue.ours()), Species(animal.species)
        self.least_days = self.limits.quarantine_days(species)
        use_today(self, today)
        self.fields["until"].help_text = _(
            "If you leave this empty, a new animal stays in quarantine for %(days)d days "
            "(%(advised)d are advised). An ill animal stays until a vet clears it."
        ) % {
            "days": self.least_days,
            "advised": self.limits.quarantine_advised_days(species),
        }

    def clean(self) -> dict[str, Any] | None:
        given = super().clean() or self.cleaned_data
        since, until = given.get("since"), given.get("until")
        if since is None or until is None:
            return given
        least = since + timedelta(days=self.least_days)
        if until < since:
            self.add_error(
                "until", _("The quarantine would end before it begins. Enter a later day.")
            )
        elif until > self.today + timedelta(days=MOST_DAYS_AHEAD):
            self.add_error("until", _("That is more than a year ahead. Enter an earlier day."))
        elif given.get("why") == Quarantine.Why.INTAKE and until < least:
            self.add_error(
                "until",
                _(
                    "The quarantine of a new animal lasts at least %(days)d days. Enter %(least)s "
                    "or a later day."
                )
                % {"days": self.least_days, "least": in_full(least)},
            )
        return given

    def about(self) -> list[Animal]:
        """Whom it is recorded of."""
        others = self.sharing if self.cleaned_data.get("for_all") else ()
        return [self.animal, *others]

    @transaction.atomic
    def append(self, *, by: Person) -> None:
        given = self.cleaned_data
        facts = {name: given[name] for name in ("why", "since", "until", "together")}
        for one in self.about():
            is_itself = one.pk == self.animal.pk
            get_or_make(
                Quarantine.objects,
                given["once"] if is_itself else uuid.uuid5(given["once"], one.code),
                animal=one,
                made_by=by,
                note=given["note"] if is_itself else "",
                **facts,
            )


class LeavingForm(forms.Form):
    """The animal leaves the rescue's care."""

    on = DayField(label=gettext_lazy("Day"))
    why = forms.ChoiceField(label=gettext_lazy("Reason"), choices=Animal.Leaving.chosen)

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        use_today(self, today)


def _alive(animal: Animal, **facts: Any) -> pure.Companion:
    """The animal's birth with one thing more, for the pure rules to judge."""
    born = pure.BirthSpan.about(animal.born, animal.born_margin_days) if animal.born else None
    return pure.Companion(animal.code, animal.name, Species(animal.species), born=born, **facts)
