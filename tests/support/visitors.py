"""People at a started server, without a browser: they log in, and write as fast as it answers."""

import re
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.client import HTTPException
from http.cookiejar import CookieJar

from django.test.client import BOUNDARY, MULTIPART_CONTENT, encode_multipart

NAME, PASSWORD = "odile", "hay-before-breakfast"
# A new installation without the demo, whose first coordinator is the same as the demo's.
FIRST_PERSON = {"FIRST_PERSON_NAME": NAME, "FIRST_PERSON_PASSWORD": PASSWORD}
TOKEN = re.compile(r'name="csrfmiddlewaretoken" value="(\w+)"')
HIDDEN = re.compile(r'<input type="hidden" name="(once|basis)" value="([^"]*)"')
OK = 200


class Visitor:
    """One browser's cookies. What is refused is answered as well, with its status."""

    def __init__(self, url: str) -> None:
        jar = urllib.request.HTTPCookieProcessor(CookieJar())
        self._url, self._open = url, urllib.request.build_opener(jar).open

    def get(self, address: str) -> tuple[int, str]:
        return self._ask(urllib.request.Request(self._url + address))

    def status(self, address: str) -> int:
        """Also of what is no page."""
        try:
            with self._open(self._url + address, timeout=120) as answer:
                return int(answer.status)
        except urllib.error.HTTPError as refused:
            return refused.code

    def file(self, address: str) -> bytes:
        with self._open(self._url + address, timeout=300) as answer:
            return answer.read()  # type: ignore[no-any-return]

    def send(self, address: str, seen: str, **fields: object) -> tuple[int, str]:
        """Send a form of the page that was seen."""
        token = TOKEN.search(seen)
        assert token, seen
        sent = {"csrfmiddlewaretoken": token[1], **dict(HIDDEN.findall(seen)), **fields}
        content = encode_multipart(BOUNDARY, sent)
        header = {"Content-Type": MULTIPART_CONTENT}
        return self._ask(urllib.request.Request(self._url + address, content, header))

    def log_in(self, username: str = NAME) -> str:
        """The page that follows."""
        _status, page = self.get("/log-in/")
        status, page = self.send("/log-in/", page, username=username, password=PASSWORD)
        assert status == OK, page
        assert 'name="password"' not in page
        return page

    def add_home(self, name: str) -> tuple[int, str]:
        status, page = self.get("/homes/new/")
        if status != OK:
            return status, page
        home = {"name": name, "area": "North Quay", "kind": "foster", "most_enclosures": "2"}
        return self.send("/homes/new/", page, **home)

    def _ask(self, request: urllib.request.Request) -> tuple[int, str]:
        try:
            with self._open(request, timeout=120) as answer:
                return answer.status, answer.read().decode()
        except urllib.error.HTTPError as refused:
            return refused.code, refused.read().decode()


class Writing:
    """``told``: names of homes whose saving was told. ``cut_off``: of which nothing was heard."""

    def __init__(self) -> None:
        self.told: list[str] = []
        self.refused: list[tuple[int, str]] = []
        self.cut_off: list[str] = []

    def wait_for(self, more: int) -> None:
        until = len(self.told) + more
        while len(self.told) < until:
            assert not self.refused, self.refused[0]
            time.sleep(0.02)


@contextmanager
def adding_homes(url: str, people: int, *, mark: str = "") -> Iterator[Writing]:
    """While it lasts, so many people add homes, each after the other."""
    done, stop = Writing(), threading.Event()
    visitors = [Visitor(url) for _ in range(people)]
    for one in visitors:
        one.log_in()
    calls = [
        threading.Thread(target=_add, args=[done, stop, one, f"{mark}{number}"])
        for number, one in enumerate(visitors)
    ]
    for call in calls:
        call.start()
    try:
        yield done
    finally:
        stop.set()
        for call in calls:
            call.join()


def _add(done: Writing, stop: threading.Event, one: Visitor, mark: str) -> None:
    number = 0
    while not stop.is_set():
        number += 1
        name = f"Home {mark}-{number}"
        try:
            status, page = one.add_home(name)
        except (OSError, HTTPException):  # the server was killed
            done.cut_off.append(name)
            time.sleep(0.05)
            continue
        if status == OK and name in page:
            done.told.append(name)
        else:
            done.refused.append((status, page))


def until(is_so: Callable[[], bool], *, seconds: float = 60) -> None:
    end = time.monotonic() + seconds
    while not is_so():
        assert time.monotonic() < end, "It has not come to that."
        time.sleep(0.1)
