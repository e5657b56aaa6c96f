"""Shapes read from documents, structures raised from shapes, kept at hand.

Both are pure: once for each is enough.
"""

import json
from functools import lru_cache

from django.conf import settings

from habitats.structure.design import Design as Shape
from habitats.structure.design import Limits
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.read import design_from
from habitats.structure.structure import Structure, raise_structure
from habitats.structure.wishes import UsualWish, wishes_for

KEPT = 128
KEPT_SHAPES = 512


def shape_in(document: object) -> Shape:
    """The shape that a stored document holds. Raises ``BadDesign``."""
    return _shape_in(json.dumps(document))


def limits() -> Limits:
    """The limits this server was set up with."""
    return Limits(slope_deg=settings.RAMP_LIMIT_DEG)


def structure_of(shape: Shape) -> Structure | None:
    """The shape raised; None if it cannot be made as it is."""
    raised = _raised(shape, limits())
    return raised if isinstance(raised, Structure) else None


def structure_of_standing(shape: Shape) -> Structure | None:
    """The same of an enclosure that stands: who lives in it is told, however large it is."""
    raised = _raised(shape, limits(), of_any_size=True)
    return raised if isinstance(raised, Structure) else None


def raise_shape(shape: Shape, *, stands: bool = False) -> Structure:
    """The shape raised, however large if it ``stands``. Raises ``BadDesign`` where it cannot be."""
    # Told as the others tell it: by the words of a call it is known whether it was made before.
    raised = _raised(shape, limits(), of_any_size=True) if stands else _raised(shape, limits())
    if not isinstance(raised, Structure):
        raise BadDesign(list(raised))
    return raised


def wishes_of(shape: Shape) -> tuple[UsualWish, ...]:
    """The usual wishes for it, those that can be first."""
    return _wishes(shape, limits())


def faults_of(shape: Shape) -> tuple[FileFault, ...]:
    """Every reason why the shape cannot be made as it is; empty if it can."""
    raised = _raised(shape, limits())
    return () if isinstance(raised, Structure) else raised


@lru_cache(maxsize=KEPT_SHAPES)
def _shape_in(document: str) -> Shape:
    """By the whole text: what is equal is the same, and nothing is ever stale."""
    return design_from(json.loads(document))


@lru_cache(maxsize=KEPT)
def _raised(
    shape: Shape, limits: Limits, *, of_any_size: bool = False
) -> Structure | tuple[FileFault, ...]:
    try:
        return raise_structure(shape, limits, of_any_size=of_any_size)
    except BadDesign as bad:
        return bad.faults


@lru_cache(maxsize=KEPT)
def _wishes(shape: Shape, limits: Limits) -> tuple[UsualWish, ...]:
    return tuple(wishes_for(shape, limits))
