"""Furniture: hides, and places for water and hay, set up once the cloth lies."""

from collections.abc import Mapping

from builds.making import times
from builds.making.part_names import HAY, HIDE, WATER, counted_part, part_name
from builds.making.step import Added, Step, Task
from habitats.structure.furniture import FurnitureKind, counts_of
from habitats.structure.structure import Structure
from habitats.wording import listed, message

FURNISH = "furnish"
CLEAR = "clear-furniture"
PIECES = {HIDE: FurnitureKind.HIDE, WATER: FurnitureKind.WATER, HAY: FurnitureKind.HAY}

Furnished = Mapping[str, int]  # by the codes of parts


def furniture_of(structure: Structure) -> Furnished:
    """How many of each stand in it, none of what there is none."""
    counts = counts_of(structure.design.furniture)
    return {what: counts[piece] for what, piece in PIECES.items() if counts.get(piece)}


def piece_words(piece: FurnitureKind) -> str:
    """What people call one."""
    return part_name(next(what for what, one in PIECES.items() if one is piece))


def furnish_step(brought: Furnished, needs: tuple[str, ...]) -> Step:
    """Sets it up; ``brought`` is what comes new."""
    return Step(
        id=FURNISH,
        title=message("Set up hides, water and hay"),
        instructions=(
            message("Bring %(things)s.", things=_counted(brought)),
            message(
                "Spread them over the ground floor, as in the picture, clear of ramps and doors: "
                "a hide in reach of every animal, with both its ways out free."
            ),
            message(
                "Hang water and hay so low that the smallest animal reaches them, and try that "
                "nothing tips over."
            ),
        ),
        needs=needs,
        adds=tuple(Added(what, count) for what, count in brought.items()),
        minutes=times.minutes((sum(brought.values()), times.SET_UP_PIECE)),
        facts=(Task.FURNISH, tuple(brought.items())),
    )


def clear_step(taken: Furnished, needs: tuple[str, ...]) -> Step:
    """Takes out what is not needed any more."""
    return Step(
        id=CLEAR,
        title=message("Take out hides, water and hay"),
        instructions=(
            message("Take out %(things)s.", things=_counted(taken)),
            message("Wash them and let them dry before they are stored."),
        ),
        needs=needs,
        minutes=times.minutes((sum(taken.values()), times.SET_UP_PIECE)),
        removes=tuple(Added(what, count) for what, count in taken.items()),
        facts=(Task.CLEAR, tuple(taken.items())),
    )


def _counted(furniture: Furnished) -> str:
    return listed([counted_part(count, what) for what, count in furniture.items()])
