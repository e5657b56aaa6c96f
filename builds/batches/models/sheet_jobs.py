"""Which plan asks for the sheets of a build: its own, a plan still to be cut, or none any more.

Each sheet is asked for once. Until a plan has a build in it, the build asks for its sheets; then
the plan does, which may take fewer for several builds; once that is cut, nobody does. What counts
is the newest plan of a batch, and of each line only the builds that it cuts whole.
"""

from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from django.db import models

from builds.batches.models.cutting_jobs import SHEET, CuttingJob, JobEnding
from builds.batches.models.cutting_lines import CuttingJobLine
from builds.batches.models.cutting_runs import CuttingRun
from builds.plans.models.build_plans import with_drawn
from builds.plans.models.builds import NEEDING, Build, BuildState

# A build, and the revision that is or was to be cut for it.
Drawn = tuple[int, int]


class PlanToCut(NamedTuple):
    """The newest plan of a batch that is still to be cut; ``takes`` and ``whole`` as its run's."""

    job: int
    batch: int
    takes: dict[str, int]
    whole: list[int]

    @property
    def sheets(self) -> dict[int, int]:
        """How many whole sheets it takes, by the key of their kind."""
        kinds = (one.partition(":") for one in self.takes)
        return {
            int(key): self.takes[f"{what}:{key}"] for what, _colon, key in kinds if what == SHEET
        }


@dataclass(frozen=True, slots=True)
class SeenTo:
    """Builds whose sheets are cut, and those whose sheets a plan takes: each by the keys of build
    and revision, with the batch of the job."""

    cut: dict[Drawn, int] = field(default_factory=dict)
    planned: dict[Drawn, int] = field(default_factory=dict)

    def elsewhere(self, drawn: Drawn, batch: int) -> bool:
        """Whether a job of another batch sees to it."""
        found = {self.cut.get(drawn), self.planned.get(drawn)} - {None}
        return bool(found - {batch})


def plans_to_cut(batches: Collection[int] | None = None) -> list[PlanToCut]:
    """The newest plan of each batch, unless a job of the batch was cut since it was asked for.

    Of all batches where None: one query. What was made before another plan of the batch was cut
    is out of date, since the other one cut for the same builds.
    """
    cut_since = JobEnding.objects.filter(
        what=JobEnding.What.CUT,
        job__batch=models.OuterRef("job__batch"),
        made_at__gte=models.OuterRef("job__made_at"),
    )
    runs = CuttingRun.objects.filter(plan__isnull=False, job__ending__isnull=True)
    runs = runs if batches is None else runs.filter(job__batch__in=batches)
    rows = runs.exclude(models.Exists(cut_since)).values(
        "job", "job__batch", "number", "unplaced", "weight", "takes", "whole"
    )
    best: dict[int, Any] = {}
    for row in sorted(rows, key=_newest_job_then_best_run):
        best.setdefault(row["job__batch"], row)
    return [PlanToCut(row["job"], batch, row["takes"], row["whole"]) for batch, row in best.items()]


def _newest_job_then_best_run(row: Any) -> tuple[Any, ...]:
    return (-row["job"], row["unplaced"], row["weight"], row["number"])


def seen_to(builds: Iterable[int]) -> SeenTo:
    """Who sees to the sheets of these builds: two queries at most, however many they are."""
    theirs = CuttingJobLine.objects.filter(builds__in=list(builds))
    lines: dict[int, list[Any]] = {}
    rows = CuttingJobLine.builds.through.objects.filter(cuttingjobline__in=theirs).order_by("pk")
    for row in rows.values(
        "cuttingjobline",
        "build",
        "cuttingjobline__number",
        "cuttingjobline__revision",
        "cuttingjobline__job",
        "cuttingjobline__job__batch",
        "cuttingjobline__job__ending__what",
        "cuttingjobline__job__ending__run__whole",
    ):
        lines.setdefault(row["cuttingjobline"], []).append(row)
    still = {
        rows[0]["cuttingjobline__job__batch"]
        for rows in lines.values()
        if rows[0]["cuttingjobline__job__ending__what"] is None
    }
    to_cut = {one.job: one.whole for one in plans_to_cut(still)} if still else {}
    found = SeenTo()
    for rows_of_line in lines.values():
        _tell(found, rows_of_line, to_cut)
    return found


def _tell(found: SeenTo, rows: list[Any], to_cut: dict[int, list[int]]) -> None:
    """The builds of one line of a job, in the order in which they came to it."""
    first = rows[0]
    is_cut = first["cuttingjobline__job__ending__what"] == JobEnding.What.CUT
    ended = first["cuttingjobline__job__ending__run__whole"]
    whole = ended if is_cut else to_cut.get(first["cuttingjobline__job"])
    told = found.cut if is_cut else found.planned
    for row in rows[: whole[first["cuttingjobline__number"] - 1]] if whole else ():
        told[row["build"], row["cuttingjobline__revision"]] = row["cuttingjobline__job__batch"]


def cut_of_lines(batch_id: int) -> Counter[int]:
    """Of each line of a batch, by its key, how many builds were cut whole: one query."""
    rows = CuttingJobLine.objects.filter(
        batch_line__batch=batch_id, job__ending__what=JobEnding.What.CUT
    ).values_list("batch_line", "number", "job__ending__run__whole")
    found: Counter[int] = Counter()
    for line, number, whole in rows:
        found[line] += whole[number - 1]
    return found


def cut_since(job: CuttingJob) -> CuttingJob | None:
    """A job of its batch that was cut after it was asked for, and so cut for the same builds."""
    others = CuttingJob.objects.filter(
        batch=job.batch_id, ending__what=JobEnding.What.CUT, ending__made_at__gte=job.made_at
    )
    return others.exclude(pk=job.pk).newest_first().first()


class Changed(NamedTuple):
    """A build of a job that is no longer what was to be cut for: planned anew, or past taking
    anything, in which state."""

    build: Build
    is_replanned: bool
    state: str


def changed_builds(job: CuttingJob) -> list[Changed]:
    """Builds of a job that were planned anew, stopped or finished since it was asked for."""
    rows = with_drawn(Build.objects.with_state()).filter(job_lines__job=job)
    rows = rows.annotate(cut_from=models.F("job_lines__revision")).order_by("pk")
    told: list[Any] = list(rows)
    found = []
    for one in told:
        is_replanned = one.drawn != one.cut_from
        if is_replanned or one.state not in NEEDING:
            found.append(Changed(one, is_replanned, str(BuildState(one.state).label)))
    return found
