"""The enclosure in a step: what is seen, letters at its connectors, and what is told below it."""

from collections.abc import Sequence

from builds.drawing.captions import captions
from builds.drawing.corner import Scene
from builds.drawing.legend import legend, mark_legend, mark_room
from builds.drawing.marks import Sample
from builds.drawing.room import WORDS_WIDTH
from builds.drawing.seats import draw_details, draw_letters
from builds.drawing.viewpoint import View
from builds.making.seats import seats_told
from habitats.drawing.pen import BoundsPen, Draw, Pen, Point, RecordingPen
from habitats.drawing.styles import Style
from habitats.wording import joined

Entries = Sequence[tuple[Style, str]]
Marks = Sequence[tuple[Sample, str]]
DETAILS_DOWN = 8.0  # from a line of words to the middle of the details
DETAILS_APART = 6.0  # from the last of them to what follows on the line
DETAILS_HIGH = 28.0  # from there to the middle of the next line


def step_scene(scene: Scene, view: View, *, kinds: Entries = (), marks: Marks = ()) -> Draw:
    """``kinds`` of panels and ``marks`` beside connectors that are in its legend."""
    stances = frozenset(scene.seats.values())
    seen = RecordingPen()
    scene.draw(seen)
    draw_letters(seen, scene)
    left, top = _below(seen)

    def draw(pen: Pen) -> None:
        seen.replay(pen)
        at = top
        at += captions(pen, (left, at), view)
        if kinds:
            at += legend(pen, (left, at), kinds, width=WORDS_WIDTH)
        after = 0.0
        if stances:
            at += DETAILS_DOWN
            after = draw_details(pen, (left, at), stances, scene.corner) + DETAILS_APART
        if marks:
            if after + max(mark_room(words) for _style, words in marks) > WORDS_WIDTH:
                after, at = 0.0, at + DETAILS_HIGH
            mark_legend(pen, (left + after, at), marks, width=WORDS_WIDTH - after)

    return draw


def told(scene: Scene) -> str:
    """The same in words."""
    return joined(" ", (scene.describe(), *seats_told(scene.seats.values())))


def _below(seen: RecordingPen) -> Point:
    """Where the words under it begin."""
    bounds = BoundsPen()
    seen.replay(bounds)
    left, _top, _right, bottom = bounds.box or (0.0, 0.0, 0.0, 0.0)
    return left + 6, bottom + 14
