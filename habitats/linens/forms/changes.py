"""Forms about linens in enclosures: which clean one goes where, and how often."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.common.fields import DayField, OnceField, use_today
from habitats.enclosures.models.enclosures import Enclosure
from habitats.linens.forms.labels import LabelField
from habitats.linens.models.dues import LinenDue
from habitats.linens.models.linens import Linen, LinenQuerySet
from habitats.linens.models.spots import LONGEST_INTERVAL, ChangePlan, Spot
from habitats.rotation.intervals import days_fault

HERE, THERE = "here", "there"


class ChangeForm(forms.Form):
    """What all changes of one visit share: the day, and that they happen once.

    ``all``: every place is meant that a clean linen is there for, ticked or not.
    """

    once = OnceField()
    on = DayField(label=gettext_lazy("Day"))
    all = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        use_today(self, today)


class SpotForm(forms.Form):
    """One spot: whether its linen is changed, and which clean one goes in.

    What is due is ticked, if a clean linen is there for it; the tap of all ticks the others too.
    ``is_asked`` and ``does_not_fit`` are set when somebody has to say what is true, ``stays``
    when they said of a linen that it lies where it was said to be.
    """

    take = forms.BooleanField(required=False)
    chosen = forms.ChoiceField(label=gettext_lazy("Clean linen"), required=False)
    typed = LabelField(label=gettext_lazy("Or scan or type another label"), required=False)
    truth = forms.ChoiceField(
        label=gettext_lazy("Which is true?"),
        required=False,
        choices=[
            (HERE, gettext_lazy("It is here, in my hand")),
            (THERE, gettext_lazy("It is still there")),
        ],
        widget=forms.RadioSelect,
    )
    will_do = forms.BooleanField(
        label=gettext_lazy("It has another size, but it will do"), required=False
    )

    def __init__(
        self,
        sent: QueryDict | None,
        *,
        due: LinenDue,
        offered: Sequence[Linen],
        seen: LinenQuerySet,
        today: date,
        scanned: tuple[str, str] | None = None,
    ) -> None:
        """``scanned``: the key of the only spot that is meant, and the label that goes in."""
        is_meant = scanned is not None and scanned[0] == str(due.spot.pk)
        self.is_due = due.on <= today
        initial = {
            "take": is_meant if scanned else self.is_due and bool(offered),
            "typed": scanned[1] if scanned and is_meant else "",
        }
        super().__init__(sent, prefix=f"spot-{due.spot.pk}", initial=initial)
        self.due, self.spot, self.offered = due, due.spot, offered
        self.is_asked = self.does_not_fit = False
        self.stays: Linen | None = None
        self.fields["take"].label = _("Change %(place)s") % {"place": due.spot}
        self.fields["chosen"].choices = [(one.label, str(one)) for one in offered]  # type: ignore[attr-defined]
        self.fields["typed"].seen = seen  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if self.data.get("all") and self.linen() is not None:
            given["take"] = True
        if given.get("take") and not self.errors and self.linen() is None:
            self.add_error(
                "typed",
                _(
                    "No clean linen of this size is in the cupboard for %(place)s. Scan or type "
                    "the linen that goes in, or untick this place."
                )
                % {"place": self.spot},
            )
        return given

    def linen(self) -> Linen | None:
        """The linen that goes in: the one typed, else the one chosen."""
        typed: Linen | None = self.cleaned_data.get("typed")
        label = self.cleaned_data.get("chosen")
        return typed or next((one for one in self.offered if one.label == label), None)

    def leave_where_it_is(self, linen: Linen) -> None:
        self.stays = linen
        sentence = _("%(linen)s stays where it is. Take another linen.")
        self.add_error("typed", sentence % {"linen": linen})

    def ask_which_is_true(self, sentence: str) -> None:
        self.is_asked = True
        self.add_error("truth", sentence)

    def ask_whether_it_will_do(self, sentence: str) -> None:
        self.does_not_fit = True
        self.add_error("will_do", sentence)


class ChangePlanForm(forms.Form):
    """How often an enclosure is changed, and which of its spots have a linen."""

    interval_days = forms.IntegerField(
        label=gettext_lazy("Days between changes"),
        required=False,
        help_text=gettext_lazy("Leave it empty for the suggestion."),
        widget=forms.NumberInput(attrs={"min": 1, "max": LONGEST_INTERVAL}),
        error_messages={"invalid": gettext_lazy("Enter whole days, such as 3, or leave it empty.")},
    )
    lined = forms.MultipleChoiceField(
        label=gettext_lazy("Places with a linen"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(
        self, sent: QueryDict | None, *, spots: Iterable[Spot], plan: ChangePlan | None
    ) -> None:
        self.spots = list(spots)
        initial = {
            "interval_days": plan.interval_days if plan else None,
            "lined": [str(one.pk) for one in self.spots if one.is_lined],
        }
        super().__init__(sent, initial=initial)
        self.fields["lined"].choices = [(str(one.pk), one.name) for one in self.spots]  # type: ignore[attr-defined]

    def clean_interval_days(self) -> int | None:
        days: int | None = self.cleaned_data["interval_days"]
        if days is not None and (fault := days_fault(days)):
            raise forms.ValidationError(fault)
        return days

    def keep(self, enclosure: Enclosure) -> None:
        days, lined = self.cleaned_data["interval_days"], set(self.cleaned_data["lined"])
        if days is None:
            ChangePlan.objects.filter(enclosure=enclosure).delete()
        else:
            ChangePlan.objects.update_or_create(
                enclosure=enclosure, defaults={"interval_days": days}
            )
        for spot in self.spots:
            if spot.is_lined != (str(spot.pk) in lined):
                spot.is_lined = not spot.is_lined
                spot.save(update_fields=["is_lined"])
