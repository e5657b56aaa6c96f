"""Where on a board a piece does least harm: the inner loop of every search.

The harm of a spot is the area it puts out of reach: sheet height that a band takes anew or grows
by, band width that a stack grows by, what is trimmed beside a narrow piece. Where a piece fits
exactly, harm is below zero. A little noise, drawn anew at each spot, and now and then a spot passed
over ("blinks": Christiaens and Vanden Berghe, Transportation Science 54 (2020) 417-433) make
one order of pieces give many layouts.
"""

from collections.abc import Callable

from builds.cutting.board import Band, Board, Spot, Stack
from builds.cutting.frames import Way

_NOISE = 0.5
_BLINK = 0.02
NO_SPOT = float("inf")


def best_spot(board: Board, kind: int, draw: Callable[[], float]) -> tuple[float, Spot | None]:
    """Give the least harm and its spot; `draw` gives random numbers from 0 to 1.

    Written out flat: half of all time is spent here.
    """
    frame, room = board.frame, board.room
    width = frame.width
    least = NO_SPOT
    best: tuple[Band | None, Stack | None, Way] | None = None
    for way in frame.ways[kind]:
        across, down, _ = way
        for band in board.bands:
            most = band.height + room
            if down > most:
                continue
            rest = width - band.width
            if across <= rest:
                grows = down - band.height
                harm = grows * width if grows > 0 else 0.5 * grows * across
                harm *= 1 + _NOISE * draw()
                if harm < least and draw() > _BLINK:
                    least, best = harm, (band, None, way)
            most -= down
            for stack in band.stacks:
                if stack.height <= most:
                    wider = across - stack.width
                    if wider <= rest:
                        harm = wider * (band.height if wider > 0 else down)
                        grows = stack.height + down - band.height
                        if grows > 0:
                            harm += grows * width
                        harm *= 1 + _NOISE * draw()
                        if harm < least and draw() > _BLINK:
                            least, best = harm, (band, stack, way)
        if down <= room:
            harm = (width - across) * down + down
            harm *= 1 + _NOISE * draw()
            if harm < least and draw() > _BLINK:
                least, best = harm, (None, None, way)
    return least, Spot(*best) if best else None
