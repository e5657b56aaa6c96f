"""A server that is told to stop: it finishes what it was asked, and waits for nobody else."""

import inspect
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from gunicorn.workers.gthread import ThreadWorker

from tests.support.server import ROOT, bare_environment, free_port

GUNICORN = ("-m", "gunicorn", "habitats.wsgi", "--workers", "1", "--threads", "4", "--preload")
# gunicorn itself waits five for a browser's spare connection.
MOST_SECONDS = 4.5
HALF_A_FORM = (
    b"POST /log-in/ HTTP/1.1\r\nHost: localhost\r\nContent-Length: 8\r\n"
    b"Content-Type: application/x-www-form-urlencoded\r\n\r\nuser"
)


@pytest.fixture
def server(tmp_path: Path) -> Iterator[tuple["subprocess.Popen[bytes]", int]]:
    """One that answers, with its port."""
    environment = bare_environment() | {"DATA_DIR": str(tmp_path), "DEBUG": "on"}
    subprocess.run([sys.executable, "manage.py", "upgrade"], cwd=ROOT, env=environment, check=True)
    port = free_port()
    words = [sys.executable, *GUNICORN, "--no-control-socket", "--bind", f"127.0.0.1:{port}"]
    with subprocess.Popen(words, cwd=ROOT, env=environment) as process:
        try:
            while b"200 OK" not in asked(port, b"GET /log-in/ HTTP/1.0\r\nHost: localhost\r\n\r\n"):
                assert process.poll() is None
                time.sleep(0.2)
            yield process, port
        finally:
            process.kill()


def asked(port: int, words: bytes) -> bytes:
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=60) as one:
            one.sendall(words)
            return one.recv(100)
    except ConnectionError:
        return b""


def test_gunicorn_still_asks_for_the_seconds_that_we_set():
    assert "DEFAULT_WORKER_DATA_TIMEOUT" in inspect.getsource(ThreadWorker.handle)


@pytest.mark.nightly
def test_a_spare_connection_of_a_browser_holds_up_no_stop(server):
    process, port = server
    with socket.create_connection(("127.0.0.1", port)):
        time.sleep(0.5)
        process.send_signal(signal.SIGTERM)

        assert process.wait(timeout=MOST_SECONDS) == 0


@pytest.mark.nightly
def test_a_form_that_is_on_its_way_is_answered_before_it_stops(server):
    process, port = server
    with socket.create_connection(("127.0.0.1", port), timeout=60) as one:
        one.sendall(HALF_A_FORM)
        time.sleep(0.5)
        process.send_signal(signal.SIGTERM)
        time.sleep(1)
        one.sendall(b"name")

        assert one.recv(100).startswith(b"HTTP/1.1 403")  # it has no token
        assert process.wait(timeout=30) == 0
