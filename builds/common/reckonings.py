"""What a shape comes to in full, kept at hand: reckoning is pure, so once for each is enough."""

from functools import lru_cache, partial

from django.utils.translation import get_language

from builds.drawing.corner import corner_picture, view_of
from builds.drawing.space import Corner
from builds.making.altering.alteration import Alteration
from builds.making.altering.least import alter
from builds.making.blanks import make_blanks
from builds.making.reckoning import Reckoning, plan_of
from builds.sheets import alteration_as_cut, as_cut
from habitats import measures
from habitats.designs.models.structures import limits, structure_of
from habitats.structure.design import Design as Shape
from habitats.structure.design import Limits
from habitats.structure.structure import Structure, raise_structure

KEPT = 64


def reckoning_of(shape: Shape, units: str) -> Reckoning | None:
    """The shape reckoned, with lengths in these units; None if it cannot be made as it is."""
    return _reckoned(shape, limits(), units) if structure_of(shape) else None


def sheet_pieces(structure: Structure) -> int:
    """How many pieces are cut from sheet for it."""
    return _sheet_pieces(structure.design, limits())


def corner_view(structure: Structure, corner: Corner) -> str:
    """The structure seen from a raised corner."""
    return _corner_view(structure.design, limits(), corner, get_language())


def clearest_corner(structure: Structure) -> Corner:
    """The corner from which most of its floors and ramps is seen."""
    return _clearest_corner(structure.design, limits())


def alteration_of(stands: Shape, shape: Shape) -> Alteration:
    """The alteration with the least work, its new blanks as their sheet plan has them cut.

    Raises ``BadDesign`` where the two do not go together.
    """
    least = alter(raise_structure(stands, limits()), raise_structure(shape, limits()))
    return alteration_as_cut(least)


@lru_cache(maxsize=KEPT)
def _reckoned(shape: Shape, limits: Limits, units: str) -> Reckoning:
    return plan_of(shape, limits, lengths=partial(measures.length, units=units), lay=as_cut)


@lru_cache(maxsize=KEPT)
def _sheet_pieces(shape: Shape, limits: Limits) -> int:
    structure = structure_of(shape)
    return sum(blank.quantity for blank in make_blanks(structure).blanks) if structure else 0


@lru_cache(maxsize=KEPT)
def _corner_view(shape: Shape, limits: Limits, corner: Corner, language: str) -> str:
    """``language`` is that of its captions."""
    structure = structure_of(shape)
    return corner_picture(structure, corner=corner) if structure else ""


@lru_cache(maxsize=KEPT)
def _clearest_corner(shape: Shape, limits: Limits) -> Corner:
    structure = structure_of(shape)
    return view_of(structure).corner if structure else Corner.SE
