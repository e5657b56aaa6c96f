"""How the drawing of a target is laid over what stands.

What stands stays where it is; the drawing is a sheet of paper that is laid over it: first turned
over (mirrored, east and west swapped) or not, then turned by quarters, then put with its
north-west corner on the north-west corner of the standing one's drawing, then shifted.
"""

from collections.abc import Iterator
from typing import NamedTuple

from habitats.structure.motion import Motion
from habitats.wording import counted, listed, message

_TURNED = (
    "",
    message("turned a quarter to the right"),
    message("turned half round"),
    message("turned a quarter to the left"),
)


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
            message("mirrored, east and west swapped") if self.mirrored else "",
            _TURNED[self.quarter_turns],
            self._shift_words(),
        ]
        return listed([way for way in ways if way] or [message("as drawn")])

    def _shift_words(self) -> str:
        steps = [*_cells_across(self.cols), *_cells_down(self.rows)]
        return message("shifted %(steps)s", steps=listed(steps)) if steps else ""

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


def _cells_across(cols: int) -> Iterator[str]:
    if cols > 0:
        yield counted("%(count)d cell east", "%(count)d cells east", cols)
    if cols < 0:
        yield counted("%(count)d cell west", "%(count)d cells west", -cols)


def _cells_down(rows: int) -> Iterator[str]:
    if rows > 0:
        yield counted("%(count)d cell south", "%(count)d cells south", rows)
    if rows < 0:
        yield counted("%(count)d cell north", "%(count)d cells north", -rows)


AS_DRAWN = Laying()
