"""The plan on the drawing board: shows whatever is drawn, finished or not."""

import xml.etree.ElementTree as ET

from builds.drawing.draft import draft_picture, may_be_floor, outline_picture, window_of
from habitats.structure.lattice import Cell, Side
from tests.support.designs import Guard, make_design, ramp_from

SVG = "{http://www.w3.org/2000/svg}"


def marks(picture: str) -> dict[str, str]:
    """The data of each path by its class."""
    root = ET.fromstring(picture)
    return {
        one.get("class", ""): one.get("d", "") for one in root.iter() if one.tag.endswith("path")
    }


def test_the_window_is_the_lattice_and_a_ring():
    assert window_of(make_design(["##"])) == (-1, -1, 1, 2)


def test_a_full_lattice_cannot_grow_but_what_is_free_in_it_may_be_drawn():
    full = make_design(["#" * 23 + "."])

    assert not may_be_floor(full, Cell(0, 24))
    assert not may_be_floor(full, Cell(0, -1))
    assert may_be_floor(full, Cell(0, 23))
    assert may_be_floor(full, Cell(1, 3))


def test_every_outer_edge_is_a_wall_and_every_cell_floor():
    drawn = marks(draft_picture(make_design(["##", "#."]), 0, ()))

    assert drawn["floor"].count("M") == 3
    assert drawn["wall"].count("M") == 8


def test_a_drawing_without_cells_is_drawn():
    assert marks(draft_picture(make_design(["."]), 0, ()))["wall"] == ""


def test_a_ramp_that_cannot_be_is_crossed_out_and_one_that_can_is_not():
    short = make_design(["##"], upper=[".#"], ramps=(ramp_from(0, 1, Side.W),))
    long = make_design(["####"], upper=["...#"], ramps=(ramp_from(0, 3, Side.W),))

    assert "lost" in marks(draft_picture(short, 1, ()))
    assert "lost" not in marks(draft_picture(long, 1, ()))
    assert "channel" in marks(draft_picture(long, 1, ()))


def test_other_levels_are_told_apart_from_the_one_that_is_drawn():
    design = make_design(["##"], upper=["#."])

    assert "above-wall" in marks(draft_picture(design, 0, ()))
    assert "below-wall" in marks(draft_picture(design, 1, ()))


def test_a_guard_is_drawn_on_the_level_whose_wall_it_stands_on():
    design = make_design(["##"], upper=["#."])
    guard = Guard(0, 1, Side.N, 1)

    assert "guard" in marks(draft_picture(design, 0, (guard,)))
    assert "guard" not in marks(draft_picture(design, 1, (guard,)))


def test_an_outline_is_to_scale_and_named():
    root = ET.fromstring(outline_picture(make_design(["#.#"]), mm_per_px=5))

    assert (root.get("width"), root.get("height")) == ("213", "71")  # 3 x 355 / 5 and 355 / 5
    assert root.get("aria-label") == "Unfinished footprint"


def lengths_on(picture: str) -> list[str]:
    return [one.text for one in ET.fromstring(picture).iter("text") if "mm" in (one.text or "")]


def test_a_rectangle_has_its_width_and_depth_on_it():
    # 3 and 2 panels of 355 mm
    drawn = lengths_on(draft_picture(make_design(["###", "###"]), 0, ()))

    assert drawn == ["1\u00a0065\u00a0mm", "710\u00a0mm"]


def test_an_l_has_each_part_of_its_outline_and_the_whole():
    drawn = lengths_on(draft_picture(make_design(["###", "#.."]), 0, ()))

    assert drawn == [
        *("355\u00a0mm", "710\u00a0mm", "1\u00a0065\u00a0mm"),
        *("355\u00a0mm", "355\u00a0mm", "710\u00a0mm"),
    ]
