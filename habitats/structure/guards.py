"""Guards: panels added on a wall because a ramp lifts an animal near its top.

A wall beside a ramp's lane, one tier high above the floor the ramp rises from, gets a guard on
each panel where the ramp's surface comes within 250 mm of its top. Under a lid there is nothing
to guard. Common practice, no source.
"""

from collections.abc import Iterable, Iterator, Sequence

from habitats.structure.design import Design, Fitting
from habitats.structure.faults import FileFault
from habitats.structure.lattice import PanelPlace, wall_place
from habitats.structure.ramp import Ramp
from habitats.wording import message

GUARD = "guard"
GUARD_WITHIN_MM = 250


def auto_guards(
    design: Design, ramps: Iterable[Ramp], places: frozenset[PanelPlace]
) -> tuple[Fitting, ...]:
    """The guards that the ramps ask for, given the places of all other panels."""
    if design.lid:
        return ()
    asked = {guard for ramp in ramps for guard in _beside(design, ramp, places)}
    return tuple(sorted(asked, key=lambda one: (*one.edge, one.z)))


def _beside(design: Design, ramp: Ramp, places: frozenset[PanelPlace]) -> Iterable[Fitting]:
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
                yield Fitting(GUARD, cell.row, cell.col, side, z + 1)


def guard_panels(design: Design, guards: Iterable[Fitting]) -> Iterator[tuple[PanelPlace, int]]:
    """Each guard's place, and the level whose wall it stands on."""
    for guard in guards:
        yield _place_of(guard), _level_under(design, guard)


def _place_of(guard: Fitting) -> PanelPlace:
    return wall_place(*guard.edge, guard.z)


def _level_under(design: Design, guard: Fitting) -> int:
    return max(
        (
            i
            for i, level in enumerate(design.levels)
            if level.z <= guard.z and guard.cell in level.cells
        ),
        default=0,
    )


def guard_faults(
    design: Design, guards: Sequence[Fitting], places: frozenset[PanelPlace]
) -> list[FileFault]:
    """What is wrong with guards given one by one, given the places of all other panels."""
    return [*_unsupported(guards, places), *_in_floors(design, guards)]


def _in_floors(design: Design, guards: Iterable[Fitting]) -> list[FileFault]:
    """Guards that would stand with floor of one upper level on both their sides."""
    return [
        FileFault(
            f"guards[{number}]",
            message(
                "A guard at %(cell)s, side %(side)s, height %(z)s would stand in the middle of "
                "the floor and tray of level %(index)s. Guards stand on walls round a floor; "
                "for a wall across it name a divider.",
                cell=guard.cell.words,
                side=guard.side,
                z=guard.z,
                index=index,
            ),
            message(
                "The guard at %(cell)s, side %(side)s would stand in the middle of the floor of "
                "level %(index)s. Choose “Guards where a ramp needs them”, or draw a divider "
                "there.",
                cell=guard.cell.words,
                side=guard.side,
                index=index,
            ),
        )
        for number, guard in enumerate(guards)
        for index, level in enumerate(design.levels)
        if level.z == guard.z
        and level.cells.issuperset((guard.cell, guard.cell.beyond(guard.edge[1])))
    ]


def _unsupported(guards: Sequence[Fitting], places: frozenset[PanelPlace]) -> list[FileFault]:
    """Guards that stand on no panel, or where another panel is.

    A guard named twice stands once and is no fault.
    """
    faults = []
    taken = set(places)
    for index, guard in sorted(enumerate(guards), key=lambda pair: pair[1].z):
        if _place_of(guard) in places:
            faults.append(FileFault(f"guards[{index}]", _where_a_panel_is(guard)))
        elif wall_place(*guard.edge, guard.z - 1) not in taken:
            faults.append(FileFault(f"guards[{index}]", _on_nothing(guard)))
        taken.add(_place_of(guard))
    return sorted(faults)


def _where_a_panel_is(guard: Fitting) -> str:
    return message(
        "A panel already stands %(where)s. Leave out this guard, or place it one higher.",
        where=_where(guard),
    )


def _on_nothing(guard: Fitting) -> str:
    return message(
        "Nothing stands below a guard %(where)s. Put guards on top of a wall.", where=_where(guard)
    )


def _where(guard: Fitting) -> str:
    return message(
        "at %(cell)s, side %(side)s, height %(z)s",
        cell=guard.cell.words,
        side=guard.side,
        z=guard.z,
    )
