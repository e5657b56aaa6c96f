"""Two servers over one PostgreSQL and one folder of photos: what one was told, the other knows."""

import json
import re
import subprocess
import sys
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from http.cookiejar import CookieJar
from urllib.error import URLError

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test.client import BOUNDARY, MULTIPART_CONTENT, encode_multipart

from tests.conftest import PASSWORD
from tests.support.server import ROOT, bare_environment, free_port

TOKEN = re.compile(r'name="csrfmiddlewaretoken" value="(\w+)"')
ONCE = re.compile(r'name="once" value="([\w-]+)"')
FILL = f"""
import django
django.setup()
from habitats.people.models.people import Person
from tests.support.builds import make_build, steps_of
Person.objects.create_user("cora", password={PASSWORD!r}, role="coordinator")
build = make_build()
print(build.code, steps_of(build)[0].key)
"""


class Browser:
    """A browser's cookies, at whichever of the servers it asks."""

    def __init__(self) -> None:
        jar = urllib.request.HTTPCookieProcessor(CookieJar())
        self._opener = urllib.request.build_opener(jar)

    def read(self, address: str) -> bytes:
        return self._opener.open(address, timeout=120).read()

    def page(self, address: str) -> str:
        return self.read(address).decode()

    def send(self, address: str, seen: str, **fields: object) -> str:
        """Send a form of the page that was seen."""
        sent = {"csrfmiddlewaretoken": TOKEN.search(seen)[1], **fields}
        if once := ONCE.search(seen):
            sent["once"] = once[1]
        request = urllib.request.Request(
            address, encode_multipart(BOUNDARY, sent), {"Content-Type": MULTIPART_CONTENT}
        )
        return self._opener.open(request, timeout=120).read().decode()


@pytest.fixture
def settings_of(postgresql_url, tmp_path) -> Callable[[str], dict[str, str]]:
    """The environment of the server of this name; its DATA_DIR is its own."""

    def environment(name: str) -> dict[str, str]:
        return bare_environment() | {
            "DATABASE_URL": postgresql_url,
            "DATA_DIR": str(tmp_path / name),
            "MEDIA_DIR": str(tmp_path / "photos"),
            "SECRET_KEY": "one for both of them, and long enough to sign",
            "DEBUG": "on",
            "DJANGO_SETTINGS_MODULE": "habitats.settings",
            "PYTHONPATH": str(ROOT),
        }

    return environment


def run(environment: dict[str, str], *command: str) -> str:
    done = subprocess.run(
        [sys.executable, *command],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


@contextmanager
def serving(environment: dict[str, str]) -> Iterator[str]:
    """A server's address, once it answers."""
    port = free_port()
    command = [sys.executable, "manage.py", "runserver", "--noreload", str(port)]
    url = f"http://127.0.0.1:{port}"
    with subprocess.Popen(
        command, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as process:
        try:
            wait_for(f"{url}/log-in/", process)
            yield url
        finally:
            process.terminate()


def wait_for(address: str, process: subprocess.Popen[bytes]) -> None:
    while process.poll() is None:
        try:
            urllib.request.urlopen(address, timeout=120).read()
        except URLError:
            continue
        return
    pytest.fail(f"The server ended with {process.returncode}.")


@pytest.mark.nightly
def test_what_one_server_was_told_the_other_knows(settings_of, photo, tmp_path):
    run(settings_of("one"), "manage.py", "upgrade")
    code, key = run(settings_of("one"), "-c", FILL).split()
    browser = Browser()
    with ExitStack() as stack:
        one, two = (stack.enter_context(serving(settings_of(name))) for name in ("one", "two"))
        step, photos = f"/builds/{code}/steps/{key}/", f"/builds/{code}/photo/"

        log_in = browser.page(f"{one}/log-in/")
        browser.send(f"{one}/log-in/", log_in, username="cora", password=PASSWORD)
        said = [json.loads(browser.read(f"{two}/builds/{code}/ticks/"))["words"]]
        browser.send(f"{one}{step}tick/", browser.page(two + step))
        said.append(json.loads(browser.read(f"{two}/builds/{code}/ticks/"))["words"])

        assert said[0] < said[1]

        seen = browser.page(two + photos)
        browser.send(two + photos, seen, photo=SimpleUploadedFile("a.jpg", photo, "image/jpeg"))
        build = browser.page(f"{one}/builds/{code}/")
        (path,) = set(re.findall(rf"/builds/{code}/photos/\d+\.jpg", build))

        assert browser.read(one + path).startswith(b"\xff\xd8")
        assert list((tmp_path / "photos").rglob("*.jpg"))

        browser.send(f"{two}/log-out/", browser.page(two))
        assert 'name="password"' in browser.page(one + step)
