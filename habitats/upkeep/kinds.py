"""What may be wrong with an enclosure: words for people at it, and what is asked.

One table has a row for each kind of fault. What is done about each stands in
``builds.making.mendings``.
"""

from collections.abc import Callable
from enum import StrEnum
from typing import NamedTuple

from habitats.structure.kinds import Role
from habitats.structure.structure import Structure
from habitats.wording import message


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
    SUPPORT = "support"
    DOOR = "door"
    ANCHOR = "anchor"
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


def _has_fitting(role: Role) -> IsThere:
    """The same of a kind that is no panel."""
    return lambda structure: bool(structure.of_kind(role))


def _has_ramps(structure: Structure) -> bool:
    return bool(structure.ramps)


class FaultRow(NamedTuple):
    """One row: ``is_there`` says which structures have what it is of. The ``question`` is asked
    at a safety check, only yes is good; ``why`` says what it prevents. A kind
    without a question is only reported."""

    words: str
    is_there: IsThere
    question: str = ""
    why: str = ""


FAULTS = {
    FaultKind.WIRE: FaultRow(
        message("Sharp wire end"), _always,
        message("Does a gloved hand run along every edge without being scratched?"),
        message("Wire ends tear skin, eyes and feet.")),
    FaultKind.PANEL: FaultRow(
        message("Bent or broken panel"), _always,
        message("Is every panel straight, with each wire still welded?"),
        message("A broken weld lets a wire be pushed aside.")),
    FaultKind.CONNECTOR: FaultRow(
        message("Loose or broken connector"), _always,
        message("Does each panel stay in its connectors when you pull it?"),
        message("A panel that comes out opens a gap or falls.")),
    FaultKind.TIE: FaultRow(
        message("Loose or missing tie"), _always,
        message("Is every tie there and tight, and none brittle or chewed?"),
        message("Ties go brittle with the years, and let go without a sign.")),
    FaultKind.GAP: FaultRow(
        message("Gap in a wall"), _always,
        message("Is there no gap that the smallest animal's head fits through?"),
        message("Where the head goes, the animal follows or is caught.")),
    FaultKind.FLOOR: FaultRow(
        message("Upper floor that sags"), _has(Role.FLOOR),
        message("Does each upper floor stay level when you press on its middle with a flat hand?"),
        message("A floor that sags pulls out of its connectors.")),
    FaultKind.TRAY: FaultRow(
        message("Chewed or split tray"), _always,
        message("Are the trays free of chewed edges, cracks and splits?"),
        message("Chewed sheet is eaten, and urine runs under the floor.")),
    FaultKind.TAPE: FaultRow(
        message("Tape that lifts"), _always,
        message("Does all tape lie flat, with no end that teeth can lift?"),
        message("Lifted tape is eaten, and urine runs out.")),
    FaultKind.RAMP: FaultRow(
        message("Loose ramp"), _has_ramps,
        message("Does each ramp stay still when you rock it by hand?"),
        message("Animals do not trust what moves, and fall.")),
    FaultKind.GRIP: FaultRow(
        message("Slippery ramp"), _has_ramps,
        message("Does the towel cover the whole strip of each ramp, and not slip when "
                "you pull it?"),
        message("Sheet is slippery, and wire hurts feet.")),
    FaultKind.DOORWAY: FaultRow(
        message("Rough or torn doorway"), _has_ramps,
        message("Is each doorway smooth all the way round, with its flap held down?"),
        message("Feet and bellies pass here all day.")),
    FaultKind.GUARD: FaultRow(
        message("Loose or missing guard"), _has(Role.GUARD),
        message("Is every guard in its place beside the ramp, and firm?"),
        message("From the ramp an animal reaches the wall's top.")),
    FaultKind.SUPPORT: FaultRow(
        message("Loose or missing support"), _has(Role.SUPPORT),
        message("Does every support stand upright under its floor, held at all four corners?"),
        message("Without it the floor above sags, and may come down on an animal.")),
    FaultKind.DOOR: FaultRow(
        message("Front door that does not close"), _has(Role.DOOR),
        message("Does each front door close with both clips, with no gap at its hinge?"),
        message("A door that stands ajar lets them out, and a gap catches a head.")),
    FaultKind.ANCHOR: FaultRow(
        message("Loose or missing wall anchor"), _has_fitting(Role.ANCHOR),
        message("Does every wall anchor sit firmly in the wall, so that the top does not give when "
                "you pull at it?"),
        message("What is higher than it is deep tips over on people and animals.")),
    FaultKind.LID: FaultRow(
        message("Lid that does not hold"), _has(Role.LID),
        message("Is every lid panel on and clipped?"),
        message("It keeps them in, and others out.")),
    FaultKind.OTHER: FaultRow(message("Something else"), _always),
}  # fmt: skip


def can_be(kind: FaultKind, structure: Structure) -> bool:
    """Whether the structure has what this kind of fault is of."""
    return FAULTS[kind].is_there(structure)


def kinds_for(structure: Structure) -> tuple[FaultKind, ...]:
    """What may be wrong with this structure; always some other thing, last."""
    return tuple(kind for kind in FAULTS if can_be(kind, structure))
