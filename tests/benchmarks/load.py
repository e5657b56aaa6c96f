"""Many people at once: `python -m tests.benchmarks.load [--postgresql] [--think 0]`.

A server as README.md starts one (gunicorn, two workers of four threads) over the demo and some
hundred homes, and fifty people who do what people do: coordinators look at Today, Space, a home, an
enclosure and search; builders open a build, its steps and tick; fosters open Today, report a fault
and change linens; the laundry looks at its loads. Each waits ``--think`` seconds between two pages.

Told are requests a second, errors, median and 95th percentile of the clock, for all and by kind,
each as a ratio to a page that shows next to nothing, and the processor time of the server a
request, which other work on the machine makes no longer. `--demo FILE` takes a database that is
there already (SQLite, of `manage.py demo`), and leaves it as it is.
"""

import argparse
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from statistics import median, quantiles
from typing import Any, NamedTuple
from urllib.parse import urlencode

from tests.support.fuzz.pages import Field, Form, read
from tests.support.postgresql import running_server
from tests.support.server import free_port

ROLES = ("coordinator",) * 14 + ("builder",) * 12 + ("foster",) * 18 + ("laundry",) * 6
EMPTY = "an empty page"
PATIENCE_S = 60
REFUSED = 422
LONGEST_FAULT = 6000
TOKEN = "x" * 32  # the cookie and the form have the same, which is all that is asked
WORDS = ("ha", "juno", "wall", "rabbit", "window")


class Answer(NamedTuple):
    kind: str
    seconds: float
    status: int


class Server(NamedTuple):
    port: int
    processes: tuple[int, ...]

    def processor_s(self) -> float:
        return sum(_processor_s(one) for one in self.processes)


def main() -> None:
    asked = _arguments()
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        file = folder / "demo.sqlite3"
        url = f"sqlite:///{file}"
        if asked.demo:
            shutil.copy(asked.demo, file)
        environment = _environment(folder, url)
        _manage(environment, "migrate", "-v0")
        if not asked.demo:
            _manage(environment, "demo", "--homes", str(asked.homes))
        if asked.postgresql:
            url = stack.enter_context(running_server())
            _manage(environment, "move_to", url)
            environment = _environment(folder, url)
        _manage(environment, "read_enclosures")
        people = _people(environment)
        server = stack.enter_context(_served(environment))
        print(f"{asked.people} people, {asked.think} s to think, on {url.split(':')[0]}")
        _tell(_run(server, people, asked), server)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser()
    parser.add_argument("--homes", type=int, default=100)
    parser.add_argument("--people", type=int, default=50)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--think", type=float, default=2)
    parser.add_argument("--postgresql", action="store_true")
    parser.add_argument("--demo", type=Path)
    return parser.parse_args()


# --- The server ---


def _environment(folder: Path, url: str) -> dict[str, str]:
    return os.environ | {
        "DATABASE_URL": url,
        "DATA_DIR": str(folder / "data"),
        "DJANGO_SETTINGS_MODULE": "habitats.settings",
        "SECRET_KEY": "only-to-measure-with-and-longer-than-fifty-characters-so",
        "HTTPS": "off",
        "DEBUG": "off",
    }


def _manage(environment: dict[str, str], *words: str) -> None:
    command = [sys.executable, "manage.py", *words]
    subprocess.run(command, env=environment, check=True, stdout=subprocess.DEVNULL)


@contextmanager
def _served(environment: dict[str, str]) -> Iterator[Server]:
    _manage(environment, "collectstatic", "--noinput", "-v0")
    port = free_port()
    words = f"habitats.wsgi --bind 127.0.0.1:{port} --workers 2 --threads 4 --preload"
    more = "--no-control-socket --log-level error"
    command = [sys.executable, "-m", "gunicorn", *words.split(), *more.split()]
    log = Path(environment["DATA_DIR"]).with_name("log")
    master = subprocess.Popen(command, env=environment, stderr=log.open("w"))
    try:
        until = time.monotonic() + PATIENCE_S
        while not _answers(port):
            if time.monotonic() > until:
                raise SystemExit("The server did not start.")
            time.sleep(0.2)
        time.sleep(1)  # for the second worker
        yield Server(port, (master.pid, *_children(master.pid)))
    finally:
        master.terminate()
        master.wait()
        print(_last_fault(log.read_text()))


def _last_fault(log: str) -> str:
    """What the server said of its last 500."""
    _before, found, fault = log.rpartition("Traceback (most recent call last):")
    return found + fault[:LONGEST_FAULT] if found else ""


def _answers(port: int) -> bool:
    try:
        return _asked(port, "", "GET", "/no-signal/")[0] == 200
    except OSError:
        return False


def _children(pid: int) -> list[int]:
    return [int(one) for one in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def _processor_s(pid: int) -> float:
    """Of its own and of the system for it (proc(5): utime and stime, in ticks)."""
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


# --- The people ---


def _people(environment: dict[str, str]) -> dict[str, Any]:
    """By role, a log-in of each person of the demo, and what there is to look at."""
    command = [sys.executable, "-m", "tests.benchmarks.load_people"]
    done = subprocess.run(command, env=environment, check=True, stdout=subprocess.PIPE)
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found


class Visitor(threading.Thread):
    """One person: asks for page after page of their role until it is time to stop."""

    def __init__(self, number: int, port: int, people: dict[str, Any], think: float) -> None:
        super().__init__(daemon=True)
        self.port, self.people, self.think = port, people, think
        self.role = ROLES[number % len(ROLES)]
        self.chance = random.Random(number)
        log_ins = people["log_ins"][self.role]
        self.me = log_ins[number % len(log_ins)]
        self.answers: list[Answer] = []
        self.until = 0.0

    def run(self) -> None:
        time.sleep(self.chance.random() * self.think)
        while time.monotonic() < self.until:
            try:
                getattr(self, f"as_{self.role}")()
            except (OSError, HTTPException):
                self.answers.append(Answer("no answer", 0.0, 0))

    def as_coordinator(self) -> None:
        self.get("today", "/today/")
        self.get("space", "/space/")
        self.get("a home", f"/homes/{self.one('homes')}/")
        self.get("an enclosure", f"/enclosures/{self.one('enclosures')}/")
        self.get("search", f"/search/?q={self.chance.choice(WORDS)}")
        self.get(EMPTY, "/no-signal/")

    def as_builder(self) -> None:
        build = self.chance.choice(self.people["builds"])
        self.get("a build", f"/builds/{build['code']}/")
        for step in self.chance.sample(build["steps"], 3):
            self.get("a step", f"/builds/{build['code']}/steps/{step}/")
            self.get("how a build stands", f"/builds/{build['code']}/ticks/")
            for kind in ("tick", "untick"):
                self.tick(build["code"], step, kind)
        self.get(EMPTY, "/no-signal/")

    def as_foster(self) -> None:
        enclosure = self.chance.choice(self.me["enclosures"])
        self.get("today of a foster", "/today/")
        self.get("their enclosure", f"/enclosures/{enclosure}/")
        address = f"/enclosures/{enclosure}/fault/"
        self.send("report a fault", self.get("form of a fault", address), address)
        address = f"/enclosures/{enclosure}/change/"
        self.send("change linens", self.get("form of linens", address), address)
        self.get(EMPTY, "/no-signal/")

    def as_laundry(self) -> None:
        self.get("today of the laundry", "/today/")
        self.get("laundry", "/laundry/")
        self.get("linens", "/linens/")
        self.get(EMPTY, "/no-signal/")

    def one(self, of: str) -> str:
        return str(self.chance.choice(self.people[of]))

    def get(self, kind: str, address: str) -> str:
        return self.ask(kind, "GET", address)

    def tick(self, build: str, step: str, kind: str) -> None:
        at = datetime.now(UTC).isoformat()
        act = {"once": str(uuid.uuid4()), "kind": kind, "step": step, "at": at}
        sent = json.dumps({"person": self.me["person"], "ahead": 0, "acts": [act]})
        self.ask(kind, "POST", f"/builds/{build}/acts/", sent, "application/json")

    def send(self, kind: str, page: str, address: str) -> None:
        forms = [one for one in read(page, address).forms if one.path == address]
        if forms and forms[0].method == "post":
            body = urlencode(self.filled(forms[0]))
            self.ask(kind, "POST", address, body, "application/x-www-form-urlencoded")

    def filled(self, form: Form) -> dict[str, str]:
        """As the page offers it; of what has to be chosen, anything."""
        said: dict[str, str] = {}
        for one in form.fields:
            if one.kind == "select" and not one.value:
                said[one.name] = self.chance.choice([o for o in one.options if o] or [""])
            elif one.is_chosen or (one.name not in said and _is_asked(one, said)):
                said[one.name] = one.value
        if form.buttons and form.buttons[0][0]:
            said[form.buttons[0][0]] = form.buttons[0][1]
        return said | {"csrfmiddlewaretoken": TOKEN, "note": "It rattles."}

    def ask(self, kind: str, method: str, address: str, body: str = "", of: str = "") -> str:
        begun = time.monotonic()
        status, page = _asked(self.port, self.me["session"], method, address, body, of)
        self.answers.append(Answer(kind, time.monotonic() - begun, status))
        time.sleep(self.think * self.chance.uniform(0.5, 1.5))
        return page


def _is_asked(one: Field, said: dict[str, str]) -> bool:
    """One of what is chosen from, and the first place whose linen was changed."""
    is_place = one.name.endswith("-take") and not any(name.endswith("-take") for name in said)
    return one.kind == "radio" or is_place


def _asked(
    port: int, session: str, method: str, address: str, body: str = "", of: str = ""
) -> tuple[int, str]:
    connection = HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
    headers = {"Cookie": f"sessionid={session}; csrftoken={TOKEN}", "Accept-Language": "en"}
    if body:
        headers |= {"X-CSRFToken": TOKEN, "Content-Type": of}
    try:
        connection.request(method, address, body or None, headers)
        answer = connection.getresponse()
        return answer.status, answer.read().decode()
    finally:
        connection.close()


# --- What came of it ---


class Measured(NamedTuple):
    answers: list[Answer]
    seconds: float
    processor_s: float


def _run(server: Server, people: dict[str, Any], asked: argparse.Namespace) -> Measured:
    visitors = [Visitor(n, server.port, people, asked.think) for n in range(asked.people)]
    before, begun = server.processor_s(), time.monotonic()
    for one in visitors:
        one.until = begun + asked.seconds
        one.start()
    for one in visitors:
        one.join()
    answers = [answer for one in visitors for answer in one.answers]
    return Measured(answers, time.monotonic() - begun, server.processor_s() - before)


def _tell(found: Measured, server: Server) -> None:
    answers, count = found.answers, len(found.answers)
    wrong = [one for one in answers if one.status not in (200, 302, 304, REFUSED)]
    refused = sum(one.status == REFUSED for one in answers)
    empty = median(one.seconds for one in answers if one.kind == EMPTY)
    print(f"{count / found.seconds:.1f} requests/s, {len(wrong)} errors")
    print(f"{refused} forms shown again, where somebody else had changed the same")
    print(f"{1000 * found.processor_s / count:.1f} ms of the server's processors a request")
    kinds = Counter(one.kind for one in answers)
    for kind in ("all", *sorted(kinds)):
        ms = [1000 * one.seconds for one in answers if kind in ("all", one.kind)]
        p95 = quantiles(ms, n=20)[-1] if len(ms) > 1 else ms[0]
        middle = median(ms)
        ratio = f"{middle / 1000 / empty:5.1f} times an empty page"
        print(f"  {kind:22}{len(ms):6}  median {middle:6.0f} ms  p95 {p95:6.0f} ms  {ratio}")
    for (kind, status), many in Counter((one.kind, one.status) for one in wrong).items():
        print(f"  {many} times {status} for “{kind}”")


if __name__ == "__main__":
    main()
