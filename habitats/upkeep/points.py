"""The points of looking over: questions that are answered before an enclosure as it stands.

They ask for what comes with use. What is asked of a new one before an animal moves in is the
inspection at the end of its build.
"""

from typing import NamedTuple

from habitats.source import PRACTICE, Source
from habitats.structure.structure import Structure
from habitats.upkeep.kinds import FaultKind, can_be


class Point(NamedTuple):
    """A question; only yes is good. ``kind`` is the fault it is if not, ``why`` what it prevents.

    ``code`` stays the same for good: answers are kept by it.
    """

    code: str
    kind: FaultKind
    question: str
    why: str
    source: Source = PRACTICE


_POINTS = (
    Point("wire", FaultKind.WIRE,
          "Does a gloved hand run along every edge without being scratched?",
          "Wire ends tear skin, eyes and feet."),
    Point("panel", FaultKind.PANEL,
          "Is every panel straight, with each wire still welded?",
          "A broken weld lets a wire be pushed aside."),
    Point("connector", FaultKind.CONNECTOR,
          "Does each panel stay in its connectors when you pull it?",
          "A panel that comes out opens a gap or falls."),
    Point("tie", FaultKind.TIE,
          "Is every tie there and tight, and none brittle or chewed?",
          "Ties go brittle with the years, and let go without a sign."),
    Point("gap", FaultKind.GAP,
          "Is there no gap that the smallest animal's head fits through?",
          "Where the head goes, the animal follows or is caught."),
    Point("floor", FaultKind.FLOOR,
          "Does each upper floor stay level when you press on its middle with a flat hand?",
          "A floor that sags pulls out of its connectors."),
    Point("tray", FaultKind.TRAY,
          "Are the trays free of chewed edges, cracks and splits?",
          "Chewed sheet is eaten, and urine runs under the floor."),
    Point("tape", FaultKind.TAPE,
          "Does all tape lie flat, with no end that teeth can lift?",
          "Lifted tape is eaten, and urine runs out."),
    Point("ramp", FaultKind.RAMP,
          "Does each ramp stay still when you rock it by hand?",
          "Animals do not trust what moves, and fall."),
    Point("grip", FaultKind.GRIP,
          "Does the towel cover the whole strip of each ramp, and not slip when you pull it?",
          "Sheet is slippery, and wire hurts feet."),
    Point("doorway", FaultKind.DOORWAY,
          "Is each doorway smooth all the way round, with its flap held down?",
          "Feet and bellies pass here all day."),
    Point("guard", FaultKind.GUARD,
          "Is every guard in its place beside the ramp, and firm?",
          "From the ramp an animal reaches the wall's top."),
    Point("lid", FaultKind.LID,
          "Is every lid panel on and clipped?",
          "It keeps them in, and others out."),
)  # fmt: skip


def points_for(structure: Structure) -> tuple[Point, ...]:
    """The points that apply to this structure, in the order one goes round it."""
    return tuple(point for point in _POINTS if can_be(point.kind, structure))
