"""What a cutting job is to cut: a line for each line of its batch."""

from django.db import models
from django.utils.translation import gettext

from builds.common.reckonings import draft_alteration
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import Build
from builds.sheets import Altered, OrderLine
from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import structure_of, structure_of_standing

MOST_COUNT = 200  # builds of one line
LONGEST_WHO_FOR = 60


class CannotCut(Exception):
    """What was asked for cannot be done as things are; ``str()`` of it is the sentence."""


class CuttingJobLine(models.Model):
    """What was still to be cut of a line of the batch when the job was made.

    ``batch_line`` None: it was taken out of the batch since. ``builds``, up to ``count``, are
    those that have a set of its pieces each; the batch gives it those that are planned later.
    """

    job = models.ForeignKey("builds.CuttingJob", on_delete=models.CASCADE, related_name="lines")
    number = models.PositiveIntegerField()
    batch_line = models.ForeignKey(
        "builds.BatchLine", on_delete=models.SET_NULL, null=True, related_name="job_lines"
    )
    revision = models.ForeignKey(DesignRevision, on_delete=models.PROTECT, related_name="+")
    count = models.PositiveIntegerField()
    who_for = models.CharField(max_length=LONGEST_WHO_FOR, blank=True)
    builds = models.ManyToManyField(Build, related_name="job_lines")

    class Meta:
        ordering = ["job", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="one_job_line_a_number"),
            models.CheckConstraint(
                name="job_line_counts", condition=models.Q(count__range=(1, MOST_COUNT))
            ),
        ]

    def __str__(self) -> str:
        return f"line {self.number} of job {self.job_id}"


def builds_in_order(line: CuttingJobLine) -> list[Build]:
    """As they came to it: the first of them get the sets of pieces that are whole."""
    came = CuttingJobLine.builds.through.objects.filter(cuttingjobline=line).order_by("pk")
    builds = line.builds.in_bulk()
    return [builds[pk] for pk in came.values_list("build", flat=True)]


def order_line(line: CuttingJobLine) -> OrderLine:
    """The line for the pure side: of an alteration, what it takes new.

    Raises ``CannotCut`` if its design can no longer be made.
    """
    shape = line.revision.shape()
    structure = structure_of(shape)
    if structure is None:
        raise CannotCut(
            gettext(
                "“%(name)s” can no longer be made with the limits of this server. Remove it from "
                "the batch, or change its drawing."
            )
            % {"name": shape.name}
        )
    code, alters = line.revision.design.code, _altered(line)
    return OrderLine(shape.name, code, line.count, line.who_for, structure, alters)


def _altered(line: CuttingJobLine) -> Altered | None:
    """A build that alters something has a line of its own."""
    plans = BuildPlan.objects.filter(build__in=line.builds.all(), revision=line.revision)
    altering = plans.exclude(standing=None).select_related("revision__design", "standing")
    plan = altering.order_by("-number").first()
    stands = plan.stands() if plan else None
    if plan is None or stands is None or (standing := structure_of_standing(stands.shape)) is None:
        return None
    laying = draft_alteration(stands, line.revision.shape(), plan.sheet).laying
    return Altered(standing, laying, stands.sheet)
