"""One photo at a time, over all threads and processes of the server.

Each takes up to 200 MB while it is read (`habitats/photos.py`), so eight at once would take more
than a small machine has. The turn is a lock on a file: the system gives it back when a process
ends, however it ends, and nobody waits for it longer than ``PATIENCE_SECONDS``.
"""

import fcntl
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from django.conf import settings
from django.utils.translation import gettext as _

from habitats.photos import NoPhoto, rebuilt

LOCK_NAME = "photo.lock"
# A photo takes a second or two; with eight threads all waiting the last one waits for seven.
PATIENCE_SECONDS = 20.0
LOOK_AGAIN_SECONDS = 0.05


class PhotosWaiting(NoPhoto):
    """Too many photos came at once. The same photo can be taken a little later."""


def taken_in(sent: BinaryIO) -> bytes:
    """The photo made anew, as ``photos.rebuilt`` does it. Raises ``NoPhoto``, ``PhotosWaiting``."""
    with _turn():
        return rebuilt(sent)


@contextmanager
def _turn() -> Iterator[None]:
    path = Path(settings.DATA_DIR) / LOCK_NAME
    path.parent.mkdir(parents=True, exist_ok=True)
    # Opened anew each time, so that threads of one process exclude each other, too.
    held = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    try:
        _wait_for(held)
        yield
    finally:
        # Said, not left to closing: a process started meanwhile may have the file open as well.
        fcntl.flock(held, fcntl.LOCK_UN)
        os.close(held)


def _wait_for(held: int) -> None:
    until = time.monotonic() + PATIENCE_SECONDS
    while True:
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > until:
                raise PhotosWaiting(
                    _("Many photos are being read just now. Send this one again in a minute.")
                ) from None
            time.sleep(LOOK_AGAIN_SECONDS)
        else:
            return
