"""What columns taken together have to keep: rows of the whole-number program.

A limit that is broken as things stand makes nothing impossible: today's number stands in its
place, so that it can only get better.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from habitats.placement.columns import Decision, by_home
from habitats.placement.suiting import Suiting
from habitats.placement.values import GroupToPlace, HomeToFill


class ProgramRow(NamedTuple):
    """``least`` to ``most`` of the sum of columns, each times its factor; None: no bound.

    Numbers past the columns are switches, of which each is taken or not.
    """

    factors: dict[int, int]
    least: int | None
    most: int | None


class ProgramRows(NamedTuple):
    """``switches``: how many there are beside the columns."""

    rows: list[ProgramRow]
    switches: int


def rows_of(suiting: Suiting, columns: Sequence[Decision]) -> ProgramRows:
    return _Rows(suiting, columns).all()


class _Rows:
    def __init__(self, suiting: Suiting, columns: Sequence[Decision]) -> None:
        self._suiting = suiting
        self._columns = columns
        self._switches = 0

    def all(self) -> ProgramRows:
        rows = [*self._groups(), *self._enclosures()]
        found = by_home(self._columns)
        for home in self._suiting.case.homes:
            rows += self._home(home, found.get(home.ref, []))
        return ProgramRows(rows, self._switches)

    def _groups(self) -> Iterator[ProgramRow]:
        """Each in exactly one."""
        of: dict[str, dict[int, int]] = {one.ref: {} for one in self._suiting.case.groups}
        for number, column in enumerate(self._columns):
            for ref in column.asking.refs:
                of[ref][number] = 1
        return (ProgramRow(factors, 1, 1) for factors in of.values())

    def _enclosures(self) -> Iterator[ProgramRow]:
        """Each with one at most: who moves out frees it, and nobody else does."""
        of: dict[str, dict[int, int]] = defaultdict(dict)
        for number, column in enumerate(self._columns):
            if column.place is not None and column.place.enclosure is not None:
                of[column.place.enclosure][number] = 1
        return (ProgramRow(factors, None, 1) for factors in of.values() if len(factors) > 1)

    def _home(self, home: HomeToFill, numbers: list[int]) -> Iterator[ProgramRow]:
        living = self._living_in(home)
        if home.most_enclosures is not None:
            yield from _at_most(dict.fromkeys(numbers, 1), max(home.most_enclosures, len(living)))
            standing = sum(one.home == home.ref for one in self._suiting.case.enclosures)
            builds = [one for one in numbers if self._is_build(one)]
            yield from _at_most(dict.fromkeys(builds, 1), max(0, home.most_enclosures - standing))
        if home.most_animals is not None:
            animals = {one: self._columns[one].asking.animals for one in numbers}
            today = sum(one.animals for one in living)
            yield from _at_most(animals, max(home.most_animals, today))
        yield from self._quarantine(home, numbers, living)

    def _is_build(self, number: int) -> bool:
        place = self._columns[number].place
        return place is not None and place.design is not None

    def _living_in(self, home: HomeToFill) -> list[GroupToPlace]:
        enclosures = self._suiting.enclosures
        return [
            one
            for one in self._suiting.case.groups
            if one.lives_in is not None and enclosures[one.lives_in].home == home.ref
        ]

    def _quarantine(
        self, home: HomeToFill, numbers: list[int], living: list[GroupToPlace]
    ) -> Iterator[ProgramRow]:
        """One cohort a home: in its places for isolation, or where nobody else lives."""
        of: dict[str, list[int]] = defaultdict(list)
        others: list[int] = []
        for number in numbers:
            inside = {one.cohort for one in self._columns[number].asking.groups}
            for cohort in inside:
                (of[cohort] if cohort is not None else others).append(number)
        if not of:
            return
        today = {one.cohort for one in living if one.cohort is not None}
        let_in = {cohort: self._switch() for cohort in of}
        for cohort, its in of.items():
            # No more of them than there are, and none unless the cohort is let in.
            yield ProgramRow(
                {**dict.fromkeys(its, 1), let_in[cohort]: -self._most_in(its)}, None, 0
            )
        yield from _at_most(dict.fromkeys(let_in.values(), 1), max(1, len(today)))
        yield from self._isolation(home, [n for its in of.values() for n in its], others, living)

    def _isolation(
        self, home: HomeToFill, inside: list[int], others: list[int], living: list[GroupToPlace]
    ) -> Iterator[ProgramRow]:
        is_theirs = self._switch()  # the home is given over to quarantine: nobody else lives there
        kept = sum(one.cohort is not None for one in living)
        is_mixed = kept < len(living)
        places = max(home.isolation_places, kept if is_mixed else 0)
        beyond = max(0, self._most_in(inside) - places)
        yield ProgramRow({**dict.fromkeys(inside, 1), is_theirs: -beyond}, None, places)
        if others:
            most = self._most_in(others)
            yield ProgramRow({**dict.fromkeys(others, 1), is_theirs: most}, None, most)

    def _most_in(self, numbers: list[int]) -> int:
        return len({ref for one in numbers for ref in self._columns[one].asking.refs})

    def _switch(self) -> int:
        self._switches += 1
        return len(self._columns) + self._switches - 1


def _at_most(factors: dict[int, int], most: int) -> Iterator[ProgramRow]:
    """Left out where it could not be passed anyway."""
    if sum(factors.values()) > most:
        yield ProgramRow(factors, None, most)
