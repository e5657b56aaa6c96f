"""Goods that linens are made of, with weak defaults until the real ones are weighed and measured.

Mass is grams per m² of one layer, shrinkage tenths of a percent. Every figure is a starting point
only: its range is in its source, and goods of one name differ.
"""

from typing import NamedTuple

from habitats.rotation.cloth import Shrinkage
from habitats.source import Known, Source
from habitats.wording import message


class Goods(NamedTuple):
    """Cloth as it is sold. ``is_synthetic``: a machine takes fewer kilograms of it.

    ``shrinks``: from how much to how much, in percent.
    """

    name: str
    is_synthetic: bool
    grams_per_m2: int
    mass_source: Source
    shrinkage: Shrinkage
    shrinks: tuple[int, int]
    shrinkage_source: Source


TERRY = Goods(
    message("Cotton terry"),
    is_synthetic=False,
    grams_per_m2=500,
    mass_source=Source(message("400 to 600 g/m² a layer: weigh the real goods"), Known.MEMORY),
    shrinkage=Shrinkage(50, 50),
    shrinks=(3, 7),
    shrinkage_source=Source(message("3 to 7 %: measure the real goods"), Known.MEMORY),
)
# Of fleece the most it is said to shrink, since what is cut too large can be trimmed.
FLEECE = Goods(
    message("Polyester fleece"),
    is_synthetic=True,
    grams_per_m2=250,
    mass_source=Source(message("200 to 300 g/m² a layer: weigh the real goods"), Known.SECOND_HAND),
    shrinkage=Shrinkage(20, 20),
    shrinks=(0, 2),
    shrinkage_source=Source(message("0 to 2 %: measure the real goods"), Known.MEMORY),
)
GOODS = (TERRY, FLEECE)


def usual_goods(*, is_synthetic: bool) -> Goods:
    """What is expected of cloth that nobody has weighed or measured."""
    return FLEECE if is_synthetic else TERRY


# Two layers of heavy fleece: common practice, no source. For sizes nobody has goods for yet.
UNKNOWN_GRAMS_PER_M2 = 600
