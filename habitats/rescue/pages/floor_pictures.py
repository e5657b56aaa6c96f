"""Floors drawn to one scale, with what the chosen rule set asks for laid on them."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from habitats.drawing.residence import (
    MM_PER_UNIT,
    Residence,
    describe,
    floors_of,
    residence_picture,
    widest_mm,
)
from habitats.measures import area_needed
from habitats.structure.structure import Structure
from habitats.welfare.values import Verdict

WIDEST = 290.0  # units: what a phone has room for
ALONE = 4.0  # mm to a unit of a picture that is compared with no other


def residence_by(structure: Structure, verdict: Verdict | None) -> Residence:
    """By a verdict; without one the floor alone."""
    floors = floors_of(structure)
    if verdict is None:
        return Residence(floors)
    ground = Residence(floors).ground_mm2
    return Residence(floors, verdict.shares_mm2, max(0, verdict.counted_mm2 - ground))


def scale_for(residences: Sequence[Residence], finest: float = MM_PER_UNIT) -> float:
    """Millimetres to a unit of the picture, so that the largest still fits a phone."""
    widest = max((widest_mm(one) for one in residences), default=0.0)
    return max(finest, widest / WIDEST)


def picture_of(
    residence: Residence,
    label: str,
    names: Sequence[str],
    units: str,
    mm_per_unit: float,
    *,
    has_north: bool = False,
) -> str:
    lacking_mm2 = residence.lacking_mm2
    lacking = ""
    if lacking_mm2:
        lacking = _("%(area)s too small") % {"area": area_needed(lacking_mm2, units)}
    return residence_picture(
        residence,
        title=_("Floor of %(enclosure)s") % {"enclosure": label},
        description=describe(residence, names, units) if residence.shares_mm2 else "",
        lacking=lacking,
        mm_per_unit=mm_per_unit,
        has_north=has_north,
    )
