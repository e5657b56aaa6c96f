"""The worker that takes tasks from the database: when it was last there, and what it left.

The library counts tasks, and knows nothing of a worker that was killed: one says here every few
seconds that it is there, and what a silent one had begun is given to the next, once.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import models
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

BEAT_SECONDS = 10
# One that has said nothing for so long is gone.
SILENT = timedelta(seconds=60)
# What ended two workers is not given to a third.
MOST_TRIES = 2
FORGOTTEN = timedelta(days=1)
FAILED_LATELY = timedelta(days=1)
DAYS_KEPT = 7


class WorkerGone(Exception):
    """The workers that had begun a task ended without a word."""


class TaskWorker(models.Model):
    """A worker, by the name that it gives itself when it starts."""

    name = models.CharField(max_length=64, unique=True)
    seen_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name

    @classmethod
    def say_here(cls, name: str, now: datetime) -> None:
        cls.objects.update_or_create(name=name, defaults={"seen_at": now})

    @classmethod
    def last_seen(cls, now: datetime) -> datetime | None:
        """Of a later moment none was: a clock was set back."""
        seen = cls.objects.filter(seen_at__lte=now + SILENT)
        return seen.aggregate(last=models.Max("seen_at"))["last"]

    @classmethod
    def is_there(cls, now: datetime) -> bool:
        return cls._there(now).exists()

    @classmethod
    def _there(cls, now: datetime) -> "models.QuerySet[TaskWorker]":
        return cls.objects.filter(seen_at__range=(now - SILENT, now + SILENT))

    @classmethod
    def names(cls, now: datetime) -> set[str]:
        """Of those that are there. Those that have been gone for long are forgotten."""
        lately = (now - FORGOTTEN, now + FORGOTTEN)
        cls.objects.exclude(seen_at__range=lately).delete()
        return set(cls._there(now).values_list("name", flat=True))


@dataclass(frozen=True, slots=True)
class TaskCounts:
    """How many tasks wait, and how many failed since yesterday."""

    waiting: int
    failed: int


def task_counts(now: datetime) -> TaskCounts:
    failed = DBTaskResult.objects.failed().filter(finished_at__gte=now - FAILED_LATELY)
    return TaskCounts(DBTaskResult.objects.ready().count(), failed.count())


def take_up(now: datetime) -> int:
    """What gone workers had begun waits again, or has failed; how many tasks that were."""
    there = TaskWorker.names(now)
    running = DBTaskResult.objects.running()
    left = [one for one in running if there.isdisjoint(one.worker_ids[-1:])]
    for one in left:
        if len(one.worker_ids) < MOST_TRIES:
            # Only if it runs still: another worker may have taken it up just now.
            running.filter(pk=one.pk).update(status=TaskResultStatus.READY)
        else:
            one.set_failed(WorkerGone("Its workers ended without a word."))
    return len(left)


def forget_finished(now: datetime) -> int:
    """Delete what ended more than ``DAYS_KEPT`` days ago; how many tasks that were."""
    old = DBTaskResult.objects.finished().filter(finished_at__lt=now - timedelta(DAYS_KEPT))
    return old.delete()[0]
