"""Parts by their codes, and what people call them.

A code says which part it is, in stored rows and wherever parts are told apart, and is never
changed. What people call it is told here, from its code alone.
"""

import re
from collections.abc import Callable
from enum import StrEnum
from typing import NamedTuple

from builds.making.names import counted, level_key, level_name
from habitats.structure.structure import Structure

PLAIN_PANEL = "plain-panel"
DOORWAY_PANEL = "doorway-panel"
RAMP_PANEL = "panel-to-bend"
CONNECTOR = "connector"
TIE = "cable-tie"
CLIP = "lid-clip"
TAPE = "sheet-tape"


class Noun(NamedTuple):
    one: str
    many: str


_NOUNS = {
    PLAIN_PANEL: Noun("plain panel", "plain panels"),
    DOORWAY_PANEL: Noun("doorway panel", "doorway panels"),
    RAMP_PANEL: Noun("panel to bend", "panels to bend"),
    CONNECTOR: Noun("connector", "connectors"),
    TIE: Noun("cable tie", "cable ties"),
    CLIP: Noun("lid clip", "lid clips"),
    TAPE: Noun("sheet tape", "sheet tapes"),
}


class TrayPart(StrEnum):
    """In which part of its tray a piece lies."""

    NORTH_WEST = "north-west"
    NORTH = "north"
    NORTH_EAST = "north-east"
    WEST = "west"
    MIDDLE = "middle"
    EAST = "east"
    SOUTH_WEST = "south-west"
    SOUTH = "south"
    SOUTH_EAST = "south-east"

    @property
    def words(self) -> str:
        return _TRAY_PARTS[self]


_TRAY_PARTS = {
    TrayPart.NORTH_WEST: "north-west",
    TrayPart.NORTH: "north",
    TrayPart.NORTH_EAST: "north-east",
    TrayPart.WEST: "west",
    TrayPart.MIDDLE: "middle",
    TrayPart.EAST: "east",
    TrayPart.SOUTH_WEST: "south-west",
    TrayPart.SOUTH: "south",
    TrayPart.SOUTH_EAST: "south-east",
}


# --- Codes of parts that there are several of ---


def tray_code(level: int) -> str:
    """The tray of a level, made of one piece."""
    return f"{level_key(level)}-tray"


def tray_piece_code(level: int, letter: str, part: TrayPart) -> str:
    return f"{tray_code(level)}-piece-{letter.lower()}-{part}"


def strip_code(ramp: int) -> str:
    """The strip of a ramp, by the ramp's index, made of one piece."""
    return f"ramp-{ramp + 1}-strip"


def strip_piece_code(ramp: int, letter: str, number: int, of: int) -> str:
    """One piece of several; ``number`` counts them from 1 at the top."""
    last = "foot" if number == of else f"{number}-from-the-top"
    return f"{strip_code(ramp)}-piece-{letter.lower()}-{'top' if number == 1 else last}"


def towel_code(structure: Structure, index: int) -> str:
    """The towel of a ramp, which has a number where there are several ramps."""
    return "towel-for-the-ramp" + ("" if len(structure.ramps) == 1 else f"-{index + 1}")


def liner_code(level: int, piece: int | None = None) -> str:
    """A liner of a level; ``piece`` counts several from 1, None: there is one."""
    return f"liner-{level_key(level)}" + ("" if piece is None else f"-piece-{piece}")


def is_liner(code: str) -> bool:
    return _LINER.fullmatch(code) is not None


def is_towel(code: str) -> bool:
    return _TOWEL.fullmatch(code) is not None


# --- What people call them ---


def part_name(code: str) -> str:
    """What people call the part. What is no code is told as it is: somebody wrote it."""
    if noun := _NOUNS.get(code):
        return noun.one
    for pattern, name in _NAMES:
        if found := pattern.fullmatch(code):
            return name(found)
    return code


def counted_part(count: int, code: str) -> str:
    """So many of a part, in words: ``1 cable tie``, ``2 panels to bend``."""
    return counted(count, *_NOUNS[code])


def part_code(told: str) -> str:
    """The code of a part that is told by its name, as pages and rows did once; else as it is."""
    code = re.sub(r"[^a-z0-9]+", "-", told.lower()).strip("-")
    return code if _is_code(code) else told


def _is_code(code: str) -> bool:
    return code in _NOUNS or any(pattern.fullmatch(code) for pattern, _name in _NAMES)


def tray_name(level: int) -> str:
    return "Ground tray" if level == 0 else f"Level {level} tray"


def strip_name(ramp: int) -> str:
    return f"Ramp {ramp + 1} strip"


def _level(key: str) -> int:
    return 0 if key == level_key(0) else int(key.rpartition("-")[2])


def _tray(found: re.Match[str]) -> str:
    name, letter = tray_name(_level(found["level"])), found["letter"]
    return f"{name}, piece {letter.upper()} ({TrayPart(found['part']).words})" if letter else name


def _strip(found: re.Match[str]) -> str:
    name, letter = strip_name(int(found["ramp"]) - 1), found["letter"]
    if not letter:
        return name
    where = f"{found['number']} from the top" if found["number"] else _STRIP_ENDS[found["end"]]
    return f"{name}, piece {letter.upper()} ({where})"


def _towel(found: re.Match[str]) -> str:
    return f"towel for the ramp {found['ramp']}" if found["ramp"] else "towel for the ramp"


def _liner(found: re.Match[str]) -> str:
    piece = f", piece {found['piece']}" if found["piece"] else ""
    return f"liner, {level_name(_level(found['level']))}{piece}"


_STRIP_ENDS = {"top": "top", "foot": "foot"}
_LEVEL = r"(?P<level>ground|level-[1-9]\d*)"
_TRAY = re.compile(rf"{_LEVEL}-tray(?:-piece-(?P<letter>[a-z]+)-(?P<part>{'|'.join(TrayPart)}))?")
_STRIP = re.compile(
    r"ramp-(?P<ramp>[1-9]\d*)-strip"
    r"(?:-piece-(?P<letter>[a-z])-(?:(?P<end>top|foot)|(?P<number>\d+)-from-the-top))?"
)
_TOWEL = re.compile(r"towel-for-the-ramp(?:-(?P<ramp>[1-9]\d*))?")
_LINER = re.compile(rf"liner-{_LEVEL}(?:-piece-(?P<piece>[1-9]\d*))?")
_NAMES: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], str]], ...] = (
    (_TRAY, _tray),
    (_STRIP, _strip),
    (_TOWEL, _towel),
    (_LINER, _liner),
)
