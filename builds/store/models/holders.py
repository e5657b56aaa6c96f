"""Reservations by purpose, item by item; and the builds and jobs that have lost some since."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db import models

from builds.common.build_names import build_name
from builds.store.models.stock import Movement


@dataclass(frozen=True, slots=True)
class Holder:
    """A build for which something is reserved: its key, and what it is known by."""

    pk: int
    code: str
    name: str

    def __str__(self) -> str:
        return self.name


@dataclass(frozen=True, slots=True)
class ReservedFor:
    """So many are reserved for a build; None: for something else."""

    build: Holder | None
    count: int


Holders = dict[int, list[ReservedFor]]
_OF_BUILD = ("build__code", "build__name", "build__is_named_as_repair")


def reserved_by_build(items: Iterable[int], *, but: Collection[int] = ()) -> Holders:
    """By the keys of these items, for whom how many are reserved; ``but`` for these builds."""
    rows = (
        Movement.objects.filter(item__in=list(items))
        .exclude(reserved_change=0)
        .values("item", "build", *_OF_BUILD)
        .annotate(total=models.Sum("reserved_change"))
        .filter(total__gt=0)
        .order_by("item", "build")
    )
    found: Holders = {}
    for row in rows:
        if (key := row["build"]) not in but:
            holder = _holder(row) if key else None
            found.setdefault(row["item"], []).append(ReservedFor(holder, row["total"]))
    return found


def _holder(row: Mapping[str, Any]) -> Holder:
    code, *named = (row[column] for column in _OF_BUILD)
    return Holder(row["build"], code, build_name(*named))


def lost_since(before: Mapping[int, Iterable[ReservedFor]]) -> Holders:
    """What they had then and have no more, by the key of the item."""
    now = reserved_by_build(before)
    found: Holders = {}
    for item, holders in before.items():
        left = Counter({one.build: one.count for one in now.get(item, ())})
        lost = [ReservedFor(one.build, one.count - left[one.build]) for one in holders]
        if gone := [one for one in lost if one.count > 0]:
            found[item] = gone
    return found
