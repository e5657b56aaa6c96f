"""Forms about traces: begin one, tick an action, set linens aside, say that it is over."""

from datetime import date, timedelta
from typing import Any

from django import forms

from habitats.animals.models.groups import Group
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
    (ThingKind.GROUP.value, "A group"),
    (ThingKind.ENCLOSURE.value, "An enclosure"),
    (ThingKind.LINEN.value, "A linen"),
]


class NewTraceForm(forms.Form):
    """What is suspected, of what, and since when."""

    once = OnceField()
    sort = forms.ChoiceField(label="What is suspected", choices=SORTS, widget=forms.RadioSelect)
    code = forms.CharField(
        label="Its code or label",
        max_length=40,
        help_text="The six marks of a group or an enclosure, or the label of a linen.",
        error_messages={"required": "Type its code, or follow the link on its page."},
    )
    since = DayField(
        label="Suspected since",
        help_text="The first day on which it may have carried the infection: rather too early.",
    )
    suspicion = forms.ChoiceField(
        label="Of what", choices=SUSPICIONS, widget=forms.RadioSelect, initial=SUSPICIONS[-1][0]
    )
    note = forms.CharField(
        label="What was seen, by whom", max_length=300, required=False, widget=forms.Textarea
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
                f"{since:%-d %B %Y} is more than {MOST_DAYS_AGO} days ago. "
                f"Give {earliest:%-d %B %Y} or a later day."
            )
        return since

    def clean_code(self) -> Suspect:
        text: str = self.cleaned_data["code"].strip()
        match self.cleaned_data.get("sort"):
            case ThingKind.GROUP:
                return _found(Group.objects.filter(code=text.upper()), "group", text)
            case ThingKind.ENCLOSURE:
                return _found(Enclosure.objects.filter(code=text.upper()), "enclosure", text)
            case ThingKind.LINEN:
                return _found(Linen.objects.filter(label=_label(text)), "linen", text)
        raise forms.ValidationError("Say first whether it is a group, an enclosure or a linen.")

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
    in_use = forms.BooleanField(
        label="Also those that lie in enclosures", required=False, initial=True
    )


class CloseTraceForm(forms.Form):
    once = OnceField()
    on = DayField(label="Over since")
    reason = forms.CharField(
        label="Why",
        max_length=300,
        help_text="What a vet said, and on which day: it stays in the history.",
        error_messages={"required": "Say why it is over, such as what a vet found."},
    )

    def __init__(self, *args: Any, trace: Trace, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.trace = trace
        use_today(self, today)

    def clean_on(self) -> date:
        on: date = self.cleaned_data["on"]
        if on < self.trace.since:
            raise forms.ValidationError(
                f"{on:%-d %B %Y} is before the suspicion began, on {self.trace.since:%-d %B %Y}. "
                "Give that day or a later one."
            )
        return on


class ReopenTraceForm(forms.Form):
    once = OnceField()
    reason = forms.CharField(
        label="Why is it open again?",
        max_length=300,
        error_messages={"required": "Say why, such as what was seen again."},
    )


def _label(text: str) -> str:
    try:
        return read_label(text)
    except NotALabel as fault:
        raise forms.ValidationError(str(fault)) from fault


def _found(rows: Any, what: str, text: str) -> Any:
    found = rows.first()
    if found is None:
        raise forms.ValidationError(
            f"No {what} has “{text}”. Read it again, or open the {what}’s page and begin there."
        )
    return found
