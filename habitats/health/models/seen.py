"""Treatments as a person sees them on a day: all for coordinators, else those in one's own homes.

Four queries at most, however many there are: the treatments, what was recorded of their doses, and
the days on which the animals were not ours.
"""

from datetime import date, datetime, timedelta
from typing import NamedTuple

from django.db import models

from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Membership
from habitats.common.happened import SpanQuerySet
from habitats.health.models.doses import StandingDose, standing_doses
from habitats.health.models.treatments import Dose, Treatment, know_days_away
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person

MISSED_DAYS = 7  # so many days back a dose without an entry is told; its treatment has them all
_STANDING = "group__stays__enclosure__standings__"


class SeenTreatment(NamedTuple):
    """``home`` empty: the animal lives in no home. ``is_mine``: the person gives its doses.

    Fosters give those in their homes; coordinators also those in a depot or in no home.
    """

    treatment: Treatment
    home: str
    is_mine: bool


class SeenTreatments:
    """Those of which a dose may be due from ``MISSED_DAYS`` before the day until so many after."""

    def __init__(self, person: Person, day: date, ahead_days: int = 1) -> None:
        self.day, self.since = day, day - timedelta(days=MISSED_DAYS)
        self.until = day + timedelta(days=ahead_days)
        running = Treatment.objects.running(self.since, self.until)
        if not person.is_coordinator:
            running = running.filter(animal__in=Animal.objects.visible_to(person, day))
        placed = _with_home(running.select_related("animal", "stop"), person, day)
        self.all = [_seen(one) for one in placed.order_by("animal__name", "pk")]

    def doses(self, now: datetime) -> list[tuple[SeenTreatment, StandingDose]]:
        """By time, and those of one time by animal."""
        if not self.all:
            return []
        know_days_away([one.treatment for one in self.all])
        keys = [one.treatment.pk for one in self.all]
        answers = Dose.objects.filter(treatment__in=keys).answers(self.since)
        found = [
            (one, dose)
            for one in self.all
            for dose in standing_doses(
                one.treatment, answers.get(one.treatment.pk, {}), self.since, self.until, now
            )
        ]
        return sorted(found, key=lambda pair: pair[1].due)


def _with_home(
    treatments: "models.QuerySet[Treatment]", person: Person, day: date
) -> "models.QuerySet[Treatment]":
    homes = Membership.objects.filter(
        SpanQuerySet.covers(day),
        SpanQuerySet.covers(day, "group__stays__"),
        SpanQuerySet.covers(day, _STANDING),
        animal=models.OuterRef("animal"),
    )
    own = homes.filter(**{f"{_STANDING}home__people": person})
    return treatments.annotate(
        home_name=models.Subquery(homes.values(f"{_STANDING}home__name")[:1]),
        home_kind=models.Subquery(homes.values(f"{_STANDING}home__kind")[:1]),
        is_at_own_home=models.Exists(own),
    )


def _seen(treatment: Treatment) -> SeenTreatment:
    found = vars(treatment)
    kept_here = found["home_kind"] in (None, Home.Kind.DEPOT)
    return SeenTreatment(treatment, found["home_name"] or "", found["is_at_own_home"] or kept_here)
