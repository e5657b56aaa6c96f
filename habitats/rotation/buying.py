"""Cloth to buy: how it is cut for linens of a size, how much of a roll that takes, what it weighs.

Sizes are whole millimetres, (width, length). The length of a linen runs along the roll, since cloth
shrinks differently along and across it.
"""

from typing import NamedTuple

from habitats.rotation.cloth import Size, mass_g

# Rolls of fleece and terry are often about so wide: common practice, no source. It can be changed.
USUAL_CLOTH_MM = 1500


class Cutting(NamedTuple):
    """How one linen is cut: the size of a piece, and how many equal ones it is sewn of.

    A towel is one piece that is folded, four times as wide as it lies.
    """

    piece: Size
    sheets: int


class ClothNeed(NamedTuple):
    """What so many linens take. ``running_mm`` None: a piece is wider than the roll."""

    running_mm: int | None
    grams: int


def cloth_for(number: int, cutting: Cutting, grams_per_m2: int, cloth_width_mm: int) -> ClothNeed:
    """The cloth for so many linens, from a roll so wide, cut in rows across it."""
    width, length = cutting.piece
    pieces = number * cutting.sheets
    grams = mass_g(width, length, pieces, grams_per_m2)
    across = cloth_width_mm // width
    return ClothNeed(-(-pieces // across) * length if across else None, grams)
