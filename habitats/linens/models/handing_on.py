"""Linen pools that are kept at a home whose people leave."""

from functools import partial
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from habitats.homes.models.handing_on import LeftThing
from habitats.homes.models.homes import Home
from habitats.linens.models.pools import Pool


def pools_left(sender: type[Home], home: Home, **_signal: Any) -> list[LeftThing]:
    """For ``left_at_asked``."""
    kept = Pool.objects.filter(home=home, closed_on__isnull=True).order_by("name", "pk")
    return [
        LeftThing(
            f"pool{one.pk}",
            _("Linen pool"),
            one.name,
            reverse("pool_page", args=[one.code]),
            partial(_keep_at, one),
        )
        for one in kept
    ]


def _keep_at(pool: Pool, home: Home) -> None:
    pool.home = home
    pool.save(update_fields=["home"])
