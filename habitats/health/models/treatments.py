"""Treatments as a vet wrote them, how they were stopped, and what was recorded of each dose."""

from collections.abc import Callable, Collection, Iterable
from datetime import date, datetime, time, timedelta
from functools import cached_property
from typing import Any, Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from habitats.animals.models.acts import Act
from habitats.animals.models.animals import Animal
from habitats.common.happened import AppendOnly
from habitats.common.written import given, given_keys, written
from habitats.health.models.away import days_away
from habitats.people.models.written_names import PersonNameField
from habitats.welfare.doses import (
    MOST_DAYS_BETWEEN,
    DosePlan,
    DueDose,
    PlannedDose,
    is_just_given,
)


def _departures(of: Callable[[str], Any]) -> models.QuerySet[Act]:
    """Those recorded after a treatment. A readmission tells of one too: that may be older than
    acts are."""
    kinds = (Act.Kind.DEPARTURE, Act.Kind.READMISSION)
    told = Act.objects.standing().filter(kind__in=kinds, animal=of("animal"))
    return told.filter(made_at__gte=of("made_at"))


class TreatmentQuerySet(models.QuerySet["Treatment"]):
    def running(self, since: date, until: date) -> Self:
        """Those of animals in our care of which a dose may be due on one of these days."""
        return self.filter(
            models.Q(last_day__isnull=True) | models.Q(last_day__gte=since),
            models.Q(stop__isnull=True) | models.Q(stop__at__date__gte=since),
            first_day__lte=until,
            animal__left_on__isnull=True,
        ).not_departed()

    def not_departed(self) -> Self:
        """Without those that a departure ended: its undoing brings them back, no readmission."""
        return self.filter(~models.Exists(_departures(models.OuterRef)))

    def lapsed(self, day: date) -> Self:
        """Ended by a departure of an animal that is in our care again, though the vet's days are
        not over; until one says so by stopping it, or writes it down again."""
        again = Treatment.objects.filter(
            animal=models.OuterRef("animal"),
            drug__iexact=models.OuterRef("drug"),
            pk__gt=models.OuterRef("pk"),
        )
        return self.filter(
            models.Q(last_day__isnull=True) | models.Q(last_day__gte=day),
            models.Exists(_departures(models.OuterRef)),
            ~models.Exists(again),
            stop__isnull=True,
            animal__left_on__isnull=True,
        )

    def latest_first(self) -> Self:
        return self.order_by("-first_day", "-pk")


class Treatment(AppendOnly):
    """What the vet wrote, in the vet's words: ``drug``, ``amount``, ``how``, ``how_often``.

    The doses follow from ``times`` (times of day, as “08:00”) and the days; see ``DosePlan``.
    A slip is put right by stopping it and writing down another.
    """

    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, related_name="treatments")
    drug = models.CharField(max_length=120)
    amount = models.CharField(max_length=120)
    how = models.CharField(max_length=120)
    how_often = models.CharField(max_length=200)
    times = models.JSONField(default=list)
    first_day = models.DateField()
    first_from = models.TimeField(null=True, blank=True)
    last_day = models.DateField(null=True, blank=True)
    every_days = models.PositiveSmallIntegerField(
        default=1, validators=[MinValueValidator(1), MaxValueValidator(MOST_DAYS_BETWEEN)]
    )
    vet = models.CharField(max_length=80)
    note = models.TextField(max_length=1000, blank=True)

    objects = TreatmentQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["last_day", "first_day"], name="treatment_by_days")]
        constraints = [
            models.CheckConstraint(
                name="treatment_ends_after_it_begins",
                condition=models.Q(last_day__isnull=True)
                | models.Q(last_day__gte=models.F("first_day")),
            ),
            models.CheckConstraint(
                name="treatment_comes_again",
                condition=models.Q(every_days__range=(1, MOST_DAYS_BETWEEN)),
            ),
        ]

    def __str__(self) -> str:
        return self.drug

    @property
    def plan(self) -> DosePlan:
        """Asks for the stop and the animal: load them with it."""
        stop: TreatmentStop | None = getattr(self, "stop", None)
        return DosePlan(
            self.first_day,
            tuple(time.fromisoformat(one) for one in self.times),
            self.last_day,
            self.first_from,
            self.every_days,
            stop.at if stop else None,
            self.departed_on or self.animal.left_on,
            self.away,
        )

    @cached_property
    def departed_on(self) -> date | None:
        """The day of the departure that ended it for good; None for those that are ``running``."""
        told = _departures(lambda name: getattr(self, name)).order_by("pk")
        days = told.values_list(models.functions.Coalesce("left_on", "on"), flat=True)
        return days.first()

    @cached_property
    def away(self) -> tuple[tuple[date, date], ...]:
        """One question each; of many at once ``know_days_away`` asks."""
        return days_away({self.animal_id}, timezone.localdate()).get(self.animal_id, ())

    @property
    def is_over(self) -> bool:
        """Stopped, or its last day has passed, or the animal left our care since."""
        past = self.last_day is not None and self.last_day < timezone.localdate()
        left = self.animal.left_on or self.departed_on
        return past or hasattr(self, "stop") or left is not None


def know_days_away(running: Collection[Treatment]) -> None:
    """Of all of them at once, before their plans are asked for. ``running``: none is departed."""
    found = days_away({one.animal_id for one in running}, timezone.localdate())
    for one in running:
        one.away = found.get(one.animal_id, ())
        one.departed_on = None


class TreatmentStop(AppendOnly):
    """It ends before its last day, from this moment on: who decided, and why."""

    treatment = models.OneToOneField(Treatment, on_delete=models.PROTECT, related_name="stop")
    at = models.DateTimeField()
    decided_by = PersonNameField(max_length=80)
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        return f"treatment {self.treatment_id} stopped"


def drug_key(words: str) -> str:
    """One drug, however it was typed: without a difference of capitals or of spaces."""
    return " ".join(words.split()).casefold()


class DoseQuerySet(models.QuerySet["Dose"]):
    def in_time(self) -> Self:
        return self.order_by("pk")

    def that_count_with(self, treatment: Treatment) -> Self:
        """Its own, and those of one with its drug that it took the place of: written down again,
        or ended where two records were merged."""
        key = drug_key(treatment.drug)
        known = treatment.animal.treatments.select_related("animal", "stop")
        over = [one.pk for one in known if drug_key(one.drug) == key and one.is_over]
        return self.filter(treatment__in=[treatment.pk, *over])

    def last_words(self) -> Self:
        """Those that say of a dose that it was given, and were not corrected later."""
        later = Dose.objects.filter(
            treatment=models.OuterRef("treatment"),
            due_day=models.OuterRef("due_day"),
            due_time=models.OuterRef("due_time"),
            pk__gt=models.OuterRef("pk"),
        )
        return self.filter(~models.Exists(later), outcome=Dose.Outcome.GIVEN)

    def given_close_to(self, moment: datetime, planned: PlannedDose) -> "Dose | None":
        """Of the doses whose last word is that they were given, one so close to this moment that
        it is asked about; not the planned one itself."""
        zone = timezone.get_current_timezone()
        most = timedelta(days=MOST_DAYS_BETWEEN)
        near = self.filter(at__gt=moment - most, at__lt=moment + most)
        due = planned.due
        for one in near.last_words().exclude(due_day=due.day, due_time=due.time).order_by("-at"):
            assert one.at is not None
            earlier, later = sorted((one.at, moment))
            if is_just_given(planned, earlier, later, zone):
                return one
        return None

    def answers(self, since: date) -> dict[int, dict[DueDose, bool | None]]:
        """By treatment and dose, whether it was given; the last word on each dose counts."""
        return _answers(self.recorded(since, timezone.now()))

    def recorded(self, since: date, now: datetime) -> "models.QuerySet[Dose, Any]":
        """None of an hour still to come: a clock that was ahead answers for no later dose."""
        rows = self.filter(due_day__gte=since, made_at__lte=now).in_time()
        return rows.values_list("treatment", "due_day", "due_time", "outcome")


class Dose(AppendOnly):
    """What was recorded of one dose, which is known by the day and time for which it was written.

    The last row of a dose counts, so a slip is put right by another. ``at`` and ``given_by``: when
    it was given and by whom, empty for who recorded it. ``why``: it was not given, or what was
    wrong with the row before.
    """

    class Outcome(models.TextChoices):
        GIVEN = "given", _("Given")
        NOT_GIVEN = "not given", _("Not given")
        WITHDRAWN = "withdrawn", _("The entry was wrong: nothing is known")

    IS_GIVEN: dict[str, Any] = {"given": True, "not given": False, "withdrawn": None}

    treatment = models.ForeignKey(Treatment, on_delete=models.PROTECT, related_name="doses")
    due_day = models.DateField()
    due_time = models.TimeField()
    outcome = models.CharField(max_length=10, choices=Outcome)
    at = models.DateTimeField(null=True, blank=True)
    given_by = PersonNameField(max_length=60, blank=True)
    why = models.CharField(max_length=200, blank=True)

    objects = DoseQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["treatment", "due_day"], name="dose_by_day")]
        constraints = [
            models.CheckConstraint(
                name="dose_is_given_at_a_time_or_not_for_a_reason",
                condition=models.Q(outcome="given", at__isnull=False)
                | (
                    models.Q(outcome__in=("not given", "withdrawn"), at__isnull=True)
                    & ~models.Q(why="")
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"dose of treatment {self.treatment_id} on {self.due_day}: {self.outcome}"

    @property
    def due(self) -> DueDose:
        return DueDose(self.due_day, self.due_time)

    @property
    def is_given(self) -> bool:
        return self.outcome == Dose.Outcome.GIVEN

    @property
    def outcome_words(self) -> str:
        return str(Dose.Outcome(self.outcome).label)


_RECORDED = written(
    lambda: Dose.objects.filter(treatment__in=given_keys("treatments")).recorded(
        given("since", date), given("now", datetime)
    )
)


def answers_of(treatments: Collection[int], since: date) -> dict[int, dict[DueDose, bool | None]]:
    """``answers`` of these, by their keys."""
    return _answers(_RECORDED(treatments=treatments, since=since, now=timezone.now()))


def _answers(recorded: Iterable[Any]) -> dict[int, dict[DueDose, bool | None]]:
    found: dict[int, dict[DueDose, bool | None]] = {}
    for treatment, day, at, outcome in recorded:
        found.setdefault(treatment, {})[DueDose(day, at)] = Dose.IS_GIVEN[outcome]
    return found


def last_word(treatment: Treatment, dose: DueDose) -> Dose | None:
    """The row that counts for this dose; None: nothing was recorded, or it was withdrawn."""
    rows = treatment.doses.filter(due_day=dose.day, due_time=dose.time)
    last = rows.select_related("made_by").order_by("-pk").first()
    return last if last and last.outcome != Dose.Outcome.WITHDRAWN else None


def given_at(moment: datetime) -> datetime:
    """To the minute, as people write it down."""
    return moment.replace(second=0, microsecond=0)
