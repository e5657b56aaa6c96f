"""Kinds of part, second table: how each is put up, tied, told and taken off.

The keys are those of ``habitats.structure.kinds``, where it says what each is.
"""

from enum import Enum, IntEnum, auto
from typing import NamedTuple

from builds.making import cautions as warn
from builds.making.advice import Advice
from builds.making.groups import Grouping, evenly, in_lines, outward, round_the_floor
from builds.making.step import Task
from habitats.structure.kinds import Role

TIES_AT_OVERLAP = 4
TIES_AT_HEAD = 2
TIES_AT_FOOT = 2


class When(IntEnum):
    """The rank of a kind among all that is put up at one height."""

    FLOOR = 1
    WALLS = 2
    IN_TRAY = 3  # once the trays of this height are laid
    ON_WALLS = 4  # once the ramps of this height are set
    LAST = 5  # once all heights are up and the cloth is laid


class Hold(Enum):
    """When a second person holds what is put up."""

    NEVER = auto()
    ALONE = auto()  # where it is one straight wall that nothing else holds
    SEVERAL = auto()  # where there is more than one panel


class Where(Enum):
    """A clause of the rule for ties: its words, the ties it takes in each place, and that place as
    a step tells it. Names are never changed: steps are known by them.
    """

    CORNER = "corners that no connector holds", 1, "panel corner that no connector holds"
    FLOOR = "seams of the upper floors", 2, "seam of the floor"
    STANDING = (
        "upper panels, to what they stand on",
        1,
        "panel's bottom edge, round what it stands on",
    )
    GUARD = "guards, to the wall below", 2, "guard's bottom edge, round the wall below"
    DIVIDER = "ends of dividers", 1, "upright end of a divider"
    DOORWAY = "sides of doorway panels", 1, "upright side of a doorway panel"
    LID_HINGE = "hinges of the lid", 2, "hinge of a lid panel"
    RAMP_OVERLAP = "overlaps of ramps", TIES_AT_OVERLAP, "overlap of the ramp"
    RAMP_HEAD = "heads of ramps", TIES_AT_HEAD, "head of the ramp"
    RAMP_FOOT = "feet of ramps", TIES_AT_FOOT, "foot of the ramp"

    def __init__(self, words: str, each: int, place: str) -> None:
        self.words = words
        self.each = each
        self.place = place


class Ties(NamedTuple):
    """What ties a panel. Common practice, no source.

    - ``below``: above the ground, in the middle of its bottom edge, to what it stands on;
    - ``ends``: at each upright side where it meets another panel;
    - ``seams``: lying, along each edge where one of its kind or the top of a wall meets it;
    - ``hinge``: on the side it is hung by.
    """

    below: Where = Where.STANDING
    ends: Where | None = None
    seams: Where | None = None
    hinge: Where | None = None


class Taking(NamedTuple):
    """What is said where it is taken off: before the level's name, and how it is done."""

    title: str
    how: str


class Kind(NamedTuple):
    """One row.

    - ``note``: what plain panels are for, on the part list;
    - ``task``: the first fact of its steps, the key of a kind that is new;
    - ``when`` and ``groups``: in which order, and how many of them, go up in one step; a step has
      those of one level and tier (``by_level``), or of one height;
    - ``title`` (``title_one`` for a single panel) and ``do`` have ``{level}``, ``{sides}`` and
      ``{panels}`` filled in;
    - ``cautions`` always, ``held`` where a second person holds;
    - ``tray_cut``: it stands in a tray, and this is cut into the tray for it, in a sentence;
    - ``clips`` close a hung panel opposite its hinge.
    """

    note: str
    when: When
    by_level: bool
    groups: Grouping
    task: str
    title: str
    do: str
    taking: Taking
    title_one: str = ""
    cautions: tuple[Advice, ...] = (warn.PINCH,)
    hold: Hold = Hold.NEVER
    held: Advice | None = None
    held_words: str = ""
    tray_cut: str = ""
    ties: Ties = Ties()
    clips: int = 0


KINDS: dict[str, Kind] = {
    Role.WALL: Kind(
        "for walls", When.WALLS, True, round_the_floor, Task.WALL,
        "Raise walls of {level}: {sides}",
        "Press in {panels}.",
        Taking("Take down walls of", "Press the corners out from the top down and lift off"),
        hold=Hold.ALONE, held=warn.HOLD_WALL,
        held_words=" One person holds them until the next wall meets them.",
    ),
    Role.FLOOR: Kind(
        "for upper floors", When.FLOOR, True, outward, Task.FLOOR,
        "Lay floor panels of {level}",
        "Lay {panels} flat, from a wall outward, and press the corners in.",
        Taking("Take up the floor of",
               "One person holds what is loose level. Press the corners out, those farthest from a "
               "wall first, and lift off"),
        cautions=(warn.LIFT_FLOOR,), hold=Hold.SEVERAL, held=warn.HOLD_FLOOR,
        ties=Ties(seams=Where.FLOOR),
    ),
    Role.LID: Kind(
        "for the lid", When.LAST, False, outward, Task.LID,
        "Lay the lid",
        "Lay {panels} flat on top and press the corners in.",
        Taking("Take off the lid over", "Open the clips, press the corners out and lift off"),
        cautions=(warn.LID_FALLS,), hold=Hold.SEVERAL,
        ties=Ties(hinge=Where.LID_HINGE), clips=2,
    ),
    Role.DIVIDER: Kind(
        "for dividers", When.IN_TRAY, True, in_lines, Task.DIVIDER,
        "Stand a divider on {level}",
        "Lower {panels} in from above and press the corners in.",
        Taking("Take out the divider of", "Press the corners out and lift out"),
        tray_cut="Where a divider's end meets the tray's wall, cut that wall from its top down to "
        "just above the fold, as wide as the wire.",
        ties=Ties(ends=Where.DIVIDER),
    ),
    Role.GUARD: Kind(
        "as guards", When.ON_WALLS, False, evenly, Task.GUARD,
        "Stand the guards on their walls",
        "Stand {panels} on top of the wall beside the ramp, as in the picture, and press the "
        "corners in.",
        Taking("Take off guards of", "Press the corners out and lift off"),
        title_one="Stand the guard on its wall",
        ties=Ties(below=Where.GUARD),
    ),
}  # fmt: skip


def roles_when(when: When) -> list[str]:
    """Kinds of this rank, in the order of the table."""
    return [role for role, kind in KINDS.items() if kind.when is when]
