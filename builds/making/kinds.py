"""Kinds of part, second table: how each is put up, tied, told and taken off.

The keys are those of ``habitats.structure.kinds``, where it says what each is.
"""

from collections.abc import Callable
from enum import Enum, IntEnum, auto
from typing import NamedTuple

from builds.making import cautions as warn
from builds.making.advice import Advice
from builds.making.groups import Grouping, evenly, in_lines, outward, round_the_floor
from builds.making.step import Task
from habitats.structure.kinds import Role
from habitats.wording import Message, counted, message

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
    """A clause of the rule for ties: its words, the ties it takes in each place, and so many such
    places as a step tells them. Names are never changed: steps are known by them.
    """

    CORNER = (
        message("corners that no connector holds"),
        1,
        lambda each, count: counted(
            "%(each)d at the panel corner that no connector holds",
            "%(each)d at each panel corner that no connector holds (%(count)d of them)",
            count,
            each=each,
        ),
    )
    FLOOR = (
        message("seams of the upper floors"),
        2,
        lambda each, count: counted(
            "%(each)d at the seam of the floor",
            "%(each)d at each seam of the floor (%(count)d of them)",
            count,
            each=each,
        ),
    )
    STANDING = (
        message("upper panels, to what they stand on"),
        1,
        lambda each, count: counted(
            "%(each)d at the panel's bottom edge, round what it stands on",
            "%(each)d at each panel's bottom edge, round what it stands on (%(count)d of them)",
            count,
            each=each,
        ),
    )
    GUARD = (
        message("guards, to the wall below"),
        2,
        lambda each, count: counted(
            "%(each)d at the guard's bottom edge, round the wall below",
            "%(each)d at each guard's bottom edge, round the wall below (%(count)d of them)",
            count,
            each=each,
        ),
    )
    DIVIDER = (
        message("ends of dividers"),
        1,
        lambda each, count: counted(
            "%(each)d at the upright end of a divider",
            "%(each)d at each upright end of a divider (%(count)d of them)",
            count,
            each=each,
        ),
    )
    SUPPORT = (
        message("ends of supports"),
        1,
        lambda each, count: counted(
            "%(each)d at the upright end of a support that meets a panel",
            "%(each)d at each upright end of a support that meets a panel (%(count)d of them)",
            count,
            each=each,
        ),
    )
    DOORWAY = (
        message("sides of doorway panels"),
        1,
        lambda each, count: counted(
            "%(each)d at the upright side of a doorway panel",
            "%(each)d at each upright side of a doorway panel (%(count)d of them)",
            count,
            each=each,
        ),
    )
    LID_HINGE = (
        message("hinges of the lid"),
        2,
        lambda each, count: counted(
            "%(each)d at the hinge of a lid panel",
            "%(each)d at each hinge of a lid panel (%(count)d of them)",
            count,
            each=each,
        ),
    )
    DOOR_HINGE = (
        message("hinges of front doors"),
        2,
        lambda each, count: counted(
            "%(each)d at the hinge of the front door, just loose enough to swing",
            "%(each)d at the hinge of each front door, just loose enough to swing (%(count)d of "
            "them)",
            count,
            each=each,
        ),
    )
    RAMP_OVERLAP = (
        message("overlaps of ramps"),
        TIES_AT_OVERLAP,
        lambda each, count: counted(
            "%(each)d at the overlap of the ramp",
            "%(each)d at each overlap of the ramp (%(count)d of them)",
            count,
            each=each,
        ),
    )
    RAMP_HEAD = (
        message("heads of ramps"),
        TIES_AT_HEAD,
        lambda each, count: counted(
            "%(each)d at the head of the ramp",
            "%(each)d at each head of the ramp (%(count)d of them)",
            count,
            each=each,
        ),
    )
    RAMP_FOOT = (
        message("feet of ramps"),
        TIES_AT_FOOT,
        lambda each, count: counted(
            "%(each)d at the foot of the ramp",
            "%(each)d at each foot of the ramp (%(count)d of them)",
            count,
            each=each,
        ),
    )

    def __init__(self, words: str, each: int, places: Callable[[int, int], str]) -> None:
        self.words = words
        self.each = each
        self._places = places

    def places(self, count: int) -> str:
        """So many such places, inside a sentence, with the ties that each takes."""
        return self._places(self.each, count)


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
    """What is said where it is taken off: a title with ``level``, and how, with ``panels``."""

    title: Message
    how: Message


class Kind(NamedTuple):
    """One row.

    - ``note``: what so many (``count``) plain panels are for, on the part list;
    - ``task``: the first fact of its steps, the key of a kind that is new;
    - ``when`` and ``groups``: in which order, and how many of them, go up in one step; a step has
      those of one level and tier (``by_level``), or of one height;
    - ``title`` (``title_one`` for a single panel) has ``level`` and ``sides`` put in, ``do`` has
      ``panels``;
    - ``cautions`` always, ``held`` where a second person holds;
    - ``tray_cut``: it stands in a tray, and this is cut into the tray for it, in a sentence;
    - ``clips`` close a hung panel opposite its hinge, ``opening`` says how it is opened;
    - ``swings``: it hangs from its hinge alone, in no connector, and nothing else is tied to it.
    """

    note: Message
    when: When
    by_level: bool
    groups: Grouping
    task: str
    title: Message
    do: Message
    taking: Taking
    title_one: Message | None = None
    cautions: tuple[Advice, ...] = (warn.PINCH,)
    hold: Hold = Hold.NEVER
    held: Advice | None = None
    held_words: str = ""
    tray_cut: str = ""
    ties: Ties = Ties()
    clips: int = 0
    opening: Message | None = None
    swings: bool = False


KINDS: dict[str, Kind] = {
    Role.WALL: Kind(
        message("%(count)d for walls"), When.WALLS, True, round_the_floor, Task.WALL,
        message("Raise walls of %(level)s: %(sides)s"),
        message("Press in %(panels)s."),
        Taking(message("Take down walls of %(level)s"),
               message("Press the corners out from the top down and lift off %(panels)s.")),
        hold=Hold.ALONE, held=warn.HOLD_WALL,
        held_words=message("One person holds them until the next wall meets them."),
    ),
    Role.FLOOR: Kind(
        message("%(count)d for upper floors"), When.FLOOR, True, outward, Task.FLOOR,
        message("Lay floor panels of %(level)s"),
        message("Lay %(panels)s flat, from a wall outward, and press the corners in."),
        Taking(message("Take up the floor of %(level)s"),
               message("One person holds what is loose level. Press the corners out, those "
                       "farthest from a wall first, and lift off %(panels)s.")),
        cautions=(warn.LIFT_FLOOR,), hold=Hold.SEVERAL, held=warn.HOLD_FLOOR,
        ties=Ties(seams=Where.FLOOR),
    ),
    Role.LID: Kind(
        message("%(count)d for the lid"), When.LAST, False, outward, Task.LID,
        message("Lay the lid"),
        message("Lay %(panels)s flat on top and press the corners in."),
        Taking(message("Take off the lid over %(level)s"),
               message("Open the clips, press the corners out and lift off %(panels)s.")),
        cautions=(warn.LID_FALLS,), hold=Hold.SEVERAL,
        ties=Ties(hinge=Where.LID_HINGE), clips=2,
        opening=message("To open a panel, take its clips off, free that side's corners and lift."),
    ),
    Role.DIVIDER: Kind(
        message("%(count)d for dividers"), When.IN_TRAY, True, in_lines, Task.DIVIDER,
        message("Stand a divider on %(level)s"),
        message("Lower %(panels)s in from above and press the corners in."),
        Taking(message("Take out the divider of %(level)s"),
               message("Press the corners out and lift out %(panels)s.")),
        tray_cut=message("Where a divider's end meets the tray's wall, cut that wall from its top "
                         "down to just above the fold, as wide as the wire."),
        ties=Ties(ends=Where.DIVIDER),
    ),
    Role.GUARD: Kind(
        message("%(count)d as guards"), When.ON_WALLS, False, evenly, Task.GUARD,
        message("Stand the guards on their walls"),
        message("Stand %(panels)s on top of the wall beside the ramp, as in the picture, and press "
                "the corners in."),
        Taking(message("Take off guards of %(level)s"),
               message("Press the corners out and lift off %(panels)s.")),
        title_one=message("Stand the guard on its wall"),
        ties=Ties(below=Where.GUARD),
    ),
    Role.SUPPORT: Kind(
        message("%(count)d as supports"), When.IN_TRAY, True, in_lines, Task.SUPPORT,
        message("Stand supports on %(level)s"),
        message("Stand %(panels)s upright in the tray, as in the picture, and press the corners "
                "in. The floor above comes to lie on them."),
        Taking(message("Take out the supports of %(level)s"),
               message("One person holds the floor above while it lies on nothing else. Press the "
                       "corners out and lift out %(panels)s.")),
        title_one=message("Stand the support on %(level)s"),
        hold=Hold.ALONE, held=warn.HOLD_SUPPORT,
        tray_cut=message("Where a support's end meets the tray's wall, cut that wall from its top "
                         "down to just above the fold, as wide as the wire."),
        ties=Ties(ends=Where.SUPPORT),
    ),
    Role.DOOR: Kind(
        message("%(count)d as front doors"), When.WALLS, True, evenly, Task.DOOR,
        message("Hang the front doors of %(level)s"),
        message("Hold %(panels)s in the gap of the wall, flush with it, and press no corner in: a "
                "front door hangs from its hinge alone and swings outward."),
        Taking(message("Take off the front doors of %(level)s"),
               message("Open the clips, cut the hinge's ties while you hold the door, and lift off "
                       "%(panels)s.")),
        title_one=message("Hang the front door of %(level)s"),
        cautions=(warn.DOOR_GAP,), hold=Hold.SEVERAL,
        ties=Ties(hinge=Where.DOOR_HINGE), clips=2,
        opening=message("To open a front door, take its clips off and swing it outward. Close both "
                        "clips again each time."),
        swings=True,
    ),
}  # fmt: skip


def roles_when(when: When) -> list[str]:
    """Kinds of this rank, in the order of the table."""
    return [role for role, kind in KINDS.items() if kind.when is when]
