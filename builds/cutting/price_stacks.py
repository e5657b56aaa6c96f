"""The worthiest stack of every width and height: a table of the bounded knapsack problem.

Gilmore and Gomory, Operations Research 13 (1965) 94-120, filled stacks in the same way. A stack
keeps to the pieces wanted, but a piece that may be turned counts both ways.
"""

from collections.abc import Sequence
from typing import Any

from builds.cutting.board import Laid, Stack
from builds.cutting.frames import Frame
from builds.cutting.offers import StackOffer

_MOST_INT32 = 2**31 - 1


class StackTable:
    """`tops[n, h]` is the most that a stack `widths[n]` wide and `h` high is worth.

    `values[k]` is what a piece of kind k is worth, in whole numbers; `offers` are what may be laid
    on a stack, narrow before wide.
    """

    def __init__(self, frame: Frame, offers: Sequence[StackOffer], values: Sequence[int]) -> None:
        import numpy as np

        self._offers = offers
        small = _most_worth(frame, values) <= _MOST_INT32
        kind = np.int32 if small else np.int64
        # Row r: by height, the most that a stack of the first r offers is worth.
        self._rows: Any = np.zeros((len(self._offers) + 1, frame.height + 1), dtype=kind)
        for row, offer in enumerate(self._offers):
            before, after, high = self._rows[row], self._rows[row + 1], offer.height
            after[:high] = before[:high]
            more = before[:-high] + offer.times * values[offer.kind]
            np.maximum(before[high:], more, out=after[high:])
        # Offers are ordered by width, so a stack of this width takes those up to the last such.
        last = {offer.width: row + 1 for row, offer in enumerate(self._offers)}
        self.widths = list(last)
        self._last = list(last.values())
        self.tops: Any = self._rows[self._last]

    def stack(self, number: int, height: int) -> Stack:
        """The worthiest stack as wide as `widths[number]` at most, and so high at most."""
        stack = Stack(0, 0, [])
        for row in range(self._last[number], 0, -1):
            if self._rows[row, height] != self._rows[row - 1, height]:
                offer = self._offers[row - 1]
                stack.laid.extend([Laid(offer.kind, offer.way)] * offer.times)
                stack.width = max(stack.width, offer.width)
                stack.height += offer.height
                height -= offer.height
        return stack


def _most_worth(frame: Frame, values: Sequence[int]) -> int:
    """No board is worth more: the dearest area all over it."""
    dearest = (
        -(-value * frame.area // (ways[0].width * ways[0].height))
        for ways, value in zip(frame.ways, values, strict=True)
        if ways
    )
    return max(dearest, default=0)
