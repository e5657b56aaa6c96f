"""What a killed backup, export, import or restore left half is gone with the next, never before."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from django.conf import settings

from habitats.backups.models.half_made import half_made
from tests.support.server import bare_environment

HOLDER = """
import sys
from pathlib import Path
from habitats.backups.models.half_made import half_made
with half_made(Path(sys.argv[1])) as folder:
    (folder / "photo.jpg").write_bytes(b"half")
    print(folder, flush=True)
    sys.stdin.read()
"""
# What happens in the middle of it stands still there, so that it can be killed at just that moment.
STOPS = """
import os, sys
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "habitats.settings")
from importlib import import_module
module, name = sys.argv[1].rsplit(".", 1)
def stand_still(*args, **kwargs):
    print("here", flush=True)
    sys.stdin.read()
setattr(import_module(module), name, stand_still)
from django.core.management import execute_from_command_line
execute_from_command_line(["manage.py", *sys.argv[2:]])
"""
MIDDLES = {
    "backup": ("habitats.backups.models.taking.verify", ["backup", "{new}"]),
    "export": (
        "habitats.records.models.whole.writing._write_text",
        ["export_archive", "{new}"],
    ),
    "restore": (
        "habitats.backups.models.restoring.put_in_place",
        ["restore", "{backup}", "--over"],
    ),
    "import": (
        "habitats.records.models.whole.bringing.put_in_place",
        ["import_archive", "{archive}", "--over"],
    ),
}


@pytest.fixture
def holder(tmp_path) -> "subprocess.Popen[str]":
    """Another process that works in a folder of its own there."""
    return subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(tmp_path)],
        cwd=settings.BASE_DIR,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def left(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.glob(".*"))


def test_what_a_killed_process_left_goes_with_the_next(tmp_path, holder):
    with holder:
        assert Path(holder.stdout.readline().strip()).is_dir()
        holder.kill()
    assert len(left(tmp_path)) == 1

    with half_made(tmp_path) as ours:
        assert left(tmp_path) == [ours.parent.name]
    assert left(tmp_path) == []


def test_what_another_process_works_on_stays(tmp_path, holder):
    with holder:
        theirs = Path(holder.stdout.readline().strip())

        with half_made(tmp_path) as ours:
            assert left(tmp_path) == sorted([ours.parent.name, theirs.parent.name])
            assert (theirs / "photo.jpg").read_bytes() == b"half"
        holder.communicate("")
    assert left(tmp_path) == []


def test_without_a_lock_it_goes_after_a_day(tmp_path):
    for name in (".backup-old", ".export-old", ".new-old", ".half-made-old", ".new-today", ".ours"):
        (tmp_path / name).mkdir()
        if name.endswith("-old"):
            os.utime(tmp_path / name, (1, time.time() - 25 * 60 * 60))

    with half_made(tmp_path):
        pass

    assert left(tmp_path) == [".new-today", ".ours"]


@pytest.mark.nightly
def test_each_that_is_killed_leaves_what_was_there_and_the_next_is_whole(tmp_path):
    data = tmp_path / "data"
    paths = {name: str(tmp_path / f"{name}.zip") for name in ("backup", "archive", "new")}

    def manage(*words: str, stop: str = "") -> "subprocess.Popen[str]":
        begun = ["-c", STOPS, stop] if stop else ["manage.py"]
        return subprocess.Popen(
            [sys.executable, *begun, *(word.format(**paths) for word in words)],
            cwd=settings.BASE_DIR,
            env=bare_environment() | {"DATA_DIR": str(data), "DEBUG": "on"},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )

    def ends_well(*words: str) -> None:
        with manage(*words) as process:
            said, _ = process.communicate()
        assert process.returncode == 0, said

    ends_well("upgrade")
    for words in (["backup", "{backup}"], ["export_archive", "{archive}"]):
        ends_well(*words)
    there = [*data.rglob("*.sqlite3"), *tmp_path.glob("*.zip")]
    before = {path: path.read_bytes() for path in there}

    for stop, words in MIDDLES.values():
        _killed_in_the_middle(manage, stop, words)
        assert left(data) + left(tmp_path), "it was killed while it had something half made"
        assert {path: path.read_bytes() for path in before} == before
        assert not Path(paths["new"]).exists()

    for words in (["backup", "{new}"], ["restore", "{backup}", "--over"]):
        ends_well(*words)
    assert left(data) + left(tmp_path) == []


def _killed_in_the_middle(
    manage: Callable[..., "subprocess.Popen[str]"], stop: str, words: list[str]
) -> None:
    with manage(*words, stop=stop) as process:
        said = iter(process.stdout.readline, "")
        told = next((line for line in said if line.strip() == "here"), None)
        assert told, f"{words} never came to {stop}"
        os.kill(process.pid, signal.SIGKILL)
