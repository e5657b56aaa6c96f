"""Which sheet plan cuts the pieces of a build, and what it holds for it."""

from typing import Any

from django.db.models import QuerySet, Value

from builds.batches.models.cutting_jobs import CuttingJob, JobEnding
from builds.batches.models.cutting_lines import CuttingJobLine, builds_in_order, order_line
from builds.batches.models.cutting_runs import CuttingRun
from builds.batches.models.sheet_jobs import plans_to_cut
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import Build
from builds.sheets import CuttingPlan, InPlan, Share, in_plan
from habitats.common.written import given, written


def cut_by(plan: BuildPlan) -> InPlan | None:
    """Where the pieces of a build's plan lie in the plan that cuts them; None where none does, or
    its pieces are others.
    """
    lines = CuttingJobLine.objects.filter(builds=plan.build_id, revision=plan.revision_id)
    for line in lines.select_related("job", "revision__design").order_by("-pk"):
        run = chosen_run(line.job)
        found = run.found() if run else None
        share = _share(line, plan, found) if found else None
        if found and share:
            return in_plan(line.job.code, found, share)
    return None


def sheet_plans_of(build: Build) -> str:
    """Says another thing whenever another sheet plan may cut it: what pages tell of pieces, and
    which way their flutes run, hangs on that plan. Empty for a build that is in no job.

    Runs that have ended and endings of jobs never change, so their numbers are enough.
    """
    found = [of for of, _pk in _RUNS_AND_ENDINGS(build=build)]
    return f"{found.count(0)}.{found.count(1)}" if found else ""


def _runs_and_endings() -> "QuerySet[Any, Any]":
    build = given("build", Build)
    runs = CuttingRun.objects.filter(job__lines__builds=build, ended_at__isnull=False)
    endings = JobEnding.objects.filter(job__lines__builds=build)
    asked = [
        rows.order_by().annotate(of=Value(of)).values_list("of", "pk")
        for of, rows in enumerate((runs, endings))
    ]
    return asked[0].union(asked[1])  # without all: each of them once


_RUNS_AND_ENDINGS = written(_runs_and_endings)


def _share(line: CuttingJobLine, of: BuildPlan, plan: CuttingPlan) -> Share | None:
    """The first builds of a line have its sets of pieces that are whole."""
    at = [build.pk for build in builds_in_order(line)].index(of.build_id)
    lacking = {one.build.number for one in plan.missing}
    own = [one for one in plan.shares if one.build.line == line.number - 1]
    whole = [s for s in own if s.build.number not in lacking and not s.build.made.unmade]
    if at >= len(whole):
        return None
    made = whole[at].build.made.blanks
    return whole[at] if order_line(line).blanks_for(of.sheet).blanks == made else None


def chosen_run(job: CuttingJob) -> CuttingRun | None:
    """The run whose plan was cut, or is to be: none of a job that is given up or out of date."""
    job = CuttingJob.objects.with_state().get(pk=job.pk)
    if job.state == CuttingJob.State.CUT:
        return job.best_run()
    to_cut = {one.job for one in plans_to_cut([job.batch_id])}
    return job.best_run() if job.pk in to_cut else None
