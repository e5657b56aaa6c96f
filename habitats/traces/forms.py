"""Forms about traces: begin one, tick an action, set linens aside, say that it is over."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from habitats.animals.models.groups import Group
from habitats.common.days import in_full
from habitats.common.fields import DayField, OnceField, use_today
from habitats.enclosures.models.enclosures import Enclosure
from habitats.linens.models.linens import SUSPICIONS, Linen
from habitats.people.models.people import Person
from habitats.rotation.labels import NotALabel, read_label
from habitats.rotation.trace_facts import ThingKind
from habitats.traces.models.traces import LONGEST_KEY, Suspect, Trace

# Longer ago nobody can say since when something was suspected; it is a slip of the pen.
MOST_DAYS_AGO = 400
SORTS = [
    (ThingKind.GROUP.value, _("Group")),
    (ThingKind.ENCLOSURE.value, _("Enclosure")),
    (ThingKind.LINEN.value, _("Linen")),
]


class NewTraceForm(forms.Form):
    """What is suspected, of what, and since when."""

    once = OnceField()
    sort = forms.ChoiceField(label=_("Suspect"), choices=SORTS, widget=forms.RadioSelect)
    code = forms.CharField(
        label=_("Code or label"),
        max_length=40,
        help_text=_("The code of a group or an enclosure, or the label of a linen."),
        error_messages={"required": _("Type its code, or follow the link on its page.")},
    )
    since = DayField(
        label=_("Suspected since"),
        help_text=_(
            "The first day on which it may have carried the infection. "
            "If unsure, choose an earlier day."
        ),
    )
    suspicion = forms.ChoiceField(
        label=_("Suspected infection"),
        choices=SUSPICIONS,
        widget=forms.RadioSelect,
        initial=SUSPICIONS[-1][0],
    )
    note = forms.CharField(
        label=_("Signs seen, and by whom"), max_length=300, required=False, widget=forms.Textarea
    )

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.today = today
        self.fields["note"].widget.attrs["rows"] = 2
        use_today(self, today)

    def clean_since(self) -> date:
        since: date = self.cleaned_data["since"]
        earliest = self.today - timedelta(days=MOST_DAYS_AGO)
        if since < earliest:
            raise forms.ValidationError(
                _("%(day)s is more than %(number)d days ago. Enter %(earliest)s or a later day.")
                % {
                    "day": in_full(since),
                    "number": MOST_DAYS_AGO,
                    "earliest": in_full(earliest),
                }
            )
        return since

    def clean_code(self) -> Suspect:
        text: str = self.cleaned_data["code"].strip()
        match self.cleaned_data.get("sort"):
            case ThingKind.GROUP:
                return _found(Group.objects.filter(code=text.upper()), _NO_GROUP, text)
            case ThingKind.ENCLOSURE:
                return _found(Enclosure.objects.filter(code=text.upper()), _NO_ENCLOSURE, text)
            case ThingKind.LINEN:
                return _found(Linen.objects.filter(label=_label(text)), _NO_LINEN, text)
        raise forms.ValidationError(_("Choose a group, an enclosure or a linen."))

    def begin(self, *, by: Person) -> Trace:
        given = self.cleaned_data
        return Trace.objects.begin(
            given["code"],
            given["since"],
            given["suspicion"],
            by=by,
            note=given["note"],
            idempotency_key=given["once"],
        )


class TickForm(forms.Form):
    """One action: ``done`` or ``undone`` holds its key, as the button that was pressed says."""

    once = OnceField()
    done = forms.CharField(max_length=LONGEST_KEY, required=False)
    undone = forms.CharField(max_length=LONGEST_KEY, required=False)

    @property
    def key(self) -> str:
        key: str = self.cleaned_data["done"] or self.cleaned_data["undone"]
        return key


class SetAsideForm(forms.Form):
    once = OnceField()
    in_use = forms.BooleanField(label=_("Also those in enclosures"), required=False, initial=True)


class CloseTraceForm(forms.Form):
    once = OnceField()
    on = DayField(label=_("Closed on"))
    reason = forms.CharField(
        label=_("Reason"),
        max_length=300,
        help_text=_("What a vet said, and on which day. It stays in the history."),
        error_messages={"required": _("Enter the reason, such as what a vet found.")},
    )

    def __init__(self, *args: Any, trace: Trace, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.trace = trace
        use_today(self, today)

    def clean_on(self) -> date:
        on: date = self.cleaned_data["on"]
        if on < self.trace.since:
            raise forms.ValidationError(
                _(
                    "%(day)s is before the suspicion began, on %(since)s. Enter that day or a "
                    "later one."
                )
                % {"day": in_full(on), "since": in_full(self.trace.since)}
            )
        return on


class ReopenTraceForm(forms.Form):
    once = OnceField()
    reason = forms.CharField(
        label=_("Reason"),
        max_length=300,
        error_messages={"required": _("Enter the reason, such as signs seen again.")},
    )


def _label(text: str) -> str:
    try:
        return read_label(text)
    except NotALabel as fault:
        raise forms.ValidationError(str(fault)) from fault


_NO_GROUP = _("No group has “%(code)s”. Check the code, or start from the page of the group.")
_NO_ENCLOSURE = _(
    "No enclosure has “%(code)s”. Check the code, or start from the page of the enclosure."
)
_NO_LINEN = _("No linen has “%(code)s”. Check the label, or start from the page of the linen.")


def _found(rows: Any, refusal: Any, text: str) -> Any:
    found = rows.first()
    if found is None:
        raise forms.ValidationError(refusal % {"code": text})
    return found
