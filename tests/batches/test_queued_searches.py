"""A search that a worker takes from the database, and one in the server's own process."""

import threading
from datetime import timedelta

import pytest
from django.db import connection
from django.test import override_settings
from django.utils import timezone
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from builds.batches import tasks
from builds.batches.models.cutting_jobs import CuttingJob
from builds.batches.models.cutting_runs import CuttingRun
from builds.common.runs import SILENT
from builds.sheets import offer_document
from habitats.common.shared_clock import shared_now
from habitats.server.workers import SILENT as GONE
from habitats.server.workers import TaskWorker, take_up
from tests.support.sheets import loaded, make_batch, make_kind, offer_of
from tests.support.tasks import QUEUE, work_off

LONG = 10


@pytest.fixture
def queue():
    with override_settings(TASKS=QUEUE):
        yield


@pytest.fixture
def job(coordinator):
    """A job that a search proves best at once, however long it may take."""
    return make_batch(coordinator).job(offer_document(offer_of(make_kind())), by=coordinator)


def later():
    return timezone.now() + 2 * GONE


def test_a_queued_search_waits_for_a_worker_however_long(queue, job):
    run = tasks.begin(job, LONG)

    assert run.is_live(later())
    assert loaded(job).state == CuttingJob.State.RUNNING
    assert CuttingRun.end_silent(later()) == 0


def test_a_worker_takes_it_up_and_its_plan_is_kept(queue, job):
    tasks.begin(job, LONG)

    work_off()

    assert loaded(job).state == CuttingJob.State.WORKED_OUT
    assert loaded(job).latest_run().how == CuttingRun.How.FINISHED
    assert DBTaskResult.objects.get().status == TaskResultStatus.SUCCESSFUL


def test_one_that_is_stopped_while_it_waits_ends_at_once_and_is_never_begun(queue, job):
    run = tasks.begin(job, LONG)

    run.ask_to_stop()
    stopped = loaded(job)
    work_off()

    assert stopped.state == CuttingJob.State.WAITING
    assert stopped.latest_run().how == CuttingRun.How.STOPPED
    assert loaded(job).plan() is None


def test_one_whose_worker_was_killed_is_told_as_stopped(queue, job):
    run = tasks.begin(job, LONG)
    run.take_up()
    DBTaskResult.objects.get().claim("gone")
    CuttingRun.objects.filter(pk=run.pk).update(beat_at=timezone.now() - 2 * SILENT)

    assert loaded(job).state == CuttingJob.State.WAITING
    take_up(timezone.now())
    work_off()

    assert loaded(job).latest_run().how == CuttingRun.How.LOST


def test_a_search_that_fails_is_a_task_that_failed(queue, job, monkeypatch):
    tasks.begin(job, LONG)
    monkeypatch.setattr(tasks, "Search", None)

    work_off()

    assert loaded(job).latest_run().how == CuttingRun.How.FAILED
    assert DBTaskResult.objects.get().status == TaskResultStatus.FAILED


def test_the_page_says_that_it_waits_and_whether_a_worker_is_there(queue, job, coordinating):
    tasks.begin(job, LONG)
    without = coordinating.get(f"/cutting/{job.code}/").content.decode()
    TaskWorker.say_here("one", timezone.now())
    there = coordinating.get(f"/cutting/{job.code}/").content.decode()

    assert "Waiting to be worked out" in without
    assert "is not running" in without
    assert "The search begins when the work before it is done." in there


# --- Tasks of a worker that is gone ---


def test_what_a_gone_worker_had_begun_waits_again_and_then_has_failed(queue, job):
    tasks.begin(job, LONG)
    DBTaskResult.objects.get().claim("first")
    TaskWorker.say_here("first", timezone.now())

    assert take_up(timezone.now()) == 0
    assert take_up(later()) == 1
    again = DBTaskResult.objects.get()
    assert again.status == TaskResultStatus.READY
    again.claim("second")
    take_up(later())
    assert DBTaskResult.objects.get().status == TaskResultStatus.FAILED


def test_a_search_of_a_clock_that_was_set_back_holds_up_no_other(job):
    run = job.begin_run(LONG, at=shared_now() + timedelta(days=1))

    assert not run.is_live(shared_now())
    assert job.begin_run(LONG).number == run.number + 1


def test_a_worker_of_a_clock_that_was_set_back_is_not_there(queue, job):
    tasks.begin(job, LONG)
    DBTaskResult.objects.get().claim("gone")
    tomorrow = timezone.now() + timedelta(hours=20)
    TaskWorker.say_here("gone", tomorrow)

    assert not TaskWorker.is_there(timezone.now())
    assert TaskWorker.last_seen(timezone.now()) is None
    assert take_up(timezone.now()) == 1


# --- Without a worker ---


@pytest.mark.django_db(transaction=True)
def test_without_a_worker_the_server_searches_beside_its_pages(job):
    before = set(threading.enumerate())

    run = tasks.begin(job, LONG)
    for thread in set(threading.enumerate()) - before:
        thread.join(30)

    assert loaded(job).state == CuttingJob.State.WORKED_OUT
    run.refresh_from_db()
    assert (run.is_queued, run.how) == (False, CuttingRun.How.FINISHED)
    assert not DBTaskResult.objects.exists()
    connection.close()


def test_a_task_is_begun_only_once_what_it_is_about_is_committed(
    job, django_capture_on_commit_callbacks
):
    before = threading.active_count()

    with django_capture_on_commit_callbacks() as begun:
        tasks.begin(job, LONG)

    assert len(begun) == 1
    assert threading.active_count() == before
