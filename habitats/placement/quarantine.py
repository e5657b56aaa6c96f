"""Quarantine as rows: one cohort a home, in its places for isolation or where nobody else lives."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from habitats.placement.columns import NONE, Decisions, Flags, Floats, Numbers, padded
from habitats.placement.values import GroupToPlace

ENDLESS = float("inf")


class Writing(Protocol):
    """Where rows and switches are written down."""

    def row(self, least: float, most: float, waits_for: int = NONE) -> int: ...

    def switch(self, called_by: int, factors: dict[int, int]) -> int: ...

    def factor(self, switch: int, row: int, factor: int) -> None: ...


@dataclass
class _Inside:
    """Who in quarantine could live in a home: numbers of those who ask, by cohort."""

    of: dict[int, set[int]] = field(default_factory=lambda: defaultdict(set))

    def most(self, cohorts: int) -> int:
        """How many there can be of so many cohorts."""
        return sum(sorted(map(len, self.of.values()))[-cohorts:])


class QuarantineRows:
    """``most``: of each home, enclosures that it can have lived in."""

    def __init__(self, columns: Decisions, most: Floats) -> None:
        self._columns, self._most = columns, most
        suiting = columns.suiting
        self._cohorts = [{group.cohort for group in one.groups} for one in suiting.asking]
        names = dict.fromkeys(name for one in self._cohorts for name in one if name is not None)
        numbers = {name: number for number, name in enumerate(sorted(names))}
        self._cohort = padded(
            [sorted(numbers[name] for name in one if name is not None) for one in self._cohorts]
        )
        self._is_apart = np.array([bool(one - {None}) for one in self._cohorts], dtype=np.bool_)
        self._is_other = np.array([None in one for one in self._cohorts], dtype=np.bool_)
        # Rows by number; the last is that of none.
        self._let_in = np.full((len(numbers) + 1, len(most)), NONE)
        self._apart = np.full(len(most), NONE)
        self._others = np.full(len(suiting.case.enclosures) + 1, NONE)
        self._other_builds = np.full(len(most), NONE)

    def write(self, rows: Writing) -> None:
        living = self._columns.suiting.living_by_home
        standing = self._standing()
        has_others = self._homes_with_others()
        homes = self._columns.suiting.case.homes
        for home, inside in self._inside(len(homes)).items():
            its = living[homes[home].ref]
            cohorts = max(1, len({one.cohort for one in its if one.cohort is not None}))
            self._one_cohort(rows, home, inside, cohorts)
            places = _places(homes[home].isolation_places, its)
            beyond = self._most_of(inside.most(cohorts), home) - places
            if has_others[home] and beyond > 0:
                self._isolation(rows, home, places, beyond, standing[home])

    def _inside(self, homes: int) -> dict[int, _Inside]:
        columns = self._columns
        found: dict[int, _Inside] = defaultdict(_Inside)
        theirs = self._is_apart[columns.asking] & (columns.home != NONE) & (columns.home < homes)
        pairs = np.unique(columns.home[theirs] * len(self._is_apart) + columns.asking[theirs])
        for pair in pairs.tolist():
            home, asking = divmod(pair, len(self._is_apart))
            for cohort in self._cohort[asking].tolist():
                if cohort != NONE:
                    found[home].of[cohort].add(asking)
        return found

    def _homes_with_others(self) -> Numbers:
        theirs = self._is_other[self._columns.asking]
        return np.bincount(self._columns.home[theirs] + 1, minlength=len(self._most))[1:]

    def _standing(self) -> dict[int, list[int]]:
        found: dict[int, list[int]] = defaultdict(list)
        case = self._columns.suiting.case
        numbers = {one.ref: number for number, one in enumerate(case.homes)}
        for number, one in enumerate(case.enclosures):
            if one.home in numbers:
                found[numbers[one.home]].append(number)
        return found

    def _one_cohort(self, rows: Writing, home: int, inside: _Inside, most: int) -> None:
        """No more cohorts than ``most``. One of which there is but one group needs no switch."""
        if min(len(inside.of), self._most[home]) <= most:
            return
        one_of_them = rows.row(-ENDLESS, most)
        for cohort, its in inside.of.items():
            if len(its) == 1:
                self._let_in[cohort, home] = one_of_them
            else:
                row = self._let_in[cohort, home] = rows.row(-ENDLESS, 0)
                rows.switch(row, {row: -self._most_of(len(its), home), one_of_them: 1})

    def _isolation(
        self, rows: Writing, home: int, places: int, beyond: int, standing: list[int]
    ) -> None:
        """The switch: the home is given over to quarantine, and nobody else lives there."""
        apart = self._apart[home] = rows.row(-ENDLESS, places)
        is_theirs = rows.switch(apart, {apart: -beyond})
        for enclosure in standing:
            row = self._others[enclosure] = rows.row(-ENDLESS, 1, waits_for=is_theirs)
            rows.factor(is_theirs, row, 1)
        most = int(min(self._most[home], len(self._columns.suiting.case.groups)))
        row = self._other_builds[home] = rows.row(-ENDLESS, most, waits_for=is_theirs)
        rows.factor(is_theirs, row, most)

    def _most_of(self, count: int, home: int) -> int:
        return int(min(count, self._most[home]))

    def rows_of(
        self, asking: Numbers, enclosure: Numbers, home: Numbers, is_build: Flags
    ) -> Iterator[Numbers]:
        """Of columns, the rows that each is in; NONE: in none."""
        for cohort in self._cohort.T:
            yield self._let_in[cohort[asking], home]
        yield np.where(self._is_apart[asking], self._apart[home], NONE)
        is_other = self._is_other[asking]
        yield np.where(is_other, self._others[enclosure], NONE)
        yield np.where(is_other & is_build, self._other_builds[home], NONE)


def _places(isolation_places: int, living: list[GroupToPlace]) -> int:
    """Where they live beside others already, as many as do stay possible."""
    kept = sum(one.cohort is not None for one in living)
    return max(isolation_places, kept if kept < len(living) else 0)
