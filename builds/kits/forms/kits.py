"""Forms of a kit: packing it, its linens, its links, handing it over, asking how it goes."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django import forms
from django.db import models
from django.http import QueryDict
from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from builds.kits.models.follow_ups import (
    LONGEST_NOTE,
    MOST_DAYS_AHEAD,
    SUGGESTED,
    suggested_days,
)
from builds.kits.models.handing_over import Receipt
from builds.kits.models.kit_links import USUAL_DAYS, expiry_fault
from builds.kits.models.kits import (
    LEAST_BOX_G,
    LONGEST_WHAT,
    MOST_BOX_G,
    MOST_PACKED,
    Kit,
)
from builds.kits.models.receipts import LONGEST_RECEIVER, LONGEST_SIGNATURE
from builds.packing import ShortLine
from builds.plans.models.builds import Build
from habitats.common.fields import DayField, OnceField, use_today
from habitats.common.languages import choices_or_the_browsers
from habitats.enclosures.forms import DoubtfulForm
from habitats.linens.models.linens import LinenKind
from habitats.people.models.people import Person

TYPED, ON_PAPER = "typed", "paper"
SIGNING = [(TYPED, _("Name typed here")), (ON_PAPER, _("On the printed receipt"))]
LONGEST_NAME_SHOWN = 3


class BoxLineForm(forms.Form):
    """So many of a line are in the box."""

    once = OnceField()
    what = forms.CharField(max_length=LONGEST_WHAT, widget=forms.HiddenInput)
    count = forms.IntegerField(
        label=_("In the box"),
        min_value=0,
        max_value=MOST_PACKED,
        error_messages={
            "required": _("No count given. Give the number in the box."),
            "invalid": _("That is not a whole number. Count what is in the box."),
            "min_value": _("Give 0 or more."),
        },
    )


class BoxWeightForm(forms.Form):
    """What all boxes of the kit weigh together."""

    once = OnceField()
    grams = forms.IntegerField(
        label=_("Mass of all boxes, in grams"),
        min_value=LEAST_BOX_G,
        max_value=MOST_BOX_G,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={
            "required": _("No mass given. Read it off the scale, in grams."),
            "invalid": _("That is not a whole number of grams."),
        },
    )


class KitLinensForm(forms.ModelForm):
    """How many sets of linens go along, and of which goods."""

    class Meta:
        model = Kit
        fields = ("linen_sets", "liner_kind", "towel_kind")
        labels = {
            "linen_sets": _("Sets of linens"),
            "liner_kind": _("Material of liners"),
            "towel_kind": _("Material of towels"),
        }
        help_texts = {
            "linen_sets": _(
                "Two, so that one is in use while the other is washed (our own suggestion)."
            ),
            "liner_kind": _("The papers use its shrinkage and mass. Empty: not known yet."),
        }
        error_messages = {
            "linen_sets": {
                "min_value": _("Give 1 set or more."),
                "max_value": _("Give %(limit_value)s sets or fewer."),
            }
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        for name in ("liner_kind", "towel_kind"):
            field = self.fields[name]
            assert isinstance(field, forms.ModelChoiceField)
            chosen = models.Q(pk=getattr(self.instance, f"{name}_id"))
            in_use = models.Q(put_away_on__isnull=True, sort=name.partition("_")[0])
            field.queryset = LinenKind.objects.filter(in_use | chosen).order_by("name")
            field.empty_label = gettext("not known yet")


class AheadDayField(forms.DateField):
    """A day to ask on; empty: nobody asks. ``first`` is the earliest, given by the form."""

    def __init__(self, **options: Any) -> None:
        widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
        super().__init__(required=False, widget=widget, **options)
        self.first: date | None = None

    def clean(self, value: Any) -> date | None:
        day: date | None = super().clean(value)
        if day is None or self.first is None:
            return day
        last = self.first + timedelta(days=MOST_DAYS_AHEAD)
        if self.first <= day <= last:
            return day
        raise forms.ValidationError(
            gettext("%(day)s given; give a day from %(first)s to %(last)s, or none.")
            % {
                "day": date_format(day, gettext("j F Y")),
                "first": date_format(self.first, gettext("j F Y")),
                "last": date_format(last, gettext("j F Y")),
            }
        )


def _ask_field(number: int) -> AheadDayField:
    one = SUGGESTED[number - 1]
    return AheadDayField(label=one.name, help_text=one.about)


class AskingForm(forms.Form):
    """The days on which somebody asks how it goes."""

    ask_1, ask_2, ask_3 = (_ask_field(number) for number in (1, 2, 3))

    def begin_on(self, first: date) -> None:
        """No follow-up before this day."""
        for number in (1, 2, 3):
            field = self.fields.get(f"ask_{number}")
            if isinstance(field, AheadDayField):
                field.first = first

    def days(self) -> dict[int, date | None]:
        numbers = (number for number in (1, 2, 3) if f"ask_{number}" in self.fields)
        return {number: self.cleaned_data[f"ask_{number}"] for number in numbers}


class FollowUpsForm(AskingForm):
    """Other days; what is done stays as it was."""

    once = OnceField()

    def __init__(
        self,
        sent: QueryDict | None,
        *,
        planned: Mapping[int, date | None],
        done: set[int],
        first: date,
    ) -> None:
        super().__init__(sent, initial={f"ask_{number}": day for number, day in planned.items()})
        self.begin_on(first)
        for number in done:
            del self.fields[f"ask_{number}"]


class FollowUpDoneForm(forms.Form):
    """Somebody asked."""

    once = OnceField()
    day = DayField(label=_("Asked on"))
    note = forms.CharField(
        label=_("Answers"),
        max_length=LONGEST_NOTE,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Leave out addresses and telephone numbers."),
    )

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        use_today(self, today)


class KitHandOverForm(DoubtfulForm, AskingForm):
    """The adopter has the kit, and signed for it."""

    once = OnceField()
    received_by = forms.CharField(
        label=_("Received by"),
        max_length=LONGEST_RECEIVER,
        error_messages={"required": _("No name given. Write who received the kit.")},
    )
    handed_by = forms.CharField(
        label=_("Handed over by"),
        max_length=LONGEST_SIGNATURE,
        error_messages={"required": _("No name given. Write who handed it over.")},
    )
    day = DayField(label=_("Date"))
    signing = forms.ChoiceField(
        label=_("Signature on the receipt"),
        choices=SIGNING,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose how the receipt is signed.")},
    )
    signed = forms.CharField(
        label=_("Signature: the adopter’s name, typed by the adopter"),
        max_length=LONGEST_SIGNATURE,
        required=False,
    )
    note = forms.CharField(
        label=_("Note"), max_length=200, required=False, help_text=_("Printed on the receipt.")
    )
    field_order = [
        "once",
        "received_by",
        "handed_by",
        "day",
        "signing",
        "signed",
        "note",
        "ask_1",
        "ask_2",
        "ask_3",
        "anyway",
    ]

    def __init__(
        self,
        sent: QueryDict | None,
        *,
        build: Build,
        person: Person,
        missing: tuple[ShortLine, ...],
        today: date,
    ) -> None:
        days = {f"ask_{number}": day for number, day in suggested_days(today).items()}
        who = {"received_by": build.adopter, "handed_by": person.full_name}
        super().__init__(sent, initial={**days, **who})
        self.missing = missing
        self.fields["ask_1"].help_text = gettext(
            "%(questions)s These three days are our own suggestion: change them freely."
        ) % {"questions": SUGGESTED[0].about}
        use_today(self, today)
        self.begin_on(today)

    def clean(self) -> None:
        given = self.cleaned_data
        if given.get("signing") == TYPED and not given.get("signed"):
            self.add_error(
                "signed", gettext("Not signed. Let the adopter type their name, or sign the paper.")
            )
        if self.missing:
            self.ask_once_more([_missing_words(self.missing)])

    def receipt(self) -> Receipt:
        given = self.cleaned_data
        is_typed = given["signing"] == TYPED
        return Receipt(
            received_by=given["received_by"],
            handed_by=given["handed_by"],
            on=given["day"],
            signed=given["signed"] if is_typed else "",
            is_on_paper=not is_typed,
            note=given["note"],
        )


def _missing_words(missing: tuple[ShortLine, ...]) -> str:
    named = "; ".join(str(short) for short in missing[:LONGEST_NAME_SHOWN])
    more = len(missing) - LONGEST_NAME_SHOWN
    if more < 1:
        return gettext("Not in the box: %(named)s. The receipt lists it as missing.") % {
            "named": named
        }
    return ngettext(
        "Not in the box: %(named)s; and %(more)d more line. The receipt lists it as missing.",
        "Not in the box: %(named)s; and %(more)d more lines. The receipt lists it as missing.",
        more,
    ) % {"named": named, "more": more}


class KitLinkForm(forms.Form):
    """A link for the adopter."""

    once = OnceField()
    expires_on = forms.DateField(
        label=_("Last valid day"),
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
        help_text=_("At most a year ahead. You can revoke it sooner."),
        error_messages={"required": _("No day given. Choose the last day of the link.")},
    )
    may_tick = forms.BooleanField(
        label=_("Allow ticking steps"),
        required=False,
        initial=True,
        help_text=_("From the first step at home. Without it, the adopter can only read."),
    )

    def __init__(self, sent: QueryDict | None, *, today: date) -> None:
        super().__init__(sent, initial={"expires_on": today + timedelta(days=USUAL_DAYS)})
        self.today = today

    def clean_expires_on(self) -> date:
        day: date = self.cleaned_data["expires_on"]
        if why := expiry_fault(day, self.today):
            raise forms.ValidationError(why)
        return day


class ReadingForm(forms.Form):
    """In which language somebody without an account reads, which lengths, on which paper."""

    language = forms.ChoiceField(
        label=_("Language"),
        choices=choices_or_the_browsers,
        required=False,
    )
    units = forms.ChoiceField(
        label=_("Lengths in"), choices=Person.Units.choices, widget=forms.RadioSelect
    )
    paper = forms.ChoiceField(
        label=_("Paper"), choices=Person.Paper.choices, widget=forms.RadioSelect
    )
