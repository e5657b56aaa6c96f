"""What is done about each kind of fault: the work, its parts, tools and cautions.

All of it is common practice without a source.
"""

from typing import NamedTuple

from builds.making import cautions as warn
from builds.making import times, tools
from builds.making.advice import Advice
from builds.making.part_names import ANCHOR, CLIP, CONNECTOR, PLAIN_PANEL, TAPE, TIE
from builds.making.step import Added
from builds.making.tools import Tool
from habitats.upkeep.kinds import FaultKind
from habitats.wording import message

TRAY_PATCH = message("Cut a patch two hands wide from an offcut of sheet, to lie over the damage.")


class Mending(NamedTuple):
    """What is done about one kind of fault. ``holds``: the work is on what holds something up or
    the animals in, so that they have to be out and not only out of the way."""

    title: str
    instructions: tuple[str, ...]
    seconds: int
    adds: tuple[Added, ...] = ()
    tools: tuple[Tool, ...] = (tools.GLOVES,)
    cautions: tuple[Advice, ...] = ()
    people: int = 1
    holds: bool = False


def mending_of(kind: FaultKind) -> Mending:
    """What is done about this kind of fault."""
    return _MENDINGS[kind]


_WIRE_TOOLS = (tools.GLOVES, tools.EYES, tools.CUTTERS, tools.FILE)
_TIE_TOOLS = (tools.GLOVES, tools.EYES, tools.TIE_CUTTERS)
_TIE_CARE = (warn.CUT_TIES_OFF, warn.TIE_TAILS)
_PANEL_TIES = 2
_RAMP_TIES = 4
_FLOOR_TIES = 4
_FLOOR_CONNECTORS = 2
_SHEET_TOOLS = (tools.GLOVES, tools.KNIFE, tools.STRAIGHTEDGE, tools.MAT)

_MENDINGS = {
    FaultKind.WIRE: Mending(
        message("Blunt the sharp wire end"),
        (
            message("Cut the end off flush with the wire beside it."),
            message("File it until nothing catches a gloved finger, on both sides."),
            message("Pick up what was cut off and count it into the bin."),
        ),
        times.CUT_WIRE + times.FILED_WIRE + times.SORTED_PANEL,
        tools=_WIRE_TOOLS,
        cautions=(warn.CUT_WIRE, warn.WIRE_ENDS),
    ),
    FaultKind.PANEL: Mending(
        message("Replace the panel"),
        (
            message(
                "One person holds what the panel carries or leans on, until the new one is in."
            ),
            message("Cut its ties, draw it out of its connectors and put it aside."),
            message("Press the new panel into the same connectors and tie it as the old one was."),
        ),
        times.TAKEN_PANEL + times.PANEL + _PANEL_TIES * (times.CUT_TIE + times.TIE),
        adds=(Added(PLAIN_PANEL, 1), Added(TIE, _PANEL_TIES)),
        tools=_TIE_TOOLS,
        cautions=(warn.CATCH_PANELS, warn.PINCH, *_TIE_CARE),
        people=2,
        holds=True,
    ),
    FaultKind.CONNECTOR: Mending(
        message("Replace the connector"),
        (
            message("One person holds the panels that meet there."),
            message("Take the old connector off and press the new one on, turned the same way."),
            message("Pull at each panel: none comes out."),
        ),
        times.TAKEN_CONNECTOR + times.CONNECTOR,
        adds=(Added(CONNECTOR, 1),),
        cautions=(warn.CONNECTOR_OFF, warn.PINCH),
        people=2,
        holds=True,
    ),
    FaultKind.TIE: Mending(
        message("Replace the cable tie"),
        (
            message("Put the new tie beside the loose one and pull it tight, its head outside."),
            message("Then cut the loose one off."),
            message("Cut the tail flush and pick up every piece."),
        ),
        times.CUT_TIE + 2 * times.TIE,
        adds=(Added(TIE, 2),),
        tools=_TIE_TOOLS,
        cautions=_TIE_CARE,
    ),
    FaultKind.GAP: Mending(
        message("Close the gap"),
        (
            message(
                "Press the panels back into their connectors; change a connector that does not "
                "hold."
            ),
            message("Tie the two panels together above and below."),
            message("Try it from both sides: no head of the smallest animal fits through."),
        ),
        times.TURNED_CONNECTOR + times.CONNECTOR + _PANEL_TIES * times.TIE,
        adds=(Added(CONNECTOR, 1), Added(TIE, _PANEL_TIES)),
        tools=_TIE_TOOLS,
        cautions=(warn.CONNECTOR_OFF, *_TIE_CARE),
        people=2,
        holds=True,
    ),
    FaultKind.FLOOR: Mending(
        message("Hold the upper floor up"),
        (
            message("Take all that stands on the floor off it, liner and tray too."),
            message("One person lifts the floor level from below, with a flat hand at each side."),
            message(
                "The other changes the connectors that gave way and ties every seam of it again."
            ),
            message("Press on its middle with a flat hand: it stays level. Lay the tray back in."),
        ),
        times.TAKEN_TRAY
        + times.LAID_TRAY
        + _FLOOR_CONNECTORS * (times.TAKEN_CONNECTOR + times.CONNECTOR)
        + _FLOOR_TIES * (times.CUT_TIE + times.TIE),
        adds=(Added(CONNECTOR, _FLOOR_CONNECTORS), Added(TIE, _FLOOR_TIES)),
        tools=_TIE_TOOLS,
        cautions=(warn.LIFT_FLOOR, warn.HOLD_FLOOR, warn.LIFT_TRAY, *_TIE_CARE),
        people=2,
        holds=True,
    ),
    FaultKind.TRAY: Mending(
        message("Patch the tray"),
        (
            message("Wash the place and let it dry."),
            TRAY_PATCH,
            message(
                "Tape it over the place from outside, all round, so that no end lies within reach."
            ),
            message(
                "If more than a hand's breadth is gone, fold a new tray instead, and add a note "
                "to this build."
            ),
        ),
        times.MARKING_A_BLANK + times.CUT_METRE_OF_SHEET + 2 * times.TAPED_CORNER,
        adds=(Added(TAPE, 2),),
        tools=_SHEET_TOOLS,
        cautions=(warn.OLD_TRAY, warn.KNIFE, warn.LIFT_TRAY),
        people=2,
        holds=True,
    ),
    FaultKind.TAPE: Mending(
        message("Tape it again"),
        (
            message("Draw the lifted tape off and throw it away."),
            message(
                "Wash the place, let it dry, and tape it from outside with no end within reach."
            ),
        ),
        2 * times.TAPED_CORNER,
        adds=(Added(TAPE, 1),),
        tools=(tools.GLOVES, tools.KNIFE),
        cautions=(warn.OLD_TRAY, warn.KNIFE),
    ),
    FaultKind.RAMP: Mending(
        message("Tie the ramp again"),
        (
            message("One person holds the ramp in its place."),
            message("Tie its head twice and its foot twice, then cut the old ties off."),
            message("Rock it by hand: it stays still."),
        ),
        _RAMP_TIES * (times.CUT_TIE + times.TIE),
        adds=(Added(TIE, _RAMP_TIES),),
        tools=_TIE_TOOLS,
        cautions=(warn.RAMP_ANIMALS, *_TIE_CARE),
        people=2,
        holds=True,
    ),
    FaultKind.GRIP: Mending(
        message("Cover the ramp again"),
        (
            message(
                "Take the towel off the ramp and put a fresh one on that covers the whole strip."
            ),
            message(
                "Tuck its end under the upper liner and try it with a flat hand: it does not slip."
            ),
        ),
        times.TAKEN_LINEN + times.LAID_LINER,
        cautions=(warn.RAMP_ANIMALS,),
    ),
    FaultKind.DOORWAY: Mending(
        message("Smooth the doorway"),
        (
            message("Cut off what stands into the doorway, and file every end."),
            message("Run a gloved finger all the way round, from both sides."),
            message("Tie its upright sides again where they have come loose."),
        ),
        2 * (times.CUT_WIRE + times.FILED_WIRE) + _PANEL_TIES * times.TIE,
        adds=(Added(TIE, _PANEL_TIES),),
        tools=_WIRE_TOOLS,
        cautions=(warn.CUT_WIRE, warn.WIRE_ENDS, warn.TIE_TAILS),
    ),
    FaultKind.GUARD: Mending(
        message("Put the guard back"),
        (
            message(
                "Put the guard on the wall beside the ramp; the new panel where the old one is "
                "bent."
            ),
            message("Tie it twice to the wall below and push at it: it is firm."),
            message("Bring the panel that is not needed back to the store."),
        ),
        times.PANEL + 2 * times.TIE,
        adds=(Added(PLAIN_PANEL, 1), Added(TIE, 2)),
        tools=_TIE_TOOLS,
        cautions=(warn.CATCH_PANELS, *_TIE_CARE),
        holds=True,
    ),
    FaultKind.SUPPORT: Mending(
        message("Put the support back"),
        (
            message("Take all that stands on the floor above off it."),
            message("One person lifts that floor level from below, with a flat hand."),
            message(
                "The other sets the support upright under it, a new panel where the old one is "
                "bent, and presses its four corners in."
            ),
            message("Tie its upper edge to the floor twice, and push at it: it is firm."),
            message("Bring what is not needed back to the store."),
        ),
        times.PANEL + 2 * times.CONNECTOR + 2 * times.TIE,
        adds=(Added(PLAIN_PANEL, 1), Added(CONNECTOR, 2), Added(TIE, 2)),
        tools=_TIE_TOOLS,
        cautions=(warn.LIFT_FLOOR, warn.SUPPORTED_FLOOR, warn.PINCH, *_TIE_CARE),
        people=2,
        holds=True,
    ),
    FaultKind.DOOR: Mending(
        message("Hang the front door again"),
        (
            message("Hold the door flush in its wall, a new panel where the old one is bent."),
            message(
                "Tie its hinge twice, just loose enough to swing, cut the old ties off, and put "
                "two clips on the other side."
            ),
            message("Open and close it: the head of the smallest animal fits through on no side."),
            message("Bring what is not needed back to the store."),
        ),
        times.PANEL + 2 * (times.CUT_TIE + times.TIE),
        adds=(Added(PLAIN_PANEL, 1), Added(TIE, 2), Added(CLIP, 2)),
        tools=_TIE_TOOLS,
        cautions=(warn.DOOR_GAP, warn.PINCH, *_TIE_CARE),
        holds=True,
    ),
    FaultKind.ANCHOR: Mending(
        message("Fix the wall anchor again"),
        (
            message("One person holds the top of the enclosure with both hands."),
            message(
                "The other takes the loose anchor off and looks at the hole: a torn hole takes no "
                "screw again."
            ),
            message(
                "Fix a new anchor beside it, as the wall takes it, so that it grips the top of the "
                "same panel. If in doubt, leave the enclosure empty and ask a tradesperson."
            ),
            message("Pull at the top with both hands: nothing gives."),
        ),
        times.FREED_ANCHOR + times.ANCHOR,
        adds=(Added(ANCHOR, 1),),
        tools=(tools.EYES, tools.DRILL),
        cautions=(warn.WALL_HOLDS, warn.MAY_TIP),
        people=2,
        holds=True,
    ),
    FaultKind.LID: Mending(
        message("Hang the lid again"),
        (
            message("Take the lid panel off and lay it flat."),
            message(
                "Tie its hinge twice, loosely enough to open, and put two clips on the other side."
            ),
            message("Open and close it with one hand."),
        ),
        times.TAKEN_PANEL + times.PANEL + 2 * (times.CUT_TIE + times.TIE),
        adds=(Added(TIE, 2), Added(CLIP, 2)),
        tools=_TIE_TOOLS,
        cautions=(warn.LID_FALLS, *_TIE_CARE),
        holds=True,
    ),
    FaultKind.OTHER: Mending(
        message("Mend what was seen"),
        (
            message("Look at the place before you begin. If in doubt, ask the person who saw it."),
            message(
                "Take off nothing that holds something above it before a second person holds that."
            ),
            message("If you need a part, report it on this build."),
        ),
        times.OPENED_TRAY,
        tools=(tools.GLOVES, tools.EYES),
        cautions=(warn.CATCH_PANELS, warn.WIRE_ENDS),
        people=2,
        holds=True,
    ),
}
