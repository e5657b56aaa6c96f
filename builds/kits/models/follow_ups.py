"""Follow-ups: the days on which somebody asks how a kit gets on, and what they heard.

A day that is moved is a new row of the same number; the last row of a number counts.
"""

import calendar
import uuid
from collections.abc import Mapping
from datetime import date, timedelta
from typing import NamedTuple, Self

from django.db import models, transaction

from builds.plans.models.builds import Build
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person
from habitats.wording import message

LONGEST_NOTE = 1000
MOST_DAYS_AHEAD = 2 * 366
FIRST_DAYS, SECOND_DAYS, THIRD_MONTHS = 2, 14, 2


class Suggested(NamedTuple):
    """Our own suggestion: ``about`` is what to ask."""

    number: int
    name: str
    about: str


SUGGESTED = (
    Suggested(
        1,
        message("After 2 days"),
        message("Is it stable, do the animals eat, is anything loose or chewed?"),
    ),
    Suggested(
        2,
        message("After 2 weeks"),
        message("Are there enough clean linens, and do all animals use every part of it?"),
    ),
    Suggested(
        3,
        message("After 2 months"),
        message("Is it still large enough, and does anything wear out?"),
    ),
)
OUR_OWN = message("our own suggestion")


def suggested_days(handed_over: date) -> dict[int, date]:
    """Two days, two weeks and two months after that day, by the number of the follow-up."""
    return {
        1: handed_over + timedelta(days=FIRST_DAYS),
        2: handed_over + timedelta(days=SECOND_DAYS),
        3: months_after(handed_over, THIRD_MONTHS),
    }


def months_after(day: date, months: int) -> date:
    """The same day of a later month, or that month's last."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(day.day, last))


class FollowUpQuerySet(models.QuerySet["FollowUp"]):
    def last_words(self) -> Self:
        """The last word on each number of each build, those that were dropped left out."""
        newest = FollowUp.objects.values("build", "number").annotate(newest=models.Max("pk"))
        return self.filter(pk__in=newest.values("newest"), on__isnull=False)

    def open(self) -> Self:
        """Those that nobody did yet."""
        done = FollowUpDone.objects.filter(
            build=models.OuterRef("build"), number=models.OuterRef("number")
        )
        return self.last_words().exclude(models.Exists(done))

    def soonest_first(self) -> Self:
        """What is overdue longest comes first."""
        return self.order_by("on", "pk")


class FollowUp(AppendOnly):
    """To ask on this day; ``on`` None: not to be asked after all."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="follow_ups")
    number = models.PositiveSmallIntegerField()
    on = models.DateField(null=True)

    objects = FollowUpQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["build", "number", "-id"], name="follow_up_latest")]
        constraints = [
            models.CheckConstraint(
                name="follow_up_number_is_known", condition=models.Q(number__in=[1, 2, 3])
            )
        ]

    def __str__(self) -> str:
        return f"follow-up {self.number} of build {self.build_id} on {self.on}"

    @property
    def suggested(self) -> Suggested:
        return SUGGESTED[self.number - 1]


class FollowUpDone(AppendOnly):
    """Somebody asked, and this is what they heard."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="follow_ups_done")
    number = models.PositiveSmallIntegerField()
    on = models.DateField()
    note = models.CharField(max_length=LONGEST_NOTE, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["build", "number"], name="a_follow_up_is_done_once")
        ]

    def __str__(self) -> str:
        return f"follow-up {self.number} of build {self.build_id} done on {self.on}"


class FollowUpNow(NamedTuple):
    """A follow-up as it stands; ``done`` None: nobody asked yet."""

    suggested: Suggested
    on: date | None
    done: FollowUpDone | None

    def is_due(self, today: date) -> bool:
        return self.done is None and self.on is not None and self.on <= today


def follow_ups_of(build: Build) -> list[FollowUpNow]:
    """All that were ever planned or done, by number; two questions."""
    planned = {one.number: one.on for one in build.follow_ups.last_words()}
    done = {one.number: one for one in build.follow_ups_done.select_related("made_by")}
    return [
        FollowUpNow(one, planned.get(one.number), done.get(one.number))
        for one in SUGGESTED
        if one.number in planned or one.number in done
    ]


def plan_follow_ups(
    build: Build, days: Mapping[int, date | None], *, by: Person, idempotency_key: uuid.UUID
) -> None:
    """Plan or move them; what stays as it was is not written again, nor what is done."""
    with transaction.atomic():
        Build.objects.select_for_update(of=("self",), no_key=True).get(pk=build.pk)
        planned = {one.number: one.on for one in build.follow_ups.last_words()}
        done = set(build.follow_ups_done.values_list("number", flat=True))
        for number, day in days.items():
            name = uuid.uuid5(idempotency_key, str(number))
            is_new = number not in done and planned.get(number) != day
            if is_new and not made_before(FollowUp.objects, name):
                build.follow_ups.create(number=number, on=day, made_by=by, idempotency_key=name)


def follow_up_done(
    build: Build, number: int, on: date, *, note: str, by: Person, idempotency_key: uuid.UUID
) -> FollowUpDone:
    """Somebody asked; said again, the first word stays."""
    done, _is_new = FollowUpDone.objects.get_or_create(
        build=build,
        number=number,
        defaults={"on": on, "note": note, "made_by": by, "idempotency_key": idempotency_key},
    )
    return done
