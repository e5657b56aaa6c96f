"""Safety checks: the points of an enclosure are answered; what failed is a fault."""

import uuid
from collections.abc import Collection, Sequence
from datetime import date
from typing import NamedTuple

from django.db import models, transaction

from habitats.common.happened import AppendOnly
from habitats.common.idempotency import made_before
from habitats.common.written import given_keys, written
from habitats.enclosures.models.enclosures import Enclosure, EnclosureEvent
from habitats.faults.models.faults import STANDS, Fault, refuse_what_does_not_stand
from habitats.people.models.people import Person
from habitats.stored_wording import to_json
from habitats.upkeep.points import CheckPoint
from habitats.upkeep.schedule import next_check
from habitats.upkeep.urgency import FaultUrgency


class Answer(NamedTuple):
    """A point answered. ``urgency`` None: it is good."""

    point: CheckPoint
    urgency: FaultUrgency | None
    note: str = ""

    @property
    def is_good(self) -> bool:
        return self.urgency is None

    def as_stored(self) -> dict[str, object]:
        """As it is kept, with the question as it was asked."""
        return {
            "code": self.point.code,
            "question": to_json(self.point.question),
            "is_good": self.is_good,
            "urgency": self.urgency or "",
            "note": self.note,
        }


class SafetyCheck(AppendOnly):
    """All points answered. ``answers``: ``[{code, question, is_good, urgency, note}]``."""

    enclosure = models.ForeignKey(Enclosure, on_delete=models.PROTECT, related_name="safety_checks")
    on = models.DateField()
    answers = models.JSONField()

    class Meta:
        db_table = "habitats_lookover"  # its name when it was made
        indexes = [models.Index(fields=["enclosure", "-on"], name="look_latest")]

    def __str__(self) -> str:
        return f"safety check of enclosure {self.enclosure_id} on {self.on}"

    @property
    def failed(self) -> int:
        return sum(not one["is_good"] for one in self.answers)


def record_safety_check(
    enclosure: Enclosure,
    answers: Sequence[Answer],
    *,
    on: date,
    by: Person,
    idempotency_key: uuid.UUID | None = None,
) -> SafetyCheck:
    """Keep the answers; each failed point is a fault.

    A point that fails again while its last fault from a safety check is open adds no second one,
    unless it has become more urgent. The same key again changes nothing. Raises
    ``Elsewhere`` with a sentence for an enclosure that does not stand.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with transaction.atomic():
        Enclosure.objects.select_for_update(no_key=True).get(pk=enclosure.pk)
        known = made_before(SafetyCheck.objects, idempotency_key)
        if known:
            return known
        refuse_what_does_not_stand(enclosure)
        as_stored = [one.as_stored() for one in answers]
        check = SafetyCheck.objects.create(
            enclosure=enclosure,
            on=on,
            answers=as_stored,
            made_by=by,
            idempotency_key=idempotency_key,
        )
        found = _found_before(enclosure)
        for one in answers:
            if one.urgency and not _covers(found.get(one.point.kind), one.urgency):
                _find(check, one.point, one.urgency, one.note)
    return check


def _found_before(enclosure: Enclosure) -> dict[str, FaultUrgency]:
    """By kind, the most urgent of the open faults that safety checks found."""
    found = enclosure.faults.open().filter(safety_check__isnull=False).urgent_first()
    urgencies: dict[str, FaultUrgency] = {}
    for kind, urgency in found.values_list("kind", "urgency"):
        urgencies.setdefault(kind, FaultUrgency(urgency))
    return urgencies


def _covers(known: FaultUrgency | None, urgency: FaultUrgency) -> bool:
    in_order = list(FaultUrgency)
    return known is not None and in_order.index(known) <= in_order.index(urgency)


def _find(check: SafetyCheck, point: CheckPoint, urgency: FaultUrgency, note: str) -> None:
    Fault.objects.create(
        enclosure=check.enclosure,
        revision_id=check.enclosure.revision_id,
        safety_check=check,
        kind=point.kind,
        urgency=urgency,
        note=note,
        on=check.on,
        made_by=check.made_by,
        idempotency_key=uuid.uuid5(check.idempotency_key, point.code),
    )


def last_check(enclosure: Enclosure) -> date | None:
    """The day of its last safety check; None without one."""
    return dict(_LAST_CHECKS(enclosures=[enclosure.pk])).get(enclosure.pk)


def next_checks(keys: Collection[int], every_days: int) -> dict[int, date]:
    """By enclosure, the day by which its next safety check is due: two queries, however many.

    It counts from the last time, or from when it first stood.
    """
    last, first = dict(_LAST_CHECKS(enclosures=keys)), dict(_STANDS_SINCE(enclosures=keys))
    days = {key: next_check(last.get(key), first.get(key), every_days) for key in keys}
    return {key: day for key, day in days.items() if day}


_LAST_CHECKS = written(
    lambda: (
        SafetyCheck.objects.filter(enclosure__in=given_keys("enclosures"))
        .order_by()
        .values("enclosure")
        .annotate(last=models.Max("on"))
        .values_list("enclosure", "last")
    )
)
_STANDS_SINCE = written(
    lambda: (
        EnclosureEvent.objects.filter(enclosure__in=given_keys("enclosures"), state__in=STANDS)
        .order_by()
        .values("enclosure")
        .annotate(first=models.Min("on"))
        .values_list("enclosure", "first")
    )
)
