"""Guards: panels added on a wall because a ramp lifts an animal near its top.

A wall beside a ramp's lane, one tier high above the floor the ramp rises from, gets a guard on
each panel where the ramp's surface comes within 250 mm of its top. Under a lid there is nothing
to guard. Common practice, no source.
"""

from collections.abc import Iterable

from habitats.structure.design import Design, Guard
from habitats.structure.faults import Fault
from habitats.structure.lattice import Place, wall_place
from habitats.structure.ramp import Ramp

GUARD_WITHIN_MM = 250


def auto_guards(
    design: Design, ramps: Iterable[Ramp], places: frozenset[Place]
) -> tuple[Guard, ...]:
    """The guards that the ramps ask for, given the places of all other panels."""
    if design.lid:
        return ()
    return tuple(sorted({guard for ramp in ramps for guard in _beside(design, ramp, places)}))


def _beside(design: Design, ramp: Ramp, places: frozenset[Place]) -> Iterable[Guard]:
    size = design.panel.size_mm
    z = design.levels[ramp.landing].z
    for index, cell in enumerate(ramp.lane):
        # The surface is nearest to the top of this cell's walls at the edge toward the doorway.
        left_mm = size - ramp.height_at(index * size)
        if left_mm > GUARD_WITHIN_MM:
            continue
        for side in ramp.side.beside:
            wall, above = wall_place(cell, side, z), wall_place(cell, side, z + 1)
            if wall in places and above not in places:
                yield Guard(cell.row, cell.col, side, z + 1)


def place_of(guard: Guard) -> Place:
    """Where the guard's panel stands."""
    return wall_place(guard.cell, guard.side, guard.z)


def each_once(guards: Iterable[Guard]) -> tuple[Guard, ...]:
    """The guards without those that name a place another one before them has named."""
    first: dict[Place, Guard] = {}
    for guard in guards:
        first.setdefault(place_of(guard), guard)
    return tuple(first.values())


def guards_in_floors(design: Design, guards: Iterable[Guard]) -> list[Fault]:
    """Guards that would stand with floor of one upper level on both their sides."""
    return [
        Fault(
            f"guards[{number}]",
            f"A guard at row {guard.row}, col {guard.col}, side {guard.side}, height {guard.z} "
            f"would stand in the middle of the floor and tray of level {index}. Guards stand on "
            "walls round a floor; for a wall across it name a divider.",
            f"The guard at row {guard.row}, col {guard.col}, side {guard.side} would stand in the "
            f"middle of the floor of level {index}. Choose “Guards where a ramp needs them”, or "
            "draw a divider there.",
        )
        for number, guard in enumerate(guards)
        for index, level in enumerate(design.levels)
        if level.z == guard.z
        and level.cells.issuperset((guard.cell, guard.cell.beyond(guard.side)))
    ]


def guard_faults(guards: tuple[Guard, ...], places: frozenset[Place]) -> list[Fault]:
    """What is wrong with guards given one by one: each stands on a panel, where no other is.

    A guard named twice stands once and is no fault.
    """
    faults = []
    taken = set(places)
    for index, guard in sorted(enumerate(guards), key=lambda pair: pair[1].z):
        place = place_of(guard)
        where = f"at row {guard.row}, col {guard.col}, side {guard.side}, height {guard.z}"
        if place in places:
            faults.append(
                Fault(
                    f"guards[{index}]",
                    f"A panel already stands {where}. Leave out "
                    "this guard, or place it one higher.",
                )
            )
        elif wall_place(guard.cell, guard.side, guard.z - 1) not in taken:
            faults.append(
                Fault(
                    f"guards[{index}]",
                    f"Nothing stands below a guard {where}. Put guards on top of a wall.",
                )
            )
        taken.add(place)
    return sorted(faults)
