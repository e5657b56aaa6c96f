"""Which home an enclosure stands in, and since when."""

import uuid
from datetime import date
from typing import TypeVar

from django.db import models, transaction
from django.utils.translation import gettext as _

from habitats.common import days
from habitats.common.happened import Elsewhere, Span, SpanQuerySet
from habitats.common.idempotency import made_before
from habitats.enclosures.models.enclosures import Enclosure
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person

_Span = TypeVar("_Span", bound=Span)


class StandingQuerySet(SpanQuerySet["Standing"]):
    pass


class Standing(Span):
    """An enclosure in a home."""

    enclosure = models.ForeignKey(Enclosure, on_delete=models.PROTECT, related_name="standings")
    home = models.ForeignKey(Home, on_delete=models.PROTECT, related_name="standings")

    objects = StandingQuerySet.as_manager()

    class Meta(Span.Meta):
        indexes = [
            models.Index(fields=["enclosure", "since"], name="standing_of_enclosure"),
            models.Index(fields=["home", "since"], name="standing_in_home"),
        ]
        constraints = [
            *Span.Meta.constraints,
            models.UniqueConstraint(
                fields=["enclosure"],
                condition=models.Q(until__isnull=True),
                name="enclosure_stands_in_one_home_now",
            ),
        ]

    def __str__(self) -> str:
        return f"enclosure {self.enclosure_id} in home {self.home_id} since {self.since}"


def stand(
    enclosure: Enclosure,
    home: Home,
    since: date,
    *,
    by: Person,
    idempotency_key: uuid.UUID | None = None,
) -> Standing:
    """The enclosure stands in the home from a day on, and no longer where it stood.

    The same key again changes nothing. Raises ``Elsewhere`` where it stood elsewhere later.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with transaction.atomic():
        Enclosure.objects.select_for_update(no_key=True).get(pk=enclosure.pk)
        known = made_before(Standing.objects, idempotency_key)
        if known:
            return known
        end_before(enclosure.standings.all(), since, by, enclosure)
        return enclosure.standings.create(
            home=home, since=since, made_by=by, idempotency_key=idempotency_key
        )


def home_of(enclosure: Enclosure) -> Home | None:
    """Where it stands now, or is planned."""
    standing = enclosure.standings.open().select_related("home").first()
    return standing.home if standing else None


def end_before(spans: models.QuerySet[_Span], since: date, by: Person, what: models.Model) -> None:
    """End the open span on that day; raise ``Elsewhere`` where one lies later."""
    real = spans.exclude(until=models.F("since"))
    later = real.filter(models.Q(since__gt=since) | models.Q(until__gt=since)).order_by("-since")
    if blocking := later.first():
        raise Elsewhere(
            _("%(what)s has a later entry than %(since)s, from %(day)s on. Enter a later day.")
            % {
                "what": what,
                "since": days.in_full(since),
                "day": days.in_full(blocking.since),
            }
        )
    if current := spans.filter(until__isnull=True).first():
        current.end(since, by)
