"""A blank at 1:1 in millimetres as SVG, for a cutter: one named group a layer, then the legend.

The picture begins at the piece's own corner, and the legend stands below it.
"""

from collections.abc import Iterable
from xml.sax.saxutils import escape

from builds.drawing.blanks import flute_way
from builds.drawing.cutter_layers import (
    LETTERS_MM,
    UP_SENTENCES,
    UP_WORDS,
    Layer,
    knife_lines,
    layers_used,
    mark_spot,
    title_of,
)
from builds.making.blank import Blank, Hole, Line
from builds.making.lying import LyingBlank, SideUp, lying
from builds.making.part_names import numbered_part
from habitats.drawing.svg import number, path_data
from habitats.wording import message

ROW_MM = 12
WIDTH_OF_A_LETTER_MM = 5  # at most, for the usual plain faces


def blank_svg_mm(blank: Blank, number_in_packet: int, up: SideUp = SideUp.INSIDE) -> str:
    """The file's text, drawn with this side up."""
    seen = lying(blank, up)
    rows = _legend_rows(seen, number_in_packet)
    width = max(blank.width_mm, *(len(words) * WIDTH_OF_A_LETTER_MM for words in rows))
    height = blank.height_mm + (len(rows) + 1) * ROW_MM
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" fill="none" stroke-width="0.1">'
        f"<title>{escape(str(title_of(blank, number_in_packet)))}</title>"
        f"<desc>{escape(_description(seen))}</desc>"
        f"{_groups(seen)}{_marks(seen, number_in_packet)}{_legend(seen, rows)}</svg>\n"
    )


def _description(seen: LyingBlank) -> str:
    way = flute_way(seen.blank)
    flutes = [str(message("Flutes run %(way)s.", way=way))] if way else []
    return " ".join([*flutes, str(UP_SENTENCES[seen.up])])


def _groups(seen: LyingBlank) -> str:
    layered = (
        (Layer.CUT, path_data(seen.outline, 2) + "z"),
        *((layer, _lines_data(lines)) for layer, lines in knife_lines(seen)),
        (Layer.HOLES, "".join(_circle_data(hole) for hole in seen.holes)),
    )
    return "".join(
        f'<g id="{layer.label}" stroke="{layer.hex}"><title>{escape(str(layer.words))}</title>'
        f'<path d="{data}"/></g>'
        for layer, data in layered
        if data
    )


def _marks(seen: LyingBlank, number_in_packet: int) -> str:
    """The piece's name and the side that is up, inside the piece, and where the next one ends."""
    words = f"{numbered_part(number_in_packet, seen.blank.code)}, {UP_WORDS[seen.up]}"
    x, y = mark_spot(seen)
    layer, data = Layer.MARKS, _lines_data(seen.marks)
    lines = f'<path stroke="{layer.hex}" d="{data}"/>' if data else ""
    return _text_group(layer, lines + _text((x, y + LETTERS_MM), words, layer.hex))


def _legend_rows(seen: LyingBlank, number_in_packet: int) -> list[str]:
    """From top to bottom."""
    said = [title_of(seen.blank, number_in_packet), UP_SENTENCES[seen.up]]
    return [str(words) for words in (*said, *(layer.words for layer in layers_used(seen)))]


def _legend(seen: LyingBlank, rows: Iterable[str]) -> str:
    top, colour = seen.blank.height_mm + ROW_MM, Layer.LEGEND.hex
    texts = [_text((0, top + at * ROW_MM), words, colour) for at, words in enumerate(rows)]
    return _text_group(Layer.LEGEND, "".join(texts))


def _text_group(layer: Layer, texts: str) -> str:
    return (
        f'<g id="{layer.label}" stroke="none" font-family="sans-serif" font-size="{LETTERS_MM}">'
        f"<title>{escape(str(layer.words))}</title>{texts}</g>"
    )


def _text(at: tuple[int, int], words: str, colour: str) -> str:
    return f'<text x="{at[0]}" y="{at[1]}" fill="{colour}">{escape(words)}</text>'


def _lines_data(lines: Iterable[Line]) -> str:
    return "".join(f"M{one.x1} {one.y1}L{one.x2} {one.y2}" for one in lines)


def _circle_data(hole: Hole) -> str:
    across, r = hole.diameter, number(hole.diameter / 2, 2)
    left = number(hole.x - across / 2, 2)
    return f"M{left} {hole.y}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0 -{across} 0z"
