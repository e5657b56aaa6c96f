"""One board filled for worth: each kind of piece has a value, and the fill is worth the most.

Stack by stack. For each width that a stack may have, a table of the bounded knapsack problem gives
the most that a stack of any height is worth (Gilmore and Gomory, Operations Research 13 (1965)
94-120, filled stacks in the same way); that stack opens a band whose worth is farthest above what
its area has to earn. Further stacks fill the band, further bands the board. Exact for each stack,
greedy for the board; a little noise on values and a part of the pieces left out, drawn anew for
each board, make many good boards of the same values.
"""

from collections.abc import Iterator, Sequence
from random import Random
from typing import Any, NamedTuple

from builds.cutting.board import Band, Board, Laid, Stack
from builds.cutting.frames import Frame, Way

_NOISE = 0.2
_SHARES = (0.4, 0.6, 0.8, 1.0)
OFFERS_A_WORK = 2  # offers looked at that cost as much as one spot
_HARDLY = 1e-9
_OUT = -1e9


class Offer(NamedTuple):
    """So many pieces of a kind above each other, the same way."""

    kind: int
    way: Way
    times: int
    width: int
    height: int


def offers(frame: Frame, left: Sequence[int]) -> list[Offer]:
    """What may be put on a stack, narrow before wide; counts by powers of two add up to any."""
    found = (
        Offer(kind, way, count, way.width, count * way.height)
        for kind, ways in enumerate(frame.ways)
        for way in ways
        for count in _powers(min(left[kind], frame.height // way.height))
    )
    return sorted(found, key=lambda offer: (offer.width, offer.kind, offer.times))


def _powers(most: int) -> Iterator[int]:
    count = 1
    while most > 0:
        yield min(count, most)
        most -= count
        count *= 2


class Packer:
    """Fills boards of one frame; `left[k]` is how many of kind k there are at most."""

    def __init__(self, frame: Frame, left: Sequence[int], random: Random) -> None:
        self.frame = frame
        self._left = left
        self._random = random
        self._offers = offers(frame, left)
        self.looked_at = 0  # offers, for counting work

    def board(self, values: Sequence[float], earn: float) -> Board:
        """Fill a board; `earn` is what a whole board has to be worth to be of use."""
        draw = self._random.random
        share = self._random.choice(_SHARES)
        noise = _NOISE * draw()
        self._worth = [
            value * (1 + noise * (draw() - 0.5)) if draw() < share else 0.0 for value in values
        ]
        self._toll = earn * (0.8 + 0.4 * draw()) / self.frame.area
        self._taken = [0] * len(values)
        at_hand = [offer for offer in self._offers if self._worth[offer.kind] > _HARDLY]
        board = Board(self.frame, self.frame.height)
        while at_hand := self._fitting(at_hand, self.frame.width, board.room):
            band = self._band(at_hand, board.room)
            if band is None:
                break
            board.bands.append(band)
            board.room -= band.height
            board.used += band.used
        return board

    def _band(self, at_hand: list[Offer], room: int) -> Band | None:
        band = Band(0, 0, [])
        top: int | None = None
        while at_hand:
            found = self._stack(at_hand, self.frame.width - band.width, room, top)
            if found is None:
                break
            stack, top = found
            band.stacks.append(stack)
            band.width += stack.width
            band.height = max(band.height, stack.height)
            at_hand = self._fitting(at_hand, self.frame.width - band.width, top)
        return band if band.stacks else None

    def _stack(
        self, at_hand: list[Offer], width: int, room: int, top: int | None
    ) -> tuple[Stack, int] | None:
        """The worthiest stack for what is left of a band, and the height that the band has.

        `top` is the band's height; None if this stack opens it and may be as high as `room`.
        """
        import numpy as np

        table = self._table(at_hand, room if top is None else top)
        widths = np.array([offer.width for offer in at_hand])
        narrowest = at_hand[0].width
        # What is too narrow for anything else is paid for by this stack.
        paid = np.where(width - widths < narrowest, width, widths)
        if top is None:
            heights = np.arange(room + 1)
            lowest = min(offer.way.height for offer in at_hand)
            tall = np.where(room - heights < lowest, room, heights)
            gain = table[1:] - self._toll * np.outer(paid, tall)
            gain[table[1:] <= 0] = _OUT
            row, top = divmod(int(gain.argmax()), room + 1)
        else:
            gain = table[1:, top] - self._toll * top * paid
            gain[table[1:, top] <= 0] = _OUT
            row = int(gain.argmax())
        if table[row + 1][top] <= 0:
            return None
        return self._told(table, at_hand, row, top), top

    def _fitting(self, at_hand: list[Offer], width: int, height: int) -> list[Offer]:
        left, taken = self._left, self._taken
        return [
            offer
            for offer in at_hand
            if offer[4] <= height
            and offer[3] <= width
            and taken[offer[0]] + offer[2] <= left[offer[0]]
        ]

    def _table(self, at_hand: Sequence[Offer], height: int) -> Any:
        """Row r: by height, the most that a stack of the first r offers is worth."""
        import numpy as np

        self.looked_at += len(at_hand)
        table = np.zeros((len(at_hand) + 1, height + 1))
        for row, offer in enumerate(at_hand):
            before, after, high = table[row], table[row + 1], offer.height
            after[:] = before
            more = before[:-high] + offer.times * self._worth[offer.kind]
            np.maximum(before[high:], more, out=after[high:])
        return table

    def _told(self, table: Any, at_hand: Sequence[Offer], row: int, top: int) -> Stack:
        """Read the stack from the table; a piece turned both ways is laid once."""
        stack = Stack(0, 0, [])
        for number in range(row, -1, -1):
            if table[number + 1][top] > table[number][top]:
                kind, way, count, _, height = at_hand[number]
                top -= height
                count = min(count, self._left[kind] - self._taken[kind])
                self._taken[kind] += count
                stack.laid.extend([Laid(kind, way)] * count)
                stack.height += count * way.height
                stack.width = max(stack.width, way.width) if count else stack.width
        return stack
