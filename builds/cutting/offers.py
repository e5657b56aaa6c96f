"""What may be put on a stack: so many pieces of a kind above each other, the same way."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from builds.cutting.frames import Frame, Orientation


class StackOffer(NamedTuple):
    """So many pieces of a kind above each other; `width` and `height` of all of them."""

    kind: int
    way: Orientation
    times: int
    width: int
    height: int


def offers(frame: Frame, left: Sequence[int]) -> list[StackOffer]:
    """What may be put on a stack, narrow before wide; counts by powers of two add up to any."""
    found = (
        StackOffer(kind, way, count, way.width, count * way.height)
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
