"""Where north is: one mark in every picture that has a north, lying on the floor as it is seen."""

import xml.etree.ElementTree as ET

import pytest
from shapely import Polygon, box, unary_union

from builds.drawing import corner_picture, footprint_picture, plan_picture, step_picture
from builds.drawing.corner import Scene
from builds.drawing.space import Corner
from builds.drawing.standing import all_parts
from builds.making.reckoning import plan_of
from builds.making.step import Parts
from habitats.drawing.pen import RecordingPen, corners_of_text
from habitats.drawing.residence import Residence, floors_of, residence_picture
from habitats.drawing.styles import Style
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design

SHAPES = (["##"], ["####", "#..."], ["####"] * 4)
# From off the south-east corner, looking in, north is ahead to the right; and so on.
# Right and down are +1 on paper.
LIES = {
    Corner.SE: (1, -1),
    Corner.SW: (-1, -1),
    Corner.NW: (-1, 1),
    Corner.NE: (1, 1),
}


def norths(picture):
    return [one.text for one in ET.fromstring(picture).iter() if one.text == "N"]


def marks_from(structure, corner):
    pen = RecordingPen()
    Scene(structure, all_parts(structure), Parts(), corner).draw(pen)
    return pen.marks


def test_each_picture_of_the_enclosure_has_one_north(balcony, lengths):
    reckoned = plan_of(balcony.design)
    on_site = next(i for i, step in enumerate(reckoned.steps) if step.places)
    step = step_picture(balcony, reckoned.blanks, reckoned.steps, on_site, lengths=lengths)

    for picture in (
        plan_picture(balcony, 0, lengths=lengths),
        plan_picture(balcony, 1, lengths=lengths),
        footprint_picture(balcony),
        corner_picture(balcony),
        step,
    ):
        assert norths(picture) == ["N"]


@pytest.mark.parametrize("shares", [(), (250_000,), (2_000_000,)])
def test_a_floor_with_its_animals_has_north_where_it_is_asked_for(balcony, shares):
    floor = Residence(floors_of(balcony), shares)
    drawn = [
        residence_picture(floor, title="Floor", description="", lacking="lacks", has_north=asked)
        for asked in (False, True)
    ]

    assert [norths(one) for one in drawn] == [[], ["N"]]


def test_work_at_the_bench_has_no_north(balcony, lengths):
    reckoned = plan_of(balcony.design)
    bench = next(i for i, step in enumerate(reckoned.steps) if step.subject)

    assert not norths(
        step_picture(balcony, reckoned.blanks, reckoned.steps, bench, lengths=lengths)
    )


@pytest.mark.parametrize("corner", Corner)
def test_north_is_where_it_lies_from_that_corner(balcony, corner):
    marks = marks_from(balcony, corner)
    (letter,) = [mark for mark in marks if mark.words == "N"]
    ring = [mark for mark in marks if mark.style is Style.INSIDE][-1]
    middle = Polygon(ring.points).centroid
    ((x, y),) = letter.points

    right, down = LIES[corner]
    assert (x - middle.x) * right > 5
    assert (y - 4 - middle.y) * down > 2


@pytest.mark.parametrize("corner", Corner)
@pytest.mark.parametrize("plan", SHAPES)
def test_north_lies_clear_of_all_that_stands(plan, corner):
    marks = marks_from(raise_structure(make_design(plan)), corner)
    stands = unary_union(
        [
            Polygon(mark.rings[0])
            for mark in marks
            if mark.style in (Style.WIRE, Style.FLOOR, Style.TRAY_WALL)
        ]
    )
    ring = next(mark for mark in reversed(marks) if mark.style is Style.INSIDE)
    letter = next(mark for mark in marks if mark.words == "N")
    spots = corners_of_text(letter.points[0], "N", letter.style, letter.anchor, 0)
    written = box(*map(min, *spots), *map(max, *spots))

    assert not stands.intersects(Polygon(ring.points))
    # Letters are reckoned wider than they are.
    assert stands.intersection(written).area < 0.1 * written.area
