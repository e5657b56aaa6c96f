"""Kinds of part, third table: how each is drawn.

The keys are those of ``habitats.structure.kinds``, where it says what each is.
"""

from typing import NamedTuple

from builds.drawing.openings import Opening, doorway_opening
from builds.drawing.signs import (
    Sign,
    bar_outside,
    crossed_line,
    double_line,
    heavy_line,
    swung_open,
)
from habitats.structure.kinds import Role


class Kind(NamedTuple):
    """One row; what is empty is not drawn.

    - ``on_floor``: on the plan of a floor that it stands at the edge of;
    - ``on_wall``: on the plan of the level whose wall it stands on;
    - ``board``: the class of its line on the drawing board, as ``drawing-board.css`` has it;
    - ``opening``: what of the panel is open in the view from a corner.
    """

    on_floor: Sign | None = None
    on_wall: Sign | None = None
    board: str = ""
    opening: Opening | None = None


KINDS: dict[str, Kind] = {
    Role.WALL: Kind(on_floor=heavy_line, opening=doorway_opening),
    Role.FLOOR: Kind(),
    Role.LID: Kind(),
    Role.DIVIDER: Kind(on_floor=double_line, board="divider"),
    Role.GUARD: Kind(on_floor=heavy_line, on_wall=bar_outside, board="guard"),
    Role.DOOR: Kind(on_floor=swung_open, board="door"),
    Role.SUPPORT: Kind(on_floor=crossed_line, board="support"),
    Role.ANCHOR: Kind(board="anchor"),
}
