"""No cut only splits what is left over: worked by hand, and over many plans.

That is looked for by the definition, and not as the cuts were worked out: a cut that ends at no
edge of a piece of its part frees none.
"""

import random
from decimal import Decimal

from builds.cutting import (
    Cut,
    CutRect,
    CutSheet,
    Job,
    Offcut,
    PiecePlacement,
    StockSheet,
    WantedPiece,
    cut,
    cut_sequence,
    faults_in,
)
from builds.cutting.rests import with_rests_joined

STOCK = StockSheet("sheet", 1000, 2000, None, Decimal(1))


def idle(sheet: CutSheet, cuts: tuple[Cut, ...], kerf: int = 0) -> list[Cut]:
    """Cuts along which no piece of the part begins or ends."""
    return [
        one
        for one in cuts
        if one.stage
        and not any(_meets(one, p, kerf) for p in sheet.placements if _is_in(p, one.part))
    ]


def _is_in(piece: PiecePlacement, part: CutRect) -> bool:
    return (
        part.x <= piece.x
        and part.y <= piece.y
        and piece.x + piece.width <= part.x + part.width
        and piece.y + piece.height <= part.y + part.height
    )


def _meets(one: Cut, piece: PiecePlacement, kerf: int) -> bool:
    if one.x1 == one.x2:
        return one.x1 in (piece.x - kerf, piece.x + piece.width)
    return one.y1 in (piece.y - kerf, piece.y + piece.height)


def sheet_of(*offcuts: tuple[int, int, int, int]) -> CutSheet:
    """Two pieces one above the other, at the left edge of a sheet."""
    pieces = (
        PiecePlacement("short", 0, 0, 650, 500, False),
        PiecePlacement("long", 0, 500, 650, 1210, False),
    )
    return CutSheet(STOCK, pieces, tuple(Offcut(*one) for one in offcuts))


def test_a_rest_beside_two_pieces_is_one_strip() -> None:
    # 350 x 1500 and 350 x 500 are parted by the line between the pieces, which frees neither rest.
    split = sheet_of((650, 500, 350, 1500), (0, 1710, 650, 290), (650, 0, 350, 500))
    assert len(cut_sequence(split)) == 4

    joined = with_rests_joined(split, kerf=0, trim=0)

    assert joined.offcuts == (Offcut(650, 0, 350, 2000), Offcut(0, 1710, 650, 290))
    assert [one.number for one in cut_sequence(joined)] == [1, 2, 3]


def test_rests_that_share_no_whole_side_stay_as_they_are() -> None:
    apart = sheet_of((650, 0, 350, 1710), (0, 1710, 1000, 290))

    assert with_rests_joined(apart, kerf=0, trim=0) == apart


def test_no_cut_of_many_plans_only_splits_what_is_left_over() -> None:
    chance = random.Random(16)
    found = cuts_made = 0
    for _ in range(150):
        job = job_by(chance)
        layout = cut(job, work=60)
        assert faults_in(job, layout) == []
        for sheet in layout.sheets:
            cuts = cut_sequence(sheet, kerf=job.kerf, trim=job.trim)
            cuts_made += len(cuts)
            found += len(idle(sheet, cuts, job.kerf))
    assert cuts_made > 1_000
    assert found == 0


def job_by(chance: random.Random) -> Job:
    """A few pieces as large as those of trays, with a knife or a saw."""
    pieces = tuple(
        WantedPiece(
            f"p{number}",
            chance.randrange(200, 1000, 10),
            chance.randrange(200, 1500, 10),
            chance.choice((1, 1, 2)),
        )
        for number in range(chance.randint(1, 6))
    )
    stock = (STOCK, StockSheet("large", 1220, 2440, None, Decimal("1.4")))
    return Job(pieces, stock, kerf=chance.choice((0, 0, 3)), trim=chance.choice((0, 0, 5)))
