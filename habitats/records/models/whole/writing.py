"""The whole archive is written: all rows of one moment, the photos they name, and what is in it."""

import hashlib
import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import IO, Any, NamedTuple
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from django.conf import settings
from django.utils import timezone

from habitats.backups.models.databases import database_in
from habitats.backups.models.half_made import half_made
from habitats.backups.models.in_place import data_folder
from habitats.backups.models.photos import photo_file
from habitats.backups.models.schema import Table, applied_to
from habitats.backups.models.snapshot import snapshot
from habitats.records.models.whole.tables import (
    CONTENTS,
    FORMAT,
    LEFT_OUT,
    MEDIA,
    columns_of,
    file_of,
    in_archive,
    photo_columns,
)
from habitats.records.models.whole.values import kind_of, told
from habitats.server.release_notes import version

AT_ONCE = 500
CHUNK = 1 << 20
# Of the zip's own entries; when it was made stands in archive.json, so equal rows make equal files.
NO_MOMENT = (1980, 1, 1, 0, 0, 0)


class WholeWritten(NamedTuple):
    """``lost``: photos that rows name and that are in no file."""

    rows: int
    photos: int
    lost: list[str]


def write_whole(target: IO[bytes], made_at: datetime | None = None) -> WholeWritten:
    """Write the archive, while the server goes on; its rows are those of one moment."""
    made_at = made_at or timezone.now()
    migrations = applied_to("default")
    with (
        half_made(data_folder()) as folder,
        ZipFile(target, "w", ZIP_DEFLATED) as archive,
    ):
        tables = in_archive(snapshot(folder / "rows"))
        with database_in(folder / "rows") as alias:
            rows = [_write_table(archive, table, alias) for table in tables]
            named = sorted({name for table in tables for name in _photos_in(table, alias)})
        photos = [one for one in (_write_photo(archive, name) for name in named) if one]
        lost = sorted(set(named) - {one["name"] for one in photos})
        contents = {
            "format": FORMAT,
            "made_at": made_at.isoformat(),
            "version": version(settings.BASE_DIR),
            "migrations": migrations,
            "tables": [_about(table, number) for table, number in zip(tables, rows, strict=True)],
            "photos": photos,
            "lost_photos": lost,
        }
        _write_text(archive, CONTENTS, json.dumps(contents, indent=1) + "\n")
        _write_text(archive, "read-me.txt", _READ_ME % LEFT_OUT)
    return WholeWritten(sum(rows), len(photos), lost)


def _about(table: Table, rows: int) -> dict[str, object]:
    columns = {one.attname: kind_of(one).name for one in columns_of(table)}
    return {"file": file_of(table), "rows": rows, "columns": columns}


@contextmanager
def _entry(archive: ZipFile, name: str, how: int) -> Iterator[IO[bytes]]:
    entry = ZipInfo(name, NO_MOMENT)
    entry.compress_type, entry.external_attr = how, 0o600 << 16
    # How long it will be is not known when it is begun.
    with archive.open(entry, "w", force_zip64=True) as file:
        yield file


def _write_text(archive: ZipFile, name: str, text: str) -> None:
    with _entry(archive, name, ZIP_DEFLATED) as file:
        file.write(text.encode())


def _write_table(archive: ZipFile, table: Table, alias: str) -> int:
    columns = columns_of(table)
    names, number = [one.attname for one in columns], 0
    with _entry(archive, file_of(table), ZIP_DEFLATED) as file:
        for row in _rows(table, alias, *names):
            cells = {
                field.attname: told(field, value) for field, value in zip(columns, row, strict=True)
            }
            file.write(_line(cells))
            number += 1
    return number


def _line(cells: dict[str, object]) -> bytes:
    """Columns in their order; JSON in them by its keys, which databases order as they like."""
    parts = (f"{json.dumps(name)}: {_json(value)}" for name, value in cells.items())
    return f"{{{', '.join(parts)}}}\n".encode()


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True, allow_nan=False)


def _rows(table: Table, alias: str, *names: str) -> Iterator[tuple[Any, ...]]:
    rows: Any = table._base_manager.using(alias).order_by("pk").values_list(*names)
    return iter(rows.iterator(AT_ONCE))


def _photos_in(table: Table, alias: str) -> Iterator[str]:
    for column in photo_columns(table):
        yield from (name for (name,) in _rows(table, alias, column) if name)


def _write_photo(archive: ZipFile, name: str) -> dict[str, Any] | None:
    """What it comes to; None where the file is lost."""
    digest, size = hashlib.sha256(), 0
    with photo_file(name) as source:
        if source is None:
            return None
        with _entry(archive, f"{MEDIA}/{name}", ZIP_STORED) as file:
            while chunk := source.read(CHUNK):
                file.write(chunk)
                digest.update(chunk)
                size += len(chunk)
    return {"name": name, "bytes": size, "sha256": digest.hexdigest()}


_READ_ME = """\
Everything that this installation remembers, for another program to read, or for manage.py
import_archive to bring into an empty installation.

archive.json  When it was made, by which version, the tables with their columns, the photos with
              their SHA-256.
tables/       One file a table, one line a row: a JSON object (RFC 8259) in UTF-8, by its id.
              A column that ends in _id names the row of another table. Moments are in UTC.
media/        Photos, as rows name them.

Not included: %s. It has names, addresses and photos: keep it where only
coordinators can open it.
"""
