"""What changed in the version that runs, out of CHANGELOG.md."""

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path


@dataclass(frozen=True, slots=True)
class NotesUnder:
    """What stands under one heading of Keep a Changelog, such as “Added”."""

    heading: str
    lines: tuple[str, ...]


@cache
def version(folder: Path) -> str:
    """The version of `pyproject.toml` in `folder`."""
    return str(tomllib.loads((folder / "pyproject.toml").read_text("utf-8"))["project"]["version"])


@cache
def newest_notes(folder: Path) -> tuple[NotesUnder, ...]:
    """The notes of the newest version in `folder`; empty where a packager left the file out."""
    file = folder / "CHANGELOG.md"
    if not file.is_file():
        return ()
    newest = file.read_text("utf-8").partition("\n## ")[2].partition("\n## ")[0]
    _, *parts = newest.split("\n### ")
    return tuple(_under(part) for part in parts)


def _under(part: str) -> NotesUnder:
    heading, _, text = part.partition("\n")
    notes = ("\n" + text).split("\n- ")[1:]
    return NotesUnder(heading.strip(), tuple(" ".join(note.split()) for note in notes))
