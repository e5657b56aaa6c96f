"""The worthiest board of every height: bands put below each other.

A band as worthy as lower bands together is never needed, which leaves few to try.
"""

from collections.abc import Callable
from typing import Any

from builds.cutting.compiled import Ints, compiled

_HEIGHTS_AT_ONCE = 400


class BoardTable:
    """`worth(h)` is the most that a board `h` high is worth; `bands[h]` that of a band."""

    def __init__(self, bands: Any) -> None:
        import numpy as np

        self._bands = np.ascontiguousarray(bands, dtype=np.int64)
        self._best = np.zeros(len(bands), dtype=np.int64)
        self._last = np.zeros(len(bands), dtype=np.int64)  # height of the last band, 0 without
        self._tried = np.zeros(len(bands) + 1, dtype=np.int64)  # how many heights, and these

    def fill(self, stop: Callable[[], bool]) -> bool:
        """Fill the table, or stop on the way and say False."""
        for start in range(1, len(self._bands), _HEIGHTS_AT_ONCE):
            if stop():
                return False
            end = min(start + _HEIGHTS_AT_ONCE, len(self._bands))
            _stack_up(self._bands, self._best, self._last, self._tried, start, end)
        return True

    def worth(self, height: int) -> int:
        return int(self._best[height])

    def first_bands(self, height: int, least: int, most: int) -> list[int]:
        """Heights of one band in boards worth more than `least`; worthiest first, up to `most`."""
        import numpy as np

        bands = self._bands[: height + 1]
        rising = np.flatnonzero(np.diff(bands)) + 1
        worths = bands[rising] + self._best[height - rising]
        order = np.argsort(-worths, kind="stable")[:most]
        return [int(rising[number]) for number in order if worths[number] > least]

    def heights(self, height: int) -> list[int]:
        """The bands of the worthiest board so high."""
        found: list[int] = []
        while self._best[height]:
            band = int(self._last[height])
            if band:
                found.append(band)
            height -= band or 1
        return found


@compiled
def _stack_up(bands: Ints, best: Ints, last: Ints, tried: Ints, start: int, end: int) -> int:
    for height in range(start, end):
        most = best[height - 1]
        under = 0
        for number in range(1, tried[0] + 1):
            worth = best[height - tried[number]] + bands[tried[number]]
            if worth > most:
                most = worth
                under = tried[number]
        if bands[height] > most:
            most = bands[height]
            under = height
            tried[0] += 1
            tried[tried[0]] = height
        best[height] = most
        last[height] = under
    return 0
