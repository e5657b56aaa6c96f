"""Start a PostgreSQL server of our own from Debian's binaries: own folder, own port, no service.

    python -m tests.support.postgresql .venv/bin/pytest tests/store

runs a command with DATABASE_URL naming such a server.
"""

import os
import shutil
import socket
import subprocess
import sys
import tempfile
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg

DEBIAN = Path("/usr/lib/postgresql")


@contextmanager
def running_server(*settings: str) -> Iterator[str]:
    """The DATABASE_URL of a server that stops, and is forgotten, at the end.

    ``settings``: what else it is told, as `name=value`.
    """
    binaries = _binaries()
    # Not pytest's folder: the path of the server's socket has to be short, and the server's
    # user has to be let in.
    home = Path(tempfile.mkdtemp(prefix="pg"))
    try:
        if os.geteuid() == 0:
            shutil.chown(home, "postgres")
        port = _free_port()
        _run(binaries / "initdb", "-D", home / "data", "-A", "trust", "-U", "house", "-N")
        told = ("listen_addresses=127.0.0.1", "fsync=off", *settings)
        options = " ".join((f"-p {port} -k {home}", *(f"-c {one}" for one in told)))
        log = home / "log"
        _run(binaries / "pg_ctl", "-D", home / "data", "-w", "-l", log, "-o", options, "start")
        try:
            yield f"postgres://house@127.0.0.1:{port}/postgres"
        finally:
            _run(binaries / "pg_ctl", "-D", home / "data", "-m", "immediate", "stop")
    finally:
        shutil.rmtree(home, ignore_errors=True)


def new_database(url: str) -> str:
    """The address of a new, empty database on that server."""
    name = f"rescue_{uuid.uuid4().hex}"
    with psycopg.connect(url, autocommit=True) as server:
        server.execute(f'CREATE DATABASE "{name}"')
    return f"{url.rpartition('/')[0]}/{name}"


def _binaries() -> Path:
    found = sorted(DEBIAN.glob("*/bin/initdb"))
    if not found:
        raise FileNotFoundError(
            f"There is no PostgreSQL under {DEBIAN}. "
            "`make test` installs it, or: apt-get install postgresql"
        )
    return found[-1].parent


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _run(*command: object) -> None:
    """As the user postgres where we are root, whom PostgreSQL refuses to serve."""
    as_postgres = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    words = [*as_postgres, *(str(word) for word in command)]
    done = subprocess.run(words, cwd="/", stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    if done.returncode:
        raise RuntimeError(f"{command[0]} failed: {done.stderr.decode()}")


# What a test writes is never committed. Counted between two tests, its tables are empty, and
# PostgreSQL plans for that: a question over six thousand rows was seen to take half an hour.
NEVER_COUNTED = "autovacuum=off"

if __name__ == "__main__":
    with running_server(NEVER_COUNTED) as address:
        done = subprocess.run(sys.argv[1:], env=os.environ | {"DATABASE_URL": address})
    sys.exit(done.returncode)
