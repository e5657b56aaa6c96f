"""A legend drawn from the table of styles, so that it cannot tell anything else."""

from collections.abc import Sequence

from builds.drawing.marks import Sample
from habitats.drawing.pen import Anchor, Pen, Point, width_of
from habitats.drawing.samples import SAMPLE, draw_sample
from habitats.drawing.styles import Letter, Style

LINE = 18.0
# Sentences are measured in English and may be told in a language that takes longer.
ROOM = 1.4


def legend(pen: Pen, at: Point, entries: Sequence[tuple[Style, str]], *, width: float) -> float:
    """Samples with their words, in as many lines as ``width`` needs; returns the depth used."""
    x, y = at
    for style, words in entries:
        needs = SAMPLE + 6 + ROOM * width_of(words, Letter.NOTE) + 8
        if x > at[0] and x + needs > at[0] + width:
            x, y = at[0], y + LINE
        draw_sample(pen, (x, y), style)
        pen.text((x + SAMPLE + 6, y + 4), words, Letter.NOTE, Anchor.START)
        x += needs
    return y + LINE - at[1]


def mark_room(words: str) -> float:
    """How wide a disc with its words comes out, whichever language they are told in."""
    return 10 + ROOM * width_of(words, Letter.NOTE)


def mark_legend(
    pen: Pen, at: Point, entries: Sequence[tuple[Sample, str]], *, width: float
) -> float:
    """Signs with their words, in as many lines as ``width`` needs; returns the depth used."""
    x, y = at
    for sample, words in entries:
        needs = mark_room(words)
        if x > at[0] and x + needs > at[0] + width:
            x, y = at[0], y + LINE
        if isinstance(sample, Style):
            pen.circle((x, y), 4, sample)
        else:
            pen.area([sample((x, y), 5)], Style.NEW_SOLID)
        pen.text((x + 10, y + 4), words, Letter.NOTE, Anchor.START)
        x += needs + 12
    return y + LINE - at[1]
