"""Requests that nobody means well: `python -m tests.benchmarks.fuzz [--seed 1] [--requests 10000]`.

Over the demo, in a folder of its own, with the server's real settings, each address and each form
is asked again and again with what no page of ours sends. Told is each answer that is a 500, and
each that changed a row although nothing was taken; none is what there should be (exit 0, else 1).
The same seed asks the same of the same day's demo. `--keep FOLDER` keeps the demo's database.
"""

import argparse
import os
import resource
import shutil
import subprocess
import sys
import time
from contextlib import ExitStack
from functools import partial
from importlib import import_module
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory
from types import ModuleType
from typing import Any

import django
import psycopg
from django.apps import apps
from django.conf import settings
from django.core.management import call_command

from tests.support.postgresql import running_server

FEW = 1000
# The same names as a server has, and no time spent on files that nobody fetches.
UNCOMPRESSED = "django.contrib.staticfiles.storage.ManifestStaticFilesStorage"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--requests", type=int, default=10_000)
    parser.add_argument("--keep", type=Path, metavar="FOLDER")
    parser.add_argument("--postgresql", action="store_true", help="over a PostgreSQL of its own")
    parser.add_argument("--demo", type=Path, metavar="FILE", help="a demo's database, to copy")
    parser.add_argument("--in", dest="folder", type=Path, help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.folder:
        return _run(given.folder, given.seed, given.requests, given.demo)
    with ExitStack() as stack:
        folder = (given.keep or Path(stack.enter_context(TemporaryDirectory()))).resolve()
        folder.mkdir(exist_ok=True)
        address = f"sqlite:///{folder / 'habitats.sqlite3'}"
        if given.postgresql:
            address = _new_database(stack.enter_context(running_server()))
        return _apart(folder, address, given.seed, given.requests, given.demo)


def _new_database(address: str) -> str:
    with psycopg.connect(address, autocommit=True) as owner:
        owner.execute("CREATE DATABASE fuzz")
    return address.rpartition("/")[0] + "/fuzz"


def _apart(folder: Path, address: str, seed: int, count: int, demo: Path | None) -> int:
    """In a process of its own, whose environment is that of `make run`."""
    env = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "habitats.settings",
        "DATA_DIR": str(folder),
        "DATABASE_URL": address,
        "DEBUG": "off",
        "HTTPS": "off",
        "SECRET_KEY": "only-for-requests-made-by-chance",
        "ALLOWED_HOSTS": "localhost",
        "PYTHONHASHSEED": "0",
    }
    command = [sys.executable, "-m", "tests.benchmarks.fuzz", "--in", str(folder)]
    command += ["--seed", str(seed), "--requests", str(count)]
    command += ["--demo", str(demo)] if demo else []
    return subprocess.run(command, env=env).returncode


def _run(folder: Path, seed: int, count: int, demo: Path | None) -> int:
    running = _set_up(folder, demo)
    # So few requests ask each address about once: one page of it is enough to know its forms.
    server, known = running.prepared(1) if count <= FEW else running.prepared()
    forms = sum(map(len, known.forms.values()))
    ready = f"ready after {time.process_time():.0f} s of the processor"
    print(f"{len(known.addresses)} addresses, {forms} forms; {ready}.", flush=True)
    outcome = running.fuzz(server, known, seed, count, partial(print, flush=True))
    _tell(outcome, seed, count, len(known.addresses))
    return 1 if outcome.kinds else 0


def _set_up(folder: Path, demo: Path | None) -> ModuleType:
    """What `make run` does before it serves; tables are made from the models, which is quicker."""
    settings.STATIC_ROOT = folder / "static"
    settings.STORAGES = settings.STORAGES | {"staticfiles": {"BACKEND": UNCOMPRESSED}}
    django.setup()
    settings.MIGRATION_MODULES = {one.label: None for one in apps.get_app_configs()}
    call_command("collectstatic", interactive=False, verbosity=0)
    if demo:
        shutil.copy(demo, folder / "habitats.sqlite3")
    else:
        call_command("migrate", run_syncdb=True, verbosity=0)
        call_command("demo", stdout=StringIO())
    # It reads models, which are there only now.
    running = import_module("tests.support.fuzz.running")
    if demo:
        running.set_passwords()
    return running


def _tell(outcome: Any, seed: int, count: int, addresses: int) -> None:
    spent = sum(
        getattr(resource.getrusage(who), f"ru_{of}time")
        for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
        for of in ("u", "s")
    )
    statuses = ", ".join(f"{n} × {status}" for status, n in sorted(outcome.statuses.items()))
    asked = f"{count} requests of {len(outcome.names)} of {addresses} addresses"
    print(f"Seed {seed}: {asked}: {statuses}.")
    print(f"{outcome.wrote} wrote; {len(outcome.kinds)} kinds of fault; {spent:.0f} s in all.")
    for kind, times in outcome.kinds.most_common():
        print(f"  {times} × {kind}")
    print("Slowest:")
    for seconds, one in outcome.slowest:
        print(f"  {seconds:5.2f} s  {one.method} {one.path[:70]} ({one.name}, #{one.number})")


if __name__ == "__main__":
    sys.exit(main())
