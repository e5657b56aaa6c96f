"""A design: the shape of an enclosure, in numbers, as its file tells it."""

from dataclasses import dataclass, field
from enum import StrEnum

from habitats.structure.lattice import Cell, Side


class Species(StrEnum):
    GUINEA_PIG = "guinea_pig"
    RABBIT = "rabbit"


@dataclass(frozen=True, slots=True)
class PanelSize:
    """A square wire panel: ``size_mm`` from joint to joint, ``squares`` mesh squares a side."""

    size_mm: int
    squares: int = 9

    @property
    def pitch_mm(self) -> float:
        """One mesh square, wire centre to wire centre."""
        return self.size_mm / self.squares


@dataclass(frozen=True, slots=True)
class TrayRule:
    """How trays are cut: wall height, room taken on every side, and rounding of the inside."""

    wall_mm: int = 150
    clearance_mm: int = 0
    round_mm: int = 10


@dataclass(frozen=True, slots=True)
class Level:
    """A floor ``z`` panels above the ground with walls ``wall_panels`` tiers high."""

    z: int
    wall_panels: int
    cells: frozenset[Cell]

    @property
    def top(self) -> int:
        """Height of the walls' upper edge, in panels above the ground."""
        return self.z + self.wall_panels


@dataclass(frozen=True, slots=True)
class Fitting:
    """A part that is drawn one by one; ``kind`` is its key in ``habitats.structure.kinds``.

    It stands at the named side of a cell, or has no ``side`` and lies over the cell or stands on
    the joint at ``row`` and ``col``: its kind says which. ``options`` are pairs of a key and a
    whole number.
    """

    kind: str
    row: int
    col: int
    side: Side | None
    z: int
    options: tuple[tuple[str, int], ...] = ()

    @property
    def cell(self) -> Cell:
        return Cell(self.row, self.col)

    @property
    def edge(self) -> tuple[Cell, Side]:
        """Where it stands. Raises ``ValueError`` for one that stands at no side."""
        if self.side is None:
            raise ValueError(f"a {self.kind} stands at no side of a cell")
        return self.cell, self.side


@dataclass(frozen=True, slots=True)
class RampWish:
    """A ramp as asked for: it leaves ``level`` through a doorway on ``side`` of a cell.

    ``panels`` is None for "auto": the fewest that keep the slope within the limit.
    """

    level: int
    row: int
    col: int
    side: Side
    panels: int | None = None
    overlap_squares: int = 3
    bend_squares: int = 3

    @property
    def cell(self) -> Cell:
        return Cell(self.row, self.col)


@dataclass(frozen=True, slots=True)
class Furniture:
    """What stands in it for so many animals; None: as many as these need."""

    animals: int
    hides: int | None = None
    water: int | None = None
    hay: int | None = None


@dataclass(frozen=True, slots=True)
class Limits:
    """Adjustable defaults. Common practice, no source: none of them is a safety limit."""

    slope_deg: float = 30.0


@dataclass(frozen=True, slots=True)
class Design:
    """A whole design; levels go from the ground up.

    ``fittings`` are kept kind by kind. A kind that can be worked out from the rest is, unless it
    is in ``by_hand``: then there are those in ``fittings``, and no more. ``room_walls`` are the
    sides of the whole footprint that stand at a wall of the room. ``furniture`` None: nobody said.
    ``pup_set``: young live in it, see ``pups``.
    """

    name: str
    species: Species
    panel: PanelSize
    rows: int
    cols: int
    levels: tuple[Level, ...]
    tray: TrayRule = field(default_factory=TrayRule)
    ramps: tuple[RampWish, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    by_hand: frozenset[str] = frozenset()
    lid: bool = False
    room_walls: frozenset[Side] = frozenset()
    furniture: Furniture | None = None
    pup_set: bool = False

    def __post_init__(self) -> None:
        in_order = tuple(sorted(self.fittings, key=lambda one: one.kind))
        object.__setattr__(self, "fittings", in_order)

    def of_kind(self, kind: str) -> tuple[Fitting, ...]:
        """The fittings of one kind, in the order in which they are told."""
        return tuple(one for one in self.fittings if one.kind == kind)

    @property
    def dividers(self) -> tuple[Fitting, ...]:
        return self.of_kind("divider")

    @property
    def guards(self) -> tuple[Fitting, ...] | None:
        """Those given one by one; None where they are worked out from the ramps."""
        return self.of_kind("guard") if "guard" in self.by_hand else None

    @property
    def supports(self) -> tuple[Fitting, ...] | None:
        """As ``guards``; worked out from the spans of upper floors."""
        return self.of_kind("support") if "support" in self.by_hand else None

    @property
    def ground(self) -> Level:
        return self.levels[0]

    def level_at(self, cell: Cell, z: int) -> int:
        """Index of the level with this cell at this height. Raises ``LookupError`` if none has."""
        for index, level in enumerate(self.levels):
            if level.z == z and cell in level.cells:
                return index
        raise LookupError(f"no floor at height {z}, {cell.words}")

    def highest_at(self, cell: Cell) -> int:
        """Index of the highest level that has the cell."""
        return max(i for i, level in enumerate(self.levels) if cell in level.cells)

    def floors_over(self, cell: Cell, z: int) -> list[int]:
        """Heights of the floors above ``z`` at this cell, lowest first."""
        return [level.z for level in self.levels if level.z > z and cell in level.cells]

    def cover_over(self, cell: Cell, z: int) -> int | None:
        """Height of whatever closes the space over a floor at ``z``: a floor or the lid.

        None where the cell is open above.
        """
        floors = self.floors_over(cell, z)
        if floors:
            return floors[0]
        return self.levels[self.highest_at(cell)].top if self.lid else None


def footprint_mm(design: Design) -> tuple[int, int]:
    """West to east and north to south, from joint to joint."""
    rows = [cell.row for cell in design.ground.cells]
    cols = [cell.col for cell in design.ground.cells]
    size = design.panel.size_mm
    return (max(cols) - min(cols) + 1) * size, (max(rows) - min(rows) + 1) * size
