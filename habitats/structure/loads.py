"""What an upper floor may carry. Common practice, no source: none of it is a safety limit.

It is told only of floors that span no farther than ``LONGEST_SPAN``, and evenly spread.
"""

from typing import NamedTuple

from habitats.structure.design import Species
from habitats.structure.spans import LONGEST_SPAN
from habitats.structure.standing import span_of
from habitats.structure.structure import Structure

LOAD_G_PER_PANEL = 3000
# Tray, cloth, hay and dishes.
FURNISHED_G_PER_PANEL = 1000
# Guinea pigs: boars weigh 900 to 1,200 g by two second-hand quotations. Rabbits: practice.
GROWN_G = {Species.GUINEA_PIG: 1200, Species.RABBIT: 3000}


class FloorLoad(NamedTuple):
    """All that may lie on a floor, what of it is no animal, and how many grown ones are left."""

    total_g: int
    furnished_g: int
    animals: int


def load_of(structure: Structure, index: int) -> FloorLoad | None:
    """Of an upper level; None where its floor spans too far to tell."""
    design = structure.design
    if span_of(design, index) > LONGEST_SPAN:
        return None
    panels = len(design.levels[index].cells)
    total, furnished = LOAD_G_PER_PANEL * panels, FURNISHED_G_PER_PANEL * panels
    return FloorLoad(total, furnished, (total - furnished) // GROWN_G[design.species])
