"""How far floors of panels span between what carries them. Common practice, no source.

Seen north to south and east to west, a cell lies in a strip of floor. A strip carried at both
ends spans its own length. One with a free end is a shelf: its length counts twice, and the
shelf spans at least as far as it is wide. The better of the two directions counts.
"""

from collections import Counter
from collections.abc import Callable, Iterable

from habitats.structure.lattice import Cell, Face, Joint, PanelPlace, Side, wall_place

# A shelf is carried at one end only, so its depth counts twice.
FREE_END_FACTOR = 2
# Longest floor of panels without a wall or panel under it.
LONGEST_SPAN = 2

# Whether the edge on this side of a cell is carried.
Carried = Callable[[Cell, Side], bool]


def longest_span(cells: frozenset[Cell], carried: Carried) -> int:
    """How many panels a floor of these cells spans at its weakest cell."""
    return max(span_at(cells, carried, cell) for cell in cells)


def span_at(cells: frozenset[Cell], carried: Carried, cell: Cell, most: int | None = None) -> int:
    """How many panels the floor spans at this cell; where it is more than ``most``, any number
    that is. ``most`` None: it is told however many they are."""
    most = len(cells) if most is None else most
    strips = [_strip(cells, carried, cell, way, most) for way in (Side.N, Side.W)]
    widths = [length for length, _held in reversed(strips)]
    return min(
        length if held else max(FREE_END_FACTOR * length, width)
        for (length, held), width in zip(strips, widths, strict=True)
    )


def _strip(
    cells: frozenset[Cell], carried: Carried, cell: Cell, way: Side, most: int
) -> tuple[int, bool]:
    """Length of the strip through a cell in cells, and whether both its ends are carried."""
    near, near_held = _reach(cells, carried, cell, way, most)
    far, far_held = _reach(cells, carried, cell, way.opposite, most)
    return near + far - 1, near_held and far_held


def _reach(
    cells: frozenset[Cell], carried: Carried, cell: Cell, way: Side, most: int
) -> tuple[int, bool]:
    """Cells from this one to the edge that ends the floor's span that way; whether it is held."""
    count = 1
    while not carried(cell, way):
        beyond = cell.beyond(way)
        if beyond not in cells or count > most:
            return count, False
        cell = beyond
        count += 1
    return count, True


class Bearing:
    """What carries the edges of one floor; supports come and go.

    An edge is carried by a panel that stands right below it, or from joint to joint: where one of
    its two joints is held up by a support, and the other by a support or by a panel below.
    """

    def __init__(self, bearing: Iterable[PanelPlace | Joint], z: int) -> None:
        self.z = z
        self._below: set[PanelPlace] = set()
        self._supported: Counter[Joint] = Counter()
        for one in bearing:
            if isinstance(one, Joint):
                if one.z == z:
                    self._supported[one] += 1
            elif one.z == z - 1 and one.is_upright:
                self._below.add(one)
        self._on_panels = {joint for place in self._below for joint in top_of(place)}

    def with_supports(self, places: Iterable[PanelPlace]) -> "Bearing":
        """Also with supports in these places right below the floor."""
        other = Bearing((), self.z)
        other._below, other._supported = self._below.copy(), self._supported.copy()
        other._on_panels = self._on_panels
        for place in places:
            other.add(place)
        return other

    def add(self, support: PanelPlace) -> None:
        self._below.add(support)
        self._supported.update(top_of(support))

    def remove(self, support: PanelPlace) -> None:
        """Take away one that was added."""
        self._below.remove(support)
        self._supported.subtract(top_of(support))

    def carries(self, cell: Cell, side: Side) -> bool:
        below = wall_place(cell, side, self.z - 1)
        if below in self._below:
            return True
        if not self._supported:
            return False
        one, other = top_of(below)
        by_one, by_other = self._supported[one] > 0, self._supported[other] > 0
        return (by_one and (by_other or other in self._on_panels)) or (
            by_other and one in self._on_panels
        )


def top_of(place: PanelPlace) -> tuple[Joint, Joint]:
    """The joints at the upper edge of an upright place."""
    face, row, col, z = place
    if face is Face.EW:
        return Joint(row, col, z + 1), Joint(row, col + 1, z + 1)
    return Joint(row, col, z + 1), Joint(row + 1, col, z + 1)
