"""Batches: any number of builds that are cut together. A batch is a wish and may be changed."""

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any, Self

from django.conf import settings
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.batches.models.cutting_jobs import CuttingJob, JobEnding
from builds.batches.models.cutting_lines import (
    LONGEST_WHO_FOR,
    MOST_COUNT,
    CannotCut,
    CuttingJobLine,
)
from builds.batches.models.following import follow
from builds.batches.models.sheet_jobs import cut_of_lines, seen_to
from builds.plans.models.build_plans import BuildPlan, as_planned, with_drawn
from builds.plans.models.builds import NEEDING, Build, BuildQuerySet
from builds.plans.models.planning import plan_build
from habitats.common.codes import CODE_LENGTH, new_code
from habitats.common.idempotency import Idempotent, get_or_make, made_before
from habitats.designs.models.designs import Design, DesignRevision
from habitats.people.models.people import Person, WorkshopQuerySet

MOST_LINES, MOST_BUILDS = 60, 200
LONGEST_NAME = 80


class BatchQuerySet(WorkshopQuerySet["Batch"]):
    def with_counts(self) -> Self:
        """Adds ``builds``, how many enclosures it is for, and its latest job as ``latest_job``."""
        jobs = CuttingJob.objects.filter(batch=models.OuterRef("pk")).order_by("-pk")
        return self.annotate(
            builds=models.functions.Coalesce(models.Sum("lines__count"), 0),
            latest_job=models.Subquery(jobs.values("code")[:1]),
        )

    def newest_first(self) -> Self:
        return self.order_by("-made_at", "-pk")

    def begin(self, name: str, *, by: Person, idempotency_key: uuid.UUID | None = None) -> "Batch":
        """A new batch. The same key again gives the same batch."""
        return get_or_make(self, idempotency_key, name=name, code=new_code(), made_by=by)


class Batch(Idempotent):
    """Builds to cut for together."""

    name = models.CharField(max_length=LONGEST_NAME)
    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="batches"
    )
    made_at = models.DateTimeField(default=timezone.now)

    objects = BatchQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(name="batch_has_a_name", condition=~models.Q(name=""))
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.code})"

    def add(
        self,
        design: Design,
        count: int,
        who_for: str = "",
        *,
        idempotency_key: uuid.UUID | None = None,
    ) -> "BatchLine":
        """So many builds of the design as it is drawn now. The same key adds nothing.

        Raises ``CannotCut`` for a design that cannot be made, or for too many builds.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        assert design.current is not None, "a design is made by DesignQuerySet.draw"
        if design.faults():
            raise CannotCut(
                _("“%(design)s” is a draft and cannot be made yet. Finish its drawing first.")
                % {"design": design.name}
            )
        return self._add(design.current, count, who_for, idempotency_key)

    def _add(
        self, revision: DesignRevision, count: int, who_for: str, idempotency_key: uuid.UUID
    ) -> "BatchLine":
        with transaction.atomic():
            self._lock()
            known = made_before(self.lines, idempotency_key)
            if known:
                return known
            lines = self.lines.count()
            builds = self.lines.aggregate(all=models.Sum("count"))["all"] or 0
            if lines >= MOST_LINES or builds + count > MOST_BUILDS:
                raise CannotCut(
                    _(
                        "A batch holds at most %(most_builds)s builds in %(most_lines)s lines; "
                        "this one has %(builds)s in %(lines)s. Start a second batch for the rest."
                    )
                    % {
                        "most_builds": MOST_BUILDS,
                        "most_lines": MOST_LINES,
                        "builds": builds,
                        "lines": lines,
                    }
                )
            return self.lines.create(
                revision=revision, count=count, who_for=who_for, idempotency_key=idempotency_key
            )

    def add_build(self, build: Build, *, idempotency_key: uuid.UUID | None = None) -> "BatchLine":
        """A planned build, as it is planned now. The same key adds nothing, nor does a build that
        is in it as it is planned now.

        Raises ``CannotCut`` for a repair, and for too many builds.
        """
        plan = build.plans.newest_first().select_related("revision__design")[0]
        if plan.is_repair:
            raise CannotCut(
                _("“%(build)s” is a repair: it takes no sheets, so nothing is cut for it.")
                % {"build": build}
            )
        who_for = (build.adopter or str(build))[:LONGEST_WHO_FOR]
        with transaction.atomic():
            self._lock()
            known = self.lines.filter(builds=build, revision=plan.revision).first()
            if known:
                return known
            line = self._add(plan.revision, 1, who_for, idempotency_key or uuid.uuid4())
            line.builds.add(build)
        return line

    def add_builds(self, builds: Iterable[Build], *, idempotency_key: uuid.UUID) -> None:
        """All of them, or none: see ``add_build``."""
        with transaction.atomic():
            for build in builds:
                self.add_build(build, idempotency_key=uuid.uuid5(idempotency_key, build.code))

    def take_out(self, line: int) -> None:
        """Take the line with this key out. Raises ``CannotCut`` for one that is cut, or is gone."""
        with transaction.atomic():
            self._lock()
            found = self.lines.filter(pk=line).first()
            if found is None:
                raise CannotCut(_("This line is no longer in the batch, so nothing was removed."))
            if cut := cut_of_lines(self.pk)[found.pk]:
                raise CannotCut(
                    _("%(cut)s of %(count)s are cut, so this line cannot be removed.")
                    % {"cut": cut, "count": found.count}
                )
            found.delete()

    def plan_builds(self, *, by: Person, on: date) -> None:
        """Plan those of its builds that are not planned yet: all, or none.

        Raises ``CannotBuild`` where a design can no longer be made.
        """
        with transaction.atomic():
            self._lock()
            for line in self.lines.select_related("revision__design"):
                line.plan_builds(by=by, on=on)
            for job in self.jobs.exclude(ending__what=JobEnding.What.DROPPED).order_by("pk"):
                follow(job, by=by)

    def _lock(self) -> None:
        """Until the end of the transaction nobody else changes its lines."""
        type(self).objects.select_for_update(no_key=True).get(pk=self.pk)

    def job(
        self, offer: dict[str, Any], *, by: Person, idempotency_key: uuid.UUID | None = None
    ) -> CuttingJob:
        """A job to cut what is not cut yet of the batch. The same key gives the same job.

        Raises ``CannotCut`` for a batch of which nothing is to be cut.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            self._lock()
            known = made_before(CuttingJob.objects, idempotency_key)
            if known:
                return known
            lines = self._lines_to_cut()
            job = CuttingJob.objects.create(
                batch=self,
                code=new_code(),
                offer=offer,
                idempotency_key=idempotency_key,
                made_by=by,
            )
            for number, one in enumerate(lines, start=1):
                one.join(job, number)
        return job

    def _lines_to_cut(self) -> "list[ToCut]":
        """Some, or raises ``CannotCut``."""
        if not self.lines.exists():
            raise CannotCut(_("This batch is empty. Add a design first."))
        if lines := self.to_cut():
            return lines
        raise CannotCut(
            _(
                "Everything in this batch is cut already, or no longer planned. Add builds "
                "to it, or start another batch."
            )
        )

    def own_builds(self) -> BuildQuerySet:
        """Its builds that still take something, and are planned as they are drawn in it."""
        return as_planned("batch_lines", batch=self)

    def to_cut(self) -> "list[ToCut]":
        """What a job made now would cut, line by line: a few queries, however many lines.

        Neither what is cut, nor builds that a job of another batch sees to, that are planned from
        another drawing by now, or that take nothing more.
        """
        lines = list(self.lines.select_related("revision").prefetch_related("builds"))
        done, own = cut_of_lines(self.pk), {one.pk for one in self.own_builds()}
        seen = seen_to(one.pk for line in lines for one in line.builds.all())
        found = []
        for line in lines:
            builds = list(line.builds.all())
            mine = [
                one
                for one in builds
                if one.pk in own
                and (one.pk, line.revision_id) not in seen.cut
                and not seen.elsewhere((one.pk, line.revision_id), self.pk)
            ]
            unplanned = line.count - len(builds)
            cut_for_nobody = max(0, done[line.pk] - _cut_here(builds, line, seen.cut, self.pk))
            count = len(mine) + max(0, unplanned - cut_for_nobody)
            if count:
                found.append(ToCut(line, count, mine))
        return found


def builds_to_batch() -> BuildQuerySet:
    """Builds that a batch may take, the soonest first: they may still take something, are no
    repairs, and are in no batch as they are planned now."""
    newest = BuildPlan.objects.filter(build=models.OuterRef("pk")).newest_first()
    builds = with_drawn(Build.objects.in_state(*NEEDING)).alias(
        of_repair=models.Subquery(newest.values("is_repair")[:1]),
        is_taken=models.Exists(
            BatchLine.objects.filter(
                builds=models.OuterRef("pk"), revision=models.OuterRef("drawn")
            )
        ),
    )
    return builds.filter(of_repair=False, is_taken=False).soonest_first()


@dataclass(frozen=True, slots=True)
class ToCut:
    """So many builds of a line are still to be cut; ``builds`` are those of them it knows."""

    line: "BatchLine"
    count: int
    builds: list[Build]

    def join(self, job: CuttingJob, number: int) -> None:
        """Become a line of the job."""
        made = job.lines.create(
            number=number,
            batch_line=self.line,
            revision=self.line.revision,
            count=self.count,
            who_for=self.line.who_for,
        )
        made.builds.set(self.builds)


def _cut_here(
    builds: list[Build], line: "BatchLine", cut: dict[tuple[int, int], int], batch: int
) -> int:
    return sum(1 for one in builds if cut.get((one.pk, line.revision_id)) == batch)


class BatchLineQuerySet(models.QuerySet["BatchLine"]):
    def of_batch(self, batch: Batch) -> Self:
        """In the order in which they were added, with their designs."""
        return self.filter(batch=batch).select_related("revision__design").order_by("pk")


class BatchLine(Idempotent):
    """So many builds of a design as it was drawn when it was added.

    ``builds`` are those of them that are planned: up to ``count``.
    """

    batch = models.ForeignKey(Batch, on_delete=models.CASCADE, related_name="lines")
    revision = models.ForeignKey(DesignRevision, on_delete=models.PROTECT, related_name="+")
    count = models.PositiveIntegerField()
    who_for = models.CharField(max_length=LONGEST_WHO_FOR, blank=True)
    builds = models.ManyToManyField(Build, related_name="batch_lines")

    objects = BatchLineQuerySet.as_manager()

    class Meta:
        ordering = ["batch", "pk"]
        constraints = [
            models.CheckConstraint(
                name="batch_line_counts", condition=models.Q(count__range=(1, MOST_COUNT))
            ),
        ]

    def __str__(self) -> str:
        return f"{self.count} of revision {self.revision_id}"

    def plan_builds(self, *, by: Person, on: date) -> None:
        """Plan those of its builds that are not planned yet, for nobody in particular.

        What was cut for them before, and a place in plans still to be cut, are theirs. None are
        planned for a line that was taken out meanwhile.
        Raises ``CannotBuild`` for a design that can no longer be made.
        """
        name = self.who_for or self.revision.design.name
        with transaction.atomic():
            if (
                not type(self)
                .objects.select_for_update(of=("self",), no_key=True)
                .filter(pk=self.pk)
                .exists()
            ):
                return
            for number in range(self.builds.count() + 1, self.count + 1):
                called = f"{name}, {number}/{self.count}" if self.count > 1 else name
                idempotency_key = uuid.uuid5(self.idempotency_key, f"build {number}")
                build = plan_build(
                    self.revision, called[:80], by=by, on=on, idempotency_key=idempotency_key
                )
                self.builds.add(build)
                self._give_pieces(build)

    def _give_pieces(self, build: Build) -> None:
        """A set of pieces that was cut for nobody yet; else a place in the plans to be cut."""
        jobs = self.job_lines.select_related("job__ending__run").defer("job__ending__run__plan")
        lines = list(jobs.order_by("pk"))
        cut = [one for one in lines if _ended(one) == JobEnding.What.CUT]
        for one in cut:
            run = one.job.ending.run
            if run and one.builds.count() < run.whole[one.number - 1]:
                one.builds.add(build)
                return
        for one in lines:
            if _ended(one) is None and one.builds.count() < one.count:
                one.builds.add(build)


def _ended(line: CuttingJobLine) -> str | None:
    ending = line.job.end_or_none()
    return ending.what if ending else None
