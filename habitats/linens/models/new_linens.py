"""Many new linens at once, such as from a file, with the same rows as ``Linen.objects.make``."""

import uuid
from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from habitats.linens.models.linens import Linen, LinenEvent, LinenKind, new_label
from habitats.linens.models.pool_dates import PoolDates
from habitats.linens.models.pools import Pool
from habitats.linens.models.shrinkage import shrinkage_of
from habitats.linens.models.spots import LinenSize
from habitats.people.models.people import Person
from habitats.rotation.buying import Cutting
from habitats.rotation.cloth import cut_size
from habitats.rotation.states import State

AT_ONCE = 500


def cutting_for(kind: LinenKind, size: LinenSize) -> Cutting:
    """How a linen of this kind and finished size is cut, by what is known of its shrinkage."""
    piece = cut_size(kind.spread(size), shrinkage_of(kind))
    return Cutting(piece, 1 if kind.is_folded else kind.layers)


class NewLinens(NamedTuple):
    """So many alike. ``cut``: before hemming and washing; None: washed, so they fit already.

    ``idempotency_key`` is that of all of them; each has one made of it, by its number.
    """

    kind: LinenKind
    size: LinenSize
    pool: Pool
    number: int
    on: date
    cut: tuple[int, int] | None
    idempotency_key: uuid.UUID


def key_of(key: uuid.UUID, number: int) -> uuid.UUID:
    """Of the linen with this number, counted from 0, among those of one key."""
    return uuid.uuid5(key, str(number))


def make_many(wanted: Sequence[NewLinens], *, by: Person) -> None:
    """All of them, in a few questions. Keys that were used before are refused by the database."""
    labels = _free_labels()
    linens = [
        Linen(
            label=next(labels),
            kind=one.kind,
            size=one.size,
            pool=one.pool,
            state=State.NEW if one.cut else State.CLEAN,
            since=one.on,
            cut_width_mm=one.cut[0] if one.cut else None,
            cut_length_mm=one.cut[1] if one.cut else None,
            idempotency_key=key_of(one.idempotency_key, number),
            made_by=by,
        )
        for one in wanted
        for number in range(one.number)
    ]
    Linen.objects.bulk_create(linens, batch_size=AT_ONCE)
    LinenEvent.objects.bulk_create(
        (
            LinenEvent(
                linen=linen,
                state=linen.state,
                on=linen.since,
                pool_id=linen.pool_id,
                washes=0,
                made_by=by,
                idempotency_key=uuid.uuid5(linen.idempotency_key, "made"),
            )
            for linen in linens
        ),
        batch_size=AT_ONCE,
    )
    # Written past `save`, which would have said so.
    PoolDates.objects.filter(pool__in={one.pool for one in wanted}).forget()


def _free_labels() -> Iterator[str]:
    """Labels that no linen has, one after the other."""
    used = set(Linen.objects.values_list("label", flat=True))
    while True:
        label = new_label()
        if label not in used:
            used.add(label)
            yield label
