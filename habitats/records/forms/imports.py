"""Forms about imports: hand a file in, and decide what becomes of it."""

import hashlib
import uuid
from datetime import date
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from habitats.common.fields import OnceField
from habitats.imports import KINDS, MOST_BYTES, MOST_ROWS, Unreadable, read
from habitats.people.models.people import Person
from habitats.records.models.import_files import ImportFile


class HandInForm(forms.Form):
    """A file of one kind. What is wrong with it as a whole is told beside the field."""

    once = OnceField()
    kind = forms.ChoiceField(
        label=_("Kind of list"),
        choices=[(kind.id, kind.title) for kind in KINDS.values()],
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose what is in the file, such as homes or animals.")},
    )
    file = forms.FileField(
        label=_("File"),
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt,text/csv"}),
        help_text=format_lazy(
            _(
                "CSV in UTF-8, separated by commas, semicolons or tabs: up to {rows} rows, of "
                "weights {weights}, and {size} MB. Nothing is imported before you have seen what "
                "it would change."
            ),
            rows=MOST_ROWS,
            weights=KINDS["weights"].most_rows,
            size=MOST_BYTES // 1024**2,
        ),
        error_messages={"required": _("Choose a file.")},
    )

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.today = today
        self._content = b""

    def clean(self) -> None:
        kind, file = self.cleaned_data.get("kind"), self.cleaned_data.get("file")
        if not kind or file is None:
            return
        # One byte more than is allowed tells that it is too much.
        self._content = file.read(MOST_BYTES + 1)
        try:
            read(self._content, KINDS[kind], self.today)
        except Unreadable as fault:
            self.add_error("file", str(fault))

    def hand_in(self, *, by: Person) -> ImportFile:
        """Keep the file; sent twice, it is kept once. A corrected one is another file."""
        kind, file = self.cleaned_data["kind"], self.cleaned_data["file"]
        assert isinstance(file, UploadedFile)
        mark = hashlib.sha256(kind.encode() + self._content).hexdigest()
        return ImportFile.objects.hand_in(
            self._content,
            kind=kind,
            name=file.name or "without a name",
            by=by,
            idempotency_key=uuid.uuid5(self.cleaned_data["once"], mark),
        )


class TakeInForm(forms.Form):
    """All of the file or nothing, or without its faulty rows."""

    WHOLE, SKIP = "whole", "skip"

    how = forms.ChoiceField(
        choices=[(WHOLE, _("The whole file")), (SKIP, _("Without the rows that have faults"))],
        error_messages={
            "required": _("Choose: import the whole file, or skip the rows that have faults."),
            "invalid_choice": _("“%(value)s” is not a way to import. Use one of the buttons."),
        },
    )

    @property
    def skips(self) -> bool:
        return bool(self.cleaned_data["how"] == self.SKIP)
