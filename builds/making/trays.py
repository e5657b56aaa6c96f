"""The blanks of one tray.

A tray whose floor is a rectangle that fits the sheet is one blank. Any other is cut into few
rectangular pieces, each folded on its own, that are joined with tabs, laps and tape.

Tape (common practice, no source): down the free edge of every corner flap, both sides of every
corner without one, both sides of every seam and of the walls that lap at its ends.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import product
from string import ascii_uppercase

from builds.making.blank import Base, Blank, BlankSet, Flute, Join, Line, SheetSize
from builds.making.dividing import Divider, pieces_of_floor
from builds.making.joins import Seam, joined
from builds.making.part_names import TrayPart, tray_code, tray_piece_code
from builds.making.pattern import flap_scores, outline, rectangles, scores, slits
from builds.making.piece import Piece, Rect
from builds.making.unmade import Unmade, WhyUnmade
from builds.making.walls import edge_of
from habitats.structure.tray import Tray


# A change of one level leaves the others, and is compared in many ways.
@lru_cache(maxsize=256)
def tray_blanks(tray: Tray, sheet: SheetSize, overlap_mm: int) -> BlankSet:
    """One tray's blanks and joins; its tape is without allowance."""
    edge = edge_of(tray)
    divider = Divider(edge, tray.wall_mm, sheet, overlap_mm)
    floors = pieces_of_floor(edge, divider)
    if fault := _not_from_sheet(tray, sheet, floors, divider):
        return BlankSet((), (), 0, (fault,))
    pieces, seams = joined(floors, edge, tray.wall_mm, overlap_mm)
    codes = _codes(tray, floors)
    joins = [_join(seam, floors, codes, tray) for seam in seams]
    return BlankSet(
        blanks=tuple(
            _blank(code, piece, tray, sheet) for code, piece in zip(codes, pieces, strict=True)
        ),
        joins=tuple(joins),
        tape_mm=_corner_tape(tray, pieces) + sum(join.tape_mm for join in joins),
    )


def _codes(tray: Tray, floors: Sequence[Rect]) -> list[str]:
    """The tray's code; of a joined tray with a letter and where in the tray the piece lies."""
    if len(floors) == 1:
        return [tray_code(tray.level)]
    letters = [*ascii_uppercase, *map("".join, product(ascii_uppercase, repeat=2))]
    return [
        tray_piece_code(tray.level, letter, _part_of(tray, floor))
        for letter, floor in zip(letters, floors, strict=False)
    ]


def _part_of(tray: Tray, floor: Rect) -> TrayPart:
    """Which part of the tray a piece's middle lies in."""
    west, north, east, south = tray.bounds
    row = _third(floor.y1 + floor.y2, north, south)
    parts: list[TrayPart] = list(TrayPart)
    return parts[3 * row + _third(floor.x1 + floor.x2, west, east)]


def _third(doubled: int, low: int, high: int) -> int:
    """The third that half of ``doubled`` lies in: 0, 1 or 2."""
    share = 3 * (doubled - 2 * low)
    span = 2 * (high - low)
    return 0 if share < span else 2 if share > 2 * span else 1


def _blank(code: str, piece: Piece, tray: Tray, sheet: SheetSize) -> Blank:
    parts = list(rectangles(piece, tray.wall_mm))
    west, north = min(part.x1 for part in parts), min(part.y1 for part in parts)
    width = max(part.x2 for part in parts) - west
    height = max(part.y2 for part in parts) - north

    def moved(lines: tuple[Line, ...]) -> tuple[Line, ...]:
        return tuple(
            Line(one.x1 - west, one.y1 - north, one.x2 - west, one.y2 - north) for one in lines
        )

    return Blank(
        code=code,
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


def _join(seam: Seam, floors: Sequence[Rect], codes: Sequence[str], tray: Tray) -> Join:
    first, second = sorted((seam.carrier, seam.other))
    lapped = sum(1 for lap in seam.laps if lap)
    return Join(
        (codes[first], codes[second]),
        codes[seam.carrier],
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
) -> Unmade | None:
    """Why it cannot be made from the sheet; None if it can."""
    code, size = tray_code(tray.level), (sheet.width_mm, sheet.height_mm)
    if not floors:
        return Unmade(code, WhyUnmade.WALLS, *size, tray.wall_mm)
    if divider.doorways_cut(floors):
        return Unmade(code, WhyUnmade.DOORWAY, *size)
    return None
