"""Structures raised from shapes, kept at hand: raising is pure, once for each is enough."""

from functools import lru_cache

from django.conf import settings

from habitats.structure.design import Design as Shape
from habitats.structure.design import Limits
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.structure import Structure, raise_structure

KEPT = 128


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


def faults_of(shape: Shape) -> tuple[FileFault, ...]:
    """Every reason why the shape cannot be made as it is; empty if it can."""
    raised = _raised(shape, limits())
    return () if isinstance(raised, Structure) else raised


@lru_cache(maxsize=KEPT)
def _raised(
    shape: Shape, limits: Limits, *, of_any_size: bool = False
) -> Structure | tuple[FileFault, ...]:
    try:
        return raise_structure(shape, limits, of_any_size=of_any_size)
    except BadDesign as bad:
        return bad.faults
