"""Ways to make a design's blanks, to be weighed against each other by the sheet they cost.

A tray larger than a sheet is joined from pieces made for that sheet. Made for a smaller sheet, or
for half a sheet, it has more joins, but its pieces may fit where one large piece cannot lie: a
join is weighed against another sheet. Tried are: the size of each sheet on offer, each of them
halved across its flutes, and each halved along them. Other divisions are not tried.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from builds.making.blank import BlankSet, SheetSize

LEAST_HALF_MM = 500  # no blanks are made for a half narrower than this: all joins and no floor


@dataclass(frozen=True, slots=True)
class Way:
    """A design's blanks made for a sheet of one size."""

    sheet: SheetSize
    blanks: BlankSet

    @property
    def joins(self) -> int:
        return len(self.blanks.joins)


def ways_of(
    make: Callable[[SheetSize], BlankSet],
    sizes: Sequence[SheetSize],
    *,
    join: bool,
    stop: Callable[[], bool] = lambda: False,
) -> tuple[Way, ...]:
    """The different ways to make the blanks of a line, fewest joins first; at least one.

    ``make`` makes them for a sheet of a size.
    ``sizes``: usable sizes of the sheets on offer, at least one. A way that leaves a tray unmade
    is kept only where every way does. Without ``join`` only the ways with the fewest joins.
    When ``stop`` says True, the sizes of the sheets alone are tried.
    """
    made = [Way(size, make(size)) for size in _tried(sizes, join, stop)]
    fewest_unmade = min(len(way.blanks.unmade) for way in made)
    complete = [way for way in made if len(way.blanks.unmade) == fewest_unmade]
    ways = sorted(_different(complete), key=lambda way: way.joins)
    return tuple(way for way in ways if join or way.joins == ways[0].joins)


def _tried(sizes: Sequence[SheetSize], join: bool, stop: Callable[[], bool]) -> Iterator[SheetSize]:
    yield from sizes
    for size in sizes if join else ():
        if stop():
            return
        if size.height_mm >= 2 * LEAST_HALF_MM:
            yield SheetSize(size.width_mm, size.height_mm // 2)
        if size.width_mm >= 2 * LEAST_HALF_MM:
            yield SheetSize(size.width_mm // 2, size.height_mm)


def _different(ways: Sequence[Way]) -> list[Way]:
    """The first of those that come to the same blanks."""
    by_blanks: dict[BlankSet, Way] = {}
    for way in ways:
        by_blanks.setdefault(way.blanks, way)
    return list(by_blanks.values())
