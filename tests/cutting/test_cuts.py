"""The numbered cuts are carried out, one after the other, on a sheet made of numbers."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.cutting import (
    Cut,
    CutRect,
    CutSheet,
    Job,
    NotSeparable,
    Offcut,
    PiecePlacement,
    StockSheet,
    WantedPiece,
    cut,
    cut_sequence,
)

STOCK = StockSheet("sheet", 100, 60, None, Decimal(10))


def carried_out(sheet: CutSheet, cuts: tuple[Cut, ...], kerf: int) -> list[CutRect]:
    """The parts that are there once all cuts are made; each cut has to find its part."""
    parts = [CutRect(0, 0, sheet.stock.width, sheet.stock.height)]
    for made in cuts:
        parts.remove(made.part)
        parts.extend(halves(made, kerf if made.stage else 0))
    return parts


def halves(made: Cut, kerf: int) -> list[CutRect]:
    x, y, width, height = made.part
    if made.x1 == made.x2:
        assert (made.y1, made.y2) == (y, y + height)
        rest = max(0, x + width - made.x1 - kerf)
        one = CutRect(x, y, max(0, made.x1 - x), height)
        return [one, CutRect(x + width - rest, y, rest, height)]
    assert made.y1 == made.y2
    assert (made.x1, made.x2) == (x, x + width)
    rest = max(0, y + height - made.y1 - kerf)
    return [CutRect(x, y, width, max(0, made.y1 - y)), CutRect(x, y + height - rest, width, rest)]


def test_a_sheet_that_is_one_piece_needs_no_cut() -> None:
    sheet = CutSheet(STOCK, (PiecePlacement("whole", 0, 0, 100, 60, False),), ())

    assert cut_sequence(sheet) == ()


def test_one_piece_in_a_corner_needs_two_cuts() -> None:
    sheet = CutSheet(STOCK, (PiecePlacement("side", 0, 0, 40, 30, False),), ())

    assert cut_sequence(sheet) == (
        Cut(1, 1, 0, 30, 100, 30, CutRect(0, 0, 100, 60)),
        Cut(2, 2, 40, 0, 40, 30, CutRect(0, 0, 100, 30)),
    )


def test_all_cuts_across_a_part_come_before_its_strips() -> None:
    # Two strips of two pieces each, 50 x 20, and a rest below.
    corners = [(0, 0), (50, 0), (0, 20), (50, 20)]
    sheet = CutSheet(
        STOCK,
        tuple(PiecePlacement("p", x, y, 50, 20, False) for x, y in corners),
        (Offcut(0, 40, 100, 20),),
    )

    lines = [(made.x1, made.y1, made.x2, made.y2) for made in cut_sequence(sheet)]

    assert lines == [(0, 20, 100, 20), (0, 40, 100, 40), (50, 0, 50, 20), (50, 20, 50, 40)]


def test_trim_comes_off_first() -> None:
    sheet = CutSheet(STOCK, (PiecePlacement("all", 5, 5, 90, 50, False),), ())

    cuts = cut_sequence(sheet, trim=5)

    assert [made.stage for made in cuts] == [0, 0, 0, 0]
    assert CutRect(5, 5, 90, 50) in carried_out(sheet, cuts, 0)


def test_a_pinwheel_has_no_sequence() -> None:
    blades = (
        PiecePlacement("blade", 0, 0, 40, 20, False),
        PiecePlacement("blade", 40, 0, 20, 40, True),
        PiecePlacement("blade", 20, 40, 40, 20, False),
        PiecePlacement("blade", 0, 20, 20, 40, True),
    )

    with pytest.raises(NotSeparable):
        cut_sequence(CutSheet(STOCK, blades, ()))


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    size = st.integers(1, 40)
    pieces = tuple(
        WantedPiece(
            f"p{number}", draw(size), draw(size), draw(st.integers(1, 4)), draw(st.booleans())
        )
        for number in range(draw(st.integers(1, 7)))
    )
    return Job(pieces, (STOCK,), draw(st.integers(0, 3)), draw(st.integers(0, 4)))


def test_a_strip_thinner_than_the_saw_is_taken_off_without_a_cut_into_the_next_piece() -> None:
    above = PiecePlacement("above", 0, 0, 100, 30, False)
    below = PiecePlacement("below", 0, 33, 100, 27, False)

    cuts = cut_sequence(CutSheet(STOCK, (above, below), ()), kerf=2)

    assert [made.y1 for made in cuts] == [30, 31]
    assert cuts[-1].y1 + 2 == below.y


@given(jobs())
def test_the_cuts_free_every_piece_and_offcut(job: Job) -> None:
    for sheet in cut(job, work=500).sheets:
        cuts = cut_sequence(sheet, kerf=job.kerf, trim=job.trim)

        parts = carried_out(sheet, cuts, job.kerf)

        assert [made.number for made in cuts] == list(range(1, len(cuts) + 1))
        for item in (*sheet.placements, *sheet.offcuts):
            assert CutRect(item.x, item.y, item.width, item.height) in parts


def test_three_stages_and_a_trim_free_the_pieces(make_job: Callable[..., Job]) -> None:
    pieces = tuple(WantedPiece(f"p{n}", 11 + n * 7 % 23, 9 + n * 5 % 17, 2) for n in range(8))

    for sheet in cut(make_job(pieces=pieces)).sheets:
        pieces_only = CutSheet(sheet.stock, sheet.placements, ())

        assert max(made.stage for made in cut_sequence(pieces_only)) <= 4
