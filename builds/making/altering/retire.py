"""Retiring an enclosure: what goes back into the store, and the order of taking it down."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from builds.making import times, tools
from builds.making.altering import words as say
from builds.making.altering.animals import ANIMALS_OUT, animals_out
from builds.making.altering.linens import LINER, TOWEL
from builds.making.altering.taking import TrayUse, Uses, came_off, take_down
from builds.making.anchoring import anchors_of, free_step
from builds.making.blank import STOCK_SHEET, Blank, BlankSet, SheetSize
from builds.making.blanks import make_blanks
from builds.making.furnishing import PIECES, clear_step, furniture_of
from builds.making.instructions import Lengths
from builds.making.part_names import (
    ANCHOR,
    CLIP,
    CONNECTOR,
    DOORWAY_PANEL,
    PLAIN_PANEL,
    PUP_PANEL,
    RAMP_PANEL,
    TIE,
    towel_code,
)
from builds.making.parts import coded_liners
from builds.making.pup_set import pups_of, take_pup_step
from builds.making.step import Added, Step, Task
from builds.making.step_keys import Facts
from builds.making.ties import ties_needed
from habitats.measures import length, size
from habitats.structure.structure import Structure
from habitats.wording import message

INTO_STORE = "into-store"

# Smaller pieces of sheet are hardly ever used again. Common practice, no source.
LEAST_OFFCUT_MM = 200

# What goes back into the store, in the order of its list.
SERVES_AGAIN = (
    *(PLAIN_PANEL, DOORWAY_PANEL, RAMP_PANEL, PUP_PANEL),
    *(CONNECTOR, CLIP, ANCHOR),
    *PIECES,
)


@dataclass(frozen=True, slots=True)
class Offcut:
    """A plain rectangle of sheet, without score or slit, that can be cut out of an old blank."""

    out_of: str
    width_mm: int
    height_mm: int


@dataclass(frozen=True, slots=True)
class Retirement:
    """What an enclosure gives back. Ties are cut, so they are only counted; cloth is washed.

    A doorway panel serves as one again, and a bent panel in a ramp, not as plain ones.
    """

    parts: tuple[Added, ...]
    ties: int
    offcuts: tuple[Offcut, ...]
    linens: tuple[str, ...]
    steps: tuple[Step, ...]


def retire(
    structure: Structure,
    *,
    sheet: SheetSize = STOCK_SHEET,
    least_mm: int = LEAST_OFFCUT_MM,
    lengths: Lengths = length,
) -> Retirement:
    """What can be taken back of a structure, and its steps, from the top down.

    ``sheet`` is what its trays were cut from. Offcuts narrower than ``least_mm`` are left out.
    """
    blanks = make_blanks(structure, sheet)
    linens = _linens(structure)
    uses = Uses(
        lambda _level: TrayUse((), message("Open its tape; its flat pieces may serve again."))
    )
    free = list(_freeing_steps(structure))
    first = tuple(one.id for one in free) or (ANIMALS_OUT,)
    down = take_down(structure, blanks, ties_needed(structure), uses, linens=linens, first=first)
    taking = (*free, *down)
    came = came_off(taking)
    parts = tuple(Added(what, came[what]) for what in SERVES_AGAIN if came[what])
    offcuts = tuple(_offcuts(blanks, least_mm))
    out = replace(animals_out(None), needs=())
    return Retirement(
        parts=parts,
        ties=came[TIE],
        offcuts=offcuts,
        linens=tuple(linens),
        steps=(out, *taking, _into_store(parts, offcuts, taking, lengths)),
    )


def _freeing_steps(structure: Structure) -> Iterator[Step]:
    """What is done once the animals are out, before any panel comes off."""
    if furniture := furniture_of(structure):
        yield clear_step(furniture, (ANIMALS_OUT,))
    if pups := pups_of(structure):
        yield take_pup_step(structure, pups, (ANIMALS_OUT,))
    if anchors := anchors_of(structure):
        yield free_step(structure, anchors, (ANIMALS_OUT,))


def _linens(structure: Structure) -> dict[str, Facts]:
    """All cloth by its code, with its facts."""
    liners: dict[str, Facts] = {
        code: (LINER, liner.level, *liner.size) for code, liner in coded_liners(structure)
    }
    towels: dict[str, Facts] = {
        towel_code(structure, index): (TOWEL, None, *ramp.towel)
        for index, ramp in enumerate(structure.ramps)
    }
    return liners | towels


def offcut_of(blank: Blank) -> Offcut | None:
    """The floor of a tray's blank: all of it that neither folds nor is slit. None for a strip."""
    base = blank.base
    return None if base is None else Offcut(blank.code, base.x2 - base.x1, base.y2 - base.y1)


def _offcuts(blanks: BlankSet, least_mm: int) -> Iterator[Offcut]:
    for blank in blanks.blanks:
        offcut = offcut_of(blank)
        if offcut is not None and min(offcut.width_mm, offcut.height_mm) >= least_mm:
            yield offcut


def _into_store(
    parts: tuple[Added, ...],
    offcuts: tuple[Offcut, ...],
    taking: tuple[Step, ...],
    lengths: Lengths,
) -> Step:
    pieces = [size((one.width_mm, one.height_mm), lengths) for one in offcuts]
    words = say.into_store_words(parts, pieces)
    needed = {need for step in taking for need in step.needs}
    return Step(
        id=INTO_STORE,
        title=words.title,
        instructions=words.instructions,
        needs=tuple(step.id for step in taking if step.id not in needed),
        tools=(tools.GLOVES,),
        minutes=times.minutes((sum(one.count for one in parts), times.SORTED_PANEL)),
        facts=(Task.INTO_STORE, tuple(one.facts for one in taking)),
    )
