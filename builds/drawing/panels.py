"""A wire panel at the bench: which squares to cut out for a doorway, where to bend for a ramp."""

from builds.drawing.dimension import ROW, Lengths, dimension
from builds.drawing.legend import legend, mark_legend
from builds.drawing.room import WORDS_WIDTH
from habitats.drawing.pen import Anchor, Pen, Point, Scaled
from habitats.drawing.styles import Letter, Style
from habitats.drawing.svg import finished
from habitats.structure.design import PanelSize
from habitats.structure.ramp import Ramp
from habitats.wording import counted, message

PANEL_WIDTH = 144.0
NUMBER_ROOM = 16.0  # units a square takes at least for each to have its number


def panel_cut_picture(ramp: Ramp, panel: PanelSize, *, lengths: Lengths) -> str:
    """The doorway panel: the squares to cut out, and where to cut beside the wire that stays."""
    wide, high = ramp.doorway_squares
    return finished(
        lambda pen: draw_doorway_panel(pen, ramp, panel, lengths),
        message("Doorway panel: squares to cut out"),
        message(
            "A panel of %(squares)d by %(squares)d squares. Cut out %(wide)d squares wide and "
            "%(high)d high, in the middle of the lower edge, close to the wires that stay. The "
            "lower edge wire goes too.",
            squares=panel.squares,
            wide=wide,
            high=high,
        ),
        kind="panel",
    )


def panel_bend_picture(ramp: Ramp, panel: PanelSize, *, lengths: Lengths) -> str:
    """A ramp panel: the two wires to bend along, and which end lies over the next panel."""
    return finished(
        lambda pen: draw_bent_panel(pen, ramp, panel, lengths),
        message("Ramp panel: where to bend"),
        message(
            "A panel of %(squares)d by %(squares)d squares. Bend up %(bent)d squares on the left "
            "and on the right, so that a channel %(channel)d squares wide stays flat.",
            squares=panel.squares,
            bent=ramp.bend_squares,
            channel=ramp.channel_squares,
        ),
        kind="panel",
    )


def draw_doorway_panel(
    pen: Pen, ramp: Ramp, panel: PanelSize, lengths: Lengths, *, filing: bool = False
) -> None:
    """Before the cut, or after it with the ends to file."""
    mm = Scaled(pen, PANEL_WIDTH / panel.size_mm)
    wide, high = ramp.doorway_squares
    size, pitch = float(panel.size_mm), panel.pitch_mm
    left, right = (size - wide * pitch) / 2, (size + wide * pitch) / 2
    top = size - high * pitch
    hole = [(left, size), (left, top), (right, top), (right, size)]
    if filing:
        _draw_cut_ends(mm, ramp, panel, hole)
    else:
        _draw_knife(mm, panel, hole)
    _square_numbers(pen, mm, panel)
    edge, at = PANEL_WIDTH, mm.scale
    in_squares = message("%(count)d sq.", count=wide)
    dimension(pen, (left * at, edge), (right * at, edge), -ROW, in_squares)
    dimension(pen, (edge, edge), (edge, top * at), -ROW, _squares(high))
    dimension(pen, (0, 0), (edge, 0), ROW + 8, lengths(panel.size_mm))
    _tell_the_hole(pen, filing=filing)


def _tell_the_hole(pen: Pen, *, filing: bool) -> None:
    """The legend under the panel: the ends to file, or what to cut out and where."""
    below = PANEL_WIDTH + 2 * ROW + 4
    if filing:
        ends = [(Style.TIE, message("cut end: file round and smooth"))]
        mark_legend(pen, (6, below), ends, width=WORDS_WIDTH)
    else:
        cut = [
            (Style.GONE, message("cut out")),
            (Style.KNIFE, message("cut here, beside the wire")),
        ]
        legend(pen, (0, below), cut, width=WORDS_WIDTH)


def _draw_cut_ends(mm: Scaled, ramp: Ramp, panel: PanelSize, hole: list[Point]) -> None:
    """The panel once it is cut, with each end that the knife left."""
    _mesh(mm, panel)
    mm.area([_cleared(hole, 6 / mm.scale)], Style.PAPER)
    for end in cut_ends(ramp, panel):
        mm.circle(end, 3 / mm.scale, Style.TIE)


def _draw_knife(mm: Scaled, panel: PanelSize, hole: list[Point]) -> None:
    """A little inside the hole: close to the wires that stay, so that no stub sticks out."""
    mm.area([hole], Style.GONE)
    _mesh(mm, panel)
    (left, bottom), (_left, top), (right, _top), _corner = hole
    by = 4 / mm.scale
    mm.line(
        [(left + by, bottom), (left + by, top + by), (right - by, top + by), (right - by, bottom)],
        Style.KNIFE,
    )


def _cleared(hole: list[Point], by: float) -> list[Point]:
    """The hole without the wires on its border; its lower edge is open."""
    (left, bottom), (_left, top), (right, _top), _corner = hole
    return [
        (left + by, bottom + by),
        (left + by, top + by),
        (right - by, top + by),
        (right - by, bottom + by),
    ]


def cut_ends(ramp: Ramp, panel: PanelSize) -> list[Point]:
    """Where wires end round a doorway's opening, in millimetres from the panel's top left."""
    wide, high = ramp.doorway_squares
    size, pitch = float(panel.size_mm), panel.pitch_mm
    left, right = (size - wide * pitch) / 2, (size + wide * pitch) / 2
    top = size - high * pitch
    level = [size - row * pitch for row in range(high)]
    sides = [(x, y) for y in level for x in (left, right)]
    return [*sides, *((left + col * pitch, top) for col in range(1, wide))]


def draw_measured_panel(pen: Pen, panel: PanelSize, lengths: Lengths) -> None:
    """A plain panel with its connectors: what a panel measures from joint to joint."""
    mm = Scaled(pen, PANEL_WIDTH / panel.size_mm)
    _mesh(mm, panel)
    size = float(panel.size_mm)
    for corner in ((0.0, 0.0), (size, 0.0), (size, size), (0.0, size)):
        mm.circle(corner, 7 / mm.scale, Style.JOINT)
    dimension(pen, (0, 0), (PANEL_WIDTH, 0), ROW + 8, lengths(panel.size_mm))
    words = message(
        "%(squares)d × %(squares)d squares, %(size)s joint to joint",
        squares=panel.squares,
        size=lengths(panel.size_mm),
    )
    pen.text((PANEL_WIDTH / 2, PANEL_WIDTH + 24), words, Letter.LABEL)


def draw_bent_panel(pen: Pen, ramp: Ramp, panel: PanelSize, lengths: Lengths) -> None:
    mm = Scaled(pen, PANEL_WIDTH / panel.size_mm)
    size, bend = float(panel.size_mm), ramp.bend_squares * panel.pitch_mm
    overlap = ramp.overlap_squares * panel.pitch_mm
    if ramp.panels > 1:
        mm.area(
            [[(0, size - overlap), (size, size - overlap), (size, size), (0, size)]], Style.OVERLAP
        )
    _mesh(mm, panel)
    for x in (bend, size - bend):
        mm.line([(x, -10 / mm.scale), (x, size + 10 / mm.scale)], Style.BEND)
    edge = PANEL_WIDTH
    first, second = bend * mm.scale, (size - bend) * mm.scale
    for start, end, words in (
        (0.0, first, message("%(squares)d up", squares=ramp.bend_squares)),
        (first, second, message("%(squares)d flat", squares=ramp.channel_squares)),
        (second, edge, message("%(squares)d up", squares=ramp.bend_squares)),
    ):
        dimension(pen, (start, edge), (end, edge), -ROW - 4, words)
    _square_numbers(pen, mm, panel)
    dimension(pen, (0, 0), (edge, 0), ROW + 8, lengths(panel.size_mm))
    entries: list[tuple[Style, str]] = [(Style.BEND, message("bend up along this wire"))]
    if ramp.panels > 1:
        entries.append((Style.OVERLAP, _on_the_next(ramp.overlap_squares)))
    legend(pen, (0, edge + 2 * ROW + 8), entries, width=WORDS_WIDTH)


def _squares(count: int) -> str:
    return counted("%(count)d square", "%(count)d squares", count)


def _on_the_next(squares: int) -> str:
    return counted(
        "lies on the next panel: %(count)d square",
        "lies on the next panel: %(count)d squares",
        squares,
    )


def _mesh(mm: Scaled, panel: PanelSize) -> None:
    size = float(panel.size_mm)
    for number in range(panel.squares + 1):
        at = number * panel.pitch_mm
        style = Style.INK if number in (0, panel.squares) else Style.WIRE_LINE
        mm.line([(at, 0), (at, size)], style)
        mm.line([(0, at), (size, at)], style)


def _square_numbers(pen: Pen, mm: Scaled, panel: PanelSize) -> None:
    """Squares counted along the top and up the left side: people count squares, not lengths."""
    each = panel.pitch_mm * mm.scale
    for number in range(0, panel.squares, 1 if each >= NUMBER_ROOM else 2):
        middle = (number + 0.5) * each
        pen.text((middle, -6), f"{number + 1}", Letter.NOTE)
        pen.text((-6, PANEL_WIDTH - middle + 4), f"{number + 1}", Letter.NOTE, Anchor.END)
