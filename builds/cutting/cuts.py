"""The cuts that take a sheet apart, in the order to make them with a knife and straightedge.

Worked out from where the pieces and offcuts lie, whoever laid them. A sheet is a part; each cut
runs straight across one part from edge to edge and makes two of it. All cuts across a part are made
before the parts that they leave are taken up, from the top left on, so that the straightedge is set
in one direction for as long as may be.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from builds.cutting.values import CutSheet, Offcut, PiecePlacement


class CutRect(NamedTuple):
    """A rectangle of the sheet while it is being cut."""

    x: int
    y: int
    width: int
    height: int


class Cut(NamedTuple):
    """One straight cut, from (`x1`, `y1`) to (`x2`, `y2`) on the whole sheet, across `part`.

    A saw's kerf lies to the right of a cut that runs down and below one that runs across. Where
    less than a kerf is to be taken off, the cut lies before the part, in the slot beside it.
    `stage` counts the changes of direction from the first cut on; 0 trims the edges of the sheet.
    """

    number: int
    stage: int
    x1: int
    y1: int
    x2: int
    y2: int
    part: CutRect


class NotSeparable(ValueError):
    """No straight cuts take this sheet apart: it was laid out for free cutting."""


_Item = PiecePlacement | Offcut
_Unnumbered = tuple[int, int, int, int, int, CutRect]


def cut_sequence(sheet: CutSheet, *, kerf: int = 0, trim: int = 0) -> tuple[Cut, ...]:
    """List the cuts that free every piece and offcut of the sheet, numbered from 1.

    Of the two directions to begin with, the one that needs fewer stages, then fewer cuts, is taken.
    Raises NotSeparable if a layout for free cutting is given.
    """
    whole = CutRect(0, 0, sheet.stock.width, sheet.stock.height)
    usable = CutRect(trim, trim, whole.width - 2 * trim, whole.height - 2 * trim)
    edges = list(_trims(whole, usable)) if trim else []
    items: tuple[_Item, ...] = (*sheet.placements, *sheet.offcuts)
    ways = [list(_taken_apart(usable, items, kerf, down, stage=1)) for down in (False, True)]
    best = min(ways, key=lambda cuts: (max((cut[0] for cut in cuts), default=0), len(cuts)))
    return tuple(Cut(number, *cut) for number, cut in enumerate((*edges, *best), start=1))


def _trims(whole: CutRect, usable: CutRect) -> Iterator[_Unnumbered]:
    """Take off top, bottom, left and right, in this order."""
    part = whole
    for down in (False, True):
        start, end = _start(usable, down), _end(usable, down)
        yield (0, *_line(part, start, down), part)
        part = _after(part, start, down)
        yield (0, *_line(part, end, down), part)
        part = _before(part, end, down)


def _taken_apart(
    part: CutRect, items: Sequence[_Item], kerf: int, down: bool, stage: int
) -> Iterator[_Unnumbered]:
    """Cut the part in this direction, then what that leaves in the other."""
    if not items or (len(items) == 1 and _fills(items[0], part)):
        return
    groups = _groups(items, kerf, down)
    if len(groups) == 1 and len(items) > 1 and len(_groups(items, kerf, not down)) == 1:
        raise NotSeparable(f"No straight cut parts what lies at {part.x}, {part.y}.")
    left_over = part
    freed: list[tuple[CutRect, list[_Item]]] = []
    for group in groups:
        start, end = _span(group, down)
        if start > _start(left_over, down):
            # Where less than a kerf lies before it, the blade runs partly in the slot before.
            at = max(start - kerf, 0)
            yield (stage, *_line(left_over, at, down), left_over)
            left_over = _after(left_over, start, down)
        if end < _end(left_over, down):
            yield (stage, *_line(left_over, end, down), left_over)
        freed.append((_before(left_over, end, down), group))
        left_over = _after(left_over, min(end + kerf, _end(left_over, down)), down)
    for inner, group in freed:
        yield from _taken_apart(inner, group, kerf, not down, stage + 1)


def _groups(items: Sequence[_Item], kerf: int, down: bool) -> list[list[_Item]]:
    """Items that a straight cut can part, in order along the part."""
    groups: list[list[_Item]] = []
    reach = 0
    for item in sorted(items, key=lambda item: _span([item], down)):
        start, end = _span([item], down)
        if groups and start < reach + kerf:
            groups[-1].append(item)
        else:
            groups.append([item])
        reach = max(reach, end)
    return groups


def _span(items: Sequence[_Item], down: bool) -> tuple[int, int]:
    if down:
        return min(item.x for item in items), max(item.x + item.width for item in items)
    return min(item.y for item in items), max(item.y + item.height for item in items)


def _fills(item: _Item, part: CutRect) -> bool:
    return (item.x, item.y, item.width, item.height) == part


def _start(part: CutRect, down: bool) -> int:
    return part.x if down else part.y


def _end(part: CutRect, down: bool) -> int:
    return part.x + part.width if down else part.y + part.height


def _line(part: CutRect, at: int, down: bool) -> tuple[int, int, int, int]:
    if down:
        return at, part.y, at, part.y + part.height
    return part.x, at, part.x + part.width, at


def _before(part: CutRect, at: int, down: bool) -> CutRect:
    return part._replace(width=at - part.x) if down else part._replace(height=at - part.y)


def _after(part: CutRect, at: int, down: bool) -> CutRect:
    if down:
        return part._replace(x=at, width=part.x + part.width - at)
    return part._replace(y=at, height=part.y + part.height - at)
