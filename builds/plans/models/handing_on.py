"""Builds for a home whose people leave, that are not handed over yet."""

from functools import partial
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.plans.models.builds import Build
from habitats.homes.models.handing_on import LeftThing
from habitats.homes.models.homes import Home


def builds_left(sender: type[Home], home: Home, **_signal: Any) -> list[LeftThing]:
    """For ``left_at_asked``. Work on an enclosure goes where the enclosure goes."""
    mine = Build.objects.live().filter(home=home).order_by("pk")
    return [
        LeftThing(
            f"build{one.pk}",
            _("Open build"),
            one.name,
            reverse("builds:build", args=[one.code]),
            partial(_build_for, one),
        )
        for one in mine
    ]


def _build_for(build: Build, home: Home) -> None:
    build.home = home
    build.save(update_fields=["home"])
