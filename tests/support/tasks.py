"""Long work as a worker does it, for tests."""

from django_tasks_db.management.commands.db_worker import Worker
from django_tasks_db.models import DBTaskResult

QUEUE = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def work_off(name: str = "worker") -> None:
    """Do what waits, as a worker does that is alone; it keeps the test's connection open."""
    worker = Worker(
        queue_names=["default"],
        interval=0,
        batch=True,
        backend_name="default",
        startup_delay=False,
        max_tasks=None,
        worker_id=name,
        excluded_queue_names=[],
    )
    for waiting in DBTaskResult.objects.ready():
        waiting.claim(name)
        worker.run_task(waiting)
