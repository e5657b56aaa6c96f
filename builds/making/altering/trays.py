"""Trays in an alteration: which stay, which serve again elsewhere, which are cut down.

A tray serves again wherever the cells are the same, seen any way round: it turns, but is never
turned over, since its scores then lie on the wrong skin and would fold the other way.
It is cut down in two cases, both common practice without a source:

- a doorway more: two slits and a score in a wall, from the inside;
- a smaller rectangle out of one that was cut in one piece: a corner keeps its two walls, and what
  is cut off on the other two sides is either nothing or at least a wall's height, so that no old
  score or slit is left in the middle of something new.

A cut is never undone: a tray with a doorway too many, or one too small, is not used again. Neither
are the pieces of a tray joined with tape: they do not come apart clean.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import product
from typing import NamedTuple

from builds.making.blank import BlankSet
from habitats.structure.lattice import Cell, Side
from habitats.structure.motion import QUARTERS, Motion
from habitats.structure.structure import Structure

Doorways = frozenset[tuple[Cell, Side, int]]


class Fate(Enum):
    """What a tray of the target is made from, the least work first."""

    KEPT = "kept"  # lies where it will lie, lifted out at most
    DOORWAY = "doorway"  # the same, with a doorway more cut into it where it lies
    MOVED = "moved"  # serves on another level or place
    CUT_DOWN = "cut down"  # cut to less from one that is taken out
    NEW = "new"


@dataclass(frozen=True, slots=True)
class TrayFate:
    """What becomes the tray of a level of the target; ``old`` is the index of what stands.

    ``sheet_mm2`` is new sheet that it takes. ``doorways`` are those cut into an old one.
    """

    level: int
    fate: Fate
    old: int | None = None
    sheet_mm2: int = 0
    doorways: tuple[tuple[Cell, Side], ...] = ()

    @property
    def is_cut(self) -> bool:
        return self.fate is Fate.CUT_DOWN or bool(self.doorways)


class _Shape(NamedTuple):
    """Cells and doorways of a tray, and its blank if it is one; nothing else makes it differ."""

    cells: frozenset[Cell]
    doorways: Doorways
    in_one: bool


def tray_fates(
    stands: Structure,
    target: Structure,
    stands_blanks: BlankSet,
    target_blanks: BlankSet,
    same_trays: Mapping[int, int],
) -> tuple[TrayFate, ...]:
    """One fate a level, the ground first: least new sheet, then least handling and cutting.

    ``same_trays`` are those wanted where they lie, by level of the target; they stay there.
    """
    had, wanted = _shapes(stands, stands_blanks), _shapes(target, target_blanks)
    sheet = _sheet_by_level(target_blanks)
    fates = [_fate_in_place(level, old, had, wanted) for level, old in same_trays.items()]
    free = [old for old in range(len(had)) if old not in same_trays.values()]
    open_levels = [level for level in range(len(wanted)) if level not in same_trays]
    choices = [
        [
            *_from_old(level, wanted[level], had, free, stands, target),
            TrayFate(level, Fate.NEW, sheet_mm2=sheet.get(level, 0)),
        ]
        for level in open_levels
    ]
    best = min((one for one in product(*choices) if _each_once(one)), key=_cost)
    return tuple(sorted([*fates, *best], key=lambda one: one.level))


def _shapes(structure: Structure, blanks: BlankSet) -> list[_Shape]:
    pieces = [blank.level for blank in blanks.blanks]
    return [
        _Shape(
            level.cells,
            frozenset((one.cell, one.side, one.width_mm) for one in tray.doorways),
            pieces.count(tray.level) == 1,
        )
        for level, tray in zip(structure.design.levels, structure.trays, strict=True)
    ]


def _sheet_by_level(blanks: BlankSet) -> dict[int, int]:
    sheet: dict[int, int] = {}
    for blank in blanks.blanks:
        if blank.level is not None:
            area = blank.width_mm * blank.height_mm * blank.quantity
            sheet[blank.level] = sheet.get(blank.level, 0) + area
    return sheet


def _each_once(fates: Sequence[TrayFate]) -> bool:
    used = [one.old for one in fates if one.old is not None]
    return len(used) == len(set(used))


def _cost(fates: Sequence[TrayFate]) -> tuple[object, ...]:
    return (
        sum(one.sheet_mm2 for one in fates),
        sum(one.is_cut for one in fates),
        [(one.level, -1 if one.old is None else one.old) for one in fates],
    )


def _fate_in_place(
    level: int, old: int, had: Sequence[_Shape], wanted: Sequence[_Shape]
) -> TrayFate:
    more = wanted[level].doorways - had[old].doorways
    return TrayFate(level, Fate.DOORWAY if more else Fate.KEPT, old, doorways=_places(more))


def _places(doorways: Doorways) -> tuple[tuple[Cell, Side], ...]:
    return tuple(sorted((cell, side) for cell, side, _width in doorways))


def _from_old(
    level: int,
    shape: _Shape,
    had: Sequence[_Shape],
    free: Sequence[int],
    stands: Structure,
    target: Structure,
) -> Iterator[TrayFate]:
    """Every old tray that this one can be made of, each with the first way that does."""
    if stands.design.tray != target.design.tray:
        return
    for old in free:
        for turned in _all_round(had[old]):
            if (fate := _made_of(level, old, turned, shape, target)) is not None:
                yield fate
                break


def _made_of(
    level: int, old: int, turned: _Shape, shape: _Shape, target: Structure
) -> TrayFate | None:
    small = _to_corner(shape)
    fate: Fate | None = None
    if turned.cells == small.cells and turned.doorways <= small.doorways:
        fate, kept = Fate.MOVED, turned.doorways
    elif (left := _left_after_cutting(turned, small, target)) is not None:
        fate, kept = Fate.CUT_DOWN, left
    if fate is None:
        return None
    back = Motion(0, *_corner(shape.cells))
    more = _moved(small._replace(doorways=small.doorways - kept), back).doorways
    return TrayFate(level, fate, old, doorways=_places(more))


def _corner(cells: frozenset[Cell]) -> tuple[int, int]:
    return min(cell.row for cell in cells), min(cell.col for cell in cells)


def _to_corner(shape: _Shape) -> _Shape:
    row, col = _corner(shape.cells)
    return _moved(shape, Motion(0, -row, -col))


def _moved(shape: _Shape, motion: Motion) -> _Shape:
    return shape._replace(
        cells=frozenset(map(motion.cell, shape.cells)),
        doorways=frozenset(
            (motion.cell(cell), motion.side(side), width) for cell, side, width in shape.doorways
        ),
    )


def _all_round(shape: _Shape) -> Iterator[_Shape]:
    """The shape turned by each number of quarters, its north-west corner at cell (0, 0)."""
    for turns in range(QUARTERS):
        yield _to_corner(_moved(shape, Motion(turns)))


# --- A smaller rectangle out of a larger one ---


def _left_after_cutting(large: _Shape, small: _Shape, target: Structure) -> Doorways | None:
    """The doorways that are left once the larger is cut to the smaller; None if it cannot be."""
    size, wall = target.design.panel.size_mm, target.design.tray.wall_mm
    has, needs = _rectangle(large), _rectangle(small)
    if has is None or needs is None or not (large.in_one and small.in_one):
        return None
    down, right = has[0] - needs[0], has[1] - needs[1]
    if min(down, right) < 0 or any(0 < count * size < wall for count in (down, right)):
        return None
    for north, west in product(sorted({0, down}), sorted({0, right})):
        gone = _sides_cut_off((north, down - north), (west, right - west))
        doorways = _moved(large, Motion(0, -north, -west)).doorways
        left = frozenset(one for one in doorways if one[1] not in gone)
        if left <= small.doorways:
            return left
    return None


def _sides_cut_off(rows: tuple[int, int], cols: tuple[int, int]) -> set[Side]:
    """Sides where so many cells come off: (north, south) and (west, east)."""
    counts = zip((Side.N, Side.S, Side.W, Side.E), (*rows, *cols), strict=True)
    return {side for side, count in counts if count}


def _rectangle(shape: _Shape) -> tuple[int, int] | None:
    """Rows and columns of a full rectangle; None for any other shape."""
    rows = 1 + max(cell.row for cell in shape.cells)
    cols = 1 + max(cell.col for cell in shape.cells)
    return (rows, cols) if rows * cols == len(shape.cells) else None
