"""Facts of batches and jobs that two people may change at once, as their pages show them."""

from django.utils.translation import gettext as _

from builds.batches.models.batches import Batch, BatchLine
from builds.batches.models.cutting_jobs import CuttingJob
from habitats.basis import Fact
from habitats.common.facts import fact


def lines_of(batch: Batch) -> list[Fact]:
    lines = list(BatchLine.objects.of_batch(batch))
    keys = ",".join(f"{one.pk}:{one.count}" for one in lines)
    words = ", ".join(f"{one.count} × {one.revision.design}" for one in lines)
    return [fact(batch, "lines", _("What is cut"), keys, words)]


def job_now(job: CuttingJob) -> list[Fact]:
    """Whether it is cut or given up, and which plan is its best."""
    end, run = job.end_or_none(), job.best_run()
    words = str(job.State(end.what).label) if end else _("not cut")
    number = run.number if run else None
    return [
        fact(job, "ending", _("This job"), end.pk if end else None, words),
        fact(
            job,
            "run",
            _("Cutting plan"),
            run.pk if run else None,
            _("plan %(number)s") % {"number": number},
        ),
    ]
