"""Pictures of an alteration: what stays in thin ink, taken off dashed, turned with a ring, and
what is put on in strong colour. In black and white they are told apart by dash, ring and weight.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import reduce
from operator import or_

from builds.drawing.before import Before
from builds.drawing.corner import Scene
from builds.drawing.dimension import Lengths
from builds.drawing.marks import Sample
from builds.drawing.space import Corner
from builds.drawing.standing import all_parts
from builds.drawing.step_scene import step_scene, told
from builds.drawing.steps import (
    SeenStep,
    Views,
    bench_picture,
    furniture_in,
    set_up_marks,
    step_title,
    ties_pulled,
    views_in_row,
)
from builds.drawing.viewpoint import View
from builds.making.altering.alteration import Alteration
from builds.making.altering.animals import ANIMALS_BACK, ANIMALS_OUT
from builds.making.altering.kept import retied, what_stays_as_it_stood, what_stays_in_target
from builds.making.altering.order import Order
from builds.making.altering.turning import TURN
from builds.making.step import Parts, Step
from builds.making.ties import TieSpot
from habitats.drawing.pen import Draw
from habitats.drawing.styles import Style
from habitats.drawing.svg import finished
from habitats.structure.connectors import Stance
from habitats.structure.lattice import Joint, PanelPlace
from habitats.structure.structure import Structure
from habitats.wording import message

NOTHING = Parts()


def alteration_picture(alteration: Alteration) -> str:
    """All of it in one picture: what stays, what goes, what is turned and what comes.

    What is lifted and put back is shown as what stays.
    """
    scene, new, taken, turned = _whole(alteration, None)
    draw = step_scene(
        scene,
        View(scene.corner),
        kinds=_kinds(new, taken),
        marks=_marks(taken.joints, turned, ""),
    )
    return _finished(alteration, draw, told(scene))


def change_view(alteration: Alteration, corner: Corner | None = None) -> str:
    """The same picture alone, small or beside words; ``corner`` None: the one that shows most."""
    scene = _whole(alteration, corner)[0]
    return _finished(alteration, scene.draw, scene.describe())


def _finished(alteration: Alteration, draw: Draw, description: str) -> str:
    name = message("%(design)s: what changes", design=alteration.target.design.name)
    return finished(draw, name, description, kind="corner")


def _whole(
    alteration: Alteration, corner: Corner | None
) -> tuple[Scene, Parts, Parts, dict[Joint, Stance]]:
    """What is drawn of all of it; of that what is new, what is taken off and what is turned."""
    stays = alteration.staying
    at_all = Parts(stays.same_places, anchors=alteration.anchors_left, pups=alteration.pups_left)
    old_same = replace(
        at_all,
        trays=frozenset(stays.same_trays.values()),
        ramps=frozenset(stays.same_ramps.values()),
    )
    new_same = replace(at_all, trays=frozenset(stays.same_trays), ramps=frozenset(stays.same_ramps))
    stands, target = all_parts(alteration.stands), all_parts(alteration.target)
    joints = stands.joints & target.joints
    taken = stands - old_same - Parts(joints=joints)
    new = target - new_same - Parts(joints=joints)
    turned = {turn.joint: turn.after for turn in alteration.turns}
    old = replace(old_same, joints=joints)
    scene = Scene(
        alteration.target,
        new,
        new,
        corner,
        is_step=True,
        before=Before(alteration.stands, old, taken, turned),
    )
    return scene, new, taken, turned


def alteration_step_picture(
    alteration: Alteration,
    order: Order,
    index: int,
    *,
    lengths: Lengths,
    views: Views | None = None,
) -> str:
    """The picture of ``order.steps[index]``; raises ``IndexError`` if there is no such step.

    ``views`` are those of all its steps (``alteration_views``), for callers that draw many.
    """
    step = order.steps[index]
    title = step_title(step, index)
    if step.bench:
        return bench_picture(
            alteration.target,
            alteration.wanted.blanks,
            step.subject,
            title,
            lengths=lengths,
        )
    seen = (alteration_views(alteration, order) if views is None else views)[index]
    draw, description = _seen(alteration, step, seen)
    return finished(draw, title, description, kind="step")


def alteration_views(alteration: Alteration, order: Order) -> Views:
    """How each step on the enclosure is seen, chosen for all of them together."""
    return views_in_row(
        {
            index: _scene(alteration, order, index)
            for index, step in enumerate(order.steps)
            if not step.bench
        }
    )


def taking_views(structure: Structure, steps: Sequence[Step]) -> Views:
    return views_in_row(
        {index: _taking_scene(structure, steps, index) for index in range(len(steps))}
    )


def taking_step_picture(
    structure: Structure, steps: Sequence[Step], index: int, views: Views | None = None
) -> str:
    """The picture of ``steps[index]`` of taking a structure down.

    ``views`` are those of all its steps (``taking_views``), for callers that draw many.
    """
    step = steps[index]
    scene, view = (taking_views(structure, steps) if views is None else views)[index]
    marks = _marks(step.takes.joints, {}, "")
    draw = step_scene(scene, view, kinds=_kinds(NOTHING, step.takes), marks=marks)
    return finished(draw, step_title(step, index), scene.describe(), kind="step")


def _taking_scene(structure: Structure, steps: Sequence[Step], index: int) -> Scene:
    gone = _together(one.takes for one in steps[: index + 1])
    before = Before(structure, all_parts(structure) - gone, steps[index].takes)
    return Scene(structure, NOTHING, NOTHING, Corner.SE, is_step=True, before=before)


# --- One step ---


def _seen(alteration: Alteration, step: Step, seen: SeenStep) -> tuple[Draw, str]:
    scene, view = seen
    turned = {turn.joint: turn.after for turn in step.turns}
    marks: list[tuple[Sample, str]] = [
        *_marks(step.takes.joints, turned, _what_of_ties(step) if scene.ties else ""),
        *set_up_marks(alteration.target, step),
    ]
    kinds = _kinds(NOTHING, step.takes)
    return step_scene(scene, view, kinds=kinds, marks=marks), told(scene)


def _scene(alteration: Alteration, order: Order, index: int) -> Scene:
    step, done = order.steps[index], order.steps[: index + 1]
    gone = _together(one.takes for one in done)
    cut = _tray_cut_there(step)
    put = _together(one.puts for one in done) | cut
    ties = _ties(alteration, step, put)
    before = Before(
        alteration.stands,
        all_parts(alteration.stands) - gone - _cut_trays(alteration, cut),
        step.takes,
        {turn.joint: turn.after for turn in step.turns},
        _borrowed(order, step),
        step.id == ANIMALS_OUT,
    )
    return Scene(
        alteration.target,
        put,
        step.puts | cut,
        Corner.SE,
        ties,
        is_step=True,
        before=before,
        furniture=furniture_in(alteration.target, step),
    )


def _together(parts: Iterable[Parts]) -> Parts:
    return reduce(or_, parts, NOTHING)


def _tray_cut_there(step: Step) -> Parts:
    """The tray that a step cuts where it lies."""
    return Parts(trays=frozenset([step.subject.index])) if step.subject else NOTHING


def _cut_trays(alteration: Alteration, cut: Parts) -> Parts:
    return Parts(trays=frozenset(alteration.staying.trays[level] for level in cut.trays))


def _borrowed(order: Order, step: Step) -> frozenset[PanelPlace]:
    """Panels that stand across while the animals stay behind them."""
    if order.refuge is None:
        return frozenset()
    ids = [one.id for one in order.steps]
    across = ids.index(ANIMALS_OUT) <= ids.index(step.id) < ids.index(ANIMALS_BACK)
    return frozenset(order.refuge.borrowed) if across else frozenset()


def _ties(alteration: Alteration, step: Step, put: Parts) -> list[TieSpot]:
    """Ties to mark."""
    if step.puts.places:
        stand = put | what_stays_in_target(alteration)
        return ties_pulled(alteration.target_ties, stand, step.puts)
    if step.id == TURN:
        return [*retied(alteration)]
    if step.takes.places:
        gone = what_stays_as_it_stood(alteration) | step.takes
        return ties_pulled(alteration.old_ties, gone, step.takes)
    return []


def _what_of_ties(step: Step) -> str:
    """What to do where ties are marked."""
    if step.puts.places or step.id == TURN:
        return message("tie here")
    return message("cut the tie here")


# --- Legends ---

Entries = list[tuple[Style, str]]


def _kinds(new: Parts, taken: Parts) -> Entries:
    entries: Entries = []
    if taken:
        entries.append((Style.TAKEN_EDGE, message("comes off")))
    if new:
        entries.append((Style.NEW, message("is put on")))
    return entries


def _marks(taken: frozenset[Joint], turned: dict[Joint, Stance], ties: str) -> Entries:
    return [
        (style, words)
        for style, words, there in (
            (Style.TURNED, message("turn like this"), turned),
            (Style.TAKEN_JOINT, message("connector comes off"), taken),
            (Style.TIE, ties, ties),
        )
        if there
    ]
