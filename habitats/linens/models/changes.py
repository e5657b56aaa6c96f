"""Changes: a clean linen goes into a spot of an enclosure, and the old one comes out soiled."""

import uuid
from datetime import date
from typing import Any

from django.db import models, transaction
from django.utils.translation import gettext as _

from habitats.common import days
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import get_or_make, made_before
from habitats.common.sentence_field import SentenceField
from habitats.enclosures.models.enclosures import Enclosure
from habitats.linens.models.linens import InvalidTransition, Linen
from habitats.linens.models.spots import Spot
from habitats.people.models.people import Person
from habitats.rotation.states import State
from habitats.wording import message


class InUseElsewhere(Exception):
    """The linen is said to lie in another spot. Somebody has to say which is true."""

    def __init__(self, linen: Linen, spot: Spot) -> None:
        self.linen = linen
        super().__init__(
            _("%(linen)s is in use in %(enclosure)s, %(place)s, since %(day)s. Which is true?")
            % {
                "linen": linen,
                "enclosure": spot.enclosure,
                "place": spot,
                "day": days.in_full(linen.since),
            }
        )


class DoesNotFit(Exception):
    """The linen has another size than the spot asks for. Somebody has to say that it will do."""


class LinenChange(AppendOnly):
    """On this day the linens of a spot were changed. Which ones: its events."""

    spot = models.ForeignKey(Spot, on_delete=models.PROTECT, related_name="changes")
    on = models.DateField()

    class Meta:
        indexes = [models.Index(fields=["spot", "-on"], name="change_of_spot")]

    def __str__(self) -> str:
        return f"change of spot {self.spot_id} on {self.on}"


class SpotClean(AppendOnly):
    """Somebody picked up droppings and wiped: the enclosure's linens stay."""

    enclosure = models.ForeignKey(Enclosure, on_delete=models.PROTECT, related_name="spot_cleans")
    on = models.DateField()

    class Meta:
        indexes = [models.Index(fields=["enclosure", "-on"], name="spot_clean_latest")]

    def __str__(self) -> str:
        return f"spot clean of enclosure {self.enclosure_id} on {self.on}"


class LinenRemark(AppendOnly):
    """Somebody scanned a linen where it is not said to be, and it stays as it is said to be."""

    linen = models.ForeignKey(Linen, on_delete=models.PROTECT, related_name="remarks")
    spot = models.ForeignKey(Spot, on_delete=models.PROTECT, null=True, related_name="+")
    on = models.DateField()
    note = SentenceField()

    def __str__(self) -> str:
        return f"remark on linen {self.linen_id}"


def change(
    spot: Spot,
    linen: Linen,
    on: date,
    *,
    by: Person,
    idempotency_key: uuid.UUID | None = None,
    is_here: bool = False,
    will_do: bool = False,
) -> LinenChange:
    """The linen goes into the spot; what lay there is soiled. The same key changes nothing.

    ``is_here``: it was said to be in use elsewhere, and somebody saw that it is here now.
    ``will_do``: it has another size, and somebody said that it will do.
    Raises ``InUseElsewhere`` and ``DoesNotFit`` to be asked, and ``InvalidTransition`` for what
    cannot be.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with transaction.atomic():
        Enclosure.objects.select_for_update(no_key=True).get(pk=spot.enclosure_id)
        known = made_before(LinenChange.objects, idempotency_key)
        if known:
            return known
        linen = Linen.objects.with_kind().select_related("spot__enclosure").get(pk=linen.pk)
        _refuse(spot, linen, is_here=is_here, will_do=will_do)
        made = LinenChange.objects.create(
            spot=spot, on=on, made_by=by, idempotency_key=idempotency_key
        )
        take_out(spot, on, by=by, change=made, idempotency_key=uuid.uuid5(idempotency_key, "out"))
        linen.set_state(
            State.IN_USE,
            on,
            by=by,
            spot=spot,
            change=made,
            seen=is_here,
            idempotency_key=uuid.uuid5(idempotency_key, "in"),
        )
    return made


def take_out(
    spot: Spot, on: date, *, by: Person, idempotency_key: uuid.UUID, **more: Any
) -> Linen | None:
    """The linen in the spot comes out soiled; None if none is known to lie there."""
    there = Linen.objects.filter(spot=spot).first()
    if there is not None:
        there.set_state(State.SOILED, on, by=by, idempotency_key=idempotency_key, **more)
    return there


def stays_elsewhere(
    linen: Linen,
    spot: Spot | None,
    on: date,
    *,
    by: Person,
    idempotency_key: uuid.UUID | None = None,
) -> LinenRemark:
    """It was scanned here, and is still where it was said to be. The same key again: once."""
    return get_or_make(
        LinenRemark.objects,
        idempotency_key,
        linen=linen,
        spot=spot,
        on=on,
        made_by=by,
        note=_scanned_at(spot),
    )


def _scanned_at(spot: Spot | None) -> str:
    if spot is None:
        return message("Scanned elsewhere, but it stays where it was.")
    return message("Scanned at %(place)s, but it stays where it was.", place=spot.name)


def _refuse(spot: Spot, linen: Linen, *, is_here: bool, will_do: bool) -> None:
    if spot.gone_on is not None:
        raise InvalidTransition(
            _(
                "%(enclosure)s no longer has %(place)s: it was altered on %(day)s. "
                "Open the enclosure again and choose another place."
            )
            % {
                "enclosure": spot.enclosure,
                "place": spot,
                "day": days.in_full(spot.gone_on),
            }
        )
    if linen.spot_id == spot.pk:
        raise InvalidTransition(
            _("%(linen)s lies here already, since %(day)s. Scan the clean linen that goes in.")
            % {"linen": linen, "day": days.in_full(linen.since)}
        )
    if linen.spot is not None and not is_here:
        raise InUseElsewhere(linen, linen.spot)
    if linen.size_id != spot.size_id and not will_do:
        raise DoesNotFit(
            _(
                "%(linen)s has the size %(size)s; %(place)s takes %(other)s. "
                "Take a linen of that size, or confirm that this one will do."
            )
            % {"linen": linen, "size": linen.size, "place": spot, "other": spot.size}
        )
