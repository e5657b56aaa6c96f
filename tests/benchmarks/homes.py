"""How long pages of homes take: `python -m tests.benchmarks.homes [HOMES ...]`; 100 and 1 000.

For each size the demo's network is drawn into a database file of its own. A page is asked for many
times through the whole of Django; what is told is the median of the processor's time, and of the
clock's, which on a busy machine is longer. Timed once are the view after all readings were
forgotten, as by a change of settings, the first view of a day, the import of 50 000 weights and the
export. `KEEP=folder` keeps the databases.
"""

import json
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

ROUNDS = 9
WEIGHTS = 50_000
IMPORT = "import of 50 000 weights"
FIRST_VIEW = "space, first view of the day"
AT_MOST_MS = {
    FIRST_VIEW: 800.0,
    "space, first page": 150.0,
    "space, room for three sows": 300.0,
    "today": 60.0,
}
EMPTY = "log-in page, next to empty"
MANY, AT_MOST_MS_OF_MANY = 3000, AT_MOST_MS | {"today": 100.0}
AT_MOST_TIMES = {"a home's own page": 1.5}


def main() -> None:
    if sys.argv[1:2] == ["--one"]:
        print(json.dumps(_measured(int(sys.argv[2]))))
        return
    sizes = [int(one) for one in sys.argv[1:]] or [100, 1000]
    with TemporaryDirectory() as folder:
        told = {size: _apart(size, Path(os.environ.get("KEEP", folder))) for size in sizes}
    for size, found in told.items():
        print(f"\n{size} homes: {found['counts']}")
        most, empty = AT_MOST_MS_OF_MANY if size >= MANY else AT_MOST_MS, found["taken"][EMPTY][0]
        for name, (cpu, clock) in found["taken"].items():
            limit = f"  (at most {most[name]:.0f} ms)" if name in most else ""
            times = f"{cpu / empty:7.1f} times"
            print(f"  {name:32} {cpu:9.1f} ms, {times}, by the clock {clock:9.1f} ms{limit}")
    _compare(told)


def _compare(told: dict[int, dict[str, Any]]) -> None:
    few, many = min(told), max(told)
    for name, most in AT_MOST_TIMES.items():
        times = told[many]["taken"][name][0] / told[few]["taken"][name][0]
        print(f"\n{name}: {times:.2f} times from {few} to {many} homes (at most {most})")


def _apart(size: int, folder: Path) -> dict[str, Any]:
    """Measured in a process of its own: one process has one database."""
    address = f"sqlite:///{folder.resolve() / f'{size}.sqlite3'}"
    command = [sys.executable, "-m", "tests.benchmarks.homes", "--one", str(size)]
    done = subprocess.run(
        command, env={**os.environ, "DATABASE_URL": address}, check=True, stdout=subprocess.PIPE
    )
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found


def _measured(size: int) -> dict[str, Any]:
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    import django

    django.setup()
    from django.core.management import call_command

    from habitats.homes.models.homes import Home

    call_command("upgrade", stdout=sys.stderr)
    if not Home.objects.exists():
        call_command("demo", homes=size, stdout=sys.stderr)
    counts, pages = _counts(), _pages()
    taken = {"space, all readings made": _once(lambda: _forget_and_look("/space/"))}
    _as_yesterday()
    taken[FIRST_VIEW] = _once(lambda: _get("/space/", _client()))
    call_command("read_enclosures", stdout=sys.stderr)  # a page makes a few forecasts at a time
    for page in pages:
        taken[page.name] = _timed(page)
        print(f"  {page.name} {taken[page.name][0]:.0f} ms", file=sys.stderr, flush=True)
    taken[IMPORT] = _once(_import)
    taken["export of everything"] = _once(lambda: _get("/export.zip", _client()))
    most_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return {"counts": f"{counts}; most memory {most_kb // 1024} MB", "taken": taken}


class Page(NamedTuple):
    name: str
    address: str
    who: str = "odile"


def _counts() -> str:
    from habitats.animals.models.animals import Animal, Weighing
    from habitats.enclosures.models.enclosures import Enclosure

    return (
        f"{Enclosure.objects.count()} enclosures, {Animal.objects.count()} animals, "
        f"{Weighing.objects.count()} weighings"
    )


def _pages() -> list[Page]:
    """Pages of things that the demo has in any size."""
    from habitats.animals.models.stays import Stay
    from habitats.homes.models.homes import Home

    home = Home.objects.order_by("pk")[0]
    stay = Stay.objects.open().select_related("enclosure", "group").order_by("pk")[0]
    animal = stay.group.memberships.open().select_related("animal")[0].animal
    return [
        Page(EMPTY, "/log-in/", who=""),
        Page("space, first page", "/space/"),
        Page("space, last page", "/space/?page=last"),
        Page("space, as a table", "/space/?view=table"),
        Page("space, room for three sows", "/space/?room=3&animals=sows"),
        Page("today", "/today/"),
        Page("today, of a foster", "/today/", "ines"),
        Page("homes, first page", "/homes/"),
        Page("a home's own page", f"/homes/{home.code}/"),
        Page("an enclosure's page", f"/enclosures/{stay.enclosure.code}/"),
        Page("animals, first page", "/animals/"),
        Page("an animal's page", f"/animals/{animal.code}/"),
        Page("weighing, of a foster", "/weigh/", "ines"),
        Page("report of one area", f"/report/?area={home.area}"),
        Page("moving a group", f"/groups/{stay.group.code}/move/"),
    ]


def _client(who: str = "odile") -> Any:
    from django.test import Client

    from habitats.people.models.people import Person

    client = Client()
    if not who:
        return client
    backend = "django.contrib.auth.backends.ModelBackend"
    client.force_login(Person.objects.get(username=who), backend=backend)
    return client


def _get(address: str, client: Any) -> None:
    response = client.get(address)
    assert response.status_code == 200, (address, response.status_code)
    for _piece in response:
        pass


def _timed(page: Page) -> tuple[float, float]:
    client = _client(page.who)
    _get(page.address, client)  # templates and structures are read once
    taken = [_once(lambda: _get(page.address, client)) for _ in range(ROUNDS)]
    return median(cpu for cpu, _clock in taken), median(clock for _cpu, clock in taken)


def _once(work: Callable[[], None]) -> tuple[float, float]:
    """Milliseconds of the processor, and of the clock."""
    cpu, clock = time.process_time(), time.perf_counter()
    work()
    return (time.process_time() - cpu) * 1000, (time.perf_counter() - clock) * 1000


def _forget_and_look(address: str) -> None:
    from habitats.readings.models.readings import Reading

    Reading.objects.forget()
    _get(address, _client())


def _as_yesterday() -> None:
    """All that was read is of yesterday."""
    from datetime import timedelta

    from django.utils import timezone

    from habitats.readings.models.readings import Reading

    Reading.objects.forget()
    Reading.objects.fresh(timezone.localdate() - timedelta(days=1))


def _import() -> None:
    """Weights of the last three months for as many animals as it takes, looked at and taken in."""
    import uuid
    from datetime import timedelta

    from django.utils import timezone

    from habitats.animals.models.animals import Animal
    from habitats.people.models.people import Person
    from habitats.records.models.import_files import ImportFile
    from habitats.records.models.imports import take_in

    today = timezone.localdate()
    codes = list(
        Animal.objects.filter(
            species="guinea_pig", born__lt=today - timedelta(days=120)
        ).values_list("code", flat=True)
    )
    rows = (
        f"{codes[number % len(codes)]},{today - timedelta(days=number // len(codes))},"
        f"{700 + number // len(codes)}\n"
        for number in range(WEIGHTS)
    )
    content = ("animal,day,grams\n" + "".join(rows)).encode()
    by = Person.objects.get(username="odile")
    file = ImportFile.objects.hand_in(
        content, kind="weights", name="w.csv", by=by, idempotency_key=uuid.uuid4()
    )
    take_in(file, skip=True, by=by, today=today)


if __name__ == "__main__":
    main()
