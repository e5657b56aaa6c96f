"""Photos wherever they are kept, in a folder or a bucket: found, read for a copy, put back."""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

from django.apps import apps
from django.core.files import File
from django.core.files.storage import default_storage
from django.db import models

from habitats.backups.models.archive import MEDIA, is_in_media, private_file

CHUNK = 1 << 20


class OtherPhoto(Exception):
    """The bucket has another photo under that name; the sentence says which."""


@contextmanager
def photo_file(name: str) -> Iterator[IO[bytes] | None]:
    """The photo that rows call so, to be read; None where there is none.

    Raises ``OSError`` where photos cannot be read now, as from a bucket that is away.
    """
    try:
        opened = default_storage.open(name, "rb") if is_in_media(f"{MEDIA}/{name}") else None
    except (FileNotFoundError, IsADirectoryError):
        opened = None
    if opened is None:
        yield None
        return
    with opened:
        yield opened


def photos_in(folder: Path) -> Iterator[str]:
    """The names of all files there, in order."""
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            yield path.relative_to(folder).as_posix()


def lost_photos() -> list[str]:
    """The photos that rows of our database name, and that are not there."""
    named: set[str] = set()
    for table in apps.get_models():
        for field in table._meta.local_concrete_fields:
            if isinstance(field, models.FileField):
                rows: Any = table._base_manager.exclude(**{field.attname: ""})
                named |= set(rows.values_list(field.attname, flat=True))
    return sorted(name for name in named if name and not default_storage.exists(name))


def send_photos(folder: Path, aside: Path, *, over: bool) -> None:
    """Put all photos of the folder into the bucket, under their names.

    What another has under such a name goes into ``aside`` if ``over``; else ``OtherPhoto``.
    Nothing else in the bucket is touched: photos that no row names any longer do no harm.
    """
    for name in photos_in(folder):
        path = folder / name
        with photo_file(name) as there:
            if there and _is_same(there, path):
                continue
            if there and not over:
                raise OtherPhoto(f"The bucket has another photo called {name} already.")
            if there:
                _set_aside(there, aside / MEDIA / name)
                default_storage.delete(name)
        with path.open("rb") as content:
            default_storage.save(name, File(content))


def _is_same(there: IO[bytes], path: Path) -> bool:
    with path.open("rb") as ours:
        digests = [_digest(one) for one in (there, ours)]
    there.seek(0)
    return digests[0] == digests[1]


def _digest(file: IO[bytes]) -> bytes:
    digest = hashlib.sha256()
    while chunk := file.read(CHUNK):
        digest.update(chunk)
    return digest.digest()


def _set_aside(there: IO[bytes], target: Path) -> None:
    target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with private_file(target) as copy:
        while chunk := there.read(CHUNK):
            copy.write(chunk)
