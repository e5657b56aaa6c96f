"""Runs: one search for a plan each, and the best it has found."""

from datetime import datetime, timedelta
from typing import Any, Self

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from builds.sheets import CuttingPlan, document_of, plan_from

# A run that has said nothing for so long has lost its server; it says something every second.
SILENT = timedelta(seconds=15)


class CuttingRunQuerySet(models.QuerySet["CuttingRun"]):
    def going_on(self) -> Self:
        return self.filter(ended_at__isnull=True)

    def without_plans(self) -> Self:
        """Plans are long: each is loaded when it is asked for. Adds ``has_plan``."""
        has_plan = models.Q(plan__isnull=False)
        return self.annotate(has_plan=has_plan).defer("plan")


class CuttingRun(models.Model):
    """One search for a plan, and the best it has found. ``weight`` is cost with its joins.

    ``takes``: how many of each stock id the plan cuts up; ``whole``: line by line, how many builds
    it cuts whole. Both stand in the plan too, which is long.

    While it goes on it says so every second; once it has ended it is never changed. One that is
    queued waits for a worker, which may be a while, and says nothing.
    """

    class How(models.TextChoices):
        FINISHED = "finished", _("Finished")
        STOPPED = "stopped", _("Stopped")
        LOST = "lost", _("Stopped when the server was restarted")
        FAILED = "failed", _("Failed")

    job = models.ForeignKey("builds.CuttingJob", on_delete=models.PROTECT, related_name="runs")
    number = models.PositiveIntegerField()
    seconds = models.FloatField()
    is_queued = models.BooleanField(default=False)
    started_at = models.DateTimeField()
    beat_at = models.DateTimeField()
    stop_asked_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)
    how = models.CharField(max_length=10, choices=How, blank=True)
    plan = models.JSONField(encoder=DjangoJSONEncoder, null=True)
    better = models.PositiveIntegerField(default=0)
    unplaced = models.PositiveIntegerField(default=0)
    weight = models.DecimalField(max_digits=14, decimal_places=2, default=0)
    takes = models.JSONField(default=dict)
    whole = models.JSONField(default=list)

    objects = CuttingRunQuerySet.as_manager()

    class Meta:
        ordering = ["job", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="one_run_a_number"),
            models.UniqueConstraint(
                fields=["job"],
                condition=models.Q(ended_at__isnull=True),
                name="a_job_is_worked_out_once_at_a_time",
            ),
            models.CheckConstraint(
                name="a_run_ends_somehow",
                condition=models.Q(ended_at__isnull=True, how="")
                | models.Q(
                    ended_at__isnull=False, how__in=["finished", "stopped", "lost", "failed"]
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"run {self.number} of job {self.job_id}"

    def is_live(self, at: datetime) -> bool:
        return self.ended_at is None and (self.is_queued or self.beat_at >= at - SILENT)

    def has_found(self) -> bool:
        """Whether it has a plan; load ``without_plans()`` where many are asked."""
        known = getattr(self, "has_plan", None)
        return self.plan is not None if known is None else known

    def found(self) -> CuttingPlan:
        """Its best plan; only of a run that has found one."""
        assert self.plan is not None, "ask only a run that has a plan"
        return plan_from(self.plan)

    def how_now(self, at: datetime) -> str:
        """How it ended; lost if its server is gone, though nobody has written that down yet."""
        return self.how or ("" if self.is_live(at) else self.How.LOST)

    @property
    def is_stopping(self) -> bool:
        return self.stop_asked_at is not None

    @classmethod
    def end_silent(cls, at: datetime) -> int:
        """End the runs whose server is gone; what they had found stays."""
        silent = cls.objects.going_on().filter(is_queued=False, beat_at__lt=at - SILENT)
        return silent.update(ended_at=at, how=cls.How.LOST)

    def take_up(self) -> bool:
        """Its turn has come; False if it ended before."""
        now = timezone.now()
        queued = type(self).objects.going_on().filter(pk=self.pk, is_queued=True)
        return bool(queued.update(is_queued=False, started_at=now, beat_at=now))

    def ask_to_stop(self, at: datetime | None = None) -> None:
        """One that is queued ends at once: nobody is at it who could end it."""
        now = at or timezone.now()
        going_on = type(self).objects.going_on().filter(pk=self.pk, stop_asked_at__isnull=True)
        queued = going_on.filter(is_queued=True)
        if not queued.update(stop_asked_at=now, ended_at=now, how=self.How.STOPPED):
            going_on.update(stop_asked_at=now)

    def beat(self, plan: CuttingPlan | None = None) -> bool:
        """Say that it goes on, with a better plan if there is one. Whether it should go on."""
        kept: dict[str, Any] = {"beat_at": timezone.now()}
        if plan:
            kept |= _kept(plan) | {"better": models.F("better") + 1}
        alive = type(self).objects.going_on().filter(pk=self.pk).update(**kept)
        return (
            bool(alive)
            and not type(self).objects.filter(pk=self.pk, stop_asked_at__isnull=False).exists()
        )

    def end(self, plan: CuttingPlan | None, how: str) -> None:
        """Keep the plan, if there is one, and end; nothing if it had ended already."""
        kept = {"ended_at": timezone.now(), "how": how} | (_kept(plan) if plan else {})
        with transaction.atomic():
            if type(self).objects.going_on().filter(pk=self.pk).update(**kept) and plan:
                self.job.claim(plan)


def _kept(plan: CuttingPlan) -> dict[str, Any]:
    return {
        "plan": document_of(plan),
        "takes": dict(plan.taken),
        "whole": list(plan.whole),
        "unplaced": sum(one.quantity for one in plan.plan.unplaced),
        "weight": plan.plan.cost + plan.joins * (plan.offer.join_cost or 0),
    }
