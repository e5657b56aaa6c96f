"""Build days: who comes when to work on a build, what each brings, which tools are lent to whom."""

import uuid
from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from typing import NamedTuple, Self

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.plans.models.builds import OPEN, Build, BuildState, CannotBuild
from habitats.common.idempotency import Idempotent, made_before
from habitats.enclosures.models.enclosures import EnclosureState
from habitats.people.models.people import Person

LONGEST_PLACE, LONGEST_NOTE, LONGEST_THINGS = 120, 500, 200
# A calendar needs an end: where nobody said one, this long. Common practice, no source.
USUAL_LENGTH = timedelta(hours=3)


class BuildDayQuerySet(models.QuerySet["BuildDay"]):
    def soonest_first(self) -> Self:
        return self.order_by("on", "begins", "pk")

    def of(self, person: Person, first: date, last: date) -> Self:
        """Those to which the person comes, of builds that are still open."""
        live = Build.objects.in_state(*OPEN)
        mine = self.filter(coming__person=person, on__range=(first, last))
        return mine.filter(build__in=live.values("pk")).select_related("build")


class BuildDay(Idempotent):
    """A day on which people meet for a build. ``ends`` None: nobody said when.

    ``sequence``: how often it was changed since it was planned, for calendars.
    """

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="days")
    on = models.DateField()
    begins = models.TimeField()
    ends = models.TimeField(null=True, blank=True)
    place = models.CharField(max_length=LONGEST_PLACE, blank=True)
    note = models.CharField(max_length=LONGEST_NOTE, blank=True)
    made_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+", editable=False)
    made_at = models.DateTimeField(default=timezone.now, editable=False)
    sequence = models.PositiveIntegerField(default=0, editable=False)

    objects = BuildDayQuerySet.as_manager()

    def __str__(self) -> str:
        return f"build day of {self.build_id} on {self.on}"

    def hours(self, begins: time | None = None) -> tuple[datetime, datetime]:
        """From when to when in the rescue's time, for who comes later than the others."""
        first = _at(self.on, begins or self.begins)
        last = _at(self.on, self.ends) if self.ends else first
        return first, last if last > first else first + USUAL_LENGTH


class Coming(models.Model):
    """Somebody comes to a build day; ``at`` None: when it begins."""

    day = models.ForeignKey(BuildDay, on_delete=models.CASCADE, related_name="coming")
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="build_days")
    at = models.TimeField(null=True, blank=True)
    brings = models.CharField(max_length=LONGEST_THINGS, blank=True)
    lent = models.CharField(max_length=LONGEST_THINGS, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["day", "person"], name="a_person_comes_once_to_a_build_day"
            )
        ]

    def __str__(self) -> str:
        return f"person {self.person_id} comes to build day {self.day_id}"


class WhoComes(NamedTuple):
    """What a row of the form says of somebody."""

    person: Person
    at: time | None = None
    brings: str = ""
    lent: str = ""


class DayFacts(NamedTuple):
    on: date
    begins: time
    ends: time | None = None
    place: str = ""
    note: str = ""


def plan_build_day(
    build: Build, facts: DayFacts, coming: Iterable[WhoComes], *, by: Person, key: uuid.UUID
) -> BuildDay:
    """A new one. The same key again gives the same.

    Raises ``CannotBuild`` where nobody will work on the build any more.
    """
    with transaction.atomic():
        locked = Build.objects.select_for_update(of=("self",), no_key=True).get(pk=build.pk)
        known = made_before(BuildDay.objects, key)
        if known:
            return known
        if why := why_no_build_day(locked):
            raise CannotBuild(why)
        day = BuildDay.objects.create(
            build=build, made_by=by, idempotency_key=key, **facts._asdict()
        )
        _set_coming(day, coming)
    return day


def change_build_day(day: BuildDay, facts: DayFacts, coming: Iterable[WhoComes]) -> None:
    """Raises ``CannotBuild`` as ``plan_build_day`` does."""
    with transaction.atomic():
        locked = Build.objects.select_for_update(of=("self",), no_key=True).get(pk=day.build_id)
        if why := why_no_build_day(locked):
            raise CannotBuild(why)
        for name, value in facts._asdict().items():
            setattr(day, name, value)
        day.sequence += 1
        day.save()
        _set_coming(day, coming)


def why_no_build_day(build: Build) -> str:
    """Why nobody can meet to work on this build; empty where they can."""
    state = BuildState(build.state_now())
    if state == BuildState.HANDED_OVER:
        return _("This build is handed over, so no build day can be planned for it.")
    if state == BuildState.STOPPED:
        return _("This build is stopped, so no build day can be planned for it.")
    enclosure = build.enclosure
    if enclosure is not None and enclosure.state_now() == EnclosureState.RETIRED:
        return _("%(enclosure)s is retired, so no build day can be planned for it.") % {
            "enclosure": enclosure
        }
    return ""


def _set_coming(day: BuildDay, coming: Iterable[WhoComes]) -> None:
    day.coming.all().delete()
    Coming.objects.bulk_create(Coming(day=day, **one._asdict()) for one in coming)


def _at(day: date, hour: time) -> datetime:
    return timezone.make_aware(datetime.combine(day, hour))
