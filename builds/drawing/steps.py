"""A step of the work: what stands in thin ink, what the step adds in strong colour.

A step at the bench shows the piece that is worked on.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from builds.drawing.blanks import draw_small_blank
from builds.drawing.corner import Scene
from builds.drawing.dimension import Lengths
from builds.drawing.folding import draw_ramp_tying, draw_strip_folding, draw_tray_folding
from builds.drawing.marks import Sample, lozenge
from builds.drawing.panels import draw_bent_panel, draw_doorway_panel, draw_measured_panel
from builds.drawing.signs import FURNITURE
from builds.drawing.space import Corner
from builds.drawing.step_scene import step_scene, told
from builds.drawing.viewpoint import View, views_of
from builds.making.blank import BlankSet
from builds.making.furnishing import piece_words
from builds.making.step import Parts, Step, Subject, Task, Work
from builds.making.ties import TieGroup, TieSpot, ties_needed
from habitats.drawing.pen import Draw
from habitats.drawing.styles import Style
from habitats.drawing.svg import finished
from habitats.structure.design import PanelSize
from habitats.structure.furniture import FurniturePlace, places_of
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure
from habitats.wording import message


class SeenStep(NamedTuple):
    """A step on the enclosure: what is drawn of it, and how it is seen."""

    scene: Scene
    view: View


# The steps on the enclosure, by their numbers from 0.
Views = Mapping[int, SeenStep]


def step_picture(
    structure: Structure,
    blanks: BlankSet,
    steps: Sequence[Step],
    index: int,
    *,
    lengths: Lengths,
    views: Views | None = None,
) -> str:
    """The picture of ``steps[index]``; raises ``IndexError`` if there is no such step.

    ``views`` are those of all its steps (``step_views``), for callers that draw many.
    """
    step = steps[index]
    title = step_title(step, index)
    if step.bench:
        return bench_picture(structure, blanks, step.subject, title, lengths=lengths)
    seen = (step_views(structure, steps) if views is None else views)[index]
    draw, description = _growing(structure, step, seen)
    return finished(draw, title, description, kind="step")


def step_views(structure: Structure, steps: Sequence[Step]) -> Views:
    """How each step on the enclosure is seen, chosen for all of them together."""
    ties = ties_needed(structure)
    return views_in_row(
        {
            index: _scene(structure, steps, index, ties)
            for index, step in enumerate(steps)
            if not step.bench
        }
    )


def views_in_row(scenes: Mapping[int, Scene]) -> Views:
    views = views_of([scene.sight for scene in scenes.values()])
    return {
        index: SeenStep(scene.seen_from(view.corner), view)
        for (index, scene), view in zip(scenes.items(), views, strict=True)
    }


def step_title(step: Step, index: int) -> str:
    return message("Step %(number)d: %(title)s", number=index + 1, title=step.title)


def bench_picture(
    structure: Structure,
    blanks: BlankSet,
    subject: Subject | None,
    title: str,
    *,
    lengths: Lengths,
) -> str:
    """The picture of work on one part; of a measured panel where it is on none."""
    draw, description = _bench(structure, blanks, subject, lengths)
    return finished(draw, title, description, kind="step")


def parts_of(steps: Sequence[Step]) -> Parts:
    """All that some steps put in place."""
    parts = Parts()
    for step in steps:
        parts |= step.puts
    return parts


def _scene(
    structure: Structure, steps: Sequence[Step], index: int, ties: Sequence[TieGroup]
) -> Scene:
    new = parts_of(steps[index : index + 1])
    stand = parts_of(steps[: index + 1])
    pulled = ties_pulled(ties, stand, new)
    places = furniture_in(structure, steps[index])
    return Scene(structure, stand, new, Corner.SE, pulled, is_step=True, furniture=places)


def _growing(structure: Structure, step: Step, seen: SeenStep) -> tuple[Draw, str]:
    scene = seen.scene
    marks: list[tuple[Sample, str]] = [(Style.TIE, message("tie here"))] if scene.ties else []
    marks += set_up_marks(structure, step)
    return step_scene(scene, seen.view, marks=marks), told(scene)


def furniture_in(structure: Structure, step: Step) -> tuple[FurniturePlace, ...]:
    """What stands in it once a step has set it up."""
    return places_of(structure) if step.task == Task.FURNISH else ()


def set_up_marks(structure: Structure, step: Step) -> list[tuple[Sample, str]]:
    """The signs of wall anchors and of what stands on the floor, each with its words."""
    pieces = {one.piece for one in furniture_in(structure, step)}
    return [
        *([(lozenge, message("wall anchor"))] if step.anchors else []),
        *((FURNITURE[one], piece_words(one)) for one in FURNITURE if one in pieces),
    ]


def ties_pulled(groups: Iterable[TieGroup], stand: Parts, new: Parts) -> list[TieSpot]:
    """Places tied in a step: all panels of the spot stand, and one of them is new."""
    return [
        spot
        for group in groups
        for spot in group.spots
        if spot.places
        and stand.places.issuperset(spot.places)
        and not new.places.isdisjoint(spot.places)
    ]


def _bench(
    structure: Structure,
    blanks: BlankSet,
    subject: Subject | None,
    lengths: Lengths,
) -> tuple[Draw, str]:
    """What is drawn for work on one part, and the same in words."""
    panel = structure.design.panel
    if subject is None:
        return _measuring(panel, lengths)
    number = subject.index
    if subject.work is Work.CUT_BLANK:
        blank = blanks.blanks[number]
        return lambda pen: draw_small_blank(pen, blank, lengths), message(
            "The blank of %(name)s, to scale.", name=blank.name
        )
    if subject.work is Work.FOLD_TRAY:
        tray = structure.trays[number]
        joins = [join for join in blanks.joins if join.level == number]
        return (
            lambda pen: draw_tray_folding(pen, tray, joins),
            message("The tray on the bench, its walls half folded up."),
        )
    return _of_a_ramp(structure.ramps[number], panel, lengths)[subject.work]


def _measuring(panel: PanelSize, lengths: Lengths) -> tuple[Draw, str]:
    return (
        lambda pen: draw_measured_panel(pen, panel, lengths),
        message(
            "A panel with a connector at each corner; %(size)s from the middle of one "
            "connector to the middle of the next.",
            size=lengths(panel.size_mm),
        ),
    )


def _of_a_ramp(ramp: Ramp, panel: PanelSize, lengths: Lengths) -> dict[Work, tuple[Draw, str]]:
    return {
        Work.CUT_DOORWAY: (
            lambda pen: draw_doorway_panel(pen, ramp, panel, lengths),
            message("The doorway panel with the squares to cut out."),
        ),
        Work.FILE_DOORWAY: (
            lambda pen: draw_doorway_panel(pen, ramp, panel, lengths, filing=True),
            message("The doorway panel with its opening; every cut end round it is to be filed."),
        ),
        Work.BEND_RAMP: (
            lambda pen: draw_bent_panel(pen, ramp, panel, lengths),
            message("A ramp panel with the two wires to bend along."),
        ),
        Work.TIE_RAMP: (
            lambda pen: draw_ramp_tying(pen, ramp, panel),
            message("The bent panels in a row, each over the next, with the ties at each overlap."),
        ),
        Work.FOLD_STRIP: (
            lambda pen: draw_strip_folding(pen, ramp),
            message("The ramp's strip, its long edges half folded up."),
        ),
    }
