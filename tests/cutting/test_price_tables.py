"""The tables of worths, table by table, against every sum and every choice there is."""

from itertools import product
from random import Random

import numpy as np
import pytest

from builds.cutting.layout import never
from builds.cutting.price_bands import BandTable, _take_steps, steps_for
from builds.cutting.price_boards import BoardTable


def sums(lengths: list[int], most: int) -> set[int]:
    """Each taken as often as it goes, all ways tried."""
    times = (range(most // length + 1) for length in lengths)
    totals = (sum(map(int.__mul__, lengths, way)) for way in product(*times))
    return {total for total in totals if total <= most}


class Stacks:
    """Worths of stacks that were made up, in place of those of pieces."""

    def __init__(self, random: Random, widths: list[int], heights: int) -> None:
        self.widths = widths
        rows = [[random.randint(0, 9) for _ in range(heights)] for _ in widths]
        self.tops = np.array(rows, dtype=np.int32)


@pytest.mark.parametrize("widths", [[5], [3, 7], [4, 6, 9], [2, 5, 11, 12]])
def test_bands_are_as_wide_as_stacks_can_add_up_to(widths: list[int]) -> None:
    steps = steps_for(widths, 25)

    assert steps is not None
    assert set(steps.reached.tolist()) == sums(widths, 25)


@pytest.mark.parametrize("seed", range(5))
def test_a_band_is_worth_the_most_that_stacks_beside_each_other_are(seed: int) -> None:
    stacks = Stacks(Random(seed), [3, 5, 8], heights=4)
    steps = steps_for(stacks.widths, 17)
    assert steps is not None
    table = BandTable(stacks, steps)  # type: ignore[arg-type]
    assert table.fill(never)

    (top,) = table.tops([17])

    ways = [way for way in product(range(6), range(4), range(3)) if np.dot(way, [3, 5, 8]) <= 17]
    assert top.tolist() == np.max(ways @ stacks.tops, axis=0).tolist()


def test_steps_in_machine_code_and_row_by_row_fill_the_same_table() -> None:
    stacks = Stacks(Random(1), [2, 3, 7], heights=6)
    steps = steps_for(stacks.widths, 20)
    assert steps is not None
    table = BandTable(stacks, steps)  # type: ignore[arg-type]
    table.fill(never)
    rows = np.zeros((len(steps.reached), 6), dtype=np.int32)

    _take_steps.plain(
        rows, stacks.tops, steps.source, steps.stack, steps.target, 0, len(steps.target)
    )

    for width, top in zip(steps.reached, table.tops(steps.reached.tolist()), strict=True):
        assert top.tolist() == rows[steps.reached <= width].max(axis=0).tolist()


def test_too_many_steps_are_not_begun() -> None:
    assert steps_for(list(range(100, 2_100)), 100_000) is None


@pytest.mark.parametrize("seed", range(8))
def test_a_board_is_worth_the_most_that_bands_below_each_other_are(seed: int) -> None:
    random = Random(seed)
    bands = sorted(random.choices(range(20), k=13))
    bands[0] = 0
    best = [0] * 13
    for height in range(1, 13):
        best[height] = max(best[height - high] + bands[high] for high in range(1, height + 1))

    table = BoardTable(bands)
    assert table.fill(never)

    assert [table.worth(height) for height in range(13)] == best
    heights = table.heights(12)
    assert sum(heights) <= 12
    assert sum(bands[height] for height in heights) == best[12]


def test_tables_are_given_up_when_time_is_up() -> None:
    assert not BoardTable(range(2_000)).fill(lambda: True)
