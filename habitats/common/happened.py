"""What has happened: rows that are appended and never edited, and spans of days that end once."""

import datetime
from typing import Any, Self, TypeVar

from django.conf import settings
from django.db import models
from django.dispatch import Signal
from django.utils import timezone

from habitats.common.idempotency import Idempotent

# Sent with ``instance`` when a span is ended or open again, which no ``post_save`` tells.
span_ended = Signal()


class Elsewhere(Exception):
    """The animal, group or enclosure is taken on those days, so nothing was changed."""


def refuse_edit(row: models.Model) -> None:
    """Raise ``TypeError`` for a row that was saved before."""
    if row.pk is not None and not row._state.adding:
        raise TypeError("What happened is never edited; append what happened next.")


class AppendOnly(Idempotent):
    """Append only. The same key again changes nothing."""

    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        abstract = True

    def save(self, **options: Any) -> None:
        refuse_edit(self)
        super().save(**options)

    @property
    def is_ahead(self) -> bool:
        """Written at an hour that is still to come: by a clock that was set back since.

        Its day then says nothing, and refuses no earlier one.
        """
        return self.made_at > timezone.now()


_Row = TypeVar("_Row", bound=models.Model, covariant=True)
_Any = TypeVar("_Any", bound=models.Model)


def not_ahead(rows: "models.QuerySet[_Any]") -> "models.QuerySet[_Any]":
    """Those of rows that happened which are not ``is_ahead``."""
    return rows.filter(made_at__lte=timezone.now())


class SpanQuerySet(models.QuerySet[_Row]):
    """Spans of days. A span covers its first day and every day before ``until``."""

    def on(self, day: datetime.date) -> Self:
        """Those that cover the day."""
        return self.filter(self.covers(day))

    def open(self) -> Self:
        """Those that have not ended."""
        return self.filter(until__isnull=True)

    def newest_first(self) -> Self:
        return self.order_by("-since", "-pk")

    @staticmethod
    def covers(day: datetime.date, prefix: str = "") -> models.Q:
        """The same as a condition, for the far end of a relation: ``prefix`` as ``stays__``."""
        until = models.Q(**{f"{prefix}until__isnull": True})
        return models.Q(**{f"{prefix}since__lte": day}) & (
            until | models.Q(**{f"{prefix}until__gt": day})
        )


class Span(AppendOnly):
    """From ``since`` on, up to but not including ``until``; None while it lasts.

    Begun and ended on one day it covers none: a slip that was put right. Spans that may not
    overlap are kept apart by the database (``no_overlap.py``).
    """

    since = models.DateField()
    until = models.DateField(null=True, editable=False)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        related_name="+",
        editable=False,
    )
    ended_at = models.DateTimeField(null=True, editable=False)

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                name="%(class)s_ends_after_it_begins",
                condition=models.Q(until__isnull=True) | models.Q(until__gte=models.F("since")),
            ),
            models.CheckConstraint(
                name="%(class)s_is_ended_by_somebody",
                condition=models.Q(until__isnull=True, ended_by__isnull=True)
                | models.Q(until__isnull=False, ended_by__isnull=False),
            ),
        ]

    @property
    def is_open(self) -> bool:
        return self.until is None

    def end(self, until: datetime.date, by: Any) -> bool:
        """Say that it lasted until this day. False if it had ended already: nothing changes."""
        ended = {"until": until, "ended_by": by, "ended_at": timezone.now()}
        rows = type(self)._default_manager.filter(pk=self.pk, until__isnull=True)
        if not rows.update(**ended):
            self.refresh_from_db(fields=list(ended))
            return False
        for field, value in ended.items():
            setattr(self, field, value)
        span_ended.send(type(self), instance=self)
        return True

    def reopen(self) -> None:
        """It did not end after all: only where the act that ended it is undone."""
        again = {"until": None, "ended_by": None, "ended_at": None}
        type(self)._default_manager.filter(pk=self.pk).update(**again)
        for field, value in again.items():
            setattr(self, field, value)
        span_ended.send(type(self), instance=self)
