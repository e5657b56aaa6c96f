"""What a server asks of its machine before it answers: faults are one sentence each, and no start.

A WSGI server, unlike `runserver`, runs no system checks, and none looks for missing migrations:
without this the first visitor would be shown a 500.
"""

import gc
import io
import sys
from collections.abc import Iterator
from pathlib import Path

import gunicorn.workers.gthread
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import SystemCheckError
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.template.loader import get_template
from django.urls import reverse
from django.utils import translation

from habitats.common.kept_plans import forget_when_refused
from habitats.common.script_words import script_words
from habitats.common.written import write_all
from habitats.older import too_old

# gunicorn then stops, rather than start the worker again and again.
BOOT_FAULT = 3
# From which time on PostgreSQL keeps the plan of a question that one connection asks again.
PLAN_KEPT_FROM = 3
SECONDS_FOR_A_WORD = 1.0
# A page makes thousands that go by themselves. Python looks for circles after 700 by itself, which
# took 2.5 % of the processor's time; so it takes 1.4 %.
OBJECTS_BEFORE_A_LOOK = 10_000


def refuse_or_go_on() -> None:
    """End this process with the reason on standard error if the server cannot answer pages.

    Warnings of the checks are written there too; that all is well need not be said.
    """
    try:
        call_command("check", stdout=io.StringIO())
        fault = database_fault()
    except SystemCheckError as found:
        fault = str(found)
    if fault:
        print(fault, file=sys.stderr)
        raise SystemExit(BOOT_FAULT)


def database_fault() -> str:
    """Why the database cannot be used, and what to type; empty if it can."""
    try:
        if fault := too_old(connection):
            return fault
        executor = MigrationExecutor(connection)
        missing = executor.migration_plan(executor.loader.graph.leaf_nodes())
    except DatabaseError as fault:
        return (
            f"The database does not answer: {str(fault).strip().splitlines()[0]}. "
            "Start it, or correct DATABASE_URL, then start the server again."
        )
    finally:
        # Workers are forked: a connection is not for two of them.
        connection.close()
    if not missing:
        return ""
    names = ", ".join(f"{migration.app_label} {migration.name}" for migration, _ in missing[:3])
    more = f" and {len(missing) - 3} more" if len(missing) > 3 else ""
    return (
        f"The database lacks {len(missing)} migration{'s' if len(missing) > 1 else ''} "
        f"({names}{more}). Type: .venv/bin/python manage.py upgrade (it backs up first)"
    )


def make_ready() -> None:
    """What a worker's first page would wait for is read beforehand, once for all: they are forked.

    Addresses and words of each language, templates, and questions that are written once. All of
    it stays: Python need not look through it for what can be freed, and the workers go on sharing
    its memory.
    """
    keep_plans()
    wait_briefly()
    try:
        for code, _name in settings.LANGUAGES:
            with translation.override(code):
                reverse("home")
                script_words(code)
        for name in _templates():
            get_template(name)
        write_all()
    finally:
        connection.close()
    gc.collect()
    gc.freeze()
    gc.set_threshold(OBJECTS_BEFORE_A_LOOK)


def wait_briefly() -> None:
    """gunicorn gives a thread for five seconds to a connection on which nothing was said yet.

    Browsers open such spare ones: they held up every stop, and threads. Afterwards it is only
    listened to, as others are; no option of gunicorn says how long.
    """
    gunicorn.workers.gthread.DEFAULT_WORKER_DATA_TIMEOUT = SECONDS_FOR_A_WORD


def keep_plans() -> None:
    """From here on this process's connections to PostgreSQL keep plans; SQLite has none to keep.

    Only a server's: they are closed after ``CONN_MAX_AGE``, and their plans with them. A command
    may fill a table that was empty when it asked first, and would go on with the plan for an empty
    one: seen, for minutes.
    """
    if connection.vendor == "postgresql" and settings.KEEP_PLANS:
        connection.settings_dict["OPTIONS"]["prepare_threshold"] = PLAN_KEPT_FROM
        forget_when_refused()


def _templates() -> Iterator[str]:
    folder = Path(settings.BASE_DIR) / "templates"
    for file in sorted(folder.rglob("*.*")):
        yield file.relative_to(folder).as_posix()
