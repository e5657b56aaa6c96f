"""A whole archive is brought in: into a new database beside, checked, then put in place."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple
from zipfile import BadZipFile, ZipFile

from habitats.backups.models.archive import DATABASE, BadBackup, extract
from habitats.backups.models.databases import database_in
from habitats.backups.models.half_made import half_made
from habitats.backups.models.in_place import (
    DataHere,
    NotRestored,
    data_folder,
    media_folder,
    put_in_place,
    refuse_data,
)
from habitats.records.models.whole.contents import NotTaken, WholeContents, contents_of
from habitats.records.models.whole.rows import read_rows


class BroughtIn(NamedTuple):
    """``aside``: the folder that has what was here before."""

    contents: WholeContents
    rows: int
    aside: Path | None


def check_whole(file: Path) -> tuple[WholeContents, int]:
    """What is in the archive and how many rows, after all of it was read."""
    with _unpacked(file) as (_folder, contents, rows):
        return contents, rows


def bring_in(file: Path, *, over: bool = False) -> BroughtIn:
    """Put all of the archive in place of nothing; ``over``: of what is here.

    Raises ``NotTaken`` with each fault; then nothing was changed.
    """
    files = media_folder()
    try:
        if not over:
            refuse_data(files)
        with _unpacked(file) as (folder, contents, rows):
            placed = put_in_place(folder, contents.migrations, files, over=over)
    except DataHere as fault:
        raise NotTaken(f"{fault} To replace what is here, add --over.") from None
    except NotRestored as fault:
        raise NotTaken(str(fault)) from None
    return BroughtIn(contents, rows, placed.aside)


@contextmanager
def _unpacked(file: Path) -> Iterator[tuple[Path, WholeContents, int]]:
    """A folder with the new database and the photos, on the disk of the data."""
    try:
        archive = ZipFile(file)
    except OSError as fault:
        raise NotTaken(f"{file} cannot be read: {fault.strerror or fault}.") from None
    except BadZipFile:
        raise NotTaken(f"{file} is no archive, or only a part of one.") from None
    with archive, half_made(data_folder()) as folder:
        contents = contents_of(archive)
        (folder / DATABASE).touch(mode=0o600)
        with database_in(folder / DATABASE) as alias:
            rows = read_rows(archive, contents, alias)
        _photos(archive, contents, folder)
        yield folder, contents, rows


def _photos(archive: ZipFile, contents: WholeContents, folder: Path) -> None:
    faults = []
    for photo in contents.photos:
        try:
            extract(archive, photo, folder / photo.name)
        except BadBackup as fault:
            faults.append(str(fault))
    if faults:
        raise NotTaken(*faults)
