"""How the drawing of a target is laid over what stands.

What stands stays where it is; the drawing is a sheet of paper that is laid over it: first turned
over (mirrored, east and west swapped) or not, then turned by quarters, then put with its
north-west corner on the north-west corner of the standing one's drawing, then shifted.
"""

from typing import NamedTuple

from builds.making.names import counted
from habitats.structure.motion import Motion
from habitats.wording import listed

_TURNED = ("", "turned a quarter to the right", "turned half round", "turned a quarter to the left")


class Laying(NamedTuple):
    """One way to lay the drawing; rows and columns shift it south and east, or back if negative."""

    mirrored: bool = False
    quarter_turns: int = 0
    rows: int = 0
    cols: int = 0

    def from_standing(self, target_rows: int, target_cols: int) -> Motion:
        """What takes the standing one's coordinates to those of the drawing (mirrored if it is),
        whose lattice has so many rows and columns.
        """
        down, right = ((0, 0), (0, target_rows), (target_rows, target_cols), (target_cols, 0))[
            self.quarter_turns
        ]
        return Motion(self.quarter_turns, down + self.rows, right + self.cols).inverse

    @property
    def words(self) -> str:
        """``as drawn``, or ``turned a quarter to the right and shifted 2 cells east``."""
        ways = [
            "mirrored, east and west swapped" if self.mirrored else "",
            _TURNED[self.quarter_turns],
            self._shift_words(),
        ]
        return listed([way for way in ways if way] or ["as drawn"])

    def _shift_words(self) -> str:
        steps = [
            f"{counted(abs(count), 'cell')} {more if count > 0 else less}"
            for count, more, less in ((self.cols, "east", "west"), (self.rows, "south", "north"))
            if count
        ]
        return f"shifted {listed(steps)}" if steps else ""

    @property
    def plainness(self) -> tuple[bool, bool, int, int, int, int]:
        """Of layings that take equal work the least of this is chosen: as drawn first."""
        return (
            self.mirrored,
            self.quarter_turns != 0,
            abs(self.rows) + abs(self.cols),
            self.quarter_turns,
            self.rows,
            self.cols,
        )


AS_DRAWN = Laying()
