"""What stands in an enclosure for its animals: hides, and places for water and for hay.

How many there are follows from how many animals it is planned for, unless a person says otherwise.
Where each stands is a proposal: spread over the ground, and clear of ramps. Common practice, no
source.
"""

from collections.abc import Callable, Iterator, Mapping
from enum import StrEnum
from typing import NamedTuple

from habitats.structure.design import Furniture
from habitats.structure.lattice import Cell
from habitats.structure.structure import Structure
from habitats.wording import counted, listed

# A hide for each, so that none keeps another out; one spare place for water, should one be blocked;
# no more animals than this at one place for hay.
LEAST_WATER = 2
ANIMALS_AT_WATER = 2
ANIMALS_AT_HAY = 2
HIDE_EXITS = 2


class FurnitureKind(StrEnum):
    """What stands in an enclosure. A code is never changed."""

    HIDE = "hide"
    WATER = "water"
    HAY = "hay"


class FurniturePlace(NamedTuple):
    """Where one stands: in a quarter of a cell of the ground, told in halves of its sides."""

    piece: FurnitureKind
    cell: Cell
    down: int
    right: int

    @property
    def middle(self) -> tuple[float, float]:
        """In panels from west and from north."""
        return self.cell.col + (1 + 2 * self.right) / 4, self.cell.row + (1 + 2 * self.down) / 4


def needed(animals: int) -> dict[FurnitureKind, int]:
    """How many of each so many animals need."""
    return {
        FurnitureKind.HIDE: animals,
        FurnitureKind.WATER: max(LEAST_WATER, -(-animals // ANIMALS_AT_WATER)),
        FurnitureKind.HAY: -(-animals // ANIMALS_AT_HAY),
    }


def counts_of(furniture: Furniture | None) -> Mapping[FurnitureKind, int]:
    """How many of each there are: as a person said, else as the animals need. None: nothing."""
    if furniture is None:
        return {}
    said = (furniture.hides, furniture.water, furniture.hay)
    usual = needed(furniture.animals).items()
    return {
        piece: count if own is None else own
        for (piece, count), own in zip(usual, said, strict=True)
    }


def counted_pieces(piece: FurnitureKind, count: int) -> str:
    """So many of them, in words."""
    return _COUNTED[piece](count)


def furniture_words(furniture: Furniture | None) -> str:
    """All of it as a list; empty where there is none."""
    counts = counts_of(furniture)
    some = [counted_pieces(piece, count) for piece, count in counts.items() if count]
    return listed(some) if some else ""


_COUNTED: dict[FurnitureKind, Callable[[int], str]] = {
    FurnitureKind.HIDE: lambda n: counted("%(count)d hide", "%(count)d hides", n),
    FurnitureKind.WATER: lambda n: counted(
        "%(count)d water bottle or bowl", "%(count)d water bottles or bowls", n
    ),
    FurnitureKind.HAY: lambda n: counted("%(count)d hay rack", "%(count)d hay racks", n),
}


def places_of(structure: Structure) -> tuple[FurniturePlace, ...]:
    """Where each may stand, hides first; none where the ground has no room left."""
    free = list(_quarters(structure))
    taken: list[FurniturePlace] = []
    for piece, count in counts_of(structure.design.furniture).items():
        for _number in range(min(count, len(free))):
            best = max(free, key=lambda one: (_apart(one, taken), -one[0].row, -one[0].col))
            free.remove(best)
            taken.append(FurniturePlace(piece, *best))
    return tuple(taken)


_Quarter = tuple[Cell, int, int]


def _quarters(structure: Structure) -> Iterator[_Quarter]:
    """Quarters of cells that no ramp to the ground needs, in reading order."""
    lanes = {cell for ramp in structure.ramps if ramp.landing == 0 for cell in ramp.lane}
    for cell in sorted(structure.design.ground.cells - lanes):
        yield from ((cell, down, right) for down in (0, 1) for right in (0, 1))


def _apart(one: _Quarter, taken: list[FurniturePlace]) -> float:
    """How far it is from the nearest that is taken."""
    x, y = FurniturePlace(FurnitureKind.HIDE, *one).middle
    return min(
        (abs(x - place.middle[0]) + abs(y - place.middle[1]) for place in taken), default=0.0
    )
