"""The usual wishes for what stands: changes of its drawing, tried before they are told.

A wish is a row of ``WISHES``. One that cannot be is told with the reason, not left out: one who
looks for it learns why. Which wishes are usual is common practice, no source.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import groupby
from typing import NamedTuple

from habitats.structure import edit
from habitats.structure.anchors import LEAST_ANCHORS
from habitats.structure.design import Design, Fitting, Limits
from habitats.structure.door_places import (
    MOST_DOORS,
    too_far_under_cover,
    under_cover,
    with_doors_where_needed,
)
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.kinds import KINDS, Role, in_order, with_fittings
from habitats.structure.lattice import Cell, Side, connected_pieces
from habitats.structure.structure import raise_structure
from habitats.structure.tipping import is_anchored, may_tip, top_edges
from habitats.wording import message

UPPER_Z = 1  # a floor one panel up: the lowest that animals pass under
LEAST_CELLS = 2  # on one cell no animal passes another
OVERLAPS = (3, 2, 1)  # of a ramp's panels, the firmest first


class UsualWish(NamedTuple):
    """A change by its ``code``. ``moved`` None: it cannot be, and ``why`` says why not."""

    code: str
    words: str
    moved: edit.Moved | None = None
    why: str = ""


def wishes_for(design: Design, limits: Limits) -> list[UsualWish]:
    """All of them, those that can be first."""
    found = [wish for wishes in WISHES for wish in wishes(design, limits)]
    return sorted(found, key=lambda wish: wish.moved is None)


def wished(design: Design, code: str, limits: Limits) -> UsualWish | None:
    """The wish of this code for the design; None where there is none."""
    return next((one for one in wishes_for(design, limits) if one.code == code), None)


# --- An upper level at an end, with its ramp ---

_UPPER = {
    Side.N: message("Upper level and ramp at the north end"),
    Side.E: message("Upper level and ramp at the east end"),
    Side.S: message("Upper level and ramp at the south end"),
    Side.W: message("Upper level and ramp at the west end"),
}


def _upper_levels(design: Design, limits: Limits) -> Iterator[UsualWish]:
    for end in _short_ends(design):
        changes = _with_upper_level(design, end)
        yield _first_that_stands(f"upper-{end}", _UPPER[end], changes, limits)


def _with_upper_level(design: Design, end: Side) -> Iterator[edit.Moved]:
    """Floor over the last row at this end, with each ramp that may lead down from it inward."""
    cells = _last_cells(design, end)
    taken = {cell for one in design.levels if one.z == UPPER_Z for cell in one.cells}
    if cells & taken:
        raise _refusal(message("There is an upper level at this end already."))
    level, number = edit.add_level(design), len(design.levels)
    tiers = max(1, design.ground.wall_panels - UPPER_Z)
    level = edit.set_tiers(edit.set_plan(level, number, cells).design, number, tiers)
    level, number = _at_height(level, number)
    level = _with_what_it_needs(level)
    inward = frozenset(one for one in cells if one.beyond(end.opposite) not in cells)
    for cell in _from_the_middle(inward):
        ramp = edit.toggle_ramp(level, number, cell, end.opposite)
        for overlap in OVERLAPS:
            wish = replace(ramp.ramps[-1], overlap_squares=overlap)
            yield edit.Moved(replace(ramp, ramps=(*ramp.ramps[:-1], wish)), 0, 0)


def _with_what_it_needs(design: Design) -> Design:
    """Guards and supports where they are needed, unless some were told one by one."""
    for role, given in ((Role.GUARD, design.guards), (Role.SUPPORT, design.supports)):
        if given == ():
            design = with_fittings(design, role, None)
    return design


def _at_height(design: Design, number: int) -> tuple[Design, int]:
    """The level lowered to where an upper level begins, and its number there."""
    cells = design.levels[number].cells
    lowered = edit.set_height(design, number, UPPER_Z)
    found = [at for at, one in enumerate(lowered.levels) if (one.z, one.cells) == (UPPER_Z, cells)]
    return lowered, found[0]


def _from_the_middle(cells: frozenset[Cell]) -> list[Cell]:
    """The middle first: a ramp away from walls needs no guards."""
    row = sum(cell.row for cell in cells) / len(cells)
    col = sum(cell.col for cell in cells) / len(cells)
    return sorted(cells, key=lambda cell: (abs(cell.row - row) + abs(cell.col - col), cell))


# --- One row longer ---

_LONGER = {
    Side.N: message("One row longer at the north end"),
    Side.E: message("One row longer at the east end"),
    Side.S: message("One row longer at the south end"),
    Side.W: message("One row longer at the west end"),
}


def _longer(design: Design, limits: Limits) -> Iterator[UsualWish]:
    for end in _short_ends(design):
        changes = _with_one_row_more(design, end)
        yield _first_that_stands(f"longer-{end}", _LONGER[end], changes, limits)


def _with_one_row_more(design: Design, end: Side) -> Iterator[edit.Moved]:
    beyond = {cell.beyond(end) for cell in _last_row(design, end)}
    yield edit.paint(design, 0, beyond, floor=True)


# --- What is placed wherever it is needed ---


def _guards(design: Design, limits: Limits) -> Iterator[UsualWish]:
    why = "" if design.ramps else message("There is no ramp, so no guard is needed.")
    already = message("Guards are placed wherever a ramp needs them.")
    words = message("Guards beside the ramps")
    why = why or _if_placed(design.guards, already)
    yield _placed("guards", words, design, Role.GUARD, why, limits)


def _supports(design: Design, limits: Limits) -> Iterator[UsualWish]:
    why = "" if design.levels[1:] else message("There is no upper level to support.")
    already = message("Supports are placed wherever an upper level needs them.")
    words = message("Supports under the upper levels")
    why = why or _if_placed(design.supports, already)
    yield _placed("supports", words, design, Role.SUPPORT, why, limits)


def _if_placed(given: tuple[Fitting, ...] | None, already: str) -> str:
    return already if given is None else ""


def _placed(
    code: str, words: str, design: Design, role: str, why: str, limits: Limits
) -> UsualWish:
    """The kind worked out from the rest, and not as it was told; ``why`` says why not."""
    if why:
        return UsualWish(code, words, why=why)
    auto = edit.Moved(with_fittings(design, role, None), 0, 0)
    return _first_that_stands(code, words, iter([auto]), limits)


# --- Front doors where no hand reaches ---


def _doors(design: Design, limits: Limits) -> Iterator[UsualWish]:
    words = message("Front door where no hand reaches in")
    yield _first_that_stands("door", words, _with_doors(design), limits)


def _with_doors(design: Design) -> Iterator[edit.Moved]:
    too_far = message("No open wall is near enough for a front door.")
    if not under_cover(design):
        reached = message("A hand reaches all floor under an upper level or a lid.")
        raise _refusal(too_far if too_far_under_cover(design) else reached)
    with_doors = with_doors_where_needed(design)
    if under_cover(with_doors):
        more = len(with_doors.of_kind(Role.DOOR)) - len(design.of_kind(Role.DOOR))
        many = message("This needs more doors than one tap draws. Draw them one by one.")
        raise _refusal(many if more == MOST_DOORS else too_far)
    yield edit.Moved(with_doors, 0, 0)


# --- Wall anchors where it may tip over ---


def _anchors(design: Design, limits: Limits) -> Iterator[UsualWish]:
    words = message("Wall anchors at its top")
    yield _first_that_stands("anchors", words, _with_anchors(design, limits), limits)


def _with_anchors(design: Design, limits: Limits) -> Iterator[edit.Moved]:
    """At both ends of a side of its top, where a wall of the room stands; if none is told, one
    stands at the longest such side."""
    structure = raise_structure(design, limits)
    if not may_tip(structure):
        raise _refusal(message("It is no higher than its shorter side, so it stands by itself."))
    if is_anchored(structure):
        raise _refusal(message("Wall anchors hold its top already."))
    for side, edges in sorted(top_edges(structure), key=lambda one: -len(one[1])):
        if len(edges) >= LEAST_ANCHORS and (side in design.room_walls or not design.room_walls):
            ends = [fitting for fitting in (edges[0], edges[-1]) if fitting not in design.fittings]
            fittings = in_order((*design.of_kind(Role.ANCHOR), *ends), KINDS[Role.ANCHOR])
            walls = design.room_walls | {side}
            held = replace(with_fittings(design, Role.ANCHOR, fittings), room_walls=walls)
            yield edit.Moved(held, 0, 0)
    raise _refusal(
        message(
            "Its top has no side of two panels at a wall of the room. Choose the walls under "
            "“Walls of the room”, or place the wall anchors one by one."
        )
    )


# --- The pup set, on and off ---


def _pup_set(design: Design, limits: Limits) -> Iterator[UsualWish]:
    on, off = message("Pup set put on"), message("Pup set taken off")
    code, words = ("pups-off", off) if design.pup_set else ("pups", on)
    changed = edit.Moved(replace(design, pup_set=not design.pup_set), 0, 0)
    yield _first_that_stands(code, words, iter([changed]), limits)


# --- Lid ---


def _lid(design: Design, limits: Limits) -> Iterator[UsualWish]:
    words = message("Lid over everything")
    if design.lid:
        yield UsualWish("lid", words, why=message("There is a lid already."))
    else:
        closed = edit.Moved(replace(design, lid=True), 0, 0)
        yield _first_that_stands("lid", words, iter([closed]), limits)


WISHES: tuple[Callable[[Design, Limits], Iterator[UsualWish]], ...] = (
    _upper_levels,
    _longer,
    _guards,
    _supports,
    _doors,
    _anchors,
    _lid,
    _pup_set,
)


# --- Inside ---


def _first_that_stands(
    code: str, words: str, changes: Iterator[edit.Moved], limits: Limits
) -> UsualWish:
    """The first of the changes that can be made; else why the first of them cannot."""
    why = ""
    try:
        for moved in changes:
            found = _faults(moved.design, limits)
            if not found:
                return UsualWish(code, words, moved)
            why = why or found[0].sentence
    except BadDesign as bad:
        why = why or bad.faults[0].sentence
    return UsualWish(code, words, why=why)


def _faults(design: Design, limits: Limits) -> tuple[FileFault, ...]:
    try:
        raise_structure(design, limits)
    except BadDesign as bad:
        return bad.faults
    return ()


def _short_ends(design: Design) -> tuple[Side, Side]:
    """The two ends of the ground's longer way."""
    rows = {cell.row for cell in design.ground.cells}
    cols = {cell.col for cell in design.ground.cells}
    return (Side.W, Side.E) if len(rows) <= len(cols) else (Side.N, Side.S)


def _last_row(design: Design, end: Side) -> frozenset[Cell]:
    """The cells of the ground that lie furthest to this end."""
    return frozenset(_rows_from(design, end)[0])


def _last_cells(design: Design, end: Side) -> frozenset[Cell]:
    """The last rows at this end that are a floor of some use, in one piece."""
    cells = frozenset[Cell]()
    for row in _rows_from(design, end):
        cells = max(connected_pieces(cells | frozenset(row)), key=len)
        if len(cells) >= LEAST_CELLS:
            break
    return cells


def _rows_from(design: Design, end: Side) -> list[list[Cell]]:
    """The ground's cells row by row, beginning at this end."""
    down, right = end.step

    def along(cell: Cell) -> int:
        return -(cell.row * down + cell.col * right)

    return [list(row) for _at, row in groupby(sorted(design.ground.cells, key=along), key=along)]


def _refusal(sentence: str) -> BadDesign:
    return BadDesign([FileFault("", sentence)])
