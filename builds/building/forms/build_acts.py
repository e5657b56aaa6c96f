"""Forms of acts on a build. Each is passed to ``intake.take`` as one act."""

from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.making.part_names import part_code, part_name
from builds.making.step_keys import KEY_LENGTH
from habitats.animals.forms.animals import PhotoForm
from habitats.common.fields import OnceField

MOST_MISSING = 10_000
LONGEST_NOTE, LONGEST_REMARK, LONGEST_WHAT = 1000, 300, 120


class BuildActForm(forms.Form):
    """An act on a step, or on the build as a whole where ``step`` is empty."""

    once = OnceField()
    step = forms.CharField(max_length=KEY_LENGTH, required=False, widget=forms.HiddenInput)

    def act(self, kind: str, **facts: Any) -> dict[str, Any]:
        """As ``take`` reads it."""
        given = self.cleaned_data
        return {"once": given["once"], "step": given["step"], "kind": kind, **facts}


class NoteForm(BuildActForm):
    text = forms.CharField(
        label=_("Note"),
        max_length=LONGEST_NOTE,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": _("This note is empty. Write a line, then save it.")},
    )

    def as_act(self) -> dict[str, Any]:
        return self.act("note", text=self.cleaned_data["text"])


class StepPhotoForm(PhotoForm, BuildActForm):
    note = forms.CharField(label=_("Caption"), max_length=LONGEST_REMARK, required=False)
    field_order = ["once", "step", "photo", "note"]

    def as_act(self) -> dict[str, Any]:
        given = self.cleaned_data
        return self.act("photo", image=given["photo"], note=given["note"])


class ShortageForm(BuildActForm):
    """What was missing or damaged; ``report`` is the button pressed."""

    MISSING, DAMAGED = "missing", "damaged"
    REPORTS = [(MISSING, _("Missing")), (DAMAGED, _("Damaged"))]

    what = forms.CharField(
        label=_("Part"),
        max_length=LONGEST_WHAT,
        error_messages={"required": _("No part given. Choose a part from the list.")},
    )
    count = forms.IntegerField(
        label=_("How many"),
        min_value=1,
        max_value=MOST_MISSING,
        initial=1,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    note = forms.CharField(label=_("Remark"), max_length=LONGEST_REMARK, required=False)
    report = forms.ChoiceField(choices=REPORTS, widget=forms.RadioSelect, label=_("What is wrong"))

    def __init__(self, *args: Any, parts: list[str], **options: Any) -> None:
        super().__init__(*args, **options)
        self.parts = parts
        names = [(part, capfirst(str(part_name(part)))) for part in parts]
        self.fields["what"].widget = forms.Select(choices=[("", _("Choose a part")), *names])

    def clean_what(self) -> str:
        what = part_code(self.cleaned_data["what"])
        if what not in self.parts:
            raise forms.ValidationError(
                gettext("“%(part)s” is not a part of this build. Choose a part from the list.")
                % {"part": what}
            )
        return what

    def as_act(self) -> dict[str, Any]:
        given = self.cleaned_data
        return self.act(
            "shortage",
            what=given["what"],
            count=given["count"],
            note=given["note"],
            is_damaged=given["report"] == self.DAMAGED,
        )
