"""Checks blanks by folding them up: do they make the trays, and can they be cut?

Written from the definition and from nothing else: no code is shared with what makes blanks.

- The bases of a tray's blanks cover its floor once, and no more than its floor.
- A wall of full height stands on every stretch of the floor's edge, once, and nowhere else.
- In each doorway one blank has a flap of its width and the wall's height, scored on its own.
- Tabs lie under another piece's floor; laps and flaps lie outside walls. None comes nearer than
  10 mm to a fold it was not folded with, covers a doorway, or (flaps on flaps excepted) lies on
  another.
- Every blank hangs together, fills its rectangle and fits the sheet; every seam is told as a join.
"""

from collections.abc import Iterator

from builds.making.blank import Blank, BlankSet, SheetSize
from builds.making.check_folding import fold
from builds.making.check_tray import TrayCheck
from builds.making.part_names import strip_code, strip_name, tray_code, tray_name
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure


def check_blanks(structure: Structure, blanks: BlankSet, sheet: SheetSize) -> list[str]:
    """One sentence for each fault; none if every tray and strip can be made as told."""
    faults = [fault for blank in blanks.blanks for fault in _sheet_faults(blank, sheet)]
    unmade = {one.code for one in blanks.unmade}
    for tray in structure.trays:
        if tray_code(tray.level) not in unmade:
            faults += TrayCheck(tray_name(tray.level), tray, blanks).faults()
    for index, ramp in enumerate(structure.ramps):
        if strip_code(index) not in unmade:
            own = [one for one in blanks.blanks if one.ramp == index]
            faults += _strip_faults(strip_name(index), ramp, own)
    return faults


def _sheet_faults(blank: Blank, sheet: SheetSize) -> Iterator[str]:
    if not sheet.takes(blank.width_mm, blank.height_mm, blank.flute):
        yield (
            f"{blank.name}: {blank.width_mm} × {blank.height_mm} mm, flutes along its "
            f"{blank.flute}, does not fit a sheet of {sheet.width_mm} × {sheet.height_mm} mm"
        )


def _strip_faults(name: str, ramp: Ramp, blanks: list[Blank]) -> Iterator[str]:
    """Pieces of a strip, top first, make up its length; two scores each, two holes at the top."""
    width, length = ramp.strip
    side = ramp.strip_side_mm
    for blank in blanks:
        yield from fold(blank).faults
        upright = [score for score in blank.scores if score.x1 == score.x2 and score.y1 < score.y2]
        if {score.x1 for score in upright} != {side, width - side} or len(blank.scores) != 2:
            yield f"{blank.name}: not scored {side} mm from each long edge"
        if blank.width_mm != width or blank.slits:
            yield f"{blank.name}: not {width} mm wide in one"
        if any(score.y2 != blank.height_mm for score in upright):
            yield f"{blank.name}: a score ends before the edge"
    scored = sum(blank.scores[0].y2 - blank.scores[0].y1 for blank in blanks if blank.scores)
    if scored != length:
        yield f"{name}: {scored} mm long instead of {length} mm"
    holes = [hole for blank in blanks[:1] for hole in blank.holes]
    inside = [
        hole
        for hole in holes
        if side < hole.x - hole.diameter / 2
        and hole.x + hole.diameter / 2 < width - side
        and hole.y < 50
    ]
    if len(holes) != 2 or len(inside) != 2 or any(blank.holes for blank in blanks[1:]):
        yield f"{name}: not two holes between the scores at its top"
