"""The worthiest band of every height and every width that stacks can add up to.

Stacks are put beside each other wide before narrow, so that few sums of widths are ever reached
while there are still wide stacks to add: most sheets take one or two of these.
"""

from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from builds.cutting.board import Band
from builds.cutting.compiled import Ints, compiled
from builds.cutting.price_stacks import StackTable

_CELLS_AT_ONCE = 4_000_000  # some milliseconds
_MOST_STEPS = 1_000_000


class Steps(NamedTuple):
    """How the table is filled: a stack put beside what is there, step by step, in this order."""

    reached: Any  # widths of bands, ascending from 0
    source: Any  # by step, the row that a stack is added to
    stack: Any  # by step, the number of the stack's width
    target: Any  # by step, the row that it makes


def steps_for(widths: Sequence[int], most: int) -> Steps | None:
    """The steps for stacks of these widths, ascending, in bands of up to `most`.

    None if there are too many to take.
    """
    import numpy as np

    reached = 1  # bit x: bands can be x wide
    taken: list[tuple[int, Any]] = []
    count = 0
    for number in range(len(widths) - 1, -1, -1):
        width = widths[number]
        reached = _with_any_number_of(width, reached, most)
        sources = reached & ((1 << (most - width + 1)) - 1)
        count += sources.bit_count()
        if count > _MOST_STEPS:
            return None
        taken.append((number, _bits(sources, most)))
    sums = _bits(reached, most)
    row_of = np.zeros(most + 1, dtype=np.int64)
    row_of[sums] = np.arange(len(sums))
    none = np.zeros(0, dtype=np.int64)
    return Steps(
        sums,
        np.concatenate([none, *(row_of[at] for _, at in taken)]),
        np.concatenate([none, *(np.full(len(at), n, dtype=np.int64) for n, at in taken)]),
        np.concatenate([none, *(row_of[at + widths[n]] for n, at in taken)]),
    )


def _with_any_number_of(width: int, reached: int, most: int) -> int:
    step = width
    while step <= most:
        reached |= reached << step
        step *= 2
    return reached & ((1 << (most + 1)) - 1)


def _bits(number: int, most: int) -> Any:
    """Which bits are set, ascending."""
    import numpy as np

    as_bytes = np.frombuffer(number.to_bytes(most // 8 + 1, "little"), dtype=np.uint8)
    return np.flatnonzero(np.unpackbits(as_bytes, bitorder="little"))


class BandTable:
    """Row r: by height, the most that a band exactly `reached[r]` wide is worth."""

    def __init__(self, stacks: StackTable, steps: Steps, old: "BandTable | None" = None) -> None:
        """`old` is a table that is of no more use; its memory is taken over."""
        self._stacks = stacks
        self._steps = steps
        self._row_of = {width: row for row, width in enumerate(steps.reached.tolist())}
        self._rows = _zeros((len(steps.reached), stacks.tops.shape[1]), stacks.tops.dtype, old)
        self._bands: dict[tuple[int, int], Band] = {}

    def fill(self, stop: Callable[[], bool]) -> bool:
        """Take all steps, or stop on the way and say False."""
        at_once = max(1, _CELLS_AT_ONCE // self._rows.shape[1])
        for start in range(0, len(self._steps.target), at_once):
            if stop():
                return False
            end = min(start + at_once, len(self._steps.target))
            _take(self._rows, self._stacks.tops, self._steps, start, end)
        return True

    def tops(self, widths: Sequence[int]) -> Iterator[Any]:
        """For each of these widths, ascending: by height, the most that a band is worth."""
        import numpy as np

        top, start = self._rows[0], 1
        for width in widths:
            end = int(np.searchsorted(self._steps.reached, width, side="right"))
            if end > start:
                top, start = np.maximum(top, self._rows[start:end].max(axis=0)), end
            yield top

    def band(self, width: int, height: int) -> Band:
        """The worthiest band so wide and so high at most."""
        if (width, height) not in self._bands:
            self._bands[width, height] = self._band(width, height)
        return self._bands[width, height].copy()

    def _band(self, width: int, height: int) -> Band:
        import numpy as np

        end = int(np.searchsorted(self._steps.reached, width, side="right"))
        row = int(self._rows[:end, height].argmax())
        band = Band(0, 0, [])
        while self._rows[row, height]:
            number, row = self._last_stack(row, height)
            stack = self._stacks.stack(number, height)
            band.stacks.append(stack)
            band.width += stack.width
            band.height = max(band.height, stack.height)
        return band

    def _last_stack(self, row: int, height: int) -> tuple[int, int]:
        """A stack that makes up this worth, and the row without it."""
        width = int(self._steps.reached[row])
        for number, across in enumerate(self._stacks.widths):
            before = self._row_of.get(width - across)
            if before is not None:
                worth = self._rows[before, height] + self._stacks.tops[number, height]
                if worth == self._rows[row, height]:
                    return number, before
        raise AssertionError("each row is the worth of a row before it and a stack")


def _zeros(shape: tuple[int, int], kind: Any, old: BandTable | None) -> Any:
    """A table of zeros; new memory is slow to come by, as slow as all steps together."""
    import numpy as np

    if old is None or old._rows.shape != shape or old._rows.dtype != kind:
        return np.zeros(shape, dtype=kind)
    old._rows.fill(0)
    return old._rows


def _take(rows: Any, stacks: Any, steps: Steps, start: int, end: int) -> None:
    """As machine code if it is at hand, else row by row, which takes seven times as long."""
    import numpy as np

    if _take_steps.machine_code and rows.dtype == np.int32:
        _take_steps(rows, stacks, steps.source, steps.stack, steps.target, start, end)
        return
    more = np.empty_like(rows[0])
    for step in range(start, end):
        target = rows[steps.target[step]]
        np.add(rows[steps.source[step]], stacks[steps.stack[step]], out=more)
        np.maximum(target, more, out=target)


@compiled("int64(int32[:, ::1], int32[:, ::1], int64[::1], int64[::1], int64[::1], int64, int64)")
def _take_steps(
    rows: Any, stacks: Any, source: Ints, stack: Ints, target: Ints, start: int, end: int
) -> int:
    heights = rows.shape[1]
    for step in range(start, end):
        to, of, by = target[step], source[step], stack[step]
        for height in range(heights):
            rows[to, height] = max(rows[to, height], rows[of, height] + stacks[by, height])
    return 0
