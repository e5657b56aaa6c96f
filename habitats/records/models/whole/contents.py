"""What a whole archive says is in it, read strictly: the first thing that is looked at."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any, NamedTuple
from zipfile import BadZipFile, ZipFile
from zlib import error as DeflateError

from habitats import strict_json
from habitats.backups.models.archive import ArchivedFile, is_in_media
from habitats.backups.models.schema import Node, unknown
from habitats.older import too_old_with
from habitats.records.models.whole.tables import CONTENTS, FORMAT, MEDIA

LIMIT_BYTES = 200_000_000  # of one line, and of archive.json


class NotTaken(Exception):
    """Nothing was changed. ``faults``: a sentence each, with its file and line."""

    def __init__(self, *faults: str) -> None:
        super().__init__(" ".join(faults))
        self.faults = faults


class WholeContents(NamedTuple):
    """``tables``: how many rows each file has. ``photos`` have their names in the archive."""

    made_at: datetime
    version: str
    migrations: list[Node]
    tables: dict[str, int]
    photos: list[ArchivedFile]
    lost: list[str]


def contents_of(archive: ZipFile) -> WholeContents:
    """Raises ``NotTaken`` where the file is no archive of ours, or of a version we do not know."""
    try:
        with archive.open(CONTENTS) as file:
            # One byte more than is allowed is enough to be refused, however much is packed in it.
            told = strict_json.load(file.read(LIMIT_BYTES + 1), LIMIT_BYTES)
    except KeyError:
        raise NotTaken(f"There is no {CONTENTS} in it: this is no whole archive.") from None
    except (strict_json.NotReadable, BadZipFile, DeflateError, EOFError) as fault:
        raise NotTaken(f"{CONTENTS}: {fault}") from None
    if not isinstance(told, Mapping) or told.get("format") != FORMAT:
        raise NotTaken(f"{CONTENTS}: the key format has to be {FORMAT!r}.")
    try:
        contents = _read(told)
    except (KeyError, TypeError, ValueError) as fault:
        raise NotTaken(f"{CONTENTS}: a key is missing or not as it has to be: {fault}.") from None
    _refuse_version(contents)
    return contents


def _read(told: Mapping[str, Any]) -> WholeContents:
    photos = [
        ArchivedFile(f"{MEDIA}/{one['name']}", int(one["bytes"]), str(one["sha256"]))
        for one in told["photos"]
    ]
    if strange := [one.name for one in photos if not is_in_media(one.name)]:
        raise ValueError(f"{strange[0]} is no name of a photo")
    return WholeContents(
        datetime.fromisoformat(told["made_at"]),
        str(told["version"]),
        [(str(app), str(name)) for app, name in told["migrations"]],
        {str(one["file"]): int(one["rows"]) for one in told["tables"]},
        photos,
        [str(one) for one in told["lost_photos"]],
    )


def _refuse_version(contents: WholeContents) -> None:
    if strange := unknown(contents.migrations):
        app, name = strange[0]
        raise NotTaken(
            f"Version {contents.version} wrote it, which is newer than this one (it has {app} "
            f"{name}). Install that version, then import."
        )
    if fault := too_old_with(contents.migrations):
        raise NotTaken(f"Version {contents.version} wrote it. {fault}")
