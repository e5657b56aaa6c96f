"""Working out a cutting job: within a request, or in the background while pages ask for progress.

Whoever claimed the run works it out, so no job is worked out twice. The database is written to
for an instant each second and never while the search computes. A thread follows the search, which
runs in a process of its own; if the server is restarted both end, and the run is found silent.
"""

import logging
import threading
from functools import lru_cache

from django.db import connection

from builds.batches.models.cutting_jobs import CuttingJob
from builds.batches.models.cutting_runs import CuttingRun
from builds.batches.models.following import follow as plans_follow
from builds.batches.solving import Search
from builds.common.deadline import stop_after
from builds.sheets import CuttingPlan, OrderLine, SheetOffer, SheetOrder, work_out
from habitats.designs.models.structures import limits
from habitats.structure.design import Design as Shape
from habitats.structure.design import Limits
from habitats.structure.structure import raise_structure

BEAT_SECONDS = 1.0
# Up to so many seconds a job is worked out while its reader waits.
MOST_SECONDS_AT_ONCE = 2.0
KEPT = 32

log = logging.getLogger(__name__)


def begin(job: CuttingJob, seconds: float) -> CuttingRun:
    """Work the job out for so long: now if that is short, else beside the pages.

    Raises ``CannotCut`` if it cannot be as things are.
    """
    order = job.order(seconds)
    run = job.begin_run(seconds)
    if seconds <= MOST_SECONDS_AT_ONCE:
        _work_now(run, order)
    else:
        threading.Thread(target=_follow_in_thread, args=(run, order), daemon=True).start()
    return run


def plan_for(shape: Shape, code: str, offer: SheetOffer) -> CuttingPlan:
    """A plan for one build of a sound shape, worked out while its reader waits."""
    return _planned(shape, limits(), code, offer)


@lru_cache(maxsize=KEPT)
def _planned(shape: Shape, limits: Limits, code: str, offer: SheetOffer) -> CuttingPlan:
    line = OrderLine(shape.name, code, 1, "", raise_structure(shape, limits))
    return work_out(SheetOrder((line,), offer), stop_after(MOST_SECONDS_AT_ONCE))


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


def follow(run: CuttingRun, order: SheetOrder) -> None:
    """Keep what the search finds until it ends, is asked to stop, or the run was given up."""
    best: CuttingPlan | None = None
    is_last = stop_asked = False
    try:
        with Search(order) as search:
            while not is_last:
                news = search.news(BEAT_SECONDS)
                if news:
                    best, is_last = news
                if not is_last and not run.beat(news.plan if news else None) and not stop_asked:
                    stop_asked = True
                    search.stop()
    except Exception:
        log.exception("Run %s of cutting job %s failed.", run.number, run.job_id)
        run.end(best, CuttingRun.How.FAILED)
        return
    _end(run, best, CuttingRun.How.STOPPED if stop_asked else CuttingRun.How.FINISHED)


def _follow_in_thread(run: CuttingRun, order: SheetOrder) -> None:
    try:
        follow(run, order)
    finally:
        connection.close()
