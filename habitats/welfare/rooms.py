"""A structure as the space rules see it."""

from functools import lru_cache

from habitats.structure.space import (
    clear_height_mm,
    floor_of,
    longest_run_mm,
    share_at_least,
    shortest_side_mm,
)
from habitats.structure.structure import Structure
from habitats.welfare.identity import ByIdentity
from habitats.welfare.values import Clear, Room

KEPT = 512


def room_of(structure: Structure) -> Room:
    """What the enclosure has. Upper levels are the platform one can sit on and lie under.

    Where it is open above, the walls are what limits the height. With the pup set on, ramps are
    shut, and nobody gets to an upper level.
    """
    return _room(ByIdentity(structure))


def _heights(structure: Structure) -> list[int]:
    """Every clear height over the ground, the greatest first."""
    design = structure.design
    walls_mm = design.ground.wall_panels * design.panel.size_mm
    clear = (clear_height_mm(structure, 0, cell) or walls_mm for cell in design.ground.cells)
    return sorted(set(clear), reverse=True)


@lru_cache(maxsize=KEPT)
def _room(one: ByIdentity[Structure]) -> Room:
    structure = one.value
    floor = floor_of(structure)
    upper_mm2 = 0 if structure.design.pup_set else floor.upper_mm2
    clear = [Clear(height, share_at_least(structure, 0, height)) for height in _heights(structure)]
    return Room(
        ground_mm2=floor.ground_mm2,
        upper_mm2=upper_mm2,
        height_mm=clear[0].height_mm,
        tall_share=clear[0].share,
        longest_side_mm=longest_run_mm(structure),
        shortest_side_mm=shortest_side_mm(structure),
        raised_mm2=upper_mm2,
        lower=tuple(clear[1:]),
    )
