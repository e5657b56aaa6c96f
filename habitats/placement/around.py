"""Who is in whose way, so that a large choice can be bettered a part at a time.

A group that could have a better place waits for who lives there, or, where nobody does, for who
fills that home; these could go elsewhere in turn.

Why a part at a time: all near columns of thousands of groups at once kept HiGHS for minutes before
its first branch, where no count cuts it short. Also tried, and slower or worse: all of them with
the sum as a row, a price on going beyond it (a bound below nothing), more columns of each at once.
"""

from collections.abc import Iterator

import numpy as np

from habitats.placement.columns import Decisions, Flags, Numbers
from habitats.placement.rows import Rows


class Around:
    """``near``: columns that groups could change to. ``taken``: the choice as it is."""

    def __init__(self, columns: Decisions, rows: Rows, near: Numbers, taken: Numbers) -> None:
        self._near, self._taken = near, taken
        self._groups_near, self._groups_taken = (rows.of_groups(one) for one in (near, taken))
        self._count = len(columns.suiting.case.groups)
        self._enclosures_near, self._enclosures = columns.enclosure[near], columns.enclosure[taken]
        self._homes_near, self._homes = columns.home[near], columns.home[taken]
        most = int(max(columns.enclosure.max(initial=0), columns.home.max(initial=0))) + 2
        self._none = np.zeros(most, dtype=np.bool_)  # the last stands for none
        is_lived_in = self._marked(self._enclosures)
        self._is_free = ~is_lived_in[self._enclosures_near]

    def widening(self, first: Numbers, most: int) -> Iterator[Numbers]:
        """Columns near of the groups of some that are taken, then of who is in their way as well,
        and so on, as long as there are no more than ``most``."""
        freed = np.zeros(self._count + 1, dtype=np.bool_)
        self._free(freed, np.isin(self._taken, first))
        count = 0
        while count < freed.sum():
            count = int(freed.sum())
            freed[-1] = True
            its = np.all([freed[one] for one in self._groups_near], axis=0)
            if its.sum() > most:
                return
            yield self._near[its]
            freed[-1] = False
            wanted = np.any([freed[one] for one in self._groups_near], axis=0)
            self._free(freed, self._in_the_way(wanted))

    def _free(self, freed: Flags, taken: Flags) -> None:
        for one in self._groups_taken:
            freed[one[taken]] = True
        freed[-1] = False

    def _in_the_way(self, wanted: Flags) -> Flags:
        lived_in = self._marked(self._enclosures_near[wanted])
        filled = self._marked(self._homes_near[wanted & self._is_free])
        return lived_in[self._enclosures] | filled[self._homes]

    def _marked(self, numbers: Numbers) -> Flags:
        marked = self._none.copy()
        marked[numbers] = True
        marked[-1] = False
        return marked
