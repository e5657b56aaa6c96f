"""A program of some of the columns, in arrays as the solver takes them."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from habitats.highs import quiet_solver
from habitats.placement.columns import NONE, Flags, Floats, Numbers
from habitats.placement.quarantine import ENDLESS
from habitats.placement.rows import Rows

# Of each column what it comes to in a sum, and what that may be at most.
Sums = list[tuple[Numbers | Floats, float]]
NEARLY = 1e-4  # what the solver takes for whole, with room to spare


@dataclass(frozen=True)
class ProgramPart:
    """``columns``, then ``switches``, each by the number that it has in the whole; ``rows`` that
    say anything of them. ``starts``: where each column begins in ``at`` (rows of the part) and
    ``factors``."""

    columns: Numbers
    switches: Numbers
    rows: Numbers
    starts: Numbers
    at: Numbers
    factors: Numbers

    @property
    def width(self) -> int:
        return len(self.columns) + len(self.switches)

    def solver(self, held: "Held", costs: Floats, most: float, sums: "Sums") -> Any:
        """HiGHS with these columns, each from 0 to ``most``. Switches cost nothing."""
        solver = quiet_solver()
        solver.setOptionValue("threads", 1)
        none = np.array([], dtype=np.int32)
        count = len(self.rows)
        starts = np.zeros(count, dtype=np.int32)
        used = held.used[self.rows]
        least, all_most = held.least[self.rows] - used, held.most[self.rows] - used
        solver.addRows(count, least, all_most, 0, starts, none, np.array([]))
        solver.addCols(
            self.width,
            np.concatenate([costs, np.zeros(len(self.switches))]),
            np.concatenate([np.zeros(len(self.columns)), held.switch_least[self.switches]]),
            np.concatenate([np.full(len(self.columns), most), held.switch_most[self.switches]]),
            len(self.at),
            self.starts.astype(np.int32),
            self.at.astype(np.int32),
            self.factors.astype(np.float64),
        )
        for each, bound in sums:
            its = each[self.columns]
            there = np.nonzero(its)[0].astype(np.int32)
            left = float(bound - each[held.settled].sum())
            solver.addRow(-ENDLESS, left, len(there), there, its[there].astype(np.float64))
        return solver


class Held:
    """What a choice has to keep: the bounds of all rows, and what was reached before.

    ``alive``: columns that can be in a choice as good as that. ``settled``: those of them that are
    in each, and ``used`` what they take of each row. ``sums``: costs by column, and what they may
    come to together. ``beyond``: the same as far as columns go beyond what was taken in part, which
    says less, and is 0 of most: with ``sums`` in its place the simplex took 40 s of a large one.
    """

    def __init__(self, rows: Rows, columns: int) -> None:
        self._rows = rows
        self.least, self.most = rows.least.copy(), rows.most
        self.switch_least = np.zeros(len(rows.called_by))
        self.switch_most = np.ones(len(rows.called_by))
        self.alive = np.ones(columns, dtype=np.bool_)
        self.settled = np.zeros(columns, dtype=np.bool_)
        self.used = np.zeros(len(rows.least))
        self.sums: Sums = []
        self.beyond: Sums = []
        self._has_switch = np.zeros(len(rows.least) + 1, dtype=np.bool_)
        self._has_switch[rows.switch_entries.row] = True
        self.settle()

    @property
    def open(self) -> Numbers:
        """Columns that may be taken or not."""
        return np.nonzero(self.alive & ~self.settled)[0]

    def hold(self, costs: Numbers, most: int, more: Floats, room: float) -> None:
        """``more``: what a column costs beyond what is taken in part, of which ``room`` is left."""
        self.alive &= more <= room + NEARLY
        if room > NEARLY:
            self.sums.append((costs, most))
            its = np.where((more > NEARLY) & self.alive, more, 0)
            self.beyond.append((its, room + NEARLY))

    def as_priced(self, duals: Floats, switches: Floats, room: float) -> None:
        """Fill every row of which one less would cost more than there is room, and take no switch
        that does."""
        room = max(0, room) + NEARLY
        worth = np.nonzero(duals < -room)[0]
        self.least[worth] = self.most[worth]
        is_open = self.switch_least < self.switch_most
        self.switch_most[is_open & (switches > room)] = 0
        self.switch_least[is_open & (switches < -room)] = 1

    def settle(self) -> None:
        """Take what alone is left for a group, and leave out what has no room beside it."""
        while self._settles_more():
            self.used = self._sum_by_row(np.nonzero(self.settled)[0])
            self._leave_out()

    def _settles_more(self) -> bool:
        every = self.open
        of_groups = self._rows.of_groups(every)
        count = np.zeros(len(self.used) + 1, dtype=np.int64)
        for one in of_groups:
            count += np.bincount(one[one != NONE], minlength=len(count))
        count[-1] = 0
        alone = every[np.any([count[one] == 1 for one in of_groups], axis=0)]
        self.settled[alone] = True
        return bool(len(alone))

    def _sum_by_row(self, columns: Numbers) -> Floats:
        used = np.zeros(len(self.used) + 1)
        for rows, factors in self._rows.entries(columns):
            every = np.where(rows == NONE, len(self.used), rows)
            used += np.bincount(every, np.broadcast_to(factors, rows.shape), len(used))
        return used[:-1]

    def _leave_out(self) -> None:
        """Rows with a switch may get more room by it."""
        every = self.open
        room = np.append(self.most - self.used, ENDLESS)
        room[self._has_switch] = ENDLESS
        for rows, factors in self._rows.entries(every):
            self.alive[every[room[rows] < factors]] = False


def part_of(rows: Rows, held: Held, columns: Numbers) -> ProgramPart:
    """Of columns that are open. Rows that wait for a switch are left out with it, and it with those
    that call it. Those that have to be filled are there in any case.
    """
    at, row, factor = _entries(rows, columns)
    is_there = np.zeros(len(rows.least), dtype=np.bool_)
    is_there[row] = True
    is_asked = (held.least > held.used) | (held.most < held.used)
    is_there |= is_asked | ((held.used > 0) & (rows.waits_for != NONE))
    of = rows.switch_entries
    is_called = np.zeros(len(rows.called_by) + 1, dtype=np.bool_)  # the last stands for none
    is_called[:-1] = is_there[rows.called_by]
    is_called[rows.waits_for[is_asked]] = True
    is_called[-1] = False
    its = is_called[of.switch]
    is_there[of.row[its & (rows.waits_for[of.row] == NONE)]] = True
    is_there &= (rows.waits_for == NONE) | is_called[rows.waits_for]
    switches = np.nonzero(is_called)[0]
    place = np.cumsum(is_called) - 1 + len(columns)
    at = np.concatenate([at, place[of.switch[its]]])
    row, factor = np.concatenate([row, of.row[its]]), np.concatenate([factor, of.factor[its]])
    kept = is_there[row]
    return _packed(columns, switches, is_there, at[kept], row[kept], factor[kept])


def _entries(rows: Rows, columns: Numbers) -> tuple[Numbers, Numbers, Numbers]:
    """Which of the columns, in which row, with which factor."""
    found = []
    every = np.arange(len(columns))
    for entries in rows.entries(columns):
        factors = np.broadcast_to(entries.factors, entries.rows.shape)
        kept = entries.rows != NONE
        found.append((every[kept], entries.rows[kept], factors[kept]))
    at, row, factor = (np.concatenate(one) for one in zip(*found, strict=True))
    return at, row, factor


def _packed(
    columns: Numbers, switches: Numbers, is_there: Flags, at: Numbers, row: Numbers, factor: Numbers
) -> ProgramPart:
    order = np.argsort(at, kind="stable")
    kept = np.nonzero(is_there)[0]
    place = np.cumsum(is_there) - 1
    counts = np.bincount(at, minlength=len(columns) + len(switches))
    starts = np.concatenate([[0], np.cumsum(counts)[:-1]])
    return ProgramPart(columns, switches, kept, starts, place[row[order]], factor[order])
