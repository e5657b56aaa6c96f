"""Every picture of a work, read as its reader sees it: what is new shows, and turns are told.

The reader here shares nothing with the program but the words and colours of the SVG: it paints the
marks one over the other and looks for strong colour that is left.
"""

import re
import xml.etree.ElementTree as ET
from itertools import groupby

import pytest
from hypothesis import given, settings
from PIL import Image, ImageDraw

from builds.drawing.altering import (
    alteration_step_picture,
    alteration_views,
    taking_step_picture,
    taking_views,
)
from builds.drawing.steps import step_picture, step_views
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.altering.retire import retire
from builds.making.reckoning import plan_of
from habitats.measures import length
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design, ramp_from

SVG = "{http://www.w3.org/2000/svg}"
NOTHING_NEW = "Nothing new in this picture"
DASHED = "5 3.5"  # what is taken off
OPAQUE = 0.9
STRONG = 255
LEAST_SEEN = 6  # pixels
CORNER = re.compile(r"raised corner in the ([a-z]+-[a-z]+)")


class Read:
    """One picture of the enclosure as read."""

    def __init__(self, markup):
        root = ET.fromstring(markup)
        self.words = [one.text for one in root.iter(f"{SVG}text")]
        (self.corner,) = CORNER.findall(root.findtext(f"{SVG}desc"))
        self.is_turned = f"Turned: view from the {self.corner}" in self.words
        self.says_nothing_new = NOTHING_NEW in self.words
        self.shows_new = strong_pixels(root) >= LEAST_SEEN


def strong_pixels(root):
    """How much strong colour is left when all is painted, without what is written below."""
    left, top, width, height = map(float, root.get("viewBox").split())
    image = Image.new("L", (int(width) + 1, int(height) + 1))
    pen = ImageDraw.Draw(image)
    for mark in root:
        if mark.tag == f"{SVG}text":  # the N, then what is written below
            break
        if mark.tag == f"{SVG}path":
            paint(pen, mark, (left, top))
    return image.histogram()[STRONG]


def paint(pen, mark, origin):
    classes = mark.get("class").split()
    covers = float(mark.get("fill-opacity", 1)) >= OPAQUE
    is_strong_line = "s-new" in classes or mark.get("stroke-dasharray") == DASHED
    for run in runs(mark.get("d")):
        points = [(x - origin[0], y - origin[1]) for x, y in run]
        if any(one.startswith("f-") for one in classes) and covers and len(points) > 2:
            pen.polygon(points, fill=STRONG if {"f-new", "f-new-wash"} & set(classes) else 0)
        if is_strong_line and len(points) > 1:
            pen.line(points, fill=STRONG, width=2)


def runs(data):
    """Lines of a path in absolute points; discs are left out."""
    for run in data.split("M")[1:]:
        if "a" in run:
            continue
        pairs = re.findall(r"(-?[\d.]+) ?(-?[\d.]+)", run)
        x, y = 0.0, 0.0
        points = []
        for number, (dx, dy) in enumerate(pairs):
            x, y = (x + float(dx), y + float(dy)) if number else (float(dx), float(dy))
            points.append((x, y))
        yield points


def assert_seen_right(pictures):
    read = [Read(one) for one in pictures]
    corners = [corner for corner, _group in groupby(one.corner for one in read)]

    assert len(corners) == len(set(corners))
    assert [one.corner for one in read if one.is_turned] == corners[1:]
    for one in read:
        assert one.shows_new != one.says_nothing_new


def building(design):
    told = plan_of(design)
    views = step_views(told.structure, told.steps)
    for index in views:
        yield step_picture(
            told.structure, told.blanks, told.steps, index, lengths=length, views=views
        )


@settings(max_examples=4)
@given(designs())
def test_any_building_is_seen_right(design):
    assert_seen_right(building(design))


def test_the_usual_builds_are_seen_from_one_corner():
    for design in (
        make_design(["####", "####"]),
        make_design(upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W),)),
    ):
        assert len({Read(one).corner for one in building(design)}) == 1


@pytest.fixture(scope="module")
def change():
    loft = make_design(["####", "####"], upper=["...#", "...#"])
    ramped = make_design(
        ["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W, panels=3),)
    )
    return alter(raise_structure(loft), raise_structure(ramped))


def test_an_alteration_is_seen_right(change):
    order = order_of_alteration(change)
    views = alteration_views(change, order)

    assert_seen_right(
        alteration_step_picture(change, order, index, lengths=length, views=views)
        for index in views
    )


def test_taking_down_is_seen_right(change):
    steps = retire(change.target).steps
    views = taking_views(change.target, steps)

    assert_seen_right(taking_step_picture(change.target, steps, index, views) for index in views)
