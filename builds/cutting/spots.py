"""Where on the table a piece does least harm: the inner loop of every search."""

from typing import Any

from builds.cutting.compiled import compiled_part, draw
from builds.cutting.flat import NONE
from builds.cutting.table import BAND, BOARD, BOARDS, STACK, WAY

_NOISE = 0.5
_BLINK = 0.02


@compiled_part
def find_spot(sizes: Any, table: Any, pace: Any, kind: int) -> Any:
    """Find where on the table a piece does least harm; False if no board has room.

    The harm of a spot is the area it puts out of reach: sheet height that a band takes anew or
    grows by, band width that a stack grows by, what is trimmed beside a narrow piece. Where a piece
    fits exactly, harm is below zero. Noise and spots passed over ("blinks": Christiaens and Vanden
    Berghe, Transportation Science 54 (2020) 417-433) make one order give many layouts.
    """
    chance = pace.chance
    least = 1e300
    looks = 0
    for board in range(table.count[BOARDS]):
        frame = table.frame[board]
        across_all = sizes.frame_width[frame]
        room = table.room[board]
        if across_all * sizes.frame_height[frame] - table.used[board] < sizes.area[kind]:
            continue
        for way in range(2):
            place = (frame * sizes.kinds + kind) * 2 + way
            across = sizes.way_width[place]
            down = sizes.way_height[place]
            if across == 0:
                continue
            band = table.bands[board]
            while band != NONE:
                looks += 1
                tall = table.band_height[band]
                most = tall + room
                if down <= most:
                    rest = across_all - table.band_width[band]
                    if across <= rest:
                        grows = down - tall
                        harm = grows * across_all if grows > 0 else 0.5 * grows * across
                        harm *= 1 + _NOISE * draw(chance)
                        if harm < least and draw(chance) > _BLINK:
                            least = harm
                            table.spot[BOARD] = board
                            table.spot[BAND] = band
                            table.spot[STACK] = NONE
                            table.spot[WAY] = way
                    most -= down
                    stack = table.stacks[band]
                    while stack != NONE:
                        looks += 1
                        high = table.stack_height[stack]
                        wider = across - table.stack_width[stack]
                        if high <= most and wider <= rest:
                            harm = float(wider * (tall if wider > 0 else down))
                            grows = high + down - tall
                            if grows > 0:
                                harm += grows * across_all
                            harm *= 1 + _NOISE * draw(chance)
                            if harm < least and draw(chance) > _BLINK:
                                least = harm
                                table.spot[BOARD] = board
                                table.spot[BAND] = band
                                table.spot[STACK] = stack
                                table.spot[WAY] = way
                        stack = table.stack_after[stack]
                band = table.band_after[band]
            if down <= room:
                harm = float((across_all - across) * down + down)
                harm *= 1 + _NOISE * draw(chance)
                if harm < least and draw(chance) > _BLINK:
                    least = harm
                    table.spot[BOARD] = board
                    table.spot[BAND] = NONE
                    table.spot[STACK] = NONE
                    table.spot[WAY] = way
    pace.done[0] += looks + 1
    return least < 1e300
