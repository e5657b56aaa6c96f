"""All blanks of a structure: the flat patterns of its trays and the strips of its ramps."""

from builds.making.blank import STOCK_SHEET, Base, Blank, BlankSet, Flute, Line, SheetSize
from builds.making.pattern import outline, rectangles, scores, slits
from builds.making.piece import Piece, Rect
from builds.making.strips import strip_blank
from builds.making.walls import walls_of, with_flaps
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray

__all__ = ["STOCK_SHEET", "BlankSet", "SheetSize", "make_blanks"]

OVERLAP_MM = 50


def make_blanks(
    structure: Structure, sheet: SheetSize = STOCK_SHEET, *, overlap_mm: int = OVERLAP_MM
) -> BlankSet:
    blanks = [_tray_blank(tray, sheet, overlap_mm) for tray in structure.trays]
    blanks += [strip_blank(ramp, index) for index, ramp in enumerate(structure.ramps)]
    return BlankSet(tuple(blanks), (), 0, ())


def _tray_blank(tray: Tray, sheet: SheetSize, overlap_mm: int) -> Blank:
    floor = Rect(*tray.bounds)
    piece = Piece(floor, with_flaps(walls_of(floor, tray), tray.wall_mm, overlap_mm))
    name = "Ground tray" if tray.level == 0 else f"Level {tray.level} tray"
    return _blank(name, tray, piece, sheet)


def _blank(name: str, tray: Tray, piece: Piece, sheet: SheetSize) -> Blank:
    parts = list(rectangles(piece, tray.wall_mm))
    west, north = min(part.x1 for part in parts), min(part.y1 for part in parts)
    width = max(part.x2 for part in parts) - west
    height = max(part.y2 for part in parts) - north
    floor = piece.floor

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
        level=tray.level,
        base=Base(*floor, offset_x=floor.x1 - west, offset_y=floor.y1 - north),
    )


def _flute(width: int, height: int, sheet: SheetSize) -> Flute:
    """Along the longer side where the sheet allows it."""
    wish, other = (Flute.WIDTH, Flute.HEIGHT) if width > height else (Flute.HEIGHT, Flute.WIDTH)
    return wish if sheet.takes(width, height, wish) else other
