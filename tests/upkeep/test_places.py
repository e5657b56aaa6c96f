"""Places on floors: every part lies on its level, and every point has a part."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, box
from shapely.ops import unary_union

from habitats.structure.structure import raise_structure
from habitats.upkeep.places import FloorPoint, is_at, parts_of, place_words
from tests.support.designs import designs, make_design


def floor_of(structure, index):
    """The level's cells as a shape: shapely's opinion of where the floor is."""
    size = structure.design.panel.size_mm
    return unary_union(
        [
            box(col * size, row * size, (col + 1) * size, (row + 1) * size)
            for row, col in structure.design.levels[index].cells
        ]
    )


@given(designs())
def test_every_part_lies_on_the_floor_of_its_level(design):
    structure = raise_structure(design)
    floors = {level.z: floor_of(structure, i) for i, level in enumerate(design.levels)}

    for part in parts_of(structure):
        assert floors[part.where.z].contains(Point(part.where.x_mm, part.where.y_mm))
        assert is_at(structure, part.where)


@given(designs())
def test_a_part_is_told_back_by_its_own_words_and_no_two_share_them(design):
    structure = raise_structure(design)
    parts = parts_of(structure)

    assert [place_words(structure, one.where) for one in parts] == [one.words for one in parts]
    assert len({one.words for one in parts}) == len({one.key for one in parts}) == len(parts)


@given(designs(), st.integers(-900, 3000), st.integers(-900, 3000))
def test_a_point_is_in_reach_within_half_a_panel_of_the_floor(design, x_mm, y_mm):
    structure = raise_structure(design)
    half = design.panel.size_mm / 2
    away = floor_of(structure, 0).distance(Point(x_mm, y_mm))

    # Reach is measured along the axes, so a corner reaches as far as a diagonal.
    if away < half:
        assert is_at(structure, FloorPoint(0, x_mm, y_mm))
    if away > half * 2**0.5:
        assert not is_at(structure, FloorPoint(0, x_mm, y_mm))


def test_a_long_floor_has_nine_parts_and_a_narrow_one_three():
    wide = parts_of(raise_structure(make_design(["######"] * 3)))
    narrow = parts_of(raise_structure(make_design(["######"])))

    assert len(wide) == 9
    assert [one.words for one in narrow] == [
        "ground, west part",
        "ground, middle part",
        "ground, east part",
    ]
    assert wide[4].words == "ground, middle part"
    assert wide[0].words == "ground, north-west part"


def test_a_single_cell_has_no_parts_and_no_height_but_its_own():
    structure = raise_structure(make_design(["#"]))

    assert [one.words for one in parts_of(structure)] == ["ground"]
    assert not is_at(structure, FloorPoint(1, 100, 100))
    with pytest.raises(LookupError):
        place_words(structure, FloorPoint(1, 100, 100))
