"""Faults: something wrong with an enclosure that somebody saw, until it is mended."""

import uuid
from datetime import date
from typing import Self

from django.core.files.base import ContentFile
from django.db import models, transaction
from django.utils.translation import gettext as _

from habitats.common import days
from habitats.common.happened import AppendOnly, Elsewhere
from habitats.common.idempotency import made_before
from habitats.common.sentence_field import SentenceField
from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import structure_of_standing
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.people.models.people import Person
from habitats.structure.structure import Structure
from habitats.upkeep.kinds import FaultKind
from habitats.upkeep.places import FloorPoint, place_words
from habitats.upkeep.urgency import FaultUrgency

KINDS = [(one.value, one.words) for one in FaultKind]
URGENCIES = [(one.value, one.words) for one in FaultUrgency]
# What stands can be at fault; what is still being built is inspected at the end.
STANDS = (EnclosureState.STANDING, EnclosureState.IN_USE, EnclosureState.NEEDS_REPAIR)


class FaultQuerySet(models.QuerySet["Fault"]):
    def open(self) -> Self:
        """Those that nobody has mended."""
        return self.filter(mended__isnull=True)

    def unsafe(self) -> Self:
        return self.filter(urgency=FaultUrgency.UNSAFE)

    def visible_to(self, person: Person, today: date) -> Self:
        return self.filter(enclosure__in=Enclosure.objects.visible_to(person, today).values("pk"))

    def urgent_first(self) -> Self:
        """By urgency, and of those the one that waits longest."""
        ranks = [models.When(urgency=one, then=rank) for rank, one in enumerate(FaultUrgency)]
        return self.annotate(
            rank=models.Case(*ranks, output_field=models.PositiveSmallIntegerField())
        ).order_by("rank", "on", "pk")


class Fault(AppendOnly):
    """Something wrong with an enclosure, seen on a day.

    ``z``, ``x_mm`` and ``y_mm`` say where on the floors of ``revision``, as the enclosure stood
    when it was seen; None: that cannot be said. ``safety_check``: the one that found it.
    """

    enclosure = models.ForeignKey(Enclosure, on_delete=models.PROTECT, related_name="faults")
    revision = models.ForeignKey(DesignRevision, on_delete=models.PROTECT, related_name="+")
    safety_check = models.ForeignKey(
        "habitats.SafetyCheck",
        on_delete=models.PROTECT,
        null=True,
        db_column="look_id",
        related_name="faults",
    )
    kind = models.CharField(max_length=12, choices=KINDS)
    urgency = models.CharField(max_length=12, choices=URGENCIES)
    note = models.CharField(max_length=300, blank=True)
    z = models.PositiveSmallIntegerField(null=True)
    x_mm = models.IntegerField(null=True)
    y_mm = models.IntegerField(null=True)
    photo = models.FileField(upload_to="faults", blank=True)
    on = models.DateField()

    objects = FaultQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["enclosure", "-id"], name="fault_of_enclosure")]
        constraints = [
            models.CheckConstraint(
                name="fault_kind_is_known",
                condition=models.Q(kind__in=[one.value for one in FaultKind]),
            ),
            models.CheckConstraint(
                name="fault_urgency_is_known",
                condition=models.Q(urgency__in=[one.value for one in FaultUrgency]),
            ),
            models.CheckConstraint(
                name="fault_is_somewhere_or_nowhere",
                condition=models.Q(z__isnull=True, x_mm__isnull=True, y_mm__isnull=True)
                | models.Q(z__isnull=False, x_mm__isnull=False, y_mm__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return str(FaultKind(self.kind).words)

    @property
    def is_unsafe(self) -> bool:
        return self.urgency == FaultUrgency.UNSAFE

    @property
    def is_open(self) -> bool:
        return not hasattr(self, "mended")

    @property
    def where(self) -> FloorPoint | None:
        """The place on the drawing; None if it was not said."""
        if self.z is None or self.x_mm is None or self.y_mm is None:
            return None
        return FloorPoint(self.z, self.x_mm, self.y_mm)

    def structure(self) -> Structure | None:
        """The enclosure as it stood when the fault was seen. Load with ``revision``."""
        return structure_of_standing(self.revision.shape())

    def where_words(self) -> str:
        """The place in words; empty if it was not said."""
        structure = self.structure()
        return place_words(structure, self.where) if structure and self.where else ""

    def mend(
        self, on: date, *, by: Person, note: str = "", idempotency_key: uuid.UUID | None = None
    ) -> "FaultMended":
        """Say that it is mended; said again, the first word stays.

        Raises ``Elsewhere`` with a sentence for a day before it was seen.
        """
        with transaction.atomic():
            Enclosure.objects.select_for_update(no_key=True).get(pk=self.enclosure_id)
            known = FaultMended.objects.filter(fault=self).first()
            if known:
                return known
            if on < self.on and not self.is_ahead:
                raise Elsewhere(
                    _("It was seen on %(day)s. Enter that day or a later one.")
                    % {"day": days.in_full(self.on)}
                )
            return FaultMended.objects.create(
                fault=self,
                on=on,
                note=note,
                made_by=by,
                idempotency_key=idempotency_key or uuid.uuid4(),
            )


class FaultMended(AppendOnly):
    """The fault is mended, by a repair or on the spot."""

    fault = models.OneToOneField(Fault, on_delete=models.PROTECT, related_name="mended")
    on = models.DateField()
    note = SentenceField(blank=True)

    def __str__(self) -> str:
        return f"fault {self.fault_id} mended"


def report(
    enclosure: Enclosure,
    kind: FaultKind,
    urgency: FaultUrgency,
    *,
    on: date,
    by: Person,
    note: str = "",
    where: FloorPoint | None = None,
    photo: bytes | None = None,
    idempotency_key: uuid.UUID | None = None,
) -> Fault:
    """Write down what somebody saw. ``photo`` has been made anew (``habitats/photos.py``).

    The same key again changes nothing. Raises ``Elsewhere`` with a sentence for an enclosure
    that does not stand.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with transaction.atomic():
        Enclosure.objects.select_for_update(no_key=True).get(pk=enclosure.pk)
        known = made_before(Fault.objects, idempotency_key)
        if known:
            return known
        refuse_what_does_not_stand(enclosure)
        fault = Fault(
            enclosure=enclosure,
            revision_id=enclosure.revision_id,
            kind=kind,
            urgency=urgency,
            note=note,
            on=on,
            made_by=by,
            idempotency_key=idempotency_key,
            **_place(where),
        )
        if photo:
            fault.photo.save(f"{idempotency_key}.jpg", ContentFile(photo), save=False)
        fault.save()
    return fault


def refuse_what_does_not_stand(enclosure: Enclosure) -> None:
    """Raises ``Elsewhere`` with a sentence for what is not built yet, or retired."""
    state = EnclosureState(enclosure.state_now())
    if state not in STANDS:
        raise Elsewhere(
            _(
                "%(enclosure)s is marked “%(state)s”. Report faults only of enclosures that stand. "
                "For a build, add a note to it."
            )
            % {"enclosure": enclosure, "state": state.label}
        )


def unsafe_fault_of(enclosure: Enclosure) -> Fault | None:
    """The unsafe fault that has been open for longest; None if there is none."""
    return enclosure.faults.open().unsafe().order_by("on", "pk").first()


def _place(where: FloorPoint | None) -> dict[str, int]:
    return where._asdict() if where else {}
