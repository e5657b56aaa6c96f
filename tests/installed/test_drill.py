"""The whole drill, as somebody would live through it: work goes on, a backup, the machine dies,
and another one takes over. By night, since it starts two servers.
"""

import os
import shutil
import signal
import sqlite3
import subprocess
import threading
import time
import urllib.parse
import urllib.request
from contextlib import closing, contextmanager
from http.cookiejar import CookieJar
from pathlib import Path

import pytest

from tests.support.server import ROOT, Server, bare_environment, started

pytestmark = pytest.mark.nightly

PASSWORD = "hay-before-breakfast"
# What Django writes after each migration, and what our program works out again.
REMADE = {"auth_permission", "django_content_type", "sqlite_sequence"}
REMADE |= {"habitats_duerow", "habitats_reading", "habitats_unhoused", "habitats_unhousedsearch"}


class Visitor:
    """One who logs in and out again, as fast as the server answers: each time rows are written."""

    def __init__(self, server: Server) -> None:
        jar = urllib.request.HTTPCookieProcessor(CookieJar())
        self._server, self._open = server, urllib.request.build_opener(jar).open

    def log_in(self, username: str = "odile") -> str:
        """The page that follows."""
        page = self._open(self._server.url + "/log-in/", timeout=30).read().decode()
        token = page.split('csrfmiddlewaretoken" value="')[1].split('"')[0]
        form = {"csrfmiddlewaretoken": token, "username": username, "password": PASSWORD}
        sent = urllib.parse.urlencode(form).encode()
        answer = self._open(self._server.url + "/log-in/", sent, timeout=30)
        assert answer.url.endswith("/today/"), answer.url
        return answer.read().decode()


@contextmanager
def under_load(server: Server, people: int = 4):
    """While it lasts, so many log in again and again. Gives how often each did."""
    done, stop = [0] * people, threading.Event()

    def go_on(number: int) -> None:
        while not stop.is_set():
            Visitor(server).log_in()
            done[number] += 1

    threads = [threading.Thread(target=go_on, args=[number]) for number in range(people)]
    for one in threads:
        one.start()
    try:
        yield done
    finally:
        stop.set()
        for one in threads:
            one.join()


def manage(data: Path, *words: str) -> str:
    done = subprocess.run(
        [".venv/bin/python", "manage.py", *words],
        cwd=ROOT,
        env=bare_environment() | {"HTTPS": "off", "DATA_DIR": str(data)},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def rows_of(database: Path) -> dict[str, set[tuple[object, ...]]]:
    with closing(sqlite3.connect(database)) as one:
        names = one.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
        return {name: {*one.execute(f'SELECT * FROM "{name}"')} for (name,) in names}


def photos_of(data: Path) -> dict[str, bytes]:
    media = data / "media"
    found = (path for path in media.rglob("*") if path.is_file())
    return {path.relative_to(media).as_posix(): path.read_bytes() for path in found}


def test_a_server_that_died_goes_on_elsewhere_with_all_that_was_backed_up(tmp_path):
    here, there, backup = tmp_path / "here", tmp_path / "there", tmp_path / "one.zip"
    with started(here) as server:
        (here / "media/animals").mkdir(parents=True)
        shutil.copy(ROOT / "static/pictures/board.png", here / "media/animals/a.png")
        with under_load(server) as logged_in:
            while min(logged_in) < 5:
                time.sleep(0.1)
            before = rows_of(here / "habitats.sqlite3")
            told = manage(here, "backup", str(backup))
            sessions_after = sum(logged_in)
        assert "checked" in told
        assert sessions_after >= 20
        photos = photos_of(here)
        os.killpg(server.process.pid, signal.SIGKILL)
        server.process.wait(timeout=30)
    after = rows_of(here / "habitats.sqlite3")
    shutil.rmtree(here)

    assert "Restored." in manage(there, "restore", str(backup))

    restored = rows_of(there / "habitats.sqlite3")
    assert restored.keys() == before.keys()
    for name in restored.keys() - REMADE - {"django_session", "habitats_person"}:
        # What was there before is there, and nothing that was not there at the end.
        assert before[name] <= restored[name] <= after[name], name
    assert len(before["django_session"]) <= len(restored["django_session"])
    assert photos_of(there) == photos
    with started(there) as server:
        assert "Today" in Visitor(server).log_in()
        assert server.rows("SELECT count(*) FROM habitats_person") == [
            (len(restored["habitats_person"]),)
        ]
