"""Where long work is done: by this server, or by a worker that takes it from the database.

A task is a function with ``@task()`` of django-tasks, the backport of Django's own interface; TASKS
says which backend does it. Whoever asks for a task is not kept waiting, and it is begun only once
what it is about is committed.
"""

from threading import Thread

from django.db import connections, transaction
from django_tasks import TaskResult, default_task_backend
from django_tasks.backends.immediate import ImmediateBackend


class InThisServer(ImmediateBackend):
    """Each task in a thread beside the pages: it ends with the server, and nothing waits."""

    def _execute_task(self, task_result: TaskResult) -> None:
        thread = Thread(target=self._work_off, args=(task_result,), daemon=True)
        transaction.on_commit(thread.start)

    def _work_off(self, task_result: TaskResult) -> None:
        try:
            super()._execute_task(task_result)
        finally:
            connections.close_all()


def are_queued() -> bool:
    """Whether tasks wait in the database until a worker takes them."""
    # That one can be asked for its results again is what sets the stored ones apart.
    return default_task_backend.supports_get_result
