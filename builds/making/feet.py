"""The foot of a ramp: which wall it is tied to, and how many ties reach there.

A ramp stands in the middle of its lane, so its foot is a hand's breadth from the wire wall beside
it. A tie goes there and back, round both wires; where one is too short, several are joined end to
end. Common practice, no source.
"""

from habitats.structure.lattice import Side, wall_place
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure

TIE_MM = 200
# Of each tie in a ring: its head, and what lies double where it is pulled tight.
TIE_LOST_MM = 30
# Round the two wires, beside the way there and back.
ROUND_WIRES_MM = 20


def wall_beside_foot(structure: Structure, ramp: Ramp) -> Side | None:
    """The side of the foot's cell with a panel to tie the foot to; None if it stands free."""
    z = structure.design.levels[ramp.landing].z
    foot = ramp.lane[-1]
    return next(
        (
            side
            for side in (*ramp.side.beside, ramp.side)
            if wall_place(foot, side, z) in structure.places
        ),
        None,
    )


def ties_joined(structure: Structure, ramp: Ramp) -> int:
    """How many ties are joined for each of those at the foot; 1 where one reaches."""
    wall = wall_beside_foot(structure, ramp)
    if wall is None:
        return 1
    panel = structure.design.panel
    beside_mm = (panel.size_mm - ramp.channel_squares * panel.pitch_mm) / 2
    away_mm = ramp.landing_mm if wall is ramp.side else beside_mm
    ring_mm = round(2 * away_mm) + ROUND_WIRES_MM
    return -(-ring_mm // (TIE_MM - TIE_LOST_MM))
