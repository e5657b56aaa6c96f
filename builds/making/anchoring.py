"""Wall anchors: the step that fixes them, once all else stands, and the one that frees them.

They hold the enclosure where it is, so they come last of all before the inspection, and are freed
before anything is taken off.
"""

from collections.abc import Collection, Mapping

from builds.making import cautions as warn
from builds.making import times, tools
from builds.making.part_names import ANCHOR
from builds.making.step import Added, Parts, Step, Task
from habitats.structure.anchors import gripped
from habitats.structure.kinds import Role
from habitats.structure.lattice import PanelPlace
from habitats.structure.standing import named_edges
from habitats.structure.structure import Structure
from habitats.wording import counted, message

ANCHOR_STEP = "wall-anchors"
FREE_STEP = "free-wall-anchors"


def anchors_of(structure: Structure) -> Mapping[PanelPlace, int]:
    """The panels that wall anchors grip, each with its level."""
    return gripped(structure.design, structure.of_kind(Role.ANCHOR))


def anchor_step(
    structure: Structure, places: Collection[PanelPlace], needs: tuple[str, ...]
) -> Step:
    """Fixes the anchors at these panels."""
    count = len(places)
    return Step(
        id=ANCHOR_STEP,
        title=message("Hold the top to the wall of the room"),
        instructions=(
            message(
                "Check that the enclosure stands close to the wall of the room, level, and does "
                "not rock."
            ),
            counted(
                "Fix %(count)d wall anchor: %(where)s. It grips the upper edge of the wall there.",
                "Fix %(count)d wall anchors: %(where)s. Each grips the upper edge of the wall "
                "there.",
                count,
                where=_where(structure, places),
            ),
            message(
                "Pull at the top with both hands: nothing gives. If the wall crumbles or a screw "
                "turns loose, stop and ask a tradesperson."
            ),
        ),
        needs=needs,
        adds=(Added(ANCHOR, count),),
        tools=(tools.EYES, tools.DRILL),
        cautions=(warn.WALL_HOLDS.sentence, warn.MAY_TIP.sentence),
        minutes=times.minutes((count, times.ANCHOR)),
        people=2,
        anchors=tuple(sorted(places)),
        facts=(Task.ANCHOR, tuple(sorted(places))),
    )


def free_step(structure: Structure, places: Collection[PanelPlace], needs: tuple[str, ...]) -> Step:
    """Takes the anchors off these panels."""
    count = len(places)
    return Step(
        id=FREE_STEP,
        title=message("Free it from the wall of the room"),
        instructions=(
            message(
                "One person holds the top with both hands from here on, until the highest level "
                "is down or the anchors hold it again."
            ),
            counted(
                "The other takes off %(count)d wall anchor: %(where)s.",
                "The other takes off %(count)d wall anchors: %(where)s.",
                count,
                where=_where(structure, places),
            ),
        ),
        needs=needs,
        tools=(tools.EYES, tools.DRILL),
        cautions=(warn.MAY_TIP.sentence,),
        minutes=times.minutes((count, times.FREED_ANCHOR)),
        people=2,
        takes=Parts(anchors=frozenset(places)),
        removes=(Added(ANCHOR, count),),
        facts=(Task.FREE, tuple(sorted(places))),
    )


def _where(structure: Structure, places: Collection[PanelPlace]) -> str:
    """The walls by cell and side."""
    return named_edges(
        [
            one.edge
            for one in structure.of_kind(Role.ANCHOR)
            if not gripped(structure.design, [one]).keys().isdisjoint(places)
        ]
    )
