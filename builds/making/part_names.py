"""Parts: their codes and their names.

A code says which part it is, in stored rows and wherever parts are told apart, and is never
changed. What people call it is told here, from its code alone.
"""

import re
from collections.abc import Callable
from enum import StrEnum
from functools import partial

from builds.making.names import level_key, level_name
from habitats.structure.furniture import FurnitureKind, counted_pieces
from habitats.structure.structure import Structure
from habitats.wording import counted, joined, message, message_in

PLAIN_PANEL = "plain-panel"
DOORWAY_PANEL = "doorway-panel"
RAMP_PANEL = "panel-to-bend"
CONNECTOR = "connector"
TIE = "cable-tie"
CLIP = "lid-clip"
ANCHOR = "wall-anchor"
PUP_PANEL = "pup-panel"
HIDE = "hide"
WATER = "water-place"
HAY = "hay-place"
TAPE = "sheet-tape"


_WORDS = {
    PLAIN_PANEL: message("plain panel"),
    DOORWAY_PANEL: message("doorway panel"),
    RAMP_PANEL: message("panel to bend"),
    CONNECTOR: message("connector"),
    TIE: message("cable tie"),
    CLIP: message("clip"),
    ANCHOR: message("wall anchor"),
    PUP_PANEL: message("pup panel"),
    HIDE: message("hide"),
    WATER: message("water bottle or bowl"),
    HAY: message("hay rack"),
    TAPE: message("sheet tape"),
}
_COUNTED: dict[str, Callable[[int], str]] = {
    PLAIN_PANEL: lambda n: counted("%(count)d plain panel", "%(count)d plain panels", n),
    DOORWAY_PANEL: lambda n: counted("%(count)d doorway panel", "%(count)d doorway panels", n),
    RAMP_PANEL: lambda n: counted("%(count)d panel to bend", "%(count)d panels to bend", n),
    CONNECTOR: lambda n: counted("%(count)d connector", "%(count)d connectors", n),
    TIE: lambda n: counted("%(count)d cable tie", "%(count)d cable ties", n),
    CLIP: lambda n: counted("%(count)d clip", "%(count)d clips", n),
    ANCHOR: lambda n: counted("%(count)d wall anchor", "%(count)d wall anchors", n),
    PUP_PANEL: lambda n: counted("%(count)d pup panel", "%(count)d pup panels", n),
    HIDE: partial(counted_pieces, FurnitureKind.HIDE),
    WATER: partial(counted_pieces, FurnitureKind.WATER),
    HAY: partial(counted_pieces, FurnitureKind.HAY),
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
    TrayPart.NORTH_WEST: message_in("part of a tray", "north-west"),
    TrayPart.NORTH: message_in("part of a tray", "north"),
    TrayPart.NORTH_EAST: message_in("part of a tray", "north-east"),
    TrayPart.WEST: message_in("part of a tray", "west"),
    TrayPart.MIDDLE: message_in("part of a tray", "middle"),
    TrayPart.EAST: message_in("part of a tray", "east"),
    TrayPart.SOUTH_WEST: message_in("part of a tray", "south-west"),
    TrayPart.SOUTH: message_in("part of a tray", "south"),
    TrayPart.SOUTH_EAST: message_in("part of a tray", "south-east"),
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


def is_towel(code: str) -> bool:
    return _TOWEL.fullmatch(code) is not None


# --- What people call them ---


def part_name(code: str) -> str:
    """What people call the part. What is no code is told as it is: somebody wrote it."""
    if words := _WORDS.get(code):
        return words
    for pattern, name in _NAMES:
        if found := pattern.fullmatch(code):
            return name(found)
    return code


def numbered_part(number: int | str, code: str) -> str:
    """A piece by its number in a plan or a packet, and its name: ``2 Ground tray``."""
    return joined(" ", [str(number), part_name(code)])


def counted_part(count: int, code: str) -> str:
    """So many of a part: ``2 panels to bend``; of one with its own name ``2 × Ground tray``."""
    words = _COUNTED.get(code)
    return words(count) if words else joined(" × ", (str(count), part_name(code)))


def part_code(told: str) -> str:
    """The code of a part that is told by its name, as pages and rows did once; else as it is."""
    code = re.sub(r"[^a-z0-9]+", "-", told.lower()).strip("-")
    code = _CODES_BY_NAME.get(code, code)
    return code if _is_code(code) else told


# Clips were of lids alone once; their code is as it was.
_CODES_BY_NAME = {"clip": CLIP}


def _is_code(code: str) -> bool:
    return code in _WORDS or any(pattern.fullmatch(code) for pattern, _name in _NAMES)


def tray_name(level: int) -> str:
    if level == 0:
        return message("Ground tray")
    return message("Level %(number)d tray", number=level)


def strip_name(ramp: int) -> str:
    return message("Ramp %(number)d strip", number=ramp + 1)


def _level(key: str) -> int:
    return 0 if key == level_key(0) else int(key.rpartition("-")[2])


def _tray(found: re.Match[str]) -> str:
    name, letter = tray_name(_level(found["level"])), found["letter"]
    if not letter:
        return name
    return message(
        "%(tray)s, piece %(letter)s (%(part)s)",
        tray=name,
        letter=letter.upper(),
        part=TrayPart(found["part"]).words,
    )


def _strip(found: re.Match[str]) -> str:
    name, letter, number = strip_name(int(found["ramp"]) - 1), found["letter"], found["number"]
    if not letter:
        return name
    return message(
        "%(strip)s, piece %(letter)s (%(where)s)",
        strip=name,
        letter=letter.upper(),
        where=message("%(number)s from the top", number=number)
        if number
        else _STRIP_ENDS[found["end"]],
    )


def _towel(found: re.Match[str]) -> str:
    if not found["ramp"]:
        return message("towel for the ramp")
    return message("towel for the ramp %(number)s", number=found["ramp"])


def _liner(found: re.Match[str]) -> str:
    level, piece = level_name(_level(found["level"])), found["piece"]
    if not piece:
        return message("liner, %(level)s", level=level)
    return message("liner, %(level)s, piece %(number)s", level=level, number=piece)


_STRIP_ENDS = {
    "top": message_in("end of a strip", "top"),
    "foot": message_in("end of a strip", "foot"),
}
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
