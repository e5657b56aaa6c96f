"""Every picture as SVG: parses, strict about styles, no ids, words for those who do not see it."""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from builds.drawing import (
    blank_picture,
    corner_picture,
    footprint_picture,
    panel_bend_picture,
    panel_cut_picture,
    plan_picture,
    ramp_picture,
)
from habitats.drawing.pen import Anchor, Pen
from habitats.drawing.styles import Ink, Letter, Style
from habitats.drawing.svg import MARGIN, finished, number, path_data

SVG = "{http://www.w3.org/2000/svg}"
CSS = Path(__file__).parents[2] / "static" / "css" / "drawing.css"


@pytest.fixture
def pictures(balcony, ring, tray_blank, strip_blank, lengths):
    ramp, panel = balcony.ramps[0], balcony.design.panel
    return [
        plan_picture(balcony, 0, lengths=lengths),
        plan_picture(balcony, 1, lengths=lengths),
        plan_picture(ring, 0, lengths=lengths),
        footprint_picture(balcony),
        corner_picture(balcony),
        corner_picture(ring, new=frozenset(ring.places)),
        blank_picture(tray_blank, lengths=lengths),
        blank_picture(strip_blank, lengths=lengths),
        ramp_picture(ramp, panel, lengths=lengths),
        panel_cut_picture(ramp, panel, lengths=lengths),
        panel_bend_picture(ramp, panel, lengths=lengths),
    ]


def test_every_picture_is_xml_with_a_title_and_a_description(pictures):
    for picture in pictures:
        root = ET.fromstring(picture)

        assert root.get("role") == "img"
        assert root.get("aria-label") == root.findtext(f"{SVG}title")
        assert len(root.findtext(f"{SVG}title")) > 8
        assert len(root.findtext(f"{SVG}desc")) > 25


def test_no_picture_asks_for_more_than_a_strict_policy_gives(pictures):
    for picture in pictures:
        root = ET.fromstring(picture)
        used = {element.tag.removeprefix(SVG) for element in root.iter()}

        assert used <= {"svg", "title", "desc", "path", "text"}
        assert not any("style" in element.attrib for element in root.iter())
        assert not any(name.startswith("on") for element in root.iter() for name in element.attrib)


def test_no_ids_that_could_meet_in_one_page(pictures):
    assert " id=" not in "".join(pictures)
    assert "url(#" not in "".join(pictures)


def test_numbers_have_a_decimal_point_and_nothing_else(pictures):
    for picture in pictures:
        for element in ET.fromstring(picture).iter():
            for name in ("d", "x", "y", "viewBox", "width", "height", "stroke-width"):
                value = element.get(name, "")
                assert re.fullmatch(r"[-0-9. MlazaZ]*", value), (name, value)
                assert "e" not in value


def test_each_mark_has_a_class_for_the_theme_and_a_colour_without_one(pictures):
    for picture in pictures:
        for element in ET.fromstring(picture).iter():
            classes = element.get("class", "").split()
            if element.tag in (f"{SVG}path", f"{SVG}text"):
                assert classes
                for one in classes:
                    attribute = {"s": "stroke", "f": "fill"}[one[0]]
                    ink = next(ink for ink in Ink if ink.token == one[2:])
                    assert element.get(attribute) == ink.fallback


def test_the_style_sheet_maps_every_ink_to_its_token_and_no_other():
    rules = re.findall(
        r"\.drawing \.([sf])-([a-z-]+) \{ (stroke|fill): var\(--([a-z-]+)\); \}", CSS.read_text()
    )
    mapped = {(kind, name, what, token) for kind, name, what, token in rules}

    assert mapped == {
        (kind, ink.token, what, ink.token)
        for ink in Ink
        for kind, what in (("s", "stroke"), ("f", "fill"))
    }


def test_every_ink_is_a_token_of_the_look():
    tokens = (CSS.parent / "tokens.css").read_text()

    assert all(f"--{ink.token}:" in tokens for ink in Ink)


def test_styles_that_must_be_told_apart_differ_in_more_than_colour():
    def without_colour(style):
        look = style.look
        hatch = look.hatch and (look.hatch.spacing, look.hatch.angles)
        return look.dash, look.weight, hatch

    meant_apart = [
        Style.CUT,
        Style.SLIT,
        Style.SCORE,
        Style.HIDDEN,
        Style.NEW,
        Style.THIN,
        Style.KNIFE,
        Style.BEND,
        Style.GUARD,
        Style.TOWEL,
    ]

    assert len({without_colour(style) for style in meant_apart}) == len(meant_apart)


def test_no_style_is_another_name_for_one_before_it():
    assert len(Style.__members__) == len(list(Style))
    assert len(Letter.__members__) == len(list(Letter))


def test_the_view_box_is_the_ink_and_a_margin():
    def draw(pen: Pen) -> None:
        pen.line([(10, 20), (110, 70)], Style.INK)

    root = ET.fromstring(finished(draw, "A line", "From here to there.", kind="test"))

    half = Style.INK.look.weight / 2
    left, top, width, height = (float(one) for one in root.get("viewBox").split())
    assert left == pytest.approx(10 - half - MARGIN, abs=0.06)
    assert top == pytest.approx(20 - half - MARGIN, abs=0.06)
    assert width == pytest.approx(100 + 2 * half + 2 * MARGIN, abs=0.06)
    assert height == pytest.approx(50 + 2 * half + 2 * MARGIN, abs=0.06)


def test_words_from_a_design_cannot_break_out():
    def draw(pen: Pen) -> None:
        pen.text((0, 0), "<b>&", Letter.NAME, Anchor.START)

    picture = finished(draw, '"><script>', "a & b", kind="test")
    root = ET.fromstring(picture)

    assert root.get("aria-label") == '"><script>'
    assert root.find(f"{SVG}text").text == "<b>&"


@pytest.mark.parametrize(
    ("value", "text"), [(8.5, "8.5"), (8.0, "8"), (-0.04, "0"), (100, "100"), (-2.25, "-2.2")]
)
def test_a_coordinate_is_written_short(value, text):
    assert number(value) == text


def test_relative_steps_do_not_add_up_their_rounding():
    points = [(i / 3, 0) for i in range(100)]

    data = path_data(points)
    steps = [float(one.split()[0]) for one in data[1:].replace("-", " -").split("l")]

    assert sum(steps) == pytest.approx(33.0, abs=0.05)
