"""The application that gunicorn serves, called as gunicorn calls it, with its own settings."""

import io
import logging
import sys
import traceback
from collections.abc import Mapping
from http.cookies import SimpleCookie
from typing import Any
from urllib.parse import unquote_to_bytes

from django.contrib.sessions.models import Session
from django.urls import reverse

from habitats.people.models.people import Person
from habitats.wsgi import application
from tests.support.fuzz.asking import NOBODY, TOKEN
from tests.support.fuzz.databases import Database, kept_as_it_is
from tests.support.fuzz.judge import Answered
from tests.support.fuzz.known import Asked

HOST = "localhost"
# What a sentence that refuses stands in, and what a phone is told as JSON.
SENTENCES = (b'class="errorlist', b'role="alert"', b'"why"')


class _Tracebacks(logging.Handler):
    """The last exception that was logged: of a 500 the answer itself says nothing."""

    def __init__(self) -> None:
        super().__init__()
        self.last = ""

    def emit(self, record: logging.LogRecord) -> None:
        if record.exc_info and record.levelno >= logging.ERROR:
            self.last = _told(record.exc_info[1])


class Server:
    """``ask`` answers one request; nothing of it is raised."""

    def __init__(self) -> None:
        self.database: Database | None = None
        self.cookies: dict[str, dict[str, str]] = {NOBODY: {}}
        self.passwords: dict[str, str] = {}
        self.tracebacks = _Tracebacks()
        logger = logging.getLogger("django.request")
        logger.addHandler(self.tracebacks)
        for name in ("django", "axes", "builds", "habitats"):
            logging.getLogger(name).handlers = [self.tracebacks]
            logging.getLogger(name).propagate = False
        self.log_in_at = reverse("login")

    def begin(self) -> None:
        """Everybody is logged in: from here on the database can be put back."""
        known = Person.objects.filter(username__in=self.cookies)
        self.passwords = dict(known.values_list("username", "password"))
        self.database = kept_as_it_is()

    def log_in(self, who: str, password: str) -> None:
        """By the page, with the cookies that it gives."""
        status, *_ = self.call(Asked(0, "login", who, "GET", self.log_in_at))
        assert status == 200, status
        token = self.cookies[who]["csrftoken"]
        body = f"{TOKEN}={token}&username={who}&password={password}".encode()
        kind = "application/x-www-form-urlencoded"
        asked = Asked(0, "login", who, "POST", self.log_in_at, content_type=kind, body=body)
        status, *_ = self.call(asked)
        assert status == 302, f"{who} is not let in: {status}"

    @property
    def has_everybody(self) -> bool:
        """Whether nobody was logged out, put away, or given another password."""
        keys = [jar["sessionid"] for jar in self.cookies.values() if "sessionid" in jar]
        known = Person.objects.filter(is_active=True, username__in=self.passwords)
        return (
            Session.objects.filter(pk__in=keys).count() == len(keys)
            and dict(known.values_list("username", "password")) == self.passwords
        )

    def ask(self, asked: Asked) -> Answered:
        assert self.database is not None
        self.tracebacks.last = ""
        try:
            status, body, headers = self.call(asked, keeps_cookies=False)
        except Exception as fault:  # out of a body that is made while it is sent
            return Answered(500, "", self.database.written(), _told(fault))
        fault = self.tracebacks.last if status >= 500 else ""
        says_why = asked.method == "HEAD" or any(mark in body for mark in SENTENCES)
        written = self.database.written()
        return Answered(status, headers.get("location", ""), written, fault, says_why)

    def call(
        self, asked: Asked, *, keeps_cookies: bool = True
    ) -> tuple[int, bytes, dict[str, str]]:
        """Status, body and headers; what of cookies is set is kept for who asked."""
        begun: list[Any] = []

        def start(status: str, headers: list[tuple[str, str]], exc_info: object = None) -> None:
            begun[:] = [int(status.split()[0]), headers]

        answer = application(self._environ(asked), start)
        try:
            body = b"".join(answer)
        finally:
            if hasattr(answer, "close"):
                answer.close()
        status, headers = begun
        if keeps_cookies:
            jar = self.cookies.setdefault(asked.who, {})
            for name, value in headers:
                if name.lower() == "set-cookie":
                    for key, morsel in SimpleCookie(value).items():
                        jar[key] = morsel.value
        return status, body, {name.lower(): value for name, value in headers}

    def _environ(self, asked: Asked) -> dict[str, Any]:
        cookies = "; ".join(f"{k}={v}" for k, v in self.cookies.get(asked.who, {}).items())
        environ: dict[str, Any] = {
            "REQUEST_METHOD": asked.method,
            "SCRIPT_NAME": "",
            "PATH_INFO": unquote_to_bytes(asked.path).decode("latin-1"),
            "QUERY_STRING": asked.query,
            "RAW_URI": asked.path,
            "CONTENT_TYPE": asked.content_type,
            "CONTENT_LENGTH": str(len(asked.body)),
            "SERVER_NAME": HOST,
            "SERVER_PORT": "8000",
            "SERVER_PROTOCOL": "HTTP/1.1",
            "REMOTE_ADDR": "127.0.0.1",
            "HTTP_HOST": f"{HOST}:8000",
            "HTTP_COOKIE": cookies,
            "wsgi.version": (1, 0),
            "wsgi.url_scheme": "http",
            "wsgi.input": io.BytesIO(asked.body),
            "wsgi.errors": sys.stderr,
            "wsgi.multithread": True,
            "wsgi.multiprocess": True,
            "wsgi.run_once": False,
        }
        for name, value in asked.headers:
            key = name.upper().replace("-", "_")
            environ[key if key == "CONTENT_LENGTH" else f"HTTP_{key}"] = value
        return environ


def persons() -> Mapping[str, int]:
    return dict(Person.objects.values_list("username", "pk"))


def _told(fault: BaseException | None) -> str:
    if fault is None:
        return ""
    lines = traceback.format_exception(fault)
    own = [line for line in lines if "/habitats/" in line or "/builds/" in line]
    return f"{type(fault).__name__}: {str(fault)[:300]}\n" + "".join([*own[-5:], *lines[-4:-1]])
