"""The view from a corner: what is new stands out, and the corner that shows it is found."""

import pytest

from builds.drawing import corner_picture
from builds.drawing.corner import Scene
from builds.drawing.marks import tie_points
from builds.drawing.space import Corner
from builds.drawing.standing import all_parts, facets_of
from builds.drawing.viewpoint import best_corner
from builds.making.step import Parts
from builds.making.ties import ties_needed
from habitats.drawing.pen import RecordingPen
from habitats.drawing.styles import Style
from habitats.structure.lattice import Cell, Side, wall_place
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design


def marks_in(scene):
    pen = RecordingPen()
    scene.draw(pen)
    return pen.marks


def test_each_standing_panel_is_painted_once(balcony):
    scene = Scene(balcony, Parts(balcony.places), Parts(), Corner.SE)

    wire = [mark for mark in marks_in(scene) if mark.style is Style.WIRE]
    assert len(wire) == len(balcony.places)


def test_new_panels_and_only_they_are_in_strong_colour(balcony):
    guards = frozenset(wall_place(one.cell, one.side, one.z) for one in balcony.guards)

    marks = marks_in(Scene(balcony, all_parts(balcony), Parts(guards), Corner.SE))

    assert len([mark for mark in marks if mark.style is Style.NEW_WIRE]) == len(guards)


def test_a_floor_panel_under_its_tray_is_left_out(balcony):
    parts = all_parts(balcony)
    without_trays = Parts(parts.places)

    bare = facets_of(balcony, without_trays, Parts(), squares=1)
    covered = [f for f in facets_of(balcony, parts, Parts(), squares=1) if f.kind.name == "WIRE"]

    # The upper level has two cells.
    assert len(bare) - len(covered) == 2


@pytest.mark.parametrize(
    ("side", "seen_from"),
    [
        (Side.N, {Corner.NE, Corner.NW}),
        (Side.S, {Corner.SE, Corner.SW}),
        (Side.E, {Corner.NE, Corner.SE}),
        (Side.W, {Corner.NW, Corner.SW}),
    ],
)
def test_a_new_outer_wall_is_seen_from_its_own_side(side, seen_from):
    structure = raise_structure(make_design(["####"] * 4))
    cells = [
        Cell(r, c)
        for r in range(4)
        for c in range(4)
        if Cell(r, c).beyond(side).row in (-1, 4) or Cell(r, c).beyond(side).col in (-1, 4)
    ]
    new = Parts(frozenset(wall_place(cell, side, 0) for cell in cells))
    facets = facets_of(structure, all_parts(structure), new, squares=1)

    assert best_corner(facets) in seen_from


def test_the_corner_chosen_is_the_same_every_time(balcony):
    assert corner_picture(balcony) == corner_picture(balcony)


def test_new_joints_are_marked_strongly(balcony):
    new = Parts(joints=frozenset(balcony.joints[:3]))

    marks = marks_in(Scene(balcony, all_parts(balcony), new, Corner.SE))

    assert len([mark for mark in marks if mark.style is Style.NEW_SOLID]) == 3


def test_ties_are_drawn_as_many_as_the_rule_counts(balcony):
    for group in ties_needed(balcony):
        for spot in group.spots:
            if spot.places:
                drawn = list(tie_points(spot))
                expected = spot.count if len(spot.joints) == 2 else len(spot.places)
                assert len(drawn) == expected


def test_a_large_enclosure_stays_a_small_file():
    plan = ["#" * 12] * 8
    upper = ["......######"] * 8
    structure = raise_structure(make_design(plan, upper=upper))

    assert len(corner_picture(structure)) < 60_000


def test_places_alone_may_be_given(balcony):
    picture = corner_picture(balcony, standing=frozenset(), new=frozenset(balcony.places))

    assert "What is new is in strong colour" in picture


def test_connectors_under_a_tray_are_not_drawn():
    structure = raise_structure(make_design(["###"] * 3, upper=["###"] * 3, supports=()))
    with_trays = Scene(structure, all_parts(structure), Parts(), Corner.SE)
    without = Scene(
        structure, Parts(structure.places, frozenset(structure.joints)), Parts(), Corner.SE
    )

    def discs(scene):
        return len([mark for mark in marks_in(scene) if mark.kind == "circle"])

    # Three by three cells: four inner joints at the upper floor; the ground has no panels there.
    assert discs(without) - discs(with_trays) == 4
