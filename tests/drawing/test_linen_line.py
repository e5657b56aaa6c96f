"""The linen line: as wide as there are linens, set-aside ones apart, words that never meet."""

import xml.etree.ElementTree as ET
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from habitats.drawing.linen_line import (
    BETWEEN_WORDS,
    NARROW,
    WIDE,
    LinenLine,
    describe,
    draw_line,
    linen_line_picture,
    spread,
)
from habitats.drawing.pen import RecordingPen, corners_of_text
from habitats.drawing.styles import Letter, Style

LINE = LinenLine(clean=12, in_use=30, soiled=9, drying=4, apart_soiled=3, new=4, dry="Runs dry.")


def marks_of(line, width=WIDE):
    pen = RecordingPen()
    draw_line(pen, line, width)
    return pen.marks


def width_of_area(mark):
    xs = [x for x, _y in mark.points]
    return max(xs) - min(xs)


def areas(line, style, width=WIDE):
    return [m for m in marks_of(line, width) if m.kind == "area" and m.style is style]


def test_a_stretch_is_as_wide_as_it_has_linens():
    laid, hung = areas(LINE, Style.LAID)[0], areas(LINE, Style.HUNG)[0]

    assert abs(width_of_area(laid) / width_of_area(hung) - 30 / 4) < 1e-6


def test_what_is_set_aside_is_hatched_apart_inside_its_stretch():
    soiled, apart = areas(LINE, Style.SOILED)[0], areas(LINE, Style.SET_APART)[0]

    assert abs(width_of_area(apart) / width_of_area(soiled) - 3 / 9) < 1e-6
    assert max(apart.points)[0] == max(soiled.points)[0]


def test_a_state_without_linens_has_its_name_and_no_cloth():
    assert areas(LINE, Style.WASHED) == []
    words = [mark.words for mark in marks_of(LINE) if mark.kind == "text"]
    assert "washing" in words


def test_new_linens_hang_beyond_a_gap_in_the_line():
    ropes = [
        m
        for m in marks_of(LINE)
        if m.kind == "line" and m.style is Style.INK and all(y == 0 for _x, y in m.points)
    ]

    assert len(ropes) == 2
    assert ropes[0].points[1][0] < ropes[1].points[0][0]


def test_the_day_it_runs_dry_is_an_alarm_and_that_it_lasts_is_none():
    def letter_of(line):
        return next(m.style for m in marks_of(line) if m.words == line.dry)

    assert letter_of(LinenLine(clean=1, dry="Runs dry.", is_dry=True)) is Letter.ALARM
    assert letter_of(LinenLine(clean=1, dry="Lasts.")) is Letter.NOTE


def test_every_state_has_a_filling_of_its_own_in_black_and_white():
    fillings = [
        (look.hatch.angles if look.hatch else (), look.hatch.spacing if look.hatch else 0)
        for look in (one.style.look for one in LINE.stretches)
    ]
    assert len(set(fillings)) == len(fillings)


def test_it_is_told_in_words_to_who_cannot_see_it():
    svg = ET.fromstring(linen_line_picture(LINE, title="Linens of A & B"))
    texts = {child.tag.rpartition("}")[2]: child.text for child in svg}

    assert texts["title"] == "Linens of A & B"
    assert texts["desc"] == describe(LINE)
    assert "9 soiled (3 of them set aside)" in texts["desc"]


counts = st.integers(0, 400)
lines = st.builds(
    LinenLine, clean=counts, in_use=counts, soiled=counts, washing=counts, drying=counts, new=counts
)


@given(lines, st.sampled_from([WIDE, NARROW]))
def test_words_never_meet_and_stay_on_the_paper(line, width):
    texts = [m for m in marks_of(line, width) if m.kind == "text"]
    rows: dict[float, list[tuple[float, float]]] = {}
    for mark in texts:
        corners = corners_of_text(mark.points[0], mark.words, mark.style, mark.anchor, 0)
        xs = [x for x, _y in corners]
        rows.setdefault(mark.points[0][1], []).append((min(xs), max(xs)))
    for row in rows.values():
        assert all(left[1] <= right[0] for left, right in pairwise(sorted(row)))
        assert all(left >= -1e-6 and right <= width + 1e-6 for left, right in row)


@given(lines, st.sampled_from([WIDE, NARROW]))
def test_no_cloth_hangs_over_the_end_of_the_line(line, width):
    xs = [x for mark in marks_of(line, width) if mark.kind == "area" for x, _y in mark.points]

    assert all(-1e-6 <= x <= width + 1e-6 for x in xs)


@given(st.lists(st.floats(0, 500), min_size=1, max_size=7))
def test_middles_are_moved_no_further_than_they_have_to_be(wanted):
    wanted = sorted(wanted)
    found = spread(wanted, [10.0] * len(wanted), 500)

    assert all(b - a >= 10 + BETWEEN_WORDS - 1e-6 for a, b in pairwise(found))
    if all(b - a >= 10 + BETWEEN_WORDS for a, b in pairwise(wanted)):
        assert all(
            abs(one - min(max(at, 5), 495)) < 1e-6 for one, at in zip(found, wanted, strict=True)
        )
