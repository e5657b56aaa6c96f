"""Treatments as a person sees them on a day: all for coordinators, else those in one's own homes.

Six queries at most, however many there are: the treatments, where their animals live, who is on
trial, what was recorded of their doses, and the days on which the animals were not ours. Three more
for those that a departure ended.
"""

from collections.abc import Callable, Collection
from datetime import date, datetime, timedelta
from typing import Any, NamedTuple

from django.db import models

from habitats.adoptions.models.adoptions import AdoptedAnimal
from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Membership
from habitats.common.happened import SpanQuerySet
from habitats.common.written import given, given_keys, written
from habitats.health.models.doses import StandingDose, standing_doses
from habitats.health.models.treatments import (
    Treatment,
    TreatmentQuerySet,
    answers_of,
    know_days_away,
)
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person

MISSED_DAYS = 7  # so many days back a dose without an entry is told; its treatment has them all
_STANDING = "group__stays__enclosure__standings__"


class SeenTreatment(NamedTuple):
    """``home`` empty: the animal lives in no home. ``is_mine``: the person gives its doses.

    Fosters give those in their homes; coordinators also those in a depot or in no home, and record
    those of an animal that is on trial with an ``adopter``.
    """

    treatment: Treatment
    home: str
    is_mine: bool
    adopter: str = ""


class _SeenBy:
    """A question about treatments, written for coordinators, and for those with homes."""

    def __init__(self, treatments: Callable[[], TreatmentQuerySet]) -> None:
        self._all = written(lambda: _by_name(treatments()))
        own = Animal.objects.in_homes_of
        self._own = written(
            lambda: _by_name(treatments()).filter(
                animal__in=own(given("person", Person), given("day", date))
            )
        )

    def __call__(self, person: Person, day: date, **days: date) -> list[Treatment]:
        if person.is_coordinator:
            return self._all(day=day, **days)
        if not person.has_role(Person.Role.FOSTER):
            return []
        return self._own(person=person, day=day, **days)


def _by_name(treatments: TreatmentQuerySet) -> TreatmentQuerySet:
    return treatments.select_related("animal", "stop").order_by("animal__name", "pk")


_RUNNING = _SeenBy(lambda: Treatment.objects.running(given("since", date), given("until", date)))
_LAPSED = _SeenBy(lambda: Treatment.objects.lapsed(given("day", date)))


class SeenTreatments:
    """Those of which a dose may be due from ``MISSED_DAYS`` before the day until so many after."""

    def __init__(self, person: Person, day: date, ahead_days: int = 1) -> None:
        self.day, self.since = day, day - timedelta(days=MISSED_DAYS)
        self.until = day + timedelta(days=ahead_days)
        self._person = person
        self.all = self._placed(_RUNNING(person, day, since=self.since, until=self.until))

    @property
    def lapsed(self) -> list[SeenTreatment]:
        """A departure ended them, and the animals are back."""
        return self._placed(_LAPSED(self._person, self.day))

    def _placed(self, found: list[Treatment]) -> list[SeenTreatment]:
        person, day = self._person, self.day
        places = _places([one.animal_id for one in found], person, day) if found else {}
        rows = [_seen(one, places.get(one.animal_id, _NOWHERE)) for one in found]
        homeless = [one.treatment.animal_id for one in rows if not one.home]
        if not homeless or not person.is_coordinator:
            return rows
        trials = AdoptedAnimal.objects.on_trial().filter(animal__in=homeless)
        with_whom = {
            one.animal_id: str(one.adoption.adopter)
            for one in trials.select_related("adoption__adopter")
        }
        return [one._replace(adopter=with_whom.get(one.treatment.animal_id, "")) for one in rows]

    def doses(self, now: datetime) -> list[tuple[SeenTreatment, StandingDose]]:
        """By time, and those of one time by animal."""
        if not self.all:
            return []
        know_days_away([one.treatment for one in self.all])
        keys = [one.treatment.pk for one in self.all]
        answers = answers_of(keys, self.since)
        found = [
            (one, dose)
            for one in self.all
            for dose in standing_doses(
                one.treatment, answers.get(one.treatment.pk, {}), self.since, self.until, now
            )
        ]
        return sorted(found, key=lambda pair: pair[1].due)


class _Place(NamedTuple):
    """The home in which an animal lives; ``is_own``: it is the person's."""

    home: str
    kind: str | None
    is_own: bool


_NOWHERE = _Place("", None, False)


def _places(animals: Collection[int], person: Person, day: date) -> dict[int, _Place]:
    """By animal, of those that live in a home."""
    rows = _PLACES(animals=animals, person=person, day=day)
    return {animal: _Place(*place) for animal, *place in rows}


def _places_asked() -> "models.QuerySet[Membership, tuple[Any, ...]]":
    day = given("day", date)
    lived_in = Membership.objects.filter(
        SpanQuerySet.covers(day),
        SpanQuerySet.covers(day, "group__stays__"),
        SpanQuerySet.covers(day, _STANDING),
        animal__in=given_keys("animals"),
    )
    own = Home.people.through.objects.filter(
        home=models.OuterRef(f"{_STANDING}home"), person=given("person", int)
    )
    home = (f"{_STANDING}home__name", f"{_STANDING}home__kind")
    return lived_in.values_list("animal", *home, models.Exists(own))


_PLACES = written(_places_asked)


def _seen(treatment: Treatment, place: _Place) -> SeenTreatment:
    kept_here = place.kind in (None, Home.Kind.DEPOT)
    return SeenTreatment(treatment, place.home, place.is_own or kept_here)
