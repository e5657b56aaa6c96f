"""How the work fills its pages: pictures as large as what shares a page leaves room for.

Lengths are millimetres on paper, as static/css/packet-print.css sets them. The estimate errs on the
safe side; where it fails, the last block of a page goes to the next one, and nothing is lost.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from builds.common.paper import Paper
from builds.packet.paper.block_height import LEAST_PICTURE, MOST_PICTURE, ROOM, RULE, BlockHeight
from builds.packet.paper.values import Block, WorkPage

BETWEEN_BLOCKS = 5.0
MOST_STEPS = 3  # on a page
ENOUGH = 0.6  # of a page that is used
LARGE_PICTURE = 84  # larger ones are no better


class PagesSpent(NamedTuple):
    """What a way to share pages costs: fewest pages first, then the least waste."""

    pages: int
    waste: float


class SharedPages(NamedTuple):
    """How the work goes on: where the next page ends, and how high pictures are on it."""

    cost: PagesSpent
    end: int
    picture_mm: int


def work_pages(blocks: Sequence[Block], each: int, paper: Paper) -> tuple[WorkPage, ...]:
    """As few pages as can be, none of them nearly empty but the last, pictures large.

    ``each`` 1: a step has a page of its own.
    """
    heights = [BlockHeight(one, paper) for one in blocks]
    room = ROOM[paper]
    ways = _best_ways(heights, each, room)
    pages, at = [], 0
    while at < len(heights):
        way = ways[at]
        pages.append(_page(heights[at : way.end], way.picture_mm, each, room))
        at = way.end
    return tuple(pages)


def _page(some: Sequence[BlockHeight], picture_mm: int, each: int, room: float) -> WorkPage:
    """What is alone on a page that it would not fill is drawn as large as the page is wide."""
    alone = len(some) == 1 and (each == 1 or _height(some, picture_mm) < ENOUGH * room)
    return WorkPage(tuple(_sized(one, picture_mm) for one in some), alone)


def _sized(one: BlockHeight, wished: int) -> Block:
    block, picture_mm = one.block, one.picture_mm(wished)
    if block.step:
        step = replace(
            block.step,
            picture_mm=picture_mm,
            picture_width_mm=one.picture_width(picture_mm),
            has_notes_below=one.has_notes_below(picture_mm),
        )
        return replace(block, step=step)
    if block.plan:
        return replace(block, plan=replace(block.plan, picture_mm=picture_mm))
    return block


def _best_ways(heights: Sequence[BlockHeight], each: int, room: float) -> list[SharedPages]:
    """The best way on from each block, worked out from the last one backwards."""
    best = [SharedPages(PagesSpent(0, 0.0), len(heights), 0)]
    for at in reversed(range(len(heights))):
        ways = _pages_from(heights, at, each, room)
        best.append(min(_and_on(way, best[len(heights) - way.end].cost) for way in ways))
    return best[::-1]


def _and_on(way: SharedPages, rest: PagesSpent) -> SharedPages:
    cost = PagesSpent(way.cost.pages + rest.pages, way.cost.waste + rest.waste)
    return way._replace(cost=cost)


def _pages_from(
    heights: Sequence[BlockHeight], at: int, each: int, room: float
) -> Iterator[SharedPages]:
    """Each way to fill the page that begins with this block; it alone always is one."""
    for end in range(at + 1, len(heights) + 1):
        some = heights[at:end]
        picture_mm = _largest(some, room)
        if end > at + 1 and (picture_mm is None or not _may_share(some, each)):
            return
        picture_mm = picture_mm or LEAST_PICTURE
        is_large = end in (at + 1, len(heights))  # alone, or the last page, which may be empty
        empty = 0.0 if is_large else max(0.0, ENOUGH - _height(some, picture_mm) / room)
        small = max(0, LARGE_PICTURE - picture_mm) / LARGE_PICTURE
        yield SharedPages(PagesSpent(1, 10 * empty + small), end, picture_mm)


def _may_share(some: Sequence[BlockHeight], each: int) -> bool:
    steps = sum(one.block.step is not None for one in some)
    return steps <= MOST_STEPS if each > 1 else steps == 0


def _largest(some: Sequence[BlockHeight], room: float) -> int | None:
    """The largest height of pictures with which they fit; None if none does."""
    sizes = range(MOST_PICTURE, LEAST_PICTURE - 1, -RULE)
    return next((one for one in sizes if _height(some, one) <= room), None)


def _height(some: Sequence[BlockHeight], picture_mm: int) -> float:
    between = (len(some) - 1) * BETWEEN_BLOCKS
    return sum(one.with_picture(picture_mm) for one in some) + between
