"""Pictures of an alteration: what stays in thin ink, taken off dashed, turned with a ring, and
what is put on in strong colour. In black and white they are told apart by dash, ring and weight.
"""

from collections.abc import Iterable, Sequence
from functools import reduce
from operator import or_

from builds.drawing.before import Before
from builds.drawing.corner import Scene
from builds.drawing.dimension import Lengths
from builds.drawing.legend import legend, mark_legend
from builds.drawing.standing import all_parts
from builds.drawing.steps import bench_picture, step_title, ties_pulled
from builds.making.altering.alteration import Alteration
from builds.making.altering.order import (
    ANIMALS_BACK,
    ANIMALS_OUT,
    TURN,
    Order,
    retied,
    what_stays_as_it_stood,
    what_stays_in_target,
)
from builds.making.step import Parts, Step
from builds.making.ties import TieSpot
from habitats.drawing.pen import BoundsPen, Draw, Pen
from habitats.drawing.styles import Style
from habitats.drawing.svg import finished
from habitats.structure.connectors import Stance
from habitats.structure.lattice import Joint, PanelPlace
from habitats.structure.structure import Structure
from habitats.wording import message

NOTHING = Parts()
LEGEND_WIDTH = 430.0


def alteration_picture(alteration: Alteration) -> str:
    """All of it in one picture: what stays, what goes, what is turned and what comes.

    What is lifted and put back is shown as what stays.
    """
    stays = alteration.staying
    same = Parts(stays.same_places)
    old_same = Parts(
        stays.same_places,
        NOTHING.joints,
        frozenset(stays.same_trays.values()),
        frozenset(stays.same_ramps.values()),
    )
    new_same = Parts(
        NOTHING.places, NOTHING.joints, frozenset(stays.same_trays), frozenset(stays.same_ramps)
    )
    stands, target = all_parts(alteration.stands), all_parts(alteration.target)
    joints = stands.joints & target.joints
    taken = stands - old_same - Parts(joints=joints)
    new = target - same - new_same - Parts(joints=joints)
    turned = {turn.joint: turn.after for turn in alteration.turns}
    old = Parts(old_same.places, joints, old_same.trays, old_same.ramps)
    scene = Scene(
        alteration.target,
        new,
        new,
        None,
        is_step=True,
        before=Before(alteration.stands, old, taken, turned),
    )
    return finished(
        _with_legend(scene, _kinds(new, taken), _marks(new.joints, taken.joints, turned, "")),
        message("%(design)s: what changes", design=alteration.target.design.name),
        scene.describe(),
        kind="corner",
    )


def alteration_step_picture(
    alteration: Alteration, order: Order, index: int, *, lengths: Lengths
) -> str:
    """The picture of ``order.steps[index]``; raises ``IndexError`` if there is no such step."""
    step = order.steps[index]
    title = step_title(step, index)
    if step.bench:
        return bench_picture(
            alteration.target, alteration.wanted.blanks, step.subject, title, lengths=lengths
        )
    draw, description = _seen(alteration, order, index)
    return finished(draw, title, description, kind="step")


def taking_step_picture(structure: Structure, steps: Sequence[Step], index: int) -> str:
    """The picture of a step of taking a structure down."""
    step = steps[index]
    gone = _together(one.takes for one in steps[: index + 1])
    before = Before(structure, all_parts(structure) - gone, step.takes)
    scene = Scene(structure, NOTHING, NOTHING, None, is_step=True, before=before)
    draw = _with_legend(
        scene, _kinds(NOTHING, step.takes), _marks(frozenset(), step.takes.joints, {}, "")
    )
    return finished(draw, step_title(step, index), scene.describe(), kind="step")


# --- One step ---


def _seen(alteration: Alteration, order: Order, index: int) -> tuple[Draw, str]:
    step, done = order.steps[index], order.steps[: index + 1]
    gone = _together(one.takes for one in done)
    cut = _tray_cut_there(step)
    put = _together(one.puts for one in done) | cut
    new = step.puts | cut
    turned = {turn.joint: turn.after for turn in step.turns}
    ties, told = _ties(alteration, step, put)
    before = Before(
        alteration.stands,
        all_parts(alteration.stands) - gone - _cut_trays(alteration, cut),
        step.takes,
        turned,
        _borrowed(order, step),
        step.id == ANIMALS_OUT,
    )
    scene = Scene(alteration.target, put, new, None, ties, is_step=True, before=before)
    marks = _marks(new.joints, step.takes.joints, turned, told if ties else "")
    return _with_legend(scene, _kinds(NOTHING, step.takes), marks), scene.describe()


def _together(parts: Iterable[Parts]) -> Parts:
    return reduce(or_, parts, NOTHING)


def _tray_cut_there(step: Step) -> Parts:
    """The tray that a step cuts where it lies."""
    return Parts(trays=frozenset([step.subject.index])) if step.subject else NOTHING


def _cut_trays(alteration: Alteration, cut: Parts) -> Parts:
    return Parts(trays=frozenset(alteration.staying.trays[level] for level in cut.trays))


def _borrowed(order: Order, step: Step) -> frozenset[PanelPlace]:
    """Panels that stand across while the animals stay behind them."""
    ids = [one.id for one in order.steps]
    across = ids.index(ANIMALS_OUT) <= ids.index(step.id) < ids.index(ANIMALS_BACK)
    return frozenset(order.refuge.borrowed) if order.refuge and across else frozenset()


def _ties(alteration: Alteration, step: Step, put: Parts) -> tuple[list[TieSpot], str]:
    """Ties to mark, and what to do with them."""
    if step.puts.places:
        stand = put | what_stays_in_target(alteration)
        return ties_pulled(alteration.target, stand, step.puts), message("tie here")
    if step.id == TURN:
        return [*retied(alteration)], message("tie here")
    if step.takes.places:
        gone = what_stays_as_it_stood(alteration) | step.takes
        return ties_pulled(alteration.stands, gone, step.takes), message("cut the tie here")
    return [], ""


# --- Legends ---

Entries = list[tuple[Style, str]]


def _kinds(new: Parts, taken: Parts) -> Entries:
    entries: Entries = []
    if taken:
        entries.append((Style.TAKEN_EDGE, message("comes off")))
    if new:
        entries.append((Style.NEW, message("is put on")))
    return entries


def _marks(
    new: frozenset[Joint], taken: frozenset[Joint], turned: dict[Joint, Stance], ties: str
) -> Entries:
    return [
        (style, words)
        for style, words, there in (
            (Style.NEW_SOLID, message("new connector; pin: its ribs"), new),
            (Style.TURNED, message("turn; pin: its ribs then"), turned),
            (Style.TAKEN_JOINT, message("connector comes off"), taken),
            (Style.TIE, ties, ties),
        )
        if there
    ]


def _with_legend(scene: Scene, kinds: Entries, marks: Entries) -> Draw:
    def draw(pen: Pen) -> None:
        scene.draw(pen)
        bounds = BoundsPen()
        scene.draw(bounds)
        left, _top, _right, bottom = bounds.box or (0, 0, 0, 0)
        at = bottom + 16
        if kinds:
            at += legend(pen, (left + 6, at), kinds, width=LEGEND_WIDTH)
        for entry in range(0, len(marks), 2):
            mark_legend(pen, (left + 6, at), marks[entry : entry + 2])
            at += 18

    return draw
