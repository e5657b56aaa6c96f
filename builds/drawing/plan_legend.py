"""What the signs of a plan mean: those that are on it, each drawn as it is there."""

from collections.abc import Iterator
from typing import NamedTuple

from builds.drawing.kinds import KINDS
from builds.drawing.marks import Outline, lozenge
from builds.drawing.signs import (
    ANCHOR_RADIUS,
    BAR_OFF,
    DOUBLE_OFF,
    FURNITURE,
    FURNITURE_RADIUS,
    LAYER_SHARES,
    LAYER_STROKE,
    STROKE,
    STROKE_INSET,
    Sign,
    bar_outside,
    crossed_line,
    double_line,
    heavy_line,
    swung_open,
)
from builds.making.anchoring import anchors_of
from builds.making.furnishing import piece_words
from builds.making.pup_set import pups_of
from habitats.drawing.pen import Draw, Pen
from habitats.drawing.samples import SAMPLE, draw_sample
from habitats.drawing.styles import Style
from habitats.drawing.svg import finished
from habitats.structure.furniture import places_of
from habitats.structure.kinds import KINDS as STRUCTURE_KINDS
from habitats.structure.structure import Structure
from habitats.wording import message


class PlanSign(NamedTuple):
    """A sign as a small picture, and its words."""

    picture: str
    words: str


def plan_legend(structure: Structure, level: int) -> tuple[PlanSign, ...]:
    """In the order of what is looked for: walls, what stands on them, ramps, floors, joints."""
    return tuple(
        PlanSign(finished(draw, words, message("A sample of the line."), kind="sample"), words)
        for draw, words in _signs(structure, level)
    )


def _signs(structure: Structure, level: int) -> Iterator[tuple[Draw, str]]:
    design = structure.design
    cells, z = design.levels[level].cells, design.levels[level].z
    for role, kind in KINDS.items():
        is_here = any(one.role == role and one.level == level for one in structure.panels)
        if is_here and (sign := kind.on_wall or kind.on_floor) in SAMPLES:
            yield SAMPLES[sign], STRUCTURE_KINDS[role].words
    if level in anchors_of(structure).values():
        yield _anchor, message("wall anchor")
    if level == 0 and pups_of(structure):
        yield _doubled, message("wall with a pup panel")
    stand = {one.piece for one in places_of(structure)} if level == 0 else set()
    for piece, outline in FURNITURE.items():
        if piece in stand:
            yield _furniture(outline), piece_words(piece)
    if structure.trays[level].doorways:
        yield _doorway, message("doorway")
    if any(ramp.landing == level for ramp in structure.ramps):
        yield _ramp, message("ramp, down along the arrow")
    if any(one.z > z and one.cells & cells for one in design.levels):
        yield _styled(Style.UNDER), message("floor under an upper level")
    if len(cells) > 1:
        yield _styled(Style.HIDDEN), message("between two cells")
    yield _joint, message("joint, with a connector")


def _styled(style: Style) -> Draw:
    return lambda pen: draw_sample(pen, (0, 0), style)


def _double(pen: Pen) -> None:
    for off in (-DOUBLE_OFF, DOUBLE_OFF):
        pen.line([(0, off), (SAMPLE, off)], Style.INK)


def _crossed(pen: Pen) -> None:
    pen.line([(0, 0), (SAMPLE, 0)], Style.INK)
    for share in (STROKE_INSET, 0.5, 1 - STROKE_INSET):
        pen.line([(share * SAMPLE, -STROKE), (share * SAMPLE, STROKE)], Style.INK)


def _swung(pen: Pen) -> None:
    for left in (0.0, SAMPLE * 0.75):
        pen.line([(left, 5), (left + SAMPLE * 0.25, 5)], Style.HEAVY)
    pen.line([(SAMPLE * 0.25, 5), (SAMPLE * 0.6, -5)], Style.HEAVY)


def _bar(pen: Pen) -> None:
    """Outside a wall."""
    pen.line([(0, 0), (SAMPLE, 0)], Style.HEAVY)
    pen.line([(SAMPLE * 0.1, BAR_OFF), (SAMPLE * 0.9, BAR_OFF)], Style.GUARD)


def _doorway(pen: Pen) -> None:
    for left in (0.0, SAMPLE * 0.7):
        pen.line([(left, 0), (left + SAMPLE * 0.3, 0)], Style.HEAVY)
    for jamb in (SAMPLE * 0.3, SAMPLE * 0.7):
        pen.line([(jamb, -5), (jamb, 5)], Style.INK)


def _ramp(pen: Pen) -> None:
    draw_sample(pen, (0, 0), Style.PIECE)
    pen.line([(5, 0), (SAMPLE - 5, 0)], Style.INK)
    pen.line([(10, -4), (5, 0), (10, 4)], Style.INK)


def _anchor(pen: Pen) -> None:
    pen.line([(0, 0), (SAMPLE, 0)], Style.HEAVY)
    pen.area([lozenge((SAMPLE / 2, 0), ANCHOR_RADIUS)], Style.SOLID)


def _doubled(pen: Pen) -> None:
    pen.line([(0, 0), (SAMPLE, 0)], Style.HEAVY)
    for share in LAYER_SHARES:
        pen.line([(share * SAMPLE, -LAYER_STROKE), (share * SAMPLE, LAYER_STROKE)], Style.THIN)


def _furniture(outline: Outline) -> Draw:
    return lambda pen: pen.area([outline((SAMPLE / 2, 0), FURNITURE_RADIUS)], Style.SHEET_PIECE)


def _joint(pen: Pen) -> None:
    pen.line([(0, 0), (SAMPLE, 0)], Style.HEAVY)
    pen.circle((SAMPLE / 2, 0), 3.2, Style.JOINT)


# How each sign of ``signs.py`` looks, short and lying.
SAMPLES: dict[Sign, Draw] = {
    heavy_line: _styled(Style.HEAVY),
    double_line: _double,
    bar_outside: _bar,
    crossed_line: _crossed,
    swung_open: _swung,
}
