"""Who lives in an enclosure now. Animals stand above enclosures: stays are known by name only."""

from typing import Any

from django.apps import apps

from habitats.common.happened import SpanQuerySet
from habitats.common.written import given, written
from habitats.enclosures.models.enclosures import Enclosure


def _stays() -> SpanQuerySet[Any]:
    found: SpanQuerySet[Any] = apps.get_model("habitats", "Stay")._default_manager.all()
    return found


# The open stay, with its group; none where nobody lives.
LIVES_THERE = written(
    lambda: (
        _stays()
        .open()
        .filter(enclosure=given("enclosure", Enclosure))
        .select_related("group")
        .order_by("pk")[:1]
    )
)
