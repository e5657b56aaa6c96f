"""Where a backup, an archive or a restore is made before it counts; a killed one leaves nothing.

Each is a folder ``.half-made-…`` on the disk on which the whole thing will lie. Who works in one
holds a lock on a file in it, which the system gives back when the process ends, however it ends.
So the next who makes something there deletes what nobody holds any longer.
"""

import fcntl
import os
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

PREFIX, HELD = ".half-made-", "held"
# Without a lock: of earlier versions, or killed as it was begun. Nothing takes as long as a day.
UNLOCKED = (f"{PREFIX}*", ".backup-*", ".export-*", ".new-*")
SECONDS_A_DAY = 24 * 60 * 60


@contextmanager
def half_made(beside: Path) -> Iterator[Path]:
    """An empty folder, its owner's alone, on the disk of ``beside``; gone at the end.

    Raises ``OSError`` where none can be made.
    """
    clear(beside)
    folder, held = _held_folder(beside)
    try:
        (folder / "in").mkdir(mode=0o700)
        yield folder / "in"
    finally:
        shutil.rmtree(folder, ignore_errors=True)
        os.close(held)


def clear(beside: Path) -> None:
    """Delete what killed processes left there; nothing that somebody works on."""
    for folder in beside.glob(f"{PREFIX}*/"):
        with suppress(OSError):  # held, or without a lock
            held = _lock(folder / HELD, os.O_RDWR)
            shutil.rmtree(folder, ignore_errors=True)
            os.close(held)
    for folder in (one for pattern in UNLOCKED for one in beside.glob(f"{pattern}/")):
        with suppress(OSError):
            is_old = folder.stat().st_mtime < time.time() - SECONDS_A_DAY
            if is_old and not (folder / HELD).exists():
                shutil.rmtree(folder, ignore_errors=True)


def _held_folder(beside: Path) -> tuple[Path, int]:
    """A new folder, and its locked file, to be closed."""
    while True:
        folder = Path(tempfile.mkdtemp(dir=beside, prefix=PREFIX))
        # Who clears may have had the lock before us: then the folder is gone, and another is made.
        with suppress(BlockingIOError, FileNotFoundError):
            held = _lock(folder / HELD, os.O_RDWR | os.O_CREAT)
            if (folder / HELD).exists():
                return folder, held
            os.close(held)


def _lock(path: Path, flags: int) -> int:
    """The locked file. Raises ``BlockingIOError`` where another process holds it."""
    file = os.open(path, flags | os.O_CLOEXEC, 0o600)
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(file)
        raise
    return file
