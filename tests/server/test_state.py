"""How the server says that it can go on, or what it lacks."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client, override_settings
from django.urls import reverse
from django.utils import timezone

from habitats.backups.models.record import Record
from habitats.server.conditions import (
    LITTLE_SPACE,
    NO_SPACE,
    Health,
    backup_condition,
    clock_condition,
    conditions,
    disk_condition,
    worker_condition,
)
from habitats.server.release_notes import newest_notes, version
from habitats.server.workers import TaskCounts, TaskWorker
from tests.support.tasks import QUEUE


@pytest.mark.parametrize(
    ("free", "health"),
    [
        (LITTLE_SPACE, Health.PASS),
        (LITTLE_SPACE - 1, Health.WARN),
        (NO_SPACE, Health.WARN),
        (NO_SPACE - 1, Health.FAIL),
    ],
)
def test_a_disk_warns_before_it_is_full(free, health):
    assert disk_condition(free).health is health


@pytest.mark.parametrize(
    ("age", "health"),
    [(None, Health.WARN), (timedelta(hours=30), Health.PASS), (timedelta(days=3), Health.WARN)],
)
def test_an_old_backup_is_told(age, health):
    now = timezone.now()
    last = Record(None if age is None else now - age)
    assert backup_condition(last, now).health is health


def test_only_what_wants_doing_has_advice():
    assert not disk_condition(LITTLE_SPACE).advice
    assert disk_condition(NO_SPACE).advice


NOON = datetime(2031, 5, 3, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("seconds", "failed", "health"),
    [(5, 0, Health.PASS), (61, 0, Health.WARN), (5, 1, Health.WARN), (None, 0, Health.WARN)],
)
def test_a_worker_that_is_gone_or_fails_is_told(seconds, failed, health):
    seen_at = None if seconds is None else NOON - timedelta(seconds=seconds)
    assert worker_condition(seen_at, TaskCounts(3, failed), NOON).health is health


@pytest.mark.parametrize(("seconds", "health"), [(30, Health.PASS), (-300, Health.WARN)])
def test_a_clock_that_is_not_that_of_the_database_is_told(seconds, health):
    told = clock_condition(NOON + timedelta(seconds=seconds), NOON)

    assert told.health is health
    assert f"{abs(seconds)} seconds apart" in told.told


def test_a_server_without_a_worker_says_nothing_of_one(db):
    assert "worker" not in {one.key for one in conditions()}


@override_settings(TASKS=QUEUE)
def test_a_server_with_a_worker_tells_how_it_stands(coordinating):
    TaskWorker.say_here("one", timezone.now())
    page = coordinating.get(reverse("server")).content.decode()
    assert "The worker last reported on" in page
    assert "Tasks waiting: 0." in page


def test_a_monitor_reads_the_grades_and_nothing_else(client, db):
    answer = client.get(reverse("health_check"))
    assert answer.headers["Content-Type"] == "application/health+json"
    told = json.loads(answer.content)
    assert told["status"] in {"pass", "warn"}
    assert told["checks"]["database"] == [{"status": "pass"}]
    assert str(settings.DATA_DIR) not in answer.content.decode()


@pytest.fixture
def no_database(transactional_db):
    """The database is elsewhere, where nothing answers."""
    if connection.vendor != "sqlite":
        pytest.skip("a fault made with means of SQLite")
    name = connection.settings_dict["NAME"]
    connection.close()
    connection.settings_dict["NAME"] = "/nowhere/habitats.sqlite3"
    yield
    connection.close()
    connection.settings_dict["NAME"] = name


def test_a_monitor_is_told_that_the_database_does_not_answer(client, no_database):
    answer = client.get(reverse("health_check"))
    assert answer.status_code == 503
    assert json.loads(answer.content)["checks"]["database"] == [{"status": "fail"}]


def test_a_person_is_told_so_in_their_language(no_database, text_of):
    reader = Client(raise_request_exception=False, headers={"Accept-Language": "de"})
    reader.cookies[settings.SESSION_COOKIE_NAME] = "of an earlier visit"
    answer = reader.get(reverse("home"))
    assert answer.status_code == 503
    assert "Die Datenbank antwortet nicht." in text_of(answer)


def test_a_coordinator_reads_the_state_in_words(coordinating):
    page = coordinating.get(reverse("server")).content.decode()
    assert "free in the data folder" in page
    assert version(settings.BASE_DIR) in page
    assert newest_notes(settings.BASE_DIR)[0].lines[0][:40] in page


def test_notes_of_older_versions_are_not_those_of_this_one(tmp_path):
    newest = "## [Unreleased]\n\n### Added\n\n- One\n  line.\n- Two.\n"
    text = f"# Changelog\n\n{newest}\n## [1]\n\n### Added\n\n- Old.\n"
    (tmp_path / "CHANGELOG.md").write_text(text)
    notes = newest_notes(tmp_path)
    assert [(part.heading, part.lines) for part in notes] == [("Added", ("One line.", "Two."))]


def test_without_a_changelog_there_are_no_notes(tmp_path):
    assert newest_notes(tmp_path) == ()
