"""The dearest pages: `python -m tests.benchmarks.dearest [--homes 100] [--most 15]`.

The demo is drawn with so many homes into a database of its own (`KEEP=folder` keeps it). A
coordinator, a foster and a laundry volunteer then follow every link that they meet which asks one
thing at most, `EACH` times for each address pattern and question. Each page that they found is
asked for again through the whole of Django, unless it was cheap; told is the median of the
processor's time, as many times a page next to empty in the same run, and how many queries it takes.
Papers (PDF, ZIP, tables to download) are not pages: a paper is made once and kept.
"""

import argparse
import os
import re
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple
from urllib.parse import parse_qs, urljoin, urlsplit

WHO = ("odile", "ines", "tobi")
EACH = 2
ROUNDS = 3
EMPTY = "/log-in/"
AT_MOST_TIMES = 15.0
LINK = re.compile(r'(?:href|hx-get)="([^"#]+)')
PAPER = re.compile(r"\.(pdf|zip|csv|json|svg|png|jpg|dxf|ics|js|css)|manifest|media|print|packet")
CHEAP_TIMES = 6.0  # what was cheaper when it was first met is not asked for again


class Found(NamedTuple):
    route: str
    address: str
    who: str
    first_ms: float = 0.0


class Taken(NamedTuple):
    found: Found
    cpu_ms: float
    queries: int
    kb: int


def main() -> None:
    told = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    told.add_argument("--homes", type=int, default=100)
    told.add_argument("--most", type=int, default=15, help="how many pages are told")
    told.add_argument("--only", default="", help="addresses with this in them")
    told.add_argument("--who", default=",".join(WHO), help="by their log-ins")
    asked = told.parse_args()
    with TemporaryDirectory() as folder:
        file = Path(os.environ.get("KEEP", folder)).resolve() / f"{asked.homes}.sqlite3"
        os.environ |= {
            "DATABASE_URL": f"sqlite:///{file}",
            "DJANGO_SETTINGS_MODULE": "tests.settings",
        }
        if not file.exists():
            _draw(asked.homes)
        _tell(asked)


def _draw(homes: int) -> None:
    for words in (["upgrade"], ["demo", "--homes", str(homes)], ["read_enclosures"]):
        subprocess.run([sys.executable, "manage.py", *words], check=True, stdout=subprocess.DEVNULL)


def _tell(asked: argparse.Namespace) -> None:
    import django

    django.setup()
    empty = _taken(Found("log_in", EMPTY, ""))
    print(f"{asked.homes} homes; the log-in page takes {empty.cpu_ms:.1f} ms")
    walked = [
        one for who in asked.who.split(",") for one in _walked(who) if asked.only in one.address
    ]
    dear = [one for one in walked if one.first_ms > CHEAP_TIMES * empty.cpu_ms]
    for one in sorted(map(_taken, dear), key=lambda one: -one.cpu_ms)[: asked.most]:
        times = one.cpu_ms / empty.cpu_ms
        mark = "  more than it may" if times > AT_MOST_TIMES else ""
        print(
            f"{times:6.1f} times {one.cpu_ms:7.1f} ms {one.queries:4} queries {one.kb:5} kB  "
            f"{one.found.who:6} {one.found.address}{mark}"
        )
    print(f"{len(walked)} pages of {len({one.route for one in walked})} addresses")


def _walked(who: str) -> Iterator[Found]:
    """Every page that this person comes to by links, in the order in which they are met.

    Each is asked for twice, since at the first time templates and structures are read.
    """
    client, met, often = _client(who), {"/"}, Counter[str]()
    waiting = ["/"]
    while waiting:
        address = waiting.pop(0)
        response = client.get(address, follow=True)
        if not _is_page(response):
            continue
        at = response.redirect_chain[-1][0] if response.redirect_chain else address
        began = time.process_time()
        client.get(at)
        first_ms = (time.process_time() - began) * 1000
        print(f"{first_ms:7.0f} ms  {who} {at}", file=sys.stderr, flush=True)
        yield Found(_pattern(at), at, who, first_ms)
        for link in LINK.findall(response.content.decode()):
            further = urljoin(at, unescape(link))
            if further in met or not further.startswith("/") or PAPER.search(further):
                continue
            met.add(further)
            if further.count("=") > 1:
                continue
            often[pattern := _pattern(further)] += 1
            if often[pattern] <= EACH:
                waiting.append(further)


def _is_page(response: Any) -> bool:
    kind = response.headers.get("Content-Type", "")
    return response.status_code == 200 and kind.startswith("text/html") and not response.streaming


def _pattern(address: str) -> str:
    """Of an address: its pattern, and the names of its questions."""
    from django.urls import Resolver404, resolve

    parts = urlsplit(address)
    try:
        route = resolve(parts.path).route
    except Resolver404:
        return ""
    return f"{route}?{'&'.join(sorted(parse_qs(parts.query, keep_blank_values=True)))}"


def _client(who: str) -> Any:
    from django.test import Client

    from habitats.people.models.people import Person

    client = Client()
    if who:
        backend = "django.contrib.auth.backends.ModelBackend"
        client.force_login(Person.objects.get(username=who), backend=backend)
    return client


def _taken(found: Found) -> Taken:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client = _client(found.who)
    client.get(found.address)  # templates and structures are read once
    with CaptureQueriesContext(connection) as asked:
        response = client.get(found.address)
    times = []
    for _round in range(ROUNDS):
        start = time.process_time()
        client.get(found.address)
        times.append((time.process_time() - start) * 1000)
    return Taken(found, median(times), len(asked), len(response.content) // 1024)


if __name__ == "__main__":
    main()
