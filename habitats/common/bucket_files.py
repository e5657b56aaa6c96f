"""Where photos are kept in an S3 bucket. Only there: its library is not in every installation."""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from boto3.exceptions import Boto3Error
from botocore.config import Config
from botocore.exceptions import BotoCoreError, ClientError, ConnectionError, HTTPClientError
from storages.backends.s3 import S3Storage

from habitats.common.bucket import BucketAway

# A person waits for it. Twice, since one lost packet is no service that is away.
CONNECT_SECONDS, ANSWER_SECONDS, TIMES = 3, 6, 2
# Not asked for so long after it was silent: else a page of photos held each thread of the server.
REST_SECONDS = 10
AWAY = "The bucket with the photos does not answer"


class BucketFiles(S3Storage):
    """As a folder is: what is not there is ``FileNotFoundError``; else each fault ``BucketAway``.

    A file is read whole when it is opened, so that none breaks off amid an answer.
    """

    _rests_until = 0.0

    def get_default_settings(self) -> dict[str, Any]:
        config = Config(
            connect_timeout=CONNECT_SECONDS,
            read_timeout=ANSWER_SECONDS,
            retries={"total_max_attempts": TIMES, "mode": "standard"},
        )
        return super().get_default_settings() | {"client_config": config}

    def refuse_if_away(self) -> None:
        """Raise ``BucketAway`` unless the bucket answers, and lets us in."""
        with self._asked():
            self.connection.meta.client.head_bucket(Bucket=self.bucket_name)

    def _open(self, name: str, mode: str = "rb") -> Any:
        with self._asked():
            opened = super()._open(name, mode)
            if "r" in mode:
                opened.open()
            return opened

    def _save(self, name: str, content: Any) -> str:
        with self._asked():
            return super()._save(name, content)  # type: ignore[no-any-return]

    def delete(self, name: str) -> None:
        with self._asked():
            super().delete(name)

    def exists(self, name: str) -> bool:
        with self._asked():
            return super().exists(name)  # type: ignore[no-any-return]

    def listdir(self, name: str) -> tuple[list[str], list[str]]:
        with self._asked():
            return super().listdir(name)  # type: ignore[no-any-return]

    def get_modified_time(self, name: str) -> Any:
        with self._asked():
            return super().get_modified_time(name)

    @contextmanager
    def _asked(self) -> Iterator[None]:
        if time.monotonic() < self._rests_until:
            raise BucketAway(f"{AWAY} a moment ago")
        try:
            yield
        except (BotoCoreError, ClientError, Boto3Error) as fault:
            if isinstance(fault, ConnectionError | HTTPClientError):
                self._rests_until = time.monotonic() + REST_SECONDS
            raise BucketAway(f"{AWAY}: {fault}") from fault
