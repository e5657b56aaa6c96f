"""Files for a cutter read back, DXF by ezdxf: one layer a kind of line, and a legend."""

import io
import math
import xml.etree.ElementTree as ET
from dataclasses import replace

import ezdxf
import pytest
from ezdxf.lldxf.const import BYLAYER

from builds.drawing import blank_dxf, blank_svg_mm
from builds.drawing.cutter_layers import Layer
from builds.making.blank import Flute, Line
from builds.making.lying import SideUp

SVG = "{http://www.w3.org/2000/svg}"
CUT_LAYERS = ("CUT", "SLIT", "SCORE-THIS-SIDE", "SCORE-OTHER-SIDE", "HOLES")
FLAP = Line(100, 240, 100, 360)
either_side = pytest.mark.parametrize("up", SideUp)


@pytest.fixture
def doorway_blank(tray_blank):
    """The tray with the fold of its doorway's flap, which is scored on the inside."""
    north, south = Line(100, 0, 100, 240), Line(100, 360, 100, 600)
    walls = (north, south, *tray_blank.scores[1:])
    return replace(tray_blank, scores=(*walls, FLAP), flap_scores=(FLAP,))


def read_back(blank, up=SideUp.INSIDE):
    return ezdxf.read(io.StringIO(blank_dxf(blank, 2, up).decode()))


def lines_on(document, layer):
    return {
        (*line.dxf.start.xyz[:2], *line.dxf.end.xyz[:2])
        for line in document.modelspace().query(f'LINE[layer=="{layer}"]')
    }


def words_on(document, layer):
    return [one.dxf.text for one in document.modelspace().query(f'TEXT[layer=="{layer}"]')]


def upward(lines, height=600):
    return {(one.x1, height - one.y1, one.x2, height - one.y2) for one in lines}


def turned_over(lines, width=800):
    """From left to right as in a mirror; an end may be told first or last."""
    return {frozenset({(width - a, b), (width - c, d)}) for a, b, c, d in lines}


def as_pairs(lines):
    return {frozenset({(a, b), (c, d)}) for a, b, c, d in lines}


def groups_of(blank, up=SideUp.INSIDE):
    root = ET.fromstring(blank_svg_mm(blank, 2, up))
    return {group.get("id"): group for group in root.iter(f"{SVG}g")}


def test_the_dxf_is_in_millimetres_with_a_layer_for_each_kind(tray_blank):
    document = read_back(tray_blank)

    assert document.units == ezdxf.units.MM
    assert {*CUT_LAYERS, "MARKS", "LEGEND"} <= {one.dxf.name for one in document.layers}


def test_no_two_layers_of_a_dxf_have_one_colour(tray_blank):
    layers = [one for one in read_back(tray_blank).layers if one.dxf.name in {*CUT_LAYERS, "MARKS"}]

    assert len({one.rgb for one in layers}) == len({one.dxf.color for one in layers}) == 6


def test_the_dxf_outline_has_the_blanks_area_and_edge(tray_blank):
    (outline,) = read_back(tray_blank).modelspace().query('LWPOLYLINE[layer=="CUT"]')
    points = [(x, y) for x, y, *_rest in outline]
    turned = list(zip(points, points[1:] + points[:1], strict=True))

    assert outline.closed
    assert sum(math.dist(a, b) for a, b in turned) == 2 * (800 + 600)
    assert abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in turned)) / 2 == 800 * 600


def test_each_layer_holds_exactly_its_lines_at_1_to_1_with_y_turned_up(doorway_blank):
    document = read_back(doorway_blank)

    assert lines_on(document, "SLIT") == upward(doorway_blank.slits)
    assert lines_on(document, "SCORE-THIS-SIDE") == upward([FLAP])
    assert lines_on(document, "SCORE-OTHER-SIDE") == upward(doorway_blank.scores) - upward([FLAP])


def test_with_the_outside_up_the_dxf_is_mirrored_and_the_scores_change_layers(doorway_blank):
    inside, outside = (read_back(doorway_blank, up) for up in SideUp)

    for layer, was in (
        ("SLIT", "SLIT"),
        ("SCORE-THIS-SIDE", "SCORE-OTHER-SIDE"),
        ("SCORE-OTHER-SIDE", "SCORE-THIS-SIDE"),
    ):
        assert as_pairs(lines_on(outside, layer)) == turned_over(lines_on(inside, was))


@either_side
def test_the_svg_has_the_lines_of_the_dxf(up, doorway_blank):
    document, groups = read_back(doorway_blank, up), groups_of(doorway_blank, up)

    for layer in CUT_LAYERS[1:4]:
        strokes = groups[layer].find(f"{SVG}path").get("d").split("M")[1:]
        ends = {
            tuple(tuple(map(int, end.split())) for end in stroke.split("L")) for stroke in strokes
        }
        flipped = {frozenset({(a, 600 - b), (c, 600 - d)}) for (a, b), (c, d) in ends}
        assert flipped == as_pairs(lines_on(document, layer))


def test_the_dxf_holes_have_their_radius(strip_blank):
    circles = read_back(strip_blank).modelspace().query('CIRCLE[layer=="HOLES"]')

    assert [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in circles] == [
        (70, 810, 3),
        (130, 810, 3),
    ]


@pytest.mark.parametrize(
    ("up", "said"),
    [
        (SideUp.INSIDE, "Drawn with the inside up: the side that you see becomes the inside."),
        (
            SideUp.OUTSIDE,
            "Drawn turned over, as in a mirror: the side that you see becomes the outside.",
        ),
    ],
)
def test_each_file_says_which_side_is_up(up, said, tray_blank):
    root = ET.fromstring(blank_svg_mm(tray_blank, 2, up))

    assert said in words_on(read_back(tray_blank, up), "LEGEND")
    assert said in root.find(f"{SVG}desc").text
    assert words_on(read_back(tray_blank, up), "MARKS") == [f"2 {tray_blank.name}, {up} up"]


def test_the_legend_tells_each_layer_that_the_piece_has(doorway_blank):
    layers = [Layer[name.replace("-", "_")] for name in (*CUT_LAYERS[:4], "MARKS")]

    assert words_on(read_back(doorway_blank), "LEGEND")[2:] == [one.words for one in layers]
    assert Layer.SLIT.words == "SLIT, ochre: slit, cut through"


def test_words_have_the_colour_of_no_line_to_cut(doorway_blank):
    """A cutter's program may go by colour: words in the colour of a cut would be cut."""
    texts = read_back(doorway_blank).modelspace().query("TEXT")
    groups = groups_of(doorway_blank).items()
    in_svg = {one.get("fill") for _name, group in groups for one in group.findall(f"{SVG}text")}

    assert {one.dxf.layer for one in texts} == {"LEGEND", "MARKS"}
    assert all(one.rgb is None and one.dxf.color == BYLAYER for one in texts)
    assert in_svg == {Layer.LEGEND.hex, Layer.MARKS.hex}


def test_the_legend_of_the_svg_tells_the_same_words(doorway_blank):
    texts = groups_of(doorway_blank)["LEGEND"].findall(f"{SVG}text")

    assert [one.text for one in texts] == words_on(read_back(doorway_blank), "LEGEND")


@either_side
def test_no_legend_reaches_into_the_piece(up, strip_blank):
    rows = read_back(strip_blank, up).modelspace().query('TEXT[layer=="LEGEND"]')
    texts = groups_of(strip_blank, up)["LEGEND"].findall(f"{SVG}text")

    assert all(row.dxf.insert.y + row.dxf.height < 0 for row in rows)
    assert all(int(one.get("y")) - 8 > strip_blank.height_mm for one in texts)


@pytest.mark.parametrize(
    ("flute", "way"), [(Flute.WIDTH, "left to right"), (Flute.HEIGHT, "top to bottom")]
)
def test_files_for_a_cutter_tell_the_flutes_where_nothing_cuts_along_them(flute, way, tray_blank):
    blank = replace(tray_blank, cut_flute=flute)

    assert words_on(read_back(blank), "LEGEND")[0] == f"2 {blank.name}, flutes from {way}"
    description = ET.fromstring(blank_svg_mm(blank, 2)).find(f"{SVG}desc")
    assert description.text.startswith(f"Flutes run from {way}. ")


@either_side
def test_the_dxf_passes_its_readers_audit(up, doorway_blank):
    assert not read_back(doorway_blank, up).audit().has_errors


def test_the_same_blank_gives_the_same_bytes(tray_blank):
    assert blank_dxf(tray_blank, 2) == blank_dxf(tray_blank, 2)


def test_the_cutters_svg_is_1_to_1_in_millimetres(tray_blank):
    root = ET.fromstring(blank_svg_mm(tray_blank, 2))
    width, height = root.get("width"), root.get("height")

    assert root.get("viewBox") == f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}"
    assert list(groups_of(tray_blank)) == ["CUT", "SLIT", "SCORE-OTHER-SIDE", "MARKS", "LEGEND"]
    assert root.find(f"{SVG}g/{SVG}path").get("d") == "M0 0l800 0l0 600l-800 0z"


def test_each_group_of_the_svg_is_labelled_in_words(tray_blank):
    labels = [group.find(f"{SVG}title").text for group in groups_of(tray_blank).values()]

    assert labels[0] == "CUT, near black: cut through along the outline"
    assert labels[2].startswith("SCORE-OTHER-SIDE, violet: score one skin on the side below")


def test_the_cutters_svg_has_round_holes(strip_blank):
    holes = groups_of(strip_blank)["HOLES"]

    assert holes.find(f"{SVG}path").get("d").startswith("M67 20a3 3 0 1 0 6 0")
