"""A backup is brought back: checked first, then put in place of what is here, or of nothing."""

import os
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

from django.conf import settings

from habitats.backups.models.archive import (
    DATABASE,
    KEY,
    BadBackup,
    Contents,
    extract,
    opened,
)
from habitats.backups.models.half_made import half_made
from habitats.backups.models.in_place import data_folder, media_folder, put_in_place
from habitats.backups.models.photos import lost_photos
from habitats.backups.models.record import record_good
from habitats.backups.models.schema import unknown
from habitats.backups.models.snapshot import fault_of
from habitats.common.bucket import BucketAway
from habitats.older import too_old_with


class Restored(NamedTuple):
    """``rows``: compared one by one; None where the database came as the file that it is.

    ``aside``: the folder that has what was here before. ``lost``: photos that rows name and that
    are not where photos are kept now; none, where that cannot be asked.
    """

    contents: Contents
    rows: int | None
    aside: Path | None
    has_other_key: bool
    lost: list[str]


def checked(file: Path) -> Contents:
    """What is in the backup, after every byte of it was read."""
    with _unpacked(file, data_folder()) as (_folder, contents):
        return contents


def restore(file: Path, *, over: bool = False, only_database: bool = False) -> Restored:
    """Put the backup in place; the program brings its tables to today's version afterwards."""
    data = data_folder()
    files = {} if only_database else {KEY: data / KEY}
    if not only_database:
        files |= media_folder()
    with _unpacked(file, data) as (folder, contents):
        placed = put_in_place(
            folder, contents.migrations, files, over=over, with_photos=not only_database
        )
    record_good(contents.made_at, file.resolve())
    has_other_key = not only_database and _uses_another_key((data / KEY).read_text())
    lost: list[str] = []
    with suppress(BucketAway):
        lost = lost_photos()
    return Restored(contents, placed.rows, placed.aside, has_other_key, lost)


def _uses_another_key(restored: str) -> bool:
    """Whether the environment says a key, and it is not the backup's."""
    is_said = os.environ.get("SECRET_KEY") or os.environ.get("SECRET_KEY_FILE")
    return bool(is_said) and restored.strip() != settings.SECRET_KEY


@contextmanager
def _unpacked(file: Path, data: Path) -> Iterator[tuple[Path, Contents]]:
    """A folder with all of the backup, each file as it was written and the database whole.

    On the disk of the data, so that putting it in place is a new name and nothing else.
    """
    with ExitStack() as stack:
        archive, contents = stack.enter_context(opened(file))
        folder = stack.enter_context(half_made(data))
        for entry in contents.entries:
            extract(archive, entry, folder / entry.name)
        if fault := fault_of(folder / DATABASE):
            raise BadBackup(f"The database in it is damaged: {fault}")
        if strange := unknown(contents.migrations):
            app, name = strange[0]
            raise BadBackup(
                f"A newer version of the program wrote this backup (it has {app} {name}). "
                "Install that version, then restore."
            )
        if fault := too_old_with(contents.migrations):
            raise BadBackup(fault)
        yield folder, contents
