"""Blanks: every line at its place, to scale, and 1:1 for a cutter read back with ezdxf."""

import io
import math
import xml.etree.ElementTree as ET
from dataclasses import replace

import ezdxf
import pytest

from builds.drawing import blank_dxf, blank_svg_mm
from builds.drawing.blanks import describe_blank, draw_blank, marked_positions
from builds.making.blank import Flute
from builds.making.blanks import make_blanks
from habitats.drawing.styles import Style

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def read_back():
    def read(blank):
        return ezdxf.read(io.StringIO(blank_dxf(blank).decode()))

    return read


def of_style(marks, style):
    return [mark for mark in marks if mark.kind == "line" and mark.style is style]


def test_slits_and_scores_are_drawn_in_their_own_style(tray_blank, marks_of, lengths):
    marks = marks_of(draw_blank, tray_blank, lengths)

    # One more of each stands in the legend.
    assert len(of_style(marks, Style.SLIT)) == len(tray_blank.slits) + 1
    assert len(of_style(marks, Style.SCORE)) == len(tray_blank.scores) + 1


def test_a_line_is_drawn_at_its_place_on_the_blank(tray_blank, marks_of, lengths):
    marks = marks_of(draw_blank, tray_blank, lengths)
    outline = next(mark for mark in marks if mark.style is Style.PIECE)
    scale = max(x for x, _y in outline.points) / 800

    first = of_style(marks, Style.SLIT)[0]
    assert first.points == ((0, 100 * scale), (100 * scale, 100 * scale))


def test_every_line_has_its_position_from_the_corner_written(tray_blank, marks_of, lengths):
    written = [m.words for m in marks_of(draw_blank, tray_blank, lengths) if m.kind == "text"]
    xs, ys = marked_positions(tray_blank)

    assert xs == [0, 100, 700, 800]
    assert ys == [0, 100, 240, 360, 500, 600]
    assert {lengths(at) for at in (*xs, *ys)} <= set(written)


def test_side_and_flutes_are_named(tray_blank, strip_blank, marks_of, lengths):
    for blank in (tray_blank, strip_blank):
        written = [m.words for m in marks_of(draw_blank, blank, lengths) if m.kind == "text"]

        assert {blank.name, "this side becomes the inside", "flutes"} <= set(written)


@pytest.mark.parametrize("flute", Flute)
def test_the_arrow_of_the_flutes_runs_as_the_piece_is_cut_and_over_no_words(
    flute, tray_blank, marks_of, lengths
):
    blank = replace(tray_blank, cut_flute=flute)

    marks = marks_of(draw_blank, blank, lengths)

    word = next(at for at, mark in enumerate(marks) if mark.words == "flutes")
    arrow = [point for mark in marks[word - 5 : word] for point in mark.points]
    wide, high = (max(way) - min(way) for way in zip(*arrow, strict=True))
    assert (wide > high) == (flute is Flute.WIDTH)
    said = next(mark for mark in marks if mark.words == "this side becomes the inside")
    assert min(y for _x, y in arrow) > said.points[0][1]


def test_no_arrow_is_drawn_for_a_mere_wish(tray_blank, marks_of, lengths):
    blank = replace(tray_blank, cut_flute=None)

    written = [m.words for m in marks_of(draw_blank, blank, lengths) if m.kind == "text"]

    assert "flutes" not in written
    assert "flutes" not in describe_blank(blank, lengths)


@pytest.mark.parametrize(
    ("flute", "way"), [(Flute.WIDTH, "left to right"), (Flute.HEIGHT, "top to bottom")]
)
def test_files_for_a_cutter_tell_the_flutes_where_nothing_cuts_along_them(
    flute, way, tray_blank, read_back
):
    blank = replace(tray_blank, cut_flute=flute)

    (words,) = read_back(blank).modelspace().query('TEXT[layer=="TEXT"]')

    assert words.dxf.text == f"{blank.name}, flutes from {way}"
    description = ET.fromstring(blank_svg_mm(blank)).find(f"{SVG}desc")
    assert description.text == f"Flutes run from {way}."


def test_holes_are_drawn(strip_blank, marks_of, lengths):
    marks = marks_of(draw_blank, strip_blank, lengths)

    assert len([mark for mark in marks if mark.style is Style.JOINT]) == 2


def test_the_description_counts_what_there_is_to_do(tray_blank, lengths):
    words = describe_blank(tray_blank, lengths)

    assert "6 slits, 4 scores" in words
    assert "flutes from left to right" in words


def test_the_dxf_is_in_millimetres_with_a_layer_for_each_kind(tray_blank, read_back):
    document = read_back(tray_blank)

    assert document.units == ezdxf.units.MM
    assert {"CUT", "SLIT", "SCORE", "HOLES", "TEXT"} <= {one.dxf.name for one in document.layers}


def test_the_dxf_outline_has_the_blanks_area_and_edge(tray_blank, read_back):
    (outline,) = read_back(tray_blank).modelspace().query('LWPOLYLINE[layer=="CUT"]')
    points = [(x, y) for x, y, *_rest in outline]
    turned = list(zip(points, points[1:] + points[:1], strict=True))

    assert outline.closed
    assert sum(math.dist(a, b) for a, b in turned) == 2 * (800 + 600)
    assert abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in turned)) / 2 == 800 * 600


@pytest.mark.parametrize(("layer", "lines"), [("SLIT", "slits"), ("SCORE", "scores")])
def test_the_dxf_lines_are_1_to_1_with_y_turned_up(tray_blank, read_back, layer, lines):
    space = read_back(tray_blank).modelspace()
    read = {
        (*line.dxf.start.xyz[:2], *line.dxf.end.xyz[:2])
        for line in space.query(f'LINE[layer=="{layer}"]')
    }

    assert read == {
        (one.x1, 600 - one.y1, one.x2, 600 - one.y2) for one in getattr(tray_blank, lines)
    }


def test_the_dxf_holes_have_their_radius(strip_blank, read_back):
    circles = read_back(strip_blank).modelspace().query('CIRCLE[layer=="HOLES"]')

    assert [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in circles] == [
        (70, 810, 3),
        (130, 810, 3),
    ]


def test_the_dxf_passes_its_readers_audit(tray_blank, read_back):
    assert not read_back(tray_blank).audit().has_errors


def test_the_same_blank_gives_the_same_bytes(tray_blank):
    assert blank_dxf(tray_blank) == blank_dxf(tray_blank)


def test_the_cutters_svg_is_1_to_1_in_millimetres(tray_blank):
    root = ET.fromstring(blank_svg_mm(tray_blank))

    assert (root.get("width"), root.get("height")) == ("800mm", "600mm")
    assert root.get("viewBox") == "0 0 800 600"
    assert [group.get("id") for group in root.iter(f"{SVG}g")] == ["CUT", "SLIT", "SCORE"]
    assert root.find(f"{SVG}g/{SVG}path").get("d") == "M0 0l800 0l0 600l-800 0z"


def test_the_cutters_svg_has_round_holes(strip_blank):
    root = ET.fromstring(blank_svg_mm(strip_blank))
    holes = next(group for group in root.iter(f"{SVG}g") if group.get("id") == "HOLES")

    assert holes.find(f"{SVG}path").get("d").startswith("M67 20a3 3 0 1 0 6 0")


def test_a_doorways_score_is_drawn_apart_since_it_is_cut_on_the_side_shown(
    balcony, marks_of, lengths
):
    blank = next(one for one in make_blanks(balcony).blanks if one.flap_scores)

    marks = marks_of(lambda pen: draw_blank(pen, blank, lengths))

    # One line on the blank, and one more in the legend.
    assert len(of_style(marks, Style.FLAP_SCORE)) == 2
