"""What columns taken together have to keep: rows of the whole-number program.

A limit that is broken as things stand makes nothing impossible: today's number stands in its
place, so that it can only get better.
"""

from collections import Counter
from typing import NamedTuple

import numpy as np

from habitats.placement.columns import NONE, Decisions, Numbers, Refs, padded
from habitats.placement.quarantine import ENDLESS, QuarantineRows
from habitats.placement.suiting import Suiting


class Entries(NamedTuple):
    """Of some columns: the row that each is in, NONE where it is in none, and its factor there."""

    rows: Numbers
    factors: Numbers


class SwitchEntries(NamedTuple):
    """Of switches, which are taken or not beside the columns: one each, in one row."""

    switch: Numbers
    row: Numbers
    factor: Numbers


class Rows:
    """``least`` to ``most`` of the sum of columns, each times its factor.

    A row that ``waits_for`` a switch says nothing without it.
    """

    def __init__(self, columns: Decisions) -> None:
        self._columns, suiting = columns, columns.suiting
        self._least: list[float] = []
        self._most: list[float] = []
        self._waits_for: list[int] = []
        self._called_by: list[int] = []
        self._switch_entries: list[tuple[int, int, int]] = []
        refs = Refs(suiting)
        self._animals = np.array([one.animals for one in suiting.asking], dtype=np.int64)
        groups = {ref: self.row(1, 1) for ref in refs.groups}
        self._groups = padded([[groups[ref] for ref in one.refs] for one in suiting.asking])
        # Each with one at most: who moves out frees it, and nobody else does.
        enclosures = [self.row(-ENDLESS, 1) for _ in refs.enclosures]
        self._enclosures = np.array([*enclosures, NONE], dtype=np.int64)
        self._homes = _HomeRows(suiting, self, len(refs.homes))
        self._quarantine = QuarantineRows(columns, self._homes.most)
        self._quarantine.write(self)
        self.least, self.most = np.array(self._least), np.array(self._most)
        self.waits_for = np.array(self._waits_for, dtype=np.int64)
        self.called_by = np.array(self._called_by, dtype=np.int64)
        entries = np.array(self._switch_entries, dtype=np.int64).reshape(-1, 3)
        self.switch_entries = SwitchEntries(*entries.T)

    def row(self, least: float, most: float, waits_for: int = NONE) -> int:
        self._least.append(least)
        self._most.append(most)
        self._waits_for.append(waits_for)
        return len(self._least) - 1

    def switch(self, called_by: int, factors: dict[int, int]) -> int:
        """``called_by``: the row without which it says nothing."""
        self._called_by.append(called_by)
        for row, factor in factors.items():
            self.factor(len(self._called_by) - 1, row, factor)
        return len(self._called_by) - 1

    def factor(self, switch: int, row: int, factor: int) -> None:
        self._switch_entries.append((switch, row, factor))

    def of_groups(self, numbers: Numbers) -> list[Numbers]:
        """The rows that say of a group that it is somewhere, by column."""
        return [rows[self._columns.asking[numbers]] for rows in self._groups.T]

    def entries(self, numbers: Numbers) -> list[Entries]:
        """Of these columns, the rows that each stands in, and with which factor; NONE: in none."""
        columns, homes = self._columns, self._homes
        asking, home = columns.asking[numbers], columns.home[numbers]
        enclosure, is_build = columns.enclosure[numbers], columns.design[numbers] != NONE
        once = np.ones(1, dtype=np.int64)
        simple = [
            *(rows[asking] for rows in self._groups.T),
            self._enclosures[enclosure],
            homes.enclosures[home],
            np.where(is_build, homes.builds[home], NONE),
            *self._quarantine.rows_of(asking, enclosure, home, is_build),
        ]
        by_animals = Entries(homes.animals[home], self._animals[asking])
        return [*(Entries(one, once) for one in simple), by_animals]


class _HomeRows:
    """Rows by the number of the home. ``most``: enclosures that it can have lived in."""

    def __init__(self, suiting: Suiting, rows: Rows, homes: int) -> None:
        standing = Counter(one.home for one in suiting.case.enclosures)
        self.enclosures, self.builds, self.animals = (np.full(homes + 1, NONE) for _ in range(3))
        self.most = np.full(homes + 1, ENDLESS)
        for number, home in enumerate(suiting.case.homes):
            living = suiting.living_by_home[home.ref]
            if home.most_enclosures is not None:
                self.most[number] = max(home.most_enclosures, len(living))
                self.enclosures[number] = rows.row(-ENDLESS, self.most[number])
                more = max(0, home.most_enclosures - standing[home.ref])
                self.builds[number] = rows.row(-ENDLESS, more)
            if home.most_animals is not None:
                today = sum(one.animals for one in living)
                self.animals[number] = rows.row(-ENDLESS, max(home.most_animals, today))
