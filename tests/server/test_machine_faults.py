"""What people read when the machine fails them, in real faults of a real database."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager

import pytest
from django.db import OperationalError, connection
from django.test import Client, RequestFactory
from django.urls import reverse

from habitats.common.refused import server_fault
from habitats.homes.models.homes import Home
from habitats.logs import request_id

HOME = {"name": "Wren", "area": "North Quay", "kind": "foster", "most_enclosures": "2"}
MANY_PAGES = {"notes": "Ring twice. " * 40}


@pytest.fixture
def unraised(transactional_db, coordinator) -> Client:
    """A client that is answered as a person is, where others would be handed the fault."""
    if connection.vendor != "sqlite":
        pytest.skip("faults made with means of SQLite")
    client = Client(raise_request_exception=False, headers={"Accept-Language": "en-GB"})
    client.force_login(coordinator, backend="django.contrib.auth.backends.ModelBackend")
    return client


def pragma(setting: str) -> int:
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {setting}")
        return (cursor.fetchone() or (0,))[0]


@contextmanager
def full_disk() -> Iterator[None]:
    """The file may not grow, and has no page to spare."""
    connection.ensure_connection()
    connection.connection.execute("VACUUM")
    pragma(f"max_page_count = {pragma('page_count')}")
    yield
    pragma("max_page_count = 4294967294")


@contextmanager
def read_only() -> Iterator[None]:
    pragma("query_only = on")
    yield
    pragma("query_only = off")


@contextmanager
def locked() -> Iterator[None]:
    """Another process writes, and takes longer than this one waits."""
    pragma("busy_timeout = 50")
    with closing(sqlite3.connect(connection.settings_dict["NAME"])) as other:
        other.execute("BEGIN IMMEDIATE")
        yield
    pragma("busy_timeout = 20000")


@pytest.mark.parametrize(
    ("fault", "sentence"),
    [
        (full_disk, "The server’s disk is full. Nothing was saved."),
        (read_only, "The server may not write to its disk. Nothing was saved."),
        (locked, "The server is busy with other changes. Nothing was saved."),
    ],
)
def test_a_fault_of_the_machine_is_told_and_nothing_is_saved(unraised, text_of, fault, sentence):
    with fault():
        # One home may fit into what is free within the file; twenty do not.
        answers = [unraised.post(reverse("new_home"), HOME | MANY_PAGES) for _ in range(20)]

    assert answers[-1].status_code == 503
    assert sentence in text_of(answers[-1])
    assert Home.objects.count() == [answer.status_code for answer in answers].count(302)


def test_what_was_refused_for_a_fault_goes_well_once_it_is_over(unraised):
    with read_only():
        assert unraised.post(reverse("new_home"), HOME).status_code == 503

    assert unraised.post(reverse("new_home"), HOME).status_code == 302


def page_of(fault: Exception) -> tuple[int, str]:
    """As Django asks for it: while the fault is on its way."""
    try:
        raise fault
    except Exception:
        answer = server_fault(RequestFactory().get("/"))
    return answer.status_code, answer.content.decode()


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EDQUOT])
def test_a_photo_for_which_there_is_no_space_is_told(number):
    status, page = page_of(OSError(number, "No space left on device"))
    assert status == 503
    assert "The server’s disk is full." in page


def test_a_disk_that_the_machine_made_read_only_is_told():
    """SQLite's own words for it; the drill by night has a real one."""
    status, page = page_of(OperationalError("disk I/O error"))
    assert status == 503
    assert "The server may not write to its disk." in page


def test_a_fault_of_ours_is_told_with_its_number():
    request_id.set("3f20c1a9b7de")
    status, page = page_of(ZeroDivisionError())
    assert status == 500
    assert "3f20c1a9b7de" in page
