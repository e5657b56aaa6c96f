"""Figures of a structure in the reader's units, and faults in words for people at the board."""

from typing import NamedTuple

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from builds.common.durations import as_duration
from builds.making.names import SIDE_WORDS
from builds.making.parts import count_panels
from builds.making.reckoning import Reckoning
from habitats import measures
from habitats.structure.design import Design
from habitats.structure.faults import FileFault
from habitats.structure.kinds import KINDS, fitting_kinds
from habitats.structure.space import floor_of
from habitats.structure.structure import Structure

# Of more panels and cells than this, the view from a corner is drawn by a request of its own.
MOST_AT_ONCE = 100


class Figure(NamedTuple):
    """A value with its name, and a few words more where they help."""

    name: str
    value: str
    more: str = ""


def is_large(structure: Structure) -> bool:
    """Too large for its view and blanks to be worked out within one step on the board."""
    cells = sum(len(level.cells) for level in structure.design.levels)
    return len(structure.panels) + cells > MOST_AT_ONCE


def floor_figures(structure: Structure, units: str) -> list[Figure]:
    """Floor inside the trays: ground, and upper levels as a number of their own."""
    floor = floor_of(structure)
    figures = [Figure(_("Floor, ground"), measures.area(floor.ground_mm2, units))]
    if len(structure.trays) > 1:
        figures.append(Figure(_("Floor, upper"), measures.area(floor.upper_mm2, units)))
    return figures


def part_figures(structure: Structure) -> list[Figure]:
    """Panels and connectors, counted."""
    panels = count_panels(structure)
    kinds = [*((KINDS[kind].words, count) for kind, count in panels.of.items())]
    kinds += [(_("ramp"), panels.ramp), (_("pup set"), panels.pup)]
    more = ", ".join(f"{count} {kind}" for kind, count in kinds if count)
    return [
        Figure(_("Panels"), str(panels.total), more),
        Figure(_("Connectors"), str(len(structure.joints))),
    ]


def made_figures(reckoning: Reckoning, units: str) -> list[Figure]:
    """What is cut and done: pieces of sheet, ties, tape, steps and the time they take."""
    pieces = sum(blank.quantity for blank in reckoning.blanks.blanks)
    return [
        Figure(_("Pieces of sheet"), str(pieces)),
        Figure(_("Ties"), str(sum(group.count for group in reckoning.parts.ties))),
        Figure(_("Tape"), measures.distance(reckoning.blanks.tape_mm, units)),
        Figure(_("Steps"), str(len(reckoning.steps)), as_duration(_minutes(reckoning))),
    ]


def _minutes(reckoning: Reckoning) -> int:
    return sum(step.minutes for step in reckoning.steps)


def level_name(design: Design, index: int) -> str:
    return _("Ground") if index == 0 else _("Level %(number)d") % {"number": index}


class BoardFault(NamedTuple):
    """A fault as the board says it: where, in words, and the sentence."""

    where: str
    sentence: str


def board_fault(fault: FileFault, design: Design, units: str) -> BoardFault:
    what, number = fault.subject
    where = _("Design") if number is None else _where(what, number, design)
    return BoardFault(where, measures.convert_lengths(fault.sentence, units))


def _where(what: str, number: int, design: Design) -> str:
    if what == "levels":
        return level_name(design, number)
    if what == "ramps":
        ramp = design.ramps[number]
        return _("Ramp at %(cell)s, %(side)s side") % {
            "cell": ramp.cell.words,
            "side": SIDE_WORDS[ramp.side],
        }
    kinds = {kind.in_file: capfirst(str(kind.words)) for kind in fitting_kinds()}
    return kinds.get(what) or _("Design")
