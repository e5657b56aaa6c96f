"""Working out a cutting job: within a request, or as a task while pages ask for progress.

Whoever claimed the run works it out, so no job is worked out twice. The database is written to
for an instant each second and never while the search computes: that runs in a process of its own.
If the server or the worker ends, the search ends with it, and the run is found silent.
"""

from django.db import transaction
from django_tasks import task

from builds.batches.models.cutting_jobs import CuttingJob
from builds.batches.models.cutting_runs import CuttingRun
from builds.batches.models.following import follow as plans_follow
from builds.batches.solving import Search
from builds.common.deadline import stop_after
from builds.common.runs import BEAT_SECONDS
from builds.sheets import CuttingPlan, SheetOrder, work_out
from habitats.common.shared_clock import shared_now
from habitats.common.tasks import are_queued

# Up to so many seconds a job is worked out while its reader waits.
MOST_SECONDS_AT_ONCE = 2.0


def begin(job: CuttingJob, seconds: float) -> CuttingRun:
    """Work the job out for so long: now if that is short, else beside the pages.

    Raises ``CannotCut`` if it cannot be as things are.
    """
    order = job.order(seconds)
    if seconds <= MOST_SECONDS_AT_ONCE:
        run = job.begin_run(seconds)
        _work_now(run, order)
        return run
    with transaction.atomic():
        run = job.begin_run(seconds, is_queued=are_queued())
        search.enqueue(run.pk)
    return run


@task()
def search(run_key: int) -> None:
    """Search for a plan of the run, unless it was stopped before its turn came."""
    run = CuttingRun.objects.select_related("job").get(pk=run_key)
    is_ours = run.take_up() if run.is_queued else run.is_live(shared_now())
    if is_ours:
        follow(run)
    else:
        run.end(None, CuttingRun.How.LOST)  # a worker before had begun it, and is gone


def follow(run: CuttingRun) -> None:
    """Keep what the search finds until it ends, is asked to stop, or the run was given up."""
    best: CuttingPlan | None = None
    is_last = stop_asked = False
    try:
        with Search(run.job.order(run.seconds)) as found:
            while not is_last:
                news = found.news(BEAT_SECONDS)
                if news:
                    best, is_last = news
                if not is_last and not run.beat(news.word if news else None) and not stop_asked:
                    stop_asked = True
                    found.stop()
    except Exception:
        run.end(best, CuttingRun.How.FAILED)
        raise
    _end(run, best, CuttingRun.How.STOPPED if stop_asked else CuttingRun.How.FINISHED)


def _work_now(run: CuttingRun, order: SheetOrder) -> None:
    try:
        plan = work_out(order, stop_after(run.seconds))
    except Exception:
        run.end(None, CuttingRun.How.FAILED)
        raise
    _end(run, plan, CuttingRun.How.FINISHED)


def _end(run: CuttingRun, plan: CuttingPlan | None, how: str) -> None:
    """The run ends, and builds are planned as its plan has them cut."""
    run.end(plan, how)
    job = run.job
    plans_follow(job, by=job.made_by)
