"""Many who write at once: `python -m tests.benchmarks.writers [--writers 16] [--seconds 20]`.

Processes that each tick steps of a build as a phone's acts are taken, over the demo in a SQLite
file with the settings of a server (`synchronous=FULL`). Told are the ticks a second that were
acknowledged, how many were refused, the processor time of one, and whether each that was
acknowledged is in the database; with `--kill`, after all writers were killed in the middle.
`--demo FILE` takes a database that is there already, and leaves it as it is.
"""

import argparse
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import uuid
from pathlib import Path

KILLED_AFTER = 0.5  # of the time


def main() -> None:
    if sys.argv[1:2] == ["--one"]:
        _write(int(sys.argv[2]), float(sys.argv[3]), Path(sys.argv[4]))
        return
    parser = argparse.ArgumentParser()
    parser.add_argument("--writers", type=int, default=16)
    parser.add_argument("--seconds", type=float, default=20)
    parser.add_argument("--kill", action="store_true")
    parser.add_argument("--demo", type=Path)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        environment = _environment(folder)
        if asked.demo:
            shutil.copy(asked.demo, folder / "demo.sqlite3")
        for words in (["migrate", "-v0"], *([] if asked.demo else [["demo"]])):
            command = [sys.executable, "manage.py", *words]
            subprocess.run(command, env=environment, check=True, stdout=subprocess.DEVNULL)
        _measure(folder, environment, asked)


def _environment(folder: Path) -> dict[str, str]:
    return os.environ | {
        "DATABASE_URL": f"sqlite:///{folder / 'demo.sqlite3'}",
        "DATA_DIR": str(folder / "data"),
        "DJANGO_SETTINGS_MODULE": "habitats.settings",
        "SECRET_KEY": "only-to-measure-with-and-longer-than-fifty-characters-so",
        "HTTPS": "off",
        "DEBUG": "off",
    }


def _measure(folder: Path, environment: dict[str, str], asked: argparse.Namespace) -> None:
    command = [sys.executable, "-m", "tests.benchmarks.writers", "--one"]
    writers = [
        subprocess.Popen(
            [*command, str(n), str(asked.seconds), str(folder / f"{n}.log")], env=environment
        )
        for n in range(asked.writers)
    ]
    while len([*folder.glob("*.ready")]) < asked.writers:
        time.sleep(0.1)
    (folder / "go").touch()
    if asked.kill:
        time.sleep(asked.seconds * KILLED_AFTER)
        for one in writers:
            one.send_signal(signal.SIGKILL)
    for one in writers:
        one.wait()
    said = [line.split() for one in folder.glob("*.log") for line in one.read_text().splitlines()]
    kept = {line[1] for line in said if line[0] == "taken" and len(line) == 2}
    refused = [" ".join(line[1:]) for line in said if line[0] == "refused"]
    lasted = asked.seconds * (KILLED_AFTER if asked.kill else 1)
    spent = sum(float(line[1]) for line in said if line[0] == "spent")
    print(f"{len(kept) / lasted:.0f} ticks/s acknowledged by {asked.writers} writers")
    if spent:
        print(f"{1000 * spent / max(1, len(kept)):.1f} ms of the processor each")
    print(f"{len(refused)} refused {sorted(set(refused))}")
    print(f"{len(kept - _in_database(folder))} of {len(kept)} acknowledged are lost")


def _in_database(folder: Path) -> set[str]:
    import sqlite3

    with sqlite3.connect(folder / "demo.sqlite3") as connection:
        return {row[0] for row in connection.execute("SELECT once FROM builds_tick")}


def _write(number: int, seconds: float, log: Path) -> None:
    """One of them: what is acknowledged is written down after it, so nothing is claimed early."""
    import django

    django.setup()
    from django.db import DatabaseError
    from django.utils import timezone

    from builds.building.models.intake import take
    from builds.plans.models.builds import Build
    from habitats.people.models.people import Person

    build = Build.objects.in_state("building").order_by("pk")[0]
    person = Person.objects.with_role("builder")[0]
    steps = list(build.plans.newest_first()[0].steps.values_list("key", flat=True))[:-1]
    log.with_suffix(".ready").touch()
    while not log.with_name("go").exists():
        time.sleep(0.01)
    until, kinds, before = time.monotonic() + seconds, ("tick", "untick"), time.process_time()
    with log.open("w", buffering=1) as told:
        for at in range(10**9):
            if time.monotonic() > until:
                told.write(f"spent {time.process_time() - before}\n")
                return
            now, once = timezone.now(), uuid.uuid4()
            act = {"once": str(once), "kind": kinds[at % 2], "step": steps[number % len(steps)]}
            try:
                answer = take(person, build, act | {"at": now.isoformat()}, now)
            except DatabaseError as fault:
                told.write(f"refused {fault}\n")
                continue
            told.write(f"{answer.outcome} {once.hex}\n")


if __name__ == "__main__":
    main()
