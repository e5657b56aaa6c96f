"""A small cutting job to change from."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from builds.cutting import Job, StockSheet, WantedPiece


@pytest.fixture
def make_job() -> Callable[..., Job]:
    """`make_job(kerf=3)`: two locked pieces of 40 x 30 mm from sheets of 100 x 60 mm."""

    def make(**changes: object) -> Job:
        job = Job(
            pieces=(WantedPiece("side", 40, 30, quantity=2, rotate=False),),
            stock=(StockSheet("sheet", 100, 60, None, Decimal(10)),),
        )
        return replace(job, **changes)

    return make
