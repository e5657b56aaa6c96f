"""The drawing of an enclosure's alteration: begun at what stands, and kept with the enclosure.

It is a design with revisions as any other, but in no list: what is drawn on one enclosure is for
that one. It is begun with the first stroke, and ends when the enclosure stands so, or when
somebody starts again; what was drawn stays to be read.
"""

import uuid
from dataclasses import replace

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.basis import Fact
from habitats.common.facts import NONE, fact
from habitats.designs.models.designs import Design, Superseded
from habitats.enclosures.models import facts
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.models.people import Person


def open_drawing(enclosure: Enclosure) -> Design | None:
    """What is being drawn on it; None: nothing was drawn since it stands so."""
    return Design.objects.filter(enclosure=enclosure).live().with_revision().first()


def as_it_stands(enclosure: Enclosure) -> Design:
    """A drawing that nothing was drawn on yet, and that is not kept: what stands."""
    shape = enclosure.shape()
    return Design(
        name=enclosure.label,
        species=shape.species,
        current=enclosure.revision,
        enclosure=enclosure,
        begun_from=enclosure.revision,
    )


def begin_drawing(enclosure: Enclosure, *, by: Person, idempotency_key: uuid.UUID) -> Design:
    """A drawing whose first revision is what stands. The same key again gives the same.

    Raises ``Superseded`` where another was begun meanwhile.
    """
    key = uuid.uuid5(idempotency_key, "begun")
    with transaction.atomic():
        locked = Enclosure.objects.select_for_update(of=("self",), no_key=True).get(pk=enclosure.pk)
        if locked.revision_id != enclosure.revision_id:
            raise Superseded
        begun = open_drawing(enclosure)
        if begun is not None and begun.revisions.order_by("number")[0].idempotency_key != key:
            raise Superseded
        return begun or Design.objects.draw(
            replace(enclosure.shape(), name=enclosure.label),
            by=by,
            idempotency_key=key,
            enclosure=enclosure,
            begun_from=enclosure.revision,
        )


def end_drawing(enclosure: Enclosure) -> Design | None:
    """Nothing more is drawn on it; it stays to be read. None: there was none."""
    with transaction.atomic():
        Enclosure.objects.select_for_update(of=("self",), no_key=True).get(pk=enclosure.pk)
        ended = open_drawing(enclosure)
        if ended is not None:
            ended.archive(at=timezone.now())
    return ended


def is_behind_what_stands(drawing: Design, enclosure: Enclosure) -> bool:
    """Whether the enclosure was altered since the drawing was begun."""
    return drawing.begun_from_id != enclosure.revision_id


def all_drawn(enclosure: Enclosure) -> list[Fact]:
    """Facts of the enclosure and of its drawing, for what makes the one of the other."""
    drawing = open_drawing(enclosure)
    drawn = drawing.current if drawing else None
    words = _("step %(number)d") % {"number": drawn.number} if drawn else NONE
    value = drawn.pk if drawn else None
    return [*facts.all_of(enclosure), fact(enclosure, "drawing", _("Drawing"), value, words)]
