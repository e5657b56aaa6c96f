"""Dimensions round the plan on the drawing board, in the free ring south and east of it.

The outer row is the whole of the level, the inner one its outline from corner to corner.
"""

from collections.abc import Iterable
from itertools import pairwise

from builds.drawing.dimension import Lengths
from habitats.structure.design import Design
from habitats.structure.lattice import Face, outer_edges, wall_place

UNIT = 100
INNER, OUTER = 38, 90  # from the lattice's edge to each row
TICK = 8
MOST_IN_A_CHAIN = 8
LETTER = 13  # width of a letter, about


def dimensions(design: Design, level: int, lengths: Lengths) -> str:
    """Both directions of one level; nothing while it has no cell."""
    cells = design.levels[level].cells
    places = {wall_place(cell, side, 0) for cell, side in outer_edges(cells)}
    across = _rows({one.col for one in places if one.face is Face.NS})
    down = _rows({one.row for one in places if one.face is Face.EW})
    size = design.panel.size_mm

    def words(start: int, end: int) -> str:
        text = lengths((end - start) * size)
        return text if len(text) * LETTER <= (end - start) * UNIT else ""

    lines, texts = [], []
    for offset, stops in across:
        y = design.rows * UNIT + offset
        lines += [f"M{a * UNIT} {y}H{b * UNIT}" for a, b in pairwise(stops)]
        lines += [f"M{x * UNIT - TICK} {y + TICK}l{2 * TICK} {-2 * TICK}" for x in stops]
        texts += [
            f'<text x="{(a + b) * UNIT // 2}" y="{y - 6}">{words(a, b)}</text>'
            for a, b in pairwise(stops)
        ]
    for offset, stops in down:
        x = design.cols * UNIT + offset
        lines += [f"M{x} {a * UNIT}V{b * UNIT}" for a, b in pairwise(stops)]
        lines += [f"M{x - TICK} {y * UNIT + TICK}l{2 * TICK} {-2 * TICK}" for y in stops]
        texts += [
            f'<text transform="translate({x - 6} {(a + b) * UNIT // 2}) rotate(-90)">'
            f"{words(a, b)}</text>"
            for a, b in pairwise(stops)
        ]
    return f'<path class="dimension" d="{"".join(lines)}"/><g class="lengths">{"".join(texts)}</g>'


def _rows(corners: Iterable[int]) -> list[tuple[int, list[int]]]:
    """The rows of dimensions, each with its distance and its stops."""
    stops = sorted(corners)
    if not stops:
        return []
    whole = (OUTER, [stops[0], stops[-1]])
    return [(INNER, stops), whole] if 2 < len(stops) <= MOST_IN_A_CHAIN + 1 else [whole]
