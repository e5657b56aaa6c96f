"""A bucket of an S3 service on this machine: moto's server, as another program made it.

It is in a place of its own with what talks to it (`requirements-bucket.txt`), as that asks for an
older python-dateutil; `make nightly` brings it.
"""

import os
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from tests.support.server import ROOT, free_port

PLACE = ROOT / ".venv" / "bucket"
NAME, KEYS = "photos", {"AWS_ACCESS_KEY_ID": "one", "AWS_SECRET_ACCESS_KEY": "of-many"}
PATIENCE_S = 120
# Run where what it needs is; the tests themselves do without.
ASKING = f"""
import sys
import boto3
bucket = boto3.resource("s3", endpoint_url=sys.argv[1], region_name="us-east-1").Bucket({NAME!r})
"""


class Bucket:
    def __init__(self) -> None:
        if not PLACE.is_dir():
            pytest.fail("There is no S3 server: `make nightly` brings it (.venv/bucket.stamp).")
        self._port = free_port()
        self.url = f"http://127.0.0.1:{self._port}"
        self._server: subprocess.Popen[bytes] | None = None

    @property
    def environment(self) -> dict[str, str]:
        """Of a server whose photos are in it; what pip would have replaced comes first."""
        return {
            **KEYS,
            "PYTHONPATH": str(PLACE),
            "AWS_DEFAULT_REGION": "us-east-1",
            "MEDIA_S3_BUCKET": NAME,
            "MEDIA_S3_ENDPOINT": self.url,
        }

    def start(self) -> None:
        """With the bucket in it, empty."""
        self._server = subprocess.Popen(
            [sys.executable, "-m", "moto.server", "-H", "127.0.0.1", "-p", str(self._port)],
            env=os.environ | {"PYTHONPATH": str(PLACE)},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        until = time.monotonic() + PATIENCE_S
        while not self._answers():
            assert self._server.poll() is None, "moto's server ended."
            assert time.monotonic() < until, "moto's server does not answer."
            time.sleep(0.2)
        self.ask("bucket.create()")

    def stop(self) -> None:
        """What was in it is gone."""
        assert self._server
        self._server.kill()
        self._server.wait()

    @contextmanager
    def silent(self) -> Iterator[None]:
        """It takes what is asked, and does not answer."""
        assert self._server
        self._server.send_signal(signal.SIGSTOP)
        try:
            yield
        finally:
            self._server.send_signal(signal.SIGCONT)

    def names(self) -> list[str]:
        """Of all that is in it."""
        return self.ask("print(*(one.key for one in bucket.objects.all()), sep='\\n')").split()

    def ask(self, program: str) -> str:
        """What the program prints, to which ``bucket`` is boto3's."""
        done = subprocess.run(
            [sys.executable, "-c", ASKING + program, self.url],
            env=os.environ | self.environment,
            capture_output=True,
            text=True,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def _answers(self) -> bool:
        try:
            urllib.request.urlopen(self.url + "/moto-api/", timeout=5)
        except urllib.error.HTTPError:
            return True
        except OSError:
            return False
        return True


@pytest.fixture
def bucket() -> Iterator[Bucket]:
    made = Bucket()
    made.start()
    yield made
    made.stop()
