"""The DXF of a tray's blanks, folded by the sides of its scores alone, is the tray of the steps.

The steps say: fold every wall up, and a doorway's flap out and down. Folding and its one rule
(common practice) stand in ``tests/support/folding_files.py``; the tray is the structure's.
"""

import pytest
from shapely.geometry import LineString
from shapely.ops import unary_union

from builds.drawing import blank_dxf
from builds.making.blanks import make_blanks
from builds.making.lying import SideUp
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design, ramp_from
from tests.support.folding_files import fold_file, footprint

DESIGNS = {
    "one piece": make_design(["##"]),
    "a doorway": make_design(upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W),)),
    "inner corners, joined": make_design(["####", "#...", "####"]),
    "a hole, joined": make_design(["####", "#..#", "####"]),
}


def folded_into_the_tray(blank, up):
    """The blank's panels, by its file, in the tray's coordinates and with the inside up."""
    base = blank.base
    middle = (base.offset_x + (base.x2 - base.x1) / 2, base.offset_y + (base.y2 - base.y1) / 2)
    mirrored = up is SideUp.OUTSIDE
    if mirrored:
        middle = (blank.width_mm - middle[0], middle[1])
    folded = fold_file(
        blank_dxf(blank, 1, up), middle, mirrored_width=blank.width_mm if mirrored else None
    )
    shift = [base.x1 - base.offset_x, base.y1 - base.offset_y, 0]
    return [panel + shift for panel in folded.panels]


def edge_of(one):
    return LineString([(one.x1, one.y1), (one.x2, one.y2)])


@pytest.mark.parametrize("up", SideUp)
@pytest.mark.parametrize("design", DESIGNS.values(), ids=DESIGNS)
def test_a_file_folded_by_its_scores_is_the_tray_whichever_side_lies_up(design, up):
    structure = raise_structure(design)
    blanks = make_blanks(structure).blanks

    for tray in structure.trays:
        panels = [
            panel
            for blank in blanks
            if blank.level == tray.level
            for panel in folded_into_the_tray(blank, up)
        ]
        flaps = unary_union([edge_of(one) for one in tray.doorways])
        walls = unary_union([edge_of(wall) for ring in tray.rings for wall in ring]).difference(
            flaps
        )

        assert footprint(panels, up=True).symmetric_difference(walls).length < 1
        assert footprint(panels, up=False).symmetric_difference(flaps).length < 1
        heights = {round(z) for panel in panels for z in panel[:, 2]}
        assert max(heights) == tray.wall_mm
        assert min(heights) == (-tray.wall_mm if tray.doorways else 0)


@pytest.mark.parametrize("up", SideUp)
def test_a_ramps_strip_folds_both_its_edges_up(up):
    structure = raise_structure(DESIGNS["a doorway"])
    for blank in make_blanks(structure).blanks:
        if blank.ramp is None:
            continue
        mirrored = blank.width_mm if up is SideUp.OUTSIDE else None
        middle = (blank.width_mm / 2, blank.height_mm / 2)

        panels = fold_file(blank_dxf(blank, 1, up), middle, mirrored_width=mirrored).panels

        side = structure.ramps[blank.ramp].strip_side_mm
        assert sorted(round(panel[:, 2].max()) for panel in panels) == [0, side, side]
        assert min(panel[:, 2].min() for panel in panels) == 0
