"""Liners: cover every floor, by the worked values and by shapely."""

import shapely
from hypothesis import given, settings

from habitats.rotation.liners import liners_for
from habitats.structure.design import PanelSize, TrayRule
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from habitats.structure.tray import Tray
from tests.support.designs import Divider, designs, make_design


def test_a_rectangular_tray_gets_one_liner_the_size_of_its_inside() -> None:
    # Worked value: 2 × 4 panels of 350 mm, 7 mm clearance each side: inside 686 × 1 386 mm.
    design = make_design(panel=PanelSize(350), tray=TrayRule(clearance_mm=7, round_mm=1))

    (liner,) = liners_for(raise_structure(design))

    assert liner.size == (1386, 686)


def test_an_l_shaped_tray_gets_two_liners() -> None:
    liners = liners_for(raise_structure(make_design(["####", "##..", "##.."])))

    assert [liner.size for liner in liners] == [(1420, 355), (710, 705)]


def test_no_liner_lies_under_a_divider() -> None:
    dividers = (Divider(0, 0, 1, Side.E), Divider(0, 1, 2, Side.W))

    liners = liners_for(raise_structure(make_design(["####", "####"], dividers=dividers)))

    assert [liner.size for liner in liners] == [(710, 710), (710, 710)]


def test_a_liner_ends_at_a_divider_along_its_row() -> None:
    design = make_design(["###", "###"], dividers=(Divider(0, 0, 1, Side.S),))

    liners = liners_for(raise_structure(design))

    assert not any(one.north < 355 < one.south and one.west < 400 < one.east for one in liners)


def floor_of(tray: Tray) -> shapely.Polygon:
    outer, *holes = [[(wall.x1, wall.y1) for wall in ring] for ring in tray.rings]
    return shapely.Polygon(outer, holes)


@given(designs())
def test_liners_cover_every_floor_and_lie_side_by_side(design) -> None:
    structure = raise_structure(design)
    liners = liners_for(structure)

    for tray in structure.trays:
        boxes = [shapely.box(*one[1:]) for one in liners if one.level == tray.level]
        cloth = shapely.union_all(boxes)
        assert cloth.covers(floor_of(tray))
        assert cloth.area == sum(box.area for box in boxes)


@settings(max_examples=25)
@given(designs())
def test_liners_turn_up_at_inner_corners_by_no_more_than_the_play_there(design) -> None:
    structure = raise_structure(design)
    liners = liners_for(structure)
    play_mm = design.tray.clearance_mm + design.tray.round_mm

    for tray in structure.trays:
        cloth = shapely.union_all(
            [shapely.box(*one[1:]) for one in liners if one.level == tray.level]
        )
        grown = floor_of(tray).buffer(2 * play_mm, join_style="mitre")
        assert grown.covers(cloth)
