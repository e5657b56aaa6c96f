"""The program with columns taken in part, solved on few of its columns and priced on all.

What the rows say a column would save (its reduced cost, below 0) tells which are missing; they
are taken in until none is. Each time it goes on from where it was. The first columns of a large sum
are few and mostly any, solved by points inside: of the cheapest all want the same.
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
# Of more columns than this the simplex takes half a minute to a first solution, and as long again
# to the best, since of the cheapest all want the same. Points inside take 4 s, on few columns of
# which most are any; what these show to be missing is soon complete.
LARGE = 500_000
CHEAPEST_OF_LARGE, ANY_OF_LARGE = 4, 8
TOLERATED = 1e-6  # a saving that the solver takes for none
# Many columns are alike. Taken in at random, each asks for others than the next.
SHUFFLED, DRAWN = 1e-7, 1e-5


class Infeasible(Exception):
    """No choice of columns keeps all rows."""


class InPart(NamedTuple):
    """``value``: no choice comes to less. ``more``: what a whole one of each column comes to
    beyond it, at least; of each switch in ``switches``. ``duals``: by row. ``taken``: columns
    taken in part or whole. ``near``: a few of each who asks that cost next to nothing more."""

    value: float
    more: Floats
    switches: Floats
    duals: Floats
    taken: Numbers
    near: Numbers


class Relaxed:
    """``rounds``: how often columns are taken in for one sum."""

    def __init__(self, columns: Decisions, rows: Rows, held: Held, rounds: int) -> None:
        self._columns, self._rows, self._held, self._rounds = columns, rows, held, rounds
        self._begin()
        self._chosen = np.nonzero(np.diff(columns.asking, prepend=NONE))[0]
        self._open = _OpenColumns(columns, rows, held.open)

    def least(
        self, costs: Numbers, later: Floats, known: Numbers, *, from_scratch: bool = False
    ) -> InPart:
        """``later``: tells which of those alike to begin with. ``known``: a choice that keeps all
        rows; its columns are looked at as well. ``from_scratch``: where the sum before has little
        to do with this one, what was found for it only delays."""
        if from_scratch:
            self._begin()
        every = self._held.open
        if len(every) < len(self._open.numbers):
            self._open = _OpenColumns(self._columns, self._rows, every)
        inside = self.is_large and not from_scratch
        self._chosen = self._first((costs + later)[every], known, inside=inside)
        for left in reversed(range(self._rounds)):
            part = part_of(self._rows, self._held, self._chosen)
            solver = self._solved(part, costs, inside=inside and left == self._rounds - 1)
            duals = self._duals(part, solver)
            more = self._more(costs, duals, solver, part)
            missing = self._open.cheapest(more, MORE, below=-TOLERATED)
            if not len(missing) or not left:
                return self._in_part(costs, later, part, solver, duals, more)
            self._chosen = self._all_of(self._chosen, missing)
        raise AssertionError("no rounds")

    def _first(self, costs: Floats, known: Numbers, *, inside: bool) -> Numbers:
        """``inside``: few, most of them any, and none of those before."""
        if not inside:
            return self._all_of(self._chosen, known, self._open.cheapest(costs, CHEAPEST))
        self._begin()
        cheapest = self._open.cheapest(costs, CHEAPEST_OF_LARGE)
        whatever = self._open.cheapest(np.zeros(len(costs)), ANY_OF_LARGE)
        return self._all_of(known, cheapest, whatever)

    @property
    def is_large(self) -> bool:
        return len(self._open.numbers) > LARGE

    def _begin(self) -> None:
        self._basis = _Basis(len(self._columns), self._rows)

    def _all_of(self, *numbers: Numbers) -> Numbers:
        every = np.unique(np.concatenate(numbers))
        return every[self._held.alive[every] & ~self._held.settled[every]]

    def _solved(self, part: ProgramPart, costs: Numbers, *, inside: bool) -> Any:
        """``inside``: by points inside rather than by the simplex."""
        import highspy

        beyond = self._held.beyond
        solver = part.solver(self._held, costs[part.columns].astype(np.float64), ENDLESS, beyond)
        if inside:
            solver.setOptionValue("solver", "ipx")
        else:
            solver.setOptionValue("presolve", "off")
            self._basis.give(solver, part, len(beyond))
        solver.run()
        status = highspy.HighsModelStatus
        if solver.getModelStatus() not in (status.kOptimal, status.kModelEmpty):
            if inside:  # points inside may stop short of a solution
                return self._solved(part, costs, inside=False)
            raise Infeasible
        self._basis.take(solver, part)
        return solver

    def _duals(self, part: ProgramPart, solver: Any) -> Floats:
        """By row; the last is that of no row."""
        duals = np.zeros(len(self._rows.least) + 1)
        duals[part.rows] = solver.getSolution().row_dual[: len(part.rows)]
        return duals

    def _more(self, costs: Numbers, duals: Floats, solver: Any, part: ProgramPart) -> Floats:
        """What columns that are open cost more than what the rows say they are worth."""
        every = self._open.numbers
        more = costs[every] - self._open.worth(duals)
        told = solver.getSolution().row_dual[len(part.rows) :]
        for (sums, _), dual in zip(self._held.beyond, told, strict=True):
            if dual:
                more -= sums[every] * dual
        return more

    def _in_part(
        self,
        costs: Numbers,
        later: Floats,
        part: ProgramPart,
        solver: Any,
        duals: Floats,
        more: Floats,
    ) -> InPart:
        every = self._open.numbers
        value = solver.getInfo().objective_function_value + costs[self._held.settled].sum()
        taken = np.array(solver.getSolution().col_value)[: len(part.columns)] > TOLERATED
        at_least = np.maximum(0, more)
        nearest = self._open.cheapest(at_least + later[every], NEAREST)
        beyond = np.where(self._held.settled, 0, ENDLESS)
        beyond[every] = more
        in_part = InPart(
            value + self._open.least_of_each(more).sum(),
            beyond,
            self._switches(duals),
            duals[:-1],
            part.columns[taken],
            nearest,
        )
        # All would like the same few best; any others that cost as little leave them to some.
        return in_part._replace(near=np.union1d(nearest, self.near(in_part)))

    def near(self, in_part: InPart, draw: int = 0) -> Numbers:
        """A few of each who asks, drawn from those that cost next to nothing more."""
        at_least = np.maximum(0, in_part.more[self._open.numbers])
        if draw:
            at_least += np.random.default_rng(draw).random(len(at_least)) * DRAWN
        return self._open.cheapest(at_least, NEAREST)

    def _switches(self, duals: Floats) -> Floats:
        its = self._rows.switch_entries
        worth = np.zeros(len(self._rows.called_by))
        np.add.at(worth, its.switch, duals[its.row] * its.factor)
        return -worth


class _OpenColumns:
    """Columns that may be taken or not, in the order of who asks."""

    def __init__(self, columns: Decisions, rows: Rows, numbers: Numbers) -> None:
        self.numbers = numbers
        self._starts = np.nonzero(np.diff(columns.asking[numbers], prepend=NONE))[0]
        self._entries = [
            (np.where(one.rows == NONE, len(rows.least), one.rows).astype(np.int32), one.factors)
            for one in rows.entries(numbers)
        ]
        self._shuffled = np.random.default_rng(0).random(len(columns))[numbers] * SHUFFLED

    def worth(self, duals: Floats) -> Floats:
        """What the rows say of each."""
        found = np.zeros(len(self.numbers))
        for rows, factors in self._entries:
            found += duals[rows] * factors
        return found

    def least_of_each(self, more: Floats) -> Floats:
        """Each who asks is in one column at most, so no choice saves more than these together."""
        return np.minimum(0, np.minimum.reduceat(more, self._starts)) if len(more) else more

    def cheapest(self, costs: Numbers | Floats, count: int, below: float = ENDLESS) -> Numbers:
        """So many of each who asks."""
        found = [np.empty(0, dtype=np.int64)]
        worth = costs + self._shuffled
        if not len(worth):
            return found[0]
        ends = np.append(self._starts[1:], len(worth))
        wanted = np.minimum.reduceat(worth, self._starts) < below
        for start, end in zip(self._starts[wanted].tolist(), ends[wanted].tolist(), strict=True):
            its = worth[start:end]
            best = np.argpartition(its, min(count, end - start) - 1)[:count]
            found.append(best[its[best] < below] + start)
        return self.numbers[np.concatenate(found)]


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
        solver.setOptionValue("primal_simplex_bound_perturbation_multiplier", 0.0)
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
