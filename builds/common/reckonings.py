"""What a shape comes to in full, kept at hand: reckoning is pure, so once for each is enough."""

from functools import lru_cache, partial
from typing import NamedTuple

from django.dispatch import Signal
from django.utils.translation import get_language

from builds.drawing.altering import change_view
from builds.drawing.corner import corner_picture, view_of
from builds.drawing.space import Corner
from builds.making.altering.alteration import Alteration
from builds.making.altering.laying import Laying
from builds.making.altering.least import alter
from builds.making.blank import STOCK_SHEET, SheetSize
from builds.making.blanks import make_blanks
from builds.making.reckoning import Reckoning, plan_of
from builds.sheets import alteration_as_cut, as_cut
from builds.sheets.as_cut import Lay
from habitats import measures
from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import limits, raise_shape, structure_of
from habitats.structure.design import Design as Shape
from habitats.structure.design import Limits
from habitats.structure.structure import Structure

KEPT = 64


class WhatStands(NamedTuple):
    """What is altered. ``laying``: how the drawing lies over it; None: with the least work.

    ``sheet``: what its trays were made for.
    """

    shape: Shape
    laying: Laying | None = None
    sheet: SheetSize = STOCK_SHEET


# Sent to be told the stock sheet that a shape is cut from: the store stands above. Gives ``shape``
# and ``stands``, what is altered into it, None: nothing. The receiver returns a ``SheetSize``.
stock_sheet_asked = Signal()


def stock_sheet_for(shape: Shape, stands: WhatStands | None = None) -> SheetSize:
    """The store's sheet for it, which a build planned now is cut from."""
    answers = stock_sheet_asked.send(sender=None, shape=shape, stands=stands)
    for _receiver, sheet in answers:
        if isinstance(sheet, SheetSize):
            return sheet
    return STOCK_SHEET


def reckoning_of(shape: Shape, units: str) -> Reckoning | None:
    """The shape reckoned, with lengths in these units; None if it cannot be made as it is."""
    if structure_of(shape) is None:
        return None
    return _reckoned(shape, stock_sheet_for(shape), limits(), units)


def sheet_pieces(structure: Structure) -> int:
    """How many pieces are cut from sheet for it."""
    return _sheet_pieces(structure.design, stock_sheet_for(structure.design), limits())


def corner_view(structure: Structure, corner: Corner) -> str:
    """The structure seen from a raised corner."""
    return _corner_view(structure.design, limits(), corner, get_language())


def clearest_corner(structure: Structure) -> Corner:
    """The corner from which most of its floors and ramps is seen."""
    return _clearest_corner(structure.design, limits())


def what_stands(standing: DesignRevision, revision: DesignRevision, sheet: SheetSize) -> WhatStands:
    """What stands, made from this sheet, for the revision that is laid over it.

    What was drawn on it stays where it was drawn: nobody may find the ramp at the other end, were
    that less work. Any other drawing is laid as it takes the least.
    """
    drawn_on_it = revision.design.begun_from_id == standing.pk
    laying = Laying(rows=-revision.south, cols=-revision.east) if drawn_on_it else None
    return WhatStands(standing.shape(), laying, sheet)


def alteration_of(
    stands: WhatStands, shape: Shape, sheet: SheetSize, lay: Lay = as_cut
) -> Alteration:
    """The alteration, its new blanks as their sheet plan has them cut.

    ``lay``: as ``plan_of`` takes it, where another plan cuts them.
    Raises ``BadDesign`` where the two do not go together.
    """
    return alteration_as_cut(draft_alteration(stands, shape, sheet), lay)


def draft_alteration(stands: WhatStands, shape: Shape, sheet: SheetSize) -> Alteration:
    """The same before a sheet plan is searched for: for figures beside a drawing.

    ``sheet``: what its blanks are made for. Raises ``BadDesign`` where the two do not go together.
    """
    return _altered(stands, shape, sheet, limits())


def alteration_view(stands: WhatStands, shape: Shape, sheet: SheetSize, corner: Corner) -> str:
    """What changes, seen from a corner. Raises as ``draft_alteration`` does."""
    return _alteration_view(stands, shape, sheet, limits(), corner, get_language())


@lru_cache(maxsize=KEPT)
def _alteration_view(
    stands: WhatStands,
    shape: Shape,
    sheet: SheetSize,
    limits: Limits,
    corner: Corner,
    language: str,
) -> str:
    """``language`` is that of its captions."""
    return change_view(_altered(stands, shape, sheet, limits), corner)


@lru_cache(maxsize=KEPT)
def _altered(stands: WhatStands, shape: Shape, sheet: SheetSize, _limits: Limits) -> Alteration:
    standing = raise_shape(stands.shape, stands=True)
    target = raise_shape(shape)
    return alter(standing, target, laying=stands.laying, sheet=sheet, old_sheet=stands.sheet)


@lru_cache(maxsize=KEPT)
def _reckoned(shape: Shape, sheet: SheetSize, limits: Limits, units: str) -> Reckoning:
    lengths = partial(measures.length, units=units)
    return plan_of(shape, limits, sheet=sheet, lengths=lengths, lay=as_cut)


@lru_cache(maxsize=KEPT)
def _sheet_pieces(shape: Shape, sheet: SheetSize, limits: Limits) -> int:
    structure = structure_of(shape)
    return sum(blank.quantity for blank in make_blanks(structure, sheet).blanks) if structure else 0


@lru_cache(maxsize=KEPT)
def _corner_view(shape: Shape, limits: Limits, corner: Corner, language: str) -> str:
    """``language`` is that of its captions."""
    structure = structure_of(shape)
    return corner_picture(structure, corner=corner) if structure else ""


@lru_cache(maxsize=KEPT)
def _clearest_corner(shape: Shape, limits: Limits) -> Corner:
    structure = structure_of(shape)
    return view_of(structure).corner if structure else Corner.SE
