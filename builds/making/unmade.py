"""Trays and strips that cannot be made from a sheet: which, why, and the remedy."""

from enum import StrEnum
from typing import NamedTuple

from builds.making.part_names import part_name
from habitats.wording import message


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
        return _WHY[self.why].filled(
            piece=part_name(self.code),
            width=self.sheet_width_mm,
            height=self.sheet_height_mm,
            own=self.own_mm,
        )


_WHY = {
    WhyUnmade.WALLS: message(
        "%(piece)s cannot be made from a sheet of %(width)d mm × %(height)d mm: with walls of "
        "%(own)d mm not every piece of it fits. Choose a larger sheet or lower walls."
    ),
    WhyUnmade.DOORWAY: message(
        "%(piece)s cannot be made from a sheet of %(width)d mm × %(height)d mm: a join would have "
        "to end at a doorway. Choose a larger sheet, or move the doorway."
    ),
    WhyUnmade.WIDTH: message(
        "%(piece)s cannot be made from a sheet of %(width)d mm × %(height)d mm: it is %(own)d mm "
        "wide. Choose a larger sheet or bend more squares of the ramp up."
    ),
    WhyUnmade.OTHER: message(
        "%(piece)s cannot be made from a sheet of %(width)d mm × %(height)d mm. Choose a larger "
        "sheet."
    ),
}
