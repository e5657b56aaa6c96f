"""Warnings about the use of what stands: reach of a hand, load, small levels, tipping over."""

from collections.abc import Iterator

from habitats.measures import kilograms
from habitats.structure.anchors import ANCHOR
from habitats.structure.caution import PRACTICE, Caution, Lengths, Rule
from habitats.structure.design import Species, footprint_mm
from habitats.structure.doors import DOOR
from habitats.structure.loads import GROWN_G, load_of
from habitats.structure.reach import REACH_MM, open_edges, out_of_reach
from habitats.structure.spans import LONGEST_SPAN
from habitats.structure.structure import Structure
from habitats.structure.tipping import height_mm, is_anchored, may_tip
from habitats.structure.words import level_words
from habitats.wording import counted, message

# Panels of an upper level. Common practice, no source.
LEAST_LEVEL = 2


def load_of_floors(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    species = structure.design.species
    for index in range(1, len(structure.design.levels)):
        if load := load_of(structure, index):
            given = {
                "level": index,
                "total": kilograms(load.total_g),
                "furnished": kilograms(load.furnished_g),
                "each": kilograms(GROWN_G[species]),
                "most": LONGEST_SPAN,
            }
            yield Caution("upper_load", _LOADS[species](load.animals, **given), PRACTICE)


def _guinea_pig_load(count: int, **given: object) -> str:
    return counted(
        "Level %(level)d is meant for %(total)s, spread evenly: %(furnished)s for tray, cloth, "
        "hay and dishes, and %(count)d guinea pig of %(each)s. This holds for a floor that spans "
        "%(most)d panels at most; nobody leans or sits on it.",
        "Level %(level)d is meant for %(total)s, spread evenly: %(furnished)s for tray, cloth, "
        "hay and dishes, and %(count)d guinea pigs of %(each)s. This holds for a floor that spans "
        "%(most)d panels at most; nobody leans or sits on it.",
        count,
        **given,
    )


def _rabbit_load(count: int, **given: object) -> str:
    return counted(
        "Level %(level)d is meant for %(total)s, spread evenly: %(furnished)s for tray, cloth, "
        "hay and dishes, and %(count)d rabbit of %(each)s. This holds for a floor that spans "
        "%(most)d panels at most; nobody leans or sits on it.",
        "Level %(level)d is meant for %(total)s, spread evenly: %(furnished)s for tray, cloth, "
        "hay and dishes, and %(count)d rabbits of %(each)s. This holds for a floor that spans "
        "%(most)d panels at most; nobody leans or sits on it.",
        count,
        **given,
    )


_LOADS = {Species.GUINEA_PIG: _guinea_pig_load, Species.RABBIT: _rabbit_load}


def _covered(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    for index in range(len(structure.design.levels)):
        if cells := out_of_reach(structure.design, index).covered:
            yield Caution(
                "needs_door",
                counted(
                    "A hand does not reach %(count)d cell under a floor or lid (%(level)s, "
                    "%(cell)s). Place a front door in an open wall, within %(reach)s of the "
                    "middle of the cell.",
                    "A hand does not reach %(count)d cells under a floor or lid (the first: "
                    "%(level)s, %(cell)s). Place front doors in open walls, within %(reach)s of "
                    "the middle of each cell.",
                    len(cells),
                    level=level_words(structure, index),
                    cell=cells[0].words,
                    reach=lengths(REACH_MM),
                ),
                PRACTICE,
            )


def _far(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    for index in range(len(structure.design.levels)):
        if cells := out_of_reach(structure.design, index).far:
            yield Caution(
                "out_of_reach",
                counted(
                    "The middle of %(count)d cell (%(level)s, %(cell)s) is more than %(reach)s "
                    "from every side where a person can stand. Make it narrower, or leave a gap "
                    "to the wall of the room.",
                    "The middle of %(count)d cells (the first: %(level)s, %(cell)s) is more than "
                    "%(reach)s from every side where a person can stand. Make it narrower, or "
                    "leave a gap to the wall of the room.",
                    len(cells),
                    level=level_words(structure, index),
                    cell=cells[0].words,
                    reach=lengths(REACH_MM),
                ),
                PRACTICE,
            )


def _door_at_wall(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    sides = open_edges(structure.design)
    for one in structure.of_kind(DOOR):
        if one.edge not in sides:
            yield Caution(
                "door_at_wall",
                message(
                    "Nobody can stand at the front door at %(cell)s, side %(side)s: it opens onto "
                    "a wall of the room or onto floor. Move it to an open side.",
                    cell=one.cell.words,
                    side=one.edge[1],
                ),
                PRACTICE,
            )


def _small_level(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    for index, level in enumerate(structure.design.levels):
        if index and len(level.cells) < LEAST_LEVEL:
            yield Caution(
                "small_level",
                message(
                    "Level %(level)d is a single panel: two animals that meet there cannot pass, "
                    "and one that turns back blocks the ramp. Draw at least %(least)d panels.",
                    level=index,
                    least=LEAST_LEVEL,
                ),
                PRACTICE,
            )


def _tall(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    if may_tip(structure) and not is_anchored(structure):
        yield Caution(
            "may_tip",
            message(
                "The enclosure is %(height)s high and %(side)s deep: higher than its shorter side, "
                "so a person who leans on it can tip it. Put it at a wall of the room and hold its "
                "top there with two wall anchors, or make it lower or deeper.",
                height=lengths(height_mm(structure)),
                side=lengths(min(footprint_mm(structure.design))),
            ),
            PRACTICE,
        )


def _anchor_without_wall(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    sides = open_edges(structure.design)
    for one in structure.of_kind(ANCHOR):
        if one.edge in sides:
            yield Caution(
                "anchor_without_wall",
                message(
                    "At the wall anchor at %(cell)s, side %(side)s there is no wall of the room. "
                    "Choose that side under “Walls of the room”, or move the anchor.",
                    cell=one.cell.words,
                    side=one.edge[1],
                ),
                PRACTICE,
            )


def _what_holds(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    if structure.of_kind(ANCHOR):
        yield Caution(
            "anchor_holds",
            message(
                "What holds in your wall depends on the wall. Choose bracket, screw and plug for "
                "it, and ask the landlord and a tradesperson before anybody drills: cables and "
                "pipes run in walls."
            ),
            PRACTICE,
        )


USE_RULES: tuple[Rule, ...] = (
    _covered,
    _far,
    _door_at_wall,
    _small_level,
    _tall,
    _anchor_without_wall,
    _what_holds,
)
