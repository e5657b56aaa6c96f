"""A backup is one ZIP file: the database as SQLite, the photos, the key, and what is in it."""

import hashlib
import json
import os
import time
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import datetime
from pathlib import Path, PurePosixPath
from typing import IO, Any, NamedTuple

from habitats.backups.models.schema import Node

CONTENTS = "backup.json"
DATABASE = "database.sqlite3"
KEY = "secret_key"
MEDIA = "media"
FORMAT = 1
CHUNK = 1 << 20


class BadBackup(Exception):
    """The file is no backup, or not a whole one; the sentence says why."""


class ArchivedFile(NamedTuple):
    """A file of the backup, and what it has to come to."""

    name: str
    bytes: int
    sha256: str


class Contents(NamedTuple):
    """``vendor``: the kind of database it is from. ``migrations``: those that it had."""

    made_at: datetime
    vendor: str
    migrations: list[Node]
    entries: list[ArchivedFile]

    @property
    def photos(self) -> list[ArchivedFile]:
        return [one for one in self.entries if one.name.startswith(f"{MEDIA}/")]


@contextmanager
def private_file(path: Path) -> Iterator[IO[bytes]]:
    """A new file that its owner alone may read, and that is on the disk when it is closed."""
    flags = os.O_RDWR | os.O_CREAT | os.O_EXCL
    with os.fdopen(os.open(path, flags, 0o600), "w+b") as file:
        yield file
        file.flush()
        os.fsync(file.fileno())


def write_archive(
    target: Path,
    database: Path,
    photos: Iterable[tuple[str, AbstractContextManager[IO[bytes] | None]]],
    key: str,
    *,
    contents: Contents,
) -> Contents:
    """Write the backup to ``target``; what is in it, with its entries.

    ``photos``: their names below the media folder, and what opens each; None: it is gone.
    """
    entries = []
    with private_file(target) as file, zipfile.ZipFile(file, "w") as archive:
        with database.open("rb") as rows:
            entries.append(_add(archive, rows, DATABASE, zipfile.ZIP_DEFLATED))
        for name, opened in photos:
            with opened as photo:
                # Deleted since it was listed: then no row names it any longer.
                if photo is not None:
                    entries.append(_add(archive, photo, f"{MEDIA}/{name}", zipfile.ZIP_STORED))
        archive.writestr(KEY, key)
        entries.append(
            ArchivedFile(KEY, len(key.encode()), hashlib.sha256(key.encode()).hexdigest())
        )
        contents = contents._replace(entries=entries)
        archive.writestr(CONTENTS, json.dumps(_told(contents), indent=1))
    return contents


def _add(archive: zipfile.ZipFile, source: IO[bytes], name: str, how: int) -> ArchivedFile:
    entry = zipfile.ZipInfo(name, max(time.localtime()[:6], (1980, 1, 1, 0, 0, 0)))
    entry.compress_type, entry.external_attr = how, 0o600 << 16
    digest, size = hashlib.sha256(), 0
    with archive.open(entry, "w", force_zip64=True) as target:
        while chunk := source.read(CHUNK):
            target.write(chunk)
            digest.update(chunk)
            size += len(chunk)
    return ArchivedFile(name, size, digest.hexdigest())


def _told(contents: Contents) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "made_at": contents.made_at.isoformat(),
        "database": contents.vendor,
        "migrations": contents.migrations,
        "files": [one._asdict() for one in contents.entries],
    }


@contextmanager
def opened(file: Path) -> Iterator[tuple[zipfile.ZipFile, Contents]]:
    """The backup, and what it says is in it. A file that is none raises ``BadBackup``."""
    try:
        archive = zipfile.ZipFile(file)
    except OSError as fault:
        raise BadBackup(f"{file} cannot be read: {fault.strerror or fault}.") from None
    except zipfile.BadZipFile:
        raise BadBackup(f"{file} is no backup, or only a part of one.") from None
    with archive:
        yield archive, _contents(archive)


def _contents(archive: zipfile.ZipFile) -> Contents:
    try:
        told = json.loads(archive.read(CONTENTS))
        if told["format"] != FORMAT:
            raise BadBackup("A newer version of the program wrote this backup. Install it first.")
        contents = Contents(
            datetime.fromisoformat(told["made_at"]),
            str(told["database"]),
            [(str(app), str(name)) for app, name in told["migrations"]],
            [ArchivedFile(**one) for one in told["files"]],
        )
    except (KeyError, ValueError, TypeError, zipfile.BadZipFile, zlib.error):
        raise BadBackup(f"There is no {CONTENTS} in it that can be read.") from None
    names = [one.name for one in contents.entries]
    if not {DATABASE, KEY} <= set(names) or any(not _is_ours(one) for one in names):
        raise BadBackup(f"What {CONTENTS} names is not what a backup holds.")
    return contents


def _is_ours(name: str) -> bool:
    return name in (DATABASE, KEY) or is_in_media(name)


def is_in_media(name: str) -> bool:
    """Whether the name in an archive leads nowhere but into the media folder."""
    parts = PurePosixPath(name).parts
    is_below = len(parts) > 1 and parts[0] == MEDIA and ".." not in parts
    return is_below and "//" not in name and "\\" not in name


def verify(file: Path) -> Contents:
    """Read every byte again, and compare it with what was written."""
    with opened(file) as (archive, contents):
        for entry in contents.entries:
            _read(archive, entry, None)
    return contents


def extract(archive: zipfile.ZipFile, entry: ArchivedFile, target: Path) -> None:
    """Write the entry to a new file, compared with what it has to come to."""
    target.parent.mkdir(parents=True, exist_ok=True)
    with private_file(target) as file:
        _read(archive, entry, file)


def _read(archive: zipfile.ZipFile, entry: ArchivedFile, target: IO[bytes] | None) -> None:
    digest, size = hashlib.sha256(), 0
    try:
        with archive.open(entry.name) as source:
            while chunk := source.read(CHUNK):
                digest.update(chunk)
                size += len(chunk)
                if target:
                    target.write(chunk)
    except KeyError:
        raise BadBackup(f"{entry.name} is missing in it.") from None
    except (zipfile.BadZipFile, zlib.error, EOFError):
        raise BadBackup(f"{entry.name} in it is damaged.") from None
    if (size, digest.hexdigest()) != (entry.bytes, entry.sha256):
        raise BadBackup(f"{entry.name} is not as it was written.")
