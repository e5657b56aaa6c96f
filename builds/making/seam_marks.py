"""Where the next piece ends on a joined blank: the lines to lay it against.

The plastic of a piece goes on flat past its floor as a tab, or past the end of a wall as a lap, and
nothing is cut or folded there. So the marks are those stretches of the lines of its floor's edges
that run through plastic without a slit or a score.
"""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from builds.making.blank import Blank, Line


def seam_marks(blank: Blank) -> tuple[Line, ...]:
    """Level and upright lines, in order; none on a blank that is joined to nothing."""
    base = blank.base
    if base is None:
        return ()
    west, north = base.offset_x, base.offset_y
    east, south = west + base.x2 - base.x1, north + base.y2 - base.y1
    upright = [_along(blank, x, is_upright=True) for x in (west, east)]
    level = [_along(blank, y, is_upright=False) for y in (north, south)]
    return tuple(sorted(line for found in (*upright, *level) for line in found))


def _along(blank: Blank, at: int, *, is_upright: bool) -> Iterator[Line]:
    """The marks on one line across the whole blank."""
    ring, folds = list(blank.outline), [*blank.slits, *blank.scores]
    if not is_upright:
        ring, folds = [(y, x) for x, y in ring], [Line(b, a, d, c) for a, b, c, d in folds]
    taken = [(b, d) for a, b, c, d in folds if a == c == at]
    stops = sorted({y for _x, y in ring} | {end for stretch in taken for end in stretch})
    free = (
        (start, end)
        for start, end in pairwise(stops)
        if _is_plastic(ring, at, (start + end) / 2)
        and not any(low <= start and end <= high for low, high in taken)
    )
    for start, end in _in_one(free):
        yield Line(at, start, at, end) if is_upright else Line(start, at, end, at)


def _is_plastic(ring: list[tuple[int, int]], across: int, along: float) -> bool:
    """Whether there is plastic on both sides of the line at this place."""
    crossed = [
        a
        for (a, b), (c, d) in pairwise((*ring, ring[0]))
        if a == c and min(b, d) < along < max(b, d)
    ]
    return across not in crossed and sum(edge < across for edge in crossed) % 2 == 1


def _in_one(stretches: Iterable[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Stretches that go on into each other, joined."""
    open_one: tuple[int, int] | None = None
    for start, end in stretches:
        if open_one and open_one[1] == start:
            open_one = open_one[0], end
        else:
            if open_one:
                yield open_one
            open_one = start, end
    if open_one:
        yield open_one
