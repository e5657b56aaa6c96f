"""The worthiest board against every board there is, on sheets small enough to try them all."""

from decimal import Decimal
from fractions import Fraction
from itertools import product
from random import Random

import pytest

from builds.cutting import Job, StockSheet, WantedPiece, cut, faults_in
from builds.cutting.frames import frames_of
from builds.cutting.layout import never
from builds.cutting.pricing import Pricing, bound_from


def worthiest(width: int, height: int, pieces: tuple[WantedPiece, ...], values: list[int]) -> int:
    """Every straight cut tried on every part: never less than the best in three stages."""
    best: dict[tuple[int, int], int] = {}
    for across, down in product(range(1, width + 1), range(1, height + 1)):
        whole = [
            value
            for piece, value in zip(pieces, values, strict=True)
            if piece.width <= across and piece.height <= down
        ]
        beside = [best[x, down] + best[across - x, down] for x in range(1, across)]
        above = [best[across, y] + best[across, down - y] for y in range(1, down)]
        best[across, down] = max([0, *whole, *beside, *above])
    return best[width, height]


@pytest.mark.parametrize("seed", range(12))
def test_the_worthiest_board_is_worth_what_it_yields_and_never_more_than_free_cuts(
    seed: int,
) -> None:
    random = Random(seed)
    pieces = tuple(
        WantedPiece(f"p{n}", random.randint(2, 9), random.randint(2, 7), 20, rotate=False)
        for n in range(4)
    )
    values = [random.randint(1, 60) for _ in pieces]
    job = Job(pieces, (StockSheet("sheet", 13, 11, None, Decimal(1)),))

    for frame in frames_of(job):
        pricing = Pricing([frame])
        assert pricing.fill([20] * 4, values, never)
        boards = list(pricing.boards(frame, 0, 100))
        found = [sum(values[laid.kind] for laid in board.laid()) for board in boards]

        assert found[0] == pricing.worth(frame)
        assert found == sorted(found, reverse=True)
        assert found[0] <= worthiest(13, 11, pieces, values)


def test_a_bound_from_values_by_hand() -> None:
    # Four halves of a sheet at 3 for a whole one: each value of a half may be 1.5, so 6 in all.
    job = Job((WantedPiece("half", 5, 10, 4),), (StockSheet("sheet", 10, 10, None, Decimal(3)),))

    assert bound_from(job, {0: 20}, [4], [10], {0: 3}) == Fraction(6)


def test_sheets_that_run_out_take_their_worth_off_the_bound() -> None:
    # The same with one free sheet at hand, which saves the worth of two halves.
    stock = (
        StockSheet("sheet", 10, 10, None, Decimal(3)),
        StockSheet("rest", 10, 10, 1, Decimal(0)),
    )
    job = Job((WantedPiece("half", 5, 10, 4),), stock)

    assert bound_from(job, {0: 20, 1: 20}, [4], [10], {0: 3, 1: 0}) == Fraction(3)


def test_the_linear_program_proves_what_area_and_counting_cannot() -> None:
    # 300 mm2 on sheets of 100: three by area. But a sheet takes two of a and no b, or one of a
    # and both b: ten of a take one such sheet and nine more of a five, so 6.
    pieces = (WantedPiece("a", 4, 6, 10, rotate=False), WantedPiece("b", 3, 10, 2, rotate=False))
    job = Job(pieces, (StockSheet("sheet", 10, 10, None, Decimal(1)),))

    plan = cut(job)

    assert faults_in(job, plan) == []
    assert plan.optimal
    assert plan.cost == 6


def test_the_same_work_gives_the_same_plan() -> None:
    random = Random(3)
    pieces = tuple(
        WantedPiece(f"p{n}", random.randint(20, 60), random.randint(20, 60), 3) for n in range(8)
    )
    job = Job(pieces, (StockSheet("sheet", 100, 90, None, Decimal(1)),), kerf=2)

    assert cut(job, work=8_000) == cut(job, work=8_000)
