"""Labels on a sheet of them, drawn to size: a square code, the label in large letters, what it is.

The grids are those of label sheets that are sold in many shops; their measures are common
practice, no source: hold a first print on plain paper against the sheet, then shift it.
Lengths are tenths of a millimetre, so that Letter's thirds of an inch come out well.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple
from xml.sax.saxutils import escape, quoteattr

from habitats.drawing.svg import FONTS, number
from habitats.measures import METRIC, short_length
from habitats.wording import joined

SHEETS = {"A4": (2100, 2970), "Letter": (2159, 2794)}
PAD = 20  # white inside a label's edge
MOST_CODE = 300  # a code larger than 3 cm reads no better
QUIET_ZONE = 4  # modules of white on each side that ISO/IEC 18004 asks for
POINT = 3.528  # tenths of a millimetre
MARK_POINTS, LEAST_POINTS, LINE_POINTS = 26.0, 5.0, 8.0
LETTER_WIDTH = 0.62  # of the size, generous


class LabelGrid(NamedTuple):
    """``across`` × ``down`` labels of ``width`` × ``height``, the first at ``left``, ``top``.

    ``step_x`` and ``step_y`` lead from one label to the next.
    """

    name: str
    paper: str
    across: int
    down: int
    width: int
    height: int
    left: int
    top: int
    step_x: int
    step_y: int

    @property
    def labels(self) -> int:
        return self.across * self.down


GRIDS = {
    grid.name: grid
    for grid in (
        LabelGrid("A4-24", "A4", 3, 8, 700, 370, 0, 5, 700, 370),
        LabelGrid("A4-40", "A4", 4, 10, 525, 297, 0, 0, 525, 297),
        LabelGrid("A4-65", "A4", 5, 13, 381, 212, 47, 107, 406, 212),
        LabelGrid("Letter-30", "Letter", 3, 10, 667, 254, 48, 127, 698, 254),
        LabelGrid("Letter-80", "Letter", 4, 20, 445, 127, 71, 127, 523, 127),
    )
}


def label_size(grid: LabelGrid, units: str = METRIC) -> str:
    """Width and height of one label: ``38.1 mm × 21.2 mm``; in inches to the nearest sixteenth."""
    sides = (Fraction(grid.width, 10), Fraction(grid.height, 10))
    return joined(" × ", [short_length(mm, units) for mm in sides])


Modules = Sequence[Sequence[int]]


class CodeSticker(NamedTuple):
    """One label: its mark, lines of words about it, and the dark modules of its code."""

    mark: str
    lines: tuple[str, ...]
    modules: Modules


def sheets_of(
    stickers: Sequence[CodeSticker],
    grid: LabelGrid,
    *,
    first: int = 1,
    shift: tuple[int, int] = (0, 0),
) -> tuple[str, ...]:
    """SVG pages. ``first``: the label of the first sheet to begin with, counted from 1 along rows.

    ``shift``: how far all labels are moved to the right and down.
    """
    places = range(first - 1, first - 1 + len(stickers))
    placed = list(zip(places, stickers, strict=True))
    pages = range(1 + (places[-1] // grid.labels if placed else 0))
    return tuple(
        _page([one for one in placed if one[0] // grid.labels == page], grid, shift)
        for page in pages
    )


def _page(
    placed: Sequence[tuple[int, CodeSticker]], grid: LabelGrid, shift: tuple[int, int]
) -> str:
    width, height = SHEETS[grid.paper]
    name = "Labels " + ", ".join(sticker.mark for _place, sticker in placed)
    marks = "".join(_placed(place % grid.labels, sticker, grid, shift) for place, sticker in placed)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label={quoteattr(name)} '
        f'width="{number(width / 10)}mm" height="{number(height / 10)}mm" '
        f'viewBox="0 0 {width} {height}" font-family="{FONTS}" fill="#000000">{marks}</svg>'
    )


def _placed(place: int, sticker: CodeSticker, grid: LabelGrid, shift: tuple[int, int]) -> str:
    row, column = divmod(place, grid.across)
    x = grid.left + column * grid.step_x + shift[0]
    y = grid.top + row * grid.step_y + shift[1]
    return f'<g transform="translate({x} {y})">{"".join(_drawn(sticker, grid))}</g>'


def _drawn(sticker: CodeSticker, grid: LabelGrid) -> Iterator[str]:
    side = min(grid.height - 2 * PAD, grid.width * 2 // 5, MOST_CODE)
    yield _code(sticker.modules, PAD, (grid.height - side) / 2, side)
    left = 2 * PAD + side
    room = grid.width - left - PAD
    size = _size_for(sticker.mark, room, MARK_POINTS)
    lines = [(line, _size_for(line, room, LINE_POINTS)) for line in sticker.lines]
    while lines and _height(size, lines) > grid.height - PAD:
        lines.pop()
    y = (grid.height - _height(size, lines)) / 2 + size
    yield _words(sticker.mark, left, y, size)
    for line, height in lines:
        y += 1.2 * height
        yield _words(line, left, y, height)


def _height(size: float, lines: Sequence[tuple[str, float]]) -> float:
    """Of the mark and the lines below it."""
    return 1.1 * size + sum(1.2 * height for _line, height in lines)


def _code(modules: Modules, x: float, y: float, side: float) -> str:
    """The code with its quiet zone, as one path: a run of dark modules is one rectangle."""
    module = side / (len(modules) + 2 * QUIET_ZONE)
    runs = "".join(
        f"M{start + QUIET_ZONE} {row + QUIET_ZONE}h{length}v1h-{length}z"
        for row, line in enumerate(modules)
        for start, length in _runs(line)
    )
    move = f"translate({number(x)} {number(y)}) scale({number(module, 3)})"
    return f'<path transform="{move}" d="{runs}"/>'


def _runs(line: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Where dark modules begin, and how many follow."""
    start = None
    for column, dark in enumerate([*line, 0]):
        if dark and start is None:
            start = column
        elif not dark and start is not None:
            yield start, column - start
            start = None


def _size_for(words: str, room: float, points: float) -> float:
    """The letters' height at which the words have room, at most so many points."""
    widest = room / (LETTER_WIDTH * max(len(words), 1))
    return max(min(points * POINT, widest), LEAST_POINTS * POINT)


def _words(words: str, x: float, y: float, size: float) -> str:
    return (
        f'<text x="{number(x)}" y="{number(y)}" font-size="{number(size)}">{escape(words)}</text>'
    )
