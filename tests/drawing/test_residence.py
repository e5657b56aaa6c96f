"""Floors with what their animals need laid on them: shapely is the outside opinion on areas."""

import re
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon
from shapely.ops import unary_union

from habitats.drawing.pen import RecordingPen, Scaled
from habitats.drawing.residence import (
    SHARES,
    Residence,
    describe,
    draw_residence,
    floors_of,
    residence_picture,
    widest_mm,
)
from habitats.drawing.styles import Style
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design, ramp_from

CM2 = 100
L_SHAPE = ("####", "##..", "##..")


def residence(*shares_cm2, plan=("####", "####"), credit_cm2=0, **changes):
    structure = raise_structure(make_design(plan, **changes))
    return Residence(
        floors_of(structure), tuple(share * CM2 for share in shares_cm2), credit_cm2 * CM2
    )


def marks_of(one, scale=1.0):
    pen = RecordingPen()
    draw_residence(Scaled(pen, scale), one, "lacks it")
    return pen.marks


def area_of(marks, *styles):
    """What was filled so, in mm², as shapely sees it."""
    return union_of(marks, *styles).area


def union_of(marks, *styles):
    return unary_union(
        [Polygon(ring) for mark in marks if mark.style in styles for ring in mark.rings]
    )


def floor_polygon(floor):
    outer, *holes = floor
    return Polygon(outer, holes)


def test_each_animal_has_a_slab_of_the_floor_it_needs():
    marks = marks_of(residence(2500, 2500, 2000))

    assert area_of(marks, Style.SHARE_1) == pytest.approx(2500 * CM2)
    assert area_of(marks, Style.SHARE_2) == pytest.approx(2500 * CM2)
    assert area_of(marks, Style.SHARE_3) == pytest.approx(2000 * CM2)


def test_neighbours_differ_in_their_hatch_alone_so_that_black_and_white_is_enough():
    hatches = [style.look.hatch for style in SHARES]

    assert all(one.angles != other.angles for one, other in combinations(hatches, 2))


def test_what_is_lacking_hangs_over_the_edge_to_scale():
    # 2 × 4 panels of 355 mm have 710 × 1420 mm inside (worked value of a tray, arithmetic).
    one = residence(6000, 6000)
    marks = marks_of(one)
    lack, floor = union_of(marks, Style.LACKING), floor_polygon(one.floors[0])

    assert one.lacking_mm2 == 12_000 * CM2 - 710 * 1420
    assert lack.area == pytest.approx(one.lacking_mm2)
    assert lack.intersection(floor).area == pytest.approx(0)
    assert lack.intersection(floor).length == pytest.approx(710)


def test_a_floor_with_room_to_spare_stays_white_there():
    one = residence(2500)
    hatched = union_of(marks_of(one), *SHARES)

    assert floor_polygon(one.floors[0]).difference(hatched).area == pytest.approx(one.free_mm2)
    assert Style.LACKING not in {mark.style for mark in marks_of(one)}


def test_what_an_angle_lacks_hangs_over_its_longer_end():
    one = residence(6000, 6000, plan=L_SHAPE)
    lack = union_of(marks_of(one), Style.LACKING)

    assert lack.intersection(floor_polygon(one.floors[0])).length == pytest.approx(3 * 355 - 5)


@given(design=designs(), shares=st.lists(st.integers(1, 9000), max_size=9))
def test_hatched_and_lacking_are_together_what_is_asked_for(design, shares):
    floors = floors_of(raise_structure(design))[:1]
    one = Residence(floors, tuple(share * CM2 for share in shares))
    marks = marks_of(one)
    hatched, floor = union_of(marks, *SHARES), floor_polygon(floors[0])

    assert hatched.difference(floor.buffer(1e-3)).area == pytest.approx(0, abs=1)
    assert hatched.area + area_of(marks, Style.LACKING) == pytest.approx(one.asked_mm2)
    assert one.lacking_mm2 == pytest.approx(max(0, one.asked_mm2 - floor.area))


def with_upper(*shares_cm2, credit_cm2=0):
    ramps = (ramp_from(0, 3, Side.W),)
    return residence(*shares_cm2, credit_cm2=credit_cm2, upper=["...#", "...#"], ramps=ramps)


def test_an_upper_level_that_counts_takes_what_the_ground_cannot():
    one = with_upper(5000, 5000, 1000, credit_cm2=2000)
    marks = marks_of(one)

    assert not one.lacking_mm2
    assert area_of(marks, *SHARES) == pytest.approx(one.asked_mm2)
    assert union_of(marks, *SHARES).bounds[2] > 1420


def test_an_upper_level_that_does_not_count_is_drawn_broken_and_stays_empty():
    marks = marks_of(with_upper(5000, 6000))

    assert Style.HIDDEN in {mark.style for mark in marks}
    assert union_of(marks, *SHARES).bounds[2] <= 1420


def test_of_an_upper_level_only_what_counts_is_white_and_in_full_line():
    # 2 × 4 panels of 355 mm: 10 082 cm² of ground; the upper level, 2 × 1 panels, has 2 521 cm².
    one = with_upper(5000, 5000, credit_cm2=1000)
    marks = marks_of(one)
    white = union_of([mark for mark in marks if mark.kind == "area"], Style.PAPER)
    broken = [mark for mark in marks if mark.style is Style.HIDDEN]

    assert white.area == pytest.approx(710 * 1420 + 1000 * CM2, rel=1e-6)
    assert broken
    xs = [x for mark in broken for ring in mark.rings for x, _y in ring]
    assert min(xs) > 1420


def test_who_has_no_floor_is_numbered_in_what_is_lacking():
    one = residence(2500, 2500, 2500, 2500, plan=("##", "##"))

    numbers = [mark.words for mark in marks_of(one, scale=0.1) if mark.words.isdigit()]

    assert sorted(set(numbers)) == ["1", "2", "3", "4"]


def test_slabs_are_numbered_where_there_is_room():
    def numbers(one):
        return [mark.words for mark in marks_of(one, scale=0.1) if mark.words.isdigit()]

    assert numbers(residence(2500, 2500)) == ["1", "2"]
    assert numbers(residence(*[200] * 13)) == []


def test_pictures_of_one_scale_compare():
    def width(plan):
        picture = residence_picture(residence(plan=plan), title="Floor", description="A floor.")
        return float(re.search(r' width="([\d.]+)"', picture)[1])

    # Two panels more are 71 units more at 10 mm a unit; margins and line weights are the same.
    assert width(("######",)) - width(("####",)) == pytest.approx(71)


def test_the_widest_side_counts_what_hangs_over():
    assert widest_mm(residence()) == 1420
    assert widest_mm(residence(12_000)) == pytest.approx(12_000 * CM2 / 710)


def test_the_picture_is_told_in_words():
    assert describe(residence(2500, 2000), ["Pip", "Moss"]).replace("\xa0", " ") == (
        "Floor of 1.00 m², seen from above. Needed: 1 Pip 0.25 m², 2 Moss 0.20 m². Free: 0.55 m²."
    )
    assert "0.20 m² too small." in describe(residence(12_000), ["Pip"]).replace("\xa0", " ")
    assert "9.7 ft²" in describe(residence(9000), ["Pip"], "inches").replace("\xa0", " ")
