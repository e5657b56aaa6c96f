"""Spots: the places in an enclosure that a linen lies in, each with a key and a name.

A spot is a liner's rectangle on one level, or a ramp with its towel. Its key says where it is, so
that it stays the same spot in every reckoning of one design, and in a later one where nothing
changed there.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from itertools import combinations
from typing import Literal, NamedTuple

from habitats.rotation.liners import Liner, liners_for
from habitats.structure.lattice import Side
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure
from habitats.structure.words import level_words
from habitats.wording import joined, message

_ON_SIDE = {
    Side.N: message("%(ramp)s, north side"),
    Side.E: message("%(ramp)s, east side"),
    Side.S: message("%(ramp)s, south side"),
    Side.W: message("%(ramp)s, west side"),
}


class SpotShape(NamedTuple):
    """What lies where: a liner, width east-west, or a towel, length along its ramp, in mm."""

    key: str
    name: str
    sort: Literal["liner", "towel"]
    width_mm: int
    length_mm: int


def spots_for(structure: Structure) -> tuple[SpotShape, ...]:
    """The spots of an enclosure: liners from the ground up, then the towels of its ramps."""
    liners = [
        spot
        for level in range(len(structure.design.levels))
        for spot in _liners_of(structure, level)
    ]
    return *liners, *_towels(structure)


def _liners_of(structure: Structure, level: int) -> Iterable[SpotShape]:
    liners = [one for one in liners_for(structure) if one.level == level]
    for liner, part in zip(liners, part_words(liners), strict=True):
        name = joined(", ", [one for one in (level_words(structure, level), part) if one])
        yield SpotShape(_liner_key(structure, liner), name, "liner", *liner.size)


def _towels(structure: Structure) -> Iterable[SpotShape]:
    ramps = structure.ramps
    for ramp, name in zip(ramps, _ramp_names(structure), strict=True):
        yield SpotShape(_ramp_key(structure, ramp), name, "towel", *ramp.towel)


def _liner_key(structure: Structure, liner: Liner) -> str:
    """Its height and the cell at its north-west corner, which no other liner holds."""
    z = structure.design.levels[liner.level].z
    size_mm = structure.design.panel.size_mm
    # No wall of a tray stands outside its cell, so whole panels lead to the corner's cell.
    return f"z{z}-r{liner.north // size_mm}c{liner.west // size_mm}"


def _ramp_key(structure: Structure, ramp: Ramp) -> str:
    z = structure.design.levels[ramp.level].z
    return f"ramp-z{z}-r{ramp.cell.row}c{ramp.cell.col}{ramp.side}"


def _ramp_names(structure: Structure) -> Sequence[str]:
    """Where each ramp comes from, told more closely where two come from the same."""

    def from_level(ramp: Ramp) -> str:
        words = level_words(structure, ramp.level)
        if words[-1].isdigit():
            return message("ramp from %(level)s", level=words)
        return message("ramp from the %(level)s", level=words)

    def from_side(ramp: Ramp) -> str:
        return _ON_SIDE[ramp.side].filled(ramp=from_level(ramp))

    def from_cell(ramp: Ramp) -> str:
        return joined(", ", (from_side(ramp), ramp.cell.words))

    return _first_that_tells_apart(structure.ramps, (from_level, from_side, from_cell))


# --- Names that were kept ---


def kept_name(english: str) -> str:
    """A spot's name that was kept in English, to be said to its reader."""
    if (side := _SIDE_AT_END.fullmatch(english)) is not None:
        ramp, bearing, cell = side.groups()
        told = _ON_SIDE[Side(bearing[0].upper())].filled(ramp=_kept_ramp(ramp))
        return joined(", ", (told, _kept_cell(cell))) if cell else told
    if english.startswith("ramp from "):
        return _kept_ramp(english)
    level, _, part = english.partition(", ")
    parts = {str.__str__(one): one for one in _BEARINGS.values()}
    if number := _PIECE.fullmatch(part):
        parts[part] = message("piece %(number)d", number=int(number[1]))
    return joined(", ", [one for one in (_kept_level(level), parts.get(part, part)) if one])


_SIDE_AT_END = re.compile(r"(ramp from .+), (north|east|south|west) side(?:, (.+))?")
_CELL = re.compile(r"row (\d+), column (\d+)")
_PIECE = re.compile(r"piece (\d+)")
_UPPER = re.compile(r"upper level (\d+)")


def _kept_ramp(english: str) -> str:
    level = english.removeprefix("ramp from ")
    if level.startswith("the "):
        return message("ramp from the %(level)s", level=_kept_level(level.removeprefix("the ")))
    return message("ramp from %(level)s", level=_kept_level(level))


def _kept_level(english: str) -> str:
    if number := _UPPER.fullmatch(english):
        return message("upper level %(level)d", level=int(number[1]))
    return _LEVELS.get(english, english)


_LEVELS = {"ground": message("ground"), "upper level": message("upper level")}


def _kept_cell(english: str) -> str:
    if cell := _CELL.fullmatch(english):
        return message("row %(row)s, column %(col)s", row=cell[1], col=cell[2])
    return english


# --- Parts of a floor ---


def part_words(liners: Sequence[Liner]) -> Sequence[str]:
    """Which part of its level each liner covers; empty for the only one.

    Two or three in a line by their order in it, others by their place about the level's middle,
    and numbered where that does not tell them apart.
    """
    if len(liners) < 2:
        return [""] * len(liners)
    for words, span in (_EAST_WEST, _NORTH_SOUTH):
        if len(liners) in words and _in_line(liners, span):
            in_order = sorted(liners, key=span)
            return [words[len(liners)][in_order.index(one)] for one in liners]
    whole = _round_all(liners)
    compass = [_BEARINGS[_bearing(one, whole)] for one in liners]
    numbered = [message("piece %(number)d", number=one) for one in range(1, len(liners) + 1)]
    return compass if _all_differ(compass) else numbered


_NORTH, _EAST = message("north part"), message("east part")
_SOUTH, _WEST = message("south part"), message("west part")
_MIDDLE = message("middle part")
# By the directions of north and south, and of east and west.
_BEARINGS = {
    ("", ""): _MIDDLE,
    ("north", ""): _NORTH,
    ("south", ""): _SOUTH,
    ("", "west"): _WEST,
    ("", "east"): _EAST,
    ("north", "west"): message("north-west part"),
    ("north", "east"): message("north-east part"),
    ("south", "west"): message("south-west part"),
    ("south", "east"): message("south-east part"),
}

_Span = Callable[[Liner], tuple[int, int]]

_EAST_WEST: tuple[dict[int, tuple[str, ...]], _Span] = (
    {2: (_WEST, _EAST), 3: (_WEST, _MIDDLE, _EAST)},
    lambda one: (one.west, one.east),
)
_NORTH_SOUTH: tuple[dict[int, tuple[str, ...]], _Span] = (
    {2: (_NORTH, _SOUTH), 3: (_NORTH, _MIDDLE, _SOUTH)},
    lambda one: (one.north, one.south),
)


def _in_line(liners: Iterable[Liner], span: _Span) -> bool:
    """Whether no two of them lie side by side across the direction of the spans."""
    spans = map(span, liners)
    return all(one[1] <= two[0] or two[1] <= one[0] for one, two in combinations(spans, 2))


def _round_all(liners: Sequence[Liner]) -> Liner:
    """The smallest rectangle that holds all of them."""
    return Liner(
        liners[0].level,
        min(one.west for one in liners),
        min(one.north for one in liners),
        max(one.east for one in liners),
        max(one.south for one in liners),
    )


def _bearing(liner: Liner, whole: Liner) -> tuple[str, str]:
    """Which way its middle lies from that of the whole, as ``_BEARINGS`` has it."""
    along = _way((liner.north, liner.south), (whole.north, whole.south), ("north", "south"))
    across = _way((liner.west, liner.east), (whole.west, whole.east), ("west", "east"))
    return along, across


def _way(span: tuple[int, int], whole: tuple[int, int], words: tuple[str, str]) -> str:
    """The word for where the span lies; empty within a tenth of the whole of its middle."""
    off_mm = (sum(span) - sum(whole)) / 2
    if abs(off_mm) * 10 <= whole[1] - whole[0]:
        return ""
    return words[off_mm > 0]


def _first_that_tells_apart(
    ramps: Sequence[Ramp], tellings: Sequence[Callable[[Ramp], str]]
) -> Sequence[str]:
    """For each ramp the shortest of its names that no other ramp has."""
    counts = [Counter(map(telling, ramps)) for telling in tellings]
    return [
        next(
            telling(ramp)
            for telling, count in zip(tellings, counts, strict=True)
            if count[telling(ramp)] == 1
        )
        for ramp in ramps
    ]


def _all_differ(words: Sequence[str]) -> bool:
    return len(set(words)) == len(words)
