"""A blank as it lies on the bench with one of its sides up.

A blank is told as it is seen from the side that becomes the inside. Turned over, it is seen as
in a mirror, left and right changed, and what was scored on the far side is scored on the near one.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from builds.making.blank import Blank, Hole, Line
from builds.making.seam_marks import seam_marks


class SideUp(StrEnum):
    """Which side of a blank lies up. (`Side` alone is a side of a cell.)"""

    INSIDE = "inside"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class LyingBlank:
    """The lines of a blank as they are seen with the side ``up`` above, x to the right and y down.

    ``near_scores`` are cut into the side that is seen and fold away from the viewer;
    ``far_scores`` are cut into the other one and fold toward the viewer. ``marks`` are where the
    next piece ends, on a blank that is joined.
    """

    blank: Blank
    up: SideUp
    outline: tuple[tuple[int, int], ...]
    slits: tuple[Line, ...]
    near_scores: tuple[Line, ...]
    far_scores: tuple[Line, ...]
    holes: tuple[Hole, ...]
    marks: tuple[Line, ...]


def lying(blank: Blank, up: SideUp) -> LyingBlank:
    """The blank with this side up; it is turned over about an upright line."""
    wide = blank.width_mm
    wall_scores = tuple(line for line in blank.scores if line not in blank.flap_scores)
    if up is SideUp.INSIDE:
        return LyingBlank(
            blank,
            up,
            outline=blank.outline,
            slits=blank.slits,
            near_scores=blank.flap_scores,
            far_scores=wall_scores,
            holes=blank.holes,
            marks=seam_marks(blank),
        )
    return LyingBlank(
        blank,
        up,
        outline=tuple((wide - x, y) for x, y in reversed(blank.outline)),
        slits=_mirrored(blank.slits, wide),
        near_scores=_mirrored(wall_scores, wide),
        far_scores=_mirrored(blank.flap_scores, wide),
        holes=tuple(Hole(wide - one.x, one.y, one.diameter) for one in blank.holes),
        marks=_mirrored(seam_marks(blank), wide),
    )


def is_same_turned(blank: Blank) -> bool:
    """Whether a blank turned over shows the very lines to mark and score that it showed before.

    Never one with a doorway's flap: its score stays on the side that now lies below.
    """
    if blank.flap_scores:
        return False
    inside, outside = lying(blank, SideUp.INSIDE), lying(blank, SideUp.OUTSIDE)
    return (
        set(inside.outline) == set(outside.outline)
        and set(inside.slits) == set(outside.slits)
        and set(inside.far_scores) == set(outside.near_scores)
    )


def _mirrored(lines: Iterable[Line], wide: int) -> tuple[Line, ...]:
    return tuple(Line(wide - one.x2, one.y1, wide - one.x1, one.y2) for one in lines)
