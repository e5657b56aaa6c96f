"""Alterations: an enclosure stands as another design from a day on, and stays the one it is."""

import uuid
from collections.abc import Iterable
from datetime import date

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.common import days
from habitats.common.happened import AppendOnly, Elsewhere, not_ahead
from habitats.common.idempotency import made_before
from habitats.designs.models.designs import DesignRevision
from habitats.enclosures.models.enclosures import Enclosure, stands_as
from habitats.enclosures.models.parts import Component, components_of
from habitats.people.models.people import Person
from habitats.structure.structure import Structure


class Alteration(AppendOnly):
    """``before`` is what stood until the day, ``after`` what stands from it on."""

    enclosure = models.ForeignKey(Enclosure, on_delete=models.PROTECT, related_name="alterations")
    before = models.ForeignKey(DesignRevision, on_delete=models.PROTECT, related_name="+")
    after = models.ForeignKey(DesignRevision, on_delete=models.PROTECT, related_name="+")
    on = models.DateField()

    class Meta:
        indexes = [models.Index(fields=["enclosure", "on"], name="alteration_of_enclosure")]

    def __str__(self) -> str:
        return f"alteration of enclosure {self.enclosure_id} on {self.on}"


def alter_enclosure(
    enclosure: Enclosure,
    revision: DesignRevision,
    on: date,
    *,
    by: Person,
    idempotency_key: uuid.UUID | None = None,
) -> Alteration:
    """The enclosure stands as this revision from the day on. The same key changes nothing.

    Its parts are those of the new design; what lies in it hears of it by ``stands_as``. Where it
    was drawn on the enclosure itself, that drawing has ended. Raises ``Elsewhere`` for a draft,
    and for a day before its last alteration.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with transaction.atomic():
        locked = Enclosure.objects.select_for_update(of=("self",), no_key=True).get(pk=enclosure.pk)
        known = made_before(Alteration.objects, idempotency_key)
        if known:
            return known
        _refuse_before_the_last(locked, on)
        before = locked.revision
        structure = _stand_as(locked, revision)
        made = locked.alterations.create(
            before=before, after=revision, on=on, made_by=by, idempotency_key=idempotency_key
        )
        count_parts(locked, structure, on)
        act = {"on": on, "by": by, "idempotency_key": idempotency_key}
        stands_as.send(Enclosure, enclosure=locked, structure=structure, **act)
    enclosure.revision = revision
    return made


def _stand_as(enclosure: Enclosure, revision: DesignRevision) -> Structure:
    """Its new structure; the drawing that was made on it has ended. Raises ``Elsewhere``."""
    enclosure.revision = revision
    structure = enclosure.structure()
    if structure is None:
        raise Elsewhere(_("This design is a draft and cannot be built yet. Finish it first."))
    enclosure.save(update_fields=["revision"])
    enclosure.drawings.live().filter(pk=revision.design_id).update(archived_at=timezone.now())
    return structure


def as_built_on(enclosures: Iterable[Enclosure], day: date) -> dict[int, DesignRevision]:
    """For those that were altered since: what stood on the day, by the enclosure's key."""
    later = Alteration.objects.filter(enclosure__in=list(enclosures), on__gt=day)
    stood: dict[int, DesignRevision] = {}
    for one in later.select_related("before").order_by("on", "pk"):
        stood.setdefault(one.enclosure_id, one.before)
    return stood


def _refuse_before_the_last(enclosure: Enclosure, on: date) -> None:
    last = not_ahead(enclosure.alterations.order_by("-on", "-pk")).first()
    if last is not None and on < last.on:
        raise Elsewhere(
            _("%(enclosure)s was altered on %(day)s. Enter that day or a later one.")
            % {"enclosure": enclosure, "day": days.in_full(last.on)}
        )


def count_parts(enclosure: Enclosure, structure: Structure, on: date) -> None:
    """How many of each kind there are now; those that are more were fitted that day."""
    counts = components_of(structure)
    for part in enclosure.components.all():
        count = counts.pop(part.kind, 0)
        if part.count != count:
            Component.objects.filter(pk=part.pk).update(count=count)
    Component.objects.bulk_create(
        Component(enclosure=enclosure, kind=kind, count=count, fitted_on=on)
        for kind, count in counts.items()
    )
