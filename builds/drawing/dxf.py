"""Blanks and sheets at 1:1 as DXF, for anyone with a cutter: one layer a kind of line, millimetres.

DXF counts y upward, so the top edge of a blank or a sheet lies at its height. A file is drawn
with one side of the plastic up; with the outside up it is mirrored, words apart.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from builds.cutting.cuts import NotSeparable, cut_sequence
from builds.cutting.values import CutSheet, PiecePlacement
from builds.drawing.cutter_layers import (
    LETTERS_MM,
    OF_A_BLANK,
    UP_SENTENCES,
    UP_WORDS,
    Layer,
    knife_lines,
    layers_used,
    mark_spot,
    title_of,
)
from builds.making.blank import Blank
from builds.making.lying import SideUp, lying
from builds.making.part_names import numbered_part
from habitats.wording import joined, message

# Of a sheet, besides: its own edge, what is left over, and the straight cuts by their numbers.
OF_A_SHEET = (*OF_A_BLANK, Layer.SHEET, Layer.OFFCUT, Layer.KNIFE)
ROW_MM = 14

Place = Callable[[int, int], tuple[int, int]]


def blank_dxf(blank: Blank, number: int, up: SideUp = SideUp.INSIDE) -> bytes:
    """The file's bytes, drawn with this side up; ``number`` is that of the blank in its packet."""
    document = _new_document(OF_A_BLANK)
    paper = _Paper(document.modelspace(), blank.width_mm, blank.height_mm, up)
    seen = lying(blank, up)
    paper.add_blank(blank, paper.at)
    x, y = mark_spot(seen)
    words = joined(", ", [numbered_part(number, blank.code), UP_WORDS[up]])
    paper.write(words, (x, blank.height_mm - y - LETTERS_MM), Layer.MARKS)
    paper.add_legend([title_of(blank, number)], layers_used(seen))
    return _written(document)


def sheet_dxf(
    sheet: CutSheet,
    blank_of: Callable[[PiecePlacement], tuple[Blank, bool]],
    name_of: Callable[[str], str],
    *,
    kerf: int = 0,
    trim: int = 0,
    up: SideUp = SideUp.INSIDE,
) -> bytes:
    """A whole sheet: pieces with their slits and scores where they lie, named and numbered.

    ``blank_of`` gives a placement's blank and whether it lies turned by a quarter, clockwise.
    Straight cuts are on a layer of their own, for a knife; a cutter follows CUT. With the outside
    up the whole sheet is mirrored, so that every piece is what it is with the inside up.
    """
    document = _new_document(OF_A_SHEET)
    paper = _Paper(document.modelspace(), sheet.stock.width, sheet.stock.height, up)
    used = {Layer.SHEET}
    paper.add_box(Layer.SHEET, (0, 0, sheet.stock.width, sheet.stock.height))
    for offcut in sheet.offcuts:
        paper.add_box(Layer.OFFCUT, (offcut.x, offcut.y, offcut.width, offcut.height))
        used.add(Layer.OFFCUT)
    for placement in sheet.placements:
        blank, turned = blank_of(placement)
        paper.add_blank(blank, _where(paper, placement, blank, turned))
        corner = paper.corner(placement.x, placement.y, placement.width)
        paper.write(name_of(placement.piece), (corner[0] + ROW_MM, corner[1] - 2 * ROW_MM))
        used.update(layers_used(lying(blank, up)))
    if _add_knife_cuts(paper, sheet, kerf, trim):
        used.add(Layer.KNIFE)
    paper.add_legend([message("Flutes from top to bottom")], [one for one in Layer if one in used])
    return _written(document)


def _where(paper: "_Paper", placement: PiecePlacement, blank: Blank, turned: bool) -> Place:
    """From the blank's own coordinates to the file's."""
    left, top = placement.x, placement.y
    if turned:
        return lambda x, y: paper.at(left + blank.height_mm - y, top + x)
    return lambda x, y: paper.at(left + x, top + y)


def _add_knife_cuts(paper: "_Paper", sheet: CutSheet, kerf: int, trim: int) -> bool:
    """Whether straight cuts take the sheet apart; they are drawn if so."""
    try:
        cuts = cut_sequence(sheet, kerf=kerf, trim=trim)
    except NotSeparable:
        return False
    for cut in cuts:
        start, end = paper.at(cut.x1, cut.y1), paper.at(cut.x2, cut.y2)
        paper.add_line(Layer.KNIFE, start, end)
        paper.write(str(cut.number), start, Layer.KNIFE)
    return bool(cuts)


@dataclass(frozen=True, slots=True)
class _Paper:
    """What is drawn on: from millimetres right and down, inside up, to those of the file."""

    space: Any
    width: int
    height: int
    up: SideUp

    def at(self, x: int, y: int) -> tuple[int, int]:
        return (x if self.up is SideUp.INSIDE else self.width - x), self.height - y

    def corner(self, x: int, y: int, width: int) -> tuple[int, int]:
        """The top left corner, as it is seen in the file, of a box that begins at x and y."""
        return self.at(x if self.up is SideUp.INSIDE else x + width, y)

    def add_line(self, layer: Layer, start: tuple[int, int], end: tuple[int, int]) -> None:
        self.space.add_line(start, end, dxfattribs={"layer": layer.label})

    def add_ring(self, layer: Layer, points: Sequence[tuple[int, int]]) -> None:
        self.space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer.label})

    def add_box(self, layer: Layer, box: tuple[int, int, int, int]) -> None:
        x, y, wide, high = box
        corners = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
        self.add_ring(layer, [self.at(*corner) for corner in corners])

    def add_blank(self, blank: Blank, place: Place) -> None:
        """Its lines, told inside up and placed; scores on the layers of the side that is up."""
        self.add_ring(Layer.CUT, [place(x, y) for x, y in blank.outline])
        told = lying(blank, SideUp.INSIDE)
        by_layer = knife_lines(told, turned_over=self.up is SideUp.OUTSIDE)
        for layer, lines in (*by_layer, (Layer.MARKS, told.marks)):
            for line in lines:
                self.add_line(layer, place(line.x1, line.y1), place(line.x2, line.y2))
        for hole in told.holes:
            attributes = {"layer": Layer.HOLES.label}
            self.space.add_circle(place(hole.x, hole.y), hole.diameter / 2, dxfattribs=attributes)

    def add_legend(self, said: Iterable[str], layers: Iterable[Layer]) -> None:
        """Words below the drawing."""
        rows = (*said, UP_SENTENCES[self.up], *(layer.words for layer in layers))
        for number, words in enumerate(rows, start=2):
            self.write(words, (0, -number * ROW_MM), Layer.LEGEND)

    def write(self, words: str, at: tuple[int, int], layer: Layer = Layer.MARKS) -> None:
        attributes = {"layer": layer.label}
        text = self.space.add_text(str(words), height=LETTERS_MM, dxfattribs=attributes)
        text.set_placement(at)


def _new_document(layers: Iterable[Layer]) -> Any:
    import ezdxf
    from ezdxf import colors, units

    # No time of writing and no chance ids in the file: the same drawing gives the same bytes.
    ezdxf.options.write_fixed_meta_data_for_testing = True  # type: ignore[attr-defined]
    document = ezdxf.new("R2010", units=units.MM)  # type: ignore[attr-defined]
    for layer in layers:
        document.layers.add(layer.label, color=layer.index, true_color=colors.rgb2int(layer.rgb))
    return document


def _written(document: Any) -> bytes:
    import io

    text = io.StringIO()
    document.write(text)
    written: str = text.getvalue()
    return written.encode(document.output_encoding)
