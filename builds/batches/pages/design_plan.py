"""The sheet plan of one design, worked out while its reader waits."""

from functools import lru_cache

from builds.common.deadline import stop_after
from builds.sheets import CuttingPlan, OrderLine, SheetOffer, SheetOrder, work_out
from habitats.designs.models.structures import limits
from habitats.structure.design import Design as Shape
from habitats.structure.design import Limits
from habitats.structure.structure import raise_structure

MOST_SECONDS = 2.0
KEPT = 32


def plan_for(shape: Shape, code: str, offer: SheetOffer) -> CuttingPlan:
    """A plan for one build of a sound shape. Raises ``BadDesign`` for another."""
    return _planned(shape, limits(), code, offer)


@lru_cache(maxsize=KEPT)
def _planned(shape: Shape, limits: Limits, code: str, offer: SheetOffer) -> CuttingPlan:
    line = OrderLine(shape.name, code, 1, "", raise_structure(shape, limits))
    return work_out(SheetOrder((line,), offer), stop_after(MOST_SECONDS))
