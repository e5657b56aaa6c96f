"""Blanks and sheets at 1:1 as DXF, for anyone with a cutter: one layer a kind of line, millimetres.

DXF counts y upward, so the top edge of a blank or a sheet lies at its height.
"""

from collections.abc import Callable, Iterable
from typing import Any

from builds.cutting.cuts import NotSeparable, cut_sequence
from builds.cutting.values import CutSheet, PiecePlacement
from builds.drawing.blanks import flute_way
from builds.making.blank import Blank, Line
from habitats.wording import message

# Colours are DXF index numbers: 7 black or white, 1 red, 5 blue, 3 green, 8 grey.
LAYERS = {"CUT": 7, "SLIT": 1, "SCORE": 5, "HOLES": 3, "TEXT": 8}
# Of a sheet, besides: its own edge, what is left over, and the straight cuts by their numbers.
SHEET_LAYERS = LAYERS | {"SHEET": 8, "OFFCUT": 8, "KNIFE": 2}
TEXT_HEIGHT_MM = 12

Place = Callable[[int, int], tuple[int, int]]


def blank_dxf(blank: Blank) -> bytes:
    """The file's bytes."""
    document = _new_document(LAYERS)
    space = document.modelspace()
    _add_blank(space, blank, lambda x, y: (x, blank.height_mm - y))
    way = flute_way(blank)
    words = message("%(name)s, flutes %(way)s", name=blank.name, way=way) if way else blank.name
    _add_text(space, words, (0, -2 * TEXT_HEIGHT_MM))
    return _written(document)


def sheet_dxf(
    sheet: CutSheet,
    blank_of: Callable[[PiecePlacement], tuple[Blank, bool]],
    name_of: Callable[[str], str],
    *,
    kerf: int = 0,
    trim: int = 0,
) -> bytes:
    """A whole sheet: pieces with their slits and scores where they lie, named and numbered.

    ``blank_of`` gives a placement's blank and whether it lies turned by a quarter, clockwise.
    Straight cuts are on a layer of their own, for a knife; a cutter follows CUT.
    """
    document = _new_document(SHEET_LAYERS)
    space = document.modelspace()
    height = sheet.stock.height
    _add_box(space, "SHEET", (0, 0, sheet.stock.width, height), height)
    for offcut in sheet.offcuts:
        _add_box(space, "OFFCUT", (offcut.x, offcut.y, offcut.width, offcut.height), height)
    for placement in sheet.placements:
        blank, turned = blank_of(placement)
        _add_blank(space, blank, _where(placement, blank, turned, height))
        corner = (placement.x + TEXT_HEIGHT_MM, height - placement.y - 2 * TEXT_HEIGHT_MM)
        _add_text(space, name_of(placement.piece), corner)
    _add_knife_cuts(space, sheet, kerf, trim)
    _add_text(space, message("Flutes from top to bottom"), (0, -2 * TEXT_HEIGHT_MM))
    return _written(document)


def _where(placement: PiecePlacement, blank: Blank, turned: bool, height: int) -> Place:
    """From the blank's own coordinates to the sheet's, y up."""
    left, top = placement.x, placement.y
    if turned:
        return lambda x, y: (left + blank.height_mm - y, height - (top + x))
    return lambda x, y: (left + x, height - (top + y))


def _add_knife_cuts(space: Any, sheet: CutSheet, kerf: int, trim: int) -> None:
    try:
        cuts = cut_sequence(sheet, kerf=kerf, trim=trim)
    except NotSeparable:
        return
    height = sheet.stock.height
    for cut in cuts:
        start, end = (cut.x1, height - cut.y1), (cut.x2, height - cut.y2)
        space.add_line(start, end, dxfattribs={"layer": "KNIFE"})
        _add_text(space, str(cut.number), start, "KNIFE")


def _add_blank(space: Any, blank: Blank, place: Place) -> None:
    space.add_lwpolyline(
        [place(x, y) for x, y in blank.outline], close=True, dxfattribs={"layer": "CUT"}
    )
    layered: list[tuple[str, Iterable[Line]]] = [("SLIT", blank.slits), ("SCORE", blank.scores)]
    for layer, lines in layered:
        for line in lines:
            start, end = place(line.x1, line.y1), place(line.x2, line.y2)
            space.add_line(start, end, dxfattribs={"layer": layer})
    for hole in blank.holes:
        space.add_circle(place(hole.x, hole.y), hole.diameter / 2, dxfattribs={"layer": "HOLES"})


def _add_box(space: Any, layer: str, box: tuple[int, int, int, int], height: int) -> None:
    x, y, wide, high = box
    corners = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
    space.add_lwpolyline(
        [(left, height - down) for left, down in corners], close=True, dxfattribs={"layer": layer}
    )


def _add_text(space: Any, words: str, at: tuple[int, int], layer: str = "TEXT") -> None:
    text = space.add_text(str(words), height=TEXT_HEIGHT_MM, dxfattribs={"layer": layer})
    text.set_placement(at)


def _new_document(layers: dict[str, int]) -> Any:
    import ezdxf
    from ezdxf import units

    # No time of writing and no chance ids in the file: the same drawing gives the same bytes.
    ezdxf.options.write_fixed_meta_data_for_testing = True  # type: ignore[attr-defined]
    document = ezdxf.new("R2010", units=units.MM)  # type: ignore[attr-defined]
    for name, colour in layers.items():
        document.layers.add(name, color=colour)
    return document


def _written(document: Any) -> bytes:
    import io

    text = io.StringIO()
    document.write(text)
    written: str = text.getvalue()
    return written.encode(document.output_encoding)
