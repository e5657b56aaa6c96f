"""A stock sheet with its pieces: cuts numbered in order, so that a knife can follow them.

The sheet is drawn lying on its long side. Where that swaps its two sides, positions along each
side stay what they are; only the corner they are counted from is always the one top left.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from builds.cutting.cuts import Cut, NotSeparable, cut_sequence
from builds.cutting.values import CutSheet, Offcut, PiecePlacement
from builds.drawing.blanks import flute_mark
from builds.drawing.dimension import ROW, Lengths, dimension, running, scale_bar
from builds.drawing.legend import legend
from habitats.drawing.pen import Anchor, Pen, Point, width_of
from habitats.drawing.styles import Letter, Style
from habitats.drawing.svg import finished
from habitats.measures import size
from habitats.wording import counted, joined, message

SHEET_WIDTH = 410.0
SHEET_HEIGHT = 380.0
BUBBLE = 9.0
LINE = 15.0

Names = Callable[[str], str]
Box = tuple[float, float, float, float]


def sheet_picture(
    sheet: CutSheet,
    names: Names,
    numbers: Names,
    *,
    lengths: Lengths,
    kerf: int = 0,
    trim: int = 0,
    flutes: bool = True,
    title: str | None = None,
) -> str:
    """The sheet with its pieces, named by ``names`` from their ids; offcuts hatched.

    ``numbers`` gives what is written in a piece that is too small for its name, explained below.

    Cuts are those of ``cut_sequence`` for this ``kerf`` and ``trim``; a layout that straight cuts
    cannot take apart gets none. ``flutes`` marks a sheet whose flutes run along its height.
    Lengths are millimetres. ``title`` None: the usual one.
    """
    view = _view(sheet, names, numbers, lengths, kerf, trim)
    return finished(
        lambda pen: _draw(pen, view, flutes=flutes),
        title or message("Sheet: pieces and cuts"),
        _describe(view),
        kind="sheet",
    )


@dataclass(frozen=True, slots=True)
class _View:
    """A sheet as it lies on the paper; ``swapped`` if its height is drawn across."""

    sheet: CutSheet
    names: Names
    numbers: Names
    lengths: Lengths
    cuts: tuple[Cut, ...]
    swapped: bool
    scale: float

    def at(self, x: float, y: float) -> Point:
        across, down = (y, x) if self.swapped else (x, y)
        return across * self.scale, down * self.scale

    def box(self, one: PiecePlacement | Offcut) -> Box:
        left, top = self.at(one.x, one.y)
        right, bottom = self.at(one.x + one.width, one.y + one.height)
        return left, top, right, bottom

    @property
    def size(self) -> Point:
        return self.at(self.sheet.stock.width, self.sheet.stock.height)

    def measures(self, one: PiecePlacement | Offcut) -> str:
        """Width and height as they are seen on the paper."""
        sides = (one.height, one.width) if self.swapped else (one.width, one.height)
        return size(sides, self.lengths)


def _view(
    sheet: CutSheet, names: Names, numbers: Names, lengths: Lengths, kerf: int, trim: int
) -> _View:
    try:
        cuts = cut_sequence(sheet, kerf=kerf, trim=trim)
    except NotSeparable:
        cuts = ()
    stock = sheet.stock
    across, down = max(stock.width, stock.height), min(stock.width, stock.height)
    scale = min(SHEET_WIDTH / across, SHEET_HEIGHT / down)
    return _View(sheet, names, numbers, lengths, cuts, stock.height > stock.width, scale)


def _describe(view: _View) -> str:
    stock = view.sheet.stock
    pieces = [
        joined(" ", [view.names(one.piece), view.measures(one)]) for one in view.sheet.placements
    ]
    return joined(
        " ",
        [
            message(
                "A sheet of %(width)s by %(height)s.",
                width=view.lengths(stock.width),
                height=view.lengths(stock.height),
            ),
            message("Pieces: %(pieces)s.", pieces=joined(", ", pieces) or message("none")),
            counted(
                "%(count)d straight cut; what is left over is hatched.",
                "%(count)d straight cuts, numbered in order; what is left over is hatched.",
                len(view.cuts),
            ),
        ],
    )


@dataclass(slots=True)
class _Room:
    """Boxes already written in, so that nothing is written over them."""

    taken: list[Box] = field(default_factory=list)

    def is_free(self, box: Box) -> bool:
        return not any(
            box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3]
            for other in self.taken
        )

    def take(self, box: Box) -> None:
        self.taken.append(box)


def _draw(pen: Pen, view: _View, *, flutes: bool) -> None:
    width, height = view.size
    room = _Room()
    pen.area([_corners((0, 0, width, height))], Style.PAPER)
    for offcut in view.sheet.offcuts:
        pen.area([_corners(view.box(offcut))], Style.OFFCUT)
    for placement in view.sheet.placements:
        pen.area([_corners(view.box(placement))], Style.SHEET_PIECE)
    pen.line([*_corners((0, 0, width, height)), (0, 0)], Style.CUT)
    for cut in reversed(view.cuts):
        pen.line([view.at(cut.x1, cut.y1), view.at(cut.x2, cut.y2)], _cut_style(cut))
    unnamed = []
    for placement in view.sheet.placements:
        rows = [view.names(placement.piece), view.measures(placement)]
        if not _label(pen, room, view.box(placement), rows):
            unnamed.append((placement, joined(", ", rows)))
    for cut in view.cuts:
        _bubble(pen, room, view, cut)
    for offcut in view.sheet.offcuts:
        _label(pen, room, view.box(offcut), [message("left over"), view.measures(offcut)])
    for placement, _words in unnamed:
        _key(pen, room, view.box(placement), view.numbers(placement.piece))
    _measures(pen, view)
    # Pieces alike have one number and are told once.
    _foot(pen, view, [*dict.fromkeys(words for _placement, words in unnamed)], flutes=flutes)


def _corners(box: Box) -> list[Point]:
    left, top, right, bottom = box
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def _cut_style(cut: Cut) -> Style:
    """The earlier the direction of a cut, the heavier its line."""
    return {0: Style.THIN, 1: Style.HEAVY, 2: Style.CUT}.get(cut.stage, Style.INK)


def _label(pen: Pen, room: _Room, box: Box, rows: Sequence[str]) -> bool:
    """Name and measures in the middle, level or upright; False if there is no room for them."""
    left, top, right, bottom = box
    wide, high = right - left - 6, bottom - top - 4
    for shown in (rows, rows[:1]):
        longest = max(width_of(words, Letter.FIGURE) for words in shown)
        deep = LINE * len(shown)
        for turn, along, across in ((0, wide, high), (-90, high, wide)):
            if longest <= along and deep <= across and room.is_free(_box_of(box, shown, turn)):
                _write(pen, room, box, shown, turn)
                return True
    return False


def _box_of(box: Box, rows: Sequence[str], turn: int) -> Box:
    """The room that rows take in the middle of a box."""
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    half = max(width_of(words, Letter.FIGURE) for words in rows) / 2
    deep = LINE * len(rows) / 2
    dx, dy = (deep, half) if turn else (half, deep)
    return x - dx, y - dy, x + dx, y + dy


def _write(pen: Pen, room: _Room, box: Box, rows: Sequence[str], turn: int) -> None:
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    for number, words in enumerate(rows):
        off = (number - (len(rows) - 1) / 2) * LINE + 4
        at = (x + off, y) if turn else (x, y + off)
        pen.text(at, words, Letter.FIGURE, turn=turn)
    room.take(_box_of(box, rows, turn))


# Where along a cut its number is tried, from the end the knife starts at; then how far beside it.
_ALONG = (0.12, 0.3, 0.5, 0.7, 0.88, 0.2, 0.4, 0.6, 0.8)
_BESIDE = (0.0, 20.0, -20.0, 38.0, -38.0, 56.0, -56.0)


def _bubble(pen: Pen, room: _Room, view: _View, cut: Cut) -> None:
    """The cut's number in a disc on its line, or beside it where something else is written."""
    (x1, y1), (x2, y2) = view.at(cut.x1, cut.y1), view.at(cut.x2, cut.y2)
    along = [(x1 + (x2 - x1) * part, y1 + (y2 - y1) * part) for part in _ALONG]
    # Beside a long cut, but past the end of a short one: beside it is the next cut's number.
    is_short = abs(x2 - x1) + abs(y2 - y1) < 3 * BUBBLE
    spot, at = _free_spot(room, along, BUBBLE, level=(y1 == y2) != is_short)
    if at != spot:
        pen.line([spot, at], Style.THIN)
        pen.circle(spot, 1.4, Style.SOLID)
    pen.circle(at, BUBBLE, Style.JOINT)
    pen.text((at[0], at[1] + 4), str(cut.number), Letter.FIGURE)
    room.take(_around(at, BUBBLE))


def _key(pen: Pen, room: _Room, box: Box, key: str) -> None:
    """Its number in a small piece, or beside it with a leader."""
    half = max(BUBBLE, width_of(key, Letter.FIGURE) / 2 + 3)
    y = (box[1] + box[3]) / 2
    across = [(box[0] + (box[2] - box[0]) * part, y) for part in (0.5, 0.3, 0.7)]
    spot, at = _free_spot(room, across, half, level=True)
    if at != spot:
        pen.line([spot, at], Style.THIN)
        pen.area([_corners(_around(at, half))], Style.PAPER)
    pen.text((at[0], at[1] + 4), key, Letter.FIGURE)
    room.take(_around(at, half))


def _free_spot(
    room: _Room, along: Sequence[Point], half: float, *, level: bool
) -> tuple[Point, Point]:
    """The first free place on or beside a line: the spot on the line, and where to write.

    ``half`` is half the width of what is written.
    """
    for beside in _BESIDE:
        for x, y in along:
            at = (x, y + beside) if level else (x + beside, y)
            if room.is_free(_around(at, half)):
                return (x, y), at
    return along[0], along[0]


def _around(at: Point, half: float) -> Box:
    x, y = at
    return x - half, y - BUBBLE, x + half, y + BUBBLE


def _measures(pen: Pen, view: _View) -> None:
    """Places of the cuts along top and left; the whole sheet along bottom and right."""
    width, height = view.size
    stock = view.sheet.stock
    across, down = (stock.height, stock.width) if view.swapped else (stock.width, stock.height)
    places_x, places_y = _cut_places(view)
    running(pen, (0, 0), (1, 0), _stops(places_x, across, view), ROW / 2)
    running(pen, (0, 0), (0, 1), _stops(places_y, down, view), -ROW / 2)
    dimension(pen, (0, height), (width, height), -ROW, view.lengths(across))
    dimension(pen, (width, height), (width, 0), -ROW, view.lengths(down))


def _cut_places(view: _View) -> tuple[set[int], set[int]]:
    """Where cuts lie along the drawn width and along the drawn height, in millimetres."""
    run_down = {cut.x1 for cut in view.cuts if cut.x1 == cut.x2}
    run_across = {cut.y1 for cut in view.cuts if cut.y1 == cut.y2}
    return (run_across, run_down) if view.swapped else (run_down, run_across)


def _stops(places: Iterable[int], whole: int, view: _View) -> list[tuple[float, str]]:
    return [(at * view.scale, view.lengths(at)) for at in sorted({0, whole, *places})]


def _foot(pen: Pen, view: _View, keyed: Sequence[str], *, flutes: bool) -> None:
    """Legend, small pieces by number, flutes and scale bar below the sheet."""
    width, height = view.size
    y = height + 2 * ROW
    entries: list[tuple[Style, str]] = [
        (Style.SHEET_PIECE, message("piece")),
        (Style.OFFCUT, message("left over")),
    ]
    if any(cut.stage == 1 for cut in view.cuts):
        entries.append((Style.HEAVY, message("cut first")))
    y += legend(pen, (0, y), entries, width=width)
    for words in keyed:
        pen.text((0, y + 4), words, Letter.NOTE, Anchor.START)
        y += LINE
    scale_bar(pen, (0, y), view.scale, view.lengths)
    if flutes:
        flute_mark(pen, (width - 40, y - 6), along_x=view.swapped)
