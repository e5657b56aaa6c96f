"""The worker of the tasks library, which also says that it is there."""

import logging
from threading import Event, Thread
from typing import Any

from django.core.management.base import CommandError
from django.db import DatabaseError, close_old_connections, connection
from django_tasks_db.management.commands import db_worker

from habitats.common.shared_clock import shared_now
from habitats.common.tasks import are_queued
from habitats.server.workers import BEAT_SECONDS, TaskWorker, take_up
from habitats.start import database_fault

log = logging.getLogger(__name__)


class Command(db_worker.Command):
    help = "Do the long work that pages ask for, where TASKS is database. Runs until it is stopped."

    def handle(self, *, worker_id: str, **options: Any) -> None:
        if not are_queued():
            raise CommandError(
                "The server does long work itself. For a worker, set TASKS=database for both."
            )
        if fault := database_fault():
            raise CommandError(fault)
        # Before the first task: a task of a worker that nobody has seen counts as left behind.
        TaskWorker.say_here(worker_id, shared_now())
        is_over = Event()
        Thread(target=_beat, args=(worker_id, is_over), daemon=True).start()
        try:
            # One process, by one name: what the library starts again by itself would have two.
            super().handle(worker_id=worker_id, **options | {"reload": False})
        finally:
            is_over.set()


def _beat(name: str, is_over: Event) -> None:
    """Say that this worker is there, until it is over; a database that is away is waited for."""
    while True:
        try:
            close_old_connections()
            TaskWorker.say_here(name, shared_now())
            take_up(shared_now())
        except DatabaseError:
            log.warning("The worker cannot say that it is there: the database does not answer.")
        if is_over.wait(BEAT_SECONDS):
            break
    connection.close()
