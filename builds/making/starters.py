"""Starter designs, worked out for one size of panel, by measure and by a space standard.

Plain shapes to copy and change. Walls are as high as the standard asks, and a run or a quarantine
enclosure as small as it allows. Front doors stand where no hand reaches under a floor or lid. What
cannot be made of a panel is left out.
Hides, water and hay are planned for the animals that it is made for, or has space for.

>>> [one.shape.name for one in starters(PanelSize(350, 9))][:2]
['Rectangle, 2 × 3', 'Rectangle, 2 × 4']
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from habitats.structure.design import Design, Furniture, Level, Limits, PanelSize, RampWish, Species
from habitats.structure.door_places import with_doors_where_needed
from habitats.structure.faults import BadDesign
from habitats.structure.kinds import KINDS, Role
from habitats.structure.lattice import Cell, Side
from habitats.structure.read import (
    FURNISHED_FOR,
    MOST_COLS,
    MOST_ROWS,
    MOST_TIERS,
    design_from,
    document_of,
)
from habitats.structure.structure import Structure, raise_structure
from habitats.welfare.holding import most_grown
from habitats.welfare.rooms import room_of
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.space import judged
from habitats.welfare.values import Resident
from habitats.wording import counted, message

# Panels of this size are the commonest that were met; common practice, no source.
USUAL_PANEL = PanelSize(350, 9)
USUAL_LIMITS = Limits()
RECTANGLES = ((2, 3), (2, 4), (2, 5), (3, 4))
ELL = ("####", "####", "##..")
YOU = ("##.##", "#####", "#####")
# A new pair is watched apart from the others; common practice, no source: ask your vet.
IN_QUARANTINE = 2
PAIR = 2  # the fewest animals that are kept together
RABBITS = (2, 3)
# A run that nobody chose a standard for: about 3 × 2 m, two panels high.
USUAL_RUN_MM = (2000, 3000)
RUN_TIERS = 2
# Overlaps of a ramp's panels that are tried, the firmest first.
OVERLAPS = (3, 2, 1)
MOST_TRIED = 8


@dataclass(frozen=True, slots=True)
class Starter:
    """A design with a ``code`` of its own; ``structure`` is it raised.

    ``in_pairs``: one of two that are built alike and stand apart.
    """

    code: str
    shape: Design
    structure: Structure
    in_pairs: bool = False

    def holds(self, rules: RuleSet | None) -> int | None:
        """How many grown animals, by the rules of its species; None: none are chosen."""
        return most_grown(room_of(self.structure), rules) if rules else None


@lru_cache(maxsize=32)
def starters(
    panel: PanelSize,
    guinea_pigs: RuleSet | None = None,
    rabbits: RuleSet | None = None,
    limits: Limits = USUAL_LIMITS,
) -> tuple[Starter, ...]:
    """All that can be made of the panel, in a fixed order.

    ``guinea_pigs`` and ``rabbits`` are the rules of each species; None: its starters are furnished
    for nobody.
    """
    return tuple(_Made(panel, limits).all(guinea_pigs, rabbits))


@dataclass(frozen=True, slots=True)
class _Made:
    panel: PanelSize
    limits: Limits

    def all(self, guinea_pigs: RuleSet | None, rabbits: RuleSet | None) -> Iterator[Starter]:
        tiers = self._tiers(guinea_pigs, 1)
        for rows, cols in RECTANGLES:
            name = message("Rectangle, %(rows)d × %(cols)d", rows=rows, cols=cols)
            shape = self._shape(name, _rectangle(rows, cols), tiers)
            yield from self._sound(f"rectangle-{rows}-{cols}", shape, guinea_pigs)
        ell = self._shape(message("L shape, 3 × 4"), _cells(ELL), tiers)
        yield from self._sound("ell", ell, guinea_pigs)
        you = self._shape(message("U shape, 3 × 5"), _cells(YOU), tiers)
        yield from self._sound("you", you, guinea_pigs)
        yield from self._with_upper_level(tiers, guinea_pigs)
        quarantine = message("Quarantine enclosure")
        found = self._smallest(quarantine, guinea_pigs, IN_QUARANTINE, tiers)
        found = found or self._shape(quarantine, _rectangle(2, 2), tiers)
        yield from self._sound("quarantine", found, IN_QUARANTINE, in_pairs=True)
        yield from self._runs(rabbits)

    def _with_upper_level(self, tiers: int, rules: RuleSet | None) -> Iterator[Starter]:
        """Two cells of floor one panel up, and the ramp whose panels overlap most."""
        ground = self._shape(message("2 × 4 with upper level"), _rectangle(2, 4), tiers)
        upper = Level(1, max(1, tiers - 1), frozenset({Cell(0, 3), Cell(1, 3)}))
        bend = min(RampWish(1, 1, 3, Side.W).bend_squares, (self.panel.squares - 1) // 2)
        for overlap in OVERLAPS:
            ramp = RampWish(1, 1, 3, Side.W, overlap_squares=overlap, bend_squares=bend)
            shape = replace(ground, levels=(*ground.levels, upper), ramps=(ramp,))
            found = list(self._sound("upper-level", shape, rules))
            if found:
                yield found[0]
                return

    def _runs(self, rules: RuleSet | None) -> Iterator[Starter]:
        """Runs with a lid: for each number of rabbits the smallest that the standard allows."""
        tiers = self._tiers(rules, RUN_TIERS)
        if rules is None:
            rows, cols = (-(-side // self.panel.size_mm) for side in USUAL_RUN_MM)
            name = message("Rabbit run, %(rows)d × %(cols)d", rows=rows, cols=cols)
            yield from self._sound("run", self._run(name, _rectangle(rows, cols), tiers), None)
            return
        for number in RABBITS:
            of_so_many = counted("Run for %(count)d rabbit", "Run for %(count)d rabbits", number)
            run = self._run(of_so_many, frozenset(), tiers)
            found = self._smallest(of_so_many, rules, number, tiers, run)
            if found:
                yield from self._sound(f"run-{number}", found, number)

    def _run(self, name: str, cells: frozenset[Cell], tiers: int) -> Design:
        return replace(self._shape(name, cells, tiers), species=Species.RABBIT, lid=True)

    def _smallest(
        self,
        name: str,
        rules: RuleSet | None,
        number: int,
        tiers: int,
        like: Design | None = None,
    ) -> Design | None:
        """The rectangle with the fewest cells, two a side at least, that has room for so many."""
        if rules is None or tiers * self.panel.size_mm < _height_mm(rules):
            return None
        like = like or self._shape(name, frozenset(), tiers)
        animals = [Resident()] * max(number, rules.least_animals)
        if not rules.floor.covers(animals):
            return None
        for rows, cols in self._by_size(rules, animals)[:MOST_TRIED]:
            shape = _with_cells(like, _rectangle(rows, cols))
            structure = self._raised(shape)
            if structure and judged(rules, rules.species, room_of(structure), animals).passes:
                return shape
        return None

    def _by_size(self, rules: RuleSet, animals: Sequence[Resident]) -> list[tuple[int, int]]:
        """Rows and columns that may have room for them by the footprint, fewest cells first."""
        size = self.panel.size_mm
        fitting = (
            (rows, cols)
            for rows in range(2, MOST_ROWS + 1)
            for cols in range(rows, MOST_COLS + 1)
            if rows * cols * size**2 >= rules.required_mm2(animals)
            and cols * size >= (rules.longest_side_mm or 0)
            and rows * size >= (rules.shortest_side_mm or 0)
        )
        # Of as many cells the squarest, in which one can turn.
        return sorted(fitting, key=lambda one: (one[0] * one[1], one[1]))

    def _tiers(self, rules: RuleSet | None, least: int) -> int:
        """How many panels high the walls are, so that the standard's height is there."""
        return min(MOST_TIERS, max(least, -(-_height_mm(rules) // self.panel.size_mm)))

    def _shape(self, name: str, cells: frozenset[Cell], tiers: int) -> Design:
        bare = Design(name, Species.GUINEA_PIG, self.panel, 1, 1, (Level(0, tiers, frozenset()),))
        return _with_cells(bare, cells)

    def _sound(
        self, code: str, shape: Design, made_for: RuleSet | int | None, *, in_pairs: bool = False
    ) -> Iterator[Starter]:
        """``made_for``: so many animals, or as many as these rules allow."""
        shape = with_doors_where_needed(shape, KINDS[Role.DOOR].most)
        structure = self._raised(shape)
        if structure is None:
            return
        if animals := _animals_in(structure, made_for):
            shape = replace(shape, furniture=Furniture(animals))
            structure = self._raised(shape)
        if structure is not None:
            yield Starter(code, shape, structure, in_pairs)

    def _raised(self, shape: Design) -> Structure | None:
        return _raised(shape, self.limits)


@lru_cache(maxsize=64)
def _raised(shape: Design, limits: Limits) -> Structure | None:
    """As it is read from its file again; None where it cannot be made, or told in one."""
    try:
        return raise_structure(design_from(document_of(shape)), limits)
    except BadDesign:
        return None


def _animals_in(structure: Structure, made_for: RuleSet | int | None) -> int:
    """How many to plan for: two where nobody chose rules; 0: these rules allow none in it."""
    if made_for is None:
        return PAIR
    if isinstance(made_for, int):
        return made_for
    return min(most_grown(room_of(structure), made_for), FURNISHED_FOR[1])


def _height_mm(rules: RuleSet | None) -> int:
    """What two grown animals are owed; 0 where the standard has no figure."""
    return (rules.needed_height_mm([Resident()] * 2) or 0) if rules else 0


def _with_cells(shape: Design, cells: frozenset[Cell]) -> Design:
    if not cells:
        return shape
    ground = replace(shape.ground, cells=cells)
    rows, cols = max(one.row for one in cells) + 1, max(one.col for one in cells) + 1
    return replace(shape, rows=rows, cols=cols, levels=(ground,))


def _rectangle(rows: int, cols: int) -> frozenset[Cell]:
    return frozenset(Cell(row, col) for row in range(rows) for col in range(cols))


def _cells(plan: Sequence[str]) -> frozenset[Cell]:
    return frozenset(
        Cell(row, col)
        for row, line in enumerate(plan)
        for col, mark in enumerate(line)
        if mark == "#"
    )
