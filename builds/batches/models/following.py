"""Plans of builds follow the sheet plan that cuts them: trays are joined from the same pieces.

A sheet plan may make a tray for another size than the build's own plan does, where that saves a
sheet. Then the build is planned again from the same drawing: ticks stay where the work is the same.
What is cut by its own plan already is left alone.
"""

from collections.abc import Iterator
from typing import NamedTuple

from django.db import transaction

from builds.batches.models.cutting_jobs import CuttingJob, JobEnding
from builds.batches.models.cutting_lines import CannotCut, builds_in_order, order_line
from builds.batches.models.shares import chosen_run
from builds.batches.models.sheet_jobs import plans_to_cut
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import NEEDING, Build, CannotBuild
from builds.plans.models.cut_pieces import has_cut_pieces
from builds.sheets import MadeLine, OrderLine
from habitats.people.models.people import Person


class ToMake(NamedTuple):
    """A build of a job, its line, and how the job's plan makes it; None: it does not."""

    build: Build
    line: OrderLine
    revision: int
    made: MadeLine | None


def follow(job: CuttingJob, *, by: Person) -> list[Build]:
    """Re-plan the builds of the job whose pieces it makes otherwise, and those that it makes no
    more. Gives them.

    Nothing of a plan that is out of date is followed; where the job was given up, another plan of
    its batch may be the one to cut now.
    """
    followed = [one.build for one in list(_to_make(job)) if _followed(one, job, by)]
    if JobEnding.objects.filter(job=job, what=JobEnding.What.DROPPED).exists():
        for number in [one.job for one in plans_to_cut([job.batch_id])]:
            followed += follow(CuttingJob.objects.get(pk=number), by=by)
    return followed


def _followed(one: ToMake, job: CuttingJob, by: Person) -> bool:
    """Whether it was planned again; not where its design can no longer be made, which its own
    page says: the others follow all the same.
    """
    try:
        return _follows(one, job, by)
    except (CannotCut, CannotBuild):
        return False


def _follows(one: ToMake, job: CuttingJob, by: Person) -> bool:
    """Whether it was planned again."""
    with transaction.atomic():
        Build.objects.select_for_update(of=("self",), no_key=True).get(pk=one.build.pk)
        plan = one.build.plans.newest_first().select_related("revision__design", "standing")[0]
        if plan.revision_id != one.revision or one.build.state_now() not in NEEDING:
            return False
        if not _differs(one, plan, job.code) or has_cut_pieces(one.build):
            return False
        BuildPlan.objects.work_out(
            one.build,
            plan.revision,
            standing=plan.standing,
            sheet=one.made.sheet if one.made else None,
            job=job.code if one.made else "",
            by=by,
        )
    return True


def _differs(one: ToMake, plan: BuildPlan, code: str) -> bool:
    if one.made is None:
        return plan.job == code
    return one.line.blanks_for(plan.sheet).blanks != one.made.blanks


def _to_make(job: CuttingJob) -> Iterator[ToMake]:
    """Its builds, line by line. Those that it cuts whole come first in each."""
    run = chosen_run(job)
    made = run.found().made if run else ()
    for line in job.lines.select_related("revision__design").order_by("number"):
        whole = run.whole[line.number - 1] if run else 0
        try:
            told = order_line(line)
        except CannotCut:  # as above
            continue
        for at, build in enumerate(builds_in_order(line)):
            is_made = at < whole
            yield ToMake(build, told, line.revision_id, made[line.number - 1] if is_made else None)
