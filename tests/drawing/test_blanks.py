"""Blanks drawn to be marked out by hand: every line at its place, to scale."""

from dataclasses import replace

import pytest

from builds.drawing.blanks import (
    OUTSIDE_WORDS,
    describe_blank,
    draw_blank,
    draw_turned,
    marked_positions,
)
from builds.making.blank import Flute
from builds.making.blanks import make_blanks
from habitats.drawing.pen import BoundsPen
from habitats.drawing.styles import Style
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design


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


def test_holes_are_drawn(strip_blank, marks_of, lengths):
    marks = marks_of(draw_blank, strip_blank, lengths)

    assert len([mark for mark in marks if mark.style is Style.JOINT]) == 2


def test_the_description_counts_what_there_is_to_do(tray_blank, lengths):
    words = describe_blank(tray_blank, lengths)

    assert "6 slits, 4 scores" in words
    assert "flutes from left to right" in words


def test_a_doorways_score_is_drawn_apart_since_it_is_cut_on_the_side_shown(
    balcony, marks_of, lengths
):
    blank = next(one for one in make_blanks(balcony).blanks if one.flap_scores)

    marks = marks_of(lambda pen: draw_blank(pen, blank, lengths))

    # One line on the blank, and one more in the legend.
    assert len(of_style(marks, Style.FLAP_SCORE)) == 2


def floor_of_one_tray(plan):
    (blank,) = make_blanks(raise_structure(make_design(plan))).blanks
    return blank


@pytest.mark.parametrize("plan", [["#"], ["####"], ["#"] * 4, ["######"], ["##", "##"]])
def test_words_on_a_blank_turned_over_cross_no_score(plan, marks_of, lengths):
    marks = marks_of(draw_turned, floor_of_one_tray(plan), lengths)

    (words,) = [mark for mark in marks if mark.words == OUTSIDE_WORDS]
    bounds = BoundsPen()
    words.draw(bounds)
    left, top, right, bottom = bounds.box
    for mark in of_style(marks, Style.SCORE):
        xs, ys = zip(*mark.points, strict=True)
        beside = max(xs) <= left or right <= min(xs) or max(ys) <= top or bottom <= min(ys)
        assert beside, mark.points
