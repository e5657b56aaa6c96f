"""The program with columns taken in part, solved on few of its columns and priced on all.

What the rows say a column would save (its reduced cost, below 0) tells which are missing; they
are taken in until none is. Each time it goes on from where it was.
"""

from typing import Any, NamedTuple

import numpy as np

from habitats.placement.columns import NONE, Decisions, Floats, Numbers
from habitats.placement.part import Held, ProgramPart, part_of
from habitats.placement.quarantine import ENDLESS
from habitats.placement.rows import Rows

CHEAPEST = 12  # columns of each who asks that are there from the start
NEAREST = 12  # of each among which whole ones are looked for first
MORE = 8  # of each that are taken in at a time
TOLERATED = 1e-6  # a saving that the solver takes for none
# Many columns are alike. Taken in at random, each asks for others than the next.
SHUFFLED = 1e-7


class Infeasible(Exception):
    """No choice of columns keeps all rows."""


class InPart(NamedTuple):
    """``value``: no choice comes to less. ``more``: what a whole one of each column comes to
    beyond it, at least; of each switch in ``switches``. ``duals``: by row. ``near``: columns
    taken in part or whole, and a few of each who asks that cost next to nothing."""

    value: float
    more: Floats
    switches: Floats
    duals: Floats
    near: Numbers


class Relaxed:
    """``rounds``: how often columns are taken in for one sum."""

    def __init__(self, columns: Decisions, rows: Rows, held: Held, rounds: int) -> None:
        self._rows, self._held, self._rounds = rows, held, rounds
        count = len(columns)
        self._starts = np.nonzero(np.diff(columns.asking, prepend=NONE))[0]
        self._entries = [
            (np.where(one.rows == NONE, len(rows.least), one.rows).astype(np.int32), one.factors)
            for one in rows.entries(np.arange(count))
        ]
        self._shuffled = np.random.default_rng(0).random(count) * SHUFFLED
        self._basis = _Basis(count, rows)
        self._chosen = self._starts

    def least(self, costs: Numbers, later: Floats, known: Numbers) -> InPart:
        """``later``: tells which of those alike to begin with. ``known``: a choice that keeps all
        rows; its columns are looked at as well."""
        cheapest = self._cheapest(costs + later, CHEAPEST)
        self._chosen = self._all_of(self._chosen, known, cheapest)
        for left in reversed(range(self._rounds)):
            part = part_of(self._rows, self._held, self._chosen)
            solver = self._solved(part, costs)
            found = self._priced(part, solver, costs)
            missing = self._cheapest(found.more, MORE, below=-TOLERATED)
            if not len(missing) or not left:
                nearest = self._cheapest(np.maximum(0, found.more) + later, NEAREST)
                return found._replace(near=self._all_of(found.near, nearest))
            self._chosen = self._all_of(self._chosen, missing)
        raise AssertionError("no rounds")

    def _all_of(self, *numbers: Numbers) -> Numbers:
        every = np.unique(np.concatenate(numbers))
        return every[self._held.alive[every]]

    def _solved(self, part: ProgramPart, costs: Numbers) -> Any:
        import highspy

        solver = part.solver(self._held, costs[part.columns].astype(np.float64), ENDLESS)
        solver.setOptionValue("presolve", "off")
        self._basis.give(solver, part, len(self._held.sums))
        solver.run()
        if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            raise Infeasible
        self._basis.take(solver, part)
        return solver

    def _priced(self, part: ProgramPart, solver: Any, costs: Numbers) -> InPart:
        """What columns that are not there cost more than what the rows say they are worth."""
        told = np.array(solver.getSolution().row_dual)
        duals = np.zeros(len(self._rows.least) + 1)  # the last is that of no row
        duals[part.rows] = told[: len(part.rows)]
        more = costs.astype(np.float64)
        for rows, factors in self._entries:
            more -= duals[rows] * factors
        for (sums, _), dual in zip(self._held.sums, told[len(part.rows) :], strict=True):
            if dual:
                more -= sums * dual
        more[~self._held.alive] = ENDLESS
        # Each who asks is in one column at most, so no choice saves more than the best of each.
        best = np.minimum(0, np.minimum.reduceat(more, self._starts))
        value = solver.getInfo().objective_function_value + best.sum()
        taken = np.array(solver.getSolution().col_value)[: len(part.columns)] > TOLERATED
        return InPart(value, more, self._switches(duals), duals[:-1], part.columns[taken])

    def _switches(self, duals: Floats) -> Floats:
        its = self._rows.switch_entries
        worth = np.zeros(len(self._rows.called_by))
        np.add.at(worth, its.switch, duals[its.row] * its.factor)
        return -worth

    def _cheapest(self, costs: Numbers | Floats, count: int, below: float = ENDLESS) -> Numbers:
        """So many of each who asks."""
        found = [np.empty(0, dtype=np.int64)]
        worth = costs + self._shuffled
        worth[~self._held.alive] = ENDLESS
        ends = np.append(self._starts[1:], len(worth))
        wanted = np.minimum.reduceat(worth, self._starts) < below
        for start, end in zip(self._starts[wanted].tolist(), ends[wanted].tolist(), strict=True):
            its = worth[start:end]
            best = np.argpartition(its, min(count, end - start) - 1)[:count]
            found.append(best[its[best] < below] + start)
        return np.concatenate(found)


class _Basis:
    """Where the solver was, by columns, switches and rows of the whole."""

    def __init__(self, columns: int, rows: Rows) -> None:
        import highspy

        self._highs = highspy
        status = highspy.HighsBasisStatus
        self._known = {int(one): one for one in status.__members__.values()}
        lower, basic = int(status.kLower), int(status.kBasic)
        self._columns = np.full(columns, lower)
        self._switches = np.full(len(rows.called_by), lower)
        self._rows = np.full(len(rows.least), basic)
        self._sums: list[int] = []
        self._is_first = True

    def give(self, solver: Any, part: ProgramPart, sums: int) -> None:
        """Go on by the primal simplex: the columns that were taken in spoil nothing but costs."""
        if self._is_first:
            return
        solver.setOptionValue("simplex_strategy", 4)
        basis = self._highs.HighsBasis()
        columns = [*self._columns[part.columns].tolist(), *self._switches[part.switches].tolist()]
        more = [int(self._highs.HighsBasisStatus.kBasic)] * (sums - len(self._sums))
        rows = [*self._rows[part.rows].tolist(), *self._sums, *more]
        basis.col_status = [self._known[one] for one in columns]
        basis.row_status = [self._known[one] for one in rows]
        basis.valid = basis.alien = True
        solver.setBasis(basis)

    def take(self, solver: Any, part: ProgramPart) -> None:
        self._is_first = False
        basis = solver.getBasis()
        columns = np.array([int(one) for one in basis.col_status])
        rows = [int(one) for one in basis.row_status]
        self._columns[part.columns] = columns[: len(part.columns)]
        self._switches[part.switches] = columns[len(part.columns) :]
        self._rows[part.rows] = rows[: len(part.rows)]
        self._sums = rows[len(part.rows) :]
