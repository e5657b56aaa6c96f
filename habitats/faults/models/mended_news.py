"""News for a foster: what was wrong at home is mended, told until they have seen it."""

from datetime import date, timedelta

from django.db import models

from habitats.common.happened import AppendOnly, SpanQuerySet
from habitats.faults.models.faults import FaultMended
from habitats.people.models.people import Person

# So many days it is told: who has not looked by then sees it in the enclosure's history.
TOLD_DAYS = 14


class MendedSeen(AppendOnly):
    """A person has read that a fault is mended."""

    mended = models.ForeignKey(FaultMended, on_delete=models.PROTECT, related_name="seen")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["mended", "made_by"], name="mended_is_seen_once")
        ]

    def __str__(self) -> str:
        return f"mended {self.mended_id} seen"


def first_day_told(today: date) -> date:
    return today - timedelta(days=TOLD_DAYS)


def mended_unseen(person: Person, today: date, since: date) -> "models.QuerySet[FaultMended]":
    """In the homes of this person, by others, on ``since`` or later; the latest first."""
    there = SpanQuerySet.covers(today, "fault__enclosure__standings__")
    return (
        FaultMended.objects.filter(
            there, fault__enclosure__standings__home__people=person, on__gte=since
        )
        .exclude(made_by=person)
        .exclude(pk__in=MendedSeen.objects.filter(made_by=person).values("mended"))
        .select_related("fault__enclosure", "made_by")
        .order_by("-on", "-pk")
    )


def see_mended(mended: FaultMended, *, by: Person) -> None:
    """It is not told to this person again; said twice, once is kept."""
    MendedSeen.objects.get_or_create(mended=mended, made_by=by)
