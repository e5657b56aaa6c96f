"""What may be wrong with an enclosure, in the words of whoever stands before it."""

from collections.abc import Callable
from enum import StrEnum

from habitats.structure.structure import Structure


class FaultKind(StrEnum):
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
        return _WORDS[self]


_WORDS = {
    FaultKind.WIRE: "Sharp wire end",
    FaultKind.PANEL: "Bent or broken panel",
    FaultKind.CONNECTOR: "Loose or broken connector",
    FaultKind.TIE: "Loose or missing tie",
    FaultKind.GAP: "Gap in a wall",
    FaultKind.FLOOR: "Upper floor that sags",
    FaultKind.TRAY: "Chewed or split tray",
    FaultKind.TAPE: "Tape that lifts",
    FaultKind.RAMP: "Loose ramp",
    FaultKind.GRIP: "Slippery ramp",
    FaultKind.DOORWAY: "Rough or torn doorway",
    FaultKind.GUARD: "Loose or missing guard",
    FaultKind.LID: "Lid that does not hold",
    FaultKind.OTHER: "Something else",
}


def has_ramps(structure: Structure) -> bool:
    return bool(structure.ramps)


def has_upper_levels(structure: Structure) -> bool:
    return len(structure.design.levels) > 1


def has_guards(structure: Structure) -> bool:
    return bool(structure.guards)


def has_lid(structure: Structure) -> bool:
    return structure.design.lid


_ONLY_WHERE: dict[FaultKind, Callable[[Structure], bool]] = {
    FaultKind.FLOOR: has_upper_levels,
    FaultKind.RAMP: has_ramps,
    FaultKind.GRIP: has_ramps,
    FaultKind.DOORWAY: has_ramps,
    FaultKind.GUARD: has_guards,
    FaultKind.LID: has_lid,
}


def can_be(kind: FaultKind, structure: Structure) -> bool:
    """Whether the structure has what this kind of fault is of."""
    return kind not in _ONLY_WHERE or _ONLY_WHERE[kind](structure)


def kinds_for(structure: Structure) -> tuple[FaultKind, ...]:
    """What may be wrong with this structure; always some other thing, last."""
    return tuple(kind for kind in FaultKind if can_be(kind, structure))
