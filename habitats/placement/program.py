"""The whole-number program, solved by HiGHS: one aim after the other.

Aims that stay small are weighed into one sum. The weight of each is more than all aims after it
can come to, so the sum is least exactly where they are, one after the other.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import ceil
from typing import Any, NamedTuple

from habitats.highs import quiet_solver
from habitats.placement.columns import Decision
from habitats.placement.rows import ProgramRow, ProgramRows

MOST_WEIGHED = 1_000_000  # beyond it the solver's tolerance would not tell one sum from the next
NEARLY = 1e-4  # what the solver takes for whole, with room to spare
BELOW_ONE = 0.99  # sums are whole: what is proved within less than one is proved


class AimReached(NamedTuple):
    """``bound``: the least that any placing comes to, given the aims before it."""

    value: int
    bound: int


class Solved(NamedTuple):
    """``taken``: numbers of columns. ``reached``: by aim."""

    taken: list[int]
    reached: list[AimReached]


class Infeasible(Exception):
    """No choice of columns keeps all rows."""


def solve(columns: Sequence[Decision], rows: ProgramRows, nodes: int) -> Solved:
    """Take columns so that all rows are kept and the first aim is least, then the second, …

    ``nodes``: how many branches are looked into for one sum of aims, the same on every machine.
    Raises ``Infeasible``.
    """
    program = _Program(columns, rows, nodes)
    reached: list[AimReached] = []
    for stage in _stages(_most_by_aim(columns)):
        reached += program.least(stage)
    return Solved(program.taken, reached)


def can_be(columns: Sequence[Decision], rows: ProgramRows, nodes: int) -> bool:
    """Whether any choice keeps all rows."""
    try:
        _Program(columns, rows, nodes).any()
    except Infeasible:
        return False
    return True


def _most_by_aim(columns: Iterable[Decision]) -> list[int]:
    """What an aim can come to: of each group the most that any of its columns costs."""
    dearest: dict[str, list[int]] = {}
    for column in columns:
        for ref in column.asking.refs:
            known = dearest.setdefault(ref, list(column.costs))
            dearest[ref] = [max(pair) for pair in zip(known, column.costs, strict=True)]
    return [sum(aim) for aim in zip(*dearest.values(), strict=True)]


class _Stage(NamedTuple):
    """Aims that are weighed into one sum."""

    aims: list[int]
    weights: list[int]

    def told_apart(self, values: Sequence[int], bound: int) -> Iterator[AimReached]:
        """What a bound of the sum says of each aim, as far as those before it are proved."""
        is_known = True
        for aim, weight in zip(self.aims, self.weights, strict=True):
            least = max(0, bound // weight) if is_known else 0
            reached = AimReached(values[aim], min(least, values[aim]))
            is_known = is_known and reached.bound == reached.value
            bound -= values[aim] * weight
            yield reached


def _stages(most: Sequence[int]) -> Iterator[_Stage]:
    """As few as the bounds of the aims allow."""
    held: list[int] = []
    weighed = 1
    for aim, bound in enumerate(most):
        if held and weighed * (bound + 1) > MOST_WEIGHED:
            yield _stage(held, most)
            held, weighed = [], 1
        held.append(aim)
        weighed *= bound + 1
    if held:
        yield _stage(held, most)


def _stage(aims: list[int], most: Sequence[int]) -> _Stage:
    weights, weight = [], 1
    for aim in reversed(aims):
        weights.append(weight)
        weight *= most[aim] + 1
    return _Stage(aims, weights[::-1])


class _Program:
    """``taken``: the columns of the best found so far.

    Each sum is first brought down with columns taken in part. What one more of a column would
    cost beyond that (its reduced cost) tells which can be in a placing that is as good: mostly
    some hundred, and only of these are the whole numbers looked for.
    """

    def __init__(self, columns: Sequence[Decision], rows: ProgramRows, nodes: int) -> None:
        self._columns = columns
        self._rows = list(rows.rows)
        self._nodes = nodes
        self._width = len(columns) + rows.switches
        self._relaxed = _Relaxed(self._width, self._rows)
        self.taken: list[int] = []

    def least(self, stage: _Stage) -> list[AimReached]:
        """Bring the sum down, and hold it there from now on."""
        costs = [self._weighed(one, stage) for one in self._columns]
        costs += [0] * (self._width - len(costs))
        bound = 0 if self.taken and not self._sum(costs) else self._bring_down(costs)
        self._hold(costs)
        return list(stage.told_apart(self._values(), min(self._sum(costs), bound)))

    def any(self) -> None:
        """Find any choice. Raises ``Infeasible``."""
        self._bring_down([0] * self._width)

    def _weighed(self, column: Decision, stage: _Stage) -> int:
        pairs = zip(stage.aims, stage.weights, strict=True)
        return sum(column.costs[aim] * weight for aim, weight in pairs)

    def _values(self) -> list[int]:
        taken = [self._columns[one].costs for one in self.taken]
        return [sum(aim) for aim in zip(*taken, strict=True)]

    def _sum(self, costs: Sequence[int]) -> int:
        return sum(costs[one] for one in self.taken)

    def _bring_down(self, costs: Sequence[int]) -> int:
        """Take what costs least; the least that can be, as far as is proved."""
        in_part = self._relaxed.least(costs)
        least = max(0, ceil(in_part.value - NEARLY))
        self._keep_better(costs, self._whole(costs, in_part.within(least)).taken)
        bound = least
        if not self.taken or self._sum(costs) > least:
            bound = max(least, self._look_further(costs, in_part))
        self._relaxed.leave_out(in_part.beyond(self._sum(costs), len(self._columns)))
        return bound

    def _look_further(self, costs: Sequence[int], in_part: "_InPart") -> int:
        """Among all that may be better; what is beyond costs as much as what is known, or more."""
        found = self._whole(costs, in_part.within(self._sum(costs) - 1 if self.taken else None))
        self._keep_better(costs, found.taken)
        if not self.taken:
            raise Infeasible
        return self._sum(costs) if found.bound is None else min(found.bound, self._sum(costs))

    def _keep_better(self, costs: Sequence[int], found: Sequence[int]) -> None:
        taken = [one for one in found if one < len(self._columns)]
        if taken and (not self.taken or sum(costs[one] for one in taken) < self._sum(costs)):
            self.taken = taken

    def _whole(self, costs: Sequence[int], numbers: Sequence[int]) -> "_Whole":
        return _whole(costs, numbers, self._rows, self._nodes)

    def _hold(self, costs: Sequence[int]) -> None:
        """From now on no more than this; what alone costs more is out."""
        most = self._sum(costs)
        self._relaxed.leave_out([n for n, cost in enumerate(costs) if cost > most])
        row = ProgramRow({n: cost for n, cost in enumerate(costs) if 0 < cost <= most}, None, most)
        if row.factors:
            self._rows.append(row)
            self._relaxed.add(row)


class _InPart(NamedTuple):
    """The least sum with columns taken in part; ``more`` is what each of ``inside`` would cost
    beyond it."""

    value: float
    inside: list[int]
    more: list[float]

    def within(self, most: int | None) -> list[int]:
        """Those that may be in a choice that comes to so much; None: all that are inside."""
        if most is None:
            return self.inside
        room = most - self.value + NEARLY
        return [one for one in self.inside if self.more[one] <= room]

    def beyond(self, most: int, columns: int) -> list[int]:
        """Columns that are in no choice that comes to so much."""
        room = most - self.value + NEARLY
        return [one for one in self.inside if one < columns and self.more[one] > room]


class _Relaxed:
    """The program with columns taken in part; each time it goes on from where it was."""

    def __init__(self, width: int, rows: Iterable[ProgramRow]) -> None:
        import highspy
        import numpy as np

        self._highs, self._np = highspy, np
        self._all = np.arange(width, dtype=np.int32)
        self._inside = np.ones(width, dtype=bool)
        self._solver = _solver_of(width, rows)
        self._solver.setOptionValue("presolve", "off")

    def add(self, row: ProgramRow) -> None:
        _add_row(self._solver, row)

    def leave_out(self, numbers: Sequence[int]) -> None:
        np = self._np
        self._inside[list(numbers)] = False
        zeros = np.zeros(len(numbers))
        self._solver.changeColsBounds(len(numbers), np.array(numbers, dtype=np.int32), zeros, zeros)

    def least(self, costs: Sequence[int]) -> _InPart:
        """Raises ``Infeasible``."""
        self._solver.changeColsCost(
            len(self._all), self._all, self._np.array(costs, dtype=self._np.float64)
        )
        self._solver.run()
        if self._solver.getModelStatus() != self._highs.HighsModelStatus.kOptimal:
            raise Infeasible
        value = self._solver.getInfo().objective_function_value
        more = list(self._solver.getSolution().col_dual)
        return _InPart(value, self._all[self._inside].tolist(), more)


class _Whole(NamedTuple):
    """``taken`` empty: none was found. ``bound`` None: there is none."""

    taken: list[int]
    bound: int | None


def _whole(
    costs: Sequence[int], numbers: Sequence[int], rows: Iterable[ProgramRow], nodes: int
) -> _Whole:
    """The best choice of these columns, each whole or not at all."""
    import highspy
    import numpy as np

    place = {number: at for at, number in enumerate(numbers)}
    kept = (_only(row, place) for row in rows)
    solver = _solver_of(len(numbers), kept)
    every = np.arange(len(numbers), dtype=np.int32)
    whole = np.full(len(numbers), highspy.HighsVarType.kInteger.value, dtype=np.uint8)
    solver.changeColsIntegrality(len(numbers), every, whole)
    solver.changeColsCost(
        len(numbers), every, np.array([costs[one] for one in numbers], dtype=np.float64)
    )
    for name, value in (
        ("mip_rel_gap", 0.0),
        ("mip_abs_gap", BELOW_ONE),
        ("mip_max_nodes", nodes),
    ):
        solver.setOptionValue(name, value)
    solver.run()
    if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        return _Whole([], None)
    bound = max(0, ceil(solver.getInfo().mip_dual_bound - NEARLY))
    values = solver.getSolution().col_value
    return _Whole([one for one in numbers if values[place[one]] > 0.5], bound)


def _only(row: ProgramRow, place: Mapping[int, int]) -> ProgramRow:
    factors = {place[one]: factor for one, factor in row.factors.items() if one in place}
    return ProgramRow(factors, row.least, row.most)


def _solver_of(width: int, rows: Iterable[ProgramRow]) -> Any:
    """HiGHS with this many columns from 0 to 1, and these rows."""
    import numpy as np

    solver = quiet_solver()
    solver.setOptionValue("threads", 1)
    nothing = np.array([], dtype=np.int32)
    solver.addCols(
        width,
        np.zeros(width),
        np.zeros(width),
        np.ones(width),
        0,
        np.zeros(width, dtype=np.int32),
        nothing,
        np.array([]),
    )
    for row in rows:
        _add_row(solver, row)
    return solver


def _add_row(solver: Any, row: ProgramRow) -> None:
    import highspy
    import numpy as np

    endless = highspy.kHighsInf
    solver.addRow(
        -endless if row.least is None else float(row.least),
        endless if row.most is None else float(row.most),
        len(row.factors),
        np.array(list(row.factors), dtype=np.int32),
        np.array(list(row.factors.values()), dtype=np.float64),
    )
