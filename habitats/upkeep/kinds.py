"""What may be wrong with an enclosure: words for whoever stands before it, and what is asked.

One table has a row for each kind of fault. What is done about each stands in
``builds.making.repairing``.
"""

from collections.abc import Callable
from enum import StrEnum
from typing import NamedTuple

from habitats.structure.kinds import Role
from habitats.structure.structure import Structure


class FaultKind(StrEnum):
    """A code is never changed: faults and answers are kept by it."""

    WIRE = "wire"
    PANEL = "panel"
    CONNECTOR = "connector"
    TIE = "tie"
    GAP = "gap"
    FLOOR = "floor"
    TRAY = "tray"
    TAPE = "tape"
    RAMP = "ramp"
    GRIP = "grip"
    DOORWAY = "doorway"
    GUARD = "guard"
    LID = "lid"
    OTHER = "other"

    @property
    def words(self) -> str:
        return FAULTS[self].words


IsThere = Callable[[Structure], bool]


def _always(_structure: Structure) -> bool:
    return True


def _has(role: Role) -> IsThere:
    """Whether it has a panel of this kind of part."""
    return lambda structure: bool(structure.with_role(role))


def _has_ramps(structure: Structure) -> bool:
    return bool(structure.ramps)


class FaultRow(NamedTuple):
    """One row: ``is_there`` says which structures have what it is of. The ``question`` is asked
    when an enclosure is looked over, only yes is good; ``why`` says what it prevents. A kind
    without a question is only reported."""

    words: str
    is_there: IsThere
    question: str = ""
    why: str = ""


FAULTS = {
    FaultKind.WIRE: FaultRow(
        "Sharp wire end", _always,
        "Does a gloved hand run along every edge without being scratched?",
        "Wire ends tear skin, eyes and feet."),
    FaultKind.PANEL: FaultRow(
        "Bent or broken panel", _always,
        "Is every panel straight, with each wire still welded?",
        "A broken weld lets a wire be pushed aside."),
    FaultKind.CONNECTOR: FaultRow(
        "Loose or broken connector", _always,
        "Does each panel stay in its connectors when you pull it?",
        "A panel that comes out opens a gap or falls."),
    FaultKind.TIE: FaultRow(
        "Loose or missing tie", _always,
        "Is every tie there and tight, and none brittle or chewed?",
        "Ties go brittle with the years, and let go without a sign."),
    FaultKind.GAP: FaultRow(
        "Gap in a wall", _always,
        "Is there no gap that the smallest animal's head fits through?",
        "Where the head goes, the animal follows or is caught."),
    FaultKind.FLOOR: FaultRow(
        "Upper floor that sags", _has(Role.FLOOR),
        "Does each upper floor stay level when you press on its middle with a flat hand?",
        "A floor that sags pulls out of its connectors."),
    FaultKind.TRAY: FaultRow(
        "Chewed or split tray", _always,
        "Are the trays free of chewed edges, cracks and splits?",
        "Chewed sheet is eaten, and urine runs under the floor."),
    FaultKind.TAPE: FaultRow(
        "Tape that lifts", _always,
        "Does all tape lie flat, with no end that teeth can lift?",
        "Lifted tape is eaten, and urine runs out."),
    FaultKind.RAMP: FaultRow(
        "Loose ramp", _has_ramps,
        "Does each ramp stay still when you rock it by hand?",
        "Animals do not trust what moves, and fall."),
    FaultKind.GRIP: FaultRow(
        "Slippery ramp", _has_ramps,
        "Does the towel cover the whole strip of each ramp, and not slip when you pull it?",
        "Sheet is slippery, and wire hurts feet."),
    FaultKind.DOORWAY: FaultRow(
        "Rough or torn doorway", _has_ramps,
        "Is each doorway smooth all the way round, with its flap held down?",
        "Feet and bellies pass here all day."),
    FaultKind.GUARD: FaultRow(
        "Loose or missing guard", _has(Role.GUARD),
        "Is every guard in its place beside the ramp, and firm?",
        "From the ramp an animal reaches the wall's top."),
    FaultKind.LID: FaultRow(
        "Lid that does not hold", _has(Role.LID),
        "Is every lid panel on and clipped?",
        "It keeps them in, and others out."),
    FaultKind.OTHER: FaultRow("Something else", _always),
}  # fmt: skip


def can_be(kind: FaultKind, structure: Structure) -> bool:
    """Whether the structure has what this kind of fault is of."""
    return FAULTS[kind].is_there(structure)


def kinds_for(structure: Structure) -> tuple[FaultKind, ...]:
    """What may be wrong with this structure; always some other thing, last."""
    return tuple(kind for kind in FAULTS if can_be(kind, structure))
