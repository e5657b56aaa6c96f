"""Photos that came with a form which was refused: no page can send a file back, so it waits here.

Each lies in a folder of who sent it, under a name that the form carries, and is thrown away after
a day.
"""

import re
import uuid
from datetime import timedelta

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.utils import timezone

from habitats.people.models.people import Person

FOLDER = "waiting"
KEPT = timedelta(days=1)
NAME = re.compile(r"[0-9a-f]{32}", re.ASCII)


def lay_by(jpeg: bytes, by: Person) -> str:
    """Under which name it waits."""
    _throw_away_old()
    name = uuid.uuid4().hex
    default_storage.save(_path(name, by), ContentFile(jpeg))
    return name


def laid_by(name: str, by: Person) -> bytes | None:
    """None where nothing waits under that name for this person, or no longer."""
    if not NAME.fullmatch(name) or not default_storage.exists(_path(name, by)):
        return None
    with default_storage.open(_path(name, by), "rb") as file:
        content: bytes = file.read()
    return content


def forget(name: str, by: Person) -> None:
    if NAME.fullmatch(name):
        default_storage.delete(_path(name, by))


def _throw_away_old() -> None:
    """Of everybody: who sent one may never come again."""
    for person in _folders():
        for file in default_storage.listdir(f"{FOLDER}/{person}")[1]:
            path = f"{FOLDER}/{person}/{file}"
            if default_storage.get_modified_time(path) < timezone.now() - KEPT:
                default_storage.delete(path)


def _folders() -> list[str]:
    """One a person. In a bucket there are no folders to ask for, only names that begin so."""
    try:
        found: list[str] = default_storage.listdir(FOLDER)[0]
    except FileNotFoundError:
        return []
    return found


def _path(name: str, by: Person) -> str:
    return f"{FOLDER}/{by.pk}/{name}.jpg"
