"""The pup set: the step that clips its panels on, once all else stands, and that takes them off."""

from collections.abc import Collection

from builds.making import cautions as warn
from builds.making import times, tools
from builds.making.instructions import Lengths
from builds.making.part_names import CLIP, PUP_PANEL
from builds.making.step import Added, Parts, Step, Task
from habitats.structure.design import Design
from habitats.structure.kinds import Role
from habitats.structure.pups import PUP_OPENING_MM, PupPlace, is_within, pup_places
from habitats.structure.structure import Structure
from habitats.wording import counted, message

PUP_STEP = "pup-set"
TAKE_PUP_STEP = "take-pup-set"
# One near each corner; across a ramp's foot one at each of its two sides.
CLIPS_ON_WALL = 4
CLIPS_AT_FOOT = 2


def clips_of(places: Collection[PupPlace]) -> int:
    return sum(CLIPS_AT_FOOT if one.at_foot else CLIPS_ON_WALL for one in places)


def reaches_inside(structure: Structure, places: Collection[PupPlace]) -> bool:
    """Whether some of them are put on or taken off from within, so that animals go out first."""
    return any(is_within(structure, one) for one in places)


def pup_step(
    structure: Structure,
    places: Collection[PupPlace],
    needs: tuple[str, ...],
    lengths: Lengths,
) -> Step:
    """Clips the set's panels on in these places."""
    return Step(
        id=PUP_STEP,
        title=message("Put the pup set on"),
        instructions=tuple(_putting_on(structure, places, lengths)),
        needs=needs,
        adds=(Added(PUP_PANEL, len(places)), Added(CLIP, clips_of(places))),
        tools=(tools.GLOVES, tools.MEASURE),
        cautions=(warn.PUP_SET.sentence,),
        minutes=times.minutes((len(places), times.PUP_PANEL)),
        pups=tuple(sorted(places)),
        facts=(Task.PUPS, tuple(sorted(places))),
    )


def take_pup_step(
    structure: Structure, places: Collection[PupPlace], needs: tuple[str, ...]
) -> Step:
    """Takes the set's panels off these places."""
    return Step(
        id=TAKE_PUP_STEP,
        title=message("Take the pup set off"),
        instructions=(
            counted(
                "Open the clips of the panel, hold it, and lift it off.",
                "Open the clips of the %(count)d panels one by one, hold each, and lift it off.",
                len(places),
            ),
            message("The walls behind them stay."),
            message("Wash the panels and the clips, and count them."),
        ),
        needs=needs,
        tools=(tools.GLOVES,),
        minutes=times.minutes((len(places), times.TAKEN_PUP_PANEL)),
        takes=Parts(pups=frozenset(places)),
        removes=(Added(PUP_PANEL, len(places)), Added(CLIP, clips_of(places))),
        facts=(Task.TAKE_PUPS, tuple(sorted(places))),
    )


def _putting_on(structure: Structure, places: Collection[PupPlace], lengths: Lengths) -> list[str]:
    walls = [one for one in places if not one.at_foot]
    feet = len(places) - len(walls)
    return [
        *(_over_walls(structure, walls) if walls else ()),
        *([_across_feet(feet)] if feet else ()),
        message(
            "Push a round stick, %(width)s thick, against the wire near the floor, at every "
            "corner and beside every door. Where it passes, shift the panel or add a clip.",
            width=lengths(PUP_OPENING_MM),
        ),
    ]


def _over_walls(structure: Structure, walls: Collection[PupPlace]) -> list[str]:
    design = structure.design
    return [
        counted(
            "Hold %(count)d pup panel, a plain one, flat against the outside of the wall of the "
            "ground floor, half a square higher and half a square to one side, so that its wires "
            "halve the openings.",
            "Hold %(count)d pup panels, plain ones, flat against the outside of the walls of the "
            "ground floor, one over each, half a square higher and half a square to one side, so "
            "that their wires halve the openings.",
            len(walls),
        ),
        message("Close a clip near each of the four corners. Shift all on one side the same way."),
        *_where_it_differs(design, structure, walls),
    ]


def _where_it_differs(
    design: Design, structure: Structure, walls: Collection[PupPlace]
) -> list[str]:
    roles = {panel.role for panel in structure.panels if PupPlace(panel.place) in walls}
    return [
        *(
            [message("At a front door, clip it to the door alone, and check that the door opens.")]
            if Role.DOOR in roles
            else []
        ),
        *(
            [message("At a wall of the room stand it inside, between liner and tray wall.")]
            if design.room_walls
            else []
        ),
    ]


def _across_feet(count: int) -> str:
    return counted(
        "Stand %(count)d pup panel across the foot of the ramp and clip it to both its sides: "
        "all animals stay on the ground floor, with hides, hay and water.",
        "Stand %(count)d pup panels, one across the foot of each ramp, and clip each to both its "
        "sides: all animals stay on the ground floor, with hides, hay and water.",
        count,
    )


def pups_of(structure: Structure) -> tuple[PupPlace, ...]:
    """The places of its pup set; none where it has none."""
    return pup_places(structure)
