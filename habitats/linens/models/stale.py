"""What makes stale when the linens of an enclosure are due, and the days of a pool."""

from typing import Any

from django.db import models
from django.db.models.signals import post_delete, post_save

from habitats.common.happened import span_ended
from habitats.common.written import given, given_keys, written
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home
from habitats.linens.models.changes import LinenChange
from habitats.linens.models.linens import LinenEvent, LinenKind
from habitats.linens.models.pool_dates import forget_dates, forget_forecasts_of
from habitats.linens.models.pools import Pool, Programme
from habitats.linens.models.spots import ChangePlan, LinenSize, Spot
from habitats.linens.models.tasks import keep_change_rows
from habitats.readings.models.readings import Reading, readings_kept

LAST_TWO = 2  # where a linen lies, and where it lay before


def forget_where_linens_lie(
    sender: type[models.Model], instance: models.Model, created: bool = False, **_: Any
) -> None:
    """For ``post_save`` and ``post_delete``."""
    if isinstance(instance, Spot | ChangePlan):
        Reading.objects.forget(pk=instance.enclosure_id)
    elif isinstance(instance, LinenChange):
        Reading.objects.forget_keys(_ENCLOSURES_OF(spots=[instance.spot_id]))
    elif isinstance(instance, LinenEvent):
        spots = {spot for spot in _LAST_SPOTS(linen=instance.linen_id) if spot}
        if created and instance.change is not None:
            spots.discard(instance.change.spot_id)  # forgotten with the change just before
        if spots:
            Reading.objects.forget_keys(set(_ENCLOSURES_OF(spots=spots)))


_ENCLOSURES = (Spot, ChangePlan, LinenChange, LinenEvent)
_POOLS = (Pool, Programme, Home, Standing, LinenKind, LinenSize, LinenChange, LinenEvent)


def listen() -> None:
    for signal in (post_save, post_delete):
        for receiver, senders in (
            (forget_where_linens_lie, _ENCLOSURES),
            (forget_dates, _POOLS),
        ):
            for sender in senders:
                name = f"{receiver.__name__}/{sender.__name__}"
                signal.connect(receiver, sender=sender, dispatch_uid=name)
    # The home that an enclosure leaves draws less from its pool.
    span_ended.connect(forget_dates, sender=Standing, dispatch_uid="forget_dates/ended")
    readings_kept.connect(keep_change_rows, dispatch_uid="keep_change_rows")
    readings_kept.connect(forget_forecasts_of, dispatch_uid="forget_forecasts_of")


_LAST_SPOTS = written(
    lambda: (
        LinenEvent.objects.filter(linen=given("linen", int))
        .order_by("-pk")
        .values_list("spot", flat=True)[:LAST_TWO]
    )
)
_ENCLOSURES_OF = written(
    lambda: Spot.objects.filter(pk__in=given_keys("spots")).values_list("enclosure", flat=True)
)
