"""Wishes that an adoption fulfilled, and that are open again once the animals came back."""

import uuid
from collections.abc import Iterable
from datetime import date
from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy

from habitats.adoptions.models.adoptions import Adoption
from habitats.adoptions.models.wishes import Wish, WishQuerySet
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import get_or_make
from habitats.people.models.people import Person


class WishEventQuerySet(models.QuerySet["WishEvent"]):
    def newest_first(self) -> Self:
        return self.order_by("-pk")


class WishEvent(AppendOnly):
    """An adoption took a wish off the waiting list, or its return put it back."""

    class Kind(models.TextChoices):
        FULFILLED = "fulfilled", gettext_lazy("Fulfilled")
        REOPENED = "reopened", gettext_lazy("On the waiting list again")

    wish = models.ForeignKey(Wish, on_delete=models.PROTECT, related_name="events")
    adoption = models.ForeignKey(Adoption, on_delete=models.PROTECT, related_name="wish_events")
    kind = models.CharField(max_length=10, choices=Kind)
    on = models.DateField()

    objects = WishEventQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="wish_event_is_known",
                condition=models.Q(kind__in=["fulfilled", "reopened"]),
            )
        ]

    def __str__(self) -> str:
        return f"wish {self.wish_id} {self.kind} on {self.on}"


def open_wishes_of(adoption: Adoption) -> WishQuerySet:
    """Those of its adopter that it may fulfil."""
    same = Wish.objects.open().filter(adopter=adoption.adopter_id, species=adoption.species)
    return same.longest_first()


def fulfilled_by(adoption: Adoption) -> WishQuerySet:
    """Those that are off the list by it."""
    last = WishEvent.objects.filter(wish=models.OuterRef("pk")).newest_first()
    told = Wish.objects.filter(closed_on__isnull=False).annotate(
        last_kind=models.Subquery(last.values("kind")[:1]),
        last_adoption=models.Subquery(last.values("adoption")[:1]),
    )
    kind = WishEvent.Kind.FULFILLED
    return told.filter(last_kind=kind, last_adoption=adoption.pk).longest_first()


def fulfil(
    wishes: Iterable[Wish], adoption: Adoption, on: date, *, by: Person, key: uuid.UUID
) -> None:
    """They are off the list; the same key again changes nothing."""
    for wish in wishes:
        _say(wish, adoption, WishEvent.Kind.FULFILLED, on, by=by, key=key)
        Wish.objects.open().filter(pk=wish.pk).update(closed_on=on)


def reopen(
    wishes: Iterable[Wish], adoption: Adoption, on: date, *, by: Person, key: uuid.UUID
) -> None:
    """They are on the list again, with the day since when they wait."""
    for wish in wishes:
        _say(wish, adoption, WishEvent.Kind.REOPENED, on, by=by, key=key)
        Wish.objects.filter(pk=wish.pk).update(closed_on=None)


def _say(
    wish: Wish, adoption: Adoption, kind: str, on: date, *, by: Person, key: uuid.UUID
) -> None:
    get_or_make(
        WishEvent.objects,
        uuid.uuid5(key, f"{kind} {wish.pk}"),
        wish=wish,
        adoption=adoption,
        kind=kind,
        on=on,
        made_by=by,
    )
