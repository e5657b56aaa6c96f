"""The linear program over boards: how often to cut each so that all pieces are had cheaply.

Its dual values say what one more piece of each kind would cost, and so what a new board has to
yield to be of use. Column generation: Gilmore and Gomory, Operations Research 9 (1961) 849-859.
Solved by HiGHS.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from builds.cutting.board import Board
from builds.cutting.values import Job
from habitats.highs import quiet_solver

_DEAR = 3.0  # what a piece that no board yields costs, in dearest sheets


class MasterSolution(NamedTuple):
    """How often each board is cut; values by kind of piece and by stock, in dearest sheets."""

    cost: float
    times: list[float]
    values: list[float]
    fees: list[float]  # what the last sheet of a stock that runs out saves, 0 or more
    steps: int  # of the simplex method, for counting work


class Master:
    """Boards to choose from, and how many pieces and sheets are still open."""

    def __init__(self, job: Job, dearest: int) -> None:
        import highspy
        import numpy as np

        self._np = np
        self._kinds = len(job.pieces)
        self._dearest = dearest
        self._endless = highspy.kHighsInf
        self._solver = quiet_solver()
        self._solver.setOptionValue("threads", 1)
        self._solver.setOptionValue("presolve", "off")
        none = np.array([], dtype=np.int32), np.array([], dtype=np.float64)
        for piece in job.pieces:
            self._solver.addRow(float(piece.quantity), self._endless, 0, *none)
        for stock in job.stock:
            most = self._endless if stock.quantity is None else float(stock.quantity)
            self._solver.addRow(-self._endless, most, 0, *none)
        self.boards: list[Board] = []
        for kind in range(self._kinds):
            self._add(_DEAR, [kind], [1.0])

    def add(self, board: Board, counts: Counter[int]) -> None:
        self.boards.append(board)
        kinds = sorted(counts)
        self._add(
            board.frame.cost / self._dearest,
            [*kinds, self._kinds + board.frame.source],
            [*(float(counts[kind]) for kind in kinds), 1.0],
        )

    def _add(self, cost: float, rows: list[int], entries: list[float]) -> None:
        np = self._np
        self._solver.addCol(
            cost, 0.0, self._endless, len(rows), np.array(rows, dtype=np.int32), np.array(entries)
        )

    def want(self, left: Sequence[int]) -> None:
        """Ask for so many of each kind from now on."""
        for kind, count in enumerate(left):
            self._solver.changeRowBounds(kind, float(count), self._endless)

    def stock(self, source: int, left: int) -> None:
        """So many sheets of a stock are left."""
        self._solver.changeRowBounds(self._kinds + source, -self._endless, float(left))

    def answer(self, stop: Callable[[], bool]) -> MasterSolution:
        """Solve it; of no use if it was stopped meanwhile."""

        def ask(event: Any) -> None:
            event.interrupt(stop())

        self._solver.cbSimplexInterrupt.subscribe(ask)
        self._solver.run()
        self._solver.cbSimplexInterrupt.unsubscribe(ask)
        solution, info = self._solver.getSolution(), self._solver.getInfo()
        duals = list(solution.row_dual)
        return MasterSolution(
            info.objective_function_value,
            list(solution.col_value)[self._kinds :],
            [max(0.0, dual) for dual in duals[: self._kinds]],
            [max(0.0, -dual) for dual in duals[self._kinds :]],
            max(0, info.simplex_iteration_count),
        )
