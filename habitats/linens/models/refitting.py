"""Linens of an enclosure that stands as another design: its spots, and what lay in those gone."""

import uuid
from datetime import date

from habitats.enclosures.models.enclosures import Enclosure
from habitats.linens.models.changes import take_out
from habitats.linens.models.linens import Linen
from habitats.linens.models.spots import Spot
from habitats.linens.models.turns import lock_linens
from habitats.people.models.people import Person
from habitats.structure.structure import Structure


def refit(
    *,
    enclosure: Enclosure,
    structure: Structure,
    on: date,
    by: Person,
    idempotency_key: uuid.UUID,
    **_of_the_signal: object,
) -> None:
    """Receives ``stands_as``: linens in spots that the enclosure no longer has come out soiled."""
    Spot.lay(enclosure, structure, on)
    _take_out_what_lies_nowhere(enclosure, on, by, idempotency_key)


def _take_out_what_lies_nowhere(
    enclosure: Enclosure, on: date, by: Person, idempotency_key: uuid.UUID
) -> None:
    there = Linen.objects.filter(spot__enclosure=enclosure, spot__gone_on__isnull=False)
    gone = list(there.select_related("spot"))
    lock_linens(gone)
    for linen in gone:
        assert linen.spot is not None
        take_out(
            linen.spot,
            linen.earliest(on),
            by=by,
            idempotency_key=uuid.uuid5(idempotency_key, linen.label),
        )
