"""Trays and strips that cannot be made from a sheet: what, why, and what to do."""

from enum import StrEnum
from typing import NamedTuple

from builds.making.part_names import part_name


class WhyUnmade(StrEnum):
    """A code is never changed: sheet plans are kept by it."""

    WALLS = "walls"
    DOORWAY = "doorway"
    WIDTH = "width"
    OTHER = "other"  # of sheet plans from before there were codes


class Unmade(NamedTuple):
    """``code`` as ``part_names`` has it; ``own_mm``: its walls, or how wide it is."""

    code: str
    why: WhyUnmade
    sheet_width_mm: int
    sheet_height_mm: int
    own_mm: int = 0

    @property
    def sentence(self) -> str:
        size = f"a sheet of {self.sheet_width_mm} × {self.sheet_height_mm} mm"
        return f"{part_name(self.code)} cannot be made from {size}{_WHY[self.why]}".format(self)


_WHY = {
    WhyUnmade.WALLS: ": with walls of {0.own_mm} mm not every piece of it fits. Choose a larger "
    "sheet or lower walls.",
    WhyUnmade.DOORWAY: ": a join would have to end at a doorway. Choose a larger sheet, or move "
    "the doorway.",
    WhyUnmade.WIDTH: ": it is {0.own_mm} mm wide. Choose a larger sheet or bend more squares of "
    "the ramp up.",
    WhyUnmade.OTHER: ". Choose a larger sheet.",
}
