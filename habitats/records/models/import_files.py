"""Files that were handed in to be imported: kept from the dry run until somebody decides."""

import uuid
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Self

from django.conf import settings
from django.db import models
from django.utils import timezone

from habitats.common.idempotency import Idempotent, get_or_make
from habitats.imports import KINDS
from habitats.imports.values import ImportFault
from habitats.people.models.people import Person
from habitats.stored_wording import from_json, to_json

KEPT_HOURS = 24
KIND_LENGTH = 12
LONGEST_FILE_NAME = 120


class ImportFileQuerySet(models.QuerySet["ImportFile"]):
    def waiting(self) -> Self:
        """Looked at, but not taken in yet."""
        return self.filter(taken_at__isnull=True)

    def taken(self) -> Self:
        return self.filter(taken_at__isnull=False)

    def latest_first(self) -> Self:
        return self.order_by("-made_at", "-pk")

    def drop_stale(self, now: datetime) -> None:
        """Throw away what nobody decided on for a day: it may tell of people and addresses."""
        self.waiting().filter(made_at__lt=now - timedelta(hours=KEPT_HOURS)).delete()

    def hand_in(
        self, content: bytes, *, kind: str, name: str, by: Person, idempotency_key: uuid.UUID
    ) -> "ImportFile":
        """Keep a file. The same key again keeps the first."""
        self.drop_stale(timezone.now())
        return get_or_make(
            self,
            idempotency_key,
            kind=kind,
            name=name[-LONGEST_FILE_NAME:],
            content=content,
            made_by=by,
        )


class ImportFile(Idempotent):
    """One file of one kind. Once it was taken in, its content is gone; what came of it stays.

    ``skipped`` lists the faults of the lines that were left out, as
    ``[line, column, given, sentence]``; ``faults`` reads them.
    """

    kind = models.CharField(max_length=KIND_LENGTH)
    name = models.CharField(max_length=LONGEST_FILE_NAME)
    content = models.BinaryField()
    taken_at = models.DateTimeField(null=True)
    made = models.PositiveIntegerField(default=0)
    known = models.PositiveIntegerField(default=0)
    left_out = models.PositiveIntegerField(default=0)
    skipped = models.JSONField(default=list)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    made_at = models.DateTimeField(default=timezone.now)

    objects = ImportFileQuerySet.as_manager()

    def __str__(self) -> str:
        return self.name

    @property
    def title(self) -> str:
        """What kind of list it is, for people."""
        return KINDS[self.kind].title

    @property
    def is_taken(self) -> bool:
        return self.taken_at is not None

    @property
    def faults(self) -> list[ImportFault]:
        """Of the rows that were left out. Files of earlier versions have theirs in English."""
        return [
            ImportFault(line, column, given, from_json(sentence))
            for line, column, given, sentence in self.skipped
        ]

    def close(
        self, *, made: int, known: int, left_out: int, skipped: Sequence[ImportFault]
    ) -> None:
        """Say what came of it, and forget the file itself."""
        self.made, self.known, self.left_out = made, known, left_out
        self.skipped = [[*fault[:3], to_json(fault.sentence)] for fault in skipped]
        self.content, self.taken_at = b"", timezone.now()
        self.save()
