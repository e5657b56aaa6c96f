"""Rests side by side made one, where that saves the cut between them.

Bands and stacks leave rests that a straight line parts though no piece ends there:

    +-------+ - - +       +-------+-----+
    | piece |     |       | piece |     |   one rest down the side instead of two, which is worth
    +-------+ - - +       +-------+     |   more, and a cut less
    | piece |     |       | piece |     |
    +-------+     |       +-------+     |
    |       |     |       |       |     |
    +-------+-----+       +-------+-----+
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations

from builds.cutting.cuts import NotSeparable, cut_sequence
from builds.cutting.values import CutSheet, Offcut

Effort = tuple[int, int]  # cuts, and stages of them


def with_rests_joined(sheet: CutSheet, *, kerf: int, trim: int) -> CutSheet:
    """The same pieces with fewer cuts, if any only splits what is left over.

    Straight cuts take the sheet apart, before and after; none of its stages is added.
    """
    if len(sheet.offcuts) < 2 or (effort := _effort(sheet, kerf, trim)) is None:
        return sheet
    while True:
        better = [
            (joined, found)
            for joined in _joined(sheet, kerf)
            if (found := _effort(joined, kerf, trim))
            and found[0] < effort[0]
            and found[1] <= effort[1]
        ]
        if not better:
            return sheet
        sheet, effort = max(better, key=lambda one: (_areas(one[0]), -one[1][0]))


def _joined(sheet: CutSheet, kerf: int) -> Iterator[CutSheet]:
    """The sheet with two of its rests made one, in each way there is."""
    for one, other in combinations(sheet.offcuts, 2):
        whole = _whole(one, other, kerf)
        if whole is not None:
            offcuts = [rest for rest in sheet.offcuts if rest not in (one, other)]
            yield replace(sheet, offcuts=in_order([*offcuts, whole]))


def _whole(one: Offcut, other: Offcut, kerf: int) -> Offcut | None:
    """The two with the kerf between them, if they share a whole side."""
    first, second = sorted((one, other), key=lambda rest: (rest.y, rest.x))
    is_below = second.y == first.y + first.height + kerf
    if is_below and (first.x, first.width) == (second.x, second.width):
        return replace(first, height=second.y + second.height - first.y)
    is_beside = second.x == first.x + first.width + kerf
    if is_beside and (first.y, first.height) == (second.y, second.height):
        return replace(first, width=second.x + second.width - first.x)
    return None


def in_order(offcuts: Iterable[Offcut]) -> tuple[Offcut, ...]:
    """The largest first."""
    return tuple(sorted(offcuts, key=lambda offcut: (-offcut.area, offcut.y, offcut.x)))


def _areas(sheet: CutSheet) -> list[int]:
    return [offcut.area for offcut in sheet.offcuts]


def _effort(sheet: CutSheet, kerf: int, trim: int) -> Effort | None:
    """None where no straight cuts take it apart."""
    try:
        cuts = cut_sequence(sheet, kerf=kerf, trim=trim)
    except NotSeparable:
        return None
    return len(cuts), max((cut.stage for cut in cuts), default=0)
