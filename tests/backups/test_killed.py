"""A process that is killed (kill -9) amid its writes has lost nothing that it had told of."""

import os
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

from tests.support.server import bare_environment

pytestmark = pytest.mark.nightly

TIMES, WRITES = 10, 100
# As a view does it: in a transaction of its own, told of once that has ended.
WRITER = """
from datetime import date
from habitats.animals.models.animals import Animal
from habitats.people.models.people import Person

cora, _ = Person.objects.get_or_create(username="cora", role="coordinator")
pip = Animal.objects.first() or Animal.objects.take_in(
    by=cora, name="Pip", species="guinea_pig", sex="F", came_on=date(2026, 1, 1)
)
for number in range(10_000):
    note = f"{ROUND} {number}"
    pip.weigh(900, date(2026, 3, 1), by=cora, note=note)
    print(note, flush=True)
"""


@pytest.fixture
def data(tmp_path) -> Path:
    manage(tmp_path, "upgrade").communicate()
    return tmp_path


def manage(data: Path, *words: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "manage.py", *words],
        env=bare_environment() | {"DATA_DIR": str(data), "DEBUG": "on"},
        cwd=settings.BASE_DIR,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )


def killed_while_writing(data: Path, number: int, writes: int) -> list[str]:
    """What it told of, before it was killed at a moment of chance."""
    told: list[str] = []
    with manage(data, "shell", "-v0", "-c", f"ROUND = {number}\n{WRITER}") as writer:
        for line in writer.stdout:
            told.append(line.strip())
            if len(told) == writes:
                os.kill(writer.pid, signal.SIGKILL)
    return told


def test_of_a_thousand_writes_that_were_told_of_none_is_lost(data):
    by_chance, told = random.Random(1), []
    for number in range(TIMES):
        told += killed_while_writing(data, number, WRITES + by_chance.randint(0, 20))

    kept = manage(data, "shell", "-v0", "-c", KEPT).communicate()[0].splitlines()

    assert len(told) >= TIMES * WRITES
    assert set(told) <= set(kept)
    assert len(kept) == len(set(kept)), "no weight is there twice"
    # At most the one that was being written when it was killed had not been told of yet.
    assert len(kept) <= len(told) + TIMES
    assert manage(data, "shell", "-v0", "-c", WHOLE).communicate()[0].strip() == "ok"


KEPT = """
from habitats.animals.models.animals import Weighing
print("\\n".join(Weighing.objects.values_list("note", flat=True)))
"""
WHOLE = """
from django.db import connection
with connection.cursor() as cursor:
    print(cursor.execute("PRAGMA integrity_check").fetchone()[0])
"""
