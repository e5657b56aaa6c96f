"""Forms about imports: hand a file in, and decide what becomes of it."""

import hashlib
import uuid
from datetime import date
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from habitats.common.fields import OnceField
from habitats.imports import KINDS, MOST_BYTES, MOST_ROWS, Unreadable, read
from habitats.people.models.people import Person
from habitats.records.models.import_files import ImportFile


class HandInForm(forms.Form):
    """A file of one kind. What is wrong with it as a whole is told beside the field."""

    once = OnceField()
    kind = forms.ChoiceField(
        label="What is in it",
        choices=[(kind.id, kind.title) for kind in KINDS.values()],
        widget=forms.RadioSelect,
        error_messages={"required": "Say what is in the file: homes, enclosures, or what else."},
    )
    file = forms.FileField(
        label="The file",
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt,text/csv"}),
        help_text="CSV in UTF-8, separated by commas, semicolons or tabs: up to "
        f"{MOST_ROWS // 1000} thousand rows and {MOST_BYTES // 1024**2} MB. Nothing is taken in "
        "before you have seen what it would do.",
        error_messages={"required": "No file came with it. Choose one first."},
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
        choices=[(WHOLE, "The whole file"), (SKIP, "Without the faulty rows")],
        error_messages={
            "required": "Say how: take in the whole file, or leave out the faulty rows.",
            "invalid_choice": "“%(value)s” is no way to take it in. Use one of the buttons.",
        },
    )

    @property
    def skips(self) -> bool:
        return bool(self.cleaned_data["how"] == self.SKIP)
