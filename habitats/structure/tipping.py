"""Whether what stands may tip over: higher than its shorter side. Common practice, no source."""

from habitats.structure.design import footprint_mm
from habitats.structure.structure import Structure

# Height as a share of the shorter side, in hundredths; above it the top is tied to a wall.
HIGHEST_SHARE = 100


def height_mm(structure: Structure) -> int:
    """From the floor of the room to the top of its highest panel."""
    tops = (panel.place.z + panel.place.is_upright for panel in structure.panels)
    return max(tops) * structure.design.panel.size_mm


def may_tip(structure: Structure) -> bool:
    shorter = min(footprint_mm(structure.design))
    return 100 * height_mm(structure) > HIGHEST_SHARE * shorter
