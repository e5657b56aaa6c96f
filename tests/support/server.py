"""The server as people run it: by `make run`, files collected, data on disk, real passwords."""

import os
import re
import signal
import socket
import sqlite3
import subprocess
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
# A new machine's first start installs, migrates and fills the demo.
PATIENCE_S = 480


class Server:
    """One that answers at `url`, keeps its data in `data`, and wrote `log` since its start."""

    def __init__(self, url: str, data: Path, process: subprocess.Popen[str]) -> None:
        self.url = url
        self.data = data
        self.process = process
        self._lines: list[str] = []
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    @property
    def log(self) -> str:
        return "".join(self._lines)

    def _read(self) -> None:
        assert self.process.stdout is not None
        self._lines.extend(iter(self.process.stdout.readline, ""))

    def rows(self, query: str) -> list[tuple[Any, ...]]:
        """What stands in the server's database."""
        with closing(
            sqlite3.connect(f"file:{self.data / 'habitats.sqlite3'}?mode=ro", uri=True)
        ) as one:
            return one.execute(query).fetchall()

    def answers(self) -> bool:
        try:
            with urllib.request.urlopen(self.url + "/log-in/", timeout=5) as answer:
                return answer.status == 200
        except (urllib.error.URLError, OSError):
            return False

    def stop(self) -> None:
        """End make, its shell, gunicorn and the workers: they are one process group."""
        if self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGTERM)
            self.process.wait(timeout=120)
        self._reader.join(timeout=30)
        if self.process.stdout is not None:
            self.process.stdout.close()


@contextmanager
def started(
    data: Path, *, port: int | None = None, demo: bool = True, **more: str
) -> Iterator[Server]:
    """`make run` on a free port over the data folder; `more` are variables of the environment."""
    port = port or free_port()
    command = ["make", "--silent", "run", f"PORT={port}", f"DATA_DIR={data}"]
    process = subprocess.Popen(
        [*command, "DEMO=1" if demo else "DEMO=0"],
        cwd=ROOT,
        env=bare_environment() | more,
        text=True,
        start_new_session=True,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    server = Server(f"http://localhost:{port}", data, process)
    try:
        until = time.monotonic() + PATIENCE_S
        while not server.answers():
            if process.poll() is not None or time.monotonic() > until:
                raise AssertionError(f"`make run` does not answer. It says:\n{server.log}")
            time.sleep(0.2)
        yield server
    finally:
        server.stop()


def variables() -> list[str]:
    """The names of all variables that README.md says the server reads."""
    table = README.read_text().split("| variable |")[1].split("\n\n")[0]
    return re.findall(r"`([A-Z_]{4,})`", table)


def bare_environment() -> dict[str, str]:
    """Ours, without a word of what steers the server: the tests have settings of their own."""
    said = {*variables(), "DJANGO_SETTINGS_MODULE", "DJANGO_ALLOW_ASYNC_UNSAFE", "MAKEFLAGS"}
    # A cache folder is the machine's, not a word about the server.
    return {k: v for k, v in os.environ.items() if k not in said - {"XDG_CACHE_HOME"}}


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        port: int = one.getsockname()[1]
        return port
