"""Linens that go from one pool to another; the event says when, and which pool they are of now."""

import uuid
from collections.abc import Mapping
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from habitats.common.idempotency import made_before
from habitats.linens.models.linens import InvalidTransition, Linen
from habitats.linens.models.pools import Pool
from habitats.linens.models.spots import LinenSize
from habitats.linens.models.turns import lock_linens
from habitats.people.models.people import Person
from habitats.rotation.states import State

# A linen elsewhere is said to be what it is first: in use it is in an enclosure of its pool.
MOVABLE = (State.NEW, State.CLEAN, State.SOILED, State.SET_ASIDE)


def move(linen: Linen, pool: Pool, on: date, *, by: Person, idempotency_key: uuid.UUID) -> None:
    """The linen is of this pool from now on, in the state it is in. The same key: once.

    Raises ``InvalidTransition`` for one that is under way, and where it is of that pool already.
    """
    if made_before(linen.events, idempotency_key):
        return
    if linen.pool_id == pool.pk:
        raise InvalidTransition(
            _("%(linen)s belongs to %(pool)s already. Choose another pool.")
            % {"linen": linen, "pool": pool}
        )
    if linen.state not in MOVABLE:
        raise InvalidTransition(
            _(
                "%(linen)s is marked “%(state)s”, so it stays with %(pool)s for now. You can move "
                "it while it is new, clean, soiled or set aside."
            )
            % {"linen": linen, "state": linen.state_words, "pool": linen.pool}
        )
    linen.set_state(linen.state, on, by=by, idempotency_key=idempotency_key, pool=pool)


def move_clean(
    pool: Pool,
    to: Pool,
    numbers: Mapping[LinenSize, int],
    on: date,
    *,
    by: Person,
    idempotency_key: uuid.UUID,
) -> int:
    """So many clean linens of each size, those that rested longest; how many that were.

    Raises ``InvalidTransition`` where there are fewer, and moves none then. The same key
    moves none.
    """
    moved = 0
    with transaction.atomic():
        Pool.objects.select_for_update(no_key=True).get(pk=pool.pk)
        for size, number in numbers.items():
            moved += _move_size(pool, to, size, number, on, by=by, idempotency_key=idempotency_key)
    return moved


def _move_size(
    pool: Pool,
    to: Pool,
    size: LinenSize,
    number: int,
    on: date,
    *,
    by: Person,
    idempotency_key: uuid.UUID,
) -> int:
    idempotency_keys = [
        uuid.uuid5(idempotency_key, f"{size.pk} {place}") for place in range(number)
    ]
    if (
        not idempotency_keys
        or Linen.objects.filter(events__idempotency_key=idempotency_keys[0]).exists()
    ):
        return 0
    clean = Linen.objects.filter(pool=pool, size=size).in_state(State.CLEAN).with_kind()
    chosen = list(clean.longest_rested()[:number])
    if len(chosen) < number:
        raise InvalidTransition(
            _(
                "%(number)d is too many: %(pool)s has %(clean)d clean ones of the size %(size)s. "
                "Enter that number or fewer."
            )
            % {"number": number, "pool": pool, "clean": len(chosen), "size": size}
        )
    lock_linens(chosen)
    for linen, own in zip(chosen, idempotency_keys, strict=True):
        move(linen, to, on, by=by, idempotency_key=own)
    return number
