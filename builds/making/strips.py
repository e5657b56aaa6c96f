"""The strip of sheet inside a ramp's channel.

A strip longer than the sheet is made of several, each with a tab that lies under the one above
it, so that what runs down the ramp runs over the seam.
"""

from itertools import pairwise
from string import ascii_uppercase

from builds.making.blank import Blank, BlankSet, Flute, Hole, Join, Line, SheetSize
from builds.making.joins import SHORTEST_TAB_MM
from builds.making.part_names import strip_code, strip_piece_code
from builds.making.pattern import NOTCH_MM, outline
from builds.making.piece import Rect
from builds.making.seams import HANDY_MM
from builds.making.unmade import Unmade, WhyUnmade
from habitats.structure.ramp import Ramp

# Two ties through the strip's head hold it to the top of the ramp. Common practice, no source.
HOLE_MM = 8
HOLE_FROM_TOP_MM = 20
HOLE_FROM_SCORE_MM = 20


def strip_blanks(ramp: Ramp, index: int, sheet: SheetSize, overlap_mm: int) -> BlankSet:
    """The blanks of one ramp's strip, top first, and its joins; its tape is without allowance."""
    width, length = ramp.strip
    flute, longest = _longest(width, sheet)
    seams = _seams(length, longest, overlap_mm)
    if seams is None:
        size = sheet.width_mm, sheet.height_mm
        too_wide = Unmade(strip_code(index), WhyUnmade.WIDTH, *size, width)
        return BlankSet((), (), 0, (too_wide,))
    ends = list(pairwise((0, *seams, length)))
    codes = _codes(index, len(ends))
    joins = tuple(
        Join((upper, lower), lower, _tab_mm(ramp), 0, at, width, at, 2 * width, ramp=index)
        for upper, lower, at in zip(codes, codes[1:], seams, strict=False)
    )
    return BlankSet(
        blanks=tuple(
            _blank(ramp, index, one, end - start, flute, overlap_mm if start else 0)
            for one, (start, end) in zip(codes, ends, strict=True)
        ),
        joins=joins,
        tape_mm=sum(join.tape_mm for join in joins),
    )


def _longest(width: int, sheet: SheetSize) -> tuple[Flute, int]:
    """Flutes along the strip, which folds cleanly along them, unless the sheet is too narrow."""
    if width <= sheet.width_mm:
        return Flute.HEIGHT, sheet.height_mm
    return Flute.WIDTH, sheet.width_mm if width <= sheet.height_mm else 0


def _seams(length: int, longest: int, overlap_mm: int) -> list[int] | None:
    """Where the strip is cut across; None if the sheet is too small for any piece."""
    if length <= longest:
        return []
    most = (longest - overlap_mm) // HANDY_MM * HANDY_MM
    if most < overlap_mm:
        return None
    count = -(-length // most)
    return [-(-length * i // count // HANDY_MM) * HANDY_MM for i in range(1, count)]


def _codes(index: int, count: int) -> list[str]:
    if count == 1:
        return [strip_code(index)]
    letters = enumerate(ascii_uppercase[:count], start=1)
    return [strip_piece_code(index, letter, number, count) for number, letter in letters]


def _tab_mm(ramp: Ramp) -> int:
    """Width of a tab, which lies between the scores and clear of them; 0 if too narrow."""
    room = ramp.strip[0] - 2 * ramp.strip_side_mm - 2 * NOTCH_MM
    return room if room >= SHORTEST_TAB_MM else 0


def _blank(ramp: Ramp, index: int, code: str, length: int, flute: Flute, overlap_mm: int) -> Blank:
    """A piece of strip with its tab at the upper end (``overlap_mm`` 0: the strip's top)."""
    width, side = ramp.strip[0], ramp.strip_side_mm
    tab_mm = overlap_mm if _tab_mm(ramp) else 0
    parts = [Rect(0, tab_mm, width, tab_mm + length)]
    if tab_mm:
        parts.append(Rect(side + NOTCH_MM, 0, width - side - NOTCH_MM, tab_mm))
    return Blank(
        code=code,
        width_mm=width,
        height_mm=tab_mm + length,
        flute=flute,
        outline=outline(parts),
        scores=tuple(Line(x, tab_mm, x, tab_mm + length) for x in (side, width - side)),
        holes=() if overlap_mm else _holes(ramp),
        ramp=index,
        turnable=False,
    )


def _holes(ramp: Ramp) -> tuple[Hole, Hole]:
    width, side = ramp.strip[0], ramp.strip_side_mm
    inset = side + min(HOLE_FROM_SCORE_MM, (width - 2 * side) // 4)
    return (
        Hole(inset, HOLE_FROM_TOP_MM, HOLE_MM),
        Hole(width - inset, HOLE_FROM_TOP_MM, HOLE_MM),
    )
