"""The inspection list: points to check before an animal goes in, each a question to sign."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from builds.making.advice import PRACTICE
from habitats.structure.kinds import Role
from habitats.structure.structure import Structure
from habitats.structure.tipping import is_anchored, may_tip
from habitats.wording import message


class Point(NamedTuple):
    """A question answered yes or no; only yes is good enough. ``why`` says what it prevents."""

    code: str
    question: str
    why: str
    source: str = PRACTICE


def _always(structure: Structure) -> bool:
    return True


def _has_ramp(structure: Structure) -> bool:
    return bool(structure.ramps)


def _has_upper_floor(structure: Structure) -> bool:
    return len(structure.design.levels) > 1


def _has_supports(structure: Structure) -> bool:
    return bool(structure.with_role(Role.SUPPORT))


def _has_doors(structure: Structure) -> bool:
    return bool(structure.with_role(Role.DOOR))


def _has_anchors(structure: Structure) -> bool:
    return bool(structure.of_kind(Role.ANCHOR))


def _has_furniture(structure: Structure) -> bool:
    return structure.design.furniture is not None


def _has_pup_set(structure: Structure) -> bool:
    return structure.design.pup_set


def _may_tip_freely(structure: Structure) -> bool:
    return may_tip(structure) and not is_anchored(structure)


def _has_lid(structure: Structure) -> bool:
    return structure.design.lid


def _has_guards(structure: Structure) -> bool:
    return bool(structure.guards)


_MESH_FLOORS = message(
    "9 CFR 3.28(a)(4): mesh floors must protect feet and legs; no wire to walk on: common practice"
)

_POINTS: tuple[tuple[Callable[[Structure], bool], Point], ...] = (
    (
        _always,
        Point(
            "edges",
            message("Is every cut wire end filed, and does none catch a glove?"),
            message("Cut ends tear skin, eyes and feet."),
        ),
    ),
    (
        _always,
        Point(
            "tails",
            message("Is every tie tail cut flush, on the outside, and picked up?"),
            message("Stubs cut, and animals eat the tails."),
        ),
    ),
    (
        _always,
        Point(
            "connectors",
            message(
                "Is there a connector or a tie at every corner of every panel, and does each panel "
                "stay in when you pull it?"
            ),
            message("A panel that comes out opens a gap or falls."),
        ),
    ),
    (
        _always,
        Point(
            "gaps",
            message("Is there no gap that the smallest animal's head fits through?"),
            message("Where the head goes, the animal follows or is caught."),
        ),
    ),
    (
        _always,
        Point(
            "rocking",
            message("Does the whole enclosure stand still when you push a corner?"),
            message("What rocks comes apart."),
        ),
    ),
    (
        _has_anchors,
        Point(
            "anchors",
            message(
                "Does every wall anchor sit firmly in the wall and grip the top, so that nothing "
                "gives when you pull at it?"
            ),
            message("What is higher than it is deep tips over on people and animals."),
        ),
    ),
    (
        _may_tip_freely,
        Point(
            "anchor",
            message(
                "Is its top tied to a wall of the room at two places, so that it stands firm when "
                "you lean on it?"
            ),
            message("What is higher than it is deep tips over on people and animals."),
        ),
    ),
    (
        _always,
        Point(
            "tray",
            message("Does the tape hold at every corner and join of each tray?"),
            message("Urine runs out and tape ends get eaten."),
        ),
    ),
    (
        _always,
        Point(
            "liner",
            message("Does a liner or bedding cover every floor, up to the tray's walls?"),
            message("Bare sheet is slippery, and no animal may walk on wire."),
            _MESH_FLOORS,
        ),
    ),
    (
        _has_upper_floor,
        Point(
            "upper_floor",
            message(
                "Does each upper floor stay level when you press on its middle with a flat hand?"
            ),
            message("A floor that sags pulls out of its connectors."),
        ),
    ),
    (
        _has_supports,
        Point(
            "supports",
            message(
                "Does every support stand upright, held at its four corners and tied to the floor "
                "above?"
            ),
            message("Without it the floor above sags, and may come down on an animal."),
        ),
    ),
    (
        _has_ramp,
        Point(
            "ramp_tied",
            message("Is each ramp tied at its head and at its foot?"),
            message("An animal's first leap pushes it away."),
        ),
    ),
    (
        _has_ramp,
        Point(
            "ramp_still",
            message("Does each ramp stay still when you rock it by hand?"),
            message("Animals do not trust what moves, and fall."),
        ),
    ),
    (
        _has_ramp,
        Point(
            "grip",
            message(
                "Does the towel cover the whole strip of each ramp, with its end tucked under the "
                "upper liner?"
            ),
            message("Sheet is slippery, wire hurts feet."),
            _MESH_FLOORS,
        ),
    ),
    (
        _has_ramp,
        Point(
            "doorway",
            message(
                "Is each doorway smooth all the way round, and the tray's flap held down under the "
                "ramp's head?"
            ),
            message("Feet and bellies pass here all day."),
        ),
    ),
    (
        _has_guards,
        Point(
            "guards",
            message("Is every guard in its place beside the ramp, and firm?"),
            message("From the ramp an animal reaches the wall's top."),
        ),
    ),
    (
        _has_doors,
        Point(
            "doors",
            message(
                "Does each front door swing, close with both clips, and leave no gap that the "
                "smallest animal's head fits through?"
            ),
            message("A door that stands ajar lets them out, and a gap catches a head."),
        ),
    ),
    (
        _has_pup_set,
        Point(
            "pup_set",
            message(
                "Is every wall of the ground floor doubled, every clip closed and the foot of each "
                "ramp shut, so that the smallest head fits through no gap?"
            ),
            message("Young slip through gaps that hold adults, and get caught in tight ones."),
        ),
    ),
    (
        _has_lid,
        Point(
            "lid",
            message("Is every lid panel on, clipped, and can you open it with one hand?"),
            message("It keeps them in, and you must reach each animal quickly."),
        ),
    ),
    (
        _always,
        Point(
            "reach",
            message("Can you reach every corner to clean it and to take an animal out?"),
            message("What cannot be reached is not cleaned, and a sick animal hides there."),
        ),
    ),
    (
        _always,
        Point(
            "food",
            message("Do water, food and a hide stand on the ground floor?"),
            message("No animal should have to climb for what it needs."),
        ),
    ),
    (
        _has_furniture,
        Point(
            "furniture",
            message(
                "Is there a hide for each animal, each with two ways out, and are there as many "
                "places for water and hay as on the part list?"
            ),
            message("Where there are too few, one animal keeps the others away."),
        ),
    ),
    (
        _always,
        Point(
            "site",
            message(
                "Does it stand on a level floor, out of the sun and draughts, away from heaters "
                "and cables?"
            ),
            message("Animals here cannot move away from heat."),
        ),
    ),
    (
        _always,
        Point(
            "left",
            message("Are all tools, wire ends, tails and bits of sheet out of it?"),
            message("Whatever is left will be eaten."),
        ),
    ),
)


_BY_CODE = {point.code: point for _applies, point in _POINTS}


def words_now(kept: Mapping[str, str]) -> dict[str, str]:
    """A point that was kept, as it is asked today; one that is asked no more stays as it was."""
    point = _BY_CODE.get(kept["code"])
    return {**kept, **point._asdict()} if point else {**kept}


def inspection_list(structure: Structure) -> tuple[Point, ...]:
    """The points that apply to this structure, in the order one goes round it."""
    return tuple(point for applies, point in _POINTS if applies(structure))
