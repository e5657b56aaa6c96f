"""What a server needs to go on, and how much of it there is: one condition each.

Grades are those of the health check format of HTTP APIs (IETF draft, inadarei-api-health-check,
from memory): pass, warn, fail. With one that fails, changes may be lost or pages not answered.
"""

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from pathlib import Path
from typing import Any, cast

from django.conf import settings
from django.core.files.storage import default_storage
from django.db import DatabaseError, connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.template.defaultfilters import filesizeformat
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.backups.models.record import Record, record
from habitats.common.bucket import BucketAway
from habitats.common.shared_clock import shared_now
from habitats.common.tasks import are_queued
from habitats.server.workers import SILENT, TaskCounts, TaskWorker, task_counts

# Common practice, no source: a photo has up to 25 MB on its way in, a backup copies everything.
LITTLE_SPACE = 2 * 1000**3
NO_SPACE = 200 * 1000**2
# A code of an authenticator app holds so long, with those beside it (RFC 6238, section 5.2).
MOST_SECONDS_APART = 30


class Health(Enum):
    """A grade, worst last."""

    PASS = "pass"  # nosec B105 # a grade
    WARN = "warn"
    FAIL = "fail"


@dataclass(frozen=True, slots=True)
class Condition:
    """One thing that the server needs. `advice` is empty where nothing has to be done."""

    key: str
    name: str
    health: Health
    told: str
    advice: str = ""


def conditions() -> list[Condition]:
    """All of them, in the order in which they depend on each other."""
    return list(_conditions())


def worst(found: list[Condition]) -> Health:
    order = list(Health)
    return max((one.health for one in found), key=order.index)


def _conditions() -> Iterator[Condition]:
    database = database_condition()
    yield database
    yield disk_condition(shutil.disk_usage(_nearest_folder(Path(settings.DATA_DIR))).free)
    if not settings.MEDIA_IS_HERE:
        yield photos_condition()
    yield backup_condition(record(), timezone.now())
    if database.health is not Health.PASS:
        return
    if connection.vendor == "postgresql":
        yield clock_condition(timezone.now(), shared_now())
    updates = updates_condition()
    yield updates
    if are_queued() and updates.health is Health.PASS:
        now = shared_now()
        yield worker_condition(TaskWorker.last_seen(now), task_counts(now), now)


def database_condition() -> Condition:
    name = _("Database")
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
            cursor.fetchone()
    except DatabaseError:
        told = _("The database does not answer. No page works until it does.")
        advice = _("Start it, or correct DATABASE_URL, then start the server again.")
        return Condition("database", name, Health.FAIL, told, advice)
    if not _has_room():
        told = _("The disk of the database is full, or cannot be written. Nothing is saved.")
        advice = _("Free some space on it, or move the database to a larger disk.")
        return Condition("database", name, Health.FAIL, told, advice)
    told = _("%(kind)s is running and holds %(size)s.") % {
        "kind": connection.display_name,
        "size": filesizeformat(_database_bytes()),
    }
    return Condition("database", name, Health.PASS, told)


def disk_condition(free: int) -> Condition:
    """`free`: bytes on the disk with the data folder."""
    name, told = _("Disk"), _("%(free)s free in the data folder.") % {"free": filesizeformat(free)}
    if free >= LITTLE_SPACE:
        return Condition("disk", name, Health.PASS, told)
    advice = _(
        "Free some space, or move the data folder to a larger disk. When it is full, nothing can "
        "be saved."
    )
    return Condition("disk", name, Health.FAIL if free < NO_SPACE else Health.WARN, told, advice)


def photos_condition() -> Condition:
    """Of photos in a bucket. Away, it stops no page without a photo: a warning."""
    name, bucket = _("Photos"), cast(Any, default_storage)
    try:
        bucket.refuse_if_away()
    except BucketAway:
        told = _("The store of photos does not answer. Photos are neither shown nor saved.")
        advice = _("Correct MEDIA_S3_BUCKET and what belongs to it, or ask who runs that store.")
        return Condition("photos", name, Health.WARN, told, advice)
    return Condition("photos", name, Health.PASS, _("The store of photos answers."))


def backup_condition(last: Record, now: datetime) -> Condition:
    name = _("Backup")
    if last.good_at is None:
        told = _("There is no backup yet.")
    else:
        day = date_format(timezone.localtime(last.good_at), _("j M Y, H:i"))
        told = _("The last good backup is from %(day)s.") % {"day": day}
    if not last.is_too_old(now):
        return Condition("backup", name, Health.PASS, told)
    advice = _("Type .venv/bin/python manage.py backup, and set it up for every night.")
    return Condition("backup", name, Health.WARN, told, advice)


def clock_condition(here: datetime, there: datetime) -> Condition:
    """Of a server whose database may be on another machine, and whose neighbours are."""
    apart = abs(round((here - there).total_seconds()))
    told = ngettext(
        "The clocks of this server and of the database are %(number)d second apart.",
        "The clocks of this server and of the database are %(number)d seconds apart.",
        apart,
    ) % {"number": apart}
    if apart <= MOST_SECONDS_APART:
        return Condition("clock", _("Clock"), Health.PASS, told)
    advice = _("Set both from the network: timedatectl set-ntp true. Log-in codes depend on it.")
    return Condition("clock", _("Clock"), Health.WARN, told, advice)


def updates_condition() -> Condition:
    name = _("Updates")
    executor = MigrationExecutor(connection)
    missing = executor.migration_plan(executor.loader.graph.leaf_nodes())
    if not missing:
        return Condition("updates", name, Health.PASS, _("The database matches this version."))
    return Condition(
        "updates",
        name,
        Health.FAIL,
        _("The database is older than this version."),
        _("Type .venv/bin/python manage.py upgrade, which backs up first, then start the server."),
    )


def worker_condition(seen_at: datetime | None, tasks: TaskCounts, now: datetime) -> Condition:
    """Of a server that leaves long work to a worker."""
    name, health, advice = _("Worker"), Health.PASS, ""
    if seen_at is None:
        seen = _("The worker has never reported.")
    else:
        moment = date_format(timezone.localtime(seen_at), _("j M Y, H:i"))
        seen = _("The worker last reported on %(moment)s.") % {"moment": moment}
    counts = {"waiting": tasks.waiting, "failed": tasks.failed}
    told = _("Tasks waiting: %(waiting)d. Failed since yesterday: %(failed)d.") % counts
    if seen_at is None or seen_at < now - SILENT:
        health = Health.WARN
        advice = _("Start it: systemctl start habitats-worker, or manage.py worker.")
    elif tasks.failed:
        health, advice = Health.WARN, _("See the log of the worker for the reason.")
    return Condition("worker", name, health, f"{seen} {told}", advice)


def _has_room() -> bool:
    """Whether PostgreSQL can write a little more; its disk may be on another machine.

    Asked by what it sorts on that disk, which leaves nothing there. SQLite's is the data folder's.
    """
    if connection.vendor == "sqlite":
        return True
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET LOCAL work_mem = '64kB'")
            cursor.execute(
                "SELECT max(place) FROM (SELECT row_number() OVER (ORDER BY md5(one::text)) AS "
                "place FROM generate_series(1, 5000) AS one) AS sorted"
            )
    except DatabaseError:
        return False
    return True


def _database_bytes() -> int:
    if connection.vendor == "sqlite":
        sql = "SELECT page_count * page_size FROM pragma_page_count(), pragma_page_size()"
    else:
        sql = "SELECT pg_database_size(current_database())"
    with connection.cursor() as cursor:
        cursor.execute(sql)
        return int(cursor.fetchone()[0])


def _nearest_folder(path: Path) -> Path:
    """The folder, or the nearest one above that is there: it may not have been made yet."""
    return next(one for one in (path, *path.parents) if one.is_dir())
