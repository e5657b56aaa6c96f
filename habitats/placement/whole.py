"""The best choice of some columns, each whole or not at all."""

from math import ceil, isfinite
from typing import NamedTuple

import numpy as np

from habitats.placement.columns import Floats, Numbers
from habitats.placement.part import NEARLY, Held, part_of
from habitats.placement.rows import Rows

# Sums are whole, and what later aims add to them is less than LATER. What is proved within half
# of one is proved.
LATER, HALF = 0.4, 0.5


class Whole(NamedTuple):
    """``taken`` empty: none was found. ``bound`` 0: nothing is proved; of a large program HiGHS has
    said that it has no choice at all, where one was known."""

    taken: Numbers
    bound: int


def whole(rows: Rows, held: Held, costs: Floats, numbers: Numbers, nodes: int) -> Whole:
    """``nodes``: how many branches are looked into, the same on every machine."""
    import highspy

    numbers = numbers[held.alive[numbers] & ~held.settled[numbers]]
    settled = np.nonzero(held.settled)[0]
    part = part_of(rows, held, numbers)
    if not part.width:
        return Whole(settled[:0] if len(part.rows) else settled, ceil(costs[settled].sum() - LATER))
    solver = part.solver(held, costs[numbers], 1.0, held.sums)
    every = np.arange(part.width, dtype=np.int32)
    is_whole = np.full(part.width, highspy.HighsVarType.kInteger.value, dtype=np.uint8)
    solver.changeColsIntegrality(part.width, every, is_whole)
    for name, value in (
        ("mip_rel_gap", 0.0),
        ("mip_abs_gap", HALF),
        ("mip_max_nodes", nodes),
    ):
        solver.setOptionValue(name, value)
    solver.run()
    info = solver.getInfo()
    if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        return Whole(numbers[:0], 0)
    told = info.mip_dual_bound + costs[settled].sum()
    bound = max(0, ceil(told - LATER - NEARLY)) if isfinite(told) else 0
    if info.primal_solution_status != 2:
        return Whole(numbers[:0], bound)
    values = np.array(solver.getSolution().col_value)[: len(numbers)]
    return Whole(np.union1d(settled, numbers[values > 0.5]), bound)
