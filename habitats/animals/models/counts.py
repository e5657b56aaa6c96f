"""How many enclosures and animals were in each home on a day."""

from datetime import date
from typing import Any

from django.db import models

from habitats.animals.models.groups import Membership
from habitats.common.happened import SpanQuerySet
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import HomeQuerySet


def with_counts(homes: HomeQuerySet, day: date) -> HomeQuerySet:
    """Adds ``enclosures`` and ``animals``: how many were there on that day."""
    return homes.annotate(enclosures=enclosures_there(day), animals=animals_there(day))


def enclosures_there(day: date) -> models.functions.Coalesce:
    """For a query of homes: how many enclosures stood in each on that day."""
    there = Standing.objects.on(day).filter(home=models.OuterRef("pk"))
    return _how_many(there, "home")


def animals_there(day: date) -> models.functions.Coalesce:
    """For a query of homes: how many animals lived in each on that day."""
    stays = SpanQuerySet.covers(day, "group__stays__")
    standings = SpanQuerySet.covers(day, "group__stays__enclosure__standings__")
    place = "group__stays__enclosure__standings__home"
    there = Membership.objects.on(day).filter(stays, standings, **{place: models.OuterRef("pk")})
    return _how_many(there, place)


def _how_many(rows: models.QuerySet[Any], by: str) -> models.functions.Coalesce:
    counted = rows.order_by().values(by).annotate(number=models.Count("pk")).values("number")
    return models.functions.Coalesce(models.Subquery(counted), 0)
