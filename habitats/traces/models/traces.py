"""Traces: something is suspected since a day; what was done about all it met; when it was over."""

import uuid
from datetime import date
from typing import Self

from django.db import models
from django.utils.translation import gettext as _

from habitats.animals.models.groups import Group
from habitats.common.codes import CODE_LENGTH, new_code
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import get_or_make
from habitats.enclosures.models.enclosures import Enclosure
from habitats.linens.models.linens import SUSPICIONS, Linen
from habitats.people.models.people import Person
from habitats.rotation.infection import Suspicion
from habitats.rotation.trace_facts import Thing, ThingKind

LONGEST_KEY = 60
Suspect = Group | Enclosure | Linen


class TraceQuerySet(models.QuerySet["Trace"]):
    def with_end(self) -> Self:
        """Adds ``ended_on``: the day on which it was closed; None while it is open."""
        last = TraceEnd.objects.filter(trace=models.OuterRef("pk")).order_by("-pk")
        return self.annotate(ended_on=models.Subquery(last.values("on")[:1]))

    def open(self) -> Self:
        return self.with_end().filter(ended_on__isnull=True)

    def closed(self) -> Self:
        return self.with_end().filter(ended_on__isnull=False)

    def with_suspect(self) -> Self:
        return self.select_related("group", "enclosure", "linen", "made_by")

    def newest_first(self) -> Self:
        return self.order_by("-pk")

    def begin(
        self,
        suspect: Suspect,
        since: date,
        suspicion: str,
        *,
        by: Person,
        note: str = "",
        idempotency_key: uuid.UUID | None = None,
    ) -> "Trace":
        """A new trace. The same key again gives the same trace."""
        field = {Group: "group", Enclosure: "enclosure", Linen: "linen"}[type(suspect)]
        return get_or_make(
            self,
            idempotency_key,
            **{field: suspect},
            code=new_code(),
            since=since,
            suspicion=suspicion,
            note=note,
            made_by=by,
        )


class Trace(AppendOnly):
    """A group, an enclosure or a linen is suspected of carrying an infection since a day."""

    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    group = models.ForeignKey(Group, on_delete=models.PROTECT, null=True, related_name="traces")
    enclosure = models.ForeignKey(
        Enclosure, on_delete=models.PROTECT, null=True, related_name="traces"
    )
    linen = models.ForeignKey(Linen, on_delete=models.PROTECT, null=True, related_name="traces")
    since = models.DateField()
    suspicion = models.CharField(max_length=12, choices=SUSPICIONS)
    note = models.CharField(max_length=300, blank=True)

    objects = TraceQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="trace_has_one_suspect",
                condition=models.Q(group__isnull=False, enclosure__isnull=True, linen__isnull=True)
                | models.Q(group__isnull=True, enclosure__isnull=False, linen__isnull=True)
                | models.Q(group__isnull=True, enclosure__isnull=True, linen__isnull=False),
            ),
            models.CheckConstraint(
                name="trace_suspicion_is_known",
                condition=models.Q(suspicion__in=[one.value for one in Suspicion]),
            ),
        ]

    def __str__(self) -> str:
        return _("trace %(code)s") % {"code": self.code}

    @property
    def suspect(self) -> Suspect:
        return next(one for one in (self.group, self.enclosure, self.linen) if one is not None)

    @property
    def thing(self) -> Thing:
        """The suspect, as a trace is reckoned from."""
        suspect = self.suspect
        if isinstance(suspect, Linen):
            return Thing(ThingKind.LINEN, suspect.label)
        sort = ThingKind.GROUP if isinstance(suspect, Group) else ThingKind.ENCLOSURE
        return Thing(sort, suspect.code)

    @property
    def suspected(self) -> Suspicion:
        return Suspicion(self.suspicion)

    def ended(self) -> "TraceEnd | None":
        """How it was closed; None while it is open."""
        last = self.ends.select_related("made_by").order_by("-pk").first()
        return last if last and last.on else None

    def close(
        self, on: date, reason: str, *, by: Person, idempotency_key: uuid.UUID | None = None
    ) -> "TraceEnd":
        """It is over. The same key again changes nothing."""
        return self._append_end(on, reason, by, idempotency_key)

    def reopen(
        self, reason: str, *, by: Person, idempotency_key: uuid.UUID | None = None
    ) -> "TraceEnd":
        """It is not over after all. The same key again changes nothing."""
        return self._append_end(None, reason, by, idempotency_key)

    def _append_end(
        self, on: date | None, reason: str, by: Person, idempotency_key: uuid.UUID | None
    ) -> "TraceEnd":
        return get_or_make(self.ends, idempotency_key, on=on, reason=reason, made_by=by)

    def tick(
        self, key: str, is_done: bool, *, by: Person, idempotency_key: uuid.UUID | None = None
    ) -> "TraceTick":
        """An action was done, or is not done after all. The same key changes nothing."""
        return get_or_make(self.ticks, idempotency_key, key=key, is_done=is_done, made_by=by)

    def ticked(self) -> dict[str, "TraceTick"]:
        """By key, the last word on each action that is done."""
        last = {one.key: one for one in self.ticks.select_related("made_by").order_by("pk")}
        return {key: one for key, one in last.items() if one.is_done}


class TraceTick(AppendOnly):
    """An action of a trace was done; not ``is_done``: it was ticked by mistake."""

    trace = models.ForeignKey(Trace, on_delete=models.PROTECT, related_name="ticks")
    key = models.CharField(max_length=LONGEST_KEY)
    is_done = models.BooleanField()

    def __str__(self) -> str:
        return f"{self.key} {'done' if self.is_done else 'not done'}"


class TraceEnd(AppendOnly):
    """A trace is over, and why; ``on`` None: it is open again."""

    trace = models.ForeignKey(Trace, on_delete=models.PROTECT, related_name="ends")
    on = models.DateField(null=True)
    reason = models.CharField(max_length=300)

    def __str__(self) -> str:
        return f"trace {self.trace_id} {'closed' if self.on else 'opened again'}"
