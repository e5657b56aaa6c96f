"""What the drawing tests share: a structure of every sort, and a pen that keeps its marks."""

import pytest

from builds.making.blank import Base, Blank, Flute, Hole, Line
from habitats.drawing.pen import RecordingPen
from habitats.measures import length
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design, ramp_from


@pytest.fixture
def balcony():
    """Two by four with an upper level across the east end and a ramp down to the west."""
    design = make_design(upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W),))
    return raise_structure(design)


@pytest.fixture
def ring():
    """A ring of one panel's height: a hole in the middle, nothing above."""
    return raise_structure(make_design(["####", "#..#", "####"]))


@pytest.fixture
def lengths():
    return length


@pytest.fixture
def marks_of():
    """Draw on a recording pen and return what was drawn."""

    def record(draw, *args):
        pen = RecordingPen()
        draw(pen, *args)
        return pen.marks

    return record


@pytest.fixture
def tray_blank():
    """A tray 600 by 400 inside, walls 100, with a doorway flap on its west side."""
    return Blank(
        code="Ground tray <west>",
        width_mm=800,
        height_mm=600,
        flute=Flute.WIDTH,
        cut_flute=Flute.WIDTH,
        outline=((0, 0), (800, 0), (800, 600), (0, 600)),
        slits=(
            Line(0, 100, 100, 100),
            Line(0, 500, 100, 500),
            Line(700, 100, 800, 100),
            Line(700, 500, 800, 500),
            Line(0, 240, 100, 240),
            Line(0, 360, 100, 360),
        ),
        scores=(
            Line(100, 0, 100, 600),
            Line(700, 0, 700, 600),
            Line(100, 100, 700, 100),
            Line(100, 500, 700, 500),
        ),
        level=0,
        base=Base(0, 0, 600, 400, 100, 100),
    )


@pytest.fixture
def strip_blank():
    return Blank(
        code="ramp-1-strip",
        width_mm=200,
        height_mm=830,
        flute=Flute.HEIGHT,
        cut_flute=Flute.HEIGHT,
        outline=((0, 0), (200, 0), (200, 830), (0, 830)),
        scores=(Line(50, 0, 50, 830), Line(150, 0, 150, 830)),
        holes=(Hole(70, 20, 6), Hole(130, 20, 6)),
        ramp=0,
    )
