"""Figures in the pictures of steps can be read: on a phone in the hand, and on paper in the garage.

Common practice, no source: 12 px on a screen, 2 mm on paper. A phone of 360 px shows a picture
326 px wide and as high as that needs; the packet's rules are in ``packet-print.css``. Figures are
seven tenths of their letters in the fonts that are drawn with (measured: 0.69 to 0.73). The walk
over random designs looks at the phone's pictures too.
"""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from hypothesis import given, settings

from builds.drawing.altering import alteration_step_picture, alteration_views
from builds.drawing.blanks import printed_step_picture
from builds.drawing.steps import step_picture, step_views
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.reckoning import plan_of
from builds.sheets import as_cut
from habitats.drawing.svg import size_of
from habitats.measures import length
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design, ramp_from
from tests.support.step_pictures import StepPicture

SVG = "{http://www.w3.org/2000/svg}"
LEAST_PX = 12
FIGURE, LEAST_MM = 0.7, 2
PRINTED = 120  # mm, the highest that a step's picture is beside its words
BALCONY = make_design(upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W),))


def sizes(markup):
    """Width, height and the smallest letters, in units; no letters are as large as can be."""
    root = ET.fromstring(markup)
    _left, _top, width, height = map(float, root.get("viewBox").split())
    letters = [float(one.get("font-size")) for one in root.iter(f"{SVG}text")]
    return width, height, min(letters, default=1000.0)


def pictures(design):
    told = plan_of(design, lay=as_cut)
    views = step_views(told.structure, told.steps)
    for index, step in enumerate(told.steps):
        yield (
            step,
            step_picture(
                told.structure,
                told.blanks,
                told.steps,
                index,
                lengths=length,
                views=views,
            ),
        )


def printed_mm(picture):
    """As large as it is where it gets the most room."""
    css = (Path(__file__).parents[2] / "static/css/packet-print.css").read_text()
    (wide,) = re.findall(r"^\.step-seen img \{ width: (\d+)mm", css, re.MULTILINE)
    assert f".pictures-{PRINTED} figure img" in css
    width, height, letter = sizes(picture)
    return FIGURE * letter * min(int(wide) / width, PRINTED / height)


@settings(max_examples=4)
@given(designs())
def test_any_step_is_read_on_paper(design):
    for step, picture in pictures(design):
        assert printed_mm(picture) >= LEAST_MM, step.id


def test_an_alteration_is_read_on_both():
    told = alter(raise_structure(make_design()), raise_structure(BALCONY))
    order = order_of_alteration(told)
    views = alteration_views(told, order)

    for index in range(len(order.steps)):
        picture = alteration_step_picture(told, order, index, lengths=length, views=views)
        assert StepPicture(picture).px_on_phone >= LEAST_PX - 0.01
        assert printed_mm(picture) >= LEAST_MM


def test_a_blank_has_its_measures_in_its_step_on_paper_and_larger_there():
    blank = plan_of(BALCONY, lay=as_cut).blanks.blanks[0]
    printed = printed_step_picture(blank, "Cut it", lengths=length)
    (on_a_phone,) = (
        picture for step, picture in pictures(BALCONY) if step.id == "cut-blank-ground-tray"
    )

    for picture in (printed, on_a_phone):
        assert f">{length(blank.width_mm)}</text>" in picture
    assert sizes(printed)[0] * sizes(printed)[1] > sizes(on_a_phone)[0] * sizes(on_a_phone)[1]
    assert printed_mm(printed) >= LEAST_MM


def test_a_picture_tells_its_size():
    for _step, picture in pictures(make_design(["##"])):
        assert size_of(picture) == pytest.approx(sizes(picture)[:2])
