"""What mends a drawing that cannot be made yet: changes, each tried before it is offered.

A change is offered for a fault only if afterwards less is wrong with the same part, and no more
with the whole; changes after which least is wrong come first.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import islice
from typing import NamedTuple

from habitats.structure import edit
from habitats.structure.design import Design, Level, RampWish
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.joining import bridge_between
from habitats.structure.kinds import Role, fitting_kinds, with_fittings
from habitats.structure.lattice import Cell, Side, connected_pieces, outer_edges
from habitats.structure.read import MOST_TIERS
from habitats.wording import message

MOST_TRIED = 40  # changes for one fault
MOST_OFFERED = 2


class Remedy(NamedTuple):
    """A change that mends a fault. ``code`` names it as long as the drawing stays as it is; of
    changes with the same ``way`` the first that helps will do."""

    way: str
    code: str
    words: str
    moved: edit.Moved


Faults = Callable[[Design], Sequence[FileFault]]


def remedies_for(design: Design, fault: FileFault, faults: Faults) -> list[Remedy]:
    """The best changes that mend this fault of the design; ``faults`` tells those of a design."""
    before = faults(design)
    helping: list[tuple[int, Remedy]] = []
    done: set[str] = set()
    for remedy in islice(_changes(design, fault), MOST_TRIED):
        if remedy.way in done:
            continue
        left = faults(remedy.moved.design)
        if len(left) <= len(before) and _about(fault, left) < _about(fault, before):
            helping.append((len(left), remedy))
            done.add(remedy.way)
        if sum(1 for count, _remedy in helping if count < len(before)) == MOST_OFFERED:
            break
    return [remedy for _left, remedy in sorted(helping, key=lambda one: one[0])[:MOST_OFFERED]]


def _about(fault: FileFault, some: Sequence[FileFault]) -> int:
    """How many are about the same part of the drawing."""
    return sum(1 for one in some if one.subject == fault.subject)


def remedied(design: Design, code: str, faults: Faults) -> edit.Moved | None:
    """The design after the change of this code; None where it would mend nothing any more."""
    offered = (remedy for fault in faults(design) for remedy in remedies_for(design, fault, faults))
    return next((remedy.moved for remedy in offered if remedy.code == code), None)


def _changes(design: Design, fault: FileFault) -> Iterator[Remedy]:
    """Changes that may mend the fault, the likeliest first."""
    what, number = fault.subject
    if what == "levels" and number is not None:
        yield from _level_changes(design, number)
    elif what == "ramps":
        numbers = range(len(design.ramps)) if number is None else (number,)
        yield from (remedy for one in numbers for remedy in _ramp_changes(design, one))
    elif what == "lid":
        yield from _tiers_everywhere(design)
        yield _lid_off(design)
    elif number is not None:
        yield from _fitting_changes(design, what, number)


# --- Levels ---


def _level_changes(design: Design, index: int) -> Iterator[Remedy]:
    level = design.levels[index]
    pieces = connected_pieces(level.cells)
    if not pieces:
        if index:
            words = message("Remove level %(level)d", level=index)
            yield Remedy("remove", f"remove-{index}", words, edit.remove_level(design, index))
    elif len(pieces) > 1:
        yield from _whole_changes(design, index, pieces)
    else:
        yield from _own_cell_changes(design, index)
        yield from _carrying_changes(design, index)


def _whole_changes(design: Design, index: int, pieces: list[frozenset[Cell]]) -> Iterator[Remedy]:
    cells = design.levels[index].cells
    joined = cells.union(*(bridge_between(pieces[0], one) for one in pieces[1:]))
    yield from _with_cells(design, index, joined, "join", message("Join the pieces"))
    largest = max(pieces, key=len)
    yield from _with_cells(design, index, largest, "keep", message("Keep only the largest piece"))


def _own_cell_changes(design: Design, index: int) -> Iterator[Remedy]:
    """For cells over nothing, or of two levels of one height."""
    level = design.levels[index]
    others = [one for at, one in enumerate(design.levels) if at != index and one.z == level.z]
    shared = level.cells.intersection(_all_cells(others))
    below = _all_cells(one for one in design.levels if one.z < level.z)
    bare = level.cells - below if index else frozenset[Cell]()
    if bare:
        ground = design.ground.cells | bare
        yield from _with_cells(design, 0, ground, "under", message("Draw the floor below"))
    if clear := shared | bare:
        words = message("Clear these cells of level %(level)d", level=index)
        yield from _with_cells(design, index, level.cells - clear, "clear", words)


def _carrying_changes(design: Design, index: int) -> Iterator[Remedy]:
    """For a floor that no wall carries, or that a wall would go through."""
    level = design.levels[index]
    for at, one in reversed([*enumerate(design.levels[:index])]):
        yield from _tiers(design, at, level.z - one.z)
    for over in design.levels[index + 1 :]:
        yield from _tiers(design, index, over.z - level.z)
    for z in sorted({one.top for one in design.levels[:index]} - {level.z}):
        yield from _height(design, index, z)


def _height(design: Design, index: int, z: int) -> Iterator[Remedy]:
    words = message("Put level %(level)d at height %(z)s", level=index, z=z)
    yield from _tried(
        "height", f"height-{index}-{z}", words, lambda: edit.set_height(design, index, z)
    )


def _tiers(design: Design, index: int, tiers: int) -> Iterator[Remedy]:
    """Walls of this level so many panels high."""
    if not 1 <= tiers <= MOST_TIERS or tiers == design.levels[index].wall_panels:
        return
    if index == 0:
        words = message("Make ground walls %(tiers)d high", tiers=tiers)
    else:
        words = message("Make walls of level %(level)d %(tiers)d high", level=index, tiers=tiers)
    yield from _tried(
        "tiers", f"tiers-{index}-{tiers}", words, lambda: edit.set_tiers(design, index, tiers)
    )


def _tiers_everywhere(design: Design) -> Iterator[Remedy]:
    """Higher walls, the least higher first."""
    for more in range(1, MOST_TIERS):
        for index, level in enumerate(design.levels):
            yield from _tiers(design, index, level.wall_panels + more)


def _lid_off(design: Design) -> Remedy:
    return Remedy(
        "lid", "no-lid", message("Leave the lid off"), _unmoved(replace(design, lid=False))
    )


def _with_cells(
    design: Design, index: int, cells: frozenset[Cell], code: str, words: str
) -> Iterator[Remedy]:
    try:
        yield Remedy(code, f"{code}-{index}", words, edit.set_plan(design, index, cells))
    except BadDesign:
        return


def _all_cells(levels: Iterable[Level]) -> frozenset[Cell]:
    return frozenset[Cell]().union(*(one.cells for one in levels))


# --- Ramps ---


def _ramp_changes(design: Design, number: int) -> Iterator[Remedy]:
    wish = design.ramps[number]
    if wish.panels is not None:
        words = message("Use the fewest panels for the slope")
        auto = replace(wish, panels=None)
        yield Remedy("auto", f"ramp-{number}-auto", words, _with_ramp(design, number, auto))
    yield from _doorways_beside(design, number)
    yield from _tiers_everywhere(design)
    if design.lid:
        yield _lid_off(design)
    for squares in range(wish.bend_squares + 1, (design.panel.squares - 1) // 2 + 1):
        words = message("Bend up %(squares)d squares each side", squares=squares)
        bent = replace(wish, bend_squares=squares)
        yield Remedy(
            "bend", f"ramp-{number}-bend-{squares}", words, _with_ramp(design, number, bent)
        )
    words = message("Remove this ramp")
    yield Remedy(
        "remove", f"ramp-{number}-remove", words, _unmoved(edit.remove_ramp(design, number))
    )


def _doorways_beside(design: Design, number: int) -> Iterator[Remedy]:
    """The same ramp through other edges of its level with floor beyond them, the nearest first."""
    wish = design.ramps[number]
    if wish.level >= len(design.levels):
        return
    level = design.levels[wish.level]
    lower = _all_cells(one for one in design.levels if one.z < level.z)
    taken = {(one.level, one.cell, one.side) for one in design.ramps}
    edges = [
        (cell, side)
        for cell, side in outer_edges(level.cells)
        if cell.beyond(side) in lower and (wish.level, cell, side) not in taken
    ]

    def distance(edge: tuple[Cell, Side]) -> int:
        return abs(edge[0].row - wish.row) + abs(edge[0].col - wish.col)

    for cell, side in sorted(edges, key=distance)[: MOST_TRIED // 2]:
        words = message("Move the ramp to %(cell)s, side %(side)s", cell=cell.words, side=side)
        there = replace(wish, row=cell.row, col=cell.col, side=side)
        code = f"ramp-{number}-{cell.row}-{cell.col}-{side}"
        yield Remedy("doorway", code, words, _with_ramp(design, number, there))


def _with_ramp(design: Design, number: int, wish: RampWish) -> edit.Moved:
    ramps = (*design.ramps[:number], wish, *design.ramps[number + 1 :])
    return _unmoved(replace(design, ramps=ramps))


# --- Fittings ---


def _fitting_changes(design: Design, in_file: str, number: int) -> Iterator[Remedy]:
    kind = next((one for one in fitting_kinds() if one.in_file == in_file), None)
    if kind is None:
        return
    if kind.role == Role.GUARD:
        words = message("Place guards where a ramp needs them")
        yield Remedy("guards", "guards", words, _unmoved(with_fittings(design, kind.role, None)))
    given = design.of_kind(kind.role)
    left = (*given[:number], *given[number + 1 :])
    words = message("Remove this %(fitting)s", fitting=kind.words)
    yield Remedy(
        "remove", f"{in_file}-{number}", words, _unmoved(with_fittings(design, kind.role, left))
    )


# --- Inside ---


def _tried(way: str, code: str, words: str, change: Callable[[], Design]) -> Iterator[Remedy]:
    """The change, where the drawing takes it."""
    try:
        yield Remedy(way, code, words, _unmoved(change()))
    except BadDesign:
        return


def _unmoved(design: Design) -> edit.Moved:
    return edit.Moved(design, 0, 0)
