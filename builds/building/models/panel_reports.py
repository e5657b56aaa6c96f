"""Panels that measure otherwise than planned: reported from the step, answered by a coordinator.

Until then nothing is changed; the pages of the build say that nothing is to be cut. The answer
changes the panel of the design and re-plans the build: ticks stay where the work is the same.
"""

import uuid
from dataclasses import replace
from typing import Self

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.building.models.replanning import CAN_BE_PLANNED_ANEW, Replanned, compare, plan_anew
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import Build, CannotBuild
from builds.plans.models.progress import Progress
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import made_before
from habitats.common.written import given, written
from habitats.designs.models.designs import Design
from habitats.designs.models.structures import faults_of
from habitats.people.models.people import Person
from habitats.structure.design import Design as Shape
from habitats.structure.design import PanelSize

LONGEST_REMARK = 200


class PanelReportQuerySet(models.QuerySet["PanelReport"]):
    def waiting(self) -> Self:
        """The last report of each build that can be re-planned, where nobody answered it."""
        newest = PanelReport.objects.values("build").annotate(newest=models.Max("pk"))
        found = self.filter(pk__in=newest.values("newest"), answered_at__isnull=True)
        live = Build.objects.in_state(*CAN_BE_PLANNED_ANEW)
        return found.filter(build__in=live.values("pk")).select_related("build", "made_by")

    def unanswered(self) -> Self:
        """Those and older ones, asked shortly: mostly there is none."""
        return self.filter(answered_at=None)


class PanelReport(AppendOnly):
    """A panel was measured, from joint to joint, and has so many squares.

    ``is_taken``: the build was re-planned with it; None until a coordinator answered.
    """

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="panel_reports")
    size_mm = models.PositiveSmallIntegerField()
    squares = models.PositiveSmallIntegerField()
    planned_mm = models.PositiveSmallIntegerField()
    note = models.CharField(max_length=LONGEST_REMARK, blank=True)
    answered_at = models.DateTimeField(null=True, editable=False)
    answered_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, editable=False, related_name="+"
    )
    is_taken = models.BooleanField(null=True, editable=False)

    objects = PanelReportQuerySet.as_manager()

    def __str__(self) -> str:
        return f"panels of build {self.build_id}: {self.size_mm} mm"

    @property
    def panel(self) -> PanelSize:
        return PanelSize(self.size_mm, self.squares)

    @property
    def differs_in_squares_alone(self) -> bool:
        """The two sizes side by side would say nothing."""
        return self.size_mm == self.planned_mm

    def answer(self, *, is_taken: bool, by: Person) -> bool:
        """Whether nobody answered it before: it is answered once."""
        rows = PanelReport.objects.filter(pk=self.pk, answered_at__isnull=True)
        now = timezone.now()
        return bool(rows.update(answered_at=now, answered_by=by, is_taken=is_taken))


def may_be_reported(plan: BuildPlan, state: str) -> bool:
    """What is altered or mended has the panels that stand."""
    return plan.standing_id is None and not plan.is_repair and state in CAN_BE_PLANNED_ANEW


_WAITING = written(
    lambda: PanelReport.objects.waiting().filter(build=given("build", Build)).order_by("pk")[:1]
)


def waiting_on(build: Build) -> PanelReport | None:
    """The report that waits."""
    return next(iter(_WAITING(build=build)), None)


def report_panel(
    build: Build,
    panel: PanelSize,
    *,
    note: str,
    by: Person,
    idempotency_key: uuid.UUID,
) -> PanelReport:
    """The same key again gives the same report.

    Raises ``CannotBuild`` for the size that is planned, and where nothing can be re-planned.
    """
    with transaction.atomic():
        Build.objects.select_for_update(of=("self",), no_key=True).get(pk=build.pk)
        known = made_before(PanelReport.objects, idempotency_key)
        if known:
            return known
        planned = _planned_panel(build)
        if planned == panel:
            raise CannotBuild(_("This is the size that is planned, so you can go on."))
        return PanelReport.objects.create(
            build=build,
            size_mm=panel.size_mm,
            squares=panel.squares,
            planned_mm=planned.size_mm,
            note=note,
            made_by=by,
            idempotency_key=idempotency_key,
        )


def _planned_panel(build: Build) -> PanelSize:
    """Raises ``CannotBuild`` where nothing can be re-planned."""
    plan = build.plans.newest_first().select_related("revision")[0]
    if not may_be_reported(plan, build.state_now()):
        raise CannotBuild(_("This build can no longer be re-planned. Tell a coordinator."))
    return plan.revision.shape().panel


def settle(build: Build, *, by: Person) -> None:
    """The build was re-planned with these panels by hand."""
    panel = build.plans.newest_first().select_related("revision")[0].revision.shape().panel
    for report in PanelReport.objects.waiting().filter(build=build):
        if report.panel == panel:
            report.answer(is_taken=True, by=by)


def with_panel(design: Design, panel: PanelSize) -> Shape:
    """The design as it is drawn now, of other panels. Raises ``CannotBuild`` if it cannot stand."""
    shape = replace(design.shape(), panel=panel)
    if faults := faults_of(shape):
        raise CannotBuild(" ".join(str(fault.sentence) for fault in faults))
    return shape


def compare_with(progress: Progress, report: PanelReport) -> Replanned:
    """What re-planning with the reported panels would do. Raises ``CannotBuild``."""
    design = progress.plan.revision.design
    return compare(progress, design, with_panel(design, report.panel))


def replan_with(report: PanelReport, *, by: Person, idempotency_key: uuid.UUID) -> BuildPlan:
    """The design gets these panels, as another revision, and the build another plan.

    The same key again changes nothing. Raises ``CannotBuild``.
    """
    with transaction.atomic():
        build = Build.objects.select_for_update(of=("self",), no_key=True).get(pk=report.build_id)
        design = build.plans.newest_first().select_related("revision__design")[0].revision.design
        shape = with_panel(design, report.panel)
        if shape != design.shape():
            design.change(shape, by=by, idempotency_key=uuid.uuid5(idempotency_key, "design"))
        plan = plan_anew(build, design, by=by, idempotency_key=idempotency_key)
        report.answer(is_taken=True, by=by)
    return plan
