"""Runs: one search for a plan each, and the best it has found."""

from typing import Any, Self

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models, transaction

from builds.common.runs import ENDS_SOMEHOW, Run, RunQuerySet
from builds.sheets import CuttingPlan, document_of, plan_from


class CuttingRunQuerySet(RunQuerySet["CuttingRun"]):
    def without_plans(self) -> Self:
        """Plans are long: each is loaded when it is asked for. Adds ``has_plan``."""
        has_plan = models.Q(plan__isnull=False)
        return self.annotate(has_plan=has_plan).defer("plan")


class CuttingRun(Run):
    """One search for a plan, and the best it has found. ``weight`` is cost with its joins.

    ``takes``: how many of each stock id the plan cuts up; ``whole``: line by line, how many builds
    it cuts whole. Both stand in the plan too, which is long.
    """

    job = models.ForeignKey("builds.CuttingJob", on_delete=models.PROTECT, related_name="runs")
    number = models.PositiveIntegerField()
    seconds = models.FloatField()
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
            models.CheckConstraint(name="a_run_ends_somehow", condition=ENDS_SOMEHOW),
        ]

    def __str__(self) -> str:
        return f"run {self.number} of job {self.job_id}"

    def has_found(self) -> bool:
        """Whether it has a plan; load ``without_plans()`` where many are asked."""
        known = getattr(self, "has_plan", None)
        return self.plan is not None if known is None else known

    def found(self) -> CuttingPlan:
        """Its best plan; only of a run that has found one."""
        assert self.plan is not None, "ask only a run that has a plan"
        return plan_from(self.plan)

    def beat(self, plan: CuttingPlan | None = None) -> bool:
        """Say that it goes on, with a better plan if there is one. Whether it should go on."""
        if plan is None:
            return self.say_alive()
        return self.say_alive(**_kept(plan), better=models.F("better") + 1)

    def end(self, plan: CuttingPlan | None, how: str) -> None:
        """Keep the plan, if there is one, and end; nothing if it had ended already."""
        with transaction.atomic():
            if self.end_as(how, **(_kept(plan) if plan else {})) and plan:
                self.job.claim(plan)


def _kept(plan: CuttingPlan) -> dict[str, Any]:
    return {
        "plan": document_of(plan),
        "takes": dict(plan.taken),
        "whole": list(plan.whole),
        "unplaced": sum(one.quantity for one in plan.plan.unplaced),
        "weight": plan.plan.cost + plan.joins * (plan.offer.join_cost or 0),
    }
