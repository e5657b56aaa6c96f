"""The blanks of one tray.

A tray whose floor is a rectangle that fits the sheet is one blank. Any other is cut into few
rectangular pieces, each folded on its own, that are joined with tabs, laps and tape.

Tape (common practice, no source): down the free edge of every corner flap, both sides of every
corner without one, both sides of every seam and of the walls that lap at its ends.
"""

from collections.abc import Sequence
from itertools import product
from string import ascii_uppercase

from builds.making.blank import Base, Blank, BlankSet, Flute, Join, Line, SheetSize
from builds.making.dividing import Divider, pieces_of_floor
from builds.making.joins import Seam, joined
from builds.making.pattern import flap_scores, outline, rectangles, scores, slits
from builds.making.piece import Piece, Rect
from builds.making.walls import edge_of
from habitats.structure.tray import Tray


def tray_blanks(tray: Tray, sheet: SheetSize, overlap_mm: int) -> BlankSet:
    """One tray's blanks and joins; its tape is without allowance."""
    edge = edge_of(tray)
    divider = Divider(edge, tray.wall_mm, sheet, overlap_mm)
    floors = pieces_of_floor(edge, divider)
    if fault := _not_from_sheet(tray, sheet, floors, divider):
        return BlankSet((), (), 0, (fault,))
    pieces, seams = joined(floors, edge, tray.wall_mm, overlap_mm)
    names = _names(tray, floors)
    joins = [_join(seam, floors, names, tray) for seam in seams]
    return BlankSet(
        blanks=tuple(
            _blank(name, piece, tray, sheet) for name, piece in zip(names, pieces, strict=True)
        ),
        joins=tuple(joins),
        tape_mm=_corner_tape(tray, pieces) + sum(join.tape_mm for join in joins),
    )


def tray_name(level: int) -> str:
    """What the tray of a level is called, on its blank and in sentences."""
    return "Ground tray" if level == 0 else f"Level {level} tray"


def _names(tray: Tray, floors: Sequence[Rect]) -> list[str]:
    """The tray's name; for a joined tray with a letter and where in the tray the piece lies."""
    name = tray_name(tray.level)
    if len(floors) == 1:
        return [name]
    letters = [*ascii_uppercase, *map("".join, product(ascii_uppercase, repeat=2))]
    return [
        f"{name}, piece {letter} ({_part_of(tray, floor)})"
        for letter, floor in zip(letters, floors, strict=False)
    ]


def _part_of(tray: Tray, floor: Rect) -> str:
    """Which part of the tray a piece's middle lies in: ``north-west``, ``middle``, ``east`` ..."""
    west, north, east, south = tray.bounds
    vertical = _third(floor.y1 + floor.y2, north, south, ("north", "", "south"))
    horizontal = _third(floor.x1 + floor.x2, west, east, ("west", "", "east"))
    return "-".join(word for word in (vertical, horizontal) if word) or "middle"


def _third(doubled: int, low: int, high: int, words: tuple[str, str, str]) -> str:
    """The word for the third that half of ``doubled`` lies in."""
    share = 3 * (doubled - 2 * low)
    span = 2 * (high - low)
    return words[0] if share < span else words[2] if share > 2 * span else words[1]


def _blank(name: str, piece: Piece, tray: Tray, sheet: SheetSize) -> Blank:
    parts = list(rectangles(piece, tray.wall_mm))
    west, north = min(part.x1 for part in parts), min(part.y1 for part in parts)
    width = max(part.x2 for part in parts) - west
    height = max(part.y2 for part in parts) - north

    def moved(lines: tuple[Line, ...]) -> tuple[Line, ...]:
        return tuple(
            Line(one.x1 - west, one.y1 - north, one.x2 - west, one.y2 - north) for one in lines
        )

    return Blank(
        name=name,
        width_mm=width,
        height_mm=height,
        flute=_flute(width, height, sheet),
        outline=tuple((x - west, y - north) for x, y in outline(parts)),
        slits=moved(slits(piece, tray.wall_mm)),
        scores=moved(scores(piece, tray.wall_mm)),
        flap_scores=moved(flap_scores(piece)),
        level=tray.level,
        base=Base(*piece.floor, piece.floor.x1 - west, piece.floor.y1 - north),
    )


def _flute(width: int, height: int, sheet: SheetSize) -> Flute:
    """Along the longer side where the sheet allows it."""
    longer, shorter = (Flute.WIDTH, Flute.HEIGHT) if width > height else (Flute.HEIGHT, Flute.WIDTH)
    return longer if sheet.takes(width, height, longer) else shorter


def _join(seam: Seam, floors: Sequence[Rect], names: Sequence[str], tray: Tray) -> Join:
    first, second = sorted((seam.carrier, seam.other))
    lapped = sum(1 for lap in seam.laps if lap)
    return Join(
        (names[first], names[second]),
        names[seam.carrier],
        seam.tab.along.length_mm if seam.tab else 0,
        *floors[seam.carrier].edge(seam.side, seam.along),
        tape_mm=2 * seam.along.length_mm + 2 * lapped * tray.wall_mm,
        level=tray.level,
    )


def _corner_tape(tray: Tray, pieces: Sequence[Piece]) -> int:
    corners = sum(len(ring) for ring in tray.rings)
    flaps = sum(1 for piece in pieces for wall in piece.walls for flap in wall.flaps if flap)
    return tray.wall_mm * (flaps + 2 * (corners - flaps))


def _not_from_sheet(
    tray: Tray, sheet: SheetSize, floors: Sequence[Rect], divider: Divider
) -> str | None:
    size = f"a sheet of {sheet.width_mm} × {sheet.height_mm} mm"
    if not floors:
        return (
            f"{tray_name(tray.level)} cannot be made from {size}: with walls of {tray.wall_mm} mm "
            "not every piece of it fits. Choose a larger sheet or lower walls."
        )
    if divider.doorways_cut(floors):
        return (
            f"{tray_name(tray.level)} cannot be made from {size}: a join would have to end at a "
            "doorway. Choose a larger sheet, or move the doorway."
        )
    return None
