"""A picture as SVG text that works inside a page, on paper and as a file of its own.

- Inside a page under a strict content policy: no ``style`` attribute and no style sheet.
  Presentation attributes carry the fallback; classes ``s-…`` (stroke) and ``f-…`` (fill) let
  ``static/css/drawing.css`` put the page's theme in their place.
- On paper: page styles do not reach it there, so the fallback is complete, font included.
- No ids, so that any number of pictures stand in one page.

Every number becomes text here, with a decimal point.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cache, lru_cache
from itertools import groupby, pairwise
from typing import NamedTuple
from xml.sax.saxutils import escape, quoteattr

from habitats.drawing.hatch import hatch_lines
from habitats.drawing.pen import Anchor, BoundsPen, Draw, Point, RecordingPen, Ring
from habitats.drawing.styles import Hatch, Letter, Look, Style

FONTS = "'Routed Gothic', 'Liberation Sans', Arial, sans-serif"
MARGIN = 6.0


class Drawn(NamedTuple):
    """A picture's marks and view box, before it is named: left, top, width, height."""

    markup: str
    box: tuple[float, float, float, float]


def finished(draw: Draw, title: str, description: str, *, kind: str) -> str:
    """The whole SVG element: view box measured, title and description in plain words.

    ``kind`` becomes a class, so that a page can size pictures by what they are.
    """
    return named(drawn(draw), title, description, kind=kind)


def drawn(draw: Draw) -> Drawn:
    """What is drawn, and the box around it with its margin; of nothing, a box of one unit."""
    recording, bounds, pen = RecordingPen(), BoundsPen(), SvgPen()
    draw(recording)
    recording.replay(bounds)
    recording.replay(pen)
    left, top, right, bottom = bounds.box or (0.0, 0.0, 1.0, 1.0)
    box = (left - MARGIN, top - MARGIN, right - left + 2 * MARGIN, bottom - top + 2 * MARGIN)
    return Drawn(pen.markup(), box)


def named(picture: Drawn, title: str, description: str, *, kind: str) -> str:
    """The SVG element of what was drawn; pictures that look alike may have names of their own."""
    title, description = str(title), str(description)  # as their reader is told
    box = picture.box
    size = f'width="{number(box[2])}" height="{number(box[3])}"'
    view = " ".join(number(one) for one in box)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing drawing-{kind}" role="img" '
        f'aria-label={quoteattr(title)} viewBox="{view}" {size} font-family="{FONTS}" '
        'fill="none" fill-rule="evenodd" stroke-linejoin="round" stroke-linecap="round">'
        f"<title>{escape(title)}</title><desc>{escape(description)}</desc>"
        f"{picture.markup}</svg>"
    )


_FIGURE = re.compile(r">[^<]*\d[^<]*</text>")
_SIZE = re.compile(r' width="([\d.]+)" height="([\d.]+)"')


def has_figures(picture: str) -> bool:
    """Whether any number is written in a finished picture."""
    return _FIGURE.search(picture) is not None


def size_of(picture: str) -> tuple[float, float]:
    """How wide and how high a finished picture is, in its units."""
    found = _SIZE.search(picture)
    return (float(found[1]), float(found[2])) if found else (1.0, 1.0)


def number(value: float, places: int = 1) -> str:
    """A coordinate as text: decimal point, no trailing zeros, no minus zero."""
    text = f"{value:.{places}f}"
    if places:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class SvgPen:
    """Writes marks; neighbours of one look share a path, which keeps files small."""

    def __init__(self) -> None:
        self._parts: list[tuple[str, str]] = []  # attributes of a path and its data, or markup

    def markup(self) -> str:
        written = []
        for attributes, group in groupby(self._parts, key=lambda part: part[0]):
            data = "".join(data for _attributes, data in group)
            written.append(f'<path {attributes} d="{data}"/>' if attributes else data)
        return "".join(written)

    def line(self, points: Sequence[Point], style: Style) -> None:
        self._parts.append((_attributes(style.look), path_data(points)))

    def area(self, rings: Sequence[Ring], style: Style) -> None:
        look = style.look
        data = "".join(path_data(ring) + "z" for ring in rings)
        if not look.hatch:
            self._parts.append((_attributes(look), data))
            return
        if look.fill:
            self._parts.append((_attributes(replace(look, ink=None, dash=())), data))
        self._hatch(rings, look.hatch)
        if look.ink:
            self._parts.append((_attributes(replace(look, fill=None, veil=1.0)), data))

    def circle(self, centre: Point, radius: float, style: Style) -> None:
        # As a path, so that discs in a row share one, as lines and areas do.
        (x, y), r, across = centre, number(radius, 2), number(2 * radius, 2)
        data = (
            f"M{number(x - radius)} {number(y)}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0-{across} 0z"
        )
        self._parts.append((_attributes(style.look), data))

    def text(
        self,
        at: Point,
        words: str,
        letter: Letter = Letter.LABEL,
        anchor: Anchor = Anchor.MIDDLE,
        turn: float = 0,
    ) -> None:
        x, y = number(at[0]), number(at[1])
        turned = f' transform="rotate({number(turn)} {x} {y})"' if turn else ""
        bold = ' font-weight="bold"' if letter.bold else ""
        element = (
            f'<text class="f-{letter.ink.token}" fill="{letter.ink.fallback}" x="{x}" y="{y}" '
            f'font-size="{number(letter.size)}"{bold} text-anchor="{anchor.value}"{turned}>'
            f"{escape(str(words))}</text>"
        )
        self._parts.append(("", element))

    def _hatch(self, rings: Sequence[Ring], hatch: Hatch) -> None:
        attributes = _attributes(Look(hatch.weight, hatch.ink))
        lines = (
            line for angle in hatch.angles for line in hatch_lines(rings, angle, hatch.spacing)
        )
        self._parts.append((attributes, "".join(path_data(line) for line in lines)))


def path_data(points: Iterable[Point], places: int = 1) -> str:
    """Points as path data, relative after the first: shorter, and rounding does not add up."""
    whole = 10**places
    rounded = [(round(x * whole), round(y * whole)) for x, y in points]
    pairs = [rounded[0]] + [
        (x - before_x, y - before_y) for (before_x, before_y), (x, y) in pairwise(rounded)
    ]
    texts = [f"{_part_of(x, places)} {_part_of(y, places)}".replace(" -", "-") for x, y in pairs]
    return f"M{texts[0]}" + "".join(f"l{text}" for text in texts[1:])


@lru_cache(maxsize=1 << 14)  # the same few thousand again and again
def _part_of(count: int, places: int) -> str:
    return number(count / 10**places, places)


@cache
def _attributes(look: Look) -> str:
    """Classes for the page's theme, and the same as presentation attributes."""
    classes, paints = [], []
    if look.ink and look.weight:
        classes.append(f"s-{look.ink.token}")
        paints.append(f'stroke="{look.ink.fallback}" stroke-width="{number(look.weight, 2)}"')
    if look.dash:
        paints.append(f'stroke-dasharray="{" ".join(number(one) for one in look.dash)}"')
    if look.fill:
        classes.append(f"f-{look.fill.token}")
        paints.append(f'fill="{look.fill.fallback}"')
    if look.veil < 1:
        paints.append(f'fill-opacity="{number(look.veil, 2)}"')
    return f'class="{" ".join(classes)}" {" ".join(paints)}'
